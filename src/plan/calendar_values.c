/* calendar_values.c - what a programme brings to every receptor on every day.
 *
 * Velocities: the highest of the piles worked on; two rigs at once do not add, because their peaks
 * do not meet. Levels: the energy of every piece of work over the real length of the shift. A level
 * that holds for a whole shift at one pile is brought to the hours that the pile is really worked
 * on. */
#include "plan_internal.h"
#include "stillground/programme.h"

#include <math.h>
#include <string.h>

#define WINDOW_DAYS 15 /* over which days above a value are counted in one statutory rule */

static const char not_asked_for[] = "no limit set in use asks for one";

struct entry { /* a limit, by one pile's method */
    size_t level;
    struct sg_sound_span span;                         /* of LAeq */
    double central, upper, ratio_central, ratio_upper; /* levels: of the works alone */
    double beside_db;                                  /* noise of others beside them; 0 = none */
    double dose_central, dose_upper; /* of a shift that is all at this pile; unset = no dose */
};
struct pile_entries {
    struct entry *entry;
    size_t count;
    struct sg_outcome outcome; /* its verdicts are gone */
};

struct filling {
    const struct sg_site *site;
    struct sg_site view; /* with the hours of the slot that is read */
    const struct sg_schedule *schedule;
    struct sg_arena *arena;
    struct sg_receptor_calendar *out;
    size_t levels;             /* capacity */
    struct pile_entries *pile; /* [shape * piles + pile] */
    size_t *shape;             /* one a slot: same clock, same kind of day, judged alike */
    size_t nshape;
    bool failed;
};

static size_t level_of(struct filling *f, const struct sg_verdict *v)
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

static bool is_vdv(const struct sg_limit_row *row)
{
    return row && row->quantity == SG_Q_VDV;
}

static bool has_kb_dose(const struct sg_limit_row *row)
{
    return row && row->quantity == SG_Q_KBF_MAX && row->rule == SG_RULE_TWO_STEP;
}

