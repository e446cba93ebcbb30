/* pile_values.c - every method at every pile: what it brings to the receptor that governs, whether
 * the ground lets it, how long it takes.
 *
 * Receptors that differ in nothing but their place are of one kind. Every relation falls with
 * distance and every limit of a kind is the same, so that of each kind the nearest to a pile
 * governs;
 * a tree of boxes finds it. Work grows with piles x kinds x (methods + log receptors). */
#include "plan_internal.h"
#include "stillground/choice.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* ---- one pile ---- */

sg_status sg_outcome_at_pile(const struct sg_site *site, size_t method, size_t receptor,
                             size_t pile, struct sg_arena *arena, struct sg_outcome *out,
                             struct sg_errors *errors)
{
    struct sg_site view = *site;
    view.pile = &site->pile[pile];
    view.npile = 1;
    sg_status status = sg_outcome_explain(&view, method, receptor, out, arena, NULL, errors);
    if (sg_ok(status) && out->pile != SIZE_MAX)
        out->pile = pile;
    return status;
}

enum sg_ground_group sg_hardest_ground(const struct sg_borehole *borehole, double toe_depth_m)
{
    enum sg_ground_group hardest = SG_GROUND_SOFT;
    bool any = false;
    for (size_t i = 0; borehole && i < borehole->nlayer; i++) {
        const struct sg_layer *layer = &borehole->layer[i];
        if (layer->top_m >= toe_depth_m)
            continue;
        any = true;
        if (layer->soil->group > hardest)
            hardest = layer->soil->group;
    }
    return any ? hardest : SG_GROUND_HARD;
}

static const struct sg_borehole *ground_of(const struct sg_site *site, size_t pile)
{
    size_t at = site->pile[pile].borehole;
    return at < site->nborehole ? &site->borehole[at] : NULL;
}

double sg_pile_minutes(const struct sg_site *site, size_t method, size_t pile)
{
    const struct sg_method *m = &site->method[method];
    double own = SG_UNSET;
    switch (sg_hardest_ground(ground_of(site, pile), site->pile[pile].toe_depth_m)) {
    case SG_GROUND_SOFT:
        own = m->minutes_soft;
        break;
    case SG_GROUND_MEDIUM:
        own = m->minutes_medium;
        break;
    case SG_GROUND_HARD:
    case SG_GROUND_REFUSAL:
    case SG_GROUND_GROUP_END:
    default:
        own = m->minutes_hard;
        break;
    }
    return own > 0 ? own : m->minutes_per_pile;
}

double sg_pile_days(const struct sg_site *site, double minutes)
{
    return minutes / (60.0 * site->hours.work_h);
}

size_t sg_reaction_piles(enum sg_technique technique)
{
    bool pressed = (SG_ANY_PRESS_IN & SG_TECHNIQUE_BIT(technique)) != 0;
    return pressed ? sg_reaction()->piles_high : 0;
}

/* ---- kinds of receptors ---- */

struct kinds {
    const struct sg_site *site;
    size_t *order; /* receptors sorted by kind */
    size_t *first; /* where each kind begins; nkind + 1 places */
    size_t nkind;
};

static int by_number(double a, double b)
{
    if (!sg_is_set(a) || !sg_is_set(b))
        return sg_is_set(a) - sg_is_set(b);
    return (a > b) - (a < b);
}

static int by_bits(unsigned a, unsigned b)
{
    return (a > b) - (a < b);
}

static int by_text(const char *a, const char *b)
{
    return strcmp(a ? a : "", b ? b : "");
}

static double ambient_of(const struct sg_receptor *r, int period)
{
    return period == SG_DAY       ? r->ambient_day_db
           : period == SG_EVENING ? r->ambient_evening_db
                                  : r->ambient_night_db;
}

/* The ambient level matters only by the category that it leads to. */
static int by_category(const struct sg_receptor *a, const struct sg_receptor *b,
                       const char *const *list, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        const struct sg_limit_set *set = sg_limit_set_find(list[i]);
        for (int p = SG_DAY; set && p <= SG_NIGHT; p++) {
            struct sg_judged ja = sg_judged_of(a, (enum sg_period)p);
            struct sg_judged jb = sg_judged_of(b, (enum sg_period)p);
            ja.ambient_db = ambient_of(a, p);
            jb.ambient_db = ambient_of(b, p);
            int order = by_text(sg_limit_category(set, &ja, (enum sg_period)p),
                                sg_limit_category(set, &jb, (enum sg_period)p));
            if (order != 0)
                return order;
        }
    }
    return 0;
}

