/* logbook_tables.c - the exceedance register, days over each limit, and measured beside predicted.
 * */
#include "stillground/monitoring.h"

#include "internal.h"
#include "recording_rows.h"

#include <math.h>

#define DAY_S 86400.0

static void put_date(struct sg_table *table, long day)
{
    struct sg_text text = SG_TEXT_INIT;
    sg_civil_put(&text, day);
    sg_report_put_text(table, &text);
}

/* Clock time at the site. */
static void put_time(struct sg_table *table, double local_s)
{
    struct sg_text text = SG_TEXT_INIT;
    if (sg_is_set(local_s)) {
        long whole = (long)floor(local_s), day = (long)floor(local_s / DAY_S);
        long second = whole - 86400 * day;
        sg_civil_put(&text, day);
        sg_text_printf(&text, " %02ld:%02ld:%02ld", second / 3600, second / 60 % 60, second % 60);
    }
    sg_report_put_text(table, &text);
}

/* ---- the register ---------------------------------------------------------------------------- */

static void put_nothing(struct sg_table *table)
{
    for (int i = 0; i < 7; i++)
        sg_table_text(table, i == 0 ? "nothing was measured near it" : "");
    sg_table_number(table, SG_UNSET);
    sg_table_number(table, SG_UNSET);
    sg_table_number(table, SG_UNSET);
    sg_table_text(table, "");
    sg_table_text(table, "");
    sg_table_number(table, SG_UNSET);
    sg_table_text(table, "");
    sg_table_text(table, "");
}

static unsigned put_entry(struct sg_table *table, const struct sg_logbook *book,
                          const struct sg_logbook_entry *e)
{
    unsigned marks = 0;
    put_time(table, e->at.local_s);
    sg_table_text(table, book->site->receptor[e->at.receptor].name);
    sg_table_text(table, e->at.source ? sg_rows_file(e->at.source) : "");
    sg_table_number(table, e->at.into_s);
    if (e->v.verdict.set)
        marks = sg_rows_judged(table, &e->v);
    else
        put_nothing(table);
    sg_table_text(table, e->at.cause ? e->at.cause : "not known");
    sg_table_text(table, e->complaint ? e->complaint : "");
    sg_table_text(table, e->asks ? e->asks->id : "");
    sg_table_text(table, e->v.verdict.set ? e->v.verdict.reason : "");
    return marks;
}

sg_status sg_table_register(const struct sg_logbook *book, struct sg_table *out)
{
    static const struct sg_column columns[] = {
        { "time", "time", 0, false },
        { "receptor", "receptor", 0, false },
        { "source", "from", 0, false },
        { "into_s", NULL, 2, true },
        SG_JUDGED_COLUMNS,
        { "cause", "cause", 0, false },
        { "complaint", "complaint", 0, false },
        { "looked_into_by", NULL, 0, false },
        { "reason", NULL, 0, false },
    };
    unsigned seen = 0;
    sg_table_init(out, "register", "Register: values over their limits, and complaints", columns,
                  SG_COUNT(columns));
    for (size_t i = 0; i < book->nentry; i++)
        seen |= put_entry(out, book, &book->entry[i]);
    if (book->nentry == 0)
        sg_table_note(out, "Nothing to register.");
    else
        sg_table_note(out, "Clock time at the site. The cause is what stands in the table or the "
                           "pile log at that time, or the event of the recording nearest to it.");
    if (book->ncomplaint > 0)
        sg_table_note(out,
                      "A complaint stands beside the worst value within %.0f min of it at the "
                      "receptor, whatever that value is.",
                      book->near_s / 60.0);
    sg_report_marks_note(out, seen);
    return sg_report_table_status(out);
}

/* ---- days ------------------------------------------------------------------------------------ */

