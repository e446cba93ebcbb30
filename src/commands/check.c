/* check.c - the command `check`: recordings against the limits of a site. */
#include "taken.h"

#include <argp.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

enum { KEY_PLOTS = 0x100, KEY_RECEPTOR, KEY_POSITION, KEY_PERIOD, KEY_TECHNIQUE };

struct request {
    const char *site;
    const char *const *file;
    size_t count;
    struct sg_take_options take;
    const char *receptor, *position, *technique;
    unsigned periods;
    enum sg_format format;
    bool strict;
};

static unsigned period_of(struct argp_state *state, const char *word)
{
    for (unsigned p = SG_DAY; p <= SG_NIGHT; p++)
        if (sg_same(word, sg_period_id((enum sg_period)p)))
            return 1u << p;
    argp_error(state, "--period is '%s'; allowed: day, evening, night", word);
    return 0;
}

static error_t parse_option(int key, char *argument, struct argp_state *state)
{
    struct request *request = state->input;
    switch (key) {
    case 'f':
        if (sg_format_parse(argument, &request->format) != SG_OK)
            argp_error(state, "--format is '%s'; allowed: table, csv, json", argument);
        return 0;
    case 'c':
        request->take.calibration = argument;
        return 0;
    case 's':
        request->strict = true;
        return 0;
    case KEY_PLOTS:
        request->take.plots = argument;
        return 0;
    case KEY_RECEPTOR:
        request->receptor = argument;
        return 0;
    case KEY_POSITION:
        request->position = argument;
        return 0;
    case KEY_TECHNIQUE:
        request->technique = argument;
        return 0;
    case KEY_PERIOD:
        request->periods |= period_of(state, argument);
        return 0;
    case ARGP_KEY_ARGS:
        request->site = state->argv[state->next];
        request->file = (const char *const *)(state->argv + state->next + 1);
        request->count = (size_t)(state->argc - state->next - 1);
        if (request->count == 0)
            argp_error(state, "a recording is needed after the site file");
        return 0;
    case ARGP_KEY_NO_ARGS:
        argp_error(state, "a site file and a recording are needed");
        return 0;
    default:
        return ARGP_ERR_UNKNOWN;
    }
}

/* What the sidecar leaves open, the command line must say. */
static const char *said(const char *option, const char *sidecar)
{
    if (option)
        return option;
    return sidecar && sidecar[0] ? sidecar : NULL;
}

static sg_status missing(const struct sg_taken *taken, const char *key, struct sg_errors *errors)
{
    return sg_errors_add(errors, SG_ERR_MISSING,
                         &(struct sg_place){ .file = taken->calibration->file },
                         "%s is not given, and no verdict can do without it; give it here or with "
                         "--%s",
                         key, key);
}

static sg_status how_recorded(const struct request *request, const struct sg_taken *taken,
                              struct sg_recorded_as *out, struct sg_errors *errors)
{
    const char *technique = said(request->technique, taken->calibration->technique);
    const char *position = said(request->position, taken->calibration->position);
    if (!technique)
        return missing(taken, "technique", errors);
    if (!position)
        return missing(taken, "position", errors);
    if (!sg_ok(sg_technique_find(technique, &out->technique)))
        return sg_errors_add(errors, SG_ERR_USAGE, NULL,
                             "--technique is '%s'; allowed: impact, vibratory, press-in, "
                             "press-in-jetting, press-in-augering",
                             technique);
    if (!sg_ok(sg_position_find(position, &out->position)))
        return sg_errors_add(errors, SG_ERR_USAGE, NULL,
                             "--position is '%s'; allowed: free-field, boundary, facade, "
                             "foundation, floor, topmost-floor, on-asset, room",
                             position);
    out->distance_m = taken->calibration->distance_m;
    out->residual_db = taken->calibration->residual_db;
    out->periods = request->periods;
    return SG_OK;
}

static sg_status judge(const struct request *request, const struct sg_site *site,
                       struct sg_taken *taken, struct sg_errors *errors)
{
    struct sg_recorded_as as = { .distance_m = SG_UNSET };
    const char *name = said(request->receptor, taken->calibration->receptor);
    size_t receptor;
    if (!name)
        return missing(taken, "receptor", errors);
    sg_status status = sg_receptor_named(site, name, &receptor, errors);
    if (sg_ok(status))
        status = how_recorded(request, taken, &as, errors);
    for (size_t k = 0; k < taken->kept.count && sg_ok(status); k++)
        status =
            sg_recorded_judge(site, receptor, &as, &taken->kept.item[k].measured, &taken->verdicts);
    if (sg_ok(status) && taken->verdicts.count == 0)
        fprintf(stderr, "%s: no limit of this kind applies to %s\n", taken->file, name);
    return status;
}

