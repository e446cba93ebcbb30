/* calendar.c - the command `calendar`: the work day by day. */
#include "planned.h"
#include "options.h"

#include <argp.h>

struct request {
    const char *site, *method, *receptor, *drawing;
    enum sg_format format;
    bool daily;
    struct sg_laws laws;
};

static error_t parse_option(int key, char *argument, struct argp_state *state)
{
    struct request *request = state->input;
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
    case 'l':
        sg_take_law(argument, state, &request->laws);
        return 0;
    case 'd':
        request->drawing = argument;
        return 0;
    case 'a':
        request->daily = true;
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

static int print_calendar(const struct request *request, const struct sg_calendar *calendar,
                          size_t receptor)
{
    struct sg_table table[5];
    const struct sg_table *list[SG_COUNT(table)];
    size_t count = 0;
    bool daily = request->daily || receptor != SIZE_MAX;
    sg_status status[] = {
        sg_table_calendar_days(calendar, &table[0]),
        sg_table_calendar_levels(calendar, &table[1]),
        sg_table_day_rules(calendar, &table[2]),
        sg_table_lead_times(calendar->site, false, &table[3]),
        sg_table_calendar_receptor(calendar, receptor, &table[4]),
    };
    for (size_t i = 0; i < SG_COUNT(table); i++)
        if ((i != 2 || sg_command_shows(&table[i], request->format)) && (i != 4 || daily))
            list[count++] = &table[i];
    int result = 0;
    for (size_t i = 0; i < SG_COUNT(status) && result == 0; i++)
        result = sg_ok(status[i]) ? 0 : sg_command_fail(NULL, status[i]);
    if (result == 0)
        result = sg_command_tables(list, count, request->format);
    for (size_t i = 0; i < SG_COUNT(table); i++)
        sg_table_release(&table[i]);
    return result;
}

static bool any_over(const struct sg_calendar *calendar)
{
    for (size_t r = 0; r < calendar->nreceptor; r++) {
        for (size_t i = 0; i < calendar->receptor[r].nlevel; i++) {
            const struct sg_level_count *l = &calendar->receptor[r].level[i];
            bool by_days = sg_days_decide(l->set, l->row);
            if (by_days ? l->tally.state == SG_OVER : l->days_central > 0)
                return true;
        }
    }
    return false;
}

/* The method of every pile: the chosen one, or the one that was named. */
static sg_status methods_of(const struct request *request, struct sg_planned *planned,
                            const size_t **out)
{
    size_t named;
    size_t *list = planned->plan.choice.method;
    if (planned->plan.wish.dose && planned->plan.daily.feasible)
        list = planned->plan.daily.method;
    if (request->method) {
        sg_status status =
            sg_method_named(&planned->site, request->method, &named, &planned->errors);
        if (status != SG_OK)
            return status;
        for (size_t i = 0; i < planned->site.npile; i++)
            list[i] = named;
    }
    *out = list;
    return SG_OK;
}

static int run(const struct request *request)
{
    struct sg_planned planned = SG_PLANNED_INIT;
    struct sg_schedule schedule = SG_SCHEDULE_INIT;
    struct sg_calendar calendar = SG_CALENDAR_INIT;
    struct sg_choice_wish wish = SG_CHOICE_WISH_INIT;
    struct sg_text svg = SG_TEXT_INIT;
    struct sg_progress_line line = { 0.0, false, NULL };
    const size_t *method = NULL;
    size_t receptor = SIZE_MAX;
    int result = 0;
    planned.laws = request->laws;
    sg_status status = sg_planned_make(&planned, request->site, SG_BY_UPPER, &wish);
    if (sg_ok(status) && request->receptor)
        status = sg_receptor_named(&planned.site, request->receptor, &receptor, &planned.errors);
    if (sg_ok(status))
        status = methods_of(request, &planned, &method);
    if (sg_ok(status))
        status = sg_schedule_make(&planned.site, method, &schedule, &planned.errors);
    if (sg_ok(status))
        status = sg_calendar_make(&planned.site, &schedule, &calendar, sg_progress_show, &line,
                                  &planned.errors);
    sg_progress_end(&line);
    if (!sg_ok(status)) {
        result = sg_command_fail(&planned.errors, status);
        goto done;
    }
    result = print_calendar(request, &calendar, receptor);
    if (result == 0 && request->drawing) {
        status = sg_plot_calendar(&calendar, NULL, &svg, &planned.errors);
        result = sg_command_drawing(request->drawing, status, &svg, &planned.errors);
    }
    if (result == 0)
        result = sg_command_verdict(any_over(&calendar) ? SG_OVER : SG_WITHIN, false);
done:
    sg_text_release(&svg);
    sg_calendar_release(&calendar);
    sg_schedule_release(&schedule);
    sg_planned_release(&planned);
    return result;
}

int sg_command_calendar(int argc, char **argv)
{
    static const struct argp_option options[] = {
        SG_FORMAT_OPTION,
        SG_LAW_OPTION,
        { "method", 'm', "NAME", 0, "this method on every pile, instead of the chosen ones", 0 },
        { "receptor", 'r', "NAME", 0, "the days of this receptor too", 0 },
        { "all", 'a', NULL, 0, "the days of every receptor too", 0 },
        { "drawing", 'd', "FILE", 0, "write receptors against days as SVG", 0 },
        { NULL, 0, NULL, 0, NULL, 0 },
    };
    static const struct argp argp = {
        options,
        parse_option,
        "SITE",
        "Lays the piles out over the shifts of the programme and tells for each day what is done "
        "and what every receptor gets, days and hours above each limit, and who must be told by "
        "when."
        "\vThe methods are those that `plan` chooses. Exit status: 0 done and within limits; 1 "
        "done and a limit is over; 2 usage; 3 bad input; 4 a file could not be read or written.",
        NULL,
        NULL,
        NULL,
    };
    struct request request = { .format = SG_FORMAT_TABLE, .laws = SG_LAWS_INIT };
    if (argp_parse(&argp, argc, argv, 0, NULL, &request) != 0)
        return sg_status_exit(SG_ERR_USAGE);
    return run(&request);
}
