/* vibration_meter.c - one pass over up to three axes of one sensor: peaks, vector sum, running rms,
 * KB, doses, the Japanese level, third octaves.
 *
 * Sources: BS 6472-1, ISO 2631-1, ISO 8041-1 (doses); DIN 4150-2, DIN 45669-1 (KB); JIS C 1510.
 * Corners of the integrators (0.5 Hz, fourth and second order) and the differentiator of eighth
 * order accuracy: common practice, no source.
 */
#include "lanes.h"

#include <math.h>
#include <string.h>

#define CHUNK 512
#define INTEGRATOR_HZ 0.5
#define MM_PER_M 1000.0
#define SLOPE_HALF 4 /* differentiator: 9 taps */
#define RUNNING_S 1.0
#define BANDS_HIGH_HZ 400.0 /* upper third octave of vibration: 315 Hz */

/* Filters of one axis that run side by side; the doses come first. */
enum { FILTERED_KB = SG_DOSE_END, FILTERED_JP, FILTERED_DISPLACEMENT, FILTERED_END };
#define LANE_VELOCITY FILTERED_END /* of the detectors, behind the filters */
_Static_assert(LANE_VELOCITY < SG_FILTER_LANES, "a lane for each filter and the velocity");

struct dose_chain {
    bool used;
    struct sg_filter filter;
    struct sg_filter_state state;
};

