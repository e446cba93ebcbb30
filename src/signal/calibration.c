/* calibration.c - from file units to mm/s, m/s2 and Pa: by sensitivity, by factor, by a calibrator
 * tone in the recording.
 *
 * Calibrator levels of 94 and 114 dB: IEC 60942 (1 Pa and 10 Pa rms, rounded). Steadiness, share of
 * the energy and the 5 % of frequency asked of a tone: common practice, no source.
 */
#include "stillground/signal.h"

#include <math.h>
#include <string.h>

#define MM_PER_M 1000.0
#define MV_PER_V 1000.0
#define TONE_PIECES 8
#define TONE_STEADY_DB 0.5
#define TONE_OFF 0.05
#define TONE_SHARE 0.95
#define TONE_MIN_S 1.0

/* ---- checking -------------------------------------------------------------------------------- */

struct checking {
    struct sg_place place;
    struct sg_errors *errors;
    size_t channel;
    sg_status status;
};

static void need(struct checking *check, bool holds, const char *key, double value,
                 const char *allowed)
{
    if (holds)
        return;
    sg_status status = sg_is_set(value) ? SG_ERR_INPUT : SG_ERR_MISSING;
    if (sg_is_set(value))
        (void)sg_errors_add(check->errors, status, &check->place, "channel %zu: %s is %g; %s",
                            check->channel + 1, key, value, allowed);
    else
        (void)sg_errors_add(check->errors, status, &check->place,
                            "channel %zu: %s is not given; %s", check->channel + 1, key, allowed);
    check->status = sg_ok(check->status) ? status : check->status;
}

static void check_channel(struct checking *check, const struct sg_calibration_channel *c)
{
    bool sound = c->kind == SG_KIND_PRESSURE;
    need(check, c->kind < SG_KIND_END, "quantity", (double)c->kind,
         "velocity, acceleration or sound-pressure is needed");
    need(check, c->group < SG_GROUPS_MAX, "sensor", (double)c->group, "0 to 15 are allowed");
    need(check, c->by != SG_BY_NONE, "by", SG_UNSET, "sensitivity, factor or tone is needed");
    if (c->by == SG_BY_SENSITIVITY) {
        need(check, c->sensitivity > 0.0, "sensitivity", c->sensitivity,
             "a positive one is needed");
        need(check, c->volts_per_unit > 0.0, "volts_per_unit", c->volts_per_unit,
             "a positive one is needed");
        need(check, fabs(c->gain_db) <= 200.0, "gain_dB", c->gain_db, "-200 to 200 are allowed");
    }
    if (c->by == SG_BY_FACTOR)
        need(check, isfinite(c->unit_per_file) && fabs(c->unit_per_file) > 0.0, "factor",
             c->unit_per_file, "a finite one that is not 0 is needed");
    if (c->by == SG_BY_TONE) {
        need(check, sound, "quantity", (double)c->kind, "a tone calibrates sound pressure only");
        need(check, c->tone_db >= 60.0 && c->tone_db <= 140.0, "tone_dB", c->tone_db,
             "94 or 114 are usual");
        need(check, c->tone_hz > 0.0, "tone_Hz", c->tone_hz, "a positive one is needed");
        need(check, c->tone_start_s >= 0.0, "tone_start_s", c->tone_start_s, "0 or more is needed");
        need(check, c->tone_end_s >= c->tone_start_s + TONE_MIN_S, "tone_end_s", c->tone_end_s,
             "at least 1 s after tone_start_s is needed");
    }
    if (sg_is_set(c->natural_hz)) {
        need(check, c->kind == SG_KIND_VELOCITY, "quantity", (double)c->kind,
             "a geophone carries velocity");
        need(check, c->natural_hz >= 0.1 && c->natural_hz <= 100.0, "natural_frequency_Hz",
             c->natural_hz, "0.1 to 100 are allowed");
        need(check, c->damping > 0.0 && c->damping <= 2.0, "damping", c->damping,
             "above 0 and up to 2 are allowed");
        need(check, c->correct_to_hz >= 1.0 && c->correct_to_hz <= c->natural_hz, "correct_to_Hz",
             c->correct_to_hz, "1 Hz up to the natural frequency are allowed");
    }
}

