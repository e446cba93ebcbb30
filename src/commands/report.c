/* report.c - the command `report`: works a site out and writes the self-contained HTML document. */
#include "loaded.h"
#include "options.h"

#include <argp.h>

struct request {
    const char *site, *output, *plots;
    bool strict;
    struct sg_laws laws;
};

static error_t parse_option(int key, char *argument, struct argp_state *state)
{
    struct request *request = state->input;
    switch (key) {
    case 'o':
        request->output = argument;
        return 0;
    case 'p':
        request->plots = argument;
        return 0;
    case 's':
        request->strict = true;
        return 0;
    case 'l':
        sg_take_law(argument, state, &request->laws);
        return 0;
    case ARGP_KEY_ARG:
        if (request->site != NULL)
            argp_error(state, "one site file at a time; '%s' is one too many", argument);
        request->site = argument;
        return 0;
    case ARGP_KEY_END:
        if (request->site == NULL)
            argp_error(state, "a site file is needed");
        if (request->output == NULL)
            argp_error(state, "--output is needed; '-' writes to standard output");
        return 0;
    default:
        return ARGP_ERR_UNKNOWN;
    }
}

/* The exit status. Nothing is written before the whole document is there. */
static int write_report(const struct request *request)
{
    struct sg_loaded loaded = SG_LOADED_INIT;
    struct sg_text document = SG_TEXT_INIT;
    int result = 0;

    loaded.laws = request->laws;
    sg_status status = sg_loaded_read(&loaded, request->site, NULL, NULL);
    if (sg_ok(status))
        status = sg_loaded_work(&loaded);
    if (sg_ok(status))
        status = sg_document_put(&loaded.study, request->plots, &document, &loaded.errors);
    if (!sg_ok(status)) {
        result = sg_command_fail(&loaded.errors, status);
        goto done;
    }
    result = sg_command_output(request->output, &document);
    if (result == 0)
        result = sg_command_verdict(sg_study_worst(&loaded.study), request->strict);
done:
    sg_text_release(&document);
    sg_loaded_release(&loaded);
    return result;
}

int sg_command_report(int argc, char **argv)
{
    static const struct argp_option options[] = {
        { "output", 'o', "FILE", 0, "where the document goes; '-' is standard output", 0 },
        { "plots", 'p', "DIR", 0, "leave the gnuplot scripts and their data in this folder", 0 },
        SG_LAW_OPTION,
        { "strict", 's', NULL, 0, "exit status 5 when a verdict is not determinable", 0 },
        { NULL, 0, NULL, 0, NULL, 0 },
    };
    static const struct argp argp = {
        options,
        parse_option,
        "SITE",
        "Writes one HTML file that needs no network: summary, inputs, values, verdicts, stand-off "
        "distances, drawings, sources, cautions and a place for signatures."
        "\vExit status: 0 done and within limits; 1 done and a limit is over; 2 usage; 3 bad "
        "input; 4 a file could not be read or written; 5 not determinable, with --strict.",
        NULL,
        NULL,
        NULL,
    };
    struct request request = { .laws = SG_LAWS_INIT };
    if (argp_parse(&argp, argc, argv, 0, NULL, &request) != 0)
        return sg_status_exit(SG_ERR_USAGE);
    return write_report(&request);
}