static enum sg_verdict_state worst_of(const struct sg_taken_list *list)
{
    const struct sg_verdict *worst = NULL;
    for (size_t i = 0; i < list->count; i++)
        for (size_t k = 0; k < list->item[i].verdicts.count; k++) {
            const struct sg_verdict *one = &list->item[i].verdicts.item[k].verdict;
            if (one->outside_scope)
                continue; /* a document that does not concern the technique */
            if (!worst || sg_verdict_compare(one, worst) < 0)
                worst = one;
        }
    return worst ? worst->state : SG_NOT_DETERMINABLE;
}

static int print(const struct request *request, const struct sg_taken_list *list)
{
    struct sg_table checked, findings;
    const struct sg_table *shown[] = { &checked, &findings };
    sg_table_checked(list, &checked);
    sg_table_findings(list, &findings);
    int result = sg_command_tables(shown, SG_COUNT(shown), request->format);
    sg_table_release(&checked);
    sg_table_release(&findings);
    return result != 0 ? result : sg_command_verdict(worst_of(list), request->strict);
}

static int run(struct request *request)
{
    struct sg_errors errors = SG_ERRORS_INIT;
    struct sg_site site = SG_SITE_INIT;
    struct sg_take *take = sg_alloc(request->count, sizeof *take);
    struct sg_taken *taken = sg_alloc(request->count, sizeof *taken);
    size_t count = 0;
    sg_status status = take && taken ? sg_site_read(request->site, &site, &errors) : SG_ERR_NOMEM;
    for (size_t i = 0; sg_ok(status) && i < site.nwarning; i++)
        fprintf(stderr, "warning: %s\n", site.warning[i]);
    request->take.site = &site;
    sg_status first = status;
    for (size_t i = 0; sg_ok(first) && i < request->count && sg_ok(status); i++) {
        status = sg_take_recording(request->file[i], &request->take, &take[i], &errors);
        count++;
        if (sg_ok(status))
            status = judge(request, &site, &take[i].taken, &errors);
        taken[i] = take[i].taken;
    }
    struct sg_taken_list list = { taken, count };
    int result = sg_ok(status) ? print(request, &list) : sg_command_fail(&errors, status);
    for (size_t i = 0; i < count; i++)
        sg_take_release(&take[i]);
    sg_free(taken);
    sg_free(take);
    sg_site_release(&site);
    sg_errors_release(&errors);
    return result;
}

int sg_command_check(int argc, char **argv)
{
    static const struct argp_option options[] = {
        SG_FORMAT_OPTION,
        { "calibration", 'c', "FILE", 0, "of the recordings; else FILE with the ending .yaml", 0 },
        { "receptor", KEY_RECEPTOR, "NAME", 0, "instead of the one in the calibration", 0 },
        { "position", KEY_POSITION, "WHERE", 0, "of the sensor, instead of the calibration's", 0 },
        { "technique", KEY_TECHNIQUE, "NAME", 0, "instead of the calibration's", 0 },
        { "period", KEY_PERIOD, "WHEN", 0,
          "day, evening or night; else all that the working hours touch", 0 },
        { "plots", KEY_PLOTS, "DIR", 0, "draw each sensor into this folder, with the limits", 0 },
        { "strict", 's', NULL, 0, "exit status 5 when a verdict is not determinable", 0 },
        { NULL, 0, NULL, 0, NULL, 0 },
    };
    static const struct argp argp = {
        options,
        parse_option,
        "SITE RECORDING...",
        "Holds recordings against the limits that apply to their receptor, by the same checker as "
        "predictions; limits that depend on frequency are read at each peak's own."
        "\vA finding that could hide an exceedance makes a verdict not determinable. Exit status: "
        "0 within limits; 1 a limit is over; 2 usage; 3 bad input; 4 a file could not be read or "
        "written; 5 not determinable, with --strict.",
        NULL,
        NULL,
        NULL,
    };
    struct request request = {
        .take = { .trigger = SG_UNSET, .measure = SG_MEASURE_OPTIONS_INIT, .map = SG_CSV_MAP_INIT }
    };
    if (argp_parse(&argp, argc, argv, 0, NULL, &request) != 0)
        return sg_status_exit(SG_ERR_USAGE);
    request.take.events = request.take.plots != NULL;
    return run(&request);
}
