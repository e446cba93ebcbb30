/* calendar_tables.c - days of work, days and hours above limits, and who must be told by when. */
#include "internal.h"
#include "stillground/report_works.h"

#include <math.h>

static void put_day(struct sg_table *table, long day)
{
    struct sg_text text = SG_TEXT_INIT;
    sg_civil_put(&text, day);
    sg_table_text(table, sg_text_string(&text));
    table->failed = table->failed || text.failed;
    sg_text_release(&text);
}

static void put_clock(struct sg_text *text, double hour_h)
{
    long minutes = lround(hour_h * 60) % 1440;
    if (minutes == 0 && hour_h > 0)
        minutes = 1440;
    sg_text_printf(text, "%02ld:%02ld", minutes / 60, minutes % 60);
}

static void put_hours(struct sg_table *table, const struct sg_slot *slot)
{
    struct sg_text text = SG_TEXT_INIT;
    put_clock(&text, slot->start_h);
    sg_text_put(&text, " to ");
    put_clock(&text, slot->end_h);
    sg_table_text(table, sg_text_string(&text));
    table->failed = table->failed || text.failed;
    sg_text_release(&text);
}

/* Piles worked on, and the methods in the order met. */
static void put_work(struct sg_table *table, const struct sg_calendar *c,
                     const struct sg_slot *slot)
{
    const struct sg_schedule *s = c->schedule;
    const struct sg_site *site = c->site;
    struct sg_text piles = SG_TEXT_INIT, methods = SG_TEXT_INIT;
    size_t done = 0, end = slot->first_piece + slot->npiece;
    for (size_t i = slot->first_piece; i < end; i++) {
        const struct sg_piece *piece = &s->piece[i];
        bool opens = i == slot->first_piece || s->piece[i - 1].rig != piece->rig;
        bool closes = i + 1 == end || s->piece[i + 1].rig != piece->rig;
        bool met = false;
        done += piece->last;
        if (opens)
            sg_text_printf(&piles, "%s%s", piles.length > 0 ? "; " : "",
                           site->pile[piece->pile].name);
        if (closes && !opens)
            sg_text_printf(&piles, " to %s", site->pile[piece->pile].name);
        for (size_t k = slot->first_piece; k < i; k++)
            met |= s->piece[k].method == piece->method;
        if (!met)
            sg_text_printf(&methods, "%s%s", methods.length > 0 ? ", " : "",
                           site->method[piece->method].name);
    }
    sg_table_text(table, sg_text_string(&piles));
    sg_table_number(table, (double)done);
    sg_table_text(table, sg_text_string(&methods));
    table->failed = table->failed || piles.failed || methods.failed;
    sg_text_release(&piles);
    sg_text_release(&methods);
}

sg_status sg_table_calendar_days(const struct sg_calendar *calendar, struct sg_table *out)
{
    static const struct sg_column columns[] = {
        { "day", "day", 0, false },
        { "weekday", "", 0, false },
        { "shift", "shift", 0, false },
        { "hours", "hours", 0, false },
        { "span_h", "real\nh", 2, true },
        { "work_h", "work\nh", 2, true },
        { "piles", "piles worked on", 0, false },
        { "piles_done", "piles\ndone", 0, true },
        { "methods", "methods", 0, false },
        { "ppv_upper_mm_s", "highest PPV\nupper, mm/s", -1, true },
        { "laeq_upper_db", "highest LAeq\nupper, dB", 1, true },
        { "highest_ratio", "highest\n/ limit", 2, true },
        { "receptor", "at receptor", 0, false },
    };
    const struct sg_schedule *s = calendar->schedule;
    sg_table_init(out, "calendar", "Days of work", columns, SG_COUNT(columns));
    for (size_t i = 0; i < s->nslot; i++) {
        const struct sg_slot *slot = &s->slot[i];
        double ppv = SG_UNSET, laeq = SG_UNSET, ratio = 0;
        size_t worst = SIZE_MAX;
        for (size_t r = 0; r < calendar->nreceptor; r++) {
            const struct sg_slot_value *v = &calendar->receptor[r].value[i];
            ppv = v->ppv_upper > ppv || !sg_is_set(ppv) ? v->ppv_upper : ppv;
            laeq = v->laeq_upper > laeq || !sg_is_set(laeq) ? v->laeq_upper : laeq;
            worst = v->ratio > ratio ? r : worst;
            ratio = fmax(ratio, v->ratio);
        }
        put_day(out, slot->day);
        sg_table_text(out, sg_civil_weekday_id(sg_civil_weekday(slot->day)));
        sg_table_printf(out, "%s%s", slot->name,
                        slot->possession ? slot->name[0] ? " (possession)" : "possession" : "");
        put_hours(out, slot);
        sg_table_number(out, slot->span_h);
        sg_table_number(out, slot->work_h);
        put_work(out, calendar, slot);
        sg_table_number(out, ppv);
        sg_table_number(out, laeq);
        sg_table_number(out, ratio);
        sg_table_text(out, worst == SIZE_MAX ? "" : calendar->site->receptor[worst].name);
    }
    sg_table_note(out,
                  "%zu days with work. Velocities: highest of the piles worked on; levels: over "
                  "the real length of the shift, clock changes included. Rigs at work at once "
                  "add in level, not in velocity.",
                  s->days);
    if (s->left > 0)
        sg_table_note(out,
                      "%zu piles find no time: possessions are too few, or ten years are over.",
                      s->left);
    return sg_report_table_status(out);
}

