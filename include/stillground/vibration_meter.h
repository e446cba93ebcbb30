/* vibration_meter.h - the figures of vibration over an interval, in one pass. Pure. */
#ifndef STILLGROUND_VIBRATION_METER_H
#define STILLGROUND_VIBRATION_METER_H

#include "stillground/filter.h"
#include "stillground/spectrum.h"

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

#endif
