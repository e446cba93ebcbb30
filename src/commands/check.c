/* check.c - the command `check`: recordings against the limits of a site. */
#include "loaded.h"
#include "options.h"
#include "taken.h"
#include "watched.h"

#include <argp.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

enum {
    KEY_PLOTS = 0x100,
    KEY_RECEPTOR,
    KEY_POSITION,
    KEY_PERIOD,
    KEY_TECHNIQUE,
    KEY_EXPOSURE,
    KEY_COMMA,
    KEY_RATE,
    KEY_TABLE,
    KEY_COMPLAINTS,
    KEY_LOG,
    KEY_OUTPUT,
    KEY_LIMITS
};
#define TABLES_MOST 32

struct request {
    const char *site;
    const char *const *file;
    size_t count;
    struct sg_take_options take;
    const char *receptor, *position, *technique;
    const char *table[TABLES_MOST], *complaints, *log, *output, *limits;
    struct sg_laws laws;
    size_t ntable;
    unsigned periods;
    double exposure_h;
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

static double interval_of(struct argp_state *state, const char *word)
{
    const char *why = NULL;
    double seconds = SG_UNSET;
    if (!sg_ok(sg_take_seconds(word, &seconds, &why)) || !(seconds >= 1.0))
        argp_error(state, "--interval is '%s'; allowed: 1 s and more", word);
    return seconds;
}

static error_t parse_option(int key, char *argument, struct argp_state *state)
{
    struct request *request = state->input;
    switch (key) {
    case 'f':
        sg_take_format(argument, state, &request->format);
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
    case KEY_COMMA:
        request->take.map.decimal_comma = true;
        return 0;
    case KEY_RATE:
        request->take.map.rate_hz = sg_take_rate(state, argument);
        return 0;
    case KEY_EXPOSURE:
        request->exposure_h = sg_take_exposure(state, argument);
        return 0;
    case KEY_TABLE:
        if (request->ntable == TABLES_MOST)
            argp_error(state, "more than %d tables", TABLES_MOST);
        request->table[request->ntable++] = argument;
        return 0;
    case KEY_COMPLAINTS:
        request->complaints = argument;
        return 0;
    case 'l':
        sg_take_law(argument, state, &request->laws);
        return 0;
    case KEY_LIMITS:
        request->limits = argument;
        return 0;
    case KEY_OUTPUT:
        request->output = argument;
        return 0;
    case KEY_LOG:
        request->log = argument;
        return 0;
    case 'i':
        request->take.measure.interval_s = interval_of(state, argument);
        return 0;
    case ARGP_KEY_ARGS:
        request->site = state->argv[state->next];
        request->file = (const char *const *)(state->argv + state->next + 1);
        request->count = (size_t)(state->argc - state->next - 1);
        return 0;
    case ARGP_KEY_NO_ARGS:
        argp_error(state, "a site file and a recording are needed");
        return 0;
    case ARGP_KEY_END:
        if (request->count == 0 && request->ntable == 0)
            argp_error(state, "a recording is needed after the site file, or a --table");
        if (request->take.plots)
            sg_take_own_names(state, request->file, request->count);
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
    out->exposure_h = request->exposure_h;
    return SG_OK;
}

static sg_status judge(const struct request *request, const struct sg_site *site,
                       struct sg_watched *watched, struct sg_taken *taken, struct sg_errors *errors)
{
    struct sg_recorded_as as = { .distance_m = SG_UNSET };
    const char *name = said(request->receptor, taken->calibration->receptor);
    size_t receptor;
    if (!name)
        return missing(taken, "receptor", errors);
    sg_status status = sg_receptor_named(site, name, &receptor, errors);
    if (sg_ok(status))
        status = how_recorded(request, taken, &as, errors);
    if (sg_ok(status))
        status = sg_watched_recording(watched, taken, receptor, &as);
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
            bool by_many = one->row && (sg_days_decide(one->set, one->row) ||
                                        one->row->rule == SG_RULE_PERCENTILE);
            if (one->outside_scope || by_many)
                continue; /* does not concern the technique; the book decides over it */
            if (!worst || sg_verdict_compare(one, worst) < 0)
                worst = one;
        }
    return worst ? worst->state : SG_NOT_DETERMINABLE;
}

/* What is worth a table: days and a register when there are several readings or something to say.
 * */
static size_t choose_tables(const struct request *request, const struct sg_taken_list *list,
                            const struct sg_watched *w, struct sg_table *table)
{
    size_t count = 0;
    bool days = request->ntable > 0 || sg_is_set(request->take.measure.interval_s);
    for (size_t i = 0; i < w->book.ngroup; i++)
        days = days || w->book.group[i].tally.known > 1 || w->book.group[i].tally.nrule > 0;
    if (list->count > 0)
        sg_table_checked(list, &table[count++]);
    if (w->book.nentry > 0 || request->ntable > 0)
        sg_table_register(&w->book, &table[count++]);
    if (days)
        sg_table_days_over(&w->book, &table[count++]);
    if (w->beside.count > 0)
        sg_table_beside(w->site, &w->beside, &table[count++]);
    if (list->count > 0)
        sg_table_findings(list, &table[count++]);
    return count;
}

static enum sg_verdict_state worse(enum sg_verdict_state a, enum sg_verdict_state b)
{
    static const enum sg_verdict_state order[] = { SG_OVER, SG_NOT_DETERMINABLE, SG_LIKELY_WITHIN,
                                                   SG_WITHIN };
    for (size_t i = 0; i < SG_COUNT(order); i++)
        if (a == order[i] || b == order[i])
            return order[i];
    return SG_NOT_DETERMINABLE;
}

static int write_document(const struct request *request, const struct sg_site *site,
                          const struct sg_table *const *table, size_t count)
{
    struct sg_text html = SG_TEXT_INIT;
    sg_status status = sg_document_measured(site, table, count, &html);
    int result =
        sg_ok(status) ? sg_command_output(request->output, &html) : sg_command_fail(NULL, status);
    sg_text_release(&html);
    return result;
}

static int print(const struct request *request, const struct sg_taken_list *list,
                 const struct sg_watched *w)
{
    struct sg_table table[5];
    const struct sg_table *shown[SG_COUNT(table)];
    size_t count = choose_tables(request, list, w, table);
    for (size_t i = 0; i < count; i++)
        shown[i] = &table[i];
    int result = sg_command_tables(shown, count, request->format);
    if (result == 0 && request->output)
        result = write_document(request, w->site, shown, count);
    for (size_t i = 0; i < count; i++)
        sg_table_release(&table[i]);
    enum sg_verdict_state state = w->book.ngroup > 0 ? sg_logbook_worst(&w->book) : SG_WITHIN;
    if (list->count > 0 || w->book.ngroup == 0)
        state = worse(state, worst_of(list));
    return result != 0 ? result : sg_command_verdict(state, request->strict);
}

static sg_status read_recordings(const struct request *request, struct sg_watched *w,
                                 struct sg_take *take, size_t *count, struct sg_errors *errors)
{
    sg_status status = SG_OK;
    for (size_t i = 0; i < request->count && sg_ok(status); i++) {
        status = sg_take_recording(request->file[i], &request->take, &take[i], errors);
        *count = i + 1;
        if (sg_ok(status))
            status = judge(request, w->site, w, &take[i].taken, errors);
    }
    return status;
}

static sg_status read_all(struct request *request, struct sg_site *site, struct sg_watched *w,
                          struct sg_take *take, size_t *count, struct sg_errors *errors)
{
    struct sg_watched_defaults defaults = { request->receptor, request->technique,
                                            request->position, request->periods };
    sg_status status = sg_site_read(request->site, site, errors);
    for (size_t i = 0; sg_ok(status) && i < site->nwarning; i++)
        fprintf(stderr, "warning: %s\n", site->warning[i]);
    request->take.site = site;
    if (sg_ok(status))
        status = sg_limits_put(site, site, request->limits, errors);
    if (sg_ok(status))
        status = sg_laws_apply(&request->laws, site, errors);
    if (sg_ok(status))
        status = sg_watched_open(site, request->complaints, request->log, w, errors);
    if (sg_ok(status))
        status = read_recordings(request, w, take, count, errors);
    for (size_t i = 0; i < request->ntable && sg_ok(status); i++)
        status = sg_watched_table(w, request->table[i], &defaults, errors);
    return sg_ok(status) ? sg_logbook_close(&w->book) : status;
}

static int run(struct request *request)
{
    struct sg_errors errors = SG_ERRORS_INIT;
    struct sg_site site = SG_SITE_INIT;
    struct sg_watched watched = SG_WATCHED_INIT;
    struct sg_take *take = sg_alloc(request->count + 1, sizeof *take);
    struct sg_taken *taken = sg_alloc(request->count + 1, sizeof *taken);
    size_t count = 0;
    sg_status status =
        take && taken ? read_all(request, &site, &watched, take, &count, &errors) : SG_ERR_NOMEM;
    for (size_t i = 0; i < count; i++)
        taken[i] = take[i].taken;
    struct sg_taken_list list = { taken, count };
    int result = sg_ok(status) ? print(request, &list, &watched) : sg_command_fail(&errors, status);
    sg_watched_release(&watched);
    for (size_t i = 0; i < count; i++)
        sg_take_release(&take[i]);
    sg_free(taken);
    sg_free(take);
    sg_laws_release(&request->laws);
    sg_site_release(&site);
    sg_errors_release(&errors);
    return result;
}

int sg_command_check(int argc, char **argv)
{
    static const struct argp_option options[] = {
        SG_FORMAT_OPTION,
        SG_LAW_OPTION,
        { "calibration", 'c', "FILE", 0, "of the recordings; else FILE with the ending .yaml", 0 },
        { "receptor", KEY_RECEPTOR, "NAME", 0, "instead of the one in the calibration", 0 },
        { "position", KEY_POSITION, "WHERE", 0, "of the sensor, instead of the calibration's", 0 },
        { "technique", KEY_TECHNIQUE, "NAME", 0, "instead of the calibration's", 0 },
        { "period", KEY_PERIOD, "WHEN", 0,
          "day, evening or night; else all that the working hours touch", 0 },
        { "exposure", KEY_EXPOSURE, "TIME", 0,
          "how long a period the recorded vibration lasts, for doses; else as the works do", 0 },
        { "decimal-comma", KEY_COMMA, NULL, 0, "numbers of a CSV have a comma, columns a ';'", 0 },
        { "rate", KEY_RATE, "HZ", 0, "of a CSV without a column time_s", 0 },
        { "plots", KEY_PLOTS, "DIR", 0, "draw each sensor into this folder, with the limits", 0 },
        { "table", KEY_TABLE, "FILE", 0,
          "measured figures, one row a time (CSV): time, receptor, ppv_mm_s, laeq_db, ...", 0 },
        { "complaints", KEY_COMPLAINTS, "FILE", 0,
          "complaints (CSV): time, receptor, text; values near them stand in the register", 0 },
        { "log", KEY_LOG, "FILE", 0, "pile log (CSV): time_start, time_end, pile, for causes", 0 },
        { "interval", 'i', "TIME", 0, "register and days by intervals of a recording, like 60s",
          0 },
        { "limits", KEY_LIMITS, "SETS", 0,
          "these limit sets (A,B,...) or all of them, instead of the receptor's own", 0 },
        { "output", KEY_OUTPUT, "FILE", 0, "write the tables as one HTML document too", 0 },
        { "strict", 's', NULL, 0, "exit status 5 when a verdict is not determinable", 0 },
        { NULL, 0, NULL, 0, NULL, 0 },
    };
    static const struct argp argp = {
        options,
        parse_option,
        "SITE [RECORDING...]",
        "Holds recordings against the limits that apply to their receptor, by the same checker as "
        "predictions; limits that depend on frequency are read at each peak's own."
        "\vA finding that could hide an exceedance makes a verdict not determinable. Exit status: "
        "0 within limits; 1 a limit is over; 2 usage; 3 bad input; 4 a file could not be read or "
        "written; 5 not determinable, with --strict.",
        NULL,
        NULL,
        NULL,
    };
    struct request request = { .take = SG_TAKE_OPTIONS_INIT,
                               .exposure_h = SG_UNSET,
                               .laws = SG_LAWS_INIT };
    if (argp_parse(&argp, argc, argv, 0, NULL, &request) != 0)
        return sg_status_exit(SG_ERR_USAGE);
    request.take.events = true; /* causes in the register */
    request.take.receptor = request.receptor;
    return run(&request);
}
