/* law_tables.c - what a law fitted to the site changes at every receptor, and the chance that a
 * limit is passed by one pile, on a day, by the whole wall.
 */
#include "internal.h"

#include "stillground/fit.h"

#include <math.h>

static bool has_law(const struct sg_study *study, size_t method)
{
    const struct sg_method *m = &study->site->method[method];
    return m->law != NULL || m->sound_law != NULL;
}

static const char *worst(const struct sg_outcome *outcome, size_t index)
{
    return index == SIZE_MAX ? "no limit applies" : sg_verdict_id(outcome->verdict[index].state);
}

static void put_change(struct sg_table *table, const struct sg_study *study,
                       const struct sg_value *before, const struct sg_value *after,
                       const char *verdict_before, const char *verdict_after)
{
    const struct sg_value *known = sg_is_set(after->central) ? after : before;
    bool level = sg_quantity_is_level(known->quantity);
    const double values[] = { before->central, before->upper, after->central, after->upper };
    (void)study;
    sg_table_text(table, sg_quantity_id(known->quantity));
    sg_table_text(table, sg_quantity_unit(known->quantity));
    for (size_t i = 0; i < SG_COUNT(values); i++)
        sg_table_number_to(table, values[i], sg_quantity_decimals(known->quantity, values[i]));
    if (level)
        sg_table_printf(table, "%+.1f dB", after->upper - before->upper);
    else if (sg_is_set(after->upper) && sg_is_set(before->upper))
        sg_table_printf(table, "x %.2f", after->upper / before->upper);
    else
        sg_table_text(table, "-");
    sg_table_text(table, verdict_before);
    sg_table_text(table, verdict_after);
}

static void put_pair(struct sg_table *table, const struct sg_study *study, size_t receptor,
                     size_t method, unsigned *seen)
{
    const struct sg_outcome *after = sg_study_outcome(study, method, receptor);
    const struct sg_outcome *before = sg_study_outcome(study->before, method, receptor);
    const struct sg_method *m = &study->site->method[method];
    for (int kind = 0; kind < 2; kind++) {
        bool sound = kind == 1;
        if (sound ? m->sound_law == NULL : m->law == NULL)
            continue;
        sg_table_text(table, study->site->receptor[receptor].name);
        sg_table_text(table, m->name);
        put_change(table, study, sound ? &before->laeq : &before->ppv,
                   sound ? &after->laeq : &after->ppv,
                   worst(before, sound ? before->governing_noise : before->governing_vibration),
                   worst(after, sound ? after->governing_noise : after->governing_vibration));
        unsigned marks = sg_report_value_marks(sound ? &after->laeq : &after->ppv);
        sg_report_put_marks(table, marks);
        *seen |= marks;
    }
}

sg_status sg_table_law_changes(const struct sg_study *study, struct sg_table *out)
{
    static const struct sg_column columns[] = {
        { "receptor", "receptor", 0, false },
        { "method", "method", 0, false },
        { "quantity", "quantity", 0, false },
        { "unit", "unit", 0, false },
        { "central_before", "published\ncentral", -1, true },
        { "upper_before", "published\nupper", -1, true },
        { "central_after", "site law\ncentral", -1, true },
        { "upper_after", "site law\nupper", -1, true },
        { "upper_change", "upper\nchanges by", 0, false },
        { "verdict_before", "worst verdict\nbefore", 0, false },
        { "verdict_after", "worst verdict\nafter", 0, false },
        { "marks", "marks", 0, false },
    };
    unsigned seen = 0;
    sg_table_init(out, "law_changes", "What the site laws change", columns, SG_COUNT(columns));
    for (size_t r = 0; r < study->nreceptor && study->before != NULL; r++)
        for (size_t m = 0; m < study->nmethod; m++)
            if (has_law(study, m))
                put_pair(out, study, r, m, &seen);
    for (size_t m = 0; m < study->nmethod; m++) {
        const struct sg_method *method = &study->site->method[m];
        const struct sg_site_law *law = method->law != NULL ? method->law : method->sound_law;
        if (law != NULL)
            sg_table_note(out, "%s: law '%s' (%s), from %s; data from %.4g to %.4g m.",
                          method->name, law->name, law->method, law->provenance, law->low_m,
                          law->high_m);
        for (size_t i = 0; law != NULL && i < law->nwarning; i++)
            sg_table_note(out, "Warning of law '%s': %s.", law->name, law->warning[i]);
    }
    sg_report_marks_note(out, seen);
    return sg_report_table_status(out);
}

