/* sound_meter.h - the figures of sound over an interval, in one pass. Pure. */
#ifndef STILLGROUND_SOUND_METER_H
#define STILLGROUND_SOUND_METER_H

#include "stillground/filter.h"
#include "stillground/spectrum.h"

struct sg_sound_config {
    double rate_hz;
    bool bands;
    double sample_s; /* of LAF for percentiles and the LAF series; unset = 0.1 s */
};
/* Sounds' sums over an interval. Squares in Pa^2. */
/* An octave is the energy of its three third octaves. It keeps class 1 up to here: the middle of
 * its uppermost third octave, over the rate. */
#define SG_OCTAVE_TOP_OF_RATE 0.29

struct sg_sound_sums {
    double rate_hz; /* unset before the first samples */
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

#endif