static int by_limits(const struct sg_site *site, const struct sg_receptor *a,
                     const struct sg_receptor *b)
{
    size_t na, nb;
    const char *const *la = sg_site_limit_sets(site, a, &na);
    const char *const *lb = sg_site_limit_sets(site, b, &nb);
    if (na != nb)
        return na < nb ? -1 : 1;
    for (size_t i = 0; i < na; i++) {
        int order = by_text(la[i], lb[i]);
        if (order != 0)
            return order;
    }
    return by_category(a, b, la, na);
}

static int by_kind(const struct sg_site *site, size_t left, size_t right)
{
    const struct sg_receptor *a = &site->receptor[left], *b = &site->receptor[right];
    const struct sg_building_transfer *ta = &a->transfer, *tb = &b->transfer;
    const int order[] = {
        by_bits(a->use, b->use),
        by_bits(a->building_class, b->building_class),
        by_bits(a->area, b->area),
        by_bits((unsigned)a->position, (unsigned)b->position),
        by_text(ta->foundation ? ta->foundation->id : NULL,
                tb->foundation ? tb->foundation->id : NULL),
        by_number(ta->foundation_factor, tb->foundation_factor),
        by_number(ta->floor_factor, tb->floor_factor),
        by_bits(ta->use_published_floor, tb->use_published_floor),
        by_number(a->dominant_frequency_hz, b->dominant_frequency_hz),
        by_number(a->screening_db, b->screening_db),
        by_number(a->own_ppv_limit_mm_s, b->own_ppv_limit_mm_s),
    };
    for (size_t i = 0; i < SG_COUNT(order); i++) {
        if (order[i] != 0)
            return order[i];
    }
    return by_limits(site, a, b);
}

/* Merge sort, for a comparison that needs the site and an order that is stable. */
static void sort_kinds(const struct sg_site *site, size_t *list, size_t *spare, size_t count)
{
    if (count < 2)
        return;
    size_t half = count / 2, i = 0, j = half, k = 0;
    sort_kinds(site, list, spare, half);
    sort_kinds(site, list + half, spare, count - half);
    while (i < half && j < count)
        spare[k++] = by_kind(site, list[j], list[i]) < 0 ? list[j++] : list[i++];
    while (i < half)
        spare[k++] = list[i++];
    memcpy(list, spare, k * sizeof(*list));
}

static bool find_kinds(const struct sg_site *site, struct sg_arena *arena, struct kinds *out)
{
    size_t n = site->nreceptor;
    size_t *spare = sg_arena_alloc(arena, n + 1, sizeof(*spare));
    *out = (struct kinds){ .site = site };
    out->order = sg_arena_alloc(arena, n + 1, sizeof(*out->order));
    out->first = sg_arena_alloc(arena, n + 1, sizeof(*out->first));
    if (!spare || !out->order || !out->first)
        return false;
    for (size_t i = 0; i < n; i++)
        out->order[i] = i;
    sort_kinds(site, out->order, spare, n);
    for (size_t i = 0; i < n; i++) {
        if (i == 0 || by_kind(site, out->order[i - 1], out->order[i]) != 0)
            out->first[out->nkind++] = i;
    }
    out->first[out->nkind] = n;
    return true;
}

/* ---- the nearest of a kind ---- */

struct box {
    double west_m, south_m, east_m, north_m;
};

#define LEAF 4

/* A balanced tree over a piece of the order: the middle splits it, its box covers it. */
struct forest {
    const struct sg_site *site;
    size_t *order;
    struct box *box;     /* by the middle of each piece */
    struct keyed *keyed; /* room for sorting */
};

static struct box box_of(const struct sg_receptor *r)
{
    struct box b = { r->at.x_m, r->at.y_m, r->at.x_m, r->at.y_m };
    for (size_t i = 0; i < r->nfootprint; i++) {
        b.west_m = fmin(b.west_m, r->footprint[i].x_m);
        b.east_m = fmax(b.east_m, r->footprint[i].x_m);
        b.south_m = fmin(b.south_m, r->footprint[i].y_m);
        b.north_m = fmax(b.north_m, r->footprint[i].y_m);
    }
    return b;
}

