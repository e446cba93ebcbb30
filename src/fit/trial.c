/* trial.c - how many values more, at which distances, make the line better known at a receptor.
 *
 * The scatter is taken to stay as it is; the mean and the spread of the abscissae change with the
 * values that are added, and so does Student's quantile. Only what is not known of the line
 * shrinks: single piles go on scattering, which prediction_floor says. */
#include "fit_internal.h"

#include <math.h>

#define MOST 10000u

const char *sg_trial_text(enum sg_trial_design design)
{
    static const char *const texts[] = {
        "all at the receptor's distance",
        "spread evenly (in lg) from the nearest datum to the receptor or the farthest datum",
        "half at the near end, half at the far end of that range",
    };
    return design < SG_TRIAL_END ? texts[design] : NULL;
}

static double quantile(double p, double dof)
{
    return isfinite(dof) ? sg_student_quantile(p, dof) : sg_normal_quantile(p);
}

/* Precision of the line in units of 1 / s^2: that of a at X_c and of b. */
struct known {
    double centre, at_centre, slope; /* weights: 1 / q_0, 1 / q_1 */
};

struct plan {
    const struct sg_site_law *law;
    struct known now;
    double x, low, high, p;
    bool slope_fixed;
};

static double place_of(const struct plan *plan, enum sg_trial_design design, size_t i, size_t m)
{
    if (design == SG_TRIAL_AT_RECEPTOR)
        return plan->x;
    if (design == SG_TRIAL_ENDS)
        return i % 2 ? plan->high : plan->low;
    return m == 1 ? plan->x : plan->low + (plan->high - plan->low) * (double)i / (double)(m - 1);
}

/* Half width after m values more. */
static double after(const struct plan *plan, enum sg_trial_design design, size_t m)
{
    const struct known *k = &plan->now;
    double w = k->at_centre, su = 0, suu = k->slope;
    for (size_t i = 0; i < m; i++) {
        double u = place_of(plan, design, i, m) - k->centre;
        w += 1;
        su += u;
        suu += u * u;
    }
    double u = plan->x - k->centre, share;
    if (plan->slope_fixed)
        share = 1.0 / w;
    else
        share = (suu - 2 * u * su + u * u * w) / (w * suu - su * su);
    return quantile(plan->p, plan->law->dof + (double)m) * plan->law->scatter * sqrt(share);
}

sg_status sg_trial_plan(const struct sg_fit *fit, double distance_m, double energy_J,
                        double confidence, double share, struct sg_trial *out)
{
    const struct sg_site_law *law = &fit->law;
    struct plan plan = { .law = law, .p = 0.5 + confidence / 200.0 };
    if (!(distance_m > 0) || (law->scaled && !(energy_J > 0)) || !(share > 0 && share < 1))
        return SG_ERR_DOMAIN;
    plan.slope_fixed = !(law->slope_variance > 0);
    plan.x = sg_site_law_x(law, distance_m, energy_J);
    plan.now = (struct known){ law->centre, 1.0 / law->mean_variance,
                               plan.slope_fixed ? 0.0 : 1.0 / law->slope_variance };
    plan.low = plan.high = fit->point[0].x;
    for (size_t i = 0; i < fit->count; i++) {
        plan.low = fmin(plan.low, fit->point[i].x);
        plan.high = fmax(plan.high, fit->point[i].x);
    }
    plan.low = fmin(plan.low, plan.x);
    plan.high = fmax(plan.high, plan.x);
    struct sg_trial trial = { .distance_m = distance_m };
    trial.now = after(&plan, SG_TRIAL_AT_RECEPTOR, 0);
    trial.wanted = share * trial.now;
    for (int d = 0; d < SG_TRIAL_END; d++) {
        trial.reached[d] = SG_UNSET;
        for (size_t m = 1; m <= MOST; m = m < 400 ? m + 1 : m + m / 20) {
            double half = after(&plan, (enum sg_trial_design)d, m);
            if (half > trial.wanted)
                continue;
            trial.needed[d] = m;
            trial.reached[d] = half;
            break;
        }
    }
    trial.prediction_now = quantile(plan.p, law->dof) * sg_site_law_spread(law, plan.x);
    trial.prediction_floor = sg_normal_quantile(plan.p) * law->scatter;
    *out = trial;
    return SG_OK;
}
