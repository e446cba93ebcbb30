/* calendar_values.c - what a programme brings to every receptor on every day.
 *
 * Velocities: the highest of the piles worked on; two rigs at once do not add, because their peaks
 * do not meet. Levels: the energy of every piece of work over the real length of the shift. A level
 * that holds for a whole shift at one pile is brought to the hours that the pile is really worked
 * on. */
#include "calendar_internal.h"
#include "stillground/programme.h"

#include <math.h>
#include <string.h>

static const char not_asked_for[] = "no limit set in use asks for one";

static size_t level_of(struct sg_calendar_filling *f, const struct sg_verdict *v)
{
    struct sg_receptor_calendar *out = f->out;
    bool own = sg_same(v->set->id, "OWNER");
    const struct sg_limit_row *row = own ? NULL : v->row;
    for (size_t i = 0; i < out->nlevel; i++) {
        if (out->level[i].row == row)
            return i;
    }
    if (out->nlevel == f->levels) {
        size_t capacity = f->levels > 0 ? 2 * f->levels : 16;
        struct sg_level_count *grown = sg_arena_alloc(f->arena, capacity, sizeof(*grown));
        if (!grown) {
            f->failed = true;
            return SIZE_MAX;
        }
        if (out->nlevel > 0)
            memcpy(grown, out->level, out->nlevel * sizeof(*grown));
        out->level = grown;
        f->levels = capacity;
    }
    out->level[out->nlevel] =
        (struct sg_level_count){ .set = own ? NULL : v->set, .row = row, .limit = v->limit };
    return out->nlevel++;
}

bool sg_calendar_is_vdv(const struct sg_limit_row *row)
{
    return row && row->quantity == SG_Q_VDV;
}

static bool has_kb_dose(const struct sg_limit_row *row)
{
    return row && row->quantity == SG_Q_KBF_MAX && row->rule == SG_RULE_TWO_STEP;
}

/* The dose of a verdict: a VDV is one, a two-step row on KB has one beside its value. */
static void read_dose(const struct sg_calendar_filling *f, size_t method,
                      const struct sg_verdict *v, struct sg_calendar_entry *out)
{
    struct sg_value largest = SG_VALUE_INIT;
    struct sg_dose_value dose = { SG_UNSET, SG_UNSET, 0 };
    out->dose_central = out->dose_upper = SG_UNSET;
    if (sg_calendar_is_vdv(v->row)) {
        out->dose_central = v->value_central;
        out->dose_upper = v->value_upper;
    }
    largest.central = v->value_central;
    largest.upper = v->value_upper;
    if (has_kb_dose(v->row) &&
        sg_bridged_dose(&f->view, method, v->set, v->row, v->period, &largest, &dose, NULL)) {
        out->dose_central = dose.central;
        out->dose_upper = dose.upper;
    }
}

/* Keeps the first reason for which a dose is asked for and cannot be told. */
static void note_missing(struct sg_calendar_filling *f, const struct sg_verdict *v)
{
    const char **why = sg_calendar_is_vdv(v->row) ? &f->out->no_vdv
                       : has_kb_dose(v->row)      ? &f->out->no_kb
                                                  : NULL;
    if (!why || *why != not_asked_for || !v->reason[0])
        return;
    *why = sg_arena_copy(f->arena, v->reason, strlen(v->reason));
    f->failed |= !*why;
}

/* What is left of a level when the noise of others is taken off; unset = nothing is. */
static double without(double level_db, double beside_db)
{
    if (!(beside_db > 0))
        return level_db;
    double energy = pow(10, level_db / 10) - pow(10, beside_db / 10);
    return energy > 0 ? 10 * log10(energy) : SG_UNSET;
}

static sg_status read_pile(struct sg_calendar_filling *f, struct sg_calendar_pile *to, size_t pile,
                           size_t method, struct sg_arena *scratch, struct sg_errors *errors)
{
    sg_status status =
        sg_outcome_at_pile(&f->view, method, f->out->receptor, pile, scratch, &to->outcome, errors);
    if (!sg_ok(status))
        return status;
    to->entry = sg_arena_alloc(scratch, to->outcome.nverdict + 1, sizeof(*to->entry));
    if (!to->entry)
        return SG_ERR_NOMEM;
    for (size_t i = 0; i < to->outcome.nverdict; i++) {
        const struct sg_verdict *v = &to->outcome.verdict[i];
        if (!v->row || !sg_is_set(v->ratio_upper)) {
            note_missing(f, v);
            continue;
        }
        size_t level = level_of(f, v);
        if (level == SIZE_MAX)
            return SG_ERR_NOMEM;
        f->out->level[level].limit = fmin(f->out->level[level].limit, v->limit);
        struct sg_calendar_entry *e = &to->entry[to->count++];
        *e = (struct sg_calendar_entry){ .level = level,
                                         .central = without(v->value_central, v->beside_db),
                                         .upper = without(v->value_upper, v->beside_db),
                                         .beside_db = v->beside_db };
        e->ratio_central = v->ratio_central;
        e->ratio_upper = v->ratio_upper;
        read_dose(f, method, v, e);
        e->span = sg_noise_ask_of(&f->view.hours, v->set, v->row, v->period).span;
    }
    to->outcome.verdict = NULL;
    to->outcome.nverdict = 0;
    return SG_OK;
}

