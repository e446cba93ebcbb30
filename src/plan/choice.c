/* choice.c - a method for every pile, limits on peaks: exact by dynamic programming along the wall.
 *
 * best[i][m]: the first i piles are done, the last run is by m and long enough. Either the run goes
 * on by one pile, or it began least_run piles ago after another method. Scores are compared part by
 * part: piles that the ground stops, piles over a limit, how far over, cost. The first three are
 * whole numbers (the excess in millionths of a logarithm), so that sums are exact. */
#include "stillground/choice.h"

#include <float.h>
#include <math.h>
#include <string.h>

#define EXCESS_SCALE 1e6
#define EXCESS_MOST 50.0 /* of a ratio that is refused */

struct score {
    size_t blocked; /* SIZE_MAX = cannot be */
    size_t broken, excess;
    double cost;
};

static const struct score never = { SIZE_MAX, 0, 0, 0 };

static bool better(struct score a, struct score b)
{
    if (a.blocked != b.blocked)
        return a.blocked < b.blocked;
    if (a.broken != b.broken)
        return a.broken < b.broken;
    if (a.excess != b.excess)
        return a.excess < b.excess;
    return a.blocked != SIZE_MAX && a.cost < b.cost;
}

static struct score plus(struct score a, struct score b)
{
    if (a.blocked == SIZE_MAX)
        return a;
    return (struct score){ a.blocked + b.blocked, a.broken + b.broken, a.excess + b.excess,
                           a.cost + b.cost };
}

static struct score minus(struct score a, struct score b)
{
    return (struct score){ a.blocked - b.blocked, a.broken - b.broken, a.excess - b.excess,
                           a.cost - b.cost };
}

struct table {
    const struct sg_wall_problem *p;
    size_t run;         /* least length of a run */
    struct score *best; /* [(piles done) * nmethod + method] */
    size_t *from;       /* method before the run began; own = the run goes on; SIZE_MAX = first */
    struct score *sum;  /* [(piles done) * nmethod + method], from the start by one method */
};

static size_t excess_of(const struct sg_wall_problem *p, double ratio)
{
    if (ratio <= p->highest_ratio)
        return 0;
    double over = p->highest_ratio > 0 ? log(ratio / p->highest_ratio) : EXCESS_MOST;
    return (size_t)llround(EXCESS_SCALE * (over < EXCESS_MOST ? over : EXCESS_MOST));
}

static struct score of_pile(const struct sg_wall_problem *p, size_t pile, size_t method)
{
    size_t at = pile * p->nmethod + method;
    bool over = !(p->ratio[at] <= p->highest_ratio);
    return (struct score){ !p->allowed[at], over, excess_of(p, p->ratio[at]), p->cost[at] };
}

static bool make_table(struct table *t, struct sg_arena *arena)
{
    const struct sg_wall_problem *p = t->p;
    size_t size = (p->npile + 1) * p->nmethod;
    t->best = sg_arena_alloc(arena, size, sizeof(*t->best));
    t->from = sg_arena_alloc(arena, size, sizeof(*t->from));
    t->sum = sg_arena_alloc(arena, size, sizeof(*t->sum));
    if (!t->best || !t->from || !t->sum)
        return false;
    for (size_t i = 0; i < p->npile; i++) {
        for (size_t m = 0; m < p->nmethod; m++) {
            size_t at = i * p->nmethod + m;
            t->sum[at + p->nmethod] = plus(t->sum[at], of_pile(p, i, m));
        }
    }
    return true;
}

static double set_up(const struct sg_wall_problem *p, size_t method)
{
    return p->set_up ? p->set_up[method] : 0;
}

/* The best method other than m after `done` piles; SIZE_MAX = none. */
static size_t best_other(const struct table *t, size_t done, size_t m)
{
    size_t found = SIZE_MAX;
    const struct score *row = &t->best[done * t->p->nmethod];
    for (size_t k = 0; k < t->p->nmethod; k++) {
        if (k != m && row[k].blocked != SIZE_MAX &&
            (found == SIZE_MAX || better(row[k], row[found])))
            found = k;
    }
    return found;
}

