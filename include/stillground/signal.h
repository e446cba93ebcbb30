/* signal.h - recordings: from a file to calibrated peaks, spectra and doses.
 *
 * Two halves. The kernels (filters, spectra, meters, events, quality) are pure: no file, clock,
 * locale or changing global; same input, same bits. The readers and the engine sg_measure touch
 * files. Everything streams: memory does not grow with the length of a recording.
 *
 * Units inside: velocity mm/s, acceleration m/s2, sound pressure Pa, time s, frequency Hz.
 * An unset number is NaN (sg_is_set).
 */
#ifndef STILLGROUND_SIGNAL_H
#define STILLGROUND_SIGNAL_H

#include <stdio.h>

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

/* ---- spectra --------------------------------------------------------------------------------- */

enum sg_taper { SG_TAPER_RECTANGULAR, SG_TAPER_HANN, SG_TAPER_FLAT_TOP, SG_TAPER_END };
const char *sg_taper_id(enum sg_taper window);
/* Fills a periodic window. coherent = mean of it, enbw = equivalent noise bandwidth in bins. */
void sg_taper_fill(enum sg_taper window, double *out, size_t count, double *coherent,
                   double *enbw_bins);

struct sg_spectrum {
    double *value; /* count = length / 2 + 1 bins, one-sided */
    size_t count;
    double step_hz;
    size_t averages;
    double enbw_hz;
    double overlap;
    enum sg_taper window;
};
void sg_spectrum_release(struct sg_spectrum *spectrum);
/* Transforms of one length; made once, used for many blocks. Plans are made under a lock. */
struct sg_transform;
sg_status sg_transform_new(size_t length, struct sg_transform **out);
void sg_transform_free(struct sg_transform *transform);
/* |X_k|^2 of a real block of the transform's length, length / 2 + 1 values. */
void sg_transform_power(struct sg_transform *transform, const double *in, double *power);
/* Welch power spectral density in unit^2/Hz: segments of `length` with 50 % overlap, mean removed
 * from each segment. SG_ERR_DOMAIN when there are fewer samples than one segment. */
sg_status sg_spectrum_density(const double *in, size_t count, double rate_hz, size_t length,
                              enum sg_taper window, struct sg_spectrum *out);
/* The same block by block, for records of any length. */
struct sg_density;
sg_status sg_density_new(double rate_hz, size_t length, enum sg_taper window,
                         struct sg_density **out);
void sg_density_free(struct sg_density *density);
void sg_density_run(struct sg_density *density, const double *in, size_t count);
void sg_density_restart(struct sg_density *density); /* after a gap: the open segment is dropped */
/* Fills out, which holds density's count of values or is empty, with the mean since the last take.
 * SG_ERR_MISSING when no whole segment has come. */
sg_status sg_density_take(struct sg_density *density, struct sg_spectrum *out);
/* Amplitude spectrum (peak values) of one block. */
sg_status sg_spectrum_amplitude(const double *in, size_t count, double rate_hz,
                                enum sg_taper window, struct sg_spectrum *out);

/* Spectrogram by columns: call `column` for each step with its middle time and one-sided
 * densities. */
typedef void sg_column_sink(double time_s, const double *density, size_t count, double step_hz,
                            void *payload);
sg_status sg_spectrogram(const double *in, size_t count, double rate_hz, size_t length,
                         sg_column_sink *column, void *payload);

/* Dominant frequency of the peak at index `peak` of a piece of record. Unset when not found. */
double sg_frequency_crossing(const double *in, size_t count, size_t peak, double rate_hz);
/* By transform of the piece with zeros added to at least 2^14 points: the largest amplitude, with a
 * parabola between bins when `refine`. */
sg_status sg_frequency_spectrum(const double *in, size_t count, double rate_hz, bool refine,
                                double *out_hz);

/* Largest |relative displacement| of an oscillator times (2 pi f): PSV in m/s, from base
 * acceleration in m/s2, exact for piecewise linear input (Nigam and Jennings' recurrence). */
double sg_response_psv(const double *acceleration_m_s2, size_t count, double rate_hz,
                       double natural_hz, double damping);

/* ---- vibration meter ------------------------------------------------------------------------- */

