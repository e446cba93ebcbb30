/* sensitivity.c - one input at a time moved up and down, and what the governing ratio makes of
 * it. */
#include "stillground/change.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* A site with one method and one receptor, changed. Everything that may be changed is a copy. */
struct scene {
    struct sg_site site;
    struct sg_method method;
    struct sg_receptor receptor;
    struct sg_borehole *borehole;
    struct sg_pile *pile;
    struct sg_point *ring;
    size_t governing_pile;
    const struct sg_limit_set *set;
    const struct sg_limit_row *row; /* NULL = the owner's */
};

typedef bool change_fn(struct scene *s, double factor);

static bool scale(double *value, double factor)
{
    if (!sg_is_set(*value) || !(*value > 0))
        return false;
    *value *= factor;
    return true;
}

static bool change_energy(struct scene *s, double factor)
{
    return s->method.technique == SG_IMPACT
               ? scale(&s->method.energy_kJ, factor)
               : s->method.technique == SG_VIBRATORY && scale(&s->method.cycle_energy_kJ, factor);
}

static bool change_frequency(struct scene *s, double factor)
{
    return scale(&s->method.frequency_Hz, factor);
}

static bool change_on_time(struct scene *s, double factor)
{
    bool done = scale(&s->method.on_time_percent, factor);
    s->method.on_time_percent = fmin(s->method.on_time_percent, 100);
    return done;
}

static bool change_level(struct scene *s, double factor)
{
    if (!sg_is_set(s->method.rig_sound.level_db))
        return false;
    s->method.rig_sound.level_db += 10 * log10(factor); /* the sound power */
    return true;
}

static bool change_toe(struct scene *s, double factor)
{
    for (size_t i = 0; i < s->site.npile; i++)
        s->pile[i].toe_depth_m *= factor;
    return true;
}

/* The receptor is moved on the line from the pile that governs. */
static bool change_distance(struct scene *s, double factor)
{
    struct sg_point from = s->pile[s->governing_pile].at, to = s->receptor.at;
    double move = (factor - 1) * sg_site_distance_m(&s->receptor, from);
    double away = hypot(to.x_m - from.x_m, to.y_m - from.y_m);
    if (!(away > 0))
        return false;
    double dx = move * (to.x_m - from.x_m) / away, dy = move * (to.y_m - from.y_m) / away;
    s->receptor.at.x_m += dx;
    s->receptor.at.y_m += dy;
    for (size_t i = 0; i < s->receptor.nfootprint; i++) {
        s->ring[i].x_m += dx;
        s->ring[i].y_m += dy;
    }
    return true;
}

static bool change_counts(struct scene *s, double factor)
{
    bool any = false;
    for (size_t b = 0; b < s->site.nborehole; b++) {
        struct sg_layer *layer = (struct sg_layer *)s->borehole[b].layer;
        for (size_t i = 0; i < s->borehole[b].nlayer; i++) {
            double n = sg_layer_n(&layer[i]);
            const struct sg_soil *soil =
                sg_is_set(n) ? sg_soil_by_n(layer[i].soil->soil, n * factor) : NULL;
            any |= soil != NULL;
            if (!soil || sg_layer_obstructed(&layer[i]))
                continue;
            layer[i].soil = soil;
            layer[i].spt_n = n * factor;
        }
    }
    return any;
}

static bool change_foundation(struct scene *s, double factor)
{
    return scale(&s->receptor.transfer.foundation_factor, factor);
}

static bool change_floor(struct scene *s, double factor)
{
    return scale(&s->receptor.transfer.floor_factor, factor);
}

static bool change_work(struct scene *s, double factor)
{
    return scale(&s->site.hours.work_h, factor);
}

static bool change_boundary(struct scene *s, double factor)
{
    return scale(&s->site.boundary_distance_m, factor);
}

static const struct {
    const char *name;
    change_fn *change;
} inputs[] = {
    { "energy", change_energy },
    { "driving frequency", change_frequency },
    { "distance", change_distance },
    { "toe depth", change_toe },
    { "SPT N of every layer", change_counts },
    { "sound power of the rig", change_level },
    { "on-time of the rig", change_on_time },
    { "hours of work", change_work },
    { "distance to the boundary", change_boundary },
    { "factor into the foundation", change_foundation },
    { "factor onto the floor", change_floor },
};

