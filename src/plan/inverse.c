/* inverse.c - least distance, highest energy, longest running time and most piles a day, by
 * bisection
 * on the forward calculation itself, so that the answer and the prediction cannot disagree. */
#include "stillground/inverse.h"

#include "plan_internal.h"

#include <math.h>
#include <string.h>

#define FAR_M 1e5 /* as the relations' own inversion */
#define WEAK_KJ 1e-6
#define STRONG_KJ 1e5
#define HALVINGS 200 /* past the last bit of a double on a logarithmic scale */
#define DAY_MINUTES 1440.0

double sg_inverse_on_time_h(double running_db, double limit_db, double period_h)
{
    return period_h * pow(10, (limit_db - running_db) / 10);
}

double sg_inverse_power_m(double k, double n, double limit)
{
    return k > 0 && n > 0 && limit > 0 ? pow(k / limit, 1 / n) : SG_UNSET;
}

struct asking {
    const struct sg_site *site;
    size_t method, receptor, pile;
    enum sg_confidence by;
    const struct sg_limit_row *row;
    bool own;
};

/* The ratio of the asked limit under a changed site; unset = not told. */
static double ratio_of(const struct asking *a, const struct sg_site *view, size_t method,
                       size_t receptor, size_t pile)
{
    struct sg_arena arena = SG_ARENA_INIT;
    struct sg_outcome outcome;
    double ratio = SG_UNSET;
    if (sg_ok(sg_outcome_at_pile(view, method, receptor, pile, &arena, &outcome, NULL))) {
        for (size_t i = 0; i < outcome.nverdict; i++) {
            const struct sg_verdict *v = &outcome.verdict[i];
            bool mine = a->own ? sg_same(v->set->id, "OWNER") : v->row == a->row;
            if (mine)
                ratio = a->by == SG_BY_CENTRAL ? v->ratio_central : v->ratio_upper;
        }
    }
    sg_arena_release(&arena);
    return ratio;
}

/* ---- by distance ---- */

static double ratio_at_distance(const struct asking *a, double distance_m)
{
    struct sg_site view = *a->site;
    struct sg_receptor moved = a->site->receptor[a->receptor];
    struct sg_pile pile = a->site->pile[a->pile];
    pile.at = (struct sg_point){ 0, 0 }; /* small numbers keep all digits of the distance */
    moved.footprint = NULL;
    moved.nfootprint = 0;
    moved.at = (struct sg_point){ distance_m, 0 };
    view.receptor = &moved;
    view.nreceptor = 1;
    view.pile = &pile;
    view.npile = 1;
    return ratio_of(a, &view, a->method, 0, 0);
}

static double ratio_at_energy(const struct asking *a, double energy_kJ)
{
    struct sg_site view = *a->site;
    struct sg_method changed = a->site->method[a->method];
    if (changed.technique == SG_IMPACT)
        changed.energy_kJ = energy_kJ;
    else
        changed.cycle_energy_kJ = energy_kJ;
    view.method = &changed;
    view.nmethod = 1;
    return ratio_of(a, &view, 0, a->receptor, a->pile);
}

typedef double ratio_fn(const struct asking *a, double x);

/* Where the ratio passes 1 between two positive numbers, halving on a logarithmic scale. rises: it
 * grows with x. The answer lies on the side that keeps the limit. */
static struct sg_inverse_value cross(const struct asking *a, ratio_fn *ratio, double low,
                                     double high, bool rises)
{
    struct sg_inverse_value out = { SG_ANSWER_NOT_ASKED, SG_UNSET, NULL };
    double at_low = ratio(a, low), at_high = ratio(a, high);
    if (!sg_is_set(at_low) || !sg_is_set(at_high)) {
        out.why = "the limit is not determinable there";
        return out;
    }
    if ((rises ? at_high : at_low) <= 1) {
        out.answer = SG_ANSWER_ALWAYS;
        return out;
    }
    if ((rises ? at_low : at_high) > 1) {
        out.answer = SG_ANSWER_NONE;
        out.why = "no solution: the limit is broken however little";
        return out;
    }
    for (int i = 0; i < HALVINGS; i++) {
        double middle = sqrt(low * high);
        if (!(middle > low) || !(middle < high))
            break;
        if ((ratio(a, middle) > 1) == rises)
            high = middle;
        else
            low = middle;
    }
    out.answer = SG_ANSWERED;
    out.value = rises ? low : high;
    return out;
}

