/* filter.h - filters of weightings and bands, designed for a sample rate; detectors behind them.
 * Pure. */
#ifndef STILLGROUND_FILTER_H
#define STILLGROUND_FILTER_H

#include "stillground/calibration.h"
#include "stillground/weighting.h"

/* ---- filters --------------------------------------------------------------------------------- */

#define SG_SECTIONS_MAX 8
#define SG_TAPS_MAX 21

/* H(s) = product of (n0 + n1 s + n2 s^2) / (d0 + d1 s + d2 s^2), s in rad/s. */
struct sg_analogue_section {
    double n[3], d[3];
};
struct sg_analogue {
    struct sg_analogue_section section[SG_SECTIONS_MAX];
    size_t count;
};

/* The analogue definition of a weighting for a channel that carries `input`. Output: Pa for sound,
 * m/s2 for human vibration, 1 (mm/s) for KB. SG_ERR_DOMAIN for pressure in a vibration
 * weighting. */
sg_status sg_analogue_weighting(enum sg_weighting weighting, enum sg_kind input,
                                struct sg_analogue *out);
/* Velocity from acceleration, displacement from velocity: a Butterworth high-pass of `order` 2 or 4
 * at corner_hz with an integration in it, times `gain`. */
void sg_analogue_integrator(double corner_hz, int order, double gain, struct sg_analogue *out);
/* Replaces the corner of a geophone (natural_hz, damping) by target_hz with damping 1/sqrt(2). */
void sg_analogue_geophone(double natural_hz, double damping, double target_hz,
                          struct sg_analogue *out);
/* Response at a frequency: magnitude and phase in rad. */
void sg_analogue_response(const struct sg_analogue *analogue, double frequency_hz,
                          double *magnitude, double *phase_rad);

struct sg_section {
    double b[3], a[2];
}; /* a0 = 1 */
struct sg_filter {
    struct sg_section section[SG_SECTIONS_MAX];
    size_t nsection;
    double tap[SG_TAPS_MAX]; /* symmetric: adds a pure delay of (ntap - 1) / 2 samples */
    size_t ntap;             /* 0 = none */
    double rate_hz;
    double high_hz;  /* matched up to here */
    double worst_db; /* largest deviation from the analogue magnitude, low .. high_hz */
};
struct sg_filter_state {
    double s[SG_SECTIONS_MAX][2];
    double t[SG_TAPS_MAX];
};

/* A digital filter whose magnitude follows the analogue one from low_hz to high_hz, or to 0.46 of
 * the rate when that is lower. Poles are the analogue ones; numerators are matched in magnitude; a
 * short symmetric equaliser takes what is left. SG_ERR_DOMAIN for a rate that is not positive or a
 * band that is empty. */
sg_status sg_filter_design(const struct sg_analogue *analogue, double rate_hz, double low_hz,
                           double high_hz, struct sg_filter *out);
/* The weighting for a rate, matched over the band its standard states. */
sg_status sg_filter_weighting(enum sg_weighting weighting, enum sg_kind input, double rate_hz,
                              struct sg_filter *out);
void sg_filter_response(const struct sg_filter *filter, double frequency_hz, double *magnitude,
                        double *phase_rad);
/* Runs count samples; out may be in. The state starts as zeros. */
void sg_filter_run(const struct sg_filter *filter, struct sg_filter_state *state, const double *in,
                   double *out, size_t count);

/* ---- third-octave bands ---------------------------------------------------------------------- */