static double key_of(const struct sg_site *site, size_t receptor, bool east)
{
    return east ? site->receptor[receptor].at.x_m : site->receptor[receptor].at.y_m;
}

struct keyed {
    double key;
    size_t receptor;
};

static int by_key(const void *left, const void *right)
{
    const struct keyed *a = left, *b = right;
    if (a->key < b->key || a->key > b->key)
        return a->key < b->key ? -1 : 1;
    return a->receptor < b->receptor ? -1 : a->receptor > b->receptor;
}

static void sort_piece(const struct forest *f, size_t low, size_t high, bool east)
{
    for (size_t i = low; i < high; i++)
        f->keyed[i] = (struct keyed){ key_of(f->site, f->order[i], east), f->order[i] };
    qsort(&f->keyed[low], high - low, sizeof(*f->keyed), by_key);
    for (size_t i = low; i < high; i++)
        f->order[i] = f->keyed[i].receptor;
}

static struct box plant(const struct forest *f, size_t low, size_t high)
{
    struct box all = { SG_INFINITY, SG_INFINITY, -SG_INFINITY, -SG_INFINITY };
    for (size_t i = low; i < high; i++) {
        struct box b = box_of(&f->site->receptor[f->order[i]]);
        all.west_m = fmin(all.west_m, b.west_m);
        all.east_m = fmax(all.east_m, b.east_m);
        all.south_m = fmin(all.south_m, b.south_m);
        all.north_m = fmax(all.north_m, b.north_m);
    }
    if (high - low > LEAF) {
        size_t middle = low + (high - low) / 2;
        sort_piece(f, low, high, all.east_m - all.west_m > all.north_m - all.south_m);
        plant(f, low, middle);
        plant(f, middle, high);
    }
    if (high > low)
        f->box[low + (high - low) / 2] = all;
    return all;
}

static double box_distance(const struct box *b, struct sg_point p)
{
    double dx = fmax(fmax(b->west_m - p.x_m, p.x_m - b->east_m), 0);
    double dy = fmax(fmax(b->south_m - p.y_m, p.y_m - b->north_m), 0);
    return hypot(dx, dy);
}

struct nearest {
    size_t receptor;
    double distance_m;
};

static void seek(const struct forest *f, size_t low, size_t high, struct sg_point p,
                 struct nearest *found)
{
    if (high - low <= LEAF) {
        for (size_t i = low; i < high; i++) {
            size_t r = f->order[i];
            double distance = sg_site_distance_m(&f->site->receptor[r], p);
            bool tie = !(distance > found->distance_m) && !(distance < found->distance_m);
            if (distance < found->distance_m || (tie && r < found->receptor)) {
                found->distance_m = distance;
                found->receptor = r;
            }
        }
        return;
    }
    size_t middle = low + (high - low) / 2;
    size_t left = low + (middle - low) / 2, right = middle + (high - middle) / 2;
    double to_left = box_distance(&f->box[left], p), to_right = box_distance(&f->box[right], p);
    bool left_first = to_left <= to_right;
    for (int turn = 0; turn < 2; turn++) {
        bool go_left = (turn == 0) == left_first;
        if ((go_left ? to_left : to_right) <= found->distance_m)
            seek(f, go_left ? low : middle, go_left ? middle : high, p, found);
    }
}

/* ---- values ---- */

static void take_verdict(const struct sg_wall_values *w, const struct sg_outcome *outcome,
                         const struct sg_verdict *v, struct sg_pile_value *out)
{
    bool central = w->confidence == SG_BY_CENTRAL;
    double ratio = central ? v->ratio_central : v->ratio_upper;
    bool noise = v->row && v->row->purpose == SG_FOR_NOISE;
    if (v->outside_scope)
        return;
    if (v->state == SG_NOT_DETERMINABLE || !sg_is_set(ratio)) {
        out->not_determinable++;
        return;
    }
    double *part = noise ? &out->noise_ratio : &out->vibration_ratio;
    *part = fmax(*part, ratio);
    if (out->receptor != SIZE_MAX && !(ratio > out->ratio))
        return;
    bool own = sg_same(v->set->id, "OWNER"); /* made for the call: not kept */
    out->ratio = ratio;
    out->receptor = outcome->receptor;
    out->set = own ? NULL : v->set;
    out->row = own ? NULL : v->row;
    out->value = central ? v->value_central : v->value_upper;
    out->limit = v->limit;
    out->distance_m = outcome->distance_m;
    out->marks = v->marks;
}

