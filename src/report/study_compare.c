/* study_compare.c - methods side by side, stand-off distances and notifications as tables. */
#include "internal.h"

#include <string.h>

static unsigned verdict_marks(const struct sg_verdict *verdict)
{
    unsigned set = verdict == NULL ? 0 : verdict->marks;
    if (verdict != NULL && verdict->row != NULL && sg_grade_unverified(verdict->row->cite.grade))
        set |= (unsigned)SG_MARK_UNVERIFIED;
    return set;
}

static void put_governing(struct sg_table *table, const struct sg_study *study,
                          const struct sg_governing *governing)
{
    static const struct sg_verdict none = { .state = SG_VERDICT_END,
                                            .ratio_central = SG_UNSET,
                                            .ratio_upper = SG_UNSET };
    const struct sg_verdict *verdict = governing->verdict != NULL ? governing->verdict : &none;
    bool judged = verdict != &none && governing->receptor != SIZE_MAX;
    sg_table_text(table, judged ? study->site->receptor[governing->receptor].name : "");
    if (!judged || verdict->set == NULL)
        sg_table_text(table, "");
    else
        sg_table_printf(table, "%s: %s", verdict->set->id,
                        verdict->row == NULL ? "no row" : verdict->row->label);
    sg_report_put_against(table, verdict, verdict->value_central, verdict->ratio_central);
    sg_report_put_against(table, verdict, verdict->value_upper, verdict->ratio_upper);
    bool level = verdict->row != NULL && sg_quantity_is_level(verdict->row->quantity);
    sg_table_number(table, level ? SG_UNSET : verdict->ratio_central);
    sg_table_number(table, level ? SG_UNSET : verdict->ratio_upper);
    sg_table_number(table, level ? verdict->value_central - verdict->limit : SG_UNSET);
    sg_table_number(table, level ? verdict->value_upper - verdict->limit : SG_UNSET);
    double share = level ? sg_sound_exceedance(verdict->value_central, verdict->value_upper,
                                               verdict->limit, verdict->beside_db)
                         : SG_UNSET;
    sg_table_number(table, verdict->row != NULL && verdict->row->purpose == SG_FOR_NOISE
                               ? 100.0 * share
                               : SG_UNSET);
    sg_table_text(table, judged ? sg_verdict_id(verdict->state) : "no limit applies");
}

static void put_kind(struct sg_table *table, const struct sg_study *study, size_t method,
                     const char *kind, const struct sg_governing *governing, unsigned *seen)
{
    static const enum sg_verdict_state order[] = { SG_OVER, SG_LIKELY_WITHIN, SG_WITHIN,
                                                   SG_NOT_DETERMINABLE };
    unsigned set = verdict_marks(governing->verdict);
    *seen |= set;
    sg_table_text(table, study->site->method[method].name);
    sg_table_text(table, kind);
    put_governing(table, study, governing);
    for (size_t i = 0; i < SG_COUNT(order); i++)
        sg_table_number(table, (double)governing->receptors[order[i]]);
    sg_report_put_marks(table, set);
}

sg_status sg_table_comparison(const struct sg_study *study, struct sg_table *out)
{
    static const struct sg_column columns[] = {
        { "method", "method", 0, false },
        { "kind", "kind", 0, false },
        { "governing_receptor", "governing\nreceptor", 0, false },
        { "governing_limit", "governing limit", 0, false },
        { NULL, "central\nto limit", 0, false },
        { NULL, "upper\nto limit", 0, false },
        { "ratio_central", NULL, 3, true },
        { "ratio_upper", NULL, 3, true },
        { "excess_central_db", NULL, 1, true },
        { "excess_upper_db", NULL, 1, true },
        { "chance_over_percent", "chance\nover, %", 0, true },
        { "verdict", "worst\nverdict", 0, false },
        { "receptors_over", "over", 0, true },
        { "receptors_likely_within", "likely\nwithin", 0, true },
        { "receptors_within", "within", 0, true },
        { "receptors_not_determinable", "not deter-\nminable", 0, true },
        { "marks", "marks", 0, false },
    };
    unsigned seen = 0;
    sg_table_init(out, "comparison", "Methods side by side", columns, SG_COUNT(columns));
    for (size_t i = 0; i < study->nmethod; i++) {
        const struct sg_method_summary *summary = &study->summary[i];
        put_kind(out, study, summary->method, "vibration", &summary->vibration, &seen);
        put_kind(out, study, summary->method, "noise", &summary->noise, &seen);
    }
    sg_table_note(out,
                  "The last columns count receptors by their worst verdict of that kind. chance "
                  "over: of noise, from the scatter behind the upper value (common practice).");
    sg_report_marks_note(out, seen);
    return sg_report_table_status(out);
}

