/* vibration_meter.c - one pass over up to three axes of one sensor: peaks, vector sum, running rms,
 * KB, doses, the Japanese level, third octaves.
 *
 * Sources: BS 6472-1, ISO 2631-1, ISO 8041-1 (doses); DIN 4150-2, DIN 45669-1 (KB); JIS C 1510.
 * Corners of the integrators (0.5 Hz, fourth and second order) and the differentiator of eighth
 * order accuracy: common practice, no source.
 */
#include "stillground/signal.h"

#include <math.h>
#include <string.h>

#define CHUNK 1024
#define INTEGRATOR_HZ 0.5
#define MM_PER_M 1000.0
#define SLOPE_HALF 4 /* differentiator: 9 taps */
#define RUNNING_S 1.0
#define BANDS_HIGH_HZ 400.0 /* upper third octave of vibration: 315 Hz */

struct dose_chain {
    bool used;
    struct sg_filter filter;
    struct sg_filter_state state;
    struct sg_running running;
    struct sg_exponential slow;
};

struct axis_chain {
    enum sg_kind kind;
    double offset;
    struct sg_filter to_velocity, to_displacement, kb, jp;
    struct sg_filter_state to_velocity_state, to_displacement_state, kb_state, jp_state;
    struct dose_chain dose[SG_DOSE_END];
    bool jp_used;
    struct sg_running running;
    struct sg_exponential kb_fast, jp_slow;
    struct sg_peak_finder velocity, displacement, acceleration;
    double slope[2 * SLOPE_HALF + 1];
    size_t slope_seen;
    struct sg_bands *bands;
    double takt_max2;
    uint64_t takt_samples, jp_samples;
    double *ring; /* last `window` velocities */
    size_t ring_at, ring_filled, since_peak, pending;
};

struct sg_vibration_meter {
    struct sg_vibration_config config;
    size_t naxis, window;
    double step_s;
    uint64_t takt_length, jp_length;
    struct axis_chain axis[SG_AXES_MAX];
    double velocity[SG_AXES_MAX][CHUNK], work[CHUNK], more[CHUNK];
};

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

/* ---- making ---------------------------------------------------------------------------------- */

static sg_status dose_init(struct dose_chain *chain, enum sg_dose dose, enum sg_kind kind,
                           double rate_hz)
{
    sg_status status = sg_filter_weighting(sg_dose_weighting(dose), kind, rate_hz, &chain->filter);
    if (!sg_ok(status))
        return status;
    sg_exponential_init(&chain->slow, rate_hz, RUNNING_S);
    chain->used = true;
    return sg_running_init(&chain->running, rate_hz, RUNNING_S);
}

