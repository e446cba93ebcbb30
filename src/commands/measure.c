/* measure.c - the command `measure`: figures of recordings. */
#include "taken.h"
#include "options.h"

#include <argp.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

typedef sg_status table_maker(const struct sg_taken_list *list, struct sg_table *out);

/* The groups of figures that --metrics chooses from. */
static const struct {
    const char *name;
    table_maker *make;
    bool usual, is_long; /* long tables are shown when they are named */
} metrics[] = {
    { "peaks", sg_table_peaks, true, false },
    { "motion", sg_table_motion, true, false },
    { "sums", sg_table_sums, true, false },
    { "kb", sg_table_kb, true, false },
    { "levels", sg_table_levels, true, false },
    { "doses", sg_table_doses, true, false },
    { "sound", sg_table_sound, true, false },
    { "percentiles", sg_table_percentiles, true, false },
    { "rating", sg_table_rating, true, false },
    { "bands", sg_table_thirds, false, false },
    { "octaves", sg_table_octaves, false, false },
    { "response", sg_table_response, false, false },
    { "spectrum", sg_table_spectrum, false, true },
    { "spectrogram", sg_table_spectrogram, false, true },
    { "findings", sg_table_findings, true, false },
};

enum {
    KEY_FROM = 0x100,
    KEY_TO,
    KEY_PLOTS,
    KEY_UNCALIBRATED,
    KEY_TRIGGER,
    KEY_EXPOSURE,
    KEY_KB,
    KEY_RATING,
    KEY_WINDOW,
    KEY_LIMITS,
    KEY_PRE,
    KEY_POST,
    KEY_COMMA,
    KEY_RATE,
    KEY_KEYS
};

struct request {
    const char *const *file;
    size_t count;
    struct sg_take_options take;
    double exposure_h, rating_h;
    bool chosen[SG_COUNT(metrics)];
    bool events; /* their tables are wanted; plots show them as well */
    enum sg_format format;
    bool keys;
};

static double seconds_of(struct argp_state *state, const char *option, const char *word)
{
    const char *why = NULL;
    double value = SG_UNSET;
    if (!sg_ok(sg_take_seconds(word, &value, &why)) || !(value >= 0.0))
        argp_error(state, "%s is '%s', %s; allowed: a time from 0 s, like 90, 60s, 5min, 1h",
                   option, word, why ? why : "too small");
    return value;
}

static void choose_metrics(struct argp_state *state, struct request *request, const char *list)
{
    const char *known[SG_COUNT(metrics) + 1];
    for (size_t i = 0; i < SG_COUNT(metrics); i++) {
        known[i] = metrics[i].name;
        request->chosen[i] = false;
    }
    if (!*list)
        argp_error(state, "--metrics names no figures");
    while (*list) {
        size_t length = strcspn(list, ","), i = 0;
        char word[32] = "";
        if (length < sizeof word)
            memcpy(word, list, length);
        bool all = strcmp(word, "all") == 0;
        for (; i < SG_COUNT(metrics); i++) {
            if ((all && !metrics[i].is_long) || strcmp(word, metrics[i].name) == 0)
                request->chosen[i] = true;
            if (!all && strcmp(word, metrics[i].name) == 0)
                break;
        }
        if (!all && i == SG_COUNT(metrics)) {
            const char *near = sg_nearest(word, known, SG_COUNT(metrics));
            argp_error(state,
                       "--metrics: '%.*s' is not known%s%s%s; allowed: all, peaks, motion, sums, "
                       "kb, levels, doses, sound, percentiles, rating, bands, octaves, "
                       "response, spectrum, spectrogram, findings",
                       (int)length, list, near ? " (meant: " : "", near ? near : "",
                       near ? "?)" : "");
        }
        list += length + (list[length] == ',' ? 1 : 0);
    }
}

static void parse_rating(struct argp_state *state, struct request *request, const char *word)
{
    const char *why = NULL;
    if (!sg_ok(sg_parse_quantity(word, "h", &request->rating_h, &why)) ||
        !(request->rating_h > 0.0 && request->rating_h <= 24.0))
        argp_error(state, "--rating-time is '%s'; allowed: above 0 to 24 h", word);
}

