/* daily.c - a method for every pile under limits on what a day may sum up to.
 *
 * A run by one method is packed into days from its first pile on, each day as full as its
 * minutes and
 * doses allow; that is the fewest days for the run, because a part of a day's piles keeps every
 * limit
 * that all of them keep. Over the places where runs begin it is a dynamic programme, in time
 * piles^2 x methods x rows. Rows of dose come in as they are found broken: with some rows left out
 * the result is a lower bound, and the first result that breaks none is exact. */
#include "stillground/choice.h"

#include <math.h>
#include <string.h>

#define FULL (1.0 + 1e-12) /* a day's budget, with room for the rounding of sums */

struct state {
    double days;  /* infinity = cannot be */
    size_t start; /* first pile of the last run */
    size_t from;  /* method before it; SIZE_MAX = the first run */
};

struct work {
    const struct sg_daily_problem *p;
    const size_t *row; /* rows in use */
    size_t nrow;
    bool largest;       /* the largest row at each pile instead */
    double *sum;        /* one a row in use */
    struct state *best; /* [(piles done) * nmethod + method] */
    size_t run;
};

static double dose_of(const struct work *w, size_t k, size_t method, size_t pile)
{
    const struct sg_daily_problem *p = w->p;
    if (!w->largest)
        return p->dose[(w->row[k] * p->nmethod + method) * p->npile + pile];
    double most = 0;
    for (size_t r = 0; r < p->ndose; r++)
        most = fmax(most, p->dose[(r * p->nmethod + method) * p->npile + pile]);
    return most;
}

/* A day being filled by one method. */
struct day {
    double minutes;
    size_t count; /* days begun */
};

/* Puts a pile into the day, or into the next one. False when no day can hold it. */
static bool put_pile(const struct work *w, struct day *day, size_t method, size_t pile)
{
    const struct sg_daily_problem *p = w->p;
    size_t at = pile * p->nmethod + method;
    bool fits = day->count > 0 && day->minutes + p->minutes[at] <= p->day_minutes * FULL;
    if (!p->allowed[at] || !(p->minutes[at] <= p->day_minutes * FULL))
        return false;
    for (size_t k = 0; k < w->nrow; k++) {
        double dose = dose_of(w, k, method, pile);
        if (!(dose <= FULL))
            return false;
        fits = fits && w->sum[k] + dose <= FULL;
    }
    if (!fits) {
        day->count++;
        day->minutes = 0;
        for (size_t k = 0; k < w->nrow; k++)
            w->sum[k] = 0;
    }
    day->minutes += p->minutes[at];
    for (size_t k = 0; k < w->nrow; k++)
        w->sum[k] += dose_of(w, k, method, pile);
    return true;
}

/* All runs by a method that begin at a pile. */
static void runs_from(struct work *w, size_t start, size_t method)
{
    const struct sg_daily_problem *p = w->p;
    double before = start == 0 ? 0 : SG_INFINITY;
    size_t from = SIZE_MAX;
    for (size_t k = 0; start > 0 && k < p->nmethod; k++) {
        double days = w->best[start * p->nmethod + k].days + p->change_days;
        if (k != method && days < before) {
            before = days;
            from = k;
        }
    }
    if (!isfinite(before))
        return;
    struct day day = { 0, 0 };
    for (size_t i = start; i < p->npile && put_pile(w, &day, method, i); i++) {
        struct state *to = &w->best[(i + 1) * p->nmethod + method];
        double days = before + (double)day.count;
        if (i + 1 - start >= w->run && days < to->days)
            *to = (struct state){ days, start, from };
    }
}

static size_t best_end(const struct work *w, size_t done)
{
    size_t found = SIZE_MAX;
    const struct state *row = &w->best[done * w->p->nmethod];
    for (size_t m = 0; m < w->p->nmethod; m++) {
        if (isfinite(row[m].days) && (found == SIZE_MAX || row[m].days < row[found].days))
            found = m;
    }
    return found;
}

/* Fewest days with the rows in use; the method that ends it, SIZE_MAX = cannot be. */
static size_t solve(struct work *w)
{
    const struct sg_daily_problem *p = w->p;
    for (size_t i = 0; i < (p->npile + 1) * p->nmethod; i++)
        w->best[i] = (struct state){ SG_INFINITY, 0, SIZE_MAX };
    for (size_t start = 0; start < p->npile; start++) {
        for (size_t m = 0; m < p->nmethod; m++)
            runs_from(w, start, m);
    }
    return best_end(w, p->npile);
}

