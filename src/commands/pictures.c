/* pictures.c - what the plots of a recording need, gathered while it is measured; then the plots.
 */
#include "pictures.h"

#include <stdio.h>
#include <string.h>
#include <sys/stat.h>

#define SOUND_TOP_HZ 8000.0
#define VIBRATION_TOP_HZ 120.0
#define LIMITS_MAX 16

struct sg_pictures {
    const struct sg_calibration *calibration;
    size_t nchannel;
    struct sg_trace *trace; /* one a channel */
    struct sg_mosaic mosaic[SG_CHANNELS_MAX];
    struct sg_spectrum density[SG_CHANNELS_MAX]; /* of the whole recording */
};

double sg_pictures_top_hz(enum sg_kind kind)
{
    return kind == SG_KIND_PRESSURE ? SOUND_TOP_HZ : VIBRATION_TOP_HZ;
}

static bool leads(const struct sg_calibration *calibration, size_t channel)
{
    for (size_t c = 0; c < channel; c++)
        if (calibration->channel[c].group == calibration->channel[channel].group)
            return false;
    return true;
}

/* The vertical axis shows most; else the first. */
static bool has_mosaic(const struct sg_calibration *calibration, size_t channel)
{
    size_t group = calibration->channel[channel].group;
    for (size_t c = 0; c < calibration->nchannel; c++)
        if (calibration->channel[c].group == group && calibration->channel[c].axis == SG_AXIS_Z)
            return c == channel;
    return leads(calibration, channel);
}

sg_status sg_pictures_new(const struct sg_recording_info *info,
                          const struct sg_calibration *calibration, struct sg_pictures **out)
{
    struct sg_pictures *pictures = sg_alloc(1, sizeof *pictures);
    if (pictures == NULL)
        return SG_ERR_NOMEM;
    pictures->calibration = calibration;
    pictures->nchannel =
        info->nchannel < calibration->nchannel ? info->nchannel : calibration->nchannel;
    pictures->trace = sg_alloc(info->nchannel, sizeof *pictures->trace);
    sg_status status = pictures->trace != NULL ? SG_OK : SG_ERR_NOMEM;
    for (size_t c = 0; c < pictures->nchannel && sg_ok(status); c++) {
        const struct sg_calibration_channel *given = &calibration->channel[c];
        sg_trace_init(&pictures->trace[c], given->kind, given->axis, info->rate_hz);
        if (has_mosaic(calibration, c))
            status = sg_mosaic_init(&pictures->mosaic[c], info->rate_hz,
                                    sg_pictures_top_hz(given->kind));
    }
    if (!sg_ok(status)) {
        sg_pictures_free(pictures);
        return status;
    }
    *out = pictures;
    return SG_OK;
}

void sg_pictures_free(struct sg_pictures *pictures)
{
    if (pictures == NULL)
        return;
    for (size_t c = 0; c < SG_CHANNELS_MAX; c++) {
        sg_mosaic_release(&pictures->mosaic[c]);
        sg_spectrum_release(&pictures->density[c]);
    }
    sg_free(pictures->trace);
    sg_free(pictures);
}

void sg_pictures_add(struct sg_pictures *pictures, size_t channel, const double *sample,
                     size_t count, double time_s)
{
    if (channel >= pictures->nchannel)
        return;
    sg_trace_add(&pictures->trace[channel], sample, count, time_s);
    if (pictures->mosaic[channel].density != NULL)
        sg_mosaic_add(&pictures->mosaic[channel], sample, count, time_s);
}

/* The last report of a sensor is the whole recording, or its only interval. */
void sg_pictures_measured(struct sg_pictures *pictures, const struct sg_measured *measured)
{
    for (size_t i = 0; measured->density != NULL && i < measured->nchannel; i++) {
        const struct sg_spectrum *from = &measured->density[i];
        struct sg_spectrum *to = &pictures->density[measured->channel[i]];
        if (from->count == 0)
            continue;
        double *value = sg_alloc(from->count, sizeof *value);
        if (value == NULL)
            continue;
        memcpy(value, from->value, from->count * sizeof *value);
        sg_spectrum_release(to);
        *to = *from;
        to->value = value;
    }
}

/* ---- drawing --------------------------------------------------------------------------------- */

typedef sg_status picture_fn(const struct sg_pictured *of, const char *id, struct sg_text *svg,
                             struct sg_errors *errors);
static const struct {
    const char *name;
    picture_fn *draw;
    bool vibration_only;
} kinds[] = {
    { "waveform", sg_picture_waveform, false },
    { "spectrum", sg_picture_spectrum, false },
    { "spectrogram", sg_picture_spectrogram, false },
    { "bands", sg_picture_thirds, false },
    { "peaks", sg_picture_peaks, true },
};

/* Curves for the plots: on peak velocity by the peak's frequency, and band by band. */
struct curves {
    const struct sg_limit_row *row[2][LIMITS_MAX];
    const struct sg_limit_set *set[2][LIMITS_MAX];
    size_t count[2];
};
enum { ON_PEAKS, BY_BAND };

/* asked: rows that wait for somebody's choice are wanted too. */
static void add_curves(const struct sg_limit_set *set, const struct sg_receptor *who, bool asked,
                       struct curves *out)
{
    for (size_t k = 0; set && k < set->nrow; k++) {
        const struct sg_limit_row *limit = &set->row[k];
        bool bands = limit->rule == SG_RULE_BANDS;
        size_t kind = bands ? BY_BAND : ON_PEAKS, at = out->count[kind];
        if (at == LIMITS_MAX || (!bands && limit->quantity != SG_Q_PPV) || limit->techniques == 0)
            continue;
        if (limit->on_request && !asked)
            continue;
        if (who && (!(limit->classes & who->building_class) || !(limit->uses & who->use)))
            continue;
        out->row[kind][at] = limit;
        out->set[kind][at] = set;
        out->count[kind]++;
    }
}