/* Energy of some hours of work, of a level that stands for the work in a span. */
double sg_calendar_energy(const struct sg_sound_span *span, double level_db, double hours)
{
    if (!sg_is_set(level_db) || !(span->worked_h > 0))
        return 0;
    return pow(10, level_db / 10) * span->averaging_h / span->worked_h * hours;
}

const struct sg_calendar_pile *sg_calendar_entries_at(const struct sg_calendar_filling *f,
                                                      const struct sg_piece *piece)
{
    return &f->pile[f->shape[piece->slot] * f->site->npile + piece->pile];
}

/* The hours by which a slot's work is judged: its clock, and its work before quiet windows. */
struct sg_hours sg_calendar_hours_of(const struct sg_calendar_filling *f,
                                     const struct sg_slot *slot)
{
    struct sg_hours hours = f->site->hours;
    hours.start_h = slot->start_h;
    hours.end_h = slot->end_h;
    hours.work_h = fmin(slot->work_h, sg_shift_h(&hours));
    hours.weekdays = 1u << (unsigned)sg_civil_weekday(slot->day);
    return hours;
}

static unsigned kind_on(long day)
{
    return sg_day_kind((unsigned)sg_civil_weekday(day));
}

/* The day before counts in its night, the day after from midnight on. */
static bool same_kind(const struct sg_slot *a, const struct sg_slot *b)
{
    const double night_to_h = 7;
    bool before = a->start_h < night_to_h, after = !(a->end_h > a->start_h) || a->end_h > 24;
    return kind_on(a->day) == kind_on(b->day) &&
           (!before || kind_on(a->day - 1) == kind_on(b->day - 1)) &&
           (!after || kind_on(a->day + 1) == kind_on(b->day + 1));
}

/* Numbers the slots by their clock hours and the kind of their day. */
static void find_shapes(struct sg_calendar_filling *f)
{
    const struct sg_schedule *s = f->schedule;
    for (size_t i = 0; i < s->nslot; i++) {
        f->shape[i] = f->nshape;
        for (size_t k = 0; k < i && f->shape[i] == f->nshape; k++) {
            bool same = fabs(s->slot[k].start_h - s->slot[i].start_h) < 1e-9 &&
                        fabs(s->slot[k].end_h - s->slot[i].end_h) < 1e-9 &&
                        same_kind(&s->slot[k], &s->slot[i]);
            f->shape[i] = same ? f->shape[k] : f->shape[i];
        }
        f->nshape += f->shape[i] == f->nshape;
    }
}

double sg_calendar_level_from(double sum, double span_h)
{
    return sum > 0 ? 10 * log10(sum / span_h) : SG_UNSET;
}

double sg_calendar_larger(double a, double b)
{
    return sg_is_set(a) && !(b > a) ? a : b;
}

/* A part of a shift brings the same part of a sum of fourth powers (VDV) or of squares (KB). */
double sg_calendar_share_of(const struct sg_calendar_filling *f, const struct sg_slot *slot,
                            const struct sg_piece *piece)
{
    double work_h = sg_calendar_hours_of(f, slot).work_h;
    return work_h > 0 ? piece->hours / work_h : 0;
}

/* The doses of one limit over a slot; unset when the limit has none. */
static void sum_dose(const struct sg_calendar_filling *f, const struct sg_slot *slot, size_t level,
                     double *central, double *upper)
{
    double power = sg_calendar_is_vdv(f->out->level[level].row) ? 4 : 2, c = 0, u = 0;
    bool any = false;
    for (size_t i = slot->first_piece; i < slot->first_piece + slot->npiece; i++) {
        const struct sg_piece *piece = &f->schedule->piece[i];
        const struct sg_calendar_pile *p = sg_calendar_entries_at(f, piece);
        for (size_t k = 0; k < p->count; k++) {
            const struct sg_calendar_entry *e = &p->entry[k];
            if (e->level != level || !sg_is_set(e->dose_upper))
                continue;
            c += pow(e->dose_central, power) * sg_calendar_share_of(f, slot, piece);
            u += pow(e->dose_upper, power) * sg_calendar_share_of(f, slot, piece);
            any = true;
        }
    }
    *central = any ? pow(c, 1 / power) : SG_UNSET;
    *upper = any ? pow(u, 1 / power) : SG_UNSET;
}

static void tell_doses(const struct sg_calendar_filling *f, const struct sg_slot *slot,
                       struct sg_slot_value *out)
{
    for (size_t level = 0; level < f->out->nlevel; level++) {
        const struct sg_limit_row *row = f->out->level[level].row;
        double central, upper;
        if (!sg_calendar_is_vdv(row) && !has_kb_dose(row))
            continue;
        sum_dose(f, slot, level, &central, &upper);
        if (sg_calendar_is_vdv(row)) {
            out->vdv_central = sg_calendar_larger(out->vdv_central, central);
            out->vdv_upper = sg_calendar_larger(out->vdv_upper, upper);
        } else {
            out->kb_central = sg_calendar_larger(out->kb_central, central);
            out->kb_upper = sg_calendar_larger(out->kb_upper, upper);
        }
    }
}

