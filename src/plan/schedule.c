/* schedule.c - shifts filled with piles: days off, quiet windows, possessions, several rigs.
 *
 * Every rig has its own stretch of the wall, of as many piles as the others, and does it in
 * order. A
 * pile that a possession covers is worked on in that possession only. A pile may go on in the next
 * shift. Setting up and changing the method take time of the shift. */
#include "stillground/programme.h"

#include <math.h>
#include <string.h>

#define DAYS_MOST 3660L
#define ENOUGH_H 1e-9

struct rig {
    size_t first, last; /* piles, last not included */
    size_t next[2];     /* by kind: free, in possession; counted from the rig's start */
    double rest_h[2];   /* of the pile begun */
    size_t method;      /* it is set up for; SIZE_MAX = none yet */
    double pause_h;     /* setting up or changing, still to do */
};

struct work {
    const struct sg_site *site;
    const struct sg_programme *p;
    const size_t *method;
    struct sg_schedule *out;
    size_t slots, pieces; /* capacities */
    struct rig *rig;
    bool failed;
};

static bool covered(const struct sg_window *w, const struct sg_pile *pile)
{
    return pile->chainage_m >= fmin(w->from_m, w->to_m) - 1e-9 &&
           pile->chainage_m <= fmax(w->from_m, w->to_m) + 1e-9;
}

static bool needs_possession(const struct work *w, size_t pile)
{
    for (size_t i = 0; i < w->p->npossession; i++) {
        if (covered(&w->p->possession[i], &w->site->pile[pile]))
            return true;
    }
    return false;
}

static size_t pile_at(const struct work *w, size_t order)
{
    return w->p->backward ? w->site->npile - 1 - order : order;
}

/* The next pile of a kind that the window (NULL = a shift) allows; SIZE_MAX = none. */
static size_t next_pile(const struct work *w, struct rig *rig, const struct sg_window *window)
{
    int kind = window != NULL;
    for (size_t *at = &rig->next[kind]; *at < rig->last; ++*at) {
        size_t pile = pile_at(w, *at);
        if (needs_possession(w, pile) != (kind == 1))
            continue;
        return !window || covered(window, &w->site->pile[pile]) ? pile : SIZE_MAX;
    }
    return SIZE_MAX;
}

static bool put_piece(struct work *w, struct sg_piece piece)
{
    struct sg_schedule *s = w->out;
    if (s->npiece == w->pieces) {
        size_t capacity = w->pieces > 0 ? 2 * w->pieces : 64;
        struct sg_piece *grown = sg_arena_alloc(&s->arena, capacity, sizeof(*grown));
        if (!grown) {
            w->failed = true;
            return false;
        }
        if (s->npiece > 0)
            memcpy(grown, s->piece, s->npiece * sizeof(*grown));
        s->piece = grown;
        w->pieces = capacity;
    }
    s->piece[s->npiece++] = piece;
    return true;
}

/* Takes the rig's pause off the hours left. */
static double take_pause(struct rig *rig, double left_h)
{
    double take = fmin(rig->pause_h, left_h);
    rig->pause_h -= take;
    return left_h - take;
}

static void work_rig(struct work *w, size_t index, const struct sg_window *window, double work_h)
{
    struct rig *rig = &w->rig[index];
    int kind = window != NULL;
    double left_h = work_h;
    while (left_h > ENOUGH_H && !w->failed) {
        size_t pile = next_pile(w, rig, window);
        if (pile == SIZE_MAX)
            return;
        size_t method = w->method[pile];
        if (method != rig->method) {
            rig->pause_h +=
                (rig->method == SIZE_MAX ? w->p->set_up_minutes : w->p->change_over_minutes) / 60;
            rig->method = method;
        }
        left_h = take_pause(rig, left_h);
        if (!(rig->rest_h[kind] > 0))
            rig->rest_h[kind] = w->site->hours.work_h *
                                sg_pile_days(w->site, sg_pile_minutes(w->site, method, pile));
        double take = fmin(rig->rest_h[kind], left_h);
        if (!(take > 0))
            return;
        rig->rest_h[kind] -= take;
        left_h -= take;
        bool last = rig->rest_h[kind] <= ENOUGH_H;
        if (last) {
            rig->rest_h[kind] = 0;
            rig->next[kind]++;
        }
        put_piece(w, (struct sg_piece){ w->out->nslot, index, pile, method, take, last });
    }
}

/* ---- slots ---- */

/* Hours of a slot of a day that fall into quiet windows. */
static double quiet_h(const struct work *w, long day, double start_h, double end_h)
{
    double sum = 0;
    for (size_t i = 0; i < w->p->nquiet; i++) {
        const struct sg_window *q = &w->p->quiet[i];
        double q_end = q->end_h > q->start_h ? q->end_h : q->end_h + 24;
        for (long d = day - 1; d <= day + 1; d++) {
            if (d < q->first_day || d > q->last_day)
                continue;
            double shift = 24.0 * (double)(d - day);
            sum += fmax(0, fmin(end_h, q_end + shift) - fmax(start_h, q->start_h + shift));
        }
    }
    return sum;
}

static bool is_holiday(const struct sg_programme *p, long day)
{
    for (size_t i = 0; i < p->nholiday; i++) {
        if (p->holiday[i] == day)
            return true;
    }
    return false;
}

