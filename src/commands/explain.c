/* explain.c - the command `explain`: the hand calculation of one receptor under one method. */
#include "loaded.h"
#include "options.h"

#include <argp.h>

struct request {
    const char *argument[3]; /* site, receptor, method */
    size_t count;
    enum sg_format format;
    struct sg_laws laws;
};

static error_t parse_option(int key, char *argument, struct argp_state *state)
{
    struct request *request = state->input;
    switch (key) {
    case 'f':
        sg_take_format(argument, state, &request->format);
        return 0;
    case 'l':
        sg_take_law(argument, state, &request->laws);
        return 0;
    case ARGP_KEY_ARG:
        if (request->count == SG_COUNT(request->argument))
            argp_error(state, "site, receptor and method are all; '%s' is one too many", argument);
        request->argument[request->count++] = argument;
        return 0;
    case ARGP_KEY_END:
        if (request->count < SG_COUNT(request->argument))
            argp_error(state, "a site file, a receptor and a method are needed");
        return 0;
    default:
        return ARGP_ERR_UNKNOWN;
    }
}

static int print_working(const struct sg_working *working, const char *title, enum sg_format format)
{
    struct sg_table table;
    const struct sg_table *list[] = { &table };
    sg_table_working(working, title, &table);
    int result = sg_command_tables(list, 1, format);
    sg_table_release(&table);
    return result;
}

static enum sg_verdict_state worst_of(const struct sg_outcome *outcome)
{
    return outcome->governing == SIZE_MAX ? SG_WITHIN : outcome->verdict[outcome->governing].state;
}

static int run(const struct request *request)
{
    struct sg_loaded loaded = SG_LOADED_INIT;
    struct sg_arena arena = SG_ARENA_INIT;
    struct sg_working working = { .arena = &arena };
    struct sg_outcome outcome;
    int result;
    loaded.laws = request->laws;
    sg_status status =
        sg_loaded_read(&loaded, request->argument[0], request->argument[2], request->argument[1]);
    if (sg_ok(status))
        status = sg_outcome_explain(&loaded.view, 0, 0, &outcome, &arena, &working, &loaded.errors);
    if (sg_ok(status)) {
        const char *title = sg_arena_printf(&arena, "%s, %s", loaded.view.receptor[0].name,
                                            loaded.view.method[0].name);
        result = print_working(&working, title ? title : "", request->format);
        if (result == 0)
            result = sg_command_verdict(worst_of(&outcome), false);
    } else {
        result = sg_command_fail(&loaded.errors, status);
    }
    sg_arena_release(&arena);
    sg_loaded_release(&loaded);
    return result;
}

int sg_command_explain(int argc, char **argv)
{
    static const struct argp_option options[] = { SG_FORMAT_OPTION,
                                                  SG_LAW_OPTION,
                                                  { NULL, 0, NULL, 0, NULL, 0 } };
    static const struct argp argp = {
        options,
        parse_option,
        "SITE RECEPTOR METHOD",
        "Prints the hand calculation of every number of one receptor under one method, line by "
        "line, each with its source."
        "\vAnyone with a pocket calculator can repeat it to the printed digits. Exit status: 0 "
        "done and within limits; 1 done and a limit is over; 2 usage; 3 bad input; 4 a file could "
        "not be read.",
        NULL,
        NULL,
        NULL,
    };
    struct request request = { .format = SG_FORMAT_TABLE, .laws = SG_LAWS_INIT };
    if (argp_parse(&argp, argc, argv, 0, NULL, &request) != 0)
        return sg_status_exit(SG_ERR_USAGE);
    return run(&request);
}
