/* compare.c - the command `compare`: the methods side by side, and what a change would do. */
#include "loaded.h"
#include "options.h"
#include "stillground/report_noise.h"
#include "stillground/report_works.h"
#include "study_command.h"

#include <argp.h>

#define SETS_MOST 64

enum { KEY_SET = 256, KEY_AGAINST, KEY_SENSITIVITY, KEY_OPTIONS };

struct request {
    struct sg_study_request plain;
    const char *against;
    const char *set[SETS_MOST];
    size_t nset;
    bool sensitivity, options;
};

static error_t parse_option(int key, char *argument, struct argp_state *state)
{
    struct request *request = state->input;
    switch (key) {
    case 'f':
        sg_take_format(argument, state, &request->plain.format);
        return 0;
    case 'm':
        request->plain.method = argument;
        return 0;
    case 'L':
        request->plain.limits = argument;
        return 0;
    case 'r':
        request->plain.receptor = argument;
        return 0;
    case 's':
        request->plain.strict = true;
        return 0;
    case 'l':
        sg_take_law(argument, state, &request->plain.laws);
        return 0;
    case KEY_AGAINST:
        request->against = argument;
        return 0;
    case KEY_SENSITIVITY:
        request->sensitivity = true;
        return 0;
    case KEY_OPTIONS:
        request->options = true;
        return 0;
    case KEY_SET:
        if (request->nset == SETS_MOST)
            argp_error(state, "at most %d --set", SETS_MOST);
        request->set[request->nset++] = argument;
        return 0;
    case ARGP_KEY_ARG:
        if (request->plain.site)
            argp_error(state,
                       "one site file at a time; '%s' is one too many (a second one goes "
                       "with --against)",
                       argument);
        request->plain.site = argument;
        return 0;
    case ARGP_KEY_END:
        sg_need_site(request->plain.site, state);
        return 0;
    default:
        return ARGP_ERR_UNKNOWN;
    }
}

/* The site after the change, worked out. */
static sg_status read_after(const struct request *request, struct sg_loaded *after)
{
    const char *path = request->against ? request->against : request->plain.site;
    sg_status status =
        sg_site_read_with(path, request->set, request->nset, &after->site, &after->errors);
    if (!sg_ok(status))
        return status;
    after->view = after->site;
    status = sg_laws_apply(&after->laws, &after->view, &after->errors);
    if (sg_ok(status))
        status = sg_loaded_limits(after, request->plain.limits);
    return sg_ok(status) ? sg_loaded_work(after) : status;
}

static int print_changes(const struct request *request, const struct sg_loaded *before,
                         const struct sg_loaded *after)
{
    struct sg_changes changes = SG_CHANGES_INIT;
    struct sg_table table[2];
    const struct sg_table *list[] = { &table[0], &table[1] };
    sg_status status = sg_changes_make(&before->study, &after->study, &changes);
    if (!sg_ok(status))
        return sg_command_fail(NULL, status);
    status = sg_table_changes(&changes, &table[0]);
    sg_status leads = sg_table_lead_times(&after->site, true, &table[1]);
    bool rises = changes.level_rises;
    int result = sg_ok(status) && sg_ok(leads)
                     ? sg_command_tables(list, rises ? 2 : 1, request->plain.format)
                     : sg_command_fail(NULL, sg_ok(status) ? leads : status);
    sg_table_release(&table[0]);
    sg_table_release(&table[1]);
    sg_changes_release(&changes);
    return result;
}

static int run_change(const struct request *request)
{
    struct sg_loaded before = SG_LOADED_INIT, after = SG_LOADED_INIT;
    int result;
    before.laws = request->plain.laws;
    after.laws = request->plain.laws;
    sg_status status = sg_loaded_read(&before, request->plain.site, NULL, NULL);
    if (sg_ok(status))
        status = sg_loaded_limits(&before, request->plain.limits);
    if (sg_ok(status))
        status = sg_loaded_work(&before);
    if (!sg_ok(status)) {
        result = sg_command_fail(&before.errors, status);
        goto done;
    }
    status = read_after(request, &after);
    if (!sg_ok(status)) {
        result = sg_command_fail(&after.errors, status);
        goto done;
    }
    result = print_changes(request, &before, &after);
    if (result == 0)
        result = sg_command_verdict(sg_study_worst(&after.study), request->plain.strict);
done:
    sg_loaded_release(&after);
    sg_loaded_release(&before);
    return result;
}

static sg_status make_sensitivity(const struct sg_study *study, struct sg_table *out)
{
    struct sg_arena arena = SG_ARENA_INIT;
    struct sg_sensitivity *list = NULL;
    size_t count = 0;
    sg_status status = sg_sensitivity_make(study, 0.1, &arena, &list, &count);
    sg_status printed = sg_table_sensitivity(study, list, sg_ok(status) ? count : 0, out);
    sg_arena_release(&arena);
    return sg_ok(status) ? printed : status;
}

static int run(const struct request *request)
{
    static sg_table_maker *const side_by_side[] = {
        sg_table_comparison, sg_table_programme,     sg_table_hours,
        sg_table_standoffs,  sg_table_notifications, sg_table_triggers,
        sg_table_percussive, sg_table_crew,          NULL
    };
    static sg_table_maker *const options[] = { sg_table_options, NULL };
    static sg_table_maker *const sensitivity[] = { make_sensitivity, NULL };
    if (request->against || request->nset > 0)
        return run_change(request);
    if (request->options)
        return sg_study_command_run(&request->plain, options);
    return sg_study_command_run(&request->plain, request->sensitivity ? sensitivity : side_by_side);
}

int sg_command_compare(int argc, char **argv)
{
    static const struct argp_option options[] = {
        SG_FORMAT_OPTION,
        { "method", 'm', "NAME", 0, "only this method of the site file", 0 },
        { "receptor", 'r', "NAME", 0, "only this receptor", 0 },
        SG_LIMITS_OPTION,
        SG_LAW_OPTION,
        { "strict", 's', NULL, 0, "exit status 5 when a verdict is not determinable", 0 },
        { "set", KEY_SET, "KEY=VALUE", 0,
          "what if: the site with this value, against the site as it "
          "is; methods.NAME.energy_kJ=20 enters a list by name",
          0 },
        { "against", KEY_AGAINST, "FILE", 0, "what if: this site file against the first", 0 },
        { "sensitivity", KEY_SENSITIVITY, NULL, 0, "what the governing ratio hangs on", 0 },
        { "options", KEY_OPTIONS, NULL, 0, "the options matrix of a method statement", 0 },
        { NULL, 0, NULL, 0, NULL, 0 },
    };
    static const struct argp argp = {
        options,
        parse_option,
        "SITE",
        "Puts the methods side by side: what governs and by how much, receptors over, days of "
        "work, ground, stand-off distance for each limit, notifications. With --set or --against "
        "it "
        "tells what a change does: what rises, what falls, and whether any predicted level rises."
        "\vStand-off distances are for the ground of the whole site, in the free field. Exit "
        "status: 0 done and within limits; 1 done and a limit is over; 2 usage; 3 bad input; 4 a "
        "file could not be read; 5 not determinable, with --strict.",
        NULL,
        NULL,
        NULL,
    };
    struct request request = { .plain = { .format = SG_FORMAT_TABLE, .laws = SG_LAWS_INIT } };
    if (argp_parse(&argp, argc, argv, 0, NULL, &request) != 0)
        return sg_status_exit(SG_ERR_USAGE);
    return run(&request);
}