/* Works every rig through a slot, and keeps the slot when anything was done. */
static void work_slot(struct work *w, struct sg_slot slot, const struct sg_window *window)
{
    struct sg_schedule *s = w->out;
    double end_h = slot.end_h > slot.start_h ? slot.end_h : slot.end_h + 24;
    double clock_h = end_h - slot.start_h;
    double quiet = fmin(quiet_h(w, slot.day, slot.start_h, end_h), clock_h);
    slot.span_h = sg_zone_span_h(&w->p->zone, slot.day, slot.start_h, slot.end_h);
    slot.work_h = fmax(0, (slot.work_h + slot.span_h - clock_h) * (1 - quiet / clock_h));
    slot.first_piece = s->npiece;
    if (s->nslot == w->slots) {
        size_t capacity = w->slots > 0 ? 2 * w->slots : 64;
        struct sg_slot *grown = sg_arena_alloc(&s->arena, capacity, sizeof(*grown));
        if (!grown) {
            w->failed = true;
            return;
        }
        if (s->nslot > 0)
            memcpy(grown, s->slot, s->nslot * sizeof(*grown));
        s->slot = grown;
        w->slots = capacity;
    }
    for (size_t r = 0; r < w->p->rigs; r++)
        work_rig(w, r, window, slot.work_h);
    slot.npiece = s->npiece - slot.first_piece;
    if (slot.npiece > 0)
        s->slot[s->nslot++] = slot;
}

static void work_day(struct work *w, long day)
{
    const struct sg_programme *p = w->p;
    size_t before = w->out->nslot;
    for (size_t i = 0; i < p->nshift && !is_holiday(p, day); i++) {
        const struct sg_shift *shift = &p->shift[i];
        if (!(shift->weekdays & (1u << sg_civil_weekday(day))))
            continue;
        work_slot(w,
                  (struct sg_slot){ .day = day,
                                    .name = shift->name,
                                    .start_h = shift->start_h,
                                    .end_h = shift->end_h,
                                    .work_h = shift->work_h },
                  NULL);
    }
    for (size_t i = 0; i < p->npossession; i++) {
        const struct sg_window *window = &p->possession[i];
        if (day < window->first_day || day > window->last_day)
            continue;
        double end_h = window->end_h > window->start_h ? window->end_h : window->end_h + 24;
        work_slot(w,
                  (struct sg_slot){ .day = day,
                                    .name = window->name,
                                    .possession = true,
                                    .start_h = window->start_h,
                                    .end_h = window->end_h,
                                    .work_h = end_h - window->start_h },
                  window);
    }
    w->out->days += w->out->nslot > before;
}

static size_t undone(struct work *w)
{
    size_t left = 0;
    for (size_t r = 0; r < w->p->rigs; r++) {
        struct rig *rig = &w->rig[r];
        for (size_t i = rig->first; i < rig->last; i++) {
            int kind = needs_possession(w, pile_at(w, i));
            left += i >= rig->next[kind];
        }
    }
    return left;
}

sg_status sg_schedule_make(const struct sg_site *site, const size_t *method,
                           struct sg_schedule *out, struct sg_errors *errors)
{
    struct sg_schedule schedule = SG_SCHEDULE_INIT;
    struct work w = { .site = site, .p = site->programme, .method = method, .out = &schedule };
    if (!w.p)
        return sg_errors_add(errors, SG_ERR_MISSING, NULL,
                             "%s: programme is missing (when the work "
                             "is done); allowed: programme with a start, for the calendar",
                             site->file ? site->file : "the site");
    w.rig = sg_arena_alloc(&schedule.arena, w.p->rigs, sizeof(*w.rig));
    if (!w.rig)
        return SG_ERR_NOMEM;
    for (size_t r = 0; r < w.p->rigs; r++) {
        size_t first = site->npile * r / w.p->rigs, last = site->npile * (r + 1) / w.p->rigs;
        w.rig[r] = (struct rig){ first, last, { first, first }, { 0, 0 }, SIZE_MAX, 0 };
    }
    for (long d = 0; d < DAYS_MOST && !w.failed; d++) {
        if (d % 32 == 0 && undone(&w) == 0)
            break;
        work_day(&w, w.p->start_day + d);
    }
    if (w.failed) {
        sg_arena_release(&schedule.arena);
        return SG_ERR_NOMEM;
    }
    schedule.left = undone(&w);
    *out = schedule;
    return SG_OK;
}

void sg_schedule_release(struct sg_schedule *schedule)
{
    if (schedule)
        sg_arena_release(&schedule->arena);
}

/* ---- days ---- */

static bool works_on(long day, const long *holiday, size_t nholiday)
{
    for (size_t i = 0; i < nholiday; i++) {
        if (holiday[i] == day)
            return false;
    }
    return sg_civil_weekday(day) < 5;
}

long sg_notice_day(enum sg_lead kind, double days, long start_day, const long *holiday,
                   size_t nholiday)
{
    long day = start_day;
    switch (kind) {
    case SG_LEAD_CLEAR_DAYS: /* so many whole days between filing and start */
        return start_day - (long)days - 1;
    case SG_LEAD_WORKING_DAYS:
        for (long left = (long)days; left > 0;)
            left -= works_on(--day, holiday, nholiday);
        return day;
    case SG_LEAD_CALENDAR_DAYS:
    default:
        return start_day - (long)days;
    }
}

size_t sg_days_within(const long *day, size_t count, long window)
{
    size_t most = 0;
    for (size_t i = 0, j = 0; i < count; i++) {
        while (day[i] - day[j] >= window)
            j++;
        if (i - j + 1 > most)
            most = i - j + 1;
    }
    return most;
}