/* A bank of class 1 filters in several rates. A band that the rate does not allow is marked. */
struct sg_bands;
struct sg_bands_sums {
    double energy[SG_BAND_COUNT]; /* integral of the squared band signal, unit^2 s */
    double seconds[SG_BAND_COUNT];
    double peak_mean[SG_BAND_COUNT]; /* largest exponential mean square */
};
/* first..last: third-octave numbers; tau_s: of the detector behind max-hold. */
sg_status sg_bands_new(double rate_hz, int first, int last, double tau_s, struct sg_bands **out);
void sg_bands_free(struct sg_bands *bands);
bool sg_bands_allowed(const struct sg_bands *bands, int third);
void sg_bands_run(struct sg_bands *bands, const double *in, size_t count);
/* What was collected since the last take. */
void sg_bands_take(struct sg_bands *bands, struct sg_bands_sums *out);
void sg_bands_merge(struct sg_bands_sums *into, const struct sg_bands_sums *more);
/* Rms of a band, unset when not allowed or no time. */
double sg_bands_rms(const struct sg_bands_sums *sums, int third);
double sg_bands_max(const struct sg_bands_sums *sums, int third);
/* Magnitude of a band's filter chain at a frequency, for checks. */
double sg_bands_response(const struct sg_bands *bands, int third, double frequency_hz);

/* ---- detectors ------------------------------------------------------------------------------- */

/* y' = (x^2 - y) / tau, exact for a piecewise constant input. */
struct sg_exponential {
    double k, y;
};
void sg_exponential_init(struct sg_exponential *detector, double rate_hz, double tau_s);
static inline double sg_exponential_step(struct sg_exponential *detector, double square)
{
    detector->y += detector->k * (square - detector->y);
    return detector->y;
}

/* Linear running mean of squares over a fixed time. */
struct sg_running {
    double *ring;
    size_t length, at, filled;
    double sum;
};
sg_status sg_running_init(struct sg_running *running, double rate_hz, double span_s);
void sg_running_release(struct sg_running *running);
void sg_running_turn(struct sg_running *running); /* makes the sum afresh once a turn */
/* The sum over the span; -1 until the span is full. */
static inline double sg_running_sum(struct sg_running *running, double square)
{
    running->sum += square - running->ring[running->at];
    running->ring[running->at] = square;
    running->filled += running->filled < running->length ? 1 : 0;
    if (++running->at == running->length)
        sg_running_turn(running);
    return running->filled == running->length ? running->sum : -1.0;
}
/* The mean over the span; unset until the span is full. */
static inline double sg_running_step(struct sg_running *running, double square)
{
    double sum = sg_running_sum(running, square);
    return running->filled == running->length ? sum / (double)running->length : SG_UNSET;
}

/* Largest |x| with the value between samples from a parabola through three. */
struct sg_peak {
    double sampled, value; /* of |x| */
    double time_s;         /* of the interpolated peak */
    double signed_sample;
};
struct sg_peak_finder {
    double before, at, time_s;
    size_t seen;
};
void sg_peak_clear(struct sg_peak *peak);
/* Feeds x at time_s; the sample before it is judged when its neighbours are known. */
void sg_peak_judge(struct sg_peak_finder *finder, struct sg_peak *peak, double x, double time_s,
                   double step_s);
static inline void sg_peak_step(struct sg_peak_finder *finder, struct sg_peak *peak, double x,
                                double time_s, double step_s)
{
    double limit = peak->value * (1.0 / 1.5); /* a parabola adds less than half */
    if (x > limit || -x > limit || finder->at > limit || -finder->at > limit)
        sg_peak_judge(finder, peak, x, time_s, step_s);
    finder->before = finder->at;
    finder->at = x;
    finder->time_s = time_s;
    finder->seen++;
}

/* Order statistics of levels in 0.01 dB classes from -200 to 300 dB; each class keeps its own mean,
 * so that values that share no class are exact. */
struct sg_levels {
    uint64_t *count;
    double *sum;
    uint64_t total;
};
sg_status sg_levels_init(struct sg_levels *levels);
void sg_levels_release(struct sg_levels *levels);
void sg_levels_add(struct sg_levels *levels, double level_db);
void sg_levels_merge(struct sg_levels *into, const struct sg_levels *more);
void sg_levels_clear(struct sg_levels *levels);
/* Level exceeded in `percent` of the readings: order statistic at rank (1 - percent/100) (n - 1),
 * counted from the lowest, linear between neighbours. Unset when empty. */
double sg_levels_exceeded(const struct sg_levels *levels, double percent);

#endif