static void put_ground(struct sg_table *table, const struct sg_method_summary *summary)
{
    static const enum sg_suitable order[] = { SG_SUITABLE, SG_MARGINAL, SG_UNSUITABLE,
                                              SG_SUITABILITY_UNKNOWN };
    const struct sg_layer *layer = summary->worst_layer;
    for (size_t i = 0; i < SG_COUNT(order); i++)
        sg_table_number(table, (double)summary->piles[order[i]]);
    if (layer == NULL || layer->soil == NULL) {
        sg_table_text(table, "");
        return;
    }
    struct sg_text text = SG_TEXT_INIT;
    sg_text_printf(&text, "%s %s from ", layer->soil->state, layer->soil->soil);
    sg_text_put_number(&text, layer->top_m, 1);
    sg_text_put(&text, " m");
    if (sg_is_set(layer->spt_n)) {
        sg_text_put(&text, ", N ");
        sg_text_put_number(&text, layer->spt_n, 0);
    }
    sg_table_text(table, sg_text_string(&text));
    table->failed = table->failed || text.failed;
    sg_text_release(&text);
}

sg_status sg_table_programme(const struct sg_study *study, struct sg_table *out)
{
    static const struct sg_column columns[] = {
        { "method", "method", 0, false },
        { "minutes_per_pile", "minutes\na pile", 0, true },
        { "days", "work\ndays", 0, true },
        { "piles_suitable", "piles\nsuitable", 0, true },
        { "piles_marginal", "piles\nmarginal", 0, true },
        { "piles_unsuitable", "piles\nunsuitable", 0, true },
        { "piles_unknown", "ground not\nknown", 0, true },
        { "deciding_layer", "deciding layer", 0, false },
        { "settlement", "settlement", 0, false },
    };
    sg_table_init(out, "programme", "Days of work and ground", columns, SG_COUNT(columns));
    for (size_t i = 0; i < study->nmethod; i++) {
        const struct sg_method_summary *summary = &study->summary[i];
        sg_table_text(out, study->site->method[summary->method].name);
        sg_table_number(out, study->site->method[summary->method].minutes_per_pile);
        sg_table_number(out, summary->days);
        put_ground(out, summary);
        sg_table_text(out, summary->settlement_caution ? "caution" : "");
    }
    sg_table_note(out, "Days: piles times minutes a pile over the net working time of a shift. "
                       "Ground suitability by blow count: common practice, no source, unverified.");
    sg_table_note(out, "Settlement caution: loose saturated granular ground and a method that "
                       "shakes it; no vibration limit covers settlement.");
    return sg_report_table_status(out);
}

static void put_standoff(struct sg_table *table, const struct sg_study *study,
                         const struct sg_standoff *standoff, unsigned *seen)
{
    const struct sg_limit_row *row = standoff->row;
    unsigned set = standoff->marks;
    if (row != NULL && sg_grade_unverified(row->cite.grade))
        set |= (unsigned)SG_MARK_UNVERIFIED;
    *seen |= set;
    int decimals = row == NULL ? 2 : sg_quantity_decimals(row->quantity, standoff->limit);
    sg_table_text(table, study->site->method[standoff->method].name);
    sg_table_text(table, standoff->set == NULL ? "" : standoff->set->id);
    sg_table_text(table, row == NULL ? "" : row->label);
    sg_table_number_to(table, standoff->limit, decimals);
    sg_table_text(table, row == NULL ? "" : sg_quantity_unit(row->quantity));
    sg_table_number(table, standoff->frequency_hz);
    sg_table_number(table, standoff->central_m);
    sg_table_number(table, standoff->upper_m);
    sg_report_put_marks(table, set);
    if (standoff->why != NULL)
        sg_table_text(table, standoff->why);
    else
        sg_table_text(table,
                      standoff->below_1m ? "kept already at the nearest distance allowed" : "");
}

