/* document_works.c - parts of the document about the works: methods along the wall, the programme,
 * monitoring, notices. */
#include "internal.h"
#include "stillground/report_works.h"

static sg_status put_wide(struct sg_table *table, sg_status status, struct sg_text *out)
{
    sg_text_put(out, "<section class=\"landscape\">\n");
    status = sg_document_table(table, status, out);
    sg_text_put(out, "</section>\n");
    return status;
}

static sg_status put_calendar(const struct sg_plan *plan, const char *keep_dir, struct sg_text *out,
                              struct sg_errors *errors)
{
    const struct sg_site *site = plan->values->site;
    struct sg_schedule schedule = SG_SCHEDULE_INIT;
    struct sg_calendar calendar = SG_CALENDAR_INIT;
    struct sg_plot plot = SG_PLOT_INIT;
    struct sg_table table;
    sg_status status = sg_schedule_make(site, plan->choice.method, &schedule, errors);
    if (sg_ok(status))
        status = sg_calendar_make(site, &schedule, &calendar, NULL, NULL, errors);
    if (!sg_ok(status))
        goto done;
    sg_status made = sg_plot_calendar_script(&calendar, &plot);
    status = sg_document_plot(made, &plot, keep_dir, out, errors);
    if (sg_ok(status)) {
        made = sg_table_calendar_levels(&calendar, &table);
        status = put_wide(&table, made, out);
    }
    if (sg_ok(status)) {
        made = sg_table_day_rules(&calendar, &table);
        if (table.nrow > 0)
            status = put_wide(&table, made, out);
        else
            sg_table_release(&table);
    }
done:
    sg_calendar_release(&calendar);
    sg_schedule_release(&schedule);
    return status;
}

static sg_status put_plan(const struct sg_plan *plan, const char *keep_dir, struct sg_text *out,
                          struct sg_errors *errors)
{
    typedef sg_status plan_table(const struct sg_plan *of, struct sg_table *to);
    static plan_table *const makers[] = { sg_table_plan, sg_table_plan_broken,
                                          sg_table_plan_front };
    struct sg_plot plot = SG_PLOT_INIT;
    struct sg_table table;
    sg_status status =
        sg_document_plot(sg_plot_strip_script(plan, &plot), &plot, keep_dir, out, errors);
    for (size_t i = 0; i < SG_COUNT(makers) && sg_ok(status); i++) {
        sg_status made = makers[i](plan, &table);
        status = put_wide(&table, made, out);
    }
    if (sg_ok(status)) {
        sg_status made = sg_table_suitability(plan->values, &table);
        status = put_wide(&table, made, out);
    }
    return status;
}

sg_status sg_document_wall(const struct sg_study *study, const char *keep_dir, struct sg_text *out,
                           struct sg_errors *errors)
{
    struct sg_wall_values values = SG_WALL_VALUES_INIT;
    struct sg_plan plan = SG_PLAN_INIT;
    struct sg_choice_wish wish = SG_CHOICE_WISH_INIT;
    struct sg_table table;
    sg_status status = sg_wall_values_make(study->site, SG_BY_UPPER, &values, NULL, NULL, errors);
    if (sg_ok(status))
        status = sg_plan_make(&values, &wish, &plan, errors);
    if (sg_ok(status))
        status = put_plan(&plan, keep_dir, out, errors);
    if (sg_ok(status)) {
        sg_status made = sg_table_options(study, &table);
        status = put_wide(&table, made, out);
    }
    if (sg_ok(status) && study->site->programme)
        status = put_calendar(&plan, keep_dir, out, errors);
    sg_plan_release(&plan);
    sg_wall_values_release(&values);
    return status;
}

sg_status sg_document_monitoring(const struct sg_study *study, struct sg_text *out)
{
    struct sg_monitors monitors = SG_MONITORS_INIT;
    struct sg_table table;
    sg_status status = sg_monitors_make(study, &monitors);
    if (!sg_ok(status))
        return status;
    sg_status made = sg_table_monitors(study, &monitors, &table);
    sg_monitors_release(&monitors);
    return put_wide(&table, made, out);
}

sg_status sg_document_notices(const struct sg_study *study, struct sg_text *out)
{
    struct sg_table table;
    sg_status made = sg_table_notifications(study, &table);
    sg_status status = sg_document_table(&table, made, out);
    if (!sg_ok(status))
        return status;
    made = sg_table_lead_times(study->site, false, &table);
    return put_wide(&table, made, out);
}