static sg_status take_pair(struct sg_wall_values *w, size_t pile, size_t method, size_t receptor,
                           struct sg_arena *scratch, struct sg_errors *errors)
{
    struct sg_pile_value *out = &w->value[pile * w->nmethod + method];
    struct sg_outcome outcome;
    sg_status status =
        sg_outcome_at_pile(w->site, method, receptor, pile, scratch, &outcome, errors);
    if (!sg_ok(status))
        return status;
    w->pairs++;
    for (size_t i = 0; i < outcome.nverdict; i++)
        take_verdict(w, &outcome, &outcome.verdict[i], out);
    if (outcome.pile == SIZE_MAX && outcome.nverdict > 0) { /* nearer than 1 m: refused */
        out->ratio = out->vibration_ratio = SG_INFINITY;
        out->receptor = receptor;
        out->set = NULL;
        out->row = NULL;
        out->value = out->limit = SG_UNSET;
        out->distance_m = outcome.distance_m;
    }
    return SG_OK;
}

static void start_value(const struct sg_site *site, size_t pile, size_t method,
                        struct sg_pile_value *out)
{
    *out = (struct sg_pile_value){
        .receptor = SIZE_MAX, .value = SG_UNSET, .limit = SG_UNSET, .distance_m = SG_UNSET
    };
    out->ground = sg_suitability_of(site->method[method].technique, ground_of(site, pile),
                                    site->pile[pile].toe_depth_m);
    if (site->method[method].extract) /* no band of common practice is known for it */
        out->ground.verdict = SG_SUITABILITY_UNKNOWN;
    out->minutes = sg_pile_minutes(site, method, pile);
}

static sg_status one_pile(struct sg_wall_values *w, const struct kinds *kinds,
                          const struct forest *f, size_t pile, struct sg_errors *errors)
{
    struct sg_arena scratch = SG_ARENA_INIT;
    sg_status status = SG_OK;
    for (size_t m = 0; m < w->nmethod; m++)
        start_value(w->site, pile, m, &w->value[pile * w->nmethod + m]);
    for (size_t k = 0; k < kinds->nkind && sg_ok(status); k++) {
        struct nearest found = { SIZE_MAX, SG_INFINITY };
        seek(f, kinds->first[k], kinds->first[k + 1], w->site->pile[pile].at, &found);
        for (size_t m = 0; m < w->nmethod && sg_ok(status) && found.receptor != SIZE_MAX; m++)
            status = take_pair(w, pile, m, found.receptor, &scratch, errors);
    }
    sg_arena_release(&scratch);
    return status;
}

sg_status sg_wall_values_make(const struct sg_site *site, enum sg_confidence confidence,
                              struct sg_wall_values *out, sg_progress *progress, void *payload,
                              struct sg_errors *errors)
{
    struct sg_wall_values w = { .arena = SG_ARENA_INIT,
                                .site = site,
                                .confidence = confidence,
                                .npile = site->npile,
                                .nmethod = site->nmethod };
    struct sg_arena scratch = SG_ARENA_INIT;
    struct kinds kinds;
    sg_status status = SG_ERR_NOMEM;
    w.value = sg_arena_alloc(&w.arena, w.npile * w.nmethod + 1, sizeof(*w.value));
    if (!w.value || !find_kinds(site, &scratch, &kinds))
        goto done;
    struct forest f = { .site = site, .order = kinds.order };
    f.box = sg_arena_alloc(&scratch, site->nreceptor + 1, sizeof(*f.box));
    f.keyed = sg_arena_alloc(&scratch, site->nreceptor + 1, sizeof(*f.keyed));
    if (!f.box || !f.keyed)
        goto done;
    for (size_t k = 0; k < kinds.nkind; k++)
        plant(&f, kinds.first[k], kinds.first[k + 1]);
    w.groups = kinds.nkind;
    status = SG_OK;
    for (size_t i = 0; i < w.npile && sg_ok(status); i++) {
        status = one_pile(&w, &kinds, &f, i, errors);
        if (progress)
            progress(i + 1, w.npile, payload);
    }
done:
    sg_arena_release(&scratch);
    if (sg_ok(status))
        *out = w;
    else
        sg_arena_release(&w.arena);
    return sg_ok(status) ? SG_OK : status;
}

void sg_wall_values_release(struct sg_wall_values *values)
{
    if (values)
        sg_arena_release(&values->arena);
}
