/* wall_plan.c - the choice of methods for a site: costs and ratios out of its values, stretches
 * out of the choice, the front of cost against highest ratio. */
#include "plan_internal.h"
#include "stillground/choice.h"

#include <math.h>
#include <string.h>

#define FRONT_MOST 40
#define FRONT_STEP 0.1 /* share by which the highest ratio falls from line to line */
#define DOSE_ROUNDS 40
#define DOSE_NUMBERS_MOST ((size_t)40000000) /* of rows x methods x piles kept at once */

struct making {
    struct sg_plan *plan;
    const struct sg_wall_values *v;
    const struct sg_choice_wish *wish;
    double *cost, *ratio, *set_up;
    bool *allowed;
};

static double change_days(const struct sg_site *site)
{
    const struct sg_programme *p = site->programme;
    return p ? p->change_over_minutes / (60.0 * site->hours.work_h) : 0;
}

static bool ground_allows(const struct sg_choice_wish *wish, const struct sg_pile_value *value)
{
    switch (value->ground.verdict) {
    case SG_UNSUITABLE:
        return false;
    case SG_MARGINAL:
        return wish->marginal;
    case SG_SUITABLE:
    case SG_SUITABILITY_UNKNOWN:
    default:
        return true;
    }
}

static bool make_lists(struct making *k)
{
    const struct sg_wall_values *v = k->v;
    size_t size = v->npile * v->nmethod;
    struct sg_arena *arena = &k->plan->arena;
    k->cost = sg_arena_alloc(arena, size, sizeof(*k->cost));
    k->ratio = sg_arena_alloc(arena, size, sizeof(*k->ratio));
    k->allowed = sg_arena_alloc(arena, size, sizeof(*k->allowed));
    if (!k->cost || !k->ratio || !k->allowed)
        return false;
    for (size_t i = 0; i < size; i++) {
        size_t method = i % v->nmethod;
        const struct sg_pile_value *value = &v->value[i];
        k->cost[i] = k->wish->day_weight * sg_pile_days(v->site, value->minutes) +
                     k->wish->cost_weight * v->site->method[method].cost_per_pile;
        k->ratio[i] = k->wish->dose ? value->vibration_ratio : value->ratio;
        k->allowed[i] = ground_allows(k->wish, value);
    }
    return true;
}

static sg_status choose_by_peaks(struct making *k, const struct sg_wall_problem *problem)
{
    struct sg_plan *plan = k->plan;
    sg_status status = sg_wall_choose(problem, &plan->arena, &plan->choice);
    if (status != SG_OK)
        return status;
    plan->front = sg_arena_alloc(&plan->arena, FRONT_MOST, sizeof(*plan->front));
    if (!plan->front)
        return SG_ERR_NOMEM;
    return sg_wall_front(problem, FRONT_STEP, &plan->arena, plan->front, FRONT_MOST, &plan->nfront,
                         &plan->front_more);
}

/* ---- doses ---- */

struct doses {
    double *value; /* [(row * nmethod + method) * npile + pile] */
    size_t nrow, capacity;
};

/* Level of a working day with the rig at a pile all the time, as a limit is stated on. */
static double shift_level(const struct making *k, size_t method, size_t receptor, size_t pile,
                          const struct sg_noise_ask *ask)
{
    struct sg_site view = *k->v->site;
    struct sg_value value;
    view.pile = &k->v->site->pile[pile];
    view.npile = 1;
    sg_noise_value(&view, method, receptor, ask, &value, NULL);
    return k->v->confidence == SG_BY_CENTRAL ? value.central : value.upper;
}

static bool grow_doses(struct doses *d, size_t row_size)
{
    if (d->nrow < d->capacity)
        return true;
    size_t capacity = d->capacity > 0 ? 2 * d->capacity : 8;
    double *grown = sg_realloc(d->value, capacity * row_size, sizeof(*grown));
    if (!grown)
        return false;
    d->value = grown;
    d->capacity = capacity;
    return true;
}

/* One row: a receptor and one of its limits. Left out when no day by any method can break it. */
static sg_status add_row(struct making *k, size_t receptor, const struct sg_verdict *verdict,
                         struct doses *d, struct sg_errors *errors)
{
    const struct sg_wall_values *v = k->v;
    size_t row_size = v->nmethod * v->npile;
    bool binds = false;
    const struct sg_hours *hours = &v->site->hours;
    struct sg_noise_ask ask = sg_noise_ask_of(hours, verdict->set, verdict->row, verdict->period);
    /* an averaging time that takes less than the day's work cannot be thinned out over the day */
    bool whole_day = ask.span.worked_h >= hours->work_h - 1e-9;
    if ((d->nrow + 1) * row_size > DOSE_NUMBERS_MOST)
        return sg_errors_add(errors, SG_ERR_INPUT, NULL,
                             "too many receptors for limits on a day's "
                             "dose (%zu rows of %zu); allowed: fewer receptors, or the plan by the "
                             "whole shift",
                             d->nrow + 1, row_size);
    if (!grow_doses(d, row_size))
        return SG_ERR_NOMEM;
    double *row = &d->value[d->nrow * row_size];
    for (size_t m = 0; m < v->nmethod; m++) {
        for (size_t i = 0; i < v->npile; i++) {
            double level = shift_level(k, m, receptor, i, &ask);
            double full = sg_is_set(level) ? pow(10, (level - verdict->limit) / 10) : 0;
            double days = sg_pile_days(v->site, v->value[i * v->nmethod + m].minutes);
            row[m * v->npile + i] = whole_day ? full * days : full > 1 ? 2 : 0;
            binds |= full > 1;
        }
    }
    d->nrow += binds;
    return SG_OK;
}