static bool copy_ground(const struct sg_site *site, struct sg_arena *arena, struct scene *s)
{
    s->borehole = sg_arena_alloc(arena, site->nborehole + 1, sizeof(*s->borehole));
    if (!s->borehole)
        return false;
    for (size_t b = 0; b < site->nborehole; b++) {
        size_t n = site->borehole[b].nlayer;
        struct sg_layer *layer = sg_arena_alloc(arena, n + 1, sizeof(*layer));
        if (!layer)
            return false;
        s->borehole[b] = site->borehole[b];
        if (n > 0)
            memcpy(layer, site->borehole[b].layer, n * sizeof(*layer));
        s->borehole[b].layer = layer;
    }
    return true;
}

static bool set_scene(const struct sg_study *study, size_t method, struct sg_arena *arena,
                      struct scene *s)
{
    const struct sg_site *site = study->site;
    const struct sg_method_summary *summary = &study->summary[method];
    const struct sg_outcome *outcome = sg_study_outcome(study, method, summary->governing_receptor);
    *s = (struct scene){ .site = *site,
                         .method = site->method[summary->method],
                         .receptor = site->receptor[summary->governing_receptor] };
    bool own = sg_same(summary->governing->set->id, "OWNER");
    s->set = summary->governing->set;
    s->row = own ? NULL : summary->governing->row;
    s->governing_pile = outcome->pile != SIZE_MAX ? outcome->pile : 0;
    s->pile = sg_arena_alloc(arena, site->npile, sizeof(*s->pile));
    s->ring = sg_arena_alloc(arena, s->receptor.nfootprint + 1, sizeof(*s->ring));
    if (!s->pile || !s->ring || !copy_ground(site, arena, s))
        return false;
    memcpy(s->pile, site->pile, site->npile * sizeof(*s->pile));
    if (s->receptor.nfootprint > 0) {
        memcpy(s->ring, s->receptor.footprint, s->receptor.nfootprint * sizeof(*s->ring));
        s->receptor.footprint = s->ring;
    }
    s->site.pile = s->pile;
    s->site.borehole = s->borehole;
    return true;
}

/* The ratio of the limit that governs, with one input changed; unset = the input does not occur. */
static double ratio_with(const struct sg_study *study, size_t method, change_fn *change,
                         double factor)
{
    struct sg_arena arena = SG_ARENA_INIT;
    struct scene s;
    struct sg_outcome outcome;
    double ratio = SG_UNSET;
    if (set_scene(study, method, &arena, &s) && (!change || change(&s, factor))) {
        s.site.method = &s.method;
        s.site.nmethod = 1;
        s.site.receptor = &s.receptor;
        s.site.nreceptor = 1;
        if (sg_ok(sg_outcome_explain(&s.site, 0, 0, &outcome, &arena, NULL, NULL))) {
            for (size_t i = 0; i < outcome.nverdict; i++) {
                const struct sg_verdict *v = &outcome.verdict[i];
                if (s.row ? v->row == s.row : sg_same(v->set->id, "OWNER"))
                    ratio = v->ratio_upper;
            }
        }
    }
    sg_arena_release(&arena);
    return ratio;
}

static int by_strength(const void *left, const void *right)
{
    const struct sg_sensitivity *a = left, *b = right;
    double sa = fabs(a->exponent), sb = fabs(b->exponent);
    if (a->method != b->method)
        return a->method < b->method ? -1 : 1;
    if (sa > sb || sa < sb)
        return sa > sb ? -1 : 1;
    return strcmp(a->input, b->input);
}

sg_status sg_sensitivity_make(const struct sg_study *study, double step, struct sg_arena *arena,
                              struct sg_sensitivity **out, size_t *count)
{
    struct sg_sensitivity *list =
        sg_arena_alloc(arena, study->nmethod * SG_COUNT(inputs) + 1, sizeof(*list));
    size_t n = 0;
    if (!list)
        return SG_ERR_NOMEM;
    for (size_t m = 0; m < study->nmethod; m++) {
        if (!study->summary[m].governing)
            continue;
        double base = ratio_with(study, m, NULL, 1);
        for (size_t i = 0; i < SG_COUNT(inputs) && base > 0; i++) {
            double less = ratio_with(study, m, inputs[i].change, 1 - step);
            double more = ratio_with(study, m, inputs[i].change, 1 + step);
            if (!(less > 0) || !(more > 0))
                continue;
            list[n++] = (struct sg_sensitivity){
                m,
                study->summary[m].governing_receptor,
                inputs[i].name,
                base,
                less,
                more,
                log(more / less) / log((1 + step) / (1 - step)),
            };
        }
    }
    if (n > 1)
        qsort(list, n, sizeof(*list), by_strength);
    *out = list;
    *count = n;
    return SG_OK;
}
