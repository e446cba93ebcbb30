/* update.c - a published line brought up to date by the site's values.
 *
 * The conjugate prior of a straight line with normal scatter (normal-inverse-gamma): common
 * textbook matter, for example Gelman and others, Bayesian Data Analysis, chapter 14 (from
 * memory). With u = X - X_c the prior is a + b u, a and b independent, their variances v_a and
 * v_b as shares of the values' variance, that variance an inverse gamma of weight `weight`:
 *
 *   P = diag(1/v_a, 1/v_b) + U'U,   m = P^-1 (diag(1/v) m_0 + U'y)
 *   dof = weight + n,  dof s^2 = weight s_0^2 + (y - U m)'y + (m_0 - m)' diag(1/v) m_0
 *
 * The next value is Student t about the new line with `dof` degrees of freedom and the variance
 * s^2 (1 + u' P^-1 u), which is the form of every other law here once X_c is put where P is
 * diagonal. */
#include "fit_internal.h"

#include <math.h>

void sg_line_update(const struct sg_axis_data *data, const struct sg_prior *prior,
                    struct sg_line *out)
{
    bool fixed = sg_is_set(data->fixed_slope);
    double own = prior->scatter * prior->scatter * (1.0 - prior->site_share);
    double slope0 = fixed ? data->fixed_slope : prior->slope;
    double a0 = prior->intercept + prior->slope * prior->centre;
    double ka = (1.0 - prior->site_share) / prior->site_share; /* precision, in units of own */
    double kb = own / (prior->slope_scatter * prior->slope_scatter);
    double su = 0, suu = 0, se = 0, sue = 0, see = 0;
    for (size_t i = 0; i < data->n; i++) {
        double u = data->x[i] - prior->centre, e = data->y[i] - a0 - slope0 * u;
        su += u;
        suu += u * u;
        se += e;
        sue += u * e;
        see += e * e;
    }
    double paa = ka + (double)data->n, pab = fixed ? 0.0 : su, pbb = fixed ? 1.0 : kb + suu;
    double qb = fixed ? 0.0 : sue, det = paa * pbb - pab * pab;
    double da = (pbb * se - pab * qb) / det, db = (paa * qb - pab * se) / det;
    /* About the prior line the quadratic form is (e'e - d'q). */
    double sum = prior->weight * own + see - (da * se + db * qb);
    double dof = prior->weight + (double)data->n;
    double shift =
        fixed ? 0.0 : pab / paa; /* of the point where offset and slope are independent */
    *out = (struct sg_line){ .slope = slope0 + db,
                             .intercept = a0 + da - (slope0 + db) * prior->centre,
                             .scatter = sqrt(sum / dof),
                             .dof = dof,
                             .centre = prior->centre + shift,
                             .mean_variance = 1.0 / paa,
                             .slope_variance = fixed ? 0.0 : paa / det,
                             .shared = SG_UNSET,
                             .pile = SG_UNSET,
                             .r_squared = SG_UNSET };
}