#define SG_AXES_MAX 3
enum sg_dose { SG_DOSE_B, SG_DOSE_D, SG_DOSE_K, SG_DOSE_M, SG_DOSE_END }; /* Wb Wd Wk Wm */
enum sg_weighting sg_dose_weighting(enum sg_dose dose);

struct sg_vibration_config {
    double rate_hz;
    size_t naxis; /* 1 .. 3 */
    enum sg_axis axis[SG_AXES_MAX];
    enum sg_kind kind[SG_AXES_MAX]; /* velocity or acceleration */
    double offset[SG_AXES_MAX];     /* taken off before integrating acceleration; 0 = none */
    enum sg_weighting kb;           /* SG_WEIGHTING_KB_80 or _315 */
    double takt_s;                  /* unset or 0 = 30 s */
};

struct sg_dose_sums {
    bool used;
    double square, fourth;                /* integrals over time */
    double peak;                          /* largest |a_w| */
    double mtvv_linear, mtvv_exponential; /* squared */
};

struct sg_axis_sums {
    struct sg_peak velocity, displacement, acceleration;
    double square;              /* integral of v^2 */
    double largest_mean_1s;     /* (mm/s)^2 */
    double kbf_max2, kbft_sum2; /* squared; sum over closed takts */
    double kbf_time_s;
    uint64_t takts;
    struct sg_dose_sums dose[SG_DOSE_END];
    struct sg_bands_sums bands; /* velocity, mm/s */
    struct sg_levels jp;        /* 5 s readings */
    double jp_max2;             /* (m/s2)^2 */
    double *snapshot;           /* velocity around this axis's peak */
    size_t snapshot_peak, snapshot_count;
};

/* What was collected over an interval; sums of neighbours can be merged. */
struct sg_vibration_sums {
    double rate_hz, start_s, seconds;
    size_t naxis, window;
    enum sg_axis axis_of[SG_AXES_MAX];
    struct sg_axis_sums axis[SG_AXES_MAX];
    double pvs, pvs_time_s;
};
sg_status sg_vibration_sums_init(struct sg_vibration_sums *sums,
                                 const struct sg_vibration_config *config);
void sg_vibration_sums_release(struct sg_vibration_sums *sums);
void sg_vibration_sums_clear(struct sg_vibration_sums *sums);
void sg_vibration_sums_merge(struct sg_vibration_sums *into, const struct sg_vibration_sums *more);

/* Samples of waveform kept around each axis's peak. */
size_t sg_vibration_window(double rate_hz);

struct sg_vibration_meter;
sg_status sg_vibration_new(const struct sg_vibration_config *config,
                           struct sg_vibration_meter **out);
void sg_vibration_free(struct sg_vibration_meter *meter);
/* channel[axis] points at count samples; time_s is that of the first. */
void sg_vibration_run(struct sg_vibration_meter *meter, const double *const *channel, size_t count,
                      double time_s, struct sg_vibration_sums *sums);
/* After a gap: filters and running means start anew, sums stay. */
void sg_vibration_restart(struct sg_vibration_meter *meter, struct sg_vibration_sums *sums);
/* Closes an interval: an open takt and a waveform being kept are counted as far as they got. */
void sg_vibration_close(struct sg_vibration_meter *meter, struct sg_vibration_sums *sums);
const struct sg_filter *sg_vibration_filter(const struct sg_vibration_meter *meter,
                                            enum sg_weighting weighting, size_t axis);

/* Figures that limits are stated on. Unset where not defined. */
struct sg_dose_figures {
    double aw_rms, mtvv, vdv, evdv, crest;
    bool crest_warning, use_vdv;
};
struct sg_axis_figures {
    double ppv_mm_s, ppv_sampled_mm_s, time_s;
    double frequency_crossing_hz, frequency_spectrum_hz;
    bool frequencies_differ; /* by more than 20 % */
    double displacement_mm, acceleration_m_s2;
    double rms_mm_s, rms_1s_mm_s;
    double kbf_max, kbft_m;
    uint64_t takts;
    struct sg_dose_figures dose[SG_DOSE_END];
    double vl_max_db, vl_l10_db; /* vertical only; re 1e-5 m/s2 */
};
struct sg_vibration_figures {
    size_t naxis;
    enum sg_axis axis_of[SG_AXES_MAX];
    struct sg_axis_figures axis[SG_AXES_MAX];
    double pcpv_mm_s; /* largest component */
    size_t pcpv_axis;
    double pvs_mm_s, pvs_time_s; /* true vector sum, sample by sample; unset below 2 axes */
    double vsc_mm_s;             /* vector sum of component maxima: a bound */
    double seconds;
};
void sg_vibration_read(const struct sg_vibration_sums *sums, struct sg_vibration_figures *out);

