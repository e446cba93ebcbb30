/* recorded.c - measured figures as values, judged by the limits of a site.
 *
 * Each axis is held against the limit at its own peak's frequency, because the largest component
 * need not be the critical one (DIN 4150-3, 4.3). Where zero crossing and spectrum disagree by more
 * than a fifth, both ends are looked at and the lower limit counts (common practice, no source).
 */
#include "stillground/recorded.h"

#include "plan_internal.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define ROWS_MAX 64

struct judging {
    const struct sg_site *site;
    const struct sg_receptor *receptor;
    size_t index;
    const struct sg_recorded_as *as;
    const struct sg_measured *measured;
    struct sg_recorded *out;
};

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

static struct sg_value value_of(const struct judging *j, enum sg_quantity quantity,
                                enum sg_axes axes, double measured)
{
    struct sg_value value = SG_VALUE_INIT;
    value.quantity = quantity;
    value.central = value.upper = measured;
    value.upper_text = "as measured";
    value.position = j->as->position;
    value.axes = axes;
    value.technique = j->as->technique;
    value.origin = SG_MEASURED;
    value.model = "measured";
    value.distance_m = j->as->distance_m;
    value.receptor = j->index;
    value.why = sg_is_set(measured) ? NULL : "the recording does not give this figure";
    return value;
}

static void set_frequency(const struct sg_axis_figures *axis, struct sg_value *value)
{
    double crossing = axis->frequency_crossing_hz, spectrum = axis->frequency_spectrum_hz;
    double one = sg_is_set(crossing) ? crossing : spectrum;
    value->frequency_low_hz = value->frequency_high_hz = one;
    value->frequency_from =
        sg_is_set(crossing) ? "zero crossings at the peak" : "spectrum around the peak";
    if (!sg_is_set(one))
        value->frequency_from = "";
    if (!axis->frequencies_differ)
        return;
    value->frequency_low_hz = fmin(crossing, spectrum);
    value->frequency_high_hz = fmax(crossing, spectrum);
    value->frequency_from = "zero crossings and spectrum at the peak, which differ";
}

static enum sg_grade grade_of_weighting(enum sg_weighting weighting)
{
    return sg_weighting_cite(weighting)->grade;
}

static double largest(const struct sg_vibration_figures *f,
                      double (*of)(const struct sg_axis_figures *))
{
    double most = SG_UNSET;
    for (size_t i = 0; i < f->naxis; i++)
        most = fmax(most, of(&f->axis[i]));
    return most;
}
static double rms_1s_of(const struct sg_axis_figures *axis)
{
    return axis->rms_1s_mm_s;
}
static double displacement_of(const struct sg_axis_figures *axis)
{
    return axis->displacement_mm;
}
static double kbf_of(const struct sg_axis_figures *axis)
{
    return axis->kbf_max;
}
/* The level exceeded in a tenth of the readings stands for a varying vibration; a recording too
 * short for readings has its largest. */
static double vl_of(const struct sg_axis_figures *axis)
{
    return sg_is_set(axis->vl_l10_db) ? axis->vl_l10_db : axis->vl_max_db;
}

static double vdv_of(const struct sg_vibration_figures *f)
{
    double most = SG_UNSET;
    for (size_t i = 0; i < f->naxis; i++) {
        bool vertical = f->axis_of[i] == SG_AXIS_Z;
        most = fmax(most, f->axis[i].dose[vertical ? SG_DOSE_B : SG_DOSE_D].vdv);
    }
    return most;
}

/* One figure for the sensor as a whole, in the quantity of the row. */
static struct sg_value whole_value(const struct judging *j, const struct sg_limit_row *row)
{
    const struct sg_vibration_figures *f = &j->measured->vibration;
    struct sg_value value = value_of(j, row->quantity, SG_AXES_LARGEST, SG_UNSET);
    double us = sg_reference(SG_REFERENCE_VELOCITY_US)->value * SG_MM_PER_INCH;
    switch (row->quantity) {
    case SG_Q_PVS:
        value = value_of(j, SG_Q_PVS, SG_AXES_RESULTANT, f->pvs_mm_s);
        set_frequency(&f->axis[f->pcpv_axis], &value);
        break;
    case SG_Q_VSC:
        value = value_of(j, SG_Q_VSC, SG_AXES_RESULTANT, f->vsc_mm_s);
        set_frequency(&f->axis[f->pcpv_axis], &value);
        break;
    case SG_Q_V_RMS_1S:
        value.central = largest(f, rms_1s_of);
        break;
    case SG_Q_DISPLACEMENT:
        value.central = largest(f, displacement_of);
        break;
    case SG_Q_LV_US:
        value.central = sg_level_db(largest(f, rms_1s_of) * largest(f, rms_1s_of), us);
        break;
    case SG_Q_VL_JP:
        value.central = largest(f, vl_of);
        value.axes = SG_AXES_VERTICAL;
        value.grade = grade_of_weighting(SG_WEIGHTING_JP_VERTICAL);
        break;
    case SG_Q_VDV:
        value.central = vdv_of(f);
        value.grade = grade_of_weighting(SG_WEIGHTING_WB);
        break;
    case SG_Q_KBF_MAX:
        value.central = largest(f, kbf_of);
        value.grade = grade_of_weighting(SG_WEIGHTING_KB_80);
        break;
    case SG_Q_PPV:
    case SG_Q_LP_GROUND:
    case SG_Q_LAEQ:
    case SG_Q_LAFMAX:
    case SG_Q_END:
    default:
        break;
    }
    value.upper = value.central;
    value.why = sg_is_set(value.central) ? NULL : "the recording does not give this figure";
    return value;
}

