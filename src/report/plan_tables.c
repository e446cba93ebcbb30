/* plan_tables.c - the choice of methods along the wall as tables. */
#include "internal.h"
#include "stillground/report_works.h"

#include <math.h>

static void put_stretch_place(struct sg_table *table, const struct sg_site *site, size_t first,
                              size_t last)
{
    sg_table_number(table, site->pile[first].chainage_m);
    sg_table_number(table, site->pile[last].chainage_m);
    sg_table_printf(table, "%s to %s", site->pile[first].name, site->pile[last].name);
    sg_table_number(table, (double)(last - first + 1));
}

static void put_limit(struct sg_table *table, const struct sg_pile_value *value)
{
    if (value->receptor == SIZE_MAX)
        sg_table_text(table, "none applies");
    else if (value->set && value->row)
        sg_table_printf(table, "%s: %s", value->set->id, value->row->label);
    else if (!sg_is_set(value->limit))
        sg_table_text(table, "nearer than 1 m: no relation holds");
    else
        sg_table_text(table, "the owner's own value");
}

static void put_layer(struct sg_table *table, const struct sg_suitability *ground)
{
    const struct sg_layer *layer = ground->layer;
    if (layer == NULL || ground->verdict == SG_SUITABLE) {
        sg_table_text(table, "");
        return;
    }
    double n = sg_layer_n(layer);
    if (sg_is_set(n))
        sg_table_printf(table, "%s %s from %.1f m, N %.0f", layer->soil->state, layer->soil->soil,
                        layer->top_m, n);
    else
        sg_table_printf(table, "%s %s from %.1f m", layer->soil->state, layer->soil->soil,
                        layer->top_m);
}

static const struct sg_pile_value *value_at(const struct sg_wall_values *v, size_t pile,
                                            size_t method)
{
    return &v->value[pile * v->nmethod + method];
}

sg_status sg_table_plan(const struct sg_plan *plan, struct sg_table *out)
{
    static const struct sg_column columns[] = {
        { "from_m", "from\nm", 1, true },
        { "to_m", "to\nm", 1, true },
        { "piles", "piles", 0, false },
        { "count", "count", 0, true },
        { "method", "method", 0, false },
        { "days", "days", 1, true },
        { "highest_ratio", "highest\n/ limit", 2, true },
        { "receptor", "at receptor", 0, false },
        { "limit", "limit", 0, false },
        { "piles_over", "piles\nover", 0, true },
        { "piles_marginal", "piles\nmarginal", 0, true },
        { "deciding_layer", "layer that decides\nthe ground", 0, false },
        { "reaction", "piles on a\nstand", 0, true },
    };
    const struct sg_wall_values *v = plan->values;
    unsigned seen = 0;
    size_t undetermined = 0;
    sg_table_init(out, "plan", "Methods along the wall", columns, SG_COUNT(columns));
    for (size_t i = 0; i < plan->nstretch; i++) {
        const struct sg_stretch *s = &plan->stretch[i];
        const struct sg_pile_value *worst = value_at(v, s->governing_pile, s->method);
        const struct sg_suitability *ground = &worst->ground;
        for (size_t k = s->first; k <= s->last; k++) {
            const struct sg_pile_value *value = value_at(v, k, s->method);
            undetermined += value->not_determinable > 0;
            if (value->ground.verdict > ground->verdict)
                ground = &value->ground;
        }
        seen |= worst->marks;
        put_stretch_place(out, v->site, s->first, s->last);
        sg_table_text(out, v->site->method[s->method].name);
        sg_table_number(out, s->days);
        sg_table_number(out, s->highest_ratio);
        sg_table_text(out,
                      worst->receptor == SIZE_MAX ? "" : v->site->receptor[worst->receptor].name);
        put_limit(out, worst);
        sg_table_number(out, (double)s->broken_piles);
        sg_table_number(out, (double)s->marginal_piles);
        put_layer(out, ground);
        bool starts = i == 0;
        size_t stand = starts ? sg_reaction_piles(v->site->method[s->method].technique) : 0;
        sg_table_number(out, (double)stand);
    }
    sg_table_note(out,
                  "Rig work of %.1f days in all, changes of method included; %s value held against "
                  "the limits%s.",
                  plan->days, v->confidence == SG_BY_UPPER ? "upper" : "central",
                  plan->wish.dose ? ", those on LAeq by the sum over a day's piles" : "");
    if (plan->wish.dose && plan->daily.feasible)
        sg_table_note(out,
                      "Days under the limits on LAeq: %.1f; no choice takes fewer than %.1f "
                      "(gap %.1f). Piles in order, one method a day.",
                      plan->daily.days, plan->daily.least_days,
                      plan->daily.days - plan->daily.least_days);
    else if (plan->wish.dose)
        sg_table_note(out,
                      "No choice keeps the limits on LAeq: pile %s cannot be reached. The "
                      "choice shown keeps the limits on vibration only.",
                      v->site->pile[plan->daily.blocked_pile].name);
    else
        sg_table_note(out, "Exact: no choice has fewer piles over a limit, or as few at less cost. "
                           "LAeq is taken for a whole shift at each pile.");
    if (undetermined > 0)
        sg_table_note(out,
                      "At %zu piles one limit or more is not determinable by the method chosen; "
                      "`predict` says why. Those limits have not been kept, only not judged.",
                      undetermined);
    sg_table_note(out, "Ground, and the stand for the first piles of a wall pressed in: common "
                       "practice, no source, unverified.");
    sg_report_marks_note(out, seen);
    return sg_report_table_status(out);
}