sg_status sg_table_standoffs(const struct sg_study *study, struct sg_table *out)
{
    static const struct sg_column columns[] = {
        { "method", "method", 0, false },
        { "limit_set", "limit set", 0, false },
        { "limit_row", "row", 0, false },
        { "limit", "limit", -1, true },
        { "unit", "unit", 0, false },
        { "frequency_hz", "read at\nHz", 1, true },
        { "standoff_central_m", "central value\nfrom, m", 1, true },
        { "standoff_upper_m", "upper value\nfrom, m", 1, true },
        { "marks", "marks", 0, false },
        { "reason", "reason", 0, false },
    };
    unsigned seen = 0;
    sg_table_init(out, "standoffs", "Least distance at which each limit is kept", columns,
                  SG_COUNT(columns));
    for (size_t i = 0; i < study->nstandoff; i++)
        put_standoff(out, study, &study->standoff[i], &seen);
    sg_table_note(out, "Plan distance from the pile. Beyond the first distance the central value "
                       "keeps the limit, beyond the second the upper value does.");
    sg_table_note(out, "For the ground of the whole site and the technique's own frequencies, free "
                       "field, no screen; a frequency given for one receptor is not used here.");
    sg_report_marks_note(out, seen);
    return sg_report_table_status(out);
}

static bool jurisdiction_asked_for(const struct sg_site *site, const char *jurisdiction)
{
    bool any = site->jurisdiction == NULL || site->jurisdiction[0] == '\0';
    return any || sg_same(site->jurisdiction, jurisdiction);
}

static void put_notification(struct sg_table *table, const struct sg_method *method,
                             const struct sg_notification_row *row)
{
    bool unverified = !row->confirmed || sg_grade_unverified(row->cite.grade);
    sg_table_text(table, method->name);
    sg_table_text(table, sg_technique_id(method->technique));
    sg_table_text(table, row->jurisdiction);
    sg_table_text(table, row->act);
    sg_table_text(table, row->needed ? "yes" : "no");
    sg_table_text(table, unverified ? "U" : "");
    sg_table_printf(table, "%s, %s (%s)", row->cite.document, row->cite.locus,
                    sg_grade_name(row->cite.grade));
    sg_table_text(table, row->note == NULL ? "" : row->note);
}

sg_status sg_table_notifications(const struct sg_study *study, struct sg_table *out)
{
    static const struct sg_column columns[] = {
        { "method", "method", 0, false },
        { "technique", "technique", 0, false },
        { "jurisdiction", "jurisdiction", 0, false },
        { "act", "act", 0, false },
        { "needed", "must be\nnotified", 0, false },
        { "marks", "marks", 0, false },
        { "source", "source", 0, false },
        { "note", "note", 0, false },
    };
    const struct sg_site *site = study->site;
    bool unverified = false;
    sg_table_init(out, "notifications", "Notification duties that are known", columns,
                  SG_COUNT(columns));
    for (size_t i = 0; i < site->nmethod; i++) {
        for (size_t k = 0; k < sg_notification_count(); k++) {
            const struct sg_notification_row *row = sg_notification_at(k);
            if (row->technique != site->method[i].technique ||
                !jurisdiction_asked_for(site, row->jurisdiction))
                continue;
            put_notification(out, &site->method[i], row);
            unverified = unverified || !row->confirmed || sg_grade_unverified(row->cite.grade);
        }
    }
    sg_table_note(out, "Only the duties known to the catalogue; ask the authority in every case.");
    if (unverified)
        sg_report_marks_note(out, (unsigned)SG_MARK_UNVERIFIED);
    return sg_report_table_status(out);
}
