/* vibration_meter.c - one pass over up to three axes of one sensor: peaks, vector sum, running rms,
 * KB, doses, the Japanese level, third octaves.
 *
 * Sources: BS 6472-1, ISO 2631-1, ISO 8041-1 (doses); DIN 4150-2, DIN 45669-1 (KB); JIS C 1510.
 * The differentiator of eighth order accuracy: common practice, no source.
 *
 * Layout: a chunk of all axes is cut into pieces. Of a piece, all filters and detectors of one axis
 * run side by side, one a lane (lanes.h). A piece that cannot hold a new peak is passed over whole.
 */
#include "vibration_meter.h"

#include <math.h>
#include <string.h>

#define CHUNK VIBRATION_CHUNK
#define PIECE SG_LANES_PIECE

/* A piece of one axis, lane by lane: what the filters give, and exponential means of squares. */
struct piece {
    _Alignas(64) double lane[PIECE][SG_FILTER_LANES];
    _Alignas(64) double mean[PIECE][SG_FILTER_LANES];
};

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

/* Central differences of eighth-order accuracy; out[k] is the slope at x[k + SLOPE_HALF]. The
 * length is fixed so that the compiler can keep several in one register. */
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
        pass =
            2 * SLOPE_HALF - axis->slope_seen < count ? 2 * SLOPE_HALF - axis->slope_seen : count;
        axis->slope_seen += pass;
    }
    if (pass < count)
        sg_peak_run(&axis->acceleration, &sums->acceleration, a + pass, 1, count - pass,
                    sg_block_square(a + pass, count - pass), time_s + (double)pass * meter->step_s,
                    meter->step_s);
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
