/* plan.c - the command `plan`: a method for every pile. */
#include "planned.h"
#include "options.h"

#include <argp.h>

enum { KEY_RATIO = 256, KEY_NO_MARGINAL, KEY_DOSE, KEY_DAYS, KEY_COST, KEY_BY };

struct request {
    const char *site, *drawing;
    enum sg_format format;
    enum sg_confidence by;
    struct sg_choice_wish wish;
    struct sg_laws laws;
};

static double number_of(struct argp_state *state, const char *name, const char *text)
{
    double value = 0;
    const char *why = NULL;
    if (sg_parse_number(text, &value, &why) != SG_OK || value < 0)
        argp_error(state, "--%s is '%s'; allowed: a number from 0 up", name, text);
    return value;
}

static error_t parse_option(int key, char *argument, struct argp_state *state)
{
    struct request *request = state->input;
    switch (key) {
    case 'f':
        sg_take_format(argument, state, &request->format);
        return 0;
    case KEY_BY:
        if (sg_confidence_parse(argument, &request->by) != SG_OK)
            argp_error(state, "--by is '%s'; allowed: upper, central", argument);
        return 0;
    case 'l':
        sg_take_law(argument, state, &request->laws);
        return 0;
    case 'd':
        request->drawing = argument;
        return 0;
    case KEY_RATIO:
        request->wish.highest_ratio = number_of(state, "ratio", argument);
        return 0;
    case KEY_DAYS:
        request->wish.day_weight = number_of(state, "days", argument);
        return 0;
    case KEY_COST:
        request->wish.cost_weight = number_of(state, "cost", argument);
        return 0;
    case KEY_NO_MARGINAL:
        request->wish.marginal = false;
        return 0;
    case KEY_DOSE:
        request->wish.dose = true;
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

static int print_plan(const struct sg_planned *planned, enum sg_format format)
{
    struct sg_table table[4];
    const struct sg_table *list[] = { &table[0], &table[1], &table[2], &table[3] };
    sg_status status[] = {
        sg_table_plan(&planned->plan, &table[0]),
        sg_table_plan_broken(&planned->plan, &table[1]),
        sg_table_plan_front(&planned->plan, &table[2]),
        sg_table_suitability(&planned->values, &table[3]),
    };
    int result = 0;
    for (size_t i = 0; i < SG_COUNT(status) && result == 0; i++)
        result = sg_ok(status[i]) ? 0 : sg_command_fail(NULL, status[i]);
    if (result == 0)
        result = sg_command_tables(list, SG_COUNT(list), format);
    for (size_t i = 0; i < SG_COUNT(table); i++)
        sg_table_release(&table[i]);
    return result;
}

static bool is_over(const struct sg_plan *plan)
{
    return plan->choice.blocked + plan->choice.broken > 0 ||
           (plan->wish.dose && !plan->daily.feasible);
}

static int run(const struct request *request)
{
    struct sg_planned planned = SG_PLANNED_INIT;
    struct sg_text svg = SG_TEXT_INIT;
    int result;
    planned.laws = request->laws;
    sg_status status = sg_planned_make(&planned, request->site, request->by, &request->wish);
    if (!sg_ok(status)) {
        result = sg_command_fail(&planned.errors, status);
        goto done;
    }
    result = print_plan(&planned, request->format);
    if (result == 0 && request->drawing) {
        status = sg_plot_strip(&planned.plan, NULL, &svg, &planned.errors);
        result = sg_command_drawing(request->drawing, status, &svg, &planned.errors);
    }
    if (result == 0)
        result = sg_command_verdict(is_over(&planned.plan) ? SG_OVER : SG_WITHIN, false);
done:
    sg_text_release(&svg);
    sg_planned_release(&planned);
    return result;
}

int sg_command_plan(int argc, char **argv)
{
    static const struct argp_option options[] = {
        SG_FORMAT_OPTION,
        SG_LAW_OPTION,
        { "by", KEY_BY, "VALUE", 0, "hold the upper (default) or the central value to the limits",
          0 },
        { "ratio", KEY_RATIO, "NUMBER", 0, "highest value / limit; 1 = the limits", 0 },
        { "no-marginal", KEY_NO_MARGINAL, NULL, 0, "only where the ground is suitable", 0 },
        { "dose", KEY_DOSE, NULL, 0, "limits on LAeq by the sum over a day's piles", 0 },
        { "days", KEY_DAYS, "WEIGHT", 0, "weight of a day (1)", 0 },
        { "cost", KEY_COST, "WEIGHT", 0, "weight of cost_per_pile (0)", 0 },
        { "drawing", 'd', "FILE", 0, "write the strip along the wall as SVG", 0 },
        { NULL, 0, NULL, 0, NULL, 0 },
    };
    static const struct argp argp = {
        options,
        parse_option,
        "SITE",
        "Chooses a method for every pile: fewest piles over a limit, then fewest days (or least "
        "weighted cost), with the ground, changes of method and the least run kept. Names what no "
        "method can do and what would help, and gives the front of days against highest ratio."
        "\vExact for limits on peaks. With --dose, exact in most cases, and the gap is told. Exit "
        "status: 0 done and within limits; 1 done and a limit is over; 2 usage; 3 bad input; 4 a "
        "file could not be read or written.",
        NULL,
        NULL,
        NULL,
    };
    struct request request = { .format = SG_FORMAT_TABLE,
                               .by = SG_BY_UPPER,
                               .wish = SG_CHOICE_WISH_INIT,
                               .laws = SG_LAWS_INIT };
    if (argp_parse(&argp, argc, argv, 0, NULL, &request) != 0)
        return sg_status_exit(SG_ERR_USAGE);
    return run(&request);
}