static sg_status make_doses(struct making *k, struct doses *d, struct sg_errors *errors)
{
    const struct sg_site *site = k->v->site;
    sg_status status = SG_OK;
    for (size_t r = 0; r < site->nreceptor && sg_ok(status); r++) {
        struct sg_arena scratch = SG_ARENA_INIT;
        struct sg_outcome outcome;
        status = sg_outcome_at_pile(site, 0, r, 0, &scratch, &outcome, errors);
        for (size_t i = 0; sg_ok(status) && i < outcome.nverdict; i++) {
            const struct sg_verdict *v = &outcome.verdict[i];
            if (v->row && v->row->quantity == SG_Q_LAEQ && sg_is_set(v->limit))
                status = add_row(k, r, v, d, errors);
        }
        sg_arena_release(&scratch);
    }
    return sg_ok(status) ? SG_OK : status;
}

static sg_status choose_by_days(struct making *k, struct sg_errors *errors)
{
    const struct sg_wall_values *v = k->v;
    const struct sg_site *site = v->site;
    size_t size = v->npile * v->nmethod;
    struct doses d = { .value = NULL };
    sg_status status = make_doses(k, &d, errors);
    double *minutes = sg_arena_alloc(&k->plan->arena, size, sizeof(*minutes));
    if (status == SG_OK && !minutes)
        status = SG_ERR_NOMEM;
    if (status == SG_OK) {
        double day = 60.0 * site->hours.work_h;
        for (size_t i = 0; i < size; i++) {
            minutes[i] = day * sg_pile_days(site, v->value[i].minutes);
            k->allowed[i] = k->allowed[i] && k->ratio[i] <= k->wish->highest_ratio;
        }
        struct sg_daily_problem problem = {
            .npile = v->npile,
            .nmethod = v->nmethod,
            .minutes = minutes,
            .allowed = k->allowed,
            .day_minutes = day,
            .dose = d.value,
            .ndose = d.nrow,
            .change_days = change_days(site),
            .least_run = site->programme ? site->programme->least_run : 1,
        };
        status = sg_daily_choose(&problem, DOSE_ROUNDS, &k->plan->arena, &k->plan->daily);
    }
    sg_free(d.value);
    return status;
}

/* ---- stretches ---- */

static void tell_stretch(const struct making *k, const size_t *method, struct sg_stretch *s)
{
    const struct sg_wall_values *v = k->v;
    s->from_m = v->site->pile[s->first].chainage_m;
    s->to_m = v->site->pile[s->last].chainage_m;
    s->governing_pile = SIZE_MAX;
    for (size_t i = s->first; i <= s->last; i++) {
        size_t at = i * v->nmethod + method[i];
        const struct sg_pile_value *value = &v->value[at];
        s->days += sg_pile_days(v->site, value->minutes);
        s->marginal_piles += value->ground.verdict == SG_MARGINAL;
        s->broken_piles += !k->allowed[at] || !(k->ratio[at] <= k->wish->highest_ratio);
        if (s->governing_pile == SIZE_MAX || value->ratio > s->highest_ratio) {
            s->highest_ratio = value->ratio;
            s->governing_pile = i;
        }
    }
}

static sg_status make_stretches(struct making *k, const size_t *method)
{
    struct sg_plan *plan = k->plan;
    size_t n = k->v->npile;
    plan->stretch = sg_arena_alloc(&plan->arena, n, sizeof(*plan->stretch));
    if (!plan->stretch)
        return SG_ERR_NOMEM;
    for (size_t i = 0; i < n; i++) {
        if (i == 0 || method[i] != method[i - 1])
            plan->stretch[plan->nstretch++] =
                (struct sg_stretch){ .first = i, .method = method[i] };
        plan->stretch[plan->nstretch - 1].last = i;
    }
    for (size_t i = 0; i < plan->nstretch; i++) {
        tell_stretch(k, method, &plan->stretch[i]);
        plan->days += plan->stretch[i].days;
    }
    plan->days += (double)(plan->nstretch - 1) * change_days(k->v->site);
    return SG_OK;
}

sg_status sg_plan_make(const struct sg_wall_values *values, const struct sg_choice_wish *wish,
                       struct sg_plan *out, struct sg_errors *errors)
{
    struct sg_plan plan = SG_PLAN_INIT;
    struct making k = { .plan = &plan, .v = values, .wish = wish };
    plan.values = values;
    plan.wish = *wish;
    sg_status status = make_lists(&k) ? SG_OK : SG_ERR_NOMEM;
    const struct sg_programme *programme = values->site->programme;
    struct sg_wall_problem problem = {
        .npile = values->npile,
        .nmethod = values->nmethod,
        .cost = k.cost,
        .ratio = k.ratio,
        .allowed = k.allowed,
        .highest_ratio = wish->highest_ratio,
        .change = wish->day_weight * change_days(values->site),
        .least_run = programme ? programme->least_run : 1,
    };
    if (status == SG_OK)
        status = choose_by_peaks(&k, &problem);
    if (status == SG_OK && wish->dose)
        status = choose_by_days(&k, errors);
    bool by_days = wish->dose && plan.daily.feasible;
    if (status == SG_OK)
        status = make_stretches(&k, by_days ? plan.daily.method : plan.choice.method);
    if (status == SG_OK && by_days)
        plan.days = plan.daily.days;
    if (status == SG_OK)
        *out = plan;
    else
        sg_arena_release(&plan.arena);
    return status;
}

void sg_plan_release(struct sg_plan *plan)
{
    if (plan)
        sg_arena_release(&plan->arena);
}
