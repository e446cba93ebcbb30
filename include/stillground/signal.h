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
#include "stillground/filter.h"
#include "stillground/quality.h"
#include "stillground/response.h"
#include "stillground/sound_meter.h"
#include "stillground/spectrum.h"
#include "stillground/trigger.h"
#include "stillground/vibration_meter.h"
#include "stillground/weighting.h"

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
    enum sg_taper taper; /* of those densities; tones are looked for under Hann only */
    bool response;       /* response spectra of every axis of vibration */
    double now_epoch_s;  /* for expired calibrations when the file has no time; unset */
};
#define SG_MEASURE_OPTIONS_INIT                                                                    \
    ((struct sg_measure_options){ .interval_s = SG_UNSET,                                          \
                                  .kb = SG_WEIGHTING_KB_80,                                        \
                                  .bands = true,                                                   \
                                  .from_s = SG_UNSET,                                              \
                                  .to_s = SG_UNSET,                                                \
                                  .taper = SG_TAPER_HANN,                                          \
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
    bool whole;                              /* the whole recording, after its intervals */
    const double (*band_rms)[SG_BAND_COUNT]; /* third octaves of each axis, mm/s; NULL = none */
    const double (*band_max)[SG_BAND_COUNT];
    const double (*psv_mm_s)[SG_RESPONSE_COUNT]; /* response spectrum of each axis; NULL = none */
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