/* Reasons stand only where no slot has a dose. */
static void finish_reasons(struct sg_calendar_filling *f)
{
    for (size_t i = 0; i < f->schedule->nslot; i++) {
        if (sg_is_set(f->out->value[i].vdv_upper))
            f->out->no_vdv = NULL;
        if (sg_is_set(f->out->value[i].kb_upper))
            f->out->no_kb = NULL;
    }
}

static void tell_slot(const struct sg_calendar_filling *f, const struct sg_slot *slot,
                      struct sg_slot_value *out)
{
    double central = 0, upper = 0;
    struct sg_hours hours = sg_calendar_hours_of(f, slot);
    struct sg_sound_span span = sg_sound_span_of(&hours, SG_ANY_TIME, 0);
    *out = (struct sg_slot_value){ SG_UNSET, SG_UNSET, SG_UNSET, SG_UNSET, SG_UNSET,
                                   SG_UNSET, SG_UNSET, SG_UNSET, SG_UNSET, 0 };
    for (size_t i = slot->first_piece; i < slot->first_piece + slot->npiece; i++) {
        const struct sg_piece *piece = &f->schedule->piece[i];
        const struct sg_outcome *o = &sg_calendar_entries_at(f, piece)->outcome;
        out->ppv_central = sg_calendar_larger(out->ppv_central, o->ppv.central);
        out->ppv_upper = sg_calendar_larger(out->ppv_upper, o->ppv.upper);
        out->lafmax = sg_calendar_larger(out->lafmax, o->lafmax.upper);
        central += sg_calendar_energy(&span, o->laeq.central, piece->hours);
        upper += sg_calendar_energy(&span, o->laeq.upper, piece->hours);
    }
    out->laeq = sg_calendar_level_from(central, slot->span_h);
    out->laeq_upper = sg_calendar_level_from(upper, slot->span_h);
    tell_doses(f, slot, out);
}

static sg_status fill(struct sg_calendar_filling *f, struct sg_errors *errors)
{
    const struct sg_schedule *s = f->schedule;
    struct sg_arena scratch = SG_ARENA_INIT;
    sg_status status = SG_ERR_NOMEM;
    f->out->value = sg_arena_alloc(f->arena, s->nslot + 1, sizeof(*f->out->value));
    f->shape = sg_arena_alloc(&scratch, s->nslot + 1, sizeof(*f->shape));
    if (!f->shape)
        goto done;
    find_shapes(f);
    f->pile = sg_arena_alloc(&scratch, f->nshape * f->site->npile + 1, sizeof(*f->pile));
    if (!f->out->value || !f->pile)
        goto done;
    status = SG_OK;
    for (size_t i = 0; i < s->npiece && sg_ok(status); i++) {
        const struct sg_piece *piece = &s->piece[i];
        struct sg_calendar_pile *to =
            &f->pile[f->shape[piece->slot] * f->site->npile + piece->pile];
        f->view = *f->site;
        f->view.hours = sg_calendar_hours_of(f, &s->slot[piece->slot]);
        if (!to->entry)
            status = read_pile(f, to, piece->pile, piece->method, &scratch, errors);
    }
    for (size_t i = 0; sg_ok(status) && i < s->nslot; i++)
        tell_slot(f, &s->slot[i], &f->out->value[i]);
    if (sg_ok(status))
        finish_reasons(f);
    if (f->failed)
        status = SG_ERR_NOMEM;
    if (sg_ok(status))
        status = sg_calendar_count_levels(f, &scratch);
done:
    sg_arena_release(&scratch);
    return sg_ok(status) ? SG_OK : status;
}

sg_status sg_calendar_make(const struct sg_site *site, const struct sg_schedule *schedule,
                           struct sg_calendar *out, sg_progress *progress, void *payload,
                           struct sg_errors *errors)
{
    struct sg_calendar calendar = SG_CALENDAR_INIT;
    sg_status status = SG_OK;
    calendar.site = site;
    calendar.schedule = schedule;
    calendar.nreceptor = site->nreceptor;
    calendar.receptor =
        sg_arena_alloc(&calendar.arena, site->nreceptor + 1, sizeof(*calendar.receptor));
    if (!calendar.receptor)
        return SG_ERR_NOMEM;
    for (size_t r = 0; r < site->nreceptor && status == SG_OK; r++) {
        struct sg_calendar_filling f = { .site = site,
                                         .schedule = schedule,
                                         .arena = &calendar.arena,
                                         .out = &calendar.receptor[r] };
        calendar.receptor[r].receptor = r;
        calendar.receptor[r].no_vdv = calendar.receptor[r].no_kb = not_asked_for;
        status = fill(&f, errors);
        if (progress)
            progress(r + 1, site->nreceptor, payload);
    }
    if (status == SG_OK)
        *out = calendar;
    else
        sg_arena_release(&calendar.arena);
    return status;
}

void sg_calendar_release(struct sg_calendar *calendar)
{
    if (calendar)
        sg_arena_release(&calendar->arena);
}