sg_status sg_table_calendar_levels(const struct sg_calendar *calendar, struct sg_table *out)
{
    static const struct sg_column columns[] = {
        { "receptor", "receptor", 0, false },
        { "limit_set", "limit set", 0, false },
        { "limit_row", "row", 0, false },
        { "limit", "lowest\nlimit", -1, true },
        { "unit", "unit", 0, false },
        { "days_upper", "days above\nupper value", 0, true },
        { "days_central", "days above\ncentral value", 0, true },
        { "hours_upper", "hours above\nupper value", 1, true },
        { "first_day", "first day", 0, false },
        { "days_in_row", "most working\ndays in a row", 0, true },
        { "days_in_15", "most within\n15 days", 0, true },
    };
    sg_table_init(out, "days-above", "Days and hours above each limit", columns, SG_COUNT(columns));
    for (size_t r = 0; r < calendar->nreceptor; r++) {
        const struct sg_receptor_calendar *c = &calendar->receptor[r];
        for (size_t i = 0; i < c->nlevel; i++) {
            const struct sg_level_count *l = &c->level[i];
            sg_table_text(out, calendar->site->receptor[r].name);
            sg_table_text(out, l->set ? l->set->id : "OWNER");
            sg_table_text(out, l->row ? l->row->label : "the owner's own value");
            sg_table_number_to(out, l->limit,
                               l->row ? sg_quantity_decimals(l->row->quantity, l->limit) : 2);
            sg_table_text(out, sg_quantity_unit(l->row ? l->row->quantity : SG_Q_PPV));
            sg_table_number(out, (double)l->days);
            sg_table_number(out, (double)l->days_central);
            sg_table_number(out, l->hours);
            if (l->days > 0)
                put_day(out, l->first_day);
            else
                sg_table_text(out, "");
            sg_table_number(out, (double)l->longest_in_row);
            sg_table_number(out, (double)l->worst_window);
        }
    }
    sg_table_note(out, "Hours: of work on piles whose upper value is over the limit; for LAeq the "
                       "working hours of the shifts that are. Limits that are not determinable are "
                       "left out; `predict` names them.");
    return sg_report_table_status(out);
}

/* Doses are bridged from the velocity, always. */
static unsigned put_doses(struct sg_table *table, const struct sg_slot_value *v)
{
    bool any = sg_is_set(v->vdv_upper) || sg_is_set(v->kb_upper);
    unsigned marks = any ? (unsigned)SG_MARK_ESTIMATE : 0u;
    sg_table_number(table, v->vdv_central);
    sg_table_number(table, v->vdv_upper);
    sg_table_number(table, v->kb_central);
    sg_table_number(table, v->kb_upper);
    sg_report_put_marks(table, marks);
    return marks;
}

static void note_doses(struct sg_table *table, const struct sg_calendar *calendar, size_t receptor)
{
    const struct sg_receptor_calendar *c = &calendar->receptor[receptor];
    const char *name = calendar->site->receptor[receptor].name;
    if (c->no_vdv)
        sg_table_note(table, "%s: no VDV: %s.", name, c->no_vdv);
    if (c->no_kb)
        sg_table_note(table, "%s: no KB dose: %s.", name, c->no_kb);
}

