/* limits_of_line.c - what can be said around a fitted line: where the mean lies, and above what
 * only few values lie.
 *
 * Tolerance limit: Y + k s with k = t'(c; dof, z_p sqrt(m)) / sqrt(m), t' the noncentral Student
 * quantile and 1/m = q_0 + q_1 (X - X_c)^2 (common textbook matter; ISO 16269-6 tabulates the case
 * without a slope). */
#include "fit_internal.h"

#include <math.h>

static double quantile(double p, double dof)
{
    return isfinite(dof) ? sg_student_quantile(p, dof) : sg_normal_quantile(p);
}

void sg_fit_mean_band(const struct sg_site_law *law, double x, double confidence, double *low,
                      double *high)
{
    double off = x - law->centre, y = sg_site_law_line(law, x);
    double sd = law->scatter * sqrt(law->mean_variance + law->slope_variance * off * off);
    double half = quantile(0.5 + confidence / 200.0, law->dof) * sd;
    *low = y - half;
    *high = y + half;
}

/* P(T' <= t) = mean of Phi(t / c - delta) over c = sqrt(dof / chi-square). */
static double noncentral_cdf(const struct sg_nodes *scale, double t, double delta)
{
    double sum = 0;
    for (size_t i = 0; i < scale->count; i++)
        sum += scale->weight[i] * sg_normal_cdf(t / scale->at[i] - delta);
    return sum;
}

double sg_tolerance_factor(double n_eff, double dof, double p, double c)
{
    struct sg_nodes scale;
    double z = sg_normal_quantile(p), root = sqrt(n_eff);
    if (!sg_is_set(z) || !(n_eff > 0) || !(dof > 0) || !(c > 0 && c < 1))
        return SG_UNSET;
    if (sg_nodes_scale(dof, &scale) != SG_OK)
        return SG_UNSET;
    double delta = z * root, low = -1e6, high = 1e6;
    for (int i = 0; i < 200; i++) {
        double middle = 0.5 * (low + high);
        if (middle <= low || middle >= high)
            break;
        if (noncentral_cdf(&scale, middle, delta) < c)
            low = middle;
        else
            high = middle;
    }
    sg_nodes_release(&scale);
    return high / root;
}

double sg_fit_tolerance(const struct sg_site_law *law, double x, double percentile,
                        double confidence)
{
    double off = x - law->centre;
    double share = law->mean_variance + law->slope_variance * off * off;
    double k = sg_tolerance_factor(1.0 / share, law->dof, percentile / 100.0, confidence / 100.0);
    return sg_site_law_line(law, x) + k * law->scatter;
}