/* ---- what no method can do ---- */

static bool is_broken(const struct sg_plan *plan, size_t pile, size_t method)
{
    const struct sg_pile_value *value = value_at(plan->values, pile, method);
    double ratio = plan->wish.dose ? value->vibration_ratio : value->ratio;
    bool ground = value->ground.verdict != SG_UNSUITABLE &&
                  (plan->wish.marginal || value->ground.verdict != SG_MARGINAL);
    return !ground || !(ratio <= plan->wish.highest_ratio);
}

static bool none_can(const struct sg_plan *plan, size_t pile)
{
    for (size_t m = 0; m < plan->values->nmethod; m++) {
        if (!is_broken(plan, pile, m))
            return false;
    }
    return true;
}

/* The method with the lowest ratio; among those the ground allows first. */
static size_t mildest(const struct sg_plan *plan, size_t pile, bool by_ground)
{
    size_t found = SIZE_MAX;
    for (size_t m = 0; m < plan->values->nmethod; m++) {
        const struct sg_pile_value *value = value_at(plan->values, pile, m);
        if (by_ground && value->ground.verdict == SG_UNSUITABLE)
            continue;
        if (found == SIZE_MAX || value->ratio < value_at(plan->values, pile, found)->ratio)
            found = m;
    }
    return found;
}

static void put_help(struct sg_table *table, const struct sg_plan *plan, size_t pile, size_t method,
                     size_t mild)
{
    const struct sg_pile_value *value = value_at(plan->values, pile, method);
    struct sg_text text = SG_TEXT_INIT;
    double most = plan->wish.highest_ratio;
    if (value->ratio > most && isfinite(value->ratio) && value->row &&
        sg_quantity_is_level(value->row->quantity))
        sg_text_printf(&text,
                       "%.1f dB less, or a limit of %.0f dB with the owner's or the "
                       "authority's consent",
                       20 * log10(value->ratio / most), value->value);
    else if (value->ratio > most && isfinite(value->ratio))
        sg_text_printf(&text,
                       "the value brought to %.0f %% of the predicted one, or a limit of "
                       "%.2f with the owner's consent, or a trial pile that measures less",
                       100 * most / value->ratio, value->value);
    else if (value->ratio > most)
        sg_text_put(&text,
                    "another line of the wall, or the owner's engineer: no relation holds so "
                    "near");
    if (mild != SIZE_MAX && mild != method && !(value_at(plan->values, pile, mild)->ratio > most))
        sg_text_printf(&text, "%s%s, were the ground made fit for it",
                       text.length > 0 ? "; or " : "", plan->values->site->method[mild].name);
    if (text.length == 0)
        sg_text_put(&text, "a method or an aid that the ground allows");
    sg_table_text(table, sg_text_string(&text));
    table->failed = table->failed || text.failed;
    sg_text_release(&text);
}

static size_t last_alike(const struct sg_plan *plan, size_t first, size_t method)
{
    const struct sg_pile_value *value = value_at(plan->values, first, method);
    size_t last = first;
    while (last + 1 < plan->values->npile && none_can(plan, last + 1)) {
        size_t next = mildest(plan, last + 1, true);
        if (next == SIZE_MAX)
            next = mildest(plan, last + 1, false);
        const struct sg_pile_value *other = value_at(plan->values, last + 1, next);
        if (next != method || other->receptor != value->receptor || other->row != value->row)
            break;
        last++;
    }
    return last;
}

sg_status sg_table_plan_broken(const struct sg_plan *plan, struct sg_table *out)
{
    static const struct sg_column columns[] = {
        { "from_m", "from\nm", 1, true },
        { "to_m", "to\nm", 1, true },
        { "piles", "piles", 0, false },
        { "count", "count", 0, true },
        { "method", "mildest method\nthe ground allows", 0, false },
        { "receptor", "receptor", 0, false },
        { "limit", "limit", 0, false },
        { "highest_ratio", "highest\n/ limit", 2, true },
        { "help", "what would make it feasible", 0, false },
    };
    const struct sg_wall_values *v = plan->values;
    sg_table_init(out, "not-feasible",
                  "Piles that no method of the site file can do within the "
                  "limits",
                  columns, SG_COUNT(columns));
    for (size_t i = 0; i < v->npile;) {
        if (!none_can(plan, i)) {
            i++;
            continue;
        }
        size_t method = mildest(plan, i, true), mild = mildest(plan, i, false);
        bool unsuitable = method == SIZE_MAX;
        if (unsuitable)
            method = mild;
        size_t last = last_alike(plan, i, method), worst = i;
        for (size_t k = i; k <= last; k++)
            worst = value_at(v, k, method)->ratio > value_at(v, worst, method)->ratio ? k : worst;
        const struct sg_pile_value *value = value_at(v, worst, method);
        put_stretch_place(out, v->site, i, last);
        sg_table_text(out, unsuitable ? "none" : v->site->method[method].name);
        sg_table_text(out,
                      value->receptor == SIZE_MAX ? "" : v->site->receptor[value->receptor].name);
        put_limit(out, value);
        sg_table_number(out, value->ratio);
        put_help(out, plan, worst, method, mild);
        i = last + 1;
    }
    if (out->nrow == 0)
        sg_table_note(out, "None: every pile can be done by one method at least.");
    return sg_report_table_status(out);
}

