/* vibration_sums.c - what a vibration meter collects over an interval: life, clearing, merging. */
#include "stillground/signal.h"

#include <math.h>
#include <string.h>

#define WINDOW_MIN 256.0
#define WINDOW_MAX 32768.0

/* Two seconds around a peak, within bounds. */
size_t sg_vibration_window(double rate_hz)
{
    return (size_t)fmax(WINDOW_MIN, fmin(WINDOW_MAX, floor(2.0 * rate_hz)));
}

sg_status sg_vibration_sums_init(struct sg_vibration_sums *sums,
                                 const struct sg_vibration_config *config)
{
    struct sg_vibration_sums made = { .rate_hz = config->rate_hz,
                                      .naxis = config->naxis,
                                      .window = sg_vibration_window(config->rate_hz) };
    sg_status status = config->naxis >= 1 && config->naxis <= SG_AXES_MAX ? SG_OK : SG_ERR_DOMAIN;
    for (size_t i = 0; i < made.naxis && sg_ok(status); i++) {
        struct sg_axis_sums *axis = &made.axis[i];
        made.axis_of[i] = config->axis[i];
        axis->snapshot = sg_alloc(made.window, sizeof *axis->snapshot);
        status = axis->snapshot == NULL ? SG_ERR_NOMEM : sg_levels_init(&axis->jp);
    }
    if (!sg_ok(status)) {
        sg_vibration_sums_release(&made);
        return status;
    }
    sg_vibration_sums_clear(&made);
    *sums = made;
    return SG_OK;
}

void sg_vibration_sums_release(struct sg_vibration_sums *sums)
{
    for (size_t i = 0; i < SG_AXES_MAX; i++) {
        sg_free(sums->axis[i].snapshot);
        sg_levels_release(&sums->axis[i].jp);
        sums->axis[i].snapshot = NULL;
    }
}

void sg_vibration_sums_clear(struct sg_vibration_sums *sums)
{
    sums->start_s = sums->pvs_time_s = SG_UNSET;
    sums->seconds = sums->pvs = 0.0;
    for (size_t i = 0; i < sums->naxis; i++) {
        struct sg_axis_sums *axis = &sums->axis[i];
        struct sg_axis_sums clear = { .snapshot = axis->snapshot, .jp = axis->jp };
        *axis = clear;
        sg_peak_clear(&axis->velocity);
        sg_peak_clear(&axis->displacement);
        sg_peak_clear(&axis->acceleration);
        sg_levels_clear(&axis->jp);
        axis->largest_mean_1s = axis->jp_max2 = SG_UNSET;
        for (size_t d = 0; d < SG_DOSE_END; d++)
            axis->dose[d].mtvv_linear = SG_UNSET;
    }
}

static void merge_peak(struct sg_peak *into, const struct sg_peak *more)
{
    if (more->value > into->value)
        *into = *more;
}

static void merge_dose(struct sg_dose_sums *into, const struct sg_dose_sums *more)
{
    into->used = into->used || more->used;
    into->square += more->square;
    into->fourth += more->fourth;
    into->peak = fmax(into->peak, more->peak);
    into->mtvv_linear = fmax(into->mtvv_linear, more->mtvv_linear);
    into->mtvv_exponential = fmax(into->mtvv_exponential, more->mtvv_exponential);
}

static void merge_axis(struct sg_axis_sums *into, const struct sg_axis_sums *more)
{
    if (more->velocity.value > into->velocity.value) {
        memcpy(into->snapshot, more->snapshot, more->snapshot_count * sizeof *into->snapshot);
        into->snapshot_count = more->snapshot_count;
        into->snapshot_peak = more->snapshot_peak;
    }
    merge_peak(&into->velocity, &more->velocity);
    merge_peak(&into->displacement, &more->displacement);
    merge_peak(&into->acceleration, &more->acceleration);
    into->square += more->square;
    into->largest_mean_1s = fmax(into->largest_mean_1s, more->largest_mean_1s);
    if (more->kbf_max2 > into->kbf_max2) {
        into->kbf_max2 = more->kbf_max2;
        into->kbf_time_s = more->kbf_time_s;
    }
    into->kbft_sum2 += more->kbft_sum2;
    into->takts += more->takts;
    for (size_t d = 0; d < SG_DOSE_END; d++)
        merge_dose(&into->dose[d], &more->dose[d]);
    sg_bands_merge(&into->bands, &more->bands);
    sg_levels_merge(&into->jp, &more->jp);
    into->jp_max2 = fmax(into->jp_max2, more->jp_max2);
}

void sg_vibration_sums_merge(struct sg_vibration_sums *into, const struct sg_vibration_sums *more)
{
    if (!sg_is_set(into->start_s) || more->start_s < into->start_s)
        into->start_s = more->start_s;
    into->seconds += more->seconds;
    if (more->pvs > into->pvs) {
        into->pvs = more->pvs;
        into->pvs_time_s = more->pvs_time_s;
    }
    for (size_t i = 0; i < into->naxis; i++)
        merge_axis(&into->axis[i], &more->axis[i]);
}
