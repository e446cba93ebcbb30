/* change_tables.c - what if, sensitivity, inverse questions and the monitoring plan as tables. */
#include "internal.h"
#include "stillground/report_works.h"

#include <math.h>

sg_status sg_table_changes(const struct sg_changes *changes, struct sg_table *out)
{
    static const struct sg_column columns[] = {
        { "method", "method", 0, false },     { "receptor", "receptor", 0, false },
        { "quantity", "quantity", 0, false }, { "before", "before", 2, true },
        { "after", "after", 2, true },        { "change", "change", 2, true },
        { "direction", "", 0, false },
    };
    static const char *const names[SG_CHANGE_END] = {
        [SG_CHANGE_PPV] = "PPV upper, mm/s",
        [SG_CHANGE_LAEQ] = "LAeq upper, dB",
        [SG_CHANGE_RATIO] = "governing ratio",
        [SG_CHANGE_DAYS] = "days of work",
    };
    sg_table_init(out, "changes", "What the change does", columns, SG_COUNT(columns));
    for (size_t i = 0; i < changes->count; i++) {
        const struct sg_change *c = &changes->change[i];
        sg_table_text(out, c->method);
        sg_table_text(out, c->receptor);
        sg_table_text(out, names[c->what]);
        sg_table_number(out, c->before);
        sg_table_number(out, c->after);
        sg_table_number(out, c->after - c->before);
        sg_table_text(out, c->rises ? "rises" : c->falls ? "falls" : "told on one side only");
    }
    sg_table_note(out, "%zu numbers compared, %zu differ.", changes->compared, changes->count);
    sg_table_note(out, "Does any predicted level rise? %s.",
                  changes->level_rises
                      ? "Yes: where consents know the two, this is a change to be consented to "
                        "(a dispensation), not a mere variation"
                      : "No: where consents know the two, this is a variation");
    if (changes->method_new + changes->method_gone + changes->receptor_new +
            changes->receptor_gone >
        0)
        sg_table_note(out,
                      "Not compared for want of a counterpart of the name: %zu new and %zu gone "
                      "methods, %zu new and %zu gone receptors. A new method or receptor may "
                      "raise a level.",
                      changes->method_new, changes->method_gone, changes->receptor_new,
                      changes->receptor_gone);
    return sg_report_table_status(out);
}

sg_status sg_table_sensitivity(const struct sg_study *study, const struct sg_sensitivity *list,
                               size_t count, struct sg_table *out)
{
    static const struct sg_column columns[] = {
        { "method", "method", 0, false },
        { "receptor", "governing\nreceptor", 0, false },
        { "input", "input", 0, false },
        { "ratio_less", "ratio with\n10 % less", 3, true },
        { "ratio", "ratio", 3, true },
        { "ratio_more", "ratio with\n10 % more", 3, true },
        { "exponent", "ratio grows with\nthe power", 2, true },
    };
    sg_table_init(out, "sensitivity", "What the governing ratio hangs on", columns,
                  SG_COUNT(columns));
    for (size_t i = 0; i < count; i++) {
        const struct sg_sensitivity *s = &list[i];
        sg_table_text(out, study->site->method[s->method].name);
        sg_table_text(out, study->site->receptor[s->receptor].name);
        sg_table_text(out, s->input);
        sg_table_number(out, s->less_ratio);
        sg_table_number(out, s->base_ratio);
        sg_table_number(out, s->more_ratio);
        sg_table_number(out, s->exponent);
    }
    sg_table_note(out,
                  "Upper value over the limit that governs each method, one input changed at a "
                  "time, the strongest first. A change of the ground acts in steps.");
    return sg_report_table_status(out);
}

/* ---- inverse questions ---- */

static void put_answer(struct sg_table *table, const struct sg_inverse_value *value)
{
    if (value->answer == SG_ANSWERED)
        sg_table_number(table, value->value);
    else if (value->answer == SG_ANSWER_ALWAYS)
        sg_table_text(table, value->why ? value->why : "kept whatever the value");
    else
        sg_table_text(table, value->why ? value->why : "no solution");
}