static sg_status axis_filters(struct axis_chain *axis, const struct sg_vibration_config *config,
                              enum sg_axis direction)
{
    double rate = config->rate_hz, top = 0.46 * rate;
    struct sg_analogue analogue;
    sg_status status = SG_OK;
    if (axis->kind == SG_KIND_ACCELERATION) {
        sg_analogue_integrator(INTEGRATOR_HZ, 4, MM_PER_M, &analogue);
        status = sg_filter_design(&analogue, rate, 0.5, top, &axis->to_velocity);
    }
    sg_analogue_integrator(INTEGRATOR_HZ, 2, 1.0, &analogue);
    if (sg_ok(status))
        status = sg_filter_design(&analogue, rate, 0.5, top, &axis->to_displacement);
    if (sg_ok(status))
        status = sg_filter_weighting(config->kb, axis->kind, rate, &axis->kb);
    axis->jp_used = direction == SG_AXIS_Z || direction == SG_AXIS_NONE;
    if (sg_ok(status) && axis->jp_used)
        status = sg_filter_weighting(SG_WEIGHTING_JP_VERTICAL, axis->kind, rate, &axis->jp);
    for (int d = 0; d < SG_DOSE_END && sg_ok(status); d++)
        if (dose_applies((enum sg_dose)d, direction))
            status = dose_init(&axis->dose[d], (enum sg_dose)d, axis->kind, rate);
    return status;
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
    sg_status status = axis_filters(axis, config, config->axis[i]);
    if (sg_ok(status))
        status = sg_running_init(&axis->running, config->rate_hz, RUNNING_S);
    if (sg_ok(status))
        status = sg_bands_new(config->rate_hz, SG_BAND_FIRST, last_band(config->rate_hz),
                              sg_kb()->tau_s, &axis->bands);
    if (!sg_ok(status))
        return status;
    axis->ring = sg_alloc(meter->window, sizeof *axis->ring);
    if (axis->ring == NULL)
        return SG_ERR_NOMEM;
    sg_exponential_init(&axis->kb_fast, config->rate_hz, sg_kb()->tau_s);
    sg_exponential_init(&axis->jp_slow, config->rate_hz, sg_time_weighting(SG_TIME_JP)->rise_s);
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
        for (size_t d = 0; d < SG_DOSE_END; d++)
            sg_running_release(&axis->dose[d].running);
        sg_running_release(&axis->running);
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

/* ---- running --------------------------------------------------------------------------------- */

static void keep_snapshot(struct axis_chain *axis, size_t window, struct sg_axis_sums *sums)
{
    size_t filled = axis->ring_filled, from = (axis->ring_at + window - filled) % window;
    for (size_t i = 0; i < filled; i++)
        sums->snapshot[i] = axis->ring[(from + i) % window];
    sums->snapshot_count = filled;
    sums->snapshot_peak = filled - 1 - axis->since_peak;
    axis->pending = 0;
}

/* The larger of two numbers, for inner loops; b is never NaN. */
static inline double larger(double a, double b)
{
    return b > a ? b : a;
}

/* Takes the largest running sum of a block into a mean that may be unset. */
static void take_largest(double *mean, double sum, const struct sg_running *running)
{
    if (sum >= 0.0)
        *mean = fmax(*mean, sum / (double)running->length);
}

/* Peak, rms and the waveform around the peak; a waveform is kept when half a window has
 * followed. */
static void run_velocity(struct sg_vibration_meter *meter, size_t i, size_t count, double time_s,
                         struct sg_axis_sums *sums)
{
    struct axis_chain *axis = &meter->axis[i];
    const double *v = meter->velocity[i];
    double squares = 0.0, most = -1.0;
    for (size_t k = 0; k < count; k++) {
        double old = sums->velocity.sampled, square = v[k] * v[k];
        axis->ring[axis->ring_at] = v[k];
        axis->ring_at = axis->ring_at + 1 == meter->window ? 0 : axis->ring_at + 1;
        axis->ring_filled += axis->ring_filled < meter->window ? 1 : 0;
        sg_peak_step(&axis->velocity, &sums->velocity, v[k], time_s + (double)k * meter->step_s,
                     meter->step_s);
        axis->since_peak++;
        if (sums->velocity.sampled > old) {
            axis->since_peak = 0;
            axis->pending = meter->window / 2;
        } else if (axis->pending > 0 && --axis->pending == 0) {
            keep_snapshot(axis, meter->window, sums);
        }
        squares += square;
        most = larger(most, sg_running_sum(&axis->running, square));
    }
    sums->square += squares * meter->step_s;
    take_largest(&sums->largest_mean_1s, most, &axis->running);
}

/* Central differences of eighth-order accuracy; the answer is SLOPE_HALF samples late. */
static double slope_step(double *held, double x, double rate_hz)
{
    memmove(held, held + 1, 2 * SLOPE_HALF * sizeof *held);
    held[2 * SLOPE_HALF] = x;
    const double *m = held + SLOPE_HALF;
    return rate_hz * (4.0 / 5.0 * (m[1] - m[-1]) - 1.0 / 5.0 * (m[2] - m[-2]) +
                      4.0 / 105.0 * (m[3] - m[-3]) - 1.0 / 280.0 * (m[4] - m[-4]));
}

static void run_others(struct sg_vibration_meter *meter, size_t i, const double *in, size_t count,
                       double time_s, struct sg_axis_sums *sums)
{
    struct axis_chain *axis = &meter->axis[i];
    const double *v = meter->velocity[i], slope_rate = meter->config.rate_hz / MM_PER_M;
    sg_filter_run(&axis->to_displacement, &axis->to_displacement_state, v, meter->work, count);
    for (size_t k = 0; k < count; k++) {
        double at = time_s + (double)k * meter->step_s;
        sg_peak_step(&axis->displacement, &sums->displacement, meter->work[k], at, meter->step_s);
        double a = in[k] - axis->offset;
        if (axis->kind == SG_KIND_VELOCITY) {
            a = slope_step(axis->slope, v[k], slope_rate);
            at -= SLOPE_HALF * meter->step_s;
            if (++axis->slope_seen <= 2 * SLOPE_HALF) /* not all nine are there */
                continue;
        }
        sg_peak_step(&axis->acceleration, &sums->acceleration, a, at, meter->step_s);
    }
    sg_bands_run(axis->bands, v, count);
}

static void close_takt(struct axis_chain *axis, struct sg_axis_sums *sums)
{
    double floor2 = sg_kb()->floor * sg_kb()->floor;
    sums->kbft_sum2 += axis->takt_max2 > floor2 ? axis->takt_max2 : 0.0;
    sums->takts++;
    axis->takt_max2 = 0.0;
    axis->takt_samples = 0;
}

static void run_kb(struct sg_vibration_meter *meter, size_t i, const double *in, size_t count,
                   double time_s, struct sg_axis_sums *sums)
{
    struct axis_chain *axis = &meter->axis[i];
    struct sg_exponential fast = axis->kb_fast;
    sg_filter_run(&axis->kb, &axis->kb_state, in, meter->work, count);
    for (size_t k = 0; k < count; k++) {
        double kb2 = sg_exponential_step(&fast, meter->work[k] * meter->work[k]);
        axis->takt_max2 = larger(axis->takt_max2, kb2);
        if (kb2 > sums->kbf_max2) {
            sums->kbf_max2 = kb2;
            sums->kbf_time_s = time_s + (double)k * meter->step_s;
        }
        if (++axis->takt_samples == meter->takt_length)
            close_takt(axis, sums);
    }
    axis->kb_fast = fast;
}

static void run_dose(struct sg_vibration_meter *meter, struct dose_chain *chain, const double *in,
                     size_t count, struct sg_dose_sums *sums)
{
    double square2 = 0.0, fourth = 0.0, peak2 = 0.0, linear = -1.0, slow = 0.0;
    struct sg_running running = chain->running;
    struct sg_exponential mean = chain->slow;
    sg_filter_run(&chain->filter, &chain->state, in, meter->work, count);
    for (size_t k = 0; k < count; k++) {
        double square = meter->work[k] * meter->work[k];
        square2 += square;
        fourth += square * square;
        peak2 = larger(peak2, square);
        linear = larger(linear, sg_running_sum(&running, square));
        slow = larger(slow, sg_exponential_step(&mean, square));
    }
    chain->running = running;
    chain->slow = mean;
    sums->used = true;
    sums->square += square2 * meter->step_s;
    sums->fourth += fourth * meter->step_s;
    sums->peak = fmax(sums->peak, sqrt(peak2));
    take_largest(&sums->mtvv_linear, linear, &chain->running);
    sums->mtvv_exponential = fmax(sums->mtvv_exponential, slow);
}

static void run_jp(struct sg_vibration_meter *meter, struct axis_chain *axis, const double *in,
                   size_t count, struct sg_axis_sums *sums)
{
    double most = 0.0;
    sg_filter_run(&axis->jp, &axis->jp_state, in, meter->work, count);
    for (size_t k = 0; k < count; k++) {
        double mean = sg_exponential_step(&axis->jp_slow, meter->work[k] * meter->work[k]);
        most = larger(most, mean);
        if (++axis->jp_samples == meter->jp_length) {
            sg_levels_add(&sums->jp, sg_jp_level_db(sqrt(mean)));
            axis->jp_samples = 0;
        }
    }
    sums->jp_max2 = fmax(sums->jp_max2, most);
}

static void run_chunk(struct sg_vibration_meter *meter, const double *const *channel, size_t from,
                      size_t count, double time_s, struct sg_vibration_sums *sums)
{
    for (size_t i = 0; i < meter->naxis; i++) {
        struct axis_chain *axis = &meter->axis[i];
        const double *in = channel[i] + from;
        memcpy(meter->velocity[i], in, count * sizeof *in);
        if (axis->kind == SG_KIND_ACCELERATION) {
            for (size_t k = 0; k < count; k++)
                meter->more[k] = in[k] - axis->offset;
            in = meter->more;
            sg_filter_run(&axis->to_velocity, &axis->to_velocity_state, in, meter->velocity[i],
                          count);
        }
        run_velocity(meter, i, count, time_s, &sums->axis[i]);
        run_others(meter, i, channel[i] + from, count, time_s, &sums->axis[i]);
        run_kb(meter, i, in, count, time_s, &sums->axis[i]);
        for (size_t d = 0; d < SG_DOSE_END; d++)
            if (axis->dose[d].used)
                run_dose(meter, &axis->dose[d], in, count, &sums->axis[i].dose[d]);
        if (axis->jp_used)
            run_jp(meter, axis, in, count, &sums->axis[i]);
    }
    double most = sums->pvs * sums->pvs;
    for (size_t k = 0; k < count && meter->naxis > 1; k++) {
        double square = 0.0;
        for (size_t i = 0; i < meter->naxis; i++)
            square += meter->velocity[i][k] * meter->velocity[i][k];
        if (square > most) {
            most = square;
            sums->pvs = sqrt(square);
            sums->pvs_time_s = time_s + (double)k * meter->step_s;
        }
    }
}

void sg_vibration_run(struct sg_vibration_meter *meter, const double *const *channel, size_t count,
                      double time_s, struct sg_vibration_sums *sums)
{
    if (count > 0 && !sg_is_set(sums->start_s))
        sums->start_s = time_s;
    for (size_t from = 0; from < count;) {
        size_t now = count - from < CHUNK ? count - from : CHUNK;
        run_chunk(meter, channel, from, now, time_s + (double)from * meter->step_s, sums);
        from += now;
    }
    sums->seconds += (double)count * meter->step_s;
}

void sg_vibration_close(struct sg_vibration_meter *meter, struct sg_vibration_sums *sums)
{
    for (size_t i = 0; i < meter->naxis; i++) {
        struct axis_chain *axis = &meter->axis[i];
        if (axis->takt_samples > 0)
            close_takt(axis, &sums->axis[i]);
        if (axis->pending > 0)
            keep_snapshot(axis, meter->window, &sums->axis[i]);
        sg_bands_take(axis->bands, &sums->axis[i].bands);
    }
}

static void restart_running(struct sg_running *running)
{
    memset(running->ring, 0, running->length * sizeof *running->ring);
    running->at = running->filled = 0;
    running->sum = 0.0;
}

/* The bands keep their states: they are short against a gap, and their energy is already
 * counted. */
void sg_vibration_restart(struct sg_vibration_meter *meter, struct sg_vibration_sums *sums)
{
    const struct sg_filter_state zero = { .s = { { 0.0 } } };
    for (size_t i = 0; i < meter->naxis; i++) {
        struct axis_chain *axis = &meter->axis[i];
        if (axis->pending > 0)
            keep_snapshot(axis, meter->window, &sums->axis[i]);
        axis->to_velocity_state = axis->to_displacement_state = axis->kb_state = zero;
        axis->jp_state = zero;
        axis->kb_fast.y = axis->jp_slow.y = 0.0;
        restart_running(&axis->running);
        for (size_t d = 0; d < SG_DOSE_END; d++) {
            if (!axis->dose[d].used)
                continue;
            axis->dose[d].state = zero;
            axis->dose[d].slow.y = 0.0;
            restart_running(&axis->dose[d].running);
        }
        axis->velocity.seen = axis->displacement.seen = axis->acceleration.seen = 0;
        memset(axis->slope, 0, sizeof axis->slope);
        axis->slope_seen = 0;
        axis->ring_filled = axis->ring_at = axis->pending = 0;
    }
}