/* Dose arithmetic. */
double sg_vdv_combine(const double *vdv, size_t count);
double sg_vdv_repeat(double vdv, double times); /* times equal events, or T/t of the same kind */
double sg_kbftm(const double *takt_max, size_t count);
/* KB_FTr over a rating time; resting hours count double (their squares). */
double sg_kbftr(double kbftm, double exposure_s, double rest_exposure_s, double rating_s);
double sg_jp_level_db(double aw_rms_m_s2);
/* Level with the background taken off; *bound is set when the difference is under 3 dB. */
double sg_level_subtract(double total_db, double background_db, bool *bound);

/* ---- sound meter ----------------------------------------------------------------------------- */

struct sg_sound_config {
    double rate_hz;
    bool bands;
    double sample_s; /* of LAF for percentiles and the LAF series; unset = 0.1 s */
};
/* Sounds' sums over an interval. Squares in Pa^2. */
struct sg_sound_sums {
    double start_s, seconds;
    double a2, c2, z2, ai2;        /* integrals over time; ai: of the I-weighted square */
    double laf2, las2, lai2, lcf2; /* largest */
    double laf_time_s;
    struct sg_peak c_peak, z_peak;
    struct sg_levels levels;    /* LAF readings */
    struct sg_bands_sums bands; /* Pa */
};
sg_status sg_sound_sums_init(struct sg_sound_sums *sums);
void sg_sound_sums_release(struct sg_sound_sums *sums);
void sg_sound_sums_clear(struct sg_sound_sums *sums);
void sg_sound_sums_merge(struct sg_sound_sums *into, const struct sg_sound_sums *more);

struct sg_sound_meter;
typedef void sg_laf_sink(double time_s, double laf_db, void *payload); /* every sample_s */
sg_status sg_sound_new(const struct sg_sound_config *config, struct sg_sound_meter **out);
void sg_sound_free(struct sg_sound_meter *meter);
void sg_sound_listen(struct sg_sound_meter *meter, sg_laf_sink *sink, void *payload);
void sg_sound_run(struct sg_sound_meter *meter, const double *in, size_t count, double time_s,
                  struct sg_sound_sums *sums);
void sg_sound_restart(struct sg_sound_meter *meter);
void sg_sound_close(struct sg_sound_meter *meter, struct sg_sound_sums *sums);
const struct sg_filter *sg_sound_filter(const struct sg_sound_meter *meter,
                                        enum sg_weighting weighting);

struct sg_sound_figures {
    double laeq_db, lceq_db, lzeq_db, laieq_db, lae_db;
    double lafmax_db, lasmax_db, laimax_db, lafmax_time_s;
    double lcpeak_db, lzpeak_db;
    double l1_db, l5_db, l10_db, l50_db, l90_db, l95_db;
    double third_db[SG_BAND_COUNT];     /* LZeq by band; unset = not allowed by the rate */
    double third_max_db[SG_BAND_COUNT]; /* max-hold, F */
    double octave_db[15];               /* octave numbers -10 .. 4 */
    double seconds;
};
void sg_sound_read(const struct sg_sound_sums *sums, struct sg_sound_figures *out);
/* The detector alone, for checks: F, S or I levels of a squared signal. */
double sg_level_db(double square, double reference);

struct sg_onset {
    double start_s, end_s;
    double rate_db_s, rise_db; /* least-squares slope; level difference */
    double prominence, adjustment_db;
};
/* Finds onsets in a series of LAF levels step_s apart (10 to 25 ms); returns the number found and
 * keeps the most prominent. *clear_of is false when the step is outside 10..25 ms. */