static void put_rules(struct sg_table *table, const struct sg_logbook_group *g)
{
    struct sg_text text = SG_TEXT_INIT;
    for (size_t i = 0; i < g->tally.nrule; i++)
        sg_text_printf(&text, "%s%g of %g days", i > 0 ? "; " : "", g->tally.rule[i].needed,
                       g->tally.rule[i].of);
    if (sg_is_set(g->share_level))
        sg_text_printf(&text, "%s%g %% may pass", text.length > 0 ? "; " : "", g->row->percent);
    sg_report_put_text(table, &text);
}

/* The most days over within a stretch, one figure a rule. */
static void put_most(struct sg_table *table, const struct sg_day_tally *tally)
{
    struct sg_text text = SG_TEXT_INIT;
    for (size_t i = 0; i < tally->nrule; i++)
        sg_text_printf(&text, "%s%zu", i > 0 ? "; " : "", tally->rule[i].most);
    sg_report_put_text(table, &text);
}

static void put_reached(struct sg_table *table, const struct sg_day_tally *tally)
{
    const struct sg_day_rule *first = NULL;
    for (size_t i = 0; i < tally->nrule; i++)
        if (tally->rule[i].reached && (!first || tally->rule[i].reached_on < first->reached_on))
            first = &tally->rule[i];
    if (first)
        put_date(table, first->reached_on);
    else
        sg_table_text(table, "");
}

static void put_group(struct sg_table *table, const struct sg_logbook *book,
                      const struct sg_logbook_group *g)
{
    const struct sg_day_tally *tally = &g->tally;
    enum sg_quantity quantity = g->worst.value.quantity;
    double worst = g->worst.value.central;
    sg_table_text(table, book->site->receptor[g->receptor].name);
    sg_table_text(table, g->set->id);
    sg_table_text(table, g->row->label);
    sg_table_text(table, g->row->id);
    sg_table_text(table, g->row->cite.locus);
    sg_table_number(table, (double)g->readings);
    sg_table_number(table, (double)g->over);
    sg_table_number(table, (double)g->open);
    sg_table_number_to(table, worst, sg_quantity_decimals(quantity, worst));
    sg_table_number_to(table, g->worst.verdict.limit,
                       sg_quantity_decimals(quantity, g->worst.verdict.limit));
    sg_table_text(table, sg_quantity_unit(quantity));
    sg_table_number(table, (double)tally->known);
    sg_table_number(table, (double)tally->over);
    sg_table_number(table, (double)tally->longest_over);
    put_rules(table, g);
    put_most(table, tally);
    put_reached(table, tally);
    sg_table_number(table, g->share_level);
    sg_table_text(table, sg_verdict_id(g->state));
    sg_report_put_marks(table, g->marks | sg_report_value_marks(&g->worst.value));
}

/* Sets that bound the days of work one after the other, of the receptor's own verdicts. */
static void note_running(struct sg_table *table, const struct sg_logbook *book)
{
    for (size_t i = 0; i < book->ngroup; i++) {
        const struct sg_logbook_group *g = &book->group[i];
        double most = g->set->consecutive_days;
        if (most > 0.0 && (double)g->tally.longest_known > most)
            sg_table_note(table, "%s: measured on %zu days running; %s has work on %g at most.",
                          book->site->receptor[g->receptor].name, g->tally.longest_known,
                          g->set->id, most);
    }
}

