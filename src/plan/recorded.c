/* recorded.c - measured figures as values, judged by the limits of a site.
 *
 * Each axis is held against the limit at its own peak's frequency, because the largest component
 * need not be the critical one (DIN 4150-3, 4.3). Where zero crossing and spectrum disagree by more
 * than a fifth, both ends are looked at and the lower limit counts (common practice, no source).
 */
#include "recorded_internal.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define MOMENT_H 1e-6

void sg_recorded_release(struct sg_recorded *recorded)
{
    sg_arena_release(&recorded->arena);
    *recorded = SG_RECORDED_INIT;
}

void sg_recorded_hiding(const struct sg_quality_found *found, char *text, size_t size)
{
    size_t used = 0;
    text[0] = '\0';
    for (unsigned q = 0; q < SG_QUALITY_END; q++) {
        const struct sg_quality_row *row = sg_quality_row((enum sg_quality)q);
        if (found->times[q] == 0 || !row->hides_exceedance || used + 8 > size)
            continue;
        int more = snprintf(text + used, size - used, "%s%s", used > 0 ? ", " : "", row->code);
        used += more > 0 ? (size_t)more : 0;
    }
}

static sg_status add(struct sg_recorded *out, const struct sg_recorded_verdict *item)
{
    if (out->count == out->capacity) {
        size_t more = out->capacity > 0 ? 2 * out->capacity : 16;
        struct sg_recorded_verdict *grown = sg_arena_alloc(&out->arena, more, sizeof *grown);
        if (!grown)
            return SG_ERR_NOMEM;
        if (out->count > 0)
            memcpy(grown, out->item, out->count * sizeof *grown);
        out->item = grown;
        out->capacity = more;
    }
    out->item[out->count++] = *item;
    return SG_OK;
}

/* ---- values ---------------------------------------------------------------------------------- */

static struct sg_value sound_value(const struct sg_recorded_judging *j,
                                   const struct sg_limit_row *row)
{
    const struct sg_sound_figures *f = &j->measured->sound;
    bool peak = row && row->quantity == SG_Q_LAFMAX;
    bool without = !peak && j->as->residual_db > 0;
    double laeq_db =
        without ? sg_sound_without_residual(f->laeq_db, j->as->residual_db, NULL) : f->laeq_db;
    struct sg_value value = sg_recorded_value(j, peak ? SG_Q_LAFMAX : SG_Q_LAEQ, SG_AXES_NONE,
                                              peak ? f->lafmax_db : laeq_db);
    value.marks |= without ? (unsigned)SG_MARK_USER : 0u;
    return value;
}

/* ---- one row --------------------------------------------------------------------------------- */

/* A value on the ground goes into the building as a predicted one does. */
static struct sg_value at_row(const struct sg_recorded_judging *j, const struct sg_limit_row *row,
                              struct sg_value value)
{
    struct sg_value moved = value;
    bool ground =
        value.quantity == SG_Q_PPV || value.quantity == SG_Q_PVS || value.quantity == SG_Q_VSC;
    if (!row || !ground || value.position != SG_AT_FREE_FIELD || value.position == row->position ||
        !sg_is_set(value.central))
        return value;
    struct sg_into_building into = sg_building_of(j->receptor, row->purpose);
    (void)sg_vibration_into(&value, &into, row->position, &moved, NULL);
    moved.marks |= SG_MARK_ESTIMATE;
    return moved;
}

/* What was made of the sound that is there without the works (ISO 1996-2:2017, Eq. (16)). */
static void note_residual(const struct sg_recorded_judging *j, const struct sg_limit_row *row,
                          struct sg_verdict *verdict)
{
    bool bound;
    double with_db = j->measured->sound.laeq_db;
    if (!j->measured->is_sound || !(j->as->residual_db > 0) || !row || row->quantity != SG_Q_LAEQ ||
        verdict->state == SG_NOT_DETERMINABLE)
        return;
    double level_db = sg_sound_without_residual(with_db, j->as->residual_db, &bound);
    size_t used = strlen(verdict->reason), left = sizeof verdict->reason - used;
    const char *joint = used > 0 ? "; " : "";
    if (!bound) {
        snprintf(verdict->reason + used, left,
                 "%smeasured %.1f dB(A) with residual sound of %.1f: %.1f of the works", joint,
                 with_db, j->as->residual_db, level_db);
        return;
    }
    if (verdict->state == SG_OVER) /* an upper bound proves no exceedance */
        verdict->state = SG_NOT_DETERMINABLE;
    snprintf(verdict->reason + used, left,
             "%sresidual sound of %.1f dB(A) is nearer than %g dB: the works are at most %.1f",
             joint, j->as->residual_db, sg_sound_number(SG_SOUND_RESIDUAL_DB), with_db);
}

