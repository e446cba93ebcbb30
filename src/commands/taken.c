/* taken.c - reads and measures recordings, once for the commands measure and check. */
#include "taken.h"

#include "pictures.h"

#include <argp.h>
#include <stdio.h>
#include <string.h>

sg_status sg_take_seconds(const char *word, double *out, const char **why)
{
    return sg_parse_quantity(word, "s", out, why);
}

/* The name of a file without folder and ending, in place. */
static const char *stem_of(const char *path, size_t *length)
{
    const char *slash = strrchr(path, '/'), *name = slash ? slash + 1 : path;
    const char *dot = strrchr(name, '.');
    *length = dot ? (size_t)(dot - name) : strlen(name);
    return name;
}

void sg_take_own_names(const struct argp_state *state, const char *const *path, size_t count)
{
    for (size_t i = 0; i < count; i++)
        for (size_t k = 0; k < i; k++) {
            size_t one, other;
            const char *a = stem_of(path[i], &one), *b = stem_of(path[k], &other);
            if (one == other && memcmp(a, b, one) == 0)
                argp_error(state, "--plots: drawings of %s and %s would have the same names",
                           path[k], path[i]);
        }
}

double sg_take_rate(const struct argp_state *state, const char *word)
{
    const char *why = NULL;
    double rate_hz = SG_UNSET;
    if (!sg_ok(sg_parse_quantity(word, "Hz", &rate_hz, &why)) || !(rate_hz > 0.0 && rate_hz <= 1e6))
        argp_error(state, "--rate is '%s'; allowed: above 0 to 1000000 Hz", word);
    return rate_hz;
}

double sg_take_exposure(const struct argp_state *state, const char *word)
{
    const char *why = NULL;
    double hours = SG_UNSET;
    if (!sg_ok(sg_parse_quantity(word, "h", &hours, &why)) || !(hours > 0.0 && hours <= 24.0))
        argp_error(state, "--exposure is '%s'; allowed: above 0 to 24 h", word);
    return hours;
}

/* The path with its extension replaced. */
static const char *sidecar_of(const char *path, struct sg_arena *arena)
{
    const char *slash = strrchr(path, '/'), *dot = strrchr(path, '.');
    size_t stem = dot && (!slash || dot > slash) ? (size_t)(dot - path) : strlen(path);
    return sg_arena_printf(arena, "%.*s.yaml", (int)stem, path);
}

static bool can_read(const char *path)
{
    FILE *file = fopen(path, "rb");
    if (file)
        fclose(file);
    return file != NULL;
}

static sg_status read_sidecar(const char *path, const struct sg_take_options *options,
                              struct sg_take *take, struct sg_errors *errors)
{
    struct sg_arena names = SG_ARENA_INIT;
    sg_status status = SG_ERR_NOMEM;
    const char *sidecar = options->calibration ? options->calibration : sidecar_of(path, &names);
    if (!sidecar)
        goto done;
    if (!options->calibration && !can_read(sidecar)) {
        status = sg_errors_add(errors, SG_ERR_MISSING, &(struct sg_place){ .file = path },
                               "has no calibration beside it (%s); give one with --calibration, or "
                               "measure in file units with --uncalibrated",
                               sidecar);
        goto done;
    }
    status = sg_calibration_read(sidecar, &take->arena, &take->calibration, errors);
    if (sg_ok(status))
        take->taken.calibration = &take->calibration;
done:
    sg_arena_release(&names);
    return status;
}

/* ---- one pass -------------------------------------------------------------------------------- */

struct pass {
    struct sg_take *take;
    struct sg_event_meter *events; /* NULL = not asked for */
    struct sg_pictures *pictures;  /* NULL = not asked for */
    struct sg_progress_line *line;
    double total_s;
    sg_status status; /* of what the sinks could not say */
};

static void on_measured(const struct sg_measured *measured, void *payload)
{
    struct pass *pass = payload;
    sg_keep(&pass->take->taken.kept, measured);
    if (pass->pictures)
        sg_pictures_measured(pass->pictures, measured);
}

/* The calibrator's tone is no part of the record: events and plots see silence instead. False when
 * there is none in this block. */
static bool blank_tone(const struct pass *pass, size_t channel, const double *sample, size_t count,
                       double time_s, double *out)
{
    const struct sg_calibration *calibration = pass->take->taken.calibration;
    if (!calibration)
        return false;
    const struct sg_calibration_channel *given = &calibration->channel[channel];
    if (!(time_s < given->tone_end_s))
        return false;
    for (size_t i = 0; i < count; i++) {
        double at_s = time_s + (double)i / pass->take->taken.info.rate_hz;
        bool tone = at_s >= given->tone_start_s && at_s < given->tone_end_s;
        out[i] = tone ? 0.0 : sample[i];
    }
    return true;
}

