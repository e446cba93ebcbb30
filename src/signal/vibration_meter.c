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

#define CHUNK 1024 /* samples of all axes handled at a time */
#define PIECE SG_LANES_PIECE
#define INTEGRATOR_HZ 0.5
#define MM_PER_M 1000.0
#define SLOPE_HALF 4 /* differentiator: 9 taps */
#define RUNNING_S 1.0
#define BANDS_HIGH_HZ 400.0 /* upper third octave of vibration: 315 Hz */

/* What runs side by side for one axis: its filters, the doses first, and the velocity itself. */
enum { LANE_KB = SG_DOSE_END, LANE_JP, LANE_DISPLACEMENT, LANE_VELOCITY, LANE_END };
_Static_assert(LANE_END == SG_FILTER_LANES, "a lane for each filter and the velocity");

struct dose_chain {
    bool used;
    struct sg_filter filter;
};

struct axis_chain {
    enum sg_kind kind;
    double offset;
    struct sg_filter to_velocity, to_displacement, kb, jp;
    struct sg_filter_state to_velocity_state;
    struct dose_chain dose[SG_DOSE_END];
    struct sg_filter_bank bank; /* all but to_velocity */
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

/* A piece of one axis, lane by lane: what the filters give, and the exponential means of squares. */
struct piece {
    _Alignas(64) double lane[PIECE][SG_FILTER_LANES];
    _Alignas(64) double mean[PIECE][SG_FILTER_LANES];
};

struct sg_vibration_meter {
    struct sg_vibration_config config;
    size_t naxis, window;
    double step_s;
    uint64_t takt_length, jp_length;
    struct axis_chain axis[SG_AXES_MAX];
    uint64_t samples; /* since the last close */
    double pvs2;      /* largest squared vector sum since then */
    const double *velocity[SG_AXES_MAX]; /* of this chunk */
    double made[SG_AXES_MAX][CHUNK];     /* velocities from accelerations */
    double acceleration[CHUNK + PIECE];  /* of one axis, and room for a whole last piece */
    double run_up[2 * SLOPE_HALF + CHUNK + PIECE];
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
        double tau_s = lane == LANE_KB ? sg_kb()->tau_s
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

/* Copies velocities into the ring. */
static void keep_in_ring(struct axis_chain *axis, size_t window, const double *v, size_t count)
{
    axis->ring_filled = axis->ring_filled + count < window ? axis->ring_filled + count : window;
    while (count > 0) {
        size_t now = window - axis->ring_at < count ? window - axis->ring_at : count;
        memcpy(axis->ring + axis->ring_at, v, now * sizeof *v);
        axis->ring_at = axis->ring_at + now == window ? 0 : axis->ring_at + now;
        v += now;
        count -= now;
    }
}

/* Peak and the waveform around it, which is kept when half a window has followed. */
static void watch_velocity(struct sg_vibration_meter *meter, struct axis_chain *axis,
                           const double *v, size_t count, double time_s, struct sg_axis_sums *sums)
{
    for (size_t k = 0; k < count; k++) {
        double old = sums->velocity.sampled;
        keep_in_ring(axis, meter->window, v + k, 1);
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

/* square: the largest of the piece. */
static void run_velocity(struct sg_vibration_meter *meter, struct axis_chain *axis, const double *v,
                         size_t count, double square, double time_s, struct sg_axis_sums *sums)
{
    bool ends = axis->pending > 0 && axis->pending <= count;
    if (ends || !sg_peak_quiet(&axis->velocity, &sums->velocity, square)) {
        watch_velocity(meter, axis, v, count, time_s, sums);
        return;
    }
    keep_in_ring(axis, meter->window, v, count);
    sg_peak_run(&axis->velocity, &sums->velocity, v, 1, count, square, time_s, meter->step_s);
    axis->since_peak += count;
    axis->pending -= axis->pending > 0 ? count : 0;
}

/* Central differences of eighth-order accuracy; out[k] is the slope at x[k + SLOPE_HALF]. The length
 * is fixed so that the compiler can keep several in one register. */
SG_FOR_THIS_CPU
static void slopes(const double *restrict x, double rate_hz, double *restrict out)
{
    for (size_t k = 0; k < PIECE; k++) {
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
    for (size_t at = 0; at < count; at += PIECE)
        slopes(meter->run_up + at, meter->config.rate_hz / MM_PER_M, meter->acceleration + at);
    memcpy(axis->slope, meter->run_up + count, sizeof axis->slope);
}

/* A slope stands SLOPE_HALF samples behind, and the first need nine velocities. */
static void run_acceleration(struct sg_vibration_meter *meter, struct axis_chain *axis,
                             const double *a, size_t count, double time_s,
                             struct sg_axis_sums *sums)
{
    size_t pass = 0;
    if (axis->kind == SG_KIND_VELOCITY) {
        time_s -= SLOPE_HALF * meter->step_s;
        pass = 2 * SLOPE_HALF - axis->slope_seen < count ? 2 * SLOPE_HALF - axis->slope_seen
                                                         : count;
        axis->slope_seen += pass;
    }
    if (pass < count)
        sg_peak_run(&axis->acceleration, &sums->acceleration, a + pass, 1, count - pass,
                    sg_block_square(a + pass, count - pass),
                    time_s + (double)pass * meter->step_s, meter->step_s);
}

static void close_takt(struct axis_chain *axis, struct sg_axis_sums *sums)
{
    double floor2 = sg_kb()->floor * sg_kb()->floor;
    sums->kbft_sum2 += axis->takt_max2 > floor2 ? axis->takt_max2 : 0.0;
    sums->takts++;
    axis->takt_max2 = 0.0;
    axis->takt_samples = 0;
}

/* most: the largest of the piece, which ends a takt at its last sample or not at all. */
static void run_kb(const struct sg_vibration_meter *meter, struct axis_chain *axis,
                   const struct piece *piece, size_t count, double most, double time_s,
                   struct sg_axis_sums *sums)
{
    axis->takt_max2 = larger(axis->takt_max2, most);
    for (size_t k = 0; k < count && sums->kbf_max2 < most; k++)
        if (piece->mean[k][LANE_KB] > sums->kbf_max2) {
            sums->kbf_max2 = piece->mean[k][LANE_KB];
            sums->kbf_time_s = time_s + (double)k * meter->step_s;
        }
    axis->takt_samples += count;
    if (axis->takt_samples == meter->takt_length)
        close_takt(axis, sums);
}

static void take_dose(const struct sg_detected *found, size_t d, size_t length,
                      struct sg_dose_sums *sums)
{
    sums->used = true;
    sums->peak = fmax(sums->peak, sqrt(found->peak2[d]));
    take_largest(&sums->mtvv_linear, found->largest_sum[d], length);
    sums->mtvv_exponential = fmax(sums->mtvv_exponential, found->largest_mean[d]);
}

static void run_jp(const struct sg_vibration_meter *meter, struct axis_chain *axis,
                   const struct piece *piece, size_t count, double largest,
                   struct sg_axis_sums *sums)
{
    for (uint64_t k = meter->jp_length - axis->jp_samples; k <= count; k += meter->jp_length)
        sg_levels_add(&sums->jp, sg_jp_level_db(sqrt(piece->mean[k - 1][LANE_JP])));
    axis->jp_samples = (axis->jp_samples + count) % meter->jp_length;
    sums->jp_max2 = fmax(sums->jp_max2, largest);
}

/* At most PIECE samples of one axis: in as recorded, v the velocity, a the acceleration. */
static void run_piece(struct sg_vibration_meter *meter, struct axis_chain *axis, const double *in,
                      const double *v, size_t count, double time_s, struct sg_axis_sums *sums)
{
    struct piece piece;
    struct sg_detected found;
    size_t length = axis->detectors.length;
    sg_lanes_spread(in, piece.lane, count);
    for (size_t k = 0; k < count && v != in; k++) /* these want the velocity */
        piece.lane[k][LANE_DISPLACEMENT] = piece.lane[k][LANE_VELOCITY] = v[k];
    sg_bank_run(&axis->bank, piece.lane, count);
    sg_detectors_run(&axis->detectors, piece.lane, piece.mean, count, &found);
    for (size_t d = 0; d < SG_DOSE_END; d++)
        if (axis->dose[d].used)
            take_dose(&found, d, length, &sums->dose[d]);
    run_kb(meter, axis, &piece, count, found.largest_mean[LANE_KB], time_s, sums);
    if (axis->jp_used)
        run_jp(meter, axis, &piece, count, found.largest_mean[LANE_JP], sums);
    take_largest(&sums->largest_mean_1s, found.largest_sum[LANE_VELOCITY], length);
    run_velocity(meter, axis, v, count, found.peak2[LANE_VELOCITY], time_s, sums);
    sg_peak_run(&axis->displacement, &sums->displacement, &piece.lane[0][LANE_DISPLACEMENT],
                SG_FILTER_LANES, count, found.peak2[LANE_DISPLACEMENT], time_s, meter->step_s);
}

static void run_axis(struct sg_vibration_meter *meter, size_t i, const double *in, size_t count,
                     double time_s, struct sg_axis_sums *sums)
{
    struct axis_chain *axis = &meter->axis[i];
    meter->velocity[i] = in;
    if (axis->kind == SG_KIND_ACCELERATION) {
        for (size_t k = 0; k < count; k++)
            meter->acceleration[k] = in[k] - axis->offset;
        in = meter->acceleration;
        meter->velocity[i] = meter->made[i];
        sg_filter_run(&axis->to_velocity, &axis->to_velocity_state, in, meter->made[i], count);
    } else {
        find_slopes(meter, i, count);
    }
    for (size_t at = 0, now; at < count; at += now) {
        double at_s = time_s + (double)at * meter->step_s;
        uint64_t left = meter->takt_length - axis->takt_samples;
        now = count - at < PIECE ? count - at : PIECE;
        now = left < now ? (size_t)left : now;
        run_piece(meter, axis, in + at, meter->velocity[i] + at, now, at_s, sums);
        run_acceleration(meter, axis, meter->acceleration + at, now, at_s, sums);
    }
    sg_bands_run(axis->bands, meter->velocity[i], count);
}

static void run_vector(struct sg_vibration_meter *meter, size_t count, double time_s,
                       struct sg_vibration_sums *sums)
{
    double most = sg_block_vector(meter->velocity, meter->naxis, count);
    for (size_t k = 0; k < count && meter->pvs2 < most; k++) {
        double square = 0.0;
        for (size_t i = 0; i < meter->naxis; i++)
            square += meter->velocity[i][k] * meter->velocity[i][k];
        if (square > meter->pvs2) {
            meter->pvs2 = square;
            sums->pvs = sqrt(square);
            sums->pvs_time_s = time_s + (double)k * meter->step_s;
        }
    }
}

static void run_chunk(struct sg_vibration_meter *meter, const double *const *channel, size_t from,
                      size_t count, double time_s, struct sg_vibration_sums *sums)
{
    for (size_t i = 0; i < meter->naxis; i++)
        run_axis(meter, i, channel[i] + from, count, time_s, &sums->axis[i]);
    if (meter->naxis > 1)
        run_vector(meter, count, time_s, sums);
    meter->samples += count;
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
}

/* Sums are taken here only, so that they do not depend on how the samples came in blocks. */
static void take_sums(struct sg_vibration_meter *meter, struct axis_chain *axis,
                      struct sg_axis_sums *sums)
{
    struct sg_detectors *detectors = &axis->detectors;
    for (size_t d = 0; d < SG_DOSE_END; d++) {
        if (!axis->dose[d].used)
            continue;
        sums->dose[d].square += detectors->square[d] * meter->step_s;
        sums->dose[d].fourth += detectors->fourth[d] * meter->step_s;
    }
    sums->square += detectors->square[LANE_VELOCITY] * meter->step_s;
    memset(detectors->square, 0, sizeof detectors->square);
    memset(detectors->fourth, 0, sizeof detectors->fourth);
    sg_bands_take(axis->bands, &sums->bands);
}

void sg_vibration_close(struct sg_vibration_meter *meter, struct sg_vibration_sums *sums)
{
    for (size_t i = 0; i < meter->naxis; i++) {
        struct axis_chain *axis = &meter->axis[i];
        if (axis->takt_samples > 0)
            close_takt(axis, &sums->axis[i]);
        if (axis->pending > 0)
            keep_snapshot(axis, meter->window, &sums->axis[i]);
        take_sums(meter, axis, &sums->axis[i]);
    }
    sums->seconds += (double)meter->samples * meter->step_s;
    meter->samples = 0;
    meter->pvs2 = 0.0;
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
        axis->to_velocity_state = zero;
        sg_bank_restart(&axis->bank);
        sg_detectors_restart(&axis->detectors);
        axis->velocity.seen = axis->displacement.seen = axis->acceleration.seen = 0;
        memset(axis->slope, 0, sizeof axis->slope);
        axis->slope_seen = 0;
        axis->ring_filled = axis->ring_at = axis->pending = 0;
    }
}