/* Limit sets whose curves the plots show. */
static void add_limits(struct argp_state *state, struct request *request, const char *list)
{
    while (*list) {
        size_t length = strcspn(list, ",");
        char word[64] = "";
        if (length < sizeof word)
            memcpy(word, list, length);
        const struct sg_limit_set *set = sg_limit_set_find(word);
        if (!set)
            argp_error(state, "--limits: '%.*s' is no limit set; `stillground limits` lists them",
                       (int)length, list);
        if (request->take.nset == SG_CURVE_SETS_MAX)
            argp_error(state, "--limits names more than %d sets", SG_CURVE_SETS_MAX);
        request->take.set[request->take.nset++] = set;
        list += length + (list[length] == ',' ? 1 : 0);
    }
}

/* How it is measured and drawn. */
static error_t parse_how(int key, char *argument, struct argp_state *state)
{
    struct request *request = state->input;
    struct sg_measure_options *measure = &request->take.measure;
    switch (key) {
    case KEY_FROM:
        measure->from_s = seconds_of(state, "--from", argument);
        return 0;
    case KEY_TO:
        measure->to_s = seconds_of(state, "--to", argument);
        return 0;
    case KEY_PLOTS:
        request->take.plots = argument;
        return 0;
    case KEY_EXPOSURE:
        request->exposure_h = sg_take_exposure(state, argument);
        return 0;
    case KEY_LIMITS:
        add_limits(state, request, argument);
        return 0;
    case KEY_RATING:
        parse_rating(state, request, argument);
        return 0;
    case KEY_WINDOW:
        measure->taper = SG_TAPER_RECTANGULAR;
        while (measure->taper < SG_TAPER_END && !sg_same(argument, sg_taper_id(measure->taper)))
            measure->taper++;
        if (measure->taper == SG_TAPER_END)
            argp_error(state, "--window is '%s'; allowed: rectangular, hann, flat-top", argument);
        return 0;
    case KEY_KB:
        if (!sg_same(argument, "80") && !sg_same(argument, "315"))
            argp_error(state, "--kb-band is '%s'; allowed: 80, 315", argument);
        measure->kb = sg_same(argument, "80") ? SG_WEIGHTING_KB_80 : SG_WEIGHTING_KB_315;
        return 0;
    default:
        return ARGP_ERR_UNKNOWN;
    }
}

static error_t parse_option(int key, char *argument, struct argp_state *state)
{
    struct request *request = state->input;
    struct sg_measure_options *measure = &request->take.measure;
    switch (key) {
    case 'f':
        sg_take_format(argument, state, &request->format);
        return 0;
    case 'c':
        request->take.calibration = argument;
        return 0;
    case KEY_UNCALIBRATED:
        measure->uncalibrated = true;
        return 0;
    case 'i':
        measure->interval_s = seconds_of(state, "--interval", argument);
        if (!(measure->interval_s >= 1.0))
            argp_error(state, "--interval is '%s'; allowed: 1 s and more", argument);
        return 0;
    case 'm':
        choose_metrics(state, request, argument);
        return 0;
    case 'e':
        request->events = true;
        return 0;
    case KEY_TRIGGER:
        request->events = true;
        if (!sg_ok(sg_parse_number(argument, &request->take.trigger, NULL)) ||
            !(request->take.trigger > 0.0))
            argp_error(state, "--trigger is '%s'; allowed: a level above 0, in mm/s or Pa",
                       argument);
        return 0;
    case KEY_PRE:
        request->take.pre_s = seconds_of(state, "--pre", argument);
        return 0;
    case KEY_POST:
        request->take.post_s = seconds_of(state, "--post", argument);
        return 0;
    case KEY_COMMA:
        request->take.map.decimal_comma = true;
        return 0;
    case KEY_RATE:
        request->take.map.rate_hz = sg_take_rate(state, argument);
        return 0;
    case KEY_KEYS:
        request->keys = true;
        return 0;
    case ARGP_KEY_ARGS:
        request->file = (const char *const *)(state->argv + state->next);
        request->count = (size_t)(state->argc - state->next);
        return 0;
    case ARGP_KEY_END:
        if (request->count == 0 && !request->keys)
            argp_error(state, "a recording is needed, or --keys");
        if (measure->uncalibrated && request->take.calibration)
            argp_error(state, "--calibration and --uncalibrated exclude each other");
        if (request->take.nset > 0 && !request->take.plots)
            argp_error(state, "--limits draws curves into the plots; it needs --plots");
        if (measure->uncalibrated && request->take.plots)
            argp_error(state, "--plots needs a calibration: its axes have units");
        if (measure->uncalibrated && request->events)
            argp_error(state, "--events needs a calibration");
        if (request->take.plots)
            sg_take_own_names(state, request->file, request->count);
        if (measure->from_s >= measure->to_s)
            argp_error(state, "--to must be after --from");
        return 0;
    default:
        return parse_how(key, argument, state);
    }
}