sg_status sg_table_days_over(const struct sg_logbook *book, struct sg_table *out)
{
    static const struct sg_column columns[] = {
        { "receptor", "receptor", 0, false },
        { "limit_set", "limit set", 0, false },
        { "limit_label", "limit", 0, false },
        { "limit_row", NULL, 0, false },
        { "clause", "clause", 0, false },
        { "readings", "read-\nings", 0, true },
        { "readings_over", "over", 0, true },
        { "readings_open", "not de-\nterminable", 0, true },
        { "worst", "worst", -1, true },
        { "limit", "limit\nvalue", -1, true },
        { "unit", NULL, 0, false },
        { "days", "days", 0, true },
        { "days_over", "days\nover", 0, true },
        { "days_running", "days over\nrunning", 0, true },
        { "rule", "rule", 0, false },
        { "most_days", "most days in\nsuch a stretch", 0, false },
        { "reached_on", "reached on", 0, false },
        { "share_level", NULL, 3, true },
        { "verdict", "verdict", 0, false },
        { "marks", "marks", 0, false },
    };
    unsigned seen = 0;
    sg_table_init(out, "days-over", "Days over each limit, as measured", columns,
                  SG_COUNT(columns));
    for (size_t i = 0; i < book->ngroup; i++) {
        put_group(out, book, &book->group[i]);
        seen |= book->group[i].marks | sg_report_value_marks(&book->group[i].worst.value);
    }
    sg_table_note(out, "Days without a reading are not known: they are counted neither as over nor "
                       "as kept. The verdict follows the rule of the limit; without one, the worst "
                       "reading. The rule of a set counts the days on which any of its values is "
                       "passed.");
    note_running(out, book);
    sg_report_marks_note(out, seen);
    return sg_report_table_status(out);
}

/* ---- measured beside predicted --------------------------------------------------------------- */

static void put_beside(struct sg_table *table, const struct sg_site *site,
                       const struct sg_beside *b)
{
    enum sg_quantity quantity = b->measured.quantity;
    bool level = sg_quantity_is_level(quantity);
    sg_table_text(table, site->receptor[b->receptor].name);
    sg_table_text(table, sg_rows_file(b->source));
    sg_table_text(table, sg_technique_id(b->technique));
    sg_table_text(table, sg_position_id(b->position));
    sg_table_text(table, sg_quantity_id(quantity));
    sg_table_number_to(table, b->measured.central,
                       sg_quantity_decimals(quantity, b->measured.central));
    sg_table_number_to(table, b->predicted.central,
                       sg_quantity_decimals(quantity, b->predicted.central));
    sg_table_number_to(table, b->predicted.upper,
                       sg_quantity_decimals(quantity, b->predicted.upper));
    sg_table_text(table, sg_quantity_unit(quantity));
    if (!sg_is_set(b->ratio))
        sg_table_text(table, "");
    else if (level)
        sg_table_printf(table, "%+.1f dB", b->measured.central - b->predicted.upper);
    else
        sg_table_printf(table, "x %.2f", b->ratio);
    sg_table_number(table, b->ratio);
    sg_table_text(table, b->state == SG_OVER     ? "above the prediction"
                         : b->state == SG_WITHIN ? "not above it"
                                                 : "not determinable");
    sg_report_put_marks(table, sg_report_value_marks(&b->predicted));
    sg_table_text(table, b->state == SG_OVER ? "" : b->reason);
}

sg_status sg_table_beside(const struct sg_site *site, const struct sg_beside_list *list,
                          struct sg_table *out)
{
    static const struct sg_column columns[] = {
        { "receptor", "receptor", 0, false },
        { "source", "from", 0, false },
        { "technique", "technique", 0, false },
        { "position", "position", 0, false },
        { "quantity", "quan-\ntity", 0, false },
        { "measured", "highest\nmeasured", -1, true },
        { "predicted_central", "predicted\ncentral", -1, true },
        { "predicted_upper", "predicted\nupper", -1, true },
        { "unit", NULL, 0, false },
        { NULL, "to\nupper", 0, false },
        { "ratio", NULL, 3, true },
        { "finding", "finding", 0, false },
        { "marks", "marks", 0, false },
        { "reason", "reason", 0, false },
    };
    unsigned seen = 0;
    sg_table_init(out, "beside", "Measured beside predicted", columns, SG_COUNT(columns));
    for (size_t i = 0; i < list->count; i++) {
        put_beside(out, site, &list->item[i]);
        seen |= sg_report_value_marks(&list->item[i].predicted);
    }
    sg_table_note(out, "Predicted: for the receptor, from the nearest pile and over the working "
                       "period. A sensor that stood elsewhere, or a short time, is no proof either "
                       "way; `fit` makes a law of the site from such values.");
    sg_report_marks_note(out, seen);
    return sg_report_table_status(out);
}
