/* vibration_make.c - making a vibration meter: which filters an axis carries, and their design.
 *
 * Sources: BS 6472-1, ISO 2631-1, -2 (which weighting for which axis). Corners of the integrators
 * (0.5 Hz, fourth and second order): common practice, no source.
 */
#include "vibration_meter.h"

#include <math.h>

#define INTEGRATOR_HZ 0.5
#define RUNNING_S 1.0
#define BANDS_HIGH_HZ 400.0 /* upper third octave of vibration: 315 Hz */

enum sg_weighting sg_dose_weighting(enum sg_dose dose)
{
    static const enum sg_weighting weighting[SG_DOSE_END] = { SG_WEIGHTING_WB, SG_WEIGHTING_WD,
                                                              SG_WEIGHTING_WK, SG_WEIGHTING_WM };
    return weighting[dose];
}

/* Wb and Wk are for vertical motion, Wd for horizontal, Wm for any (BS 6472-1, ISO 2631-1, -2). An
 * axis that is not named gets all. */
static bool dose_applies(enum sg_dose dose, enum sg_axis axis)
{
    if (axis == SG_AXIS_NONE || dose == SG_DOSE_M)
        return true;
    return (dose == SG_DOSE_D) == (axis != SG_AXIS_Z);
}

/* A weighting, from an axis before that carries the same, or designed, which takes longer. */
static sg_status weighting_of(const struct sg_vibration_meter *meter, size_t i,
                              enum sg_weighting weighting, struct sg_filter *out)
{
    for (size_t j = 0; j < i; j++) {
        const struct sg_filter *made = sg_vibration_filter(meter, weighting, j);
        if (meter->axis[j].kind == meter->axis[i].kind && made != NULL) {
            *out = *made;
            return SG_OK;
        }
    }
    return sg_filter_weighting(weighting, meter->axis[i].kind, meter->config.rate_hz, out);
}

static sg_status design_integrators(struct axis_chain *axis, double rate_hz)
{
    struct sg_analogue analogue;
    sg_status status = SG_OK;
    if (axis->kind == SG_KIND_ACCELERATION) {
        sg_analogue_integrator(INTEGRATOR_HZ, 4, MM_PER_M, &analogue);
        status = sg_filter_design(&analogue, rate_hz, 0.5, 0.46 * rate_hz, &axis->to_velocity);
    }
    sg_analogue_integrator(INTEGRATOR_HZ, 2, 1.0, &analogue);
    if (sg_ok(status))
        status = sg_filter_design(&analogue, rate_hz, 0.5, 0.46 * rate_hz, &axis->to_displacement);
    return status;
}

static sg_status axis_filters(struct sg_vibration_meter *meter, size_t i)
{
    struct axis_chain *axis = &meter->axis[i];
    enum sg_axis direction = meter->config.axis[i];
    sg_status status = SG_OK;
    size_t same = 0;
    while (same < i && meter->axis[same].kind != axis->kind)
        same++;
    if (same < i) {
        axis->to_velocity = meter->axis[same].to_velocity;
        axis->to_displacement = meter->axis[same].to_displacement;
    } else {
        status = design_integrators(axis, meter->config.rate_hz);
    }
    if (sg_ok(status))
        status = weighting_of(meter, i, meter->config.kb, &axis->kb);
    axis->jp_used = direction == SG_AXIS_Z || direction == SG_AXIS_NONE;
    if (sg_ok(status) && axis->jp_used)
        status = weighting_of(meter, i, SG_WEIGHTING_JP_VERTICAL, &axis->jp);
    for (int d = 0; d < SG_DOSE_END && sg_ok(status); d++) {
        axis->dose[d].used = dose_applies((enum sg_dose)d, direction);
        if (axis->dose[d].used)
            status =
                weighting_of(meter, i, sg_dose_weighting((enum sg_dose)d), &axis->dose[d].filter);
    }
    return status;
}

/* A dose that does not apply, and the velocity, leave their lanes as they are. */
static void fill_bank(struct axis_chain *axis)
{
    sg_bank_init(&axis->bank);
    for (size_t d = 0; d < SG_DOSE_END; d++)
        if (axis->dose[d].used)
            sg_bank_put(&axis->bank, d, &axis->dose[d].filter);
    sg_bank_put(&axis->bank, LANE_KB, &axis->kb);
    if (axis->jp_used)
        sg_bank_put(&axis->bank, LANE_JP, &axis->jp);
    sg_bank_put(&axis->bank, LANE_DISPLACEMENT, &axis->to_displacement);
}