static struct sg_inverse_value ask_distance(const struct asking *a)
{
    struct sg_inverse_value out = { SG_ANSWER_NOT_ASKED, SG_UNSET,
                                    "stated at the site boundary, whatever the receptor's place" };
    if (a->row && a->row->position == SG_AT_BOUNDARY && sg_noise_quantity(a->row->quantity))
        return out;
    out = cross(a, ratio_at_distance, SG_NEAREST_M, FAR_M, false);
    if (out.answer == SG_ANSWER_ALWAYS)
        out.why = "kept already at 1 m, the nearest that is answered for";
    if (out.answer == SG_ANSWER_NONE)
        out.why = "no solution within 100 km";
    return out;
}

static struct sg_inverse_value ask_energy(const struct asking *a)
{
    const struct sg_method *m = &a->site->method[a->method];
    struct sg_inverse_value out = { SG_ANSWER_NOT_ASKED, SG_UNSET, "no energy in the relation" };
    if (a->row && a->row->purpose == SG_FOR_NOISE) {
        out.why = "a level does not follow from the energy";
        return out;
    }
    if (!m->model->uses_energy || (m->technique != SG_IMPACT && m->technique != SG_VIBRATORY))
        return out;
    out = cross(a, ratio_at_energy, WEAK_KJ, STRONG_KJ, true);
    if (out.answer == SG_ANSWER_NONE)
        out.why = "no solution: the limit is broken at any energy";
    return out;
}

/* ---- by time ---- */

/* Whether a level rises by 10 lg of the time alone: not by steps, nor with other noise in it. */
static bool by_energy(const struct sg_limit_set *set, const struct sg_limit_row *row)
{
    return row->quantity == SG_Q_LAEQ && set->noise_of == SG_NOISE_OF_WORKS &&
           !sg_rating_steps(set->rating, SG_DAY);
}

static double level_of_hours(const struct asking *a, const struct sg_verdict *v, double work_h)
{
    struct sg_site view = *a->site;
    struct sg_value value;
    view.hours.work_h = work_h;
    struct sg_noise_ask ask = sg_noise_ask_of(&view.hours, v->set, v->row, v->period);
    sg_noise_value(&view, a->method, a->receptor, &ask, &value, NULL);
    return a->by == SG_BY_CENTRAL ? value.central : value.upper;
}

/* The longest working time of the shift that keeps a limit which does not go by energy alone, as
 * minutes in which the rig is heard. */
static void ask_hours(const struct asking *a, const struct sg_verdict *v, double limit,
                      struct sg_inverse *out)
{
    double low = 1e-4, high = sg_shift_h(&a->site->hours);
    double share = a->site->method[a->method].on_time_percent / 100;
    struct sg_inverse_value piles = { SG_ANSWER_NOT_ASKED, SG_UNSET,
                                      "goes by steps of the hours, or by noise that is there "
                                      "already" };
    out->piles = piles;
    if (level_of_hours(a, v, high) <= limit) {
        out->minutes =
            (struct sg_inverse_value){ SG_ANSWER_ALWAYS, SG_UNSET, "kept by the whole shift" };
        return;
    }
    if (!(level_of_hours(a, v, low) <= limit)) {
        out->minutes = (struct sg_inverse_value){ SG_ANSWER_NONE, SG_UNSET,
                                                  "no solution: broken by any working time" };
        return;
    }
    for (int i = 0; i < HALVINGS; i++) {
        double middle = 0.5 * (low + high);
        if (level_of_hours(a, v, middle) <= limit)
            low = middle;
        else
            high = middle;
    }
    out->minutes = (struct sg_inverse_value){ SG_ANSWERED, 60 * low * share, NULL };
}

