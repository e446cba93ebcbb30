/* prior.c - a published relation in the axes of a fit, with its scatter. */
#include "fit_internal.h"

#include <math.h>

/* Engineering choices (no source): half of a published relation's variance is taken to lie between
 * sites; slopes of sites differ by 0.3 (1 SD); its scatter is worth as much as that of four
 * values. */
#define SITE_SHARE 0.5
#define SLOPE_SCATTER 0.3
#define WEIGHT 4.0

/* lg of the value at the law's own distance 10^x (times sqrt W if scaled). */
static double at(const struct sg_law *law, double x, double root_energy)
{
    return log10(sg_law_at(law, pow(10.0, x) * root_energy));
}

static sg_status scatter_of(const struct sg_model *model, const struct sg_drive *drive, double r,
                            double *out, struct sg_errors *errors)
{
    struct sg_law central, upper;
    double exceedance;
    enum sg_level level = sg_model_upper_level(model, 99.0, &exceedance);
    sg_status status = sg_law_prepare(model, drive, SG_LEVEL_CENTRAL, &central, errors);
    if (status == SG_OK)
        status = sg_law_prepare(model, drive, level, &upper, errors);
    if (status != SG_OK)
        return status;
    double ratio = sg_law_at(&upper, r) / sg_law_at(&central, r);
    if (!sg_is_set(exceedance) || !(exceedance < 50) || !(ratio > 1.0))
        return sg_errors_add(errors, SG_ERR_MISSING, NULL,
                             "%s: states no share of cases above its upper value, so its scatter "
                             "is not known; allowed: a scatter that is given (--prior-scatter)",
                             model->id);
    *out = log10(ratio) / sg_normal_quantile(1.0 - exceedance / 100.0);
    return SG_OK;
}

sg_status sg_prior_make(const struct sg_model *model, const struct sg_drive *drive, bool scaled,
                        double centre_m, double scatter, struct sg_prior *out,
                        struct sg_errors *errors)
{
    struct sg_drive plain = *drive;
    struct sg_law law;
    double energy = model->uses_energy || scaled ? drive->energy_J : 1.0;
    if (model->quantity != SG_Q_PPV)
        return sg_errors_add(errors, SG_ERR_INPUT, NULL,
                             "%s: is no relation for a peak velocity; allowed: one that is",
                             model->id);
    if (scaled && !(energy > 0))
        return sg_errors_add(errors, SG_ERR_MISSING, NULL,
                             "%s: a typical energy_J is needed to start from it on scaled "
                             "distance",
                             model->id);
    plain.toe_depth_m = 0; /* the fit's distance is the one that the law is written in */
    sg_status status = sg_law_prepare(model, &plain, SG_LEVEL_CENTRAL, &law, errors);
    if (status == SG_OK && !sg_is_set(scatter))
        status = scatter_of(model, &plain, centre_m, &scatter, errors);
    if (status != SG_OK)
        return status;
    const double step = 0.1;
    double root = scaled ? sqrt(energy) : 1.0, x = log10(centre_m / root);
    double low = at(&law, x - step, root), high = at(&law, x + step, root);
    if (!isfinite(low) || !isfinite(high))
        return sg_errors_add(errors, SG_ERR_DOMAIN, NULL,
                             "%s: gives no value about %.3g m, where the data lie", model->id,
                             centre_m);
    double slope = (high - low) / (2.0 * step);
    *out = (struct sg_prior){ .intercept = at(&law, x, root) - slope * x,
                              .slope = slope,
                              .scatter = scatter,
                              .site_share = SITE_SHARE,
                              .slope_scatter = SLOPE_SCATTER,
                              .centre = x,
                              .weight = WEIGHT,
                              .name = model->id };
    return SG_OK;
}
