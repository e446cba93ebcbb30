/* events.c - triggers, hammer blows, phases of a vibratory run.
 *
 * Rules and their figures: common practice, no source. Impact hammers strike 30 to 60 times a
 * minute, rapid ones up to 120; the search covers 15 to 240.
 */
#include "stillground/signal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

const struct sg_trigger_config sg_trigger_usual = { .level = SG_UNSET,
                                                    .release_ratio = 0.5,
                                                    .release_s = 1.0,
                                                    .sta_s = 0.1,
                                                    .lta_s = 10.0,
                                                    .on = 4.0,
                                                    .off = 1.5,
                                                    .pre_s = 0.5,
                                                    .post_s = 1.0 };

/* ---- triggers -------------------------------------------------------------------------------- */

void sg_trigger_init(struct sg_trigger *trigger, const struct sg_trigger_config *config)
{
    *trigger = (struct sg_trigger){ .config = *config };
}

/* Recursive short and long means; the long one stands still while an event is open. */
static bool over_ratio(struct sg_trigger *trigger, double square, bool *below)
{
    const struct sg_trigger_config *c = &trigger->config;
    trigger->sta += -expm1(-1.0 / (c->rate_hz * c->sta_s)) * (square - trigger->sta);
    if (!trigger->open)
        trigger->lta += -expm1(-1.0 / (c->rate_hz * c->lta_s)) * (square - trigger->lta);
    trigger->warm_s += 1.0 / c->rate_hz;
    *below = trigger->sta < c->off * trigger->lta;
    return trigger->warm_s > c->lta_s && trigger->sta > c->on * trigger->lta;
}

static void trigger_step(struct sg_trigger *trigger, double x, double time_s, sg_event_sink *sink,
                         void *payload)
{
    const struct sg_trigger_config *c = &trigger->config;
    bool below = x<c->level * c->release_ratio, over = x> c->level;
    if (!sg_is_set(c->level))
        over = over_ratio(trigger, x * x, &below);
    if (!trigger->open && !over)
        return;
    if (!trigger->open) {
        trigger->open = true;
        trigger->event = (struct sg_event){ .start_s = fmax(0.0, time_s - c->pre_s) };
        trigger->quiet_s = 0.0;
    }
    if (x > trigger->event.peak) {
        trigger->event.peak = x;
        trigger->event.peak_s = time_s;
    }
    trigger->quiet_s = below ? trigger->quiet_s + 1.0 / c->rate_hz : 0.0;
    if (trigger->quiet_s < c->release_s)
        return;
    trigger->event.end_s = time_s - trigger->quiet_s + c->post_s;
    trigger->open = false;
    sink(&trigger->event, payload);
}

void sg_trigger_run(struct sg_trigger *trigger, const double *x, size_t count, double time_s,
                    sg_event_sink *sink, void *payload)
{
    for (size_t i = 0; i < count; i++)
        trigger_step(trigger, x[i], time_s + (double)i / trigger->config.rate_hz, sink, payload);
}

void sg_trigger_close(struct sg_trigger *trigger, double time_s, sg_event_sink *sink, void *payload)
{
    if (!trigger->open)
        return;
    trigger->event.end_s = time_s;
    trigger->open = false;
    sink(&trigger->event, payload);
}

/* ---- blows ----------------------------------------------------------------------------------- */

void sg_envelope_init(struct sg_envelope *envelope, double *value, size_t capacity, double rate_hz,
                      double step_s)
{
    *envelope = (struct sg_envelope){ .value = value, .capacity = capacity };
    envelope->per_step = (size_t)fmax(1.0, floor(rate_hz * step_s + 0.5));
}

void sg_envelope_add(struct sg_envelope *envelope, const double *x, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        envelope->held = fmax(envelope->held, fabs(x[i]));
        if (++envelope->filled < envelope->per_step)
            continue;
        if (envelope->count < envelope->capacity)
            envelope->value[envelope->count++] = envelope->held;
        envelope->held = 0.0;
        envelope->filled = 0;
    }
}