sg_status sg_table_calendar_receptor(const struct sg_calendar *calendar, size_t receptor,
                                     struct sg_table *out)
{
    static const struct sg_column columns[] = {
        { "receptor", "receptor", 0, false },
        { "day", "day", 0, false },
        { "shift", "shift", 0, false },
        { "ppv_central_mm_s", "PPV central\nmm/s", -1, true },
        { "ppv_upper_mm_s", "PPV upper\nmm/s", -1, true },
        { "laeq_db", "LAeq central\ndB", 1, true },
        { "laeq_upper_db", "LAeq upper\ndB", 1, true },
        { "lafmax_db", "LAFmax\ndB", 1, true },
        { "vdv_central_m_s1_75", "VDV central\nm/s^1.75", 3, true },
        { "vdv_upper_m_s1_75", "VDV upper\nm/s^1.75", 3, true },
        { "kb_dose_central", "KB dose\ncentral", 3, true },
        { "kb_dose_upper", "KB dose\nupper", 3, true },
        { "marks", "marks\ndoses", 0, false },
        { "highest_ratio", "highest\n/ limit", 2, true },
    };
    const struct sg_schedule *s = calendar->schedule;
    unsigned seen = 0;
    sg_table_init(out, "receptor-days", "Day by day", columns, SG_COUNT(columns));
    for (size_t r = 0; r < calendar->nreceptor; r++) {
        if (receptor != SIZE_MAX && r != receptor)
            continue;
        for (size_t i = 0; i < s->nslot; i++) {
            const struct sg_slot_value *v = &calendar->receptor[r].value[i];
            sg_table_text(out, calendar->site->receptor[r].name);
            put_day(out, s->slot[i].day);
            sg_table_text(out, s->slot[i].name);
            sg_table_number(out, v->ppv_central);
            sg_table_number(out, v->ppv_upper);
            sg_table_number(out, v->laeq);
            sg_table_number(out, v->laeq_upper);
            sg_table_number(out, v->lafmax);
            seen |= put_doses(out, v);
            sg_table_number(out, v->ratio);
        }
        note_doses(out, calendar, r);
    }
    sg_table_note(out,
                  "VDV and KB dose (KB_FTr): estimated from the velocity over the shift, at the "
                  "place of the limit that asks for them; the largest where several do.");
    sg_report_marks_note(out, seen);
    return sg_report_table_status(out);
}

/* ---- notices ---- */

static bool concerns(const struct sg_site *site, const struct sg_notice_row *row, bool change)
{
    bool technique = false, rail = !row->rail;
    if (site->jurisdiction && site->jurisdiction[0] &&
        !sg_same(site->jurisdiction, row->jurisdiction))
        return false;
    for (size_t m = 0; m < site->nmethod; m++)
        technique |= (row->techniques & SG_TECHNIQUE_BIT(site->method[m].technique)) != 0;
    for (size_t r = 0; r < site->nreceptor; r++)
        rail |= site->receptor[r].use == SG_USE_RAIL;
    return technique && rail && row->change == change;
}

static const char *lead_text(enum sg_lead kind)
{
    static const char *const texts[] = {
        [SG_LEAD_CALENDAR_DAYS] = "days",
        [SG_LEAD_CLEAR_DAYS] = "clear days",
        [SG_LEAD_WORKING_DAYS] = "working days",
    };
    return texts[kind];
}

sg_status sg_table_lead_times(const struct sg_site *site, bool change, struct sg_table *out)
{
    static const struct sg_column columns[] = {
        { "jurisdiction", "where", 0, false },
        { "rule", "what", 0, false },
        { "lead", "how long\nbefore", 0, false },
        { "by_day", "in time on", 0, false },
        { "note", "note", 0, false },
        { "source", "source", 0, false },
    };
    const struct sg_programme *p = site->programme;
    sg_table_init(out, "lead-times", "Notices and lead times", columns, SG_COUNT(columns));
    for (size_t i = 0; i < sg_notice_count(); i++) {
        const struct sg_notice_row *row = sg_notice_at(i);
        if (!concerns(site, row, change))
            continue;
        const struct sg_document *document = sg_document_find(row->cite.document);
        sg_table_text(out, row->jurisdiction);
        sg_table_text(out, row->rule);
        sg_table_printf(out, "%.0f %s", row->days, lead_text(row->kind));
        if (p)
            put_day(out,
                    sg_notice_day(row->kind, row->days, p->start_day, p->holiday, p->nholiday));
        else
            sg_table_text(out, "");
        sg_table_text(out, row->note);
        sg_table_printf(out, "%s, %s", document ? document->title : row->cite.document,
                        row->cite.locus);
    }
    sg_table_note(out,
                  "Hints for the techniques of the site file; the authority, the permit and the "
                  "owner decide, and local rules may add duties. Working days: Monday to Friday "
                  "without the holidays of the programme.");
    if (!p)
        sg_table_note(out, "Dates need a programme with a start in the site file.");
    return sg_report_table_status(out);
}