static void trace(struct work *w, size_t method, struct sg_daily_choice *out)
{
    const struct sg_daily_problem *p = w->p;
    size_t day_count = 0;
    for (size_t end = p->npile, m = method; end > 0;) {
        const struct state *s = &w->best[end * p->nmethod + m];
        for (size_t i = s->start; i < end; i++)
            out->method[i] = m;
        end = s->start;
        m = s->from;
    }
    for (size_t i = 0; i < p->npile;) {
        size_t m = out->method[i];
        struct day day = { 0, 0 };
        for (; i < p->npile && out->method[i] == m && put_pile(w, &day, m, i); i++)
            out->day[i] = day_count + day.count - 1;
        day_count += day.count;
    }
}

/* The row that is broken most on any day; SIZE_MAX = none is. */
static size_t broken_row(const struct sg_daily_problem *p, const struct sg_daily_choice *choice)
{
    size_t found = SIZE_MAX;
    double most = FULL;
    for (size_t r = 0; r < p->ndose; r++) {
        double sum = 0;
        for (size_t i = 0; i < p->npile; i++) {
            if (i > 0 && choice->day[i] != choice->day[i - 1])
                sum = 0;
            sum += p->dose[(r * p->nmethod + choice->method[i]) * p->npile + i];
            if (sum > most) {
                most = sum;
                found = r;
            }
        }
    }
    return found;
}

static size_t first_blocked(const struct work *w)
{
    size_t reached = 0;
    for (size_t i = 1; i <= w->p->npile; i++) {
        if (best_end(w, i) != SIZE_MAX)
            reached = i;
    }
    return reached;
}

static void finish(struct work *w, size_t end, struct sg_daily_choice *out)
{
    out->feasible = end != SIZE_MAX;
    out->blocked_pile = out->feasible ? SIZE_MAX : first_blocked(w);
    out->days = out->feasible ? w->best[w->p->npile * w->p->nmethod + end].days : SG_UNSET;
    if (out->feasible)
        trace(w, end, out);
}

sg_status sg_daily_choose(const struct sg_daily_problem *problem, size_t max_rounds,
                          struct sg_arena *arena, struct sg_daily_choice *out)
{
    struct sg_arena scratch = SG_ARENA_INIT;
    size_t size = (problem->npile + 1) * problem->nmethod;
    struct work w = { .p = problem, .run = problem->least_run > 1 ? problem->least_run : 1 };
    struct sg_daily_choice choice = { .least_days = SG_UNSET };
    sg_status status = SG_ERR_NOMEM;
    if (problem->npile == 0 || problem->nmethod == 0)
        return SG_ERR_USAGE;
    if (w.run > problem->npile)
        w.run = problem->npile;
    size_t *row = sg_arena_alloc(&scratch, problem->ndose + 1, sizeof(*row));
    w.sum = sg_arena_alloc(&scratch, problem->ndose + 1, sizeof(*w.sum));
    w.best = sg_arena_alloc(&scratch, size, sizeof(*w.best));
    choice.method = sg_arena_alloc(arena, problem->npile, sizeof(*choice.method));
    choice.day = sg_arena_alloc(arena, problem->npile, sizeof(*choice.day));
    if (!row || !w.sum || !w.best || !choice.method || !choice.day)
        goto done;
    w.row = row;
    for (;;) {
        choice.rounds++;
        finish(&w, solve(&w), &choice);
        choice.least_days = choice.days;
        size_t broken = choice.feasible ? broken_row(problem, &choice) : SIZE_MAX;
        if (broken == SIZE_MAX)
            break;
        if (choice.rounds > max_rounds) {
            double least = choice.least_days;
            w.largest = true;
            w.nrow = 1;
            finish(&w, solve(&w), &choice);
            choice.least_days = least;
            break;
        }
        row[w.nrow++] = broken;
    }
    choice.rows_used = w.nrow;
    *out = choice;
    status = SG_OK;
done:
    sg_arena_release(&scratch);
    return status;
}
