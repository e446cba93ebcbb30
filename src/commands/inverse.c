/* inverse.c - the command `inverse`: how near, how strong, how long, for each limit of a
 * receptor. */
#include "loaded.h"
#include "options.h"
#include "planned.h"

#include <argp.h>

struct request {
    const char *argument[3]; /* site, receptor, method */
    size_t count;
    enum sg_format format;
    enum sg_confidence by;
};

static error_t parse_option(int key, char *argument, struct argp_state *state)
{
    struct request *request = state->input;
    switch (key) {
    case 'f':
        sg_take_format(argument, state, &request->format);
        return 0;
    case 'b':
        if (sg_confidence_parse(argument, &request->by) != SG_OK)
            argp_error(state, "--by is '%s'; allowed: upper, central", argument);
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

static int run(const struct request *request)
{
    struct sg_loaded loaded = SG_LOADED_INIT;
    struct sg_arena arena = SG_ARENA_INIT;
    struct sg_inverse *list = NULL;
    struct sg_table table;
    size_t count = 0;
    int result;
    sg_status status =
        sg_loaded_read(&loaded, request->argument[0], request->argument[2], request->argument[1]);
    if (sg_ok(status))
        status =
            sg_inverse_all(&loaded.view, 0, 0, request->by, &arena, &list, &count, &loaded.errors);
    if (sg_ok(status)) {
        const char *title = sg_arena_printf(
            &arena, "What keeps each limit: %s, %s, %s value, %.0f %%",
            loaded.view.receptor[0].name, loaded.view.method[0].name,
            request->by == SG_BY_UPPER ? "upper" : "central", loaded.site.percentile);
        const struct sg_table *tables[] = { &table };
        sg_table_inverse(list, count, title ? title : "", &table);
        result = sg_command_tables(tables, 1, request->format);
        sg_table_release(&table);
    } else {
        result = sg_command_fail(&loaded.errors, status);
    }
    sg_arena_release(&arena);
    sg_loaded_release(&loaded);
    return result;
}

int sg_command_inverse(int argc, char **argv)
{
    static const struct argp_option options[] = {
        SG_FORMAT_OPTION,
        { "by", 'b', "VALUE", 0, "bring the upper (default) or the central value to the limit", 0 },
        { NULL, 0, NULL, 0, NULL, 0 },
    };
    static const struct argp argp = {
        options,
        parse_option,
        "SITE RECEPTOR METHOD",
        "Turns the prediction round: for each limit of the receptor the least distance, the "
        "highest "
        "energy, the longest running time and the most piles a day that keep it."
        "\vThe percentile is the site file's. Where there is no solution it says so. Exit status: "
        "0 "
        "done; 2 usage; 3 bad input; 4 a file could not be read.",
        NULL,
        NULL,
        NULL,
    };
    struct request request = { { NULL, NULL, NULL }, 0, SG_FORMAT_TABLE, SG_BY_UPPER };
    if (argp_parse(&argp, argc, argv, 0, NULL, &request) != 0)
        return sg_status_exit(SG_ERR_USAGE);
    return run(&request);
}