static struct sg_value sound_value(const struct judging *j, const struct sg_limit_row *row)
{
    const struct sg_sound_figures *f = &j->measured->sound;
    bool peak = row && row->quantity == SG_Q_LAFMAX;
    bool without = !peak && j->as->residual_db > 0;
    double laeq_db =
        without ? sg_sound_without_residual(f->laeq_db, j->as->residual_db, NULL) : f->laeq_db;
    struct sg_value value =
        value_of(j, peak ? SG_Q_LAFMAX : SG_Q_LAEQ, SG_AXES_NONE, peak ? f->lafmax_db : laeq_db);
    value.marks |= without ? (unsigned)SG_MARK_USER : 0u;
    return value;
}

/* ---- one row --------------------------------------------------------------------------------- */

/* A value on the ground goes into the building as a predicted one does. */
static struct sg_value at_row(const struct judging *j, const struct sg_limit_row *row,
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
static void note_residual(const struct judging *j, const struct sg_limit_row *row,
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

static void lower(const struct judging *j, const char *hiding, struct sg_verdict *verdict)
{
    if (hiding[0] == '\0' || verdict->state == SG_OVER || verdict->state == SG_NOT_DETERMINABLE)
        return;
    verdict->state = SG_NOT_DETERMINABLE;
    snprintf(verdict->reason, sizeof verdict->reason,
             "the recording has findings that could hide an exceedance: %s", hiding);
    (void)j;
}

/* A level that was measured for a shorter time than the limit averages over. */
static void note_time(const struct judging *j, const struct sg_limit_row *row,
                      struct sg_verdict *verdict)
{
    double asked_s = row ? row->averaging_h * 3600.0 : 0.0;
    if (!row || row->quantity != SG_Q_LAEQ || !(asked_s > j->measured->seconds) ||
        verdict->reason[0] != '\0')
        return;
    verdict->marks |= SG_MARK_ESTIMATE;
    snprintf(verdict->reason, sizeof verdict->reason,
             "measured over %.0f s; the limit averages over %.3g h, and the level is taken to last",
             j->measured->seconds, row->averaging_h);
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

static sg_status judge_value(struct judging *j, const struct sg_limit_set *set,
                             const struct sg_limit_row *row, const struct sg_judged *judged,
                             const struct sg_value *measured, enum sg_axis axis,
                             struct sg_recorded_verdict *out)
{
    char hiding[96];
    sg_recorded_hiding(&j->measured->quality, hiding, sizeof hiding);
    out->axis = axis;
    out->value = at_row(j, row, *measured);
    sg_judge(set, row, judged, &out->value, &out->verdict, NULL);
    out->verdict.period = judged->period;
    if (sg_limit_set_find(set->id) != set) /* the user's own set, whatever it cites */
        out->verdict.marks |= SG_MARK_USER;
    note_ground(measured, row, &out->value, &out->verdict);
    note_time(j, row, &out->verdict);
    note_residual(j, row, &out->verdict);
    lower(j, hiding, &out->verdict);
    return SG_OK;
}

static bool wanted_axis(enum sg_axes asked, enum sg_axis axis)
{
    if (asked == SG_AXES_VERTICAL)
        return axis == SG_AXIS_Z;
    return asked != SG_AXES_HORIZONTAL || axis == SG_AXIS_X || axis == SG_AXIS_Y;
}

static size_t axes_needed(enum sg_axes asked)
{
    return asked == SG_AXES_VERTICAL ? 1 : asked == SG_AXES_HORIZONTAL ? 2 : SG_AXES_MAX;
}

/* Every axis that the row asks about; the worst verdict stays. */
static void judge_axes(struct judging *j, const struct sg_limit_set *set,
                       const struct sg_limit_row *row, const struct sg_judged *judged,
                       struct sg_recorded_verdict *out)
{
    const struct sg_vibration_figures *f = &j->measured->vibration;
    size_t seen = 0;
    for (size_t i = 0; i < f->naxis; i++) {
        struct sg_recorded_verdict one;
        if (!wanted_axis(row->axes, f->axis_of[i]))
            continue;
        enum sg_axes axes = row->axes == SG_AXES_NONE ? SG_AXES_LARGEST : row->axes;
        struct sg_value value = value_of(j, SG_Q_PPV, axes, f->axis[i].ppv_mm_s);
        set_frequency(&f->axis[i], &value);
        (void)judge_value(j, set, row, judged, &value, f->axis_of[i], &one);
        if (seen++ == 0 || sg_verdict_compare(&one.verdict, &out->verdict) < 0)
            *out = one;
    }
    if (seen == 0) {
        struct sg_value none = value_of(j, SG_Q_PPV, row->axes, SG_UNSET);
        none.why = "the axis that the limit is stated on was not measured";
        (void)judge_value(j, set, row, judged, &none, SG_AXIS_NONE, out);
    } else if (seen < axes_needed(row->axes) && out->verdict.state != SG_OVER &&
               out->verdict.state != SG_NOT_DETERMINABLE) {
        out->verdict.state = SG_NOT_DETERMINABLE;
        snprintf(out->verdict.reason, sizeof out->verdict.reason,
                 "%zu of %zu axes were measured; another may be larger", seen,
                 axes_needed(row->axes));
    }
}

static sg_status judge_row(struct judging *j, const struct sg_limit_set *set,
                           const struct sg_limit_row *row, const struct sg_judged *judged)
{
    struct sg_recorded_verdict made;
    if (j->measured->is_sound) {
        struct sg_value value = sound_value(j, row);
        (void)judge_value(j, set, row, judged, &value, SG_AXIS_NONE, &made);
    } else if (row && row->quantity == SG_Q_PPV && row->axes != SG_AXES_RESULTANT) {
        judge_axes(j, set, row, judged, &made);
    } else {
        const struct sg_vibration_figures *f = &j->measured->vibration;
        struct sg_value value = row && row->quantity != SG_Q_PPV
                                    ? whole_value(j, row)
                                    : value_of(j, SG_Q_PVS, SG_AXES_RESULTANT, f->pvs_mm_s);
        (void)judge_value(j, set, row, judged, &value, SG_AXIS_NONE, &made);
    }
    return add(j->out, &made);
}

/* ---- all that applies ------------------------------------------------------------------------ */

static bool is_noise(const struct sg_limit_set *set, const struct sg_limit_row *row)
{
    const struct sg_limit_row *any = row ? row : set->nrow > 0 ? &set->row[0] : NULL;
    return any && any->purpose == SG_FOR_NOISE;
}

static sg_status judge_set(struct judging *j, const struct sg_limit_set *set, enum sg_period period,
                           const char *const *list, size_t nlist)
{
    const struct sg_limit_row *rows[ROWS_MAX];
    struct sg_judged judged = sg_judged_of(j->receptor, period);
    sg_judged_choose(j->site, set, &judged);
    enum sg_technique technique = j->as->technique;
    size_t count = sg_limit_rows(set, &judged, technique, rows, ROWS_MAX);
    sg_status status = SG_OK;
    if (count == 1 && sg_twin_speaks(j->site, technique, set, rows[0], &judged, list, nlist))
        return SG_OK;
    for (size_t i = 0; i < count && i < ROWS_MAX && status == SG_OK; i++)
        if (is_noise(set, rows[i]) == j->measured->is_sound)
            status = judge_row(j, set, rows[i], &judged);
    return status;
}

static sg_status judge_periods(struct judging *j, const struct sg_limit_set *set,
                               const char *const *list, size_t nlist)
{
    unsigned periods = j->as->periods != 0 ? j->as->periods : sg_periods_of(&j->site->hours);
    sg_status status = SG_OK;
    if (!sg_depends_on_period(set))
        return judge_set(j, set, SG_ANY_TIME, list, nlist);
    for (unsigned p = SG_DAY; p <= SG_NIGHT && status == SG_OK; p++)
        if (periods & (1u << p))
            status = judge_set(j, set, (enum sg_period)p, list, nlist);
    return status;
}

sg_status sg_recorded_judge(const struct sg_site *site, size_t receptor,
                            const struct sg_recorded_as *as, const struct sg_measured *measured,
                            struct sg_recorded *out)
{
    struct judging j = { site, &site->receptor[receptor], receptor, as, measured, out };
    const struct sg_limit_set *own = NULL;
    size_t nlist;
    const char *const *list = sg_site_limit_sets(site, j.receptor, &nlist);
    sg_status status = SG_OK;
    if (sg_is_set(j.receptor->own_ppv_limit_mm_s) && !measured->is_sound) {
        struct sg_judged judged = sg_judged_of(j.receptor, SG_ANY_TIME);
        status = sg_own_set(j.receptor, &out->arena, &own);
        if (status == SG_OK)
            status = judge_row(&j, own, &own->row[0], &judged);
    }
    for (size_t i = 0; i < nlist && status == SG_OK; i++) {
        const struct sg_limit_set *set = sg_site_limit_set(site, list[i]);
        if (set)
            status = judge_periods(&j, set, list, nlist);
    }
    return status;
}