static void lower(const char *hiding, struct sg_verdict *verdict)
{
    if (hiding[0] == '\0' || verdict->state == SG_OVER || verdict->state == SG_NOT_DETERMINABLE)
        return;
    verdict->state = SG_NOT_DETERMINABLE;
    snprintf(verdict->reason, sizeof verdict->reason,
             "the recording has findings that could hide an exceedance: %s", hiding);
}

/* A level that was measured for a shorter time than the limit averages over. */
static void note_time(const struct sg_recorded_judging *j, const struct sg_limit_row *row,
                      struct sg_verdict *verdict)
{
    double asked_s = row ? row->averaging_h * 3600.0 : 0.0;
    if (!row || row->quantity != SG_Q_LAEQ || !(asked_s > j->measured->seconds) ||
        verdict->state == SG_NOT_DETERMINABLE)
        return;
    verdict->marks |= SG_MARK_ESTIMATE;
    size_t used = strlen(verdict->reason);
    snprintf(
        verdict->reason + used, sizeof verdict->reason - used,
        "%smeasured over %.0f s; the limit averages over %.3g h, and the level is taken to last",
        used > 0 ? "; " : "", j->measured->seconds, row->averaging_h);
}

static void note_ground(const struct sg_value *measured, const struct sg_limit_row *row,
                        const struct sg_value *judged, struct sg_verdict *verdict)
{
    if (row && verdict->state != SG_NOT_DETERMINABLE && verdict->reason[0] == '\0' &&
        measured->position != judged->position)
        snprintf(verdict->reason, sizeof verdict->reason,
                 "measured at %s; taken to %s as predictions are",
                 sg_position_id(measured->position), sg_position_id(judged->position));
}

static void finish(const struct sg_recorded_judging *j, const struct sg_limit_set *set,
                   const struct sg_judged *judged, struct sg_recorded_verdict *out)
{
    char hiding[96];
    sg_recorded_hiding(&j->measured->quality, hiding, sizeof hiding);
    out->verdict.period = judged->period;
    if (sg_limit_set_find(set->id) != set) /* the user's own set, whatever it cites */
        out->verdict.marks |= SG_MARK_USER;
    lower(hiding, &out->verdict);
}

static void judge_value(struct sg_recorded_judging *j, const struct sg_limit_set *set,
                        const struct sg_limit_row *row, const struct sg_judged *judged,
                        const struct sg_value *measured, enum sg_axis axis,
                        struct sg_recorded_verdict *out)
{
    out->axis = axis;
    out->value = at_row(j, row, *measured);
    sg_judge(set, row, judged, &out->value, &out->verdict, NULL);
    note_ground(measured, row, &out->value, &out->verdict);
    note_time(j, row, &out->verdict);
    note_residual(j, row, &out->verdict);
    finish(j, set, judged, out);
}

/* Says how long the recorded vibration was taken to last, where a dose decides. */
static void note_dose(const struct sg_recorded_judging *j, const struct sg_limit_set *set,
                      const struct sg_limit_row *row, const struct sg_judged *judged,
                      struct sg_recorded_verdict *out)
{
    struct sg_verdict *verdict = &out->verdict;
    bool by_steps = row->rule == SG_RULE_TWO_STEP && verdict->reason[0] != '\0';
    if ((row->quantity != SG_Q_VDV && !by_steps) || verdict->state == SG_NOT_DETERMINABLE)
        return;
    struct sg_exposure exposure = sg_recorded_exposure(j, set, judged->period);
    size_t used = strlen(verdict->reason);
    if (exposure.all_s > j->measured->seconds)
        snprintf(verdict->reason + used, sizeof verdict->reason - used,
                 "%s%.0f s recorded, taken to last %.3g h of the period", used > 0 ? "; " : "",
                 j->measured->seconds, exposure.all_s / 3600.0);
    if (by_steps) { /* the dose decided: it stands beside its limit */
        out->value.quantity = SG_Q_KBF_TR;
        out->value.central = verdict->value_central;
        out->value.upper = verdict->value_upper;
    }
}

