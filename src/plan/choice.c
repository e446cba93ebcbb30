/* choice.c - a method for every pile, limits on peaks: exact by dynamic programming along the wall.
 *
 * best[i][m]: the first i piles are done, the last run is by m and long enough. Either the run goes
 * on by one pile, or it began least_run piles ago after another method. Values are compared by
 * broken piles first and cost second, so the optimum is that of the pair. */
#include "stillground/choice.h"

#include <math.h>
#include <string.h>

struct score {
    size_t broken; /* SIZE_MAX = cannot be */
    double cost;
};

static const struct score never = { SIZE_MAX, 0 };

static bool better(struct score a, struct score b)
{
    if (a.broken != b.broken)
        return a.broken < b.broken;
    return a.broken != SIZE_MAX && a.cost < b.cost;
}

static struct score plus(struct score a, size_t broken, double cost)
{
    if (a.broken == SIZE_MAX)
        return a;
    return (struct score){ a.broken + broken, a.cost + cost };
}

struct table {
    const struct sg_wall_problem *p;
    size_t run;             /* least length of a run */
    struct score *best;     /* [(piles done) * nmethod + method] */
    size_t *from;           /* method before the run began; own = the run goes on; SIZE_MAX = first */
    double *cost_sum;       /* [(piles done) * nmethod + method], sums from the start */
    size_t *broken_sum;
};

static bool is_broken(const struct sg_wall_problem *p, size_t pile, size_t method)
{
    size_t at = pile * p->nmethod + method;
    return !p->allowed[at] || !(p->ratio[at] <= p->highest_ratio);
}

static bool make_table(struct table *t, struct sg_arena *arena)
{
    const struct sg_wall_problem *p = t->p;
    size_t size = (p->npile + 1) * p->nmethod;
    t->best = sg_arena_alloc(arena, size, sizeof(*t->best));
    t->from = sg_arena_alloc(arena, size, sizeof(*t->from));
    t->cost_sum = sg_arena_alloc(arena, size, sizeof(*t->cost_sum));
    t->broken_sum = sg_arena_alloc(arena, size, sizeof(*t->broken_sum));
    if (!t->best || !t->from || !t->cost_sum || !t->broken_sum)
        return false;
    for (size_t i = 0; i < p->npile; i++) {
        for (size_t m = 0; m < p->nmethod; m++) {
            size_t at = i * p->nmethod + m, next = at + p->nmethod;
            t->cost_sum[next] = t->cost_sum[at] + p->cost[at];
            t->broken_sum[next] = t->broken_sum[at] + is_broken(p, i, m);
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
        if (k != m && row[k].broken != SIZE_MAX && (found == SIZE_MAX || better(row[k], row[found])))
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
            t->best[at] = plus(t->best[before], is_broken(p, i - 1, m), p->cost[before]);
            t->from[at] = m;
            if (i < t->run)
                continue;
            size_t start = (i - t->run) * p->nmethod + m;
            size_t other = best_other(t, i - t->run, m);
            struct score first = { 0, 0 };
            bool begins = i == t->run;
            if (!begins && other == SIZE_MAX)
                continue;
            struct score entry =
                plus(begins ? first : t->best[(i - t->run) * p->nmethod + other],
                     t->broken_sum[at] - t->broken_sum[start],
                     t->cost_sum[at] - t->cost_sum[start] + set_up(p, m) + (begins ? 0 : p->change));
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
    out->broken = out->changes = 0;
    out->cost = set_up(p, out->method[0]);
    out->highest_ratio = 0;
    for (size_t i = 0; i < p->npile; i++) {
        size_t m = out->method[i], at = i * p->nmethod + m;
        if (i > 0 && out->method[i - 1] != m) {
            out->changes++;
            out->cost += p->change + set_up(p, m);
        }
        out->cost += p->cost[at];
        if (is_broken(p, i, m))
            out->broken++;
        else if (p->ratio[at] > out->highest_ratio)
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

sg_status sg_wall_front(const struct sg_wall_problem *problem, struct sg_arena *arena,
                        struct sg_wall_choice *out, size_t max, size_t *count, bool *more)
{
    struct sg_wall_problem p = *problem;
    p.highest_ratio = SG_INFINITY;
    *count = 0;
    *more = false;
    for (;;) {
        struct sg_wall_choice next;
        sg_status status = sg_wall_choose(&p, arena, &next);
        if (status != SG_OK)
            return status;
        if (next.broken > 0)
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
        p.highest_ratio = nextafter(next.highest_ratio, 0);
    }
}