#define FASTEST_S 0.25
#define SLOWEST_S 4.0
#define REFRACTORY 0.6
#define OVER_NOISE 4.0
#define OF_LARGEST 0.1
#define OF_MEDIAN 0.3
#define REPEATS 0.2 /* least correlation of a period */

static int compare(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* A quantile of values; work holds count doubles. */
static double quantile(const double *value, size_t count, double share, double *work)
{
    memcpy(work, value, count * sizeof *work);
    qsort(work, count, sizeof *work, compare);
    return work[(size_t)(share * (double)(count - 1) + 0.5)];
}

/* The shortest lag at which the envelope repeats nearly as well as at the best; unset when it does
 * not. */
static double repeat_s(const double *envelope, size_t count, double step_s, double *work)
{
    size_t first = (size_t)(FASTEST_S / step_s), last = (size_t)(SLOWEST_S / step_s);
    double mean = 0.0, own = 0.0, best = 0.0;
    last = last < count / 2 ? last : count / 2;
    for (size_t i = 0; i < count; i++)
        mean += envelope[i] / (double)count;
    for (size_t i = 0; i < count; i++)
        own += (envelope[i] - mean) * (envelope[i] - mean);
    for (size_t lag = first; lag < last; lag++) {
        double sum = 0.0;
        for (size_t i = 0; i + lag < count; i++)
            sum += (envelope[i] - mean) * (envelope[i + lag] - mean);
        work[lag] = sum / own * (double)count / (double)(count - lag);
        best = fmax(best, work[lag]);
    }
    for (size_t lag = first + 1; lag + 1 < last; lag++)
        if (work[lag] >= work[lag - 1] && work[lag] >= work[lag + 1] && work[lag] > REPEATS &&
            work[lag] > 0.7 * best)
            return (double)lag * step_s;
    return SG_UNSET;
}

/* Local maxima over the floor that are the largest within reach on both sides. */
static size_t find_peaks(const double *envelope, size_t count, double floor, size_t reach,
                         size_t *at)
{
    size_t found = 0;
    for (size_t i = 0; i < count; i++) {
        if (!(envelope[i] > floor))
            continue;
        size_t from = i > reach ? i - reach : 0, to = i + reach < count ? i + reach : count - 1;
        bool largest = true;
        for (size_t k = from; k <= to && largest; k++)
            largest = k < i ? envelope[k] < envelope[i] : envelope[k] <= envelope[i];
        if (largest)
            at[found++] = i;
    }
    return found;
}

static size_t drop_small(const double *envelope, size_t *at, size_t found, double *work)
{
    if (found == 0)
        return 0;
    double *peak = work, *sorted = work + found;
    for (size_t i = 0; i < found; i++)
        peak[i] = envelope[at[i]];
    double least = OF_MEDIAN * quantile(peak, found, 0.5, sorted);
    size_t kept = 0;
    for (size_t i = 0; i < found; i++)
        if (envelope[at[i]] >= least)
            at[kept++] = at[i];
    return kept;
}

static void judge_spacing(const size_t *at, size_t count, double step_s, double *work,
                          struct sg_blows *out)
{
    out->per_minute = out->regular = SG_UNSET;
    out->missing = 0.0;
    if (count < 3)
        return;
    double *spacing = work, *sorted = work + count;
    for (size_t i = 0; i + 1 < count; i++)
        spacing[i] = (double)(at[i + 1] - at[i]) * step_s;
    double median = quantile(spacing, count - 1, 0.5, sorted), near = 0.0;
    for (size_t i = 0; i + 1 < count; i++) {
        near += fabs(spacing[i] / median - 1.0) <= 0.2 ? 1.0 : 0.0;
        if (spacing[i] > 1.5 * median && spacing[i] < 3.5 * median)
            out->missing += floor(spacing[i] / median + 0.5) - 1.0;
    }
    out->per_minute = 60.0 / median;
    out->regular = near / (double)(count - 1);
}

sg_status sg_blows_count(const double *envelope, size_t count, double step_s, double start_s,
                         struct sg_blow *blow, size_t capacity, struct sg_blows *out)
{
    struct sg_blows made = { .per_minute = SG_UNSET, .regular = SG_UNSET };
    if (!(step_s > 0.0) || !(step_s <= 0.05) || count < 4)
        return SG_ERR_DOMAIN;
    double *work = sg_alloc(2 * count + 2, sizeof *work);
    size_t *at = sg_alloc(count, sizeof *at);
    sg_status status = work != NULL && at != NULL ? SG_OK : SG_ERR_NOMEM;
    if (!sg_ok(status))
        goto done;
    double noise = quantile(envelope, count, 0.25, work),
           largest = quantile(envelope, count, 1.0, work);
    double period = largest > 0.0 ? repeat_s(envelope, count, step_s, work) : SG_UNSET;
    double quiet_s = REFRACTORY * (sg_is_set(period) ? period : FASTEST_S);
    double floor = fmax(OVER_NOISE * noise, OF_LARGEST * largest);
    size_t found = find_peaks(envelope, count, floor, (size_t)(quiet_s / step_s), at);
    found = drop_small(envelope, at, found, work);
    judge_spacing(at, found, step_s, work, &made);
    made.count = found;
    made.kept = found < capacity ? found : capacity;
    for (size_t i = 0; i < made.kept; i++)
        blow[i] = (struct sg_blow){ start_s + (double)at[i] * step_s, envelope[at[i]] };
    *out = made;
done:
    sg_free(work);
    sg_free(at);
    return status;
}

/* ---- vibratory runs -------------------------------------------------------------------------- */

#define DRIVE_LOW_HZ 4.0
#define DRIVE_HIGH_HZ 80.0
#define STEADY_SHARE 0.05  /* the line stays within this share of the usual frequency */
#define RUNNING 4.0        /* power over the quietest tenth */
#define RUNNING_SHARE 1e-4 /* and of the loudest column */

struct track {
    double *time_s, *hz, *power;
    size_t count, capacity;
};

/* Strongest line between 4 and 80 Hz of one column, with a parabola between bins. */
static void track_column(double time_s, const double *density, size_t count, double step_hz,
                         void *payload)
{
    struct track *track = payload;
    size_t low = (size_t)ceil(DRIVE_LOW_HZ / step_hz), best = low < 1 ? 1 : low;
    double power = 0.0;
    if (track->count == track->capacity)
        return;
    for (size_t k = best; k + 1 < count && (double)k * step_hz <= DRIVE_HIGH_HZ; k++) {
        power += density[k] * step_hz;
        best = density[k] > density[best] ? k : best;
    }
    double shift = 0.0;
    if (best + 1 < count) {
        double a = sqrt(density[best - 1]), b = sqrt(density[best]), c = sqrt(density[best + 1]);
        double bend = a - 2.0 * b + c;
        shift = fabs(bend) > 0.0 ? fmax(-0.5, fmin(0.5, 0.5 * (a - c) / bend)) : 0.0;
    }
    track->time_s[track->count] = time_s;
    track->hz[track->count] = ((double)best + shift) * step_hz;
    track->power[track->count++] = power;
}

const char *sg_run_phase_id(enum sg_run_phase phase)
{
    static const char *const id[SG_RUN_END] = { "off", "start", "steady", "stop" };
    return phase < SG_RUN_END ? id[phase] : "?";
}

/* Phase of each column: steady near the usual frequency; before the first steady column of a run it
 * starts, after the last it stops. */
static void name_phases(const struct track *track, double usual_hz, double floor,
                        enum sg_run_phase *phase)
{
    for (size_t from = 0; from < track->count;) {
        if (!(track->power[from] > floor)) {
            phase[from++] = SG_RUN_OFF;
            continue;
        }
        size_t to = from, first = SIZE_MAX, last = 0;
        for (; to < track->count && track->power[to] > floor; to++)
            if (fabs(track->hz[to] / usual_hz - 1.0) <= STEADY_SHARE) {
                first = first == SIZE_MAX ? to : first;
                last = to;
            }
        for (size_t k = from; k < to; k++)
            phase[k] = first == SIZE_MAX || k < first ? SG_RUN_START
                       : k > last                     ? SG_RUN_STOP
                                                      : SG_RUN_STEADY;
        from = to;
    }
}

static double largest_between(const double *v, size_t samples, double rate_hz, double from_s,
                              double to_s)
{
    double largest = 0.0;
    for (size_t i = (size_t)fmax(0.0, from_s * rate_hz); i < samples && (double)i < to_s * rate_hz;
         i++)
        largest = fmax(largest, fabs(v[i]));
    return largest;
}

static size_t write_pieces(const struct track *track, const enum sg_run_phase *phase,
                           struct sg_run_piece *piece, size_t capacity)
{
    size_t made = 0;
    double half = track->count > 1 ? (track->time_s[1] - track->time_s[0]) / 2.0 : 0.0;
    for (size_t from = 0; from < track->count;) {
        size_t to = from;
        while (to + 1 < track->count && phase[to + 1] == phase[from])
            to++;
        if (made < capacity)
            piece[made] = (struct sg_run_piece){ .phase = phase[from],
                                                 .start_s = track->time_s[from] - half,
                                                 .end_s = track->time_s[to] + half,
                                                 .from_hz = track->hz[from],
                                                 .to_hz = track->hz[to] };
        made++;
        from = to + 1;
    }
    return made;
}

sg_status sg_run_phases(const double *velocity, size_t samples, double rate_hz, double start_s,
                        struct sg_run_piece *piece, size_t capacity, size_t *count)
{
    size_t length = 16;
    while ((double)length < rate_hz && length < ((size_t)1 << 18))
        length *= 2;
    if (samples < 4 * length)
        return SG_ERR_DOMAIN;
    struct track track = { .capacity = samples / (length / 4) + 1 };
    enum sg_run_phase *phase = sg_alloc(track.capacity, sizeof *phase);
    double *work = sg_alloc(4 * track.capacity, sizeof *work);
    sg_status status = phase != NULL && work != NULL ? SG_OK : SG_ERR_NOMEM;
    if (!sg_ok(status))
        goto done;
    track.time_s = work;
    track.hz = work + track.capacity;
    track.power = work + 2 * track.capacity;
    double *sorted = work + 3 * track.capacity;
    status = sg_spectrogram(velocity, samples, rate_hz, length, track_column, &track);
    if (!sg_ok(status))
        goto done;
    double quiet = quantile(track.power, track.count, 0.1, sorted);
    double loud = quantile(track.power, track.count, 1.0, sorted);
    double floor = fmin(fmax(RUNNING * quiet, RUNNING_SHARE * loud), 0.25 * loud), usual = 0.0;
    size_t strong = 0;
    double *hz = sorted; /* frequencies of the columns with a quarter of the usual power and more */
    for (size_t i = 0; i < track.count; i++)
        if (track.power[i] > floor)
            hz[strong++] = track.hz[i];
    if (strong == 0 || !(loud > 0.0)) {
        status = SG_ERR_NO_SOLUTION;
        goto done;
    }
    qsort(hz, strong, sizeof *hz, compare);
    usual = hz[strong / 2];
    name_phases(&track, usual, floor, phase);
    *count = write_pieces(&track, phase, piece, capacity);
    for (size_t i = 0; i < (*count < capacity ? *count : capacity); i++) {
        piece[i].ppv =
            largest_between(velocity, samples, rate_hz, piece[i].start_s, piece[i].end_s);
        piece[i].start_s += start_s;
        piece[i].end_s += start_s;
    }
done:
    sg_free(phase);
    sg_free(work);
    return status;
}