/* The moment that a verdict is about: the one whose band holds the frequency it was read at. */
static const struct sg_moment *moment_of(const struct sg_outcome *outcome,
                                         const struct sg_verdict *v)
{
    for (size_t i = 0; i < outcome->nmoment && sg_is_set(v->frequency_hz); i++) {
        const struct sg_value *ppv = &outcome->moment[i].ppv;
        if (v->frequency_hz >= ppv->frequency_low_hz && v->frequency_hz <= ppv->frequency_high_hz)
            return &outcome->moment[i];
    }
    return outcome->nmoment > 0 ? &outcome->moment[0] : NULL;
}

/* The limit as a free-field velocity: turned back by the way the verdict took into the building. */
static double free_field_limit(const struct sg_moment *moment, const struct sg_verdict *v)
{
    if (moment == NULL || v->row == NULL || v->row->quantity != moment->ppv.quantity ||
        sg_quantity_is_level(v->row->quantity) || !(v->value_central > 0) || !(v->limit > 0))
        return SG_UNSET;
    return v->limit * moment->ppv.central / v->value_central;
}

static sg_status put_chances(struct sg_table *table, const struct sg_study *study,
                             const struct sg_outcome *outcome)
{
    for (size_t i = 0; i < outcome->nverdict; i++) {
        const struct sg_verdict *v = &outcome->verdict[i];
        struct sg_chance chance;
        const struct sg_moment *moment = moment_of(outcome, v);
        double limit = free_field_limit(moment, v);
        if (!sg_is_set(limit))
            continue;
        sg_status status = sg_chance_at(study->site, outcome->method, outcome->receptor,
                                        &moment->drive, limit, &chance);
        if (status == SG_ERR_DOMAIN) /* the published relation speaks at that moment */
            continue;
        if (!sg_ok(status))
            return status;
        sg_table_text(table, study->site->receptor[outcome->receptor].name);
        sg_table_text(table, study->site->method[outcome->method].name);
        sg_table_printf(table, "%s, %s", v->set->id, v->row->label);
        sg_table_number(table, v->limit);
        sg_table_number(table, limit);
        sg_table_number(table, 100.0 * chance.one);
        sg_table_number(table, 100.0 * chance.day);
        sg_table_number(table, chance.piles_a_day > 0 ? (double)chance.piles_a_day : SG_UNSET);
        sg_table_number(table, 100.0 * chance.wall);
        sg_table_number(table, (double)chance.piles);
    }
    return SG_OK;
}

sg_status sg_table_law_chances(const struct sg_study *study, struct sg_table *out)
{
    static const struct sg_column columns[] = {
        { "receptor", "receptor", 0, false },
        { "method", "method", 0, false },
        { "limit_row", "limit", 0, false },
        { "limit_mm_s", "limit\nmm/s", -1, true },
        { "limit_free_field_mm_s", "in the ground\nmm/s", -1, true },
        { "one_percent", "one pile\n%", 2, true },
        { "day_percent", "worst day\n%", 2, true },
        { "piles_a_day", "piles\na day", 0, true },
        { "wall_percent", "whole wall\n%", 2, true },
        { "piles", "piles", 0, true },
    };
    sg_table_init(out, "law_chances", "Chance that a limit is passed at least once", columns,
                  SG_COUNT(columns));
    sg_status status = SG_OK;
    for (size_t r = 0; r < study->nreceptor; r++)
        for (size_t m = 0; m < study->nmethod && sg_ok(status); m++)
            if (study->site->method[m].law != NULL)
                status = put_chances(out, study, sg_study_outcome(study, m, r));
    if (!sg_ok(status)) {
        sg_table_release(out);
        return status;
    }
    sg_table_note(out,
                  "One pile: the one with the highest central value. All piles share what is not "
                  "known of the line and the shared part of the scatter; the rest is each "
                  "pile's own. Worst day: the run of neighbouring piles of one working day "
                  "that brings most. The limit is read at the frequency of the verdict.");
    return sg_report_table_status(out);
}