/* Those of the receptor, and those that were named. Of named sets all rows are drawn, unless they
 * are too many to be told apart. */
static void find_curves(const struct sg_take_options *options, const char *receptor,
                        struct curves *out)
{
    const struct sg_site *site = options->site;
    size_t nlist;
    *out = (struct curves){ .count = { 0, 0 } };
    for (size_t r = 0; site && r < site->nreceptor; r++) {
        const struct sg_receptor *who = &site->receptor[r];
        if (!sg_same(who->name, receptor))
            continue;
        const char *const *list = sg_site_limit_sets(site, who, &nlist);
        for (size_t i = 0; i < nlist; i++)
            add_curves(sg_site_limit_set(site, list[i]), who, false, out);
    }
    for (size_t i = 0; i < options->nset; i++)
        add_curves(options->set[i], NULL, options->set[i]->nrow <= LIMITS_MAX, out);
}

static sg_status write_picture(const char *folder, const char *id, const struct sg_text *svg,
                               struct sg_errors *errors)
{
    struct sg_arena arena = SG_ARENA_INIT;
    const char *path = sg_arena_printf(&arena, "%s/%s.svg", folder, id);
    sg_status status =
        path ? sg_file_write(path, sg_text_string(svg), svg->length, errors) : SG_ERR_NOMEM;
    if (sg_ok(status))
        fprintf(stderr, "drawn: %s\n", path);
    sg_arena_release(&arena);
    return status;
}

static sg_status draw_sensor(const struct sg_pictured *of, const char *stem, const char *folder,
                             struct sg_errors *errors)
{
    struct sg_arena arena = SG_ARENA_INIT;
    sg_status status = SG_OK;
    bool sound = of->kept->measured.is_sound;
    for (size_t i = 0; i < SG_COUNT(kinds) && sg_ok(status); i++) {
        struct sg_text svg = SG_TEXT_INIT;
        const char *id = of->kept->measured.group > 0
                             ? sg_arena_printf(&arena, "%s-%zu-%s", stem, of->kept->measured.group,
                                               kinds[i].name)
                             : sg_arena_printf(&arena, "%s-%s", stem, kinds[i].name);
        if (kinds[i].vibration_only && sound)
            continue;
        status = id ? kinds[i].draw(of, id, &svg, errors) : SG_ERR_NOMEM;
        if (sg_ok(status) && svg.length > 0)
            status = write_picture(folder, id, &svg, errors);
        sg_text_release(&svg);
    }
    sg_arena_release(&arena);
    return status;
}

static const struct sg_kept *last_of(const struct sg_taken *taken, size_t group)
{
    const struct sg_kept *last = NULL;
    for (size_t k = 0; k < taken->kept.count; k++)
        if (taken->kept.item[k].measured.group == group)
            last = &taken->kept.item[k];
    return last;
}

static sg_status draw_group(struct sg_pictures *pictures, size_t lead, const char *stem,
                            const struct sg_take_options *options, const struct sg_taken *taken,
                            struct sg_errors *errors)
{
    struct curves curves;
    struct sg_spectrum density[SG_AXES_MAX] = { { .value = NULL } };
    struct sg_pictured of = { .name = taken->file, .events = &taken->events };
    size_t group = pictures->calibration->channel[lead].group;
    struct sg_trace *trace = sg_alloc(SG_AXES_MAX, sizeof *trace);
    sg_status status = trace ? SG_OK : SG_ERR_NOMEM;
    of.kept = last_of(taken, group);
    for (size_t c = 0; c < pictures->nchannel && trace && of.ntrace < SG_AXES_MAX; c++) {
        if (pictures->calibration->channel[c].group != group)
            continue;
        trace[of.ntrace] = pictures->trace[c];
        density[of.ntrace++] = pictures->density[c];
        if (pictures->mosaic[c].count > 1)
            of.mosaic = &pictures->mosaic[c];
    }
    of.trace = trace;
    of.density = density[0].count > 0 ? density : NULL;
    find_curves(options, options->receptor ? options->receptor : pictures->calibration->receptor,
                &curves);
    of.limit = curves.row[ON_PEAKS];
    of.set = curves.set[ON_PEAKS];
    of.nlimit = curves.count[ON_PEAKS];
    of.band_limit = curves.row[BY_BAND];
    of.band_set = curves.set[BY_BAND];
    of.nband_limit = curves.count[BY_BAND];
    if (sg_ok(status) && of.kept)
        status = draw_sensor(&of, stem, options->plots, errors);
    sg_free(trace);
    return status;
}

sg_status sg_pictures_draw(struct sg_pictures *pictures, const char *path,
                           const struct sg_take_options *options, const struct sg_taken *taken,
                           struct sg_errors *errors)
{
    struct sg_arena arena = SG_ARENA_INIT;
    const char *slash = strrchr(path, '/'), *name = slash ? slash + 1 : path;
    const char *dot = strrchr(name, '.');
    const char *stem = sg_arena_copy(&arena, name, dot ? (size_t)(dot - name) : strlen(name));
    sg_status status = stem ? SG_OK : SG_ERR_NOMEM;
    (void)mkdir(options->plots, 0777); /* writing says what is wrong when it is not there */
    for (size_t c = 0; c < pictures->nchannel && sg_ok(status); c++)
        if (leads(pictures->calibration, c))
            status = draw_group(pictures, c, stem, options, taken, errors);
    sg_arena_release(&arena);
    return status;
}