/* All on-times of the method together scale the energy of the period. */
static void ask_time(const struct asking *a, const struct sg_verdict *v, double now, double limit,
                     struct sg_inverse *out)
{
    const struct sg_method *m = &a->site->method[a->method];
    struct sg_inverse_value none = { SG_ANSWER_NOT_ASKED, SG_UNSET,
                                     "a peak does not depend on how long" };
    out->minutes = out->piles = none;
    if (!a->row || !sg_noise_quantity(a->row->quantity) || !sg_is_set(now))
        return;
    if (!by_energy(v->set, a->row)) {
        ask_hours(a, v, limit, out);
        return;
    }
    /* in one averaging time: into it all of a day's running may fall */
    struct sg_sound_span span = sg_noise_ask_of(&a->site->hours, v->set, a->row, v->period).span;
    double run = 60 * span.worked_h * m->on_time_percent / 100;
    double minutes = run * pow(10, (limit - now) / 10);
    if (minutes >= fmin(DAY_MINUTES, 60 * span.averaging_h)) {
        out->minutes =
            (struct sg_inverse_value){ SG_ANSWER_ALWAYS, SG_UNSET, "kept all round the clock" };
        out->piles = out->minutes;
        return;
    }
    out->minutes = (struct sg_inverse_value){ SG_ANSWERED, minutes, NULL };
    double each = sg_pile_minutes(a->site, a->method, a->pile);
    /* each pile is heard for the on-time's share of its minutes */
    double piles = floor(minutes / (each * m->on_time_percent / 100) + 1e-9);
    if (piles >= 1)
        out->piles = (struct sg_inverse_value){ SG_ANSWERED, piles, NULL };
    else
        out->piles = (struct sg_inverse_value){ SG_ANSWER_NONE, SG_UNSET,
                                                "no solution: not one whole pile a day" };
}

static void ask(struct asking *a, const struct sg_verdict *v, struct sg_inverse *out)
{
    a->own = sg_same(v->set->id, "OWNER");
    a->row = a->own ? NULL : v->row;
    *out = (struct sg_inverse){ .set = a->own ? NULL : v->set, .row = a->row, .limit = v->limit };
    out->now = a->by == SG_BY_CENTRAL ? v->value_central : v->value_upper;
    if (v->state == SG_NOT_DETERMINABLE || !v->row) {
        struct sg_inverse_value no = { SG_ANSWER_NOT_ASKED, SG_UNSET, "not determinable" };
        out->distance_m = out->energy_kJ = out->minutes = out->piles = no;
        return;
    }
    out->distance_m = ask_distance(a);
    out->energy_kJ = ask_energy(a);
    ask_time(a, v, out->now, out->limit, out);
}

sg_status sg_inverse_all(const struct sg_site *site, size_t method, size_t receptor,
                         enum sg_confidence by, struct sg_arena *arena, struct sg_inverse **out,
                         size_t *count, struct sg_errors *errors)
{
    struct asking a = { .site = site, .method = method, .receptor = receptor, .by = by };
    struct sg_outcome outcome;
    struct sg_inverse *list = NULL;
    sg_status status = sg_outcome_explain(site, method, receptor, &outcome, arena, NULL, errors);
    if (!sg_ok(status))
        return status;
    a.pile = outcome.pile != SIZE_MAX ? outcome.pile : sg_site_nearest_pile(site, receptor);
    list = sg_arena_alloc(arena, outcome.nverdict + 1, sizeof(*list));
    if (!list)
        return SG_ERR_NOMEM;
    for (size_t i = 0; i < outcome.nverdict; i++)
        ask(&a, &outcome.verdict[i], &list[i]);
    *out = list;
    *count = outcome.nverdict;
    return SG_OK;
}