void sg_recorded_incomplete(size_t seen, size_t needed, struct sg_verdict *verdict)
{
    if (seen >= needed || verdict->state == SG_OVER || verdict->state == SG_NOT_DETERMINABLE)
        return;
    verdict->state = SG_NOT_DETERMINABLE;
    snprintf(verdict->reason, sizeof verdict->reason,
             "%zu of %zu axes were measured; another may be larger", seen, needed);
}

/* The dose of the axis goes with a two-step limit. */
static void judge_axis(struct sg_recorded_judging *j, const struct sg_limit_set *set,
                       const struct sg_limit_row *row, const struct sg_judged *judged, size_t axis,
                       struct sg_recorded_verdict *out)
{
    struct sg_judged with_dose = *judged;
    struct sg_dose_value dose;
    struct sg_value value = sg_recorded_axis_value(j, set, row, judged, axis);
    if (row->rule == SG_RULE_TWO_STEP && sg_recorded_dose(j, set, row, judged->period, axis, &dose))
        with_dose.dose = &dose;
    judge_value(j, set, row, &with_dose, &value, j->measured->vibration.axis_of[axis], out);
    note_dose(j, set, row, judged, out);
}

/* Every axis that the row asks about; the worst verdict stays. */
static void judge_axes(struct sg_recorded_judging *j, const struct sg_limit_set *set,
                       const struct sg_limit_row *row, const struct sg_judged *judged,
                       struct sg_recorded_verdict *out)
{
    const struct sg_vibration_figures *f = &j->measured->vibration;
    enum sg_axes asked = row->quantity == SG_Q_VL_JP ? SG_AXES_VERTICAL : row->axes;
    size_t seen = 0;
    for (size_t i = 0; i < f->naxis; i++) {
        struct sg_recorded_verdict one;
        if (!sg_recorded_asks(asked, f->axis_of[i]))
            continue;
        judge_axis(j, set, row, judged, i, &one);
        if (seen++ == 0 || sg_verdict_compare(&one.verdict, &out->verdict) < 0)
            *out = one;
    }
    if (seen == 0) {
        struct sg_value none = sg_recorded_value(j, row->quantity, row->axes, SG_UNSET);
        none.why = "the axis that the limit is stated on was not measured";
        judge_value(j, set, row, judged, &none, SG_AXIS_NONE, out);
    } else {
        sg_recorded_incomplete(seen, sg_recorded_axes(asked), &out->verdict);
    }
}

/* A sum of fewer axes than there are is below the sum that the limit means. */
static void judge_resultant(struct sg_recorded_judging *j, const struct sg_limit_set *set,
                            const struct sg_limit_row *row, const struct sg_judged *judged,
                            struct sg_recorded_verdict *out)
{
    enum sg_quantity which = row && row->quantity == SG_Q_VSC ? SG_Q_VSC : SG_Q_PVS;
    struct sg_value value = sg_recorded_resultant(j, which);
    judge_value(j, set, row, judged, &value, SG_AXIS_NONE, out);
    if (row)
        sg_recorded_incomplete(j->measured->vibration.naxis, SG_AXES_MAX, &out->verdict);
}

static bool is_peak_velocity(enum sg_quantity quantity)
{
    return quantity == SG_Q_PPV || quantity == SG_Q_PVS || quantity == SG_Q_VSC;
}

/* One figure of a table against the rows that are stated on it. */
static sg_status judge_given(struct sg_recorded_judging *j, const struct sg_limit_set *set,
                             const struct sg_limit_row *row, const struct sg_judged *judged)
{
    struct sg_recorded_verdict made;
    struct sg_judged with_dose = *judged;
    bool stands_for = !j->as->both_sums && row && is_peak_velocity(row->quantity) &&
                      is_peak_velocity(j->given->quantity);
    if (!row || (row->quantity != j->given->quantity && !stands_for))
        return SG_OK;
    with_dose.dose = j->given_dose;
    judge_value(j, set, row, &with_dose, j->given, SG_AXIS_NONE, &made);
    return add(j->out, &made);
}

