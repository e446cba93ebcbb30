/* study_command.c - reads a site, works it out, prints tables, ends with the verdict. */
#include "study_command.h"

#include "options.h"

#include "loaded.h"

#include "stillground/report_noise.h"

#include <argp.h>

#define TABLES_MAX 8

static error_t parse_option(int key, char *argument, struct argp_state *state)
{
    struct sg_study_request *request = state->input;
    switch (key) {
    case 'f':
        sg_take_format(argument, state, &request->format);
        return 0;
    case 'm':
        request->method = argument;
        return 0;
    case 'r':
        request->receptor = argument;
        return 0;
    case 'L':
        request->limits = argument;
        return 0;
    case 's':
        request->strict = true;
        return 0;
    case 'l':
        sg_take_law(argument, state, &request->laws);
        return 0;
    case ARGP_KEY_ARG:
        sg_take_site(argument, state, &request->site);
        return 0;
    case ARGP_KEY_END:
        sg_need_site(request->site, state);
        return 0;
    default:
        return ARGP_ERR_UNKNOWN;
    }
}

/* Tables of what most sites do not ask for. */
static bool may_be_empty(sg_table_maker *maker)
{
    static sg_table_maker *const list[] = { sg_table_hours, sg_table_noise_periods,
                                            sg_table_triggers, sg_table_percussive, sg_table_crew };
    for (size_t i = 0; i < SG_COUNT(list); i++) {
        if (maker == list[i])
            return true;
    }
    return false;
}

static int print_tables(const struct sg_study *study, sg_table_maker *const *makers,
                        enum sg_format format)
{
    static sg_table_maker *const of_laws[] = { sg_table_law_changes, sg_table_law_chances };
    struct sg_table tables[TABLES_MAX + SG_COUNT(of_laws)];
    const struct sg_table *list[TABLES_MAX + SG_COUNT(of_laws)];
    size_t count = 0;
    sg_status status = SG_OK;
    for (size_t made = 0; made < TABLES_MAX && makers[made] && sg_ok(status); made++) {
        status = makers[made](study, &tables[count]);
        list[count] = &tables[count];
        if (sg_ok(status) && may_be_empty(makers[made]) &&
            !sg_command_shows(&tables[count], format))
            sg_table_release(&tables[count]);
        else
            count++;
    }
    for (size_t i = 0; i < SG_COUNT(of_laws) && study->before && sg_ok(status); i++) {
        status = of_laws[i](study, &tables[count]);
        list[count] = &tables[count];
        if (sg_ok(status) && !sg_command_shows(&tables[count], format))
            sg_table_release(&tables[count]);
        else
            count += sg_ok(status);
    }
    int result =
        sg_ok(status) ? sg_command_tables(list, count, format) : sg_command_fail(NULL, status);
    for (size_t i = 0; i < count; i++)
        sg_table_release(&tables[i]);
    return result;
}

int sg_study_command_run(const struct sg_study_request *request, sg_table_maker *const *makers)
{
    struct sg_loaded loaded = SG_LOADED_INIT;
    int result;
    loaded.laws = request->laws;
    sg_status status = sg_loaded_read(&loaded, request->site, request->method, request->receptor);
    if (sg_ok(status))
        status = sg_loaded_limits(&loaded, request->limits);
    if (sg_ok(status))
        status = sg_loaded_work(&loaded);
    if (sg_ok(status)) {
        result = print_tables(&loaded.study, makers, request->format);
        if (result == 0)
            result = sg_command_verdict(sg_study_worst(&loaded.study), request->strict);
    } else {
        result = sg_command_fail(&loaded.errors, status);
    }
    sg_loaded_release(&loaded);
    return result;
}

int sg_study_command(int argc, char **argv, sg_table_maker *const *makers, const char *help)
{
    static const struct argp_option options[] = {
        SG_FORMAT_OPTION,
        { "method", 'm', "NAME", 0, "only this method of the site file", 0 },
        { "receptor", 'r', "NAME", 0, "only this receptor", 0 },
        SG_LAW_OPTION,
        SG_LIMITS_OPTION,
        { "strict", 's', NULL, 0, "exit status 5 when a verdict is not determinable", 0 },
        { NULL, 0, NULL, 0, NULL, 0 },
    };
    const struct argp argp = { options, parse_option, "SITE", help, NULL, NULL, NULL };
    struct sg_study_request request = { .format = SG_FORMAT_TABLE, .laws = SG_LAWS_INIT };
    if (argp_parse(&argp, argc, argv, 0, NULL, &request) != 0)
        return sg_status_exit(SG_ERR_USAGE);
    return sg_study_command_run(&request, makers);
}