sg_status sg_table_plan_front(const struct sg_plan *plan, struct sg_table *out)
{
    static const struct sg_column columns[] = {
        { "cost", "days, or\nweighted cost", 2, true },
        { "highest_ratio", "highest\n/ limit", 3, true },
        { "changes", "changes of\nmethod", 0, true },
        { "methods", "methods by share of the piles", 0, false },
    };
    const struct sg_wall_values *v = plan->values;
    sg_table_init(out, "front", "Days against highest ratio to a limit", columns,
                  SG_COUNT(columns));
    for (size_t i = 0; i < plan->nfront; i++) {
        const struct sg_wall_choice *c = &plan->front[i];
        struct sg_text text = SG_TEXT_INIT;
        for (size_t m = 0; m < v->nmethod; m++) {
            size_t count = 0;
            for (size_t k = 0; k < v->npile; k++)
                count += c->method[k] == m;
            if (count > 0)
                sg_text_printf(&text, "%s%s %.0f %%", text.length > 0 ? ", " : "",
                               v->site->method[m].name, 100.0 * (double)count / (double)v->npile);
        }
        sg_table_number(out, c->cost);
        sg_table_number(out, c->highest_ratio);
        sg_table_number(out, (double)c->changes);
        sg_table_text(out, sg_text_string(&text));
        out->failed = out->failed || text.failed;
        sg_text_release(&text);
    }
    sg_table_note(out,
                  "Each line is the cheapest choice that keeps its highest ratio, a tenth or "
                  "more below the line before; 1 is the limit.%s",
                  plan->front_more ? " More follow with lower ratios." : "");
    if (plan->nfront == 0)
        sg_table_note(out, "There is none: at some pile the ground stops every method.");
    return sg_report_table_status(out);
}

/* ---- ground ---- */

static bool same_ground(const struct sg_pile_value *a, const struct sg_pile_value *b)
{
    const struct sg_layer *la = a->ground.layer, *lb = b->ground.layer;
    bool layers = la == lb || (la && lb && la->soil == lb->soil);
    return a->ground.verdict == b->ground.verdict && layers;
}

sg_status sg_table_suitability(const struct sg_wall_values *values, struct sg_table *out)
{
    static const struct sg_column columns[] = {
        { "method", "method", 0, false },
        { "from_m", "from\nm", 1, true },
        { "to_m", "to\nm", 1, true },
        { "piles", "piles", 0, false },
        { "count", "count", 0, true },
        { "ground", "ground", 0, false },
        { "deciding_layer", "layer that decides", 0, false },
        { "band", "band", 0, false },
        { "settlement", "settlement", 0, false },
    };
    const struct sg_site *site = values->site;
    sg_table_init(out, "suitability", "Ground and methods", columns, SG_COUNT(columns));
    for (size_t m = 0; m < values->nmethod; m++) {
        enum sg_technique technique = site->method[m].technique;
        for (size_t i = 0, last; i < values->npile; i = last + 1) {
            const struct sg_pile_value *value = value_at(values, i, m);
            bool settle = false;
            for (last = i; last + 1 < values->npile; last++) {
                if (!same_ground(value, value_at(values, last + 1, m)))
                    break;
            }
            for (size_t k = i; k <= last; k++) {
                size_t b = site->pile[k].borehole;
                settle |= sg_technique_shakes(technique) && b < site->nborehole &&
                          sg_ground_may_settle(&site->borehole[b], site->pile[k].toe_depth_m);
            }
            sg_table_text(out, site->method[m].name);
            put_stretch_place(out, site, i, last);
            sg_table_text(out, sg_suitable_id(value->ground.verdict));
            put_layer(out, &value->ground);
            bool obstructed = value->ground.layer && sg_layer_obstructed(value->ground.layer);
            bool plain = value->ground.verdict == SG_SUITABLE || value->ground.row == NULL;
            sg_table_text(out, site->method[m].extract ? "extraction: no band is known"
                               : obstructed            ? sg_obstruction_find(technique)->note
                               : plain                 ? ""
                                                       : value->ground.row->note);
            sg_table_text(out, settle ? "caution" : "");
        }
    }
    sg_table_note(out, "By SPT N, kind of ground and obstructions as common practice has it, no "
                       "source, unverified; a trial pile or a specialist may overrule it.");
    sg_table_note(out,
                  "Settlement caution: loose saturated granular ground beside shaking methods; "
                  "no vibration limit covers settlement.");
    return sg_report_table_status(out);
}