size_t sg_impulse_prominence(const double *laf_db, size_t count, double step_s,
                             struct sg_onset *most, bool *step_fits);
double sg_impulse_adjustment_db(double onset_rate_db_s, double rise_db, double *prominence);
/* Tonal audibility of a tone of level tone_db in masking noise noise_db of the critical band. */
double sg_tonal_audibility_db(double tone_db, double noise_db, double middle_hz);
double sg_tonal_adjustment_db(double audibility_db);
/* The tone that is most audible in a density spectrum in Pa^2/Hz; SG_ERR_NO_SOLUTION when none. */
sg_status sg_tonal_find(const struct sg_spectrum *density, double *frequency_hz,
                        double *audibility_db);
/* Daily exposure from LAeq over a time. */
double sg_lex_8h_db(double laeq_db, double exposure_s);

/* ---- events ---------------------------------------------------------------------------------- */

struct sg_trigger_config {
    double rate_hz;
    double level;                 /* |x| that starts an event; unset = STA/LTA instead */
    double release_ratio;         /* ends below level * ratio ... */
    double release_s;             /* ... for so long */
    double sta_s, lta_s, on, off; /* recursive means of squares; LTA stands still in an event */
    double pre_s, post_s;
};
extern const struct sg_trigger_config sg_trigger_usual; /* practice: 0.5, 1 s; 0.1, 10 s, 4, 1.5 */
struct sg_event {
    double start_s, end_s, peak, peak_s;
};
typedef void sg_event_sink(const struct sg_event *event, void *payload);
struct sg_trigger {
    struct sg_trigger_config config;
    struct sg_event event;
    double sta, lta, quiet_s, warm_s;
    bool open;
};
void sg_trigger_init(struct sg_trigger *trigger, const struct sg_trigger_config *config);
/* x: the largest |component| at each sample. Ended events go to the sink. */
void sg_trigger_run(struct sg_trigger *trigger, const double *x, size_t count, double time_s,
                    sg_event_sink *sink, void *payload);
void sg_trigger_close(struct sg_trigger *trigger, double time_s, sg_event_sink *sink,
                      void *payload);

/* Largest |x| of each step, as blows are counted on; values beyond capacity are dropped. */
struct sg_envelope {
    double *value; /* the caller's */
    size_t capacity, count, per_step, filled;
    double held;
};
void sg_envelope_init(struct sg_envelope *envelope, double *value, size_t capacity, double rate_hz,
                      double step_s);
void sg_envelope_add(struct sg_envelope *envelope, const double *x, size_t count);

/* Hammer blows: a local maximum of the envelope that stands out of the noise, at least 60 % of the
 * usual spacing after the one before. */
struct sg_blow {
    double time_s, peak;
};
struct sg_blows {
    size_t count, kept;
    double per_minute; /* from the median spacing; unset below 3 blows */
    double missing;    /* spacings near twice the median */
    double regular;    /* share of spacings within 20 % of the median */
};
/* envelope: one value a step; blow may be NULL (capacity 0). */
sg_status sg_blows_count(const double *envelope, size_t count, double step_s, double start_s,
                         struct sg_blow *blow, size_t capacity, struct sg_blows *out);

/* Phases of a vibratory run, from the frequency of the strongest line in short spectra. */
enum sg_run_phase { SG_RUN_OFF, SG_RUN_START, SG_RUN_STEADY, SG_RUN_STOP, SG_RUN_END };
const char *sg_run_phase_id(enum sg_run_phase phase);
struct sg_run_piece {
    enum sg_run_phase phase;
    double start_s, end_s;
    double from_hz, to_hz;
    double ppv; /* largest |x| in it */
};
/* Pieces in order of time; at most capacity are kept, *count is how many there were. */
sg_status sg_run_phases(const double *velocity, size_t samples, double rate_hz, double start_s,
                        struct sg_run_piece *piece, size_t capacity, size_t *count);

/* ---- quality --------------------------------------------------------------------------------- */

