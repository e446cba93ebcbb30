/* weighting.h - published numbers of the signal room as data: frequency weightings of sound and of
 * human vibration, time constants, octave bands, class 1 tolerances, rating constants.
 *
 * The rows live in src/catalogue/weightings.c; every row has a citation with its grade. Nothing
 * here computes a filter; signal.h turns a row into one for a sample rate.
 */
#ifndef STILLGROUND_WEIGHTING_H
#define STILLGROUND_WEIGHTING_H

#include "stillground/vocabulary.h"

enum sg_weighting {
    SG_WEIGHTING_A, /* sound */
    SG_WEIGHTING_C,
    SG_WEIGHTING_Z,
    SG_WEIGHTING_WB, /* human vibration, on acceleration */
    SG_WEIGHTING_WC,
    SG_WEIGHTING_WD,
    SG_WEIGHTING_WE,
    SG_WEIGHTING_WJ,
    SG_WEIGHTING_WK,
    SG_WEIGHTING_WM,
    SG_WEIGHTING_JP_VERTICAL, /* Japanese vibration level, on acceleration */
    SG_WEIGHTING_JP_HORIZONTAL,
    SG_WEIGHTING_KB_80, /* KB with the working band 1 to 80 Hz, on velocity */
    SG_WEIGHTING_KB_315,
    SG_WEIGHTING_END
};
const char *sg_weighting_id(enum sg_weighting weighting); /* "A", "Wb", "KB 1-80 Hz", ... */
const struct sg_cite *sg_weighting_cite(enum sg_weighting weighting);

/* A and C from four design frequencies (IEC 61672-1 Annex E). */
struct sg_sound_weighting_row {
    double reference_hz; /* where the gain is 1 */
    double low_hz;       /* fL */
    double high_hz;      /* fH */
    double a_hz;         /* fA */
    struct sg_cite cite;
};
const struct sg_sound_weighting_row *sg_sound_weighting(void);

/* H = Hh Hl Ht Hs (ISO 8041-1 Formulae 1 to 5). An unset corner means that the factor is 1. */
struct sg_vibration_weighting_row {
    enum sg_weighting weighting;
    double f1_hz, f2_hz;         /* band limits, Q = 1/sqrt(2) */
    double f3_hz, f4_hz, q4;     /* acceleration-velocity transition */
    double f5_hz, q5, f6_hz, q6; /* upward step */
    double gain;                 /* K */
    struct sg_cite cite;
};
/* NULL for a weighting that is not of this shape. */
const struct sg_vibration_weighting_row *sg_vibration_weighting(enum sg_weighting weighting);

/* KB: first-order high-pass and two-pole band limits, on velocity. */
struct sg_kb_row {
    double corner_hz;
    double low_hz;     /* band limit */
    double high_80_hz; /* band limit of the working band to 80 Hz */
    double high_315_hz;
    double tau_s; /* of KB_F */
    double takt_s;
    double floor; /* takt maxima at or below it count as 0 */
    struct sg_cite corner_cite, tau_cite, takt_cite;
};
const struct sg_kb_row *sg_kb(void);

/* Time constants of exponential detectors. */
enum sg_time_weighting { SG_TIME_FAST, SG_TIME_SLOW, SG_TIME_IMPULSE, SG_TIME_JP, SG_TIME_END };
struct sg_time_row {
    const char *id;
    double rise_s;
    double fall_s; /* of the peak holder behind it; unset = none */
    struct sg_cite cite;
};
const struct sg_time_row *sg_time_weighting(enum sg_time_weighting weighting);

/* Reference values of levels. */
struct sg_reference_row {
    const char *id;
    double value; /* in the unit */
    const char *unit;
    struct sg_cite cite;
};
enum sg_reference {
    SG_REFERENCE_PRESSURE,
    SG_REFERENCE_JP,
    SG_REFERENCE_VELOCITY_ISO,
    SG_REFERENCE_VELOCITY_US,
    SG_REFERENCE_ACCELERATION_ISO,
    SG_REFERENCE_END
};
const struct sg_reference_row *sg_reference(enum sg_reference reference);
/* The reference that a level quantity is stated under; NULL for what is no level of vibration. */
const struct sg_reference_row *sg_quantity_reference(enum sg_quantity quantity);