sg_status sg_table_inverse(const struct sg_inverse *list, size_t count, const char *title,
                           struct sg_table *out)
{
    static const struct sg_column columns[] = {
        { "limit_set", "limit set", 0, false },
        { "limit_row", "row", 0, false },
        { "limit", "limit", -1, true },
        { "value", "value\nnow", -1, true },
        { "unit", "unit", 0, false },
        { "least_distance_m", "least distance\nm", 2, true },
        { "highest_energy_kJ", "highest energy\nkJ", 2, true },
        { "running_minutes_a_day", "running time of the\nrig a day, min", 0, true },
        { "piles_a_day", "piles\na day", 0, true },
    };
    sg_table_init(out, "inverse", title, columns, SG_COUNT(columns));
    for (size_t i = 0; i < count; i++) {
        const struct sg_inverse *q = &list[i];
        sg_table_text(out, q->set ? q->set->id : "OWNER");
        sg_table_text(out, q->row ? q->row->label : q->set ? "no row" : "the owner's own value");
        sg_table_number(out, q->limit);
        sg_table_number(out, q->now);
        sg_table_text(out, q->row ? sg_quantity_unit(q->row->quantity) : q->set ? "" : "mm/s");
        put_answer(out, &q->distance_m);
        put_answer(out, &q->energy_kJ);
        put_answer(out, &q->minutes);
        put_answer(out, &q->piles);
    }
    sg_table_note(out,
                  "Distance and energy: of one pile in the ground of the pile that governs; put "
                  "forward again they give the limit back. Time: with all plant of the method "
                  "running in proportion, the rig at that pile; where a limit is averaged over "
                  "less than the shift, time and piles are those of one such averaging time.");
    for (size_t i = 0; i < count; i++) {
        if (list[i].row != NULL && list[i].row->purpose == SG_FOR_NOISE) {
            sg_table_note(out,
                          "Upper value of a level: central and %g times the combined scatter, "
                          "which the percentile does not move.",
                          sg_sound_number(SG_SOUND_COVERAGE));
            break;
        }
    }
    return sg_report_table_status(out);
}

/* ---- monitoring ---- */

sg_status sg_table_monitors(const struct sg_study *study, const struct sg_monitors *monitors,
                            struct sg_table *out)
{
    static const struct sg_column columns[] = {
        { "receptor", "receptor", 0, false },  { "quantity", "quantity", 0, false },
        { "position", "position", 0, false },  { "limit", "limit", 0, false },
        { "amber", "amber", -1, true },        { "red", "red", -1, true },
        { "unit", "unit", 0, false },          { "highest_ratio", "highest\n/ limit", 2, true },
        { "method", "by method", 0, false },   { "band_hz", "band\nHz", 0, false },
        { "range", "range\nup to", -1, true }, { "survey", "condition\nsurvey", 0, false },
        { "monitor", "monitor", 0, false },
    };
    sg_table_init(out, "monitors", "Monitoring plan", columns, SG_COUNT(columns));
    for (size_t i = 0; i < monitors->nwatch; i++) {
        const struct sg_watch *w = &monitors->watch[i];
        const struct sg_limit_row *row = w->verdict->row;
        sg_table_text(out, study->site->receptor[w->receptor].name);
        sg_table_text(out, sg_quantity_id(row->quantity));
        sg_table_text(out, sg_position_id(row->position));
        sg_table_printf(out, "%s: %s", w->verdict->set->id, row->label);
        bool level = sg_quantity_is_level(row->quantity);
        sg_table_number_to(out, w->amber, level ? 1 : 2);
        sg_table_number_to(out, w->red, level ? 1 : 2);
        sg_table_text(out, sg_quantity_unit(row->quantity));
        sg_table_number(out, w->ratio);
        sg_table_text(out, study->site->method[w->method].name);
        if (sg_is_set(w->band_low_hz))
            sg_table_printf(out, "%.0f to %.0f", w->band_low_hz, w->band_high_hz);
        else
            sg_table_text(out, level ? "by its standard" : "not known");
        sg_table_number_to(out, w->range, level ? 0 : 1);
        sg_table_text(out, w->survey ? "before the works" : "");
        size_t at = w->monitor == SIZE_MAX ? SIZE_MAX : monitors->at[w->monitor];
        if (at == i)
            sg_table_printf(out, "M%zu, here", w->monitor + 1);
        else if (at != SIZE_MAX)
            sg_table_printf(out, "M%zu, at %s", w->monitor + 1,
                            study->site->receptor[monitors->watch[at].receptor].name);
        else
            sg_table_text(out, "none");
    }
    sg_table_note(out, "%zu monitors stand for %zu watched places%s.", monitors->count,
                  monitors->nwatch, monitors->least == monitors->count ? "; no fewer can" : "");
    if (monitors->least < monitors->count)
        sg_table_note(out, "At least %zu are needed; the search was cut short.", monitors->least);
    sg_table_note(out,
                  "Amber %.0f %% and red %.0f %% of the limit as the site file sets them (80 and "
                  "100 %%: common practice, no source); a share of a level is one of the sound "
                  "pressure. At red work stops until the asset is looked at.",
                  study->site->monitoring.amber_percent, study->site->monitoring.red_percent);
    sg_table_note(out,
                  "A baseline at the same positions before the works, instruments within their "
                  "calibration, sensors fixed to what the limit is stated on (common practice). "
                  "Condition surveys by predicted trigger, not by distance.");
    return sg_report_table_status(out);
}
