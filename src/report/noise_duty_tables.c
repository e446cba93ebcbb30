/* noise_duty_tables.c - triggers that count by days, permitted hours of percussive piling, exposure
 * of the crew. */
#include "internal.h"

#include "stillground/report_noise.h"

/* ---- triggers -------------------------------------------------------------------------------- */

static void put_days(struct sg_table *table, double days, bool at_most)
{
    if (sg_is_set(days))
        sg_table_printf(table, "%s%.0f", at_most && days > 0 ? "at most " : "", days);
    else
        sg_table_text(table, "-");
}

static void put_trigger(struct sg_table *table, const struct sg_study *study,
                        const struct sg_day_trigger *t, unsigned *seen)
{
    const struct sg_verdict *v = t->verdict;
    sg_table_text(table, study->site->receptor[t->receptor].name);
    sg_table_text(table, study->site->method[t->method].name);
    sg_table_text(table, v->set->id);
    sg_table_text(table, v->row->label);
    sg_table_number(table, v->value_central);
    sg_table_number(table, v->value_upper);
    sg_table_number(table, v->limit);
    sg_table_text(table, sg_verdict_id(v->state));
    sg_table_number(table, t->rehousing_db);
    sg_table_text(table, sg_is_set(t->rehousing_db) ? sg_verdict_id(t->rehousing) : "");
    put_days(table, t->days_planned, false);
    put_days(table, t->days_over, t->days_at_most);
    put_days(table, t->days_rehousing, t->days_at_most);
    sg_table_text(table, t->needed_rehousing ? "re-housing" : t->needed ? "insulation" : "");
    sg_report_put_seen_marks(table, v->marks, seen);
}

sg_status sg_table_triggers(const struct sg_study *study, struct sg_table *out)
{
    static const struct sg_column columns[] = {
        { "receptor", "receptor", 0, false },
        { "method", "method", 0, false },
        { "limit_set", NULL, 0, false },
        { "limit_row", "time", 0, false },
        { "laeq_central_db", "LAeq\ndB(A)", 1, true },
        { "laeq_upper_db", "LAeq\nupper", 1, true },
        { "trigger_db", "insulation\ntrigger", 1, true },
        { "trigger_verdict", "verdict", 0, false },
        { "rehousing_db", "re-housing\ntrigger", 1, true },
        { "rehousing_verdict", "verdict", 0, false },
        { "days_planned", "days\nplanned", 0, false },
        { "days_over", "days over\ninsulation", 0, false },
        { "days_over_rehousing", "days over\nre-housing", 0, false },
        { "reached", "day count\nreached for", 0, false },
        { "marks", "marks", 0, false },
    };
    struct sg_arena arena = SG_ARENA_INIT;
    struct sg_day_trigger *list = NULL;
    size_t count = 0;
    unsigned seen = 0;
    sg_table_init(out, "noise-triggers", "Triggers for insulation and re-housing", columns,
                  SG_COUNT(columns));
    sg_status status = sg_triggers_make(study, &arena, &list, &count);
    for (size_t i = 0; sg_ok(status) && i < count; i++)
        put_trigger(out, study, &list[i], &seen);
    sg_table_note(out,
                  "Days: central value, pile after pile along the wall, from the first day of a "
                  "week on. The count is reached when the days over, by whichever line of the "
                  "set, lie so close together as the document has it (10 of any 15, 40 of any "
                  "183).");
    sg_report_marks_note(out, seen);
    sg_arena_release(&arena);
    return sg_ok(status) ? sg_report_table_status(out) : status;
}

/* ---- percussive piling ----------------------------------------------------------------------- */

static void put_percussive(struct sg_table *table, const struct sg_study *study,
                           const struct sg_percussive *p, unsigned *seen)
{
    sg_table_text(table, study->site->receptor[p->receptor].name);
    sg_table_text(table, study->site->method[p->method].name);
    sg_table_number(table, p->lwa_db);
    sg_table_number(table, p->distance_m);
    sg_table_number(table, p->building ? sg_sound_number(SG_SOUND_HK_BUILDING_DB) : 0);
    sg_table_number(table, p->screen_db);
    sg_table_number(table, p->corrected_db);
    sg_table_number(table, p->acceptable_db);
    sg_table_number(table, p->corrected_db - p->acceptable_db);
    sg_table_number(table, p->permitted_h);
    sg_table_number(table, p->planned_h);
    sg_table_text(table, sg_verdict_id(p->state));
    sg_report_put_seen_marks(table,
                             (unsigned)SG_MARK_UNVERIFIED |
                                 (p->converted ? (unsigned)SG_MARK_ESTIMATE : 0u) |
                                 (p->given ? (unsigned)SG_MARK_USER : 0u),
                             seen);
    sg_table_text(table, p->why != NULL ? p->why
                         : p->barred    ? "work from 19 to 07 or on a Sunday gets no permit"
                                        : "");
}