static int last_band(double rate_hz)
{
    int third = 0;
    if (!sg_ok(sg_band_of(fmin(BANDS_HIGH_HZ / 1.122018, 0.45 * rate_hz), &third)))
        return SG_BAND_FIRST;
    return third;
}

static sg_status axis_init(struct sg_vibration_meter *meter, size_t i)
{
    const struct sg_vibration_config *config = &meter->config;
    struct axis_chain *axis = &meter->axis[i];
    axis->kind = config->kind[i];
    axis->offset = config->offset[i];
    sg_status status = axis_filters(meter, i);
    if (sg_ok(status))
        status = sg_detectors_init(&axis->detectors, config->rate_hz, RUNNING_S);
    if (sg_ok(status))
        status = sg_bands_new(config->rate_hz, SG_BAND_FIRST, last_band(config->rate_hz),
                              sg_kb()->tau_s, &axis->bands);
    if (!sg_ok(status))
        return status;
    fill_bank(axis);
    axis->ring = sg_alloc(meter->window, sizeof *axis->ring);
    if (axis->ring == NULL)
        return SG_ERR_NOMEM;
    for (size_t lane = 0; lane < SG_FILTER_LANES; lane++) {
        struct sg_exponential mean;
        double tau_s = lane == LANE_KB   ? sg_kb()->tau_s
                       : lane == LANE_JP ? sg_time_weighting(SG_TIME_JP)->rise_s
                                         : RUNNING_S;
        sg_exponential_init(&mean, config->rate_hz, tau_s);
        axis->detectors.k[lane] = mean.k;
    }
    return SG_OK;
}

sg_status sg_vibration_new(const struct sg_vibration_config *config,
                           struct sg_vibration_meter **out)
{
    if (config->naxis < 1 || config->naxis > SG_AXES_MAX || !(config->rate_hz >= 10.0) ||
        !(config->rate_hz <= 1e6))
        return SG_ERR_DOMAIN;
    struct sg_vibration_meter *meter = sg_alloc(1, sizeof *meter);
    if (meter == NULL)
        return SG_ERR_NOMEM;
    double takt_s =
        sg_is_set(config->takt_s) && config->takt_s > 0.0 ? config->takt_s : sg_kb()->takt_s;
    meter->config = *config;
    meter->naxis = config->naxis;
    meter->window = sg_vibration_window(config->rate_hz);
    meter->step_s = 1.0 / config->rate_hz;
    meter->takt_length = (uint64_t)floor(takt_s * config->rate_hz + 0.5);
    meter->jp_length = (uint64_t)floor(sg_jp_reading()->every_s * config->rate_hz + 0.5);
    sg_status status = SG_OK;
    for (size_t i = 0; i < meter->naxis && sg_ok(status); i++)
        status = axis_init(meter, i);
    if (!sg_ok(status)) {
        sg_vibration_free(meter);
        return status;
    }
    *out = meter;
    return SG_OK;
}

void sg_vibration_free(struct sg_vibration_meter *meter)
{
    if (meter == NULL)
        return;
    for (size_t i = 0; i < SG_AXES_MAX; i++) {
        struct axis_chain *axis = &meter->axis[i];
        sg_detectors_release(&axis->detectors);
        sg_bands_free(axis->bands);
        sg_free(axis->ring);
    }
    sg_free(meter);
}

const struct sg_filter *sg_vibration_filter(const struct sg_vibration_meter *meter,
                                            enum sg_weighting weighting, size_t axis)
{
    const struct axis_chain *chain = &meter->axis[axis];
    if (weighting == meter->config.kb)
        return &chain->kb;
    if (weighting == SG_WEIGHTING_JP_VERTICAL)
        return chain->jp_used ? &chain->jp : NULL;
    for (int d = 0; d < SG_DOSE_END; d++)
        if (sg_dose_weighting((enum sg_dose)d) == weighting && chain->dose[d].used)
            return &chain->dose[d].filter;
    return NULL;
}