static int print(const struct request *request, const struct sg_taken_list *list)
{
    struct sg_table table[SG_COUNT(metrics) + 2];
    const struct sg_table *shown[SG_COUNT(metrics) + 2];
    size_t made = 0, count = 0;
    sg_status status = SG_OK;
    for (size_t i = 0; i < SG_COUNT(metrics) && sg_ok(status); i++)
        if (request->chosen[i])
            status = metrics[i].make(list, &table[made++]);
    if (request->events && sg_ok(status))
        status = sg_table_blows(list, &table[made++]);
    if (request->events && sg_ok(status))
        status = sg_table_events(list, &table[made++]);
    for (size_t i = 0; i < made; i++) /* what the recordings do not have is not shown */
        if (table[i].nrow > 0 || table[i].nnote > 0)
            shown[count++] = &table[i];
    if (sg_ok(status) && count == 0)
        fprintf(stderr, "the recordings have no figures of the kind asked for\n");
    int result = sg_ok(status) ? sg_command_tables(shown, count, request->format)
                               : sg_command_fail(NULL, status);
    for (size_t i = 0; i < made; i++)
        sg_table_release(&table[i]);
    return result;
}

static int run(const struct request *request)
{
    struct sg_errors errors = SG_ERRORS_INIT;
    struct sg_take *take = sg_alloc(request->count, sizeof *take);
    struct sg_taken *taken = sg_alloc(request->count, sizeof *taken);
    sg_status status = take && taken ? SG_OK : SG_ERR_NOMEM, first = SG_OK;
    size_t count = 0;
    for (size_t i = 0; i < request->count && take && taken;
         i++) { /* all that is wrong, in one run */
        status = sg_take_recording(request->file[i], &request->take, &take[i], &errors);
        first = sg_ok(first) ? status : first;
        take[i].taken.exposure_h = request->exposure_h;
        take[i].taken.rating_h = request->rating_h;
        taken[i] = take[i].taken;
        count++;
    }
    struct sg_taken_list list = { taken, count };
    status = take && taken ? first : status;
    int result = sg_ok(status) ? print(request, &list) : sg_command_fail(&errors, status);
    for (size_t i = 0; i < count; i++)
        sg_take_release(&take[i]);
    sg_free(taken);
    sg_free(take);
    sg_errors_release(&errors);
    return result;
}

/* The rating time of the day is the document's. */
static double day_rating_h(void)
{
    const struct sg_limit_set *set = sg_limit_set_find("DIN4150-2-table1");
    return set ? set->reading.rating_day_h : SG_UNSET;
}

static bool wants(const struct request *request, table_maker *make)
{
    for (size_t i = 0; i < SG_COUNT(metrics); i++)
        if (metrics[i].make == make && request->chosen[i])
            return true;
    return false;
}

