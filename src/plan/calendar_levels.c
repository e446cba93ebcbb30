/* calendar_levels.c - limits over the days of a programme: hours and days above each, and the rules
 * over days.
 */
#include "calendar_internal.h"

#include <math.h>

#define WINDOW_DAYS 15 /* over which days above a value are counted in one statutory rule */

/* One limit in one slot: the worst ratios, and the hours over it. */
struct in_slot {
    double central, upper, hours;
    double highest_central, highest_upper; /* levels over a short time, of one rig; unset = none */
    double rigs_central, rigs_upper;       /* energies of those of the rigs before it */
    double beside;                         /* energy of the noise of others, once for all rigs */
};

static void add_piece(const struct sg_calendar_filling *f, const struct sg_slot *slot,
                      const struct sg_piece *piece, size_t level, bool laeq, struct in_slot *sum,
                      double *rig_hours)
{
    const struct sg_calendar_pile *p = sg_calendar_entries_at(f, piece);
    for (size_t i = 0; i < p->count; i++) {
        const struct sg_calendar_entry *e = &p->entry[i];
        if (e->level != level)
            continue;
        if (laeq && e->beside_db > 0)
            sum->beside = fmax(sum->beside, pow(10, e->beside_db / 10));
        if (laeq && e->span.worked_h >= sg_calendar_hours_of(f, slot).work_h - 1e-9) {
            sum->central += sg_calendar_energy(&e->span, e->central, piece->hours);
            sum->upper += sg_calendar_energy(&e->span, e->upper, piece->hours);
        } else if (laeq) { /* averaged over less than the work: one such time is all at this pile */
            sum->highest_central = sg_calendar_larger(sum->highest_central, e->central);
            sum->highest_upper = sg_calendar_larger(sum->highest_upper, e->upper);
        } else if (sg_calendar_is_vdv(f->out->level[level].row)) {
            sum->central += pow(e->ratio_central, 4) * sg_calendar_share_of(f, slot, piece);
            sum->upper += pow(e->ratio_upper, 4) * sg_calendar_share_of(f, slot, piece);
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

static struct in_slot count_slot(const struct sg_calendar_filling *f, const struct sg_slot *slot,
                                 size_t level)
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
        central = sg_calendar_level_from(central, 1);
        upper = sg_calendar_level_from(upper, 1);
        sum.central = sg_is_set(central) ? pow(10, (central - l->limit) / 20) : 0;
        sum.upper = sg_is_set(upper) ? pow(10, (upper - l->limit) / 20) : 0;
        sum.hours = sum.upper > 1 ? slot->work_h : 0;
    } else if (sg_calendar_is_vdv(l->row)) {
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

/* Days of a level with their states; returns how many. */
static size_t count_level(struct sg_calendar_filling *f, size_t level, long *days,
                          struct sg_day_state *state)
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
    return nstate;
}

/* A rule of a set counts the days on which any of its rows is passed. */
static void join_sets(struct sg_calendar_filling *f, const struct sg_day_state *state,
                      const size_t *nstate, struct sg_day_state *joined)
{
    for (size_t i = 0; i < f->out->nlevel; i++) {
        struct sg_level_count *l = &f->out->level[i];
        size_t count = 0;
        if (!sg_days_by_set(l->set, l->row))
            continue;
        for (size_t k = 0; k < f->out->nlevel; k++) {
            const struct sg_level_count *other = &f->out->level[k];
            if (other->set == l->set && sg_days_by_set(other->set, other->row))
                count =
                    sg_day_states_join(joined, count, &state[k * f->schedule->nslot], nstate[k]);
        }
        sg_day_tally_join(&l->tally, joined, count);
    }
}

sg_status sg_calendar_count_levels(struct sg_calendar_filling *f, struct sg_arena *scratch)
{
    size_t nslot = f->schedule->nslot, nlevel = f->out->nlevel;
    long *days = sg_arena_alloc(scratch, nslot + 1, sizeof(*days));
    struct sg_day_state *state = sg_arena_alloc(scratch, nlevel * nslot + 1, sizeof(*state));
    struct sg_day_state *joined = sg_arena_alloc(scratch, nslot + 1, sizeof(*joined));
    size_t *nstate = sg_arena_alloc(scratch, nlevel + 1, sizeof(*nstate));
    if (!days || !state || !joined || !nstate)
        return SG_ERR_NOMEM;
    for (size_t i = 0; i < nlevel; i++)
        nstate[i] = count_level(f, i, days, &state[i * nslot]);
    join_sets(f, state, nstate, joined);
    return SG_OK;
}