static sg_status judge_row(struct sg_recorded_judging *j, const struct sg_limit_set *set,
                           const struct sg_limit_row *row, const struct sg_judged *judged)
{
    struct sg_recorded_verdict made;
    bool sum = !row || row->axes == SG_AXES_RESULTANT || row->quantity == SG_Q_PVS ||
               row->quantity == SG_Q_VSC;
    if (j->given)
        return judge_given(j, set, row, judged);
    if (j->measured->is_sound) {
        struct sg_value value = sound_value(j, row);
        judge_value(j, set, row, judged, &value, SG_AXIS_NONE, &made);
    } else if (sum) {
        judge_resultant(j, set, row, judged, &made);
    } else if (row->rule == SG_RULE_BANDS) {
        sg_recorded_bands(j, set, row, judged, &made);
        finish(j, set, judged, &made);
    } else {
        judge_axes(j, set, row, judged, &made);
    }
    return add(j->out, &made);
}

/* ---- all that applies ------------------------------------------------------------------------ */

static bool is_noise(const struct sg_limit_set *set, const struct sg_limit_row *row)
{
    const struct sg_limit_row *any = row ? row : set->nrow > 0 ? &set->row[0] : NULL;
    return any && any->purpose == SG_FOR_NOISE;
}

/* What was predicted in the quantity of a row at its position; NULL when nothing was. */
static const struct sg_value *predicted_for(const struct sg_recorded_judging *j,
                                            const struct sg_limit_row *row)
{
    for (size_t i = 0; row && i < j->as->npredicted; i++)
        if (j->as->predicted[i].quantity == row->quantity &&
            j->as->predicted[i].position == row->position)
            return &j->as->predicted[i];
    return NULL;
}

static struct sg_hours moment_of(const struct sg_recorded_judging *j)
{
    struct sg_hours moment = j->site->hours;
    moment.start_h = j->as->clock_h;
    moment.end_h = j->as->clock_h + MOMENT_H;
    /* one weekday stands for all of its kind */
    moment.weekdays = 1u << (j->as->day == SG_SATURDAY ? 5 : j->as->day == SG_HOLIDAY ? 6 : 2);
    return moment;
}

/* Whether the clock decides about a row, and what it says. */
static bool by_clock(const struct sg_recorded_judging *j, const struct sg_limit_row *row)
{
    return j->as->clocked && j->as->periods == 0 && sg_noise_clocked(row);
}

/* Rows that name their hours, at the hour and on the day of the recording; on request or not. */
static sg_status judge_clocked(struct sg_recorded_judging *j, const struct sg_limit_set *set,
                               size_t before)
{
    struct sg_hours moment = moment_of(j);
    sg_status status = SG_OK;
    bool any = false;
    for (size_t i = 0; i < set->nrow && status == SG_OK; i++) {
        const struct sg_limit_row *row = &set->row[i];
        struct sg_judged judged = sg_judged_of(j->receptor, row->period);
        any = any || (by_clock(j, row) && is_noise(set, row) == j->measured->is_sound);
        if (!by_clock(j, row) || is_noise(set, row) != j->measured->is_sound ||
            !(row->techniques & SG_TECHNIQUE_BIT(j->as->technique)) ||
            !sg_noise_clock_worked(&moment, row))
            continue;
        sg_judged_choose(j->site, set, &judged);
        sg_recorded_works(j, &judged);
        judged.predicted = predicted_for(j, row);
        if (sg_limit_covers(set, row, &judged)) {
            status = judge_row(j, set, row, &judged);
        } else if (row->category && !sg_limit_category(set, &judged, row->period) &&
                   j->out->count == before) { /* the ambient level decides, and is not known */
            status = judge_row(j, set, NULL, &judged);
        }
    }
    if (status != SG_OK || !any || j->out->count > before)
        return status;
    struct sg_judged judged = sg_judged_of(j->receptor, SG_ANY_TIME);
    status = judge_row(j, set, NULL, &judged); /* no set passes in silence */
    if (status == SG_OK && j->out->count > before)
        snprintf(j->out->item[j->out->count - 1].verdict.reason,
                 sizeof(j->out->item->verdict.reason),
                 "%s has no value for the hour and the day of it", set->id);
    return status;
}