enum sg_quality {
    SG_QUALITY_CLIPPED,          /* size: longest run, samples */
    SG_QUALITY_STUCK,            /* size: longest run, s */
    SG_QUALITY_OFFSET,           /* size: share of full scale */
    SG_QUALITY_SPIKE,            /* size: jump, file units */
    SG_QUALITY_GAP,              /* size: s */
    SG_QUALITY_OVERLAP,          /* size: s */
    SG_QUALITY_UNIT,             /* size: the peak in doubt */
    SG_QUALITY_BAND,             /* size: highest frequency the rate allows, Hz */
    SG_QUALITY_VECTOR,           /* size: peak over vector sum */
    SG_QUALITY_CALIBRATION_OLD,  /* size: days since */
    SG_QUALITY_CALIBRATION_TONE, /* size: factor found by tone over the one given */
    SG_QUALITY_UNCALIBRATED,
    SG_QUALITY_END
};
struct sg_quality_row {
    const char *code; /* "Q01" ... stable */
    const char *name, *meaning;
    bool hides_exceedance; /* then a verdict is "not determinable" unless already over */
};
const struct sg_quality_row *sg_quality_row(enum sg_quality quality);

struct sg_quality_found {
    uint64_t times[SG_QUALITY_END];
    double first_s[SG_QUALITY_END];
    double
        largest[SG_QUALITY_END]; /* its meaning depends on the code: run length, offset, seconds */
};
void sg_quality_clear(struct sg_quality_found *found);
void sg_quality_note(struct sg_quality_found *found, enum sg_quality quality, double time_s,
                     double size);
void sg_quality_merge(struct sg_quality_found *into, const struct sg_quality_found *more);
bool sg_quality_hides(const struct sg_quality_found *found);

/* Watches raw samples of one channel (before calibration). Where the full scale is not known, flat
 * tops at the extremes of the record stand for it. */
struct sg_watch {
    double full_scale, step; /* unset = not known */
    double rate_hz;
    double last, before;
    double run_value, run_start_s;
    uint64_t run, seen;
    double high, low; /* extremes so far, and the longest flat top at each */
    uint64_t high_run, low_run;
    double high_s, low_s;
    double sum, rough; /* sum of samples; slow mean of |second difference| */
    double bend[7];    /* the last second differences */
};
void sg_watch_init(struct sg_watch *watch, double full_scale, double step, double rate_hz);
void sg_watch_run(struct sg_watch *watch, const double *raw, size_t count, double time_s,
                  struct sg_quality_found *found);
void sg_watch_close(struct sg_watch *watch, double time_s, struct sg_quality_found *found);
/* Unit plausibility of a peak: "m/s taken for mm/s" and the like. NULL when plausible. */
const char *sg_quality_unit_doubt(enum sg_kind kind, double peak, double rms);

/* ---- calibration ----------------------------------------------------------------------------- */

/* Checks every channel; place names the sidecar. All that is wrong is reported. */
sg_status sg_calibration_check(const struct sg_calibration *calibration, size_t file_channels,
                               struct sg_errors *errors);
/* Physical units of one file unit; unset for SG_BY_NONE and SG_BY_TONE. */
double sg_calibration_factor(const struct sg_calibration_channel *channel);
/* Factor from a tone: count raw samples that hold it. SG_ERR_DOMAIN when the tone is not steady
 * within 0.5 dB, not at its frequency within 5 %, or buried (under 95 % of the energy). */
sg_status sg_calibration_tone(const struct sg_calibration_channel *channel, const double *raw,
                              size_t count, double rate_hz, double *out, const char **why);

/* ---- recordings ------------------------------------------------------------------------------ */

#define SG_CHANNELS_MAX 64
#define SG_CHANNEL_NAME 32
struct sg_recording_info {
    const char *format; /* "WAV", "FLAC", "miniSEED 2", "CSV", ... */
    size_t nchannel;
    char name[SG_CHANNELS_MAX][SG_CHANNEL_NAME];
    double rate_hz;
    double frames_stated; /* unset when the file does not say */
    double start_epoch_s; /* UTC; unset */
    double full_scale;    /* file unit at full scale; unset */
    double step;          /* one count in file units; unset for floating point */
    bool counts;          /* file unit is a count (miniSEED), not a share of full scale */
};

