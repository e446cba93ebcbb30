/* options_matrix.c - the options matrix of a method statement: a row a question, a column a
 * method. What
 * nobody computed and nobody entered is `not assessed`, never a blank. Questions: common
 * practice. */
#include "internal.h"
#include "stillground/report_works.h"

#include <math.h>

static const char not_assessed[] = "not assessed";

typedef void answer_fn(const struct sg_study *study, size_t method, struct sg_table *table);

static const struct sg_verdict *governing(const struct sg_study *study, size_t m, bool noise)
{
    const struct sg_method_summary *s = &study->summary[m];
    return noise ? s->noise.verdict : s->vibration.verdict;
}

static void put_governing(const struct sg_study *study, size_t m, bool noise,
                          struct sg_table *table)
{
    const struct sg_method_summary *s = &study->summary[m];
    const struct sg_verdict *v = governing(study, m, noise);
    size_t receptor = noise ? s->noise.receptor : s->vibration.receptor;
    if (v != NULL && v->state == SG_NOT_DETERMINABLE) {
        sg_table_printf(table, "not determinable: %s", v->reason);
        return;
    }
    if (v == NULL || v->row == NULL || !sg_is_set(v->value_upper) || receptor == SIZE_MAX) {
        sg_table_text(table, not_assessed);
        return;
    }
    sg_table_printf(table, "%s: central %.*f, upper %.*f %s; limit %.*f (%s)",
                    study->site->receptor[receptor].name, noise ? 1 : 2, v->value_central,
                    noise ? 1 : 2, v->value_upper, sg_quantity_unit(v->row->quantity),
                    noise ? 1 : 2, v->limit, v->set->id);
}

static void vibration(const struct sg_study *study, size_t m, struct sg_table *table)
{
    put_governing(study, m, false, table);
}

static void noise(const struct sg_study *study, size_t m, struct sg_table *table)
{
    put_governing(study, m, true, table);
}

static void put_margin(const struct sg_verdict *v, struct sg_table *table)
{
    if (v == NULL || v->row == NULL || !sg_is_set(v->ratio_upper))
        sg_table_text(table, not_assessed);
    else if (sg_quantity_is_level(v->row->quantity))
        sg_table_printf(table, "%+.1f dB, %s", v->limit - v->value_upper, sg_verdict_id(v->state));
    else
        sg_table_printf(table, "limit / upper value %.2f, %s", 1 / v->ratio_upper,
                        sg_verdict_id(v->state));
}

static void vibration_margin(const struct sg_study *study, size_t m, struct sg_table *table)
{
    put_margin(governing(study, m, false), table);
}

static void noise_margin(const struct sg_study *study, size_t m, struct sg_table *table)
{
    put_margin(governing(study, m, true), table);
}

/* Stand-off distance of the limit that governs the vibration. */
static void stand_off(const struct sg_study *study, size_t m, struct sg_table *table)
{
    const struct sg_verdict *v = governing(study, m, false);
    for (size_t i = 0; v != NULL && i < study->nstandoff; i++) {
        const struct sg_standoff *s = &study->standoff[i];
        if (s->method == m && s->row == v->row && sg_is_set(s->upper_m)) {
            sg_table_printf(table, "%.1f m (central %.1f m)", s->upper_m, s->central_m);
            return;
        }
    }
    sg_table_text(table, not_assessed);
}

static void doses(const struct sg_study *study, size_t m, struct sg_table *table)
{
    (void)study;
    (void)m;
    sg_table_text(table, not_assessed);
}

static void days(const struct sg_study *study, size_t m, struct sg_table *table)
{
    if (sg_is_set(study->summary[m].days))
        sg_table_printf(table, "%.0f", study->summary[m].days);
    else
        sg_table_text(table, not_assessed);
}

static void ground(const struct sg_study *study, size_t m, struct sg_table *table)
{
    const size_t *piles = study->summary[m].piles;
    sg_table_printf(table, "piles: %zu suitable, %zu marginal, %zu unsuitable, %zu not known",
                    piles[SG_SUITABLE], piles[SG_MARGINAL], piles[SG_UNSUITABLE],
                    piles[SG_SUITABILITY_UNKNOWN]);
}

static void settlement(const struct sg_study *study, size_t m, struct sg_table *table)
{
    sg_table_text(table, study->summary[m].settlement_caution ? "caution: loose saturated ground"
                                                              : "no flag raised by the rule");
}

static void reaction(const struct sg_study *study, size_t m, struct sg_table *table)
{
    size_t piles = sg_reaction_piles(study->site->method[m].technique);
    if (piles > 0)
        sg_table_printf(table, "stand with weights for the first %zu to %zu piles",
                        sg_reaction()->piles_low, sg_reaction()->piles_high);
    else
        sg_table_text(table, "none");
}

static void put_metres(double value, struct sg_table *table)
{
    if (value > 0)
        sg_table_printf(table, "%.1f m", value);
    else
        sg_table_text(table, not_assessed);
}