static void on_calibrated(size_t channel, enum sg_kind kind, const double *sample, size_t count,
                          double time_s, void *payload)
{
    struct pass *pass = payload;
    double without[SG_BLOCK_FRAMES];
    struct sg_mosaic *mosaic = pass->take->taken.mosaic;
    if (count <= SG_BLOCK_FRAMES && blank_tone(pass, channel, sample, count, time_s, without))
        sample = without;
    if (pass->events)
        sg_event_meter_add(pass->events, channel, sample, count, time_s);
    if (mosaic && !mosaic[channel].density && sg_ok(pass->status))
        pass->status = sg_mosaic_init(&mosaic[channel], pass->take->taken.info.rate_hz,
                                      sg_pictures_top_hz(kind));
    if (mosaic && mosaic[channel].density)
        sg_mosaic_add(&mosaic[channel], sample, count, time_s);
    if (pass->pictures)
        sg_pictures_add(pass->pictures, channel, sample, count, time_s);
    if (channel == 0 && sg_is_set(pass->total_s))
        sg_progress_show((size_t)(time_s + 0.5), (size_t)pass->total_s, pass->line);
}

static struct sg_calibration plain_calibration(const struct sg_recording_info *info,
                                               struct sg_calibration_channel *channel)
{
    for (size_t c = 0; c < info->nchannel; c++) {
        channel[c] = SG_CALIBRATION_CHANNEL_INIT;
        channel[c].group = c / SG_AXES_MAX;
        channel[c].axis = SG_AXIS_NONE;
    }
    return (struct sg_calibration){ .channel = channel, .nchannel = info->nchannel };
}

static sg_status run_pass(struct sg_recording *recording, const char *path,
                          const struct sg_take_options *options, struct sg_take *take,
                          struct sg_errors *errors)
{
    struct sg_progress_line line = { 0.0, false, "s" };
    struct pass pass = { .take = take, .line = &line, .status = SG_OK };
    const struct sg_recording_info *info = sg_recording_info(recording);
    struct sg_calibration_channel plain_channel[SG_CHANNELS_MAX];
    struct sg_calibration plain = plain_calibration(info, plain_channel);
    const struct sg_calibration *calibration = take->taken.calibration;
    struct sg_measure_options measure = options->measure;
    struct sg_trigger_config trigger = sg_trigger_usual;
    const struct sg_measure_sinks sinks = { on_measured, on_calibrated, &pass };
    sg_status status = SG_OK;

    pass.total_s = info->frames_stated / info->rate_hz;
    trigger.level = options->trigger;
    if (sg_is_set(options->pre_s))
        trigger.pre_s = options->pre_s;
    if (sg_is_set(options->post_s))
        trigger.post_s = options->post_s;
    measure.spectra = true;
    take->taken.kept.spectra = options->keep_spectra;
    if (options->events && calibration)
        status = sg_event_meter_new(info, calibration, &trigger, &take->taken.events, &pass.events);
    if (sg_ok(status) && options->plots && calibration)
        status = sg_pictures_new(info, calibration ? calibration : &plain, &pass.pictures);
    if (sg_ok(status) && options->spectrograms) {
        take->taken.mosaic = sg_alloc(info->nchannel, sizeof *take->taken.mosaic);
        status = take->taken.mosaic ? SG_OK : SG_ERR_NOMEM;
    }
    if (sg_ok(status))
        status = sg_measure(recording, calibration, &measure, &sinks, errors);
    if (sg_ok(status))
        status = pass.status;
    if (sg_ok(status) && pass.events)
        sg_event_meter_close(pass.events);
    sg_progress_end(&line);
    if (sg_ok(status) && (take->taken.kept.failed || take->taken.events.failed))
        status = SG_ERR_NOMEM;
    if (sg_ok(status) && pass.pictures)
        status = sg_pictures_draw(pass.pictures, path, options, &take->taken, errors);
    sg_event_meter_free(pass.events);
    sg_pictures_free(pass.pictures);
    return status;
}

sg_status sg_take_recording(const char *path, const struct sg_take_options *options,
                            struct sg_take *out, struct sg_errors *errors)
{
    struct sg_recording *recording = NULL;
    *out = (struct sg_take){ .taken = SG_TAKEN_INIT, .arena = SG_ARENA_INIT };
    out->taken.file = path;
    sg_status status = sg_recording_open(path, &options->map, &recording, errors);
    if (sg_ok(status) && !options->measure.uncalibrated)
        status = read_sidecar(path, options, out, errors);
    if (sg_ok(status)) {
        out->taken.info = *sg_recording_info(recording);
        status = run_pass(recording, path, options, out, errors);
    }
    sg_recording_close(recording);
    return status;
}

void sg_take_release(struct sg_take *take)
{
    sg_kept_release(&take->taken.kept);
    for (size_t c = 0; take->taken.mosaic && c < take->taken.info.nchannel; c++)
        sg_mosaic_release(&take->taken.mosaic[c]);
    sg_free(take->taken.mosaic);
    sg_event_list_release(&take->taken.events);
    sg_recorded_release(&take->taken.verdicts);
    sg_arena_release(&take->arena);
}
