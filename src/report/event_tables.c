/* event_tables.c - events of recordings and verdicts on recordings as tables. */
#include "stillground/monitoring.h"

#include "internal.h"
#include "recording_rows.h"

static void put_event(struct sg_table *table, const struct sg_taken *taken, size_t number,
                      const struct sg_found_event *e)
{
    const double figure[] = { e->from_hz, e->to_hz, e->ppv_mm_s, e->ppv_time_s,
                              e->ppv_frequency_hz };
    const double other[] = { e->pvs_mm_s,  e->kbf_max, e->laeq_db,
                             e->lafmax_db, e->lae_db,  e->lcpeak_db };
    sg_table_text(table, sg_rows_file(taken->file));
    sg_table_number(table, (double)e->group);
    sg_table_number(table, (double)number);
    sg_table_text(table, sg_event_kind_id(e->kind));
    sg_table_number(table, e->start_s);
    sg_table_number(table, e->end_s);
    for (size_t i = 0; i < SG_COUNT(figure); i++)
        sg_table_number(table, figure[i]);
    sg_table_text(table, e->ppv_axis == SG_AXIS_NONE ? "-" : sg_axis_id(e->ppv_axis));
    for (size_t i = 0; i < SG_COUNT(other); i++)
        sg_table_number(table, other[i]);
}

sg_status sg_table_events(const struct sg_taken_list *list, struct sg_table *out)
{
    static const struct sg_column columns[] = {
        { "recording", "recording", 0, false },
        { "sensor", NULL, 0, true },
        { "event", "event", 0, true },
        { "kind", "kind", 0, false },
        { "start_s", "from\ns", 2, true },
        { "end_s", "to\ns", 2, true },
        { "drive_from_hz", "drive\nfrom Hz", 1, true },
        { "drive_to_hz", "drive\nto Hz", 1, true },
        { "ppv_mm_s", "PPV\nmm/s", -1, true },
        { "ppv_time_s", NULL, 3, true },
        { "ppv_frequency_hz", "at\nHz", 1, true },
        { "ppv_axis", "axis", 0, false },
        { "pvs_mm_s", "PVS\nmm/s", -1, true },
        { "kbf_max", "KB_F\nmax", 2, true },
        { "laeq_db", NULL, 1, true },
        { "lafmax_db", "LAFmax\ndB(A)", 1, true },
        { "lae_db", "LAE\ndB(A)", 1, true },
        { "lcpeak_db", "LCpeak\ndB(C)", 1, true },
    };
    sg_table_init(out, "events", "Events", columns, SG_COUNT(columns));
    for (size_t i = 0; i < list->count; i++)
        for (size_t k = 0; k < list->item[i].events.count; k++)
            put_event(out, &list->item[i], k + 1, &list->item[i].events.event[k]);
    if (out->nrow == 0)
        sg_table_note(out, "No event was found.");
    return sg_report_table_status(out);
}

sg_status sg_table_blows(const struct sg_taken_list *list, struct sg_table *out)
{
    static const struct sg_column columns[] = {
        { "recording", "recording", 0, false },
        { "sensor", NULL, 0, true },
        { "start_s", "from\ns", 1, true },
        { "end_s", "to\ns", 1, true },
        { "blows", "blows", 0, true },
        { "blows_per_min", "blows\na minute", 1, true },
        { "missing_blows", "left\nout", 0, true },
        { "regular_share", "regular\nshare", 2, true },
    };
    sg_table_init(out, "blows", "Blows", columns, SG_COUNT(columns));
    for (size_t i = 0; i < list->count; i++)
        for (size_t k = 0; k < list->item[i].events.nrate; k++) {
            const struct sg_blow_rate *rate = &list->item[i].events.rate[k];
            sg_table_text(out, sg_rows_file(list->item[i].file));
            sg_table_number(out, (double)rate->group);
            sg_table_number(out, rate->start_s);
            sg_table_number(out, rate->end_s);
            sg_table_number(out, (double)rate->blows.count);
            sg_table_number(out, rate->blows.per_minute);
            sg_table_number(out, rate->blows.missing);
            sg_table_number(out, rate->blows.regular);
        }
    return sg_report_table_status(out);
}

/* ---- verdicts -------------------------------------------------------------------------------- */

static const char *axis_of(const struct sg_recorded_verdict *v)
{
    if (v->axis != SG_AXIS_NONE)
        return sg_axis_id(v->axis);
    return v->value.axes == SG_AXES_RESULTANT ? "sum" : "-";
}

unsigned sg_rows_judged(struct sg_table *table, const struct sg_recorded_verdict *v)
{
    const struct sg_verdict *verdict = &v->verdict;
    enum sg_quantity quantity = v->value.quantity;
    unsigned marks = verdict->marks | sg_report_value_marks(&v->value);
    sg_table_text(table, verdict->set->id);
    sg_table_text(table, verdict->row ? verdict->row->label : "-");
    sg_table_text(table, verdict->row ? verdict->row->id : "");
    sg_table_text(table, verdict->row ? verdict->row->cite.locus : "");
    sg_table_text(table, verdict->row ? sg_period_id(verdict->period) : "");
    sg_table_text(table, sg_quantity_id(quantity));
    sg_table_text(table, axis_of(v));
    sg_table_number_to(table, v->value.central, sg_quantity_decimals(quantity, v->value.central));
    sg_table_number(table, verdict->frequency_hz);
    sg_table_number_to(table, verdict->limit, sg_quantity_decimals(quantity, verdict->limit));
    sg_table_text(table, sg_quantity_unit(quantity));
    sg_report_put_against(table, verdict, v->value.central, verdict->ratio_central);
    sg_table_number(table, verdict->ratio_central);
    sg_table_text(table, sg_verdict_id(verdict->state));
    sg_report_put_marks(table, marks);
    return marks;
}

sg_status sg_table_checked(const struct sg_taken_list *list, struct sg_table *out)
{
    static const struct sg_column columns[] = {
        { "recording", "recording", 0, false },
        SG_JUDGED_COLUMNS,
        { "reason", "reason", 0, false },
    };
    unsigned seen = 0;
    sg_table_init(out, "verdicts", "Recordings against the limits", columns, SG_COUNT(columns));
    for (size_t i = 0; i < list->count; i++)
        for (size_t k = 0; k < list->item[i].verdicts.count; k++) {
            const struct sg_recorded_verdict *v = &list->item[i].verdicts.item[k];
            sg_table_text(out, sg_rows_file(list->item[i].file));
            seen |= sg_rows_judged(out, v);
            sg_table_text(out, v->verdict.reason);
        }
    sg_table_note(out, "Measured values carry no allowance for the uncertainty of the measurement. "
                       "Below a damage guide is not below complaint; the permit and local codes "
                       "win, and a competent person reviews the result.");
    sg_report_marks_note(out, seen);
    return sg_report_table_status(out);
}