/* The dose of a verdict: a VDV is one, a two-step row on KB has one beside its value. */
static void read_dose(const struct filling *f, size_t method, const struct sg_verdict *v,
                      struct entry *out)
{
    struct sg_value largest = SG_VALUE_INIT;
    struct sg_dose_value dose = { SG_UNSET, SG_UNSET, 0 };
    out->dose_central = out->dose_upper = SG_UNSET;
    if (is_vdv(v->row)) {
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
static void note_missing(struct filling *f, const struct sg_verdict *v)
{
    const char **why = is_vdv(v->row)        ? &f->out->no_vdv
                       : has_kb_dose(v->row) ? &f->out->no_kb
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

static sg_status read_pile(struct filling *f, struct pile_entries *to, size_t pile, size_t method,
                           struct sg_arena *scratch, struct sg_errors *errors)
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
        struct entry *e = &to->entry[to->count++];
        *e = (struct entry){ .level = level,
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
static double energy(const struct sg_sound_span *span, double level_db, double hours)
{
    if (!sg_is_set(level_db) || !(span->worked_h > 0))
        return 0;
    return pow(10, level_db / 10) * span->averaging_h / span->worked_h * hours;
}

static const struct pile_entries *entries_at(const struct filling *f, const struct sg_piece *piece)
{
    return &f->pile[f->shape[piece->slot] * f->site->npile + piece->pile];
}

/* The hours by which a slot's work is judged: its clock, and its work before quiet windows. */
static struct sg_hours hours_of(const struct filling *f, const struct sg_slot *slot)
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
static void find_shapes(struct filling *f)
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

static double level_from(double sum, double span_h)
{
    return sum > 0 ? 10 * log10(sum / span_h) : SG_UNSET;
}

static double larger(double a, double b)
{
    return sg_is_set(a) && !(b > a) ? a : b;
}

/* A part of a shift brings the same part of a sum of fourth powers (VDV) or of squares (KB). */
static double share_of(const struct filling *f, const struct sg_slot *slot,
                       const struct sg_piece *piece)
{
    double work_h = hours_of(f, slot).work_h;
    return work_h > 0 ? piece->hours / work_h : 0;
}

/* The doses of one limit over a slot; unset when the limit has none. */
static void sum_dose(const struct filling *f, const struct sg_slot *slot, size_t level,
                     double *central, double *upper)
{
    double power = is_vdv(f->out->level[level].row) ? 4 : 2, c = 0, u = 0;
    bool any = false;
    for (size_t i = slot->first_piece; i < slot->first_piece + slot->npiece; i++) {
        const struct sg_piece *piece = &f->schedule->piece[i];
        const struct pile_entries *p = entries_at(f, piece);
        for (size_t k = 0; k < p->count; k++) {
            const struct entry *e = &p->entry[k];
            if (e->level != level || !sg_is_set(e->dose_upper))
                continue;
            c += pow(e->dose_central, power) * share_of(f, slot, piece);
            u += pow(e->dose_upper, power) * share_of(f, slot, piece);
            any = true;
        }
    }
    *central = any ? pow(c, 1 / power) : SG_UNSET;
    *upper = any ? pow(u, 1 / power) : SG_UNSET;
}

static void tell_doses(const struct filling *f, const struct sg_slot *slot,
                       struct sg_slot_value *out)
{
    for (size_t level = 0; level < f->out->nlevel; level++) {
        const struct sg_limit_row *row = f->out->level[level].row;
        double central, upper;
        if (!is_vdv(row) && !has_kb_dose(row))
            continue;
        sum_dose(f, slot, level, &central, &upper);
        if (is_vdv(row)) {
            out->vdv_central = larger(out->vdv_central, central);
            out->vdv_upper = larger(out->vdv_upper, upper);
        } else {
            out->kb_central = larger(out->kb_central, central);
            out->kb_upper = larger(out->kb_upper, upper);
        }
    }
}

/* Reasons stand only where no slot has a dose. */
static void finish_reasons(struct filling *f)
{
    for (size_t i = 0; i < f->schedule->nslot; i++) {
        if (sg_is_set(f->out->value[i].vdv_upper))
            f->out->no_vdv = NULL;
        if (sg_is_set(f->out->value[i].kb_upper))
            f->out->no_kb = NULL;
    }
}

static void tell_slot(const struct filling *f, const struct sg_slot *slot,
                      struct sg_slot_value *out)
{
    double central = 0, upper = 0;
    struct sg_hours hours = hours_of(f, slot);
    struct sg_sound_span span = sg_sound_span_of(&hours, SG_ANY_TIME, 0);
    *out = (struct sg_slot_value){ SG_UNSET, SG_UNSET, SG_UNSET, SG_UNSET, SG_UNSET,
                                   SG_UNSET, SG_UNSET, SG_UNSET, SG_UNSET, 0 };
    for (size_t i = slot->first_piece; i < slot->first_piece + slot->npiece; i++) {
        const struct sg_piece *piece = &f->schedule->piece[i];
        const struct sg_outcome *o = &entries_at(f, piece)->outcome;
        out->ppv_central = larger(out->ppv_central, o->ppv.central);
        out->ppv_upper = larger(out->ppv_upper, o->ppv.upper);
        out->lafmax = larger(out->lafmax, o->lafmax.upper);
        central += energy(&span, o->laeq.central, piece->hours);
        upper += energy(&span, o->laeq.upper, piece->hours);
    }
    out->laeq = level_from(central, slot->span_h);
    out->laeq_upper = level_from(upper, slot->span_h);
    tell_doses(f, slot, out);
}

/* One limit in one slot: the worst ratios, and the hours over it. */
struct in_slot {
    double central, upper, hours;
    double highest_central, highest_upper; /* levels over a short time, of one rig; unset = none */
    double rigs_central, rigs_upper;       /* energies of those of the rigs before it */
    double beside;                         /* energy of the noise of others, once for all rigs */
};

static void add_piece(const struct filling *f, const struct sg_slot *slot,
                      const struct sg_piece *piece, size_t level, bool laeq, struct in_slot *sum,
                      double *rig_hours)
{
    const struct pile_entries *p = entries_at(f, piece);
    for (size_t i = 0; i < p->count; i++) {
        const struct entry *e = &p->entry[i];
        if (e->level != level)
            continue;
        if (laeq && e->beside_db > 0)
            sum->beside = fmax(sum->beside, pow(10, e->beside_db / 10));
        if (laeq && e->span.worked_h >= hours_of(f, slot).work_h - 1e-9) {
            sum->central += energy(&e->span, e->central, piece->hours);
            sum->upper += energy(&e->span, e->upper, piece->hours);
        } else if (laeq) { /* averaged over less than the work: one such time is all at this pile */
            sum->highest_central = larger(sum->highest_central, e->central);
            sum->highest_upper = larger(sum->highest_upper, e->upper);
        } else if (is_vdv(f->out->level[level].row)) {
            sum->central += pow(e->ratio_central, 4) * share_of(f, slot, piece);
            sum->upper += pow(e->ratio_upper, 4) * share_of(f, slot, piece);
        } else {
            sum->central = fmax(sum->central, e->ratio_central);
            sum->upper = fmax(sum->upper, e->ratio_upper);
            *rig_hours += e->ratio_upper > 1 ? piece->hours : 0;
        }
    }
}

/* Rigs work at once: what each brings at its worst adds up. */
static void next_rig(struct in_slot *sum)
{
    if (sg_is_set(sum->highest_central))
        sum->rigs_central += pow(10, sum->highest_central / 10);
    if (sg_is_set(sum->highest_upper))
        sum->rigs_upper += pow(10, sum->highest_upper / 10);
    sum->highest_central = sum->highest_upper = SG_UNSET;
}

static struct in_slot count_slot(const struct filling *f, const struct sg_slot *slot, size_t level)
{
    const struct sg_level_count *l = &f->out->level[level];
    bool laeq = l->row && sg_noise_quantity(l->row->quantity);
    struct in_slot sum = { 0, 0, 0, SG_UNSET, SG_UNSET, 0, 0, 0 };
    size_t rig = SIZE_MAX;
    double rig_hours = 0;
    for (size_t i = slot->first_piece; i < slot->first_piece + slot->npiece; i++) {
        const struct sg_piece *piece = &f->schedule->piece[i];
        if (piece->rig != rig) { /* rigs work at once: the longest counts */
            sum.hours = fmax(sum.hours, rig_hours);
            next_rig(&sum);
            rig_hours = 0;
            rig = piece->rig;
        }
        add_piece(f, slot, piece, level, laeq, &sum, &rig_hours);
    }
    sum.hours = fmax(sum.hours, rig_hours);
    next_rig(&sum);
    if (laeq) {
        double over_h = l->row->averaging_h > 0 ? l->row->averaging_h : slot->span_h;
        double central = fmax(sum.rigs_central, sum.central / over_h) + sum.beside;
        double upper = fmax(sum.rigs_upper, sum.upper / over_h) + sum.beside;
        central = level_from(central, 1);
        upper = level_from(upper, 1);
        sum.central = sg_is_set(central) ? pow(10, (central - l->limit) / 20) : 0;
        sum.upper = sg_is_set(upper) ? pow(10, (upper - l->limit) / 20) : 0;
        sum.hours = sum.upper > 1 ? slot->work_h : 0;
    } else if (is_vdv(l->row)) {
        sum.central = pow(sum.central, 0.25);
        sum.upper = pow(sum.upper, 0.25);
        sum.hours = sum.upper > 1 ? slot->work_h : 0;
    }
    return sum;
}

/* The worst of a day's slots, for the limit's own rule over days. */
static void note_day(struct sg_day_state *state, size_t *count, long day,
                     const struct in_slot *here)
{
    enum sg_verdict_state now = here->central > 1 ? SG_OVER
                                : here->upper > 1 ? SG_LIKELY_WITHIN
                                                  : SG_WITHIN;
    if (*count == 0 || state[*count - 1].day != day)
        state[(*count)++] = (struct sg_day_state){ day, now };
    else if (now == SG_OVER || state[*count - 1].state == SG_WITHIN)
        state[*count - 1].state = now;
}

static void count_level(struct filling *f, size_t level, long *days, struct sg_day_state *state)
{
    struct sg_level_count *l = &f->out->level[level];
    const struct sg_schedule *s = f->schedule;
    long central_day = 0;
    size_t in_row = 0, last_work = SIZE_MAX, work = 0, nstate = 0;
    for (size_t i = 0; i < s->nslot; i++) {
        const struct sg_slot *slot = &s->slot[i];
        struct in_slot here = count_slot(f, slot, level);
        work += i > 0 && s->slot[i - 1].day != slot->day;
        note_day(state, &nstate, slot->day, &here);
        f->out->value[i].ratio = fmax(f->out->value[i].ratio, here.upper);
        l->hours += here.hours;
        if (here.central > 1 && (l->days_central == 0 || central_day != slot->day)) {
            central_day = slot->day;
            l->days_central++;
        }
        if (!(here.upper > 1) || (l->days > 0 && days[l->days - 1] == slot->day))
            continue;
        in_row = last_work != SIZE_MAX && work == last_work + 1 ? in_row + 1 : 1;
        last_work = work;
        l->longest_in_row = in_row > l->longest_in_row ? in_row : l->longest_in_row;
        l->first_day = l->days == 0 ? slot->day : l->first_day;
        days[l->days++] = slot->day;
    }
    l->worst_window = sg_days_within(days, l->days, WINDOW_DAYS);
    sg_day_tally_of(l->set, l->row, state, nstate, &l->tally);
}

static sg_status fill(struct filling *f, struct sg_errors *errors)
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
    long *days = sg_arena_alloc(&scratch, s->nslot + 1, sizeof(*days));
    struct sg_day_state *state = sg_arena_alloc(&scratch, s->nslot + 1, sizeof(*state));
    if (!f->out->value || !f->pile || !days || !state)
        goto done;
    status = SG_OK;
    for (size_t i = 0; i < s->npiece && sg_ok(status); i++) {
        const struct sg_piece *piece = &s->piece[i];
        struct pile_entries *to = &f->pile[f->shape[piece->slot] * f->site->npile + piece->pile];
        f->view = *f->site;
        f->view.hours = hours_of(f, &s->slot[piece->slot]);
        if (!to->entry)
            status = read_pile(f, to, piece->pile, piece->method, &scratch, errors);
    }
    for (size_t i = 0; sg_ok(status) && i < s->nslot; i++)
        tell_slot(f, &s->slot[i], &f->out->value[i]);
    if (sg_ok(status))
        finish_reasons(f);
    if (f->failed)
        status = SG_ERR_NOMEM;
    for (size_t i = 0; sg_ok(status) && i < f->out->nlevel; i++)
        count_level(f, i, days, state);
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
        struct filling f = { .site = site,
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