static void width(const struct sg_study *study, size_t m, struct sg_table *table)
{
    put_metres(study->site->method[m].working_width_m, table);
}

static void headroom(const struct sg_study *study, size_t m, struct sg_table *table)
{
    put_metres(study->site->method[m].headroom_m, table);
}

static void put_words(const char *words, struct sg_table *table)
{
    sg_table_text(table, words != NULL && words[0] != '\0' ? words : not_assessed);
}

static void platform(const struct sg_study *study, size_t m, struct sg_table *table)
{
    put_words(study->site->method[m].platform, table);
}

static void spoil(const struct sg_study *study, size_t m, struct sg_table *table)
{
    put_words(study->site->method[m].spoil, table);
}

static void topple(const struct sg_study *study, size_t m, struct sg_table *table)
{
    const struct sg_site *site = study->site;
    double radius = site->method[m].topple_radius_m, nearest = SG_INFINITY;
    size_t which = SIZE_MAX;
    for (size_t r = 0; r < site->nreceptor; r++) {
        for (size_t i = 0; site->receptor[r].use == SG_USE_RAIL && i < site->npile; i++) {
            double away = sg_site_distance_m(&site->receptor[r], site->pile[i].at);
            which = away < nearest ? r : which;
            nearest = fmin(nearest, away);
        }
    }
    if (which == SIZE_MAX)
        sg_table_text(table, "no rail asset among the receptors");
    else if (!(radius > 0))
        sg_table_printf(table, "%s; %s is %.1f m away", not_assessed, site->receptor[which].name,
                        nearest);
    else
        sg_table_printf(table, "%.1f m %s %s at %.1f m", radius,
                        radius >= nearest ? "reaches" : "stays clear of",
                        site->receptor[which].name, nearest);
}

static void water(const struct sg_study *study, size_t m, struct sg_table *table)
{
    const struct sg_method *method = &study->site->method[m];
    if (method->water_flow_l_min > 0)
        sg_table_printf(table, "%.0f l/min", method->water_flow_l_min);
    else
        sg_table_text(table, method->technique == SG_PRESS_IN_JETTING ? not_assessed : "none");
}

static void notification(const struct sg_study *study, size_t m, struct sg_table *table)
{
    struct sg_text text = SG_TEXT_INIT;
    for (size_t i = 0; i < sg_notification_count(); i++) {
        const struct sg_notification_row *row = sg_notification_at(i);
        if (row->technique == study->site->method[m].technique)
            sg_text_printf(&text, "%s%s, %s: %s%s", text.length > 0 ? "; " : "", row->jurisdiction,
                           row->act, row->needed ? "yes" : "no",
                           row->confirmed ? "" : " (unconfirmed)");
    }
    put_words(sg_text_string(&text), table);
    table->failed = table->failed || text.failed;
    sg_text_release(&text);
}

static const struct {
    const char *question;
    answer_fn *answer;
} questions[] = {
    { "vibration that governs", vibration },
    { "margin, vibration", vibration_margin },
    { "stand-off for that limit", stand_off },
    { "noise that governs", noise },
    { "margin, noise", noise_margin },
    { "vibration doses", doses },
    { "days of work", days },
    { "ground", ground },
    { "settlement", settlement },
    { "reaction and start-up", reaction },
    { "working width beside the wall", width },
    { "headroom", headroom },
    { "temporary platform or works", platform },
    { "topple radius against the rail", topple },
    { "spoil", spoil },
    { "water", water },
    { "notification by method", notification },
};

sg_status sg_table_options(const struct sg_study *study, struct sg_table *out)
{
    struct sg_arena arena = SG_ARENA_INIT;
    struct sg_column *column = sg_arena_alloc(&arena, study->nmethod + 1, sizeof *column);
    if (column == NULL) {
        sg_table_init(out, "options", "", NULL, 0);
        return SG_ERR_NOMEM;
    }
    column[0] = (struct sg_column){ "question", "", 0, false };
    for (size_t m = 0; m < study->nmethod; m++)
        column[m + 1] = (struct sg_column){ study->site->method[m].name,
                                            study->site->method[m].name, 0, false };
    sg_table_init(out, "options", "Options matrix", column, study->nmethod + 1);
    out->column = sg_arena_alloc(&out->arena, study->nmethod + 1, sizeof *column);
    for (size_t m = 0; out->column != NULL && m <= study->nmethod; m++)
        ((struct sg_column *)out->column)[m] = column[m];
    sg_arena_release(&arena);
    if (out->column == NULL)
        return SG_ERR_NOMEM;
    for (size_t i = 0; i < SG_COUNT(questions); i++) {
        sg_table_text(out, questions[i].question);
        for (size_t m = 0; m < study->nmethod; m++)
            questions[i].answer(study, m, out);
    }
    sg_table_note(out,
                  "Upper values: %.0f %% wanted. Not assessed: neither computed nor entered in "
                  "the site file; somebody has to.",
                  study->site->percentile);
    return sg_report_table_status(out);
}
