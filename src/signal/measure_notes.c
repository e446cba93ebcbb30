/* measure_notes.c - findings about a recording as a whole: its calibration, its band, rate, length
 * and clock against what is stated beside it, the signs of its sensors.
 *
 * Rules: common practice, no source. Velocity sensors give some 4 V per m/s (piezo-electric) and
 * more; 0.1 to 1 is what such a sensor has per in/s. Two sensors on the same axis whose motion
 * correlates at -0.8 and below stand together with opposite signs.
 */
#include "measure.h"

#include <math.h>

#define VIBRATION_TOP_HZ 80.0
#define VIBRATION_WIDE_HZ 315.0
#define SOUND_TOP_HZ 8000.0
#define DAY_S 86400.0
#define LEAST_V_PER_M_S 2.0
#define RATE_FITS 1e-3
#define DURATION_FITS 5e-3
#define CLOCK_FITS_S 1.0
#define OPPOSITE (-0.8)

/* Whether a figure stated beside the file is over a share off; not when none is stated. */
static bool differ(double found, double stated, double share)
{
    return stated > 0.0 && fabs(found - stated) > share * stated;
}

/* What is known before the first sample: missing calibration, its age, the band. */
void sg_run_note_standing(struct run *run, struct group_state *group, double time_s)
{
    double top = 0.46 * run->info->rate_hz;
    double needed = group->is_sound                          ? SOUND_TOP_HZ
                    : run->options.kb == SG_WEIGHTING_KB_315 ? VIBRATION_WIDE_HZ
                                                             : VIBRATION_TOP_HZ;
    if (top < needed)
        sg_quality_note(&group->found, SG_QUALITY_BAND, time_s, top);
    if (run->calibration == NULL) {
        sg_quality_note(&group->found, SG_QUALITY_UNCALIBRATED, time_s, 0.0);
        return;
    }
    for (size_t i = 0; i < group->nchannel; i++) {
        const struct sg_calibration_channel *given = &run->channel[group->channel[i]].given;
        if (given->by == SG_BY_SENSITIVITY && given->kind == SG_KIND_VELOCITY &&
            given->sensitivity < LEAST_V_PER_M_S)
            sg_quality_note(&group->found, SG_QUALITY_UNIT, time_s, given->sensitivity);
    }
    if (differ(run->info->rate_hz, run->calibration->rate_hz, RATE_FITS))
        sg_quality_note(&group->found, SG_QUALITY_RATE, time_s,
                        run->info->rate_hz / run->calibration->rate_hz);
    double late_s = run->info->start_epoch_s - run->calibration->start_epoch_s;
    if (fabs(late_s) > CLOCK_FITS_S)
        sg_quality_note(&group->found, SG_QUALITY_CLOCK, time_s, fabs(late_s));
    double now =
        sg_is_set(run->start_epoch_s) ? run->start_epoch_s + time_s : run->options.now_epoch_s;
    double days = (now - run->calibration->calibrated_epoch_s) / DAY_S;
    if (days > run->calibration->valid_days)
        sg_quality_note(&group->found, SG_QUALITY_CALIBRATION_OLD, time_s, days);
}

/* ---- pairs of sensors ------------------------------------------------------------------------ */

void sg_run_find_partners(struct run *run)
{
    for (size_t c = 0; c < run->info->nchannel; c++) {
        struct channel_state *state = &run->channel[c];
        state->partner = c;
        for (size_t k = 0; k < c && state->partner == c && state->given.axis < SG_AXIS_NONE; k++) {
            const struct sg_calibration_channel *other = &run->channel[k].given;
            if (other->group != state->given.group && other->axis == state->given.axis &&
                other->kind == state->given.kind && other->kind != SG_KIND_PRESSURE)
                state->partner = k;
        }
    }
}

void sg_run_add_pairs(struct run *run, size_t count)
{
    for (size_t c = 0; c < run->info->nchannel; c++) {
        struct channel_state *state = &run->channel[c];
        const double *x = state->calibrated, *y = run->channel[state->partner].calibrated;
        for (size_t i = 0; i < count && state->partner != c; i++) {
            state->pair[0] += 1.0;
            state->pair[1] += x[i];
            state->pair[2] += y[i];
            state->pair[3] += x[i] * x[i];
            state->pair[4] += y[i] * y[i];
            state->pair[5] += x[i] * y[i];
        }
    }
}

static double correlation(const double pair[6])
{
    double xx = pair[3] - pair[1] * pair[1] / pair[0], yy = pair[4] - pair[2] * pair[2] / pair[0];
    return (pair[5] - pair[1] * pair[2] / pair[0]) / sqrt(xx * yy);
}

static struct group_state *group_of(struct run *run, size_t channel)
{
    for (size_t g = 0; g < run->ngroup; g++)
        if (run->group[g].number == run->channel[channel].given.group)
            return &run->group[g];
    return NULL;
}

void sg_run_note_whole(struct run *run)
{
    const struct sg_calibration *calibration = run->calibration;
    bool all = !sg_is_set(run->options.from_s) && !sg_is_set(run->options.to_s);
    for (size_t g = 0; g < run->ngroup && all && calibration != NULL; g++)
        if (differ(run->end_s, calibration->duration_s, DURATION_FITS) &&
            fabs(run->end_s - calibration->duration_s) * run->info->rate_hz > 2.0)
            sg_quality_note(&run->group[g].found, SG_QUALITY_DURATION, run->end_s,
                            run->end_s / calibration->duration_s);
    for (size_t c = 0; c < run->info->nchannel; c++) {
        struct channel_state *state = &run->channel[c];
        double r = state->partner != c ? correlation(state->pair) : 0.0;
        struct group_state *group = group_of(run, c);
        if (r < OPPOSITE && group != NULL)
            sg_quality_note(&group->found, SG_QUALITY_POLARITY, 0.0, -r);
    }
}