struct axis_chain {
    enum sg_kind kind;
    double offset;
    struct sg_filter to_velocity, to_displacement, kb, jp;
    struct sg_filter_state to_velocity_state, to_displacement_state, kb_state, jp_state;
    struct dose_chain dose[SG_DOSE_END];
    bool jp_used;
    struct sg_detectors detectors;
    struct sg_peak_finder velocity, displacement, acceleration;
    double slope[2 * SLOPE_HALF]; /* the last velocities */
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
    double velocity[SG_AXES_MAX][CHUNK], more[CHUNK];
    double filtered[FILTERED_END][CHUNK]; /* of one axis */
    double lane[CHUNK][SG_FILTER_LANES], mean[CHUNK][SG_FILTER_LANES];
    double run_up[2 * SLOPE_HALF + CHUNK], rise[CHUNK];
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
    axis->ring = sg_alloc(meter->window, sizeof *axis->ring);
    if (axis->ring == NULL)
        return SG_ERR_NOMEM;
    for (size_t lane = 0; lane < SG_FILTER_LANES; lane++) {
        struct sg_exponential mean;
        double tau_s = lane == FILTERED_KB   ? sg_kb()->tau_s
                       : lane == FILTERED_JP ? sg_time_weighting(SG_TIME_JP)->rise_s
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
static void take_largest(double *mean, double sum, size_t length)
{
    if (sum >= 0.0)
        *mean = fmax(*mean, sum / (double)length);
}

/* Peak, rms and the waveform around the peak; a waveform is kept when half a window has
 * followed. */
static void run_velocity(struct sg_vibration_meter *meter, size_t i, size_t count, double time_s,
                         struct sg_axis_sums *sums)
{
    struct axis_chain *axis = &meter->axis[i];
    const double *v = meter->velocity[i];
    for (size_t k = 0; k < count; k++) {
        double old = sums->velocity.sampled;
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
    }
}

/* Central differences of eighth-order accuracy; out[k] is the slope at x[k + SLOPE_HALF]. */
SG_FOR_THIS_CPU
static void slopes(const double *restrict x, size_t count, double rate_hz, double *restrict out)
{
    for (size_t k = 0; k < count; k++) {
        const double *m = x + k + SLOPE_HALF;
        out[k] = rate_hz * (4.0 / 5.0 * (m[1] - m[-1]) - 1.0 / 5.0 * (m[2] - m[-2]) +
                            4.0 / 105.0 * (m[3] - m[-3]) - 1.0 / 280.0 * (m[4] - m[-4]));
    }
}

static void find_slopes(struct sg_vibration_meter *meter, size_t i, size_t count)
{
    struct axis_chain *axis = &meter->axis[i];
    memcpy(meter->run_up, axis->slope, sizeof axis->slope);
    memcpy(meter->run_up + 2 * SLOPE_HALF, meter->velocity[i], count * sizeof(double));
    slopes(meter->run_up, count, meter->config.rate_hz / MM_PER_M, meter->rise);
    memcpy(axis->slope, meter->run_up + count, sizeof axis->slope);
}

static void run_others(struct sg_vibration_meter *meter, size_t i, const double *in, size_t count,
                       double time_s, struct sg_axis_sums *sums)
{
    struct axis_chain *axis = &meter->axis[i];
    const double *displacement = meter->filtered[FILTERED_DISPLACEMENT];
    if (axis->kind == SG_KIND_VELOCITY)
        find_slopes(meter, i, count);
    for (size_t k = 0; k < count; k++) {
        double at = time_s + (double)k * meter->step_s;
        sg_peak_step(&axis->displacement, &sums->displacement, displacement[k], at, meter->step_s);
        double a = in[k] - axis->offset;
        if (axis->kind == SG_KIND_VELOCITY) {
            a = meter->rise[k];
            at -= SLOPE_HALF * meter->step_s;
            if (++axis->slope_seen <= 2 * SLOPE_HALF) /* not all nine are there */
                continue;
        }
        sg_peak_step(&axis->acceleration, &sums->acceleration, a, at, meter->step_s);
    }
    sg_bands_run(axis->bands, meter->velocity[i], count);
}

static void close_takt(struct axis_chain *axis, struct sg_axis_sums *sums)
{
    double floor2 = sg_kb()->floor * sg_kb()->floor;
    sums->kbft_sum2 += axis->takt_max2 > floor2 ? axis->takt_max2 : 0.0;
    sums->takts++;
    axis->takt_max2 = 0.0;
    axis->takt_samples = 0;
}

static void run_kb(struct sg_vibration_meter *meter, size_t i, size_t count, double time_s,
                   struct sg_axis_sums *sums)
{
    struct axis_chain *axis = &meter->axis[i];
    for (size_t k = 0; k < count; k++) {
        double kb2 = meter->mean[k][FILTERED_KB];
        axis->takt_max2 = larger(axis->takt_max2, kb2);
        if (kb2 > sums->kbf_max2) {
            sums->kbf_max2 = kb2;
            sums->kbf_time_s = time_s + (double)k * meter->step_s;
        }
        if (++axis->takt_samples == meter->takt_length)
            close_takt(axis, sums);
    }
}

static void take_dose(const struct sg_vibration_meter *meter, const struct sg_detected *found,
                      size_t d, size_t length, struct sg_dose_sums *sums)
{
    sums->used = true;
    sums->square += found->square[d] * meter->step_s;
    sums->fourth += found->fourth[d] * meter->step_s;
    sums->peak = fmax(sums->peak, sqrt(found->peak2[d]));
    take_largest(&sums->mtvv_linear, found->largest_sum[d], length);
    sums->mtvv_exponential = fmax(sums->mtvv_exponential, found->largest_mean[d]);
}

static void run_jp(const struct sg_vibration_meter *meter, struct axis_chain *axis, size_t count,
                   double largest, struct sg_axis_sums *sums)
{
    for (uint64_t k = meter->jp_length - axis->jp_samples; k <= count; k += meter->jp_length)
        sg_levels_add(&sums->jp, sg_jp_level_db(sqrt(meter->mean[k - 1][FILTERED_JP])));
    axis->jp_samples = (axis->jp_samples + count) % meter->jp_length;
    sums->jp_max2 = fmax(sums->jp_max2, largest);
}

static bool lane_used(const struct axis_chain *axis, size_t lane)
{
    return lane < SG_DOSE_END ? axis->dose[lane].used : lane != FILTERED_JP || axis->jp_used;
}

/* Everything that is a mean of squares. */
static void run_detectors(struct sg_vibration_meter *meter, size_t i, size_t count, double time_s,
                          struct sg_axis_sums *sums)
{
    struct axis_chain *axis = &meter->axis[i];
    struct sg_detected found;
    size_t length = axis->detectors.length;
    for (size_t lane = 0; lane < SG_FILTER_LANES; lane++) {
        const double *from = lane == LANE_VELOCITY   ? meter->velocity[i]
                             : lane_used(axis, lane) ? meter->filtered[lane]
                                                     : NULL;
        for (size_t k = 0; k < count; k++)
            meter->lane[k][lane] = from != NULL ? from[k] : 0.0;
    }
    sg_detectors_run(&axis->detectors, meter->lane, meter->mean, count, &found);
    for (size_t d = 0; d < SG_DOSE_END; d++)
        if (axis->dose[d].used)
            take_dose(meter, &found, d, length, &sums->dose[d]);
    run_kb(meter, i, count, time_s, sums);
    if (axis->jp_used)
        run_jp(meter, axis, count, found.largest_mean[FILTERED_JP], sums);
    sums->square += found.square[LANE_VELOCITY] * meter->step_s;
    take_largest(&sums->largest_mean_1s, found.largest_sum[LANE_VELOCITY], length);
}

static void run_filters(struct sg_vibration_meter *meter, size_t i, const double *in, size_t count)
{
    struct axis_chain *axis = &meter->axis[i];
    struct sg_filter_job job[SG_FILTER_LANES];
    size_t njob = 0;
    for (size_t d = 0; d < SG_DOSE_END; d++)
        if (axis->dose[d].used)
            job[njob++] = (struct sg_filter_job){ &axis->dose[d].filter, &axis->dose[d].state, in,
                                                  meter->filtered[d] };
    job[njob++] =
        (struct sg_filter_job){ &axis->kb, &axis->kb_state, in, meter->filtered[FILTERED_KB] };
    job[njob++] =
        (struct sg_filter_job){ &axis->to_displacement, &axis->to_displacement_state,
                                meter->velocity[i], meter->filtered[FILTERED_DISPLACEMENT] };
    if (axis->jp_used)
        job[njob++] =
            (struct sg_filter_job){ &axis->jp, &axis->jp_state, in, meter->filtered[FILTERED_JP] };
    sg_filter_run_lanes(job, njob, count);
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
        run_filters(meter, i, in, count);
        run_velocity(meter, i, count, time_s, &sums->axis[i]);
        run_others(meter, i, channel[i] + from, count, time_s, &sums->axis[i]);
        run_detectors(meter, i, count, time_s, &sums->axis[i]);
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
        sg_detectors_restart(&axis->detectors);
        for (size_t d = 0; d < SG_DOSE_END; d++) {
            if (!axis->dose[d].used)
                continue;
            axis->dose[d].state = zero;
        }
        axis->velocity.seen = axis->displacement.seen = axis->acceleration.seen = 0;
        memset(axis->slope, 0, sizeof axis->slope);
        axis->slope_seen = 0;
        axis->ring_filled = axis->ring_at = axis->pending = 0;
    }
}