/* A column map of a waveform CSV. */
struct sg_csv_map {
    char separator; /* ',' ';' or '\t'; 0 = found from the header */
    bool decimal_comma;
    const char *time_column;   /* NULL = none, then rate_hz is needed */
    const char *const *column; /* names of channels; NULL = all but time */
    size_t ncolumn;
    double rate_hz; /* unset = from the time column */
};
#define SG_CSV_MAP_INIT ((struct sg_csv_map){ .time_column = "time_s", .rate_hz = SG_UNSET })

#define SG_BLOCK_FRAMES 4096
struct sg_recording;
struct sg_block {
    const double *channel[SG_CHANNELS_MAX]; /* raw file units */
    size_t frames;                          /* 0 = end */
    double time_s; /* of the first frame, from the start of the recording */
    double gap_s;  /* missing before it; 0 = none; negative = overlap */
};
/* Tells the format from the content. map may be NULL. */
sg_status sg_recording_open(const char *path, const struct sg_csv_map *map,
                            struct sg_recording **out, struct sg_errors *errors);
/* The same from an open stream that can seek, which the recording then owns (also on failure). */
sg_status sg_recording_open_stream(FILE *stream, const char *name, const struct sg_csv_map *map,
                                   struct sg_recording **out, struct sg_errors *errors);
const struct sg_recording_info *sg_recording_info(const struct sg_recording *recording);
sg_status sg_recording_read(struct sg_recording *recording, struct sg_block *out,
                            struct sg_errors *errors);
/* Starts again from the first frame. */
sg_status sg_recording_rewind(struct sg_recording *recording, struct sg_errors *errors);
void sg_recording_close(struct sg_recording *recording);

/* ---- measuring ------------------------------------------------------------------------------- */

struct sg_measure_options {
    double interval_s; /* unset = one interval for the whole recording */
    enum sg_weighting kb;
    bool bands;
    bool uncalibrated;   /* file units are taken as they are; marked */
    double from_s, to_s; /* only this part of the recording; unset = from its start, to its end */
    bool spectra;        /* densities of every channel, and tones of microphones */
    double now_epoch_s;  /* for expired calibrations when the file has no time; unset */
};
#define SG_MEASURE_OPTIONS_INIT                                                                    \
    ((struct sg_measure_options){ .interval_s = SG_UNSET,                                          \
                                  .kb = SG_WEIGHTING_KB_80,                                        \
                                  .bands = true,                                                   \
                                  .from_s = SG_UNSET,                                              \
                                  .to_s = SG_UNSET,                                                \
                                  .now_epoch_s = SG_UNSET })

/* One sensor over one interval: vibration (naxis > 0) or sound. */
struct sg_measured {
    size_t group;
    bool is_sound;
    double start_s, seconds, start_epoch_s;
    size_t channel[SG_AXES_MAX]; /* in the file */
    size_t nchannel;
    struct sg_vibration_figures vibration;
    const struct sg_vibration_sums *vibration_sums; /* NULL for sound; valid during the call */
    struct sg_sound_figures sound;
    const struct sg_sound_sums *sound_sums;
    struct sg_onset onset; /* most prominent of the sound's impulses; unset = none */
    size_t onsets;
    const struct sg_spectrum *density; /* one a channel, with option spectra; NULL = none */
    double tone_hz, tone_audibility_db, tone_adjustment_db; /* most audible tone; unset = none */
    struct sg_quality_found quality;
    bool whole; /* the whole recording, after its intervals */
};
typedef void sg_measured_sink(const struct sg_measured *measured, void *payload);
/* Called with every calibrated block, for events and plots; may be NULL. */
typedef void sg_calibrated_sink(size_t channel, enum sg_kind kind, const double *sample,
                                size_t count, double time_s, void *payload);
struct sg_measure_sinks {
    sg_measured_sink *measured;
    sg_calibrated_sink *calibrated;
    void *payload;
};
/* One pass computes everything. calibration may be NULL only with options->uncalibrated. */
sg_status sg_measure(struct sg_recording *recording, const struct sg_calibration *calibration,
                     const struct sg_measure_options *options, const struct sg_measure_sinks *sinks,
                     struct sg_errors *errors);

#endif