int sg_command_measure(int argc, char **argv)
{
    static const struct argp_option options[] = {
        SG_FORMAT_OPTION,
        { "calibration", 'c', "FILE", 0, "its calibration; else FILE with the ending .yaml", 0 },
        { "uncalibrated", KEY_UNCALIBRATED, NULL, 0, "measure in units of the file", 0 },
        { "interval", 'i', "TIME", 0, "figures for each interval too, like 60s", 0 },
        { "metrics", 'm', "LIST", 0,
          "peaks, motion, sums, kb, levels, doses, sound, percentiles, rating, bands, octaves, "
          "response, spectrum, spectrogram, findings, or all but the long spectrum and "
          "spectrogram; "
          "if not given, the short tables",
          0 },
        { "events", 'e', NULL, 0, "blows, phases of a vibratory run, triggered events", 0 },
        { "trigger", KEY_TRIGGER, "LEVEL", 0, "events over this level, mm/s or Pa", 0 },
        { "pre", KEY_PRE, "TIME", 0, "kept before a triggered event, 0.5s if not given", 0 },
        { "post", KEY_POST, "TIME", 0, "kept after one, 1s if not given", 0 },
        { "decimal-comma", KEY_COMMA, NULL, 0, "numbers of a CSV have a comma, columns a ';'", 0 },
        { "rate", KEY_RATE, "HZ", 0, "of a CSV without a column time_s", 0 },
        { "from", KEY_FROM, "TIME", 0, "leave out what comes before, from the first sample", 0 },
        { "to", KEY_TO, "TIME", 0, "leave out what comes after", 0 },
        { "kb-band", KEY_KB, "HZ", 0, "upper end of the KB band: 80 (default) or 315", 0 },
        { "exposure", KEY_EXPOSURE, "TIME", 0,
          "LEX,8h and KB_FTr for this long a day, like 6h; else KB_FTr for the time measured", 0 },
        { "rating-time", KEY_RATING, "TIME", 0, "that KB_FTr is referred to: 16h if not given", 0 },
        { "window", KEY_WINDOW, "NAME", 0, "of spectra: rectangular, hann (default) or flat-top",
          0 },
        { "plots", KEY_PLOTS, "DIR", 0, "draw each sensor into this folder, as SVG", 0 },
        { "limits", KEY_LIMITS, "LIST", 0, "draw the curves of these limit sets into the plots",
          0 },
        { "keys", KEY_KEYS, NULL, 0, "print the keys of a calibration file", 0 },
        { NULL, 0, NULL, 0, NULL, 0 },
    };
    static const struct argp argp = {
        options,
        parse_option,
        "RECORDING...\n--keys",
        "Measures recordings: peaks with their frequency, vector sums, weighted vibration and "
        "doses, sound levels, one-third-octave bands, quality findings."
        "\vWAV, W64, RF64, FLAC, AIFF, miniSEED 2 and CSV are read; the calibration is a YAML file "
        "beside the recording. Exit status: 0 done; 2 usage; 3 bad input; 4 a file could not be "
        "read or written.",
        NULL,
        NULL,
        NULL,
    };
    struct request request = { .take = SG_TAKE_OPTIONS_INIT,
                               .exposure_h = SG_UNSET,
                               .rating_h = day_rating_h() };
    for (size_t i = 0; i < SG_COUNT(metrics); i++)
        request.chosen[i] = metrics[i].usual;
    if (argp_parse(&argp, argc, argv, 0, NULL, &request) != 0)
        return sg_status_exit(SG_ERR_USAGE);
    if (request.keys)
        return sg_command_keys("Keys of a recording's calibration", sg_calibration_field_count(),
                               sg_calibration_field_at,
                               "channels is a list with one map for each channel, in the order of "
                               "the recording.",
                               request.format);
    request.take.events = request.events || request.take.plots;
    request.take.measure.response = wants(&request, sg_table_response);
    request.take.spectrograms = wants(&request, sg_table_spectrogram);
    request.take.keep_spectra = wants(&request, sg_table_spectrum);
    return run(&request);
}