/* No sensor has two channels in one direction, more than three, or sound among vibration. */
static void check_groups(struct checking *check, const struct sg_calibration *calibration)
{
    for (size_t i = 0; i < calibration->nchannel; i++) {
        const struct sg_calibration_channel *a = &calibration->channel[i];
        size_t same = 0;
        check->channel = i;
        for (size_t j = 0; j < i; j++) {
            const struct sg_calibration_channel *b = &calibration->channel[j];
            if (a->group != b->group)
                continue;
            same++;
            need(check, a->kind != SG_KIND_PRESSURE && b->kind != SG_KIND_PRESSURE, "sensor",
                 (double)a->group, "a microphone has a number of its own");
            need(check, a->axis != b->axis, "sensor", (double)a->group,
                 "each axis of it may come once");
        }
        need(check, same < SG_AXES_MAX, "sensor", (double)a->group, "three channels are allowed");
    }
}

sg_status sg_calibration_check(const struct sg_calibration *calibration, size_t file_channels,
                               struct sg_errors *errors)
{
    struct checking check = { .place = { calibration->file, 0, 0 },
                              .errors = errors,
                              .status = SG_OK };
    if (calibration->nchannel != file_channels)
        check.status = sg_errors_add(errors, SG_ERR_INPUT, &check.place,
                                     "describes %zu channels; the recording has %zu",
                                     calibration->nchannel, file_channels);
    for (size_t i = 0; i < calibration->nchannel; i++) {
        check.channel = i;
        check_channel(&check, &calibration->channel[i]);
    }
    check_groups(&check, calibration);
    return check.status;
}

/* ---- factors --------------------------------------------------------------------------------- */

double sg_calibration_factor(const struct sg_calibration_channel *channel)
{
    double sign = channel->inverted ? -1.0 : 1.0;
    if (channel->by == SG_BY_FACTOR)
        return sign * channel->unit_per_file;
    if (channel->by != SG_BY_SENSITIVITY)
        return SG_UNSET;
    double volts = channel->volts_per_unit / pow(10.0, channel->gain_db / 20.0);
    double scale = channel->kind == SG_KIND_VELOCITY ? MM_PER_M : MV_PER_V;
    return sign * volts * scale / channel->sensitivity;
}

/* Share of the energy that lies at one frequency: correlation with a sine and a cosine. */
static double tone_energy(const double *raw, size_t count, double rate_hz, double hz, double mean)
{
    double c = 0.0, s = 0.0;
    for (size_t i = 0; i < count; i++) {
        double at = 2.0 * SG_PI * hz * (double)i / rate_hz;
        c += (raw[i] - mean) * cos(at);
        s += (raw[i] - mean) * sin(at);
    }
    return 2.0 * (c * c + s * s) / (double)count;
}

static double piece_square(const double *raw, size_t count, double mean)
{
    double sum = 0.0;
    for (size_t i = 0; i < count; i++)
        sum += (raw[i] - mean) * (raw[i] - mean);
    return sum / (double)count;
}

static sg_status refuse_tone(const char **why, const char *reason)
{
    *why = reason;
    return SG_ERR_DOMAIN;
}

sg_status sg_calibration_tone(const struct sg_calibration_channel *channel, const double *raw,
                              size_t count, double rate_hz, double *out, const char **why)
{
    double mean = 0.0, low = HUGE_VAL, high = 0.0, found_hz;
    if ((double)count < TONE_MIN_S * rate_hz || count < TONE_PIECES)
        return refuse_tone(why, "the tone lasts less than 1 s");
    for (size_t i = 0; i < count; i++)
        mean += raw[i] / (double)count;
    double all = piece_square(raw, count, mean);
    if (!(all > 0.0))
        return refuse_tone(why, "there is no tone, only silence");
    for (size_t k = 0; k < TONE_PIECES; k++) {
        double square = piece_square(raw + k * (count / TONE_PIECES), count / TONE_PIECES, mean);
        low = fmin(low, square);
        high = fmax(high, square);
    }
    if (!(10.0 * log10(high / low) <= TONE_STEADY_DB))
        return refuse_tone(why, "the tone is not steady within 0.5 dB");
    sg_status status = sg_frequency_spectrum(raw, count, rate_hz, true, &found_hz);
    if (status == SG_ERR_NOMEM)
        return status;
    if (!sg_ok(status) || fabs(found_hz / channel->tone_hz - 1.0) > TONE_OFF)
        return refuse_tone(why, "the tone is not within 5 % of its frequency");
    size_t piece = count < (size_t)rate_hz ? count : (size_t)rate_hz;
    double share = tone_energy(raw, piece, rate_hz, found_hz, mean) /
                   (piece_square(raw, piece, mean) * (double)piece);
    if (!(share >= TONE_SHARE))
        return refuse_tone(why, "less than 95 % of the energy is the tone's");
    double pressure =
        sg_reference(SG_REFERENCE_PRESSURE)->value * pow(10.0, channel->tone_db / 20.0);
    *out = (channel->inverted ? -1.0 : 1.0) * pressure / sqrt(all);
    return SG_OK;
}