sg_status sg_table_percussive(const struct sg_study *study, struct sg_table *out)
{
    static const struct sg_column columns[] = {
        { "receptor", "receptor", 0, false },
        { "method", "method", 0, false },
        { "lwa_db", "LWA\ndB(A)", 1, true },
        { "distance_m", "distance\nm", 1, true },
        { "building_db", "building\n+ dB", 1, true },
        { "screen_db", "screen\n- dB", 1, true },
        { "corrected_db", "corrected\nlevel", 1, true },
        { "acceptable_db", "acceptable\nlevel", 1, true },
        { "excess_db", "excess\ndB", 1, true },
        { "permitted_h", "permitted\nh a day", 0, true },
        { "planned_h", "planned\nh a day", 1, true },
        { "verdict", "verdict", 0, false },
        { "marks", "marks", 0, false },
        { "reason", "reason", 0, false },
    };
    struct sg_arena arena = SG_ARENA_INIT;
    struct sg_percussive *list = NULL;
    size_t count = 0;
    unsigned seen = 0;
    sg_table_init(out, "percussive-hours", "Percussive piling: permitted hours a day (Hong Kong)",
                  columns, SG_COUNT(columns));
    sg_status status = sg_percussive_make(study, &arena, &list, &count);
    for (size_t i = 0; sg_ok(status) && i < count; i++)
        put_percussive(out, study, &list[i], &seen);
    sg_table_note(out, "Corrected level = LWA - (20 lg D + 8) + building - screen; up to the "
                       "acceptable level 12 h, up to 10 dB over it 5 h, more 3 h (hk-pp-tm; the "
                       "distance table and the steps are recalled). A permit is needed in any "
                       "case; none is given for 19 to 07 and holidays. In a confined or "
                       "reverberant place up to 3 dB more are added, which is not done here. "
                       "Planned: the working time of a shift, not the time in which blows fall.");
    sg_table_note(out,
                  "These verdicts stand beside the others and do not count in the exit status: "
                  "the permit states the hours.");
    sg_report_marks_note(out, seen);
    sg_arena_release(&arena);
    return sg_ok(status) ? sg_report_table_status(out) : status;
}

/* ---- crew ------------------------------------------------------------------------------------ */

static void put_crew(struct sg_table *table, const struct sg_study *study,
                     const struct sg_crew_day *day, unsigned *seen)
{
    unsigned marks = sg_report_value_marks(&day->exposure);
    if (sg_grade_unverified(day->row->cite.grade))
        marks |= (unsigned)SG_MARK_UNVERIFIED;
    sg_table_text(table, day->name);
    sg_table_text(table, study->site->method[day->method].name);
    sg_table_number(table, day->nearest_m);
    sg_table_number(table, day->hours);
    sg_table_number(table, day->exposure.central);
    sg_table_number(table, day->exposure.upper);
    sg_table_text(table, day->row->meaning);
    sg_table_number(table, day->row->level_db);
    sg_table_text(table, sg_verdict_id(day->state));
    sg_table_number(table, day->row->peak_db);
    sg_report_put_seen_marks(table, marks, seen);
    sg_table_printf(table, "%s, %s [%s]", day->row->cite.document, day->row->cite.locus,
                    sg_grade_name(day->row->cite.grade));
    sg_table_text(table, sg_is_set(day->exposure.central) || day->exposure.why == NULL
                             ? ""
                             : day->exposure.why);
}

sg_status sg_table_crew(const struct sg_study *study, struct sg_table *out)
{
    static const struct sg_column columns[] = {
        { "crew", "crew", 0, false },
        { "method", "method", 0, false },
        { "nearest_m", "nearest\nm", 1, true },
        { "hours_h", "hours\nh", 2, true },
        { "exposure_central_db", "8 h level\ndB(A)", 1, true },
        { "exposure_upper_db", "8 h level\nupper", 1, true },
        { "value", "held against", 0, false },
        { "value_db", "dB(A)", 0, true },
        { "verdict", "verdict", 0, false },
        { "peak_value_db", "peak value\ndB(C)", 0, true },
        { "marks", "marks", 0, false },
        { "source", "source", 0, false },
        { "reason", NULL, 0, false },
    };
    struct sg_arena arena = SG_ARENA_INIT;
    struct sg_crew_day *list = NULL;
    size_t count = 0;
    unsigned seen = 0;
    sg_table_init(out, "crew-exposure", "For the crew: daily exposure to noise", columns,
                  SG_COUNT(columns));
    sg_status status = sg_crew_days_make(study, &arena, &list, &count);
    for (size_t i = 0; sg_ok(status) && i < count; i++)
        put_crew(out, study, &list[i], &seen);
    sg_table_note(out, "LEX,8h, or its like by the exchange of the rule, from the level at the "
                       "given distances while the works go on, hard ground, no screen, no hearing "
                       "protection. Peaks are not predicted: their values are shown for the "
                       "measurement. Information for the crew's employer, who has to assess "
                       "exposure; no receptor's verdict counts it.");
    sg_report_marks_note(out, seen);
    sg_arena_release(&arena);
    return sg_ok(status) ? sg_report_table_status(out) : status;
}