static void fill(struct table *t)
{
    const struct sg_wall_problem *p = t->p;
    for (size_t m = 0; m < p->nmethod; m++)
        t->best[m] = never;
    for (size_t i = 1; i <= p->npile; i++) {
        for (size_t m = 0; m < p->nmethod; m++) {
            size_t at = i * p->nmethod + m, before = at - p->nmethod;
            t->best[at] = plus(t->best[before], of_pile(p, i - 1, m));
            t->from[at] = m;
            if (i < t->run)
                continue;
            size_t start = (i - t->run) * p->nmethod + m;
            size_t other = best_other(t, i - t->run, m);
            bool begins = i == t->run;
            if (!begins && other == SIZE_MAX)
                continue;
            struct score entry = minus(t->sum[at], t->sum[start]);
            entry.cost += set_up(p, m) + (begins ? 0 : p->change);
            if (!begins)
                entry = plus(t->best[(i - t->run) * p->nmethod + other], entry);
            if (better(entry, t->best[at])) {
                t->best[at] = entry;
                t->from[at] = begins ? SIZE_MAX : other;
            }
        }
    }
}

static void trace(const struct table *t, size_t method, size_t *out)
{
    const struct sg_wall_problem *p = t->p;
    size_t i = p->npile, m = method;
    while (i > 0) {
        size_t from = t->from[i * p->nmethod + m];
        size_t take = from == m ? 1 : t->run;
        for (size_t k = 0; k < take; k++)
            out[--i] = m;
        if (from != m && from != SIZE_MAX)
            m = from;
    }
}

/* Sums a choice up afresh, so that what is told is what the list says. */
static void tell(const struct sg_wall_problem *p, struct sg_wall_choice *out)
{
    out->blocked = out->broken = out->changes = 0;
    out->cost = set_up(p, out->method[0]);
    out->highest_ratio = 0;
    for (size_t i = 0; i < p->npile; i++) {
        size_t m = out->method[i], at = i * p->nmethod + m;
        if (i > 0 && out->method[i - 1] != m) {
            out->changes++;
            out->cost += p->change + set_up(p, m);
        }
        struct score here = of_pile(p, i, m);
        out->cost += here.cost;
        out->blocked += here.blocked;
        out->broken += here.broken;
        if (here.broken == 0 && p->ratio[at] > out->highest_ratio)
            out->highest_ratio = p->ratio[at];
    }
}

sg_status sg_wall_choose(const struct sg_wall_problem *problem, struct sg_arena *arena,
                         struct sg_wall_choice *out)
{
    struct sg_arena scratch = SG_ARENA_INIT;
    struct table t = { .p = problem, .run = problem->least_run > 1 ? problem->least_run : 1 };
    struct sg_wall_choice choice = { .method = NULL };
    sg_status status = SG_ERR_NOMEM;
    if (problem->npile == 0 || problem->nmethod == 0)
        return SG_ERR_USAGE;
    if (t.run > problem->npile)
        t.run = problem->npile;
    choice.method = sg_arena_alloc(arena, problem->npile, sizeof(*choice.method));
    if (!choice.method || !make_table(&t, &scratch))
        goto done;
    fill(&t);
    size_t last = best_other(&t, problem->npile, SIZE_MAX);
    if (last == SIZE_MAX) {
        status = SG_ERR_BUG; /* one method all along is always possible */
        goto done;
    }
    trace(&t, last, choice.method);
    tell(problem, &choice);
    *out = choice;
    status = SG_OK;
done:
    sg_arena_release(&scratch);
    return status;
}

sg_status sg_wall_front(const struct sg_wall_problem *problem, double step, struct sg_arena *arena,
                        struct sg_wall_choice *out, size_t max, size_t *count, bool *more)
{
    struct sg_wall_problem p = *problem;
    p.highest_ratio =
        DBL_MAX; /* a pile that no ratio is known for ends the front, not goes on it */
    *count = 0;
    *more = false;
    for (;;) {
        struct sg_wall_choice next;
        sg_status status = sg_wall_choose(&p, arena, &next);
        if (status != SG_OK)
            return status;
        if (next.blocked + next.broken > 0)
            return SG_OK;
        /* the same cost at a lower ratio: the one before was no point of the front */
        if (*count > 0 && next.cost <= out[*count - 1].cost) {
            out[*count - 1] = next;
        } else if (*count == max) {
            *more = true;
            return SG_OK;
        } else {
            out[(*count)++] = next;
        }
        if (!(next.highest_ratio > 0))
            return SG_OK;
        p.highest_ratio =
            step > 0 ? next.highest_ratio * (1 - step) : nextafter(next.highest_ratio, 0);
    }
}