/* Flat-top window: the coefficients of cos(k x), k = 0 .. 4, in order. */
struct sg_flat_top_row {
    double a[5];
    struct sg_cite cite;
};
const struct sg_flat_top_row *sg_flat_top(void);

/* ---- bands ----------------------------------------------------------------------------------- */

#define SG_BAND_FIRST (-31) /* 0.8 Hz */
#define SG_BAND_LAST 13     /* 20 kHz */
#define SG_BAND_COUNT (SG_BAND_LAST - SG_BAND_FIRST + 1)

/* Base-10 third octaves (IEC 61260-1): number x, 0 = 1 kHz. */
double sg_band_hz(int third); /* exact middle */
double sg_band_low_hz(int third);
double sg_band_high_hz(int third);
double sg_band_nominal_hz(int third); /* label: 31.5, 40, ... */
/* Octaves: number x, 0 = 1 kHz, one octave = three third octaves. */
double sg_octave_hz(int octave);
double sg_octave_low_hz(int octave);
double sg_octave_high_hz(int octave);
/* The third octave a frequency lies in; SG_ERR_DOMAIN outside the table. */
sg_status sg_band_of(double frequency_hz, int *third);
const struct sg_cite *sg_band_cite(void);

/* Class 1 limits of the attenuation of a third-octave filter relative to mid-band, dB, at
 * frequency / middle = ratio. *max is +inf outside the band. */
void sg_band_mask(double ratio, double *min_db, double *max_db);

/* Class 1 limits of A, C and Z at third octave `third`; -inf where there is no lower limit.
 * SG_ERR_DOMAIN outside 10 Hz to 20 kHz. */
sg_status sg_sound_class1(int third, double *lower_db, double *upper_db);
/* Tolerance of a whole-body weighting at a frequency, as ratios: 0.89 .. 1.12 in the middle. */
void sg_vibration_tolerance(enum sg_weighting weighting, double frequency_hz, double *lower,
                            double *upper);

/* ---- ratings --------------------------------------------------------------------------------- */

/* Objective prominence of impulses: P = rate_factor lg(onset rate) + rise_factor lg(difference);
 * adjustment = slope (P - threshold) above the threshold. */
struct sg_impulse_row {
    double onset_db_s; /* slope of LAF from which an onset is counted */
    double merge_s;    /* gaps shorter than this join */
    double rate_factor, rise_factor, slope, threshold;
    double regular_max_db; /* adjustments up to it: regular impulsive; above: highly */
    struct sg_cite cite;
};
const struct sg_impulse_row *sg_impulse_rating(void);

/* Tonal audibility and adjustment. */
struct sg_tonal_row {
    double offset_db, corner_hz, exponent;
    double first_db, last_db; /* no adjustment below first; the full one above last */
    double full_db;
    double narrow_hz, narrow_width_hz, wide_share; /* critical bands: fixed width, then a share */
    struct sg_cite cite, band_cite;
};
const struct sg_tonal_row *sg_tonal_rating(void);

/* Human-vibration figures beside the weightings. */
struct sg_dose_row {
    double evdv_factor;           /* eVDV = factor a_rms T^1/4 */
    double evdv_crest;            /* eVDV underestimates above this crest factor */
    double mtvv_ratio, vdv_ratio; /* additional-method triggers */
    struct sg_cite evdv_cite, trigger_cite;
};
const struct sg_dose_row *sg_dose_rating(void);

/* Sampling of the Japanese level: a reading every so many seconds, readings, share exceeded. */
struct sg_jp_reading_row {
    double every_s;
    size_t readings;
    double exceeded_percent;
    struct sg_cite cite;
};
const struct sg_jp_reading_row *sg_jp_reading(void);

#endif