static sg_status judge_set(struct sg_recorded_judging *j, const struct sg_limit_set *set,
                           enum sg_period period, const char *const *list, size_t nlist)
{
    size_t most = set->nrow + 1;
    const struct sg_limit_row **rows = sg_arena_alloc(&j->out->arena, most, sizeof(*rows));
    if (!rows)
        return SG_ERR_NOMEM;
    struct sg_judged judged = sg_judged_of(j->receptor, period);
    sg_judged_choose(j->site, set, &judged);
    sg_recorded_works(j, &judged);
    enum sg_technique technique = j->as->technique;
    size_t count = sg_limit_rows(set, &judged, technique, rows, most);
    sg_status status = SG_OK;
    if (count == 1 && sg_twin_speaks(j->site, technique, set, rows[0], &judged, list, nlist))
        return SG_OK;
    for (size_t i = 0; i < count && status == SG_OK; i++)
        if (is_noise(set, rows[i]) == j->measured->is_sound && !by_clock(j, rows[i])) {
            judged.predicted = predicted_for(j, rows[i]);
            status = judge_row(j, set, rows[i], &judged);
        }
    return status;
}

static sg_status judge_periods(struct sg_recorded_judging *j, const struct sg_limit_set *set,
                               const char *const *list, size_t nlist)
{
    unsigned periods = sg_periods_asked(&j->site->hours, set, j->as->periods);
    size_t before = j->out->count;
    sg_status status = SG_OK;
    if (!sg_depends_on_period(set))
        return judge_set(j, set, SG_ANY_TIME, list, nlist);
    if (j->as->clocked && j->as->periods == 0) {
        enum sg_period at = sg_period_on(set, j->as->day, j->as->clock_h);
        struct sg_hours moment = moment_of(j);
        periods = at != SG_ANY_TIME ? 1u << at : sg_periods_of_set(&moment, set);
    }
    for (unsigned p = SG_DAY; p <= SG_NIGHT && status == SG_OK; p++)
        if (periods & (1u << p))
            status = judge_set(j, set, (enum sg_period)p, list, nlist);
    return status == SG_OK ? judge_clocked(j, set, before) : status;
}

static sg_status judge_all(struct sg_recorded_judging *j)
{
    const struct sg_limit_set *own = NULL;
    size_t nlist;
    const char *const *list = sg_site_limit_sets(j->site, j->receptor, &nlist);
    sg_status status = SG_OK;
    if (sg_is_set(j->receptor->own_ppv_limit_mm_s) && !j->measured->is_sound) {
        struct sg_judged judged = sg_judged_of(j->receptor, SG_ANY_TIME);
        status = sg_own_set(j->receptor, &j->out->arena, &own);
        if (status == SG_OK)
            status = judge_row(j, own, &own->row[0], &judged);
    }
    for (size_t i = 0; i < nlist && status == SG_OK; i++) {
        const struct sg_limit_set *set = sg_site_limit_set(j->site, list[i]);
        if (set)
            status = judge_periods(j, set, list, nlist);
    }
    return status;
}

sg_status sg_recorded_judge(const struct sg_site *site, size_t receptor,
                            const struct sg_recorded_as *as, const struct sg_measured *measured,
                            struct sg_recorded *out)
{
    struct sg_recorded_judging j = {
        site, &site->receptor[receptor], receptor, as, measured, out, NULL, NULL
    };
    return judge_all(&j);
}

sg_status sg_recorded_judge_value(const struct sg_site *site, size_t receptor,
                                  const struct sg_recorded_as *as, const struct sg_value *value,
                                  double seconds, const struct sg_dose_value *dose,
                                  struct sg_recorded *out)
{
    struct sg_value given = *value;
    struct sg_measured none = { .is_sound =
                                    value->quantity == SG_Q_LAEQ || value->quantity == SG_Q_LAFMAX,
                                .seconds = seconds > 0 ? seconds : SG_INFINITY };
    struct sg_recorded_judging j = {
        site, &site->receptor[receptor], receptor, as, &none, out, &given, dose
    };
    given.position = as->position;
    given.technique = as->technique;
    given.distance_m = as->distance_m;
    given.receptor = receptor;
    given.origin = SG_MEASURED;
    given.model = "measured";
    given.upper = given.central;
    given.upper_text = "as measured";
    return judge_all(&j);
}
