/* standoff.c - how near each method may come for each limit: the models turned round.
 *
 * For the ground of the whole site: of all boreholes and toe depths the one that asks for the
 * largest distance. Free field, no transfer into a building, no screen. */
#include "plan_internal.h"

#include <math.h>

struct asked {
    const struct sg_limit_set *set;
    const struct sg_limit_row *row;
    struct sg_judged judged;
};

struct asking {
    struct sg_study *study;
    struct asked *asked;
    size_t nasked, capacity;
};

static bool already(const struct asking *a, const struct sg_limit_row *row)
{
    for (size_t i = 0; i < a->nasked; i++) {
        if (a->asked[i].row == row)
            return true;
    }
    return false;
}

/* Rows that were judged anywhere, each once, in the order met. The owner's own values are rows made
 * for one receptor; they are asked for too. */
static sg_status collect(struct asking *a)
{
    const struct sg_study *study = a->study;
    size_t total = study->nmethod * study->nreceptor;
    for (size_t i = 0; i < total; i++) {
        const struct sg_outcome *outcome = &study->outcome[i];
        for (size_t k = 0; k < outcome->nverdict; k++) {
            const struct sg_verdict *v = &outcome->verdict[k];
            if (!v->row || already(a, v->row))
                continue;
            if (sg_same(v->set->id, "OWNER") && outcome->method > 0)
                continue; /* the same value once a method; the first stands for all */
            if (a->nasked == a->capacity) {
                size_t capacity = a->capacity > 0 ? 2 * a->capacity : 32;
                struct asked *grown = sg_realloc(a->asked, capacity, sizeof(*grown));
                if (!grown)
                    return SG_ERR_NOMEM;
                a->asked = grown;
                a->capacity = capacity;
            }
            const struct sg_receptor *r = &study->site->receptor[outcome->receptor];
            struct asked *next = &a->asked[a->nasked++];
            *next = (struct asked){ v->set, v->row, sg_judged_of(r, v->period) };
            sg_judged_choose(study->site, v->set, &next->judged);
        }
    }
    return SG_OK;
}

static const struct sg_chosen_factor *chosen_of(const struct sg_judged *judged, const char *id)
{
    for (size_t i = 0; i < judged->nchosen; i++) {
        if (sg_same(judged->chosen[i].id, id))
            return &judged->chosen[i];
    }
    return NULL;
}

/* The factors of the set for the technique's character, and those that somebody chose. */
static double factor_of(const struct asked *asked, enum sg_technique technique, unsigned *marks)
{
    const struct sg_limit_set *set = asked->set;
    const struct sg_limit_row *row = asked->row;
    double product = 1.0;
    for (size_t i = 0; i < set->nfactor; i++) {
        const struct sg_limit_factor *factor = &set->factor[i];
        bool mine = factor->characters & (1u << set->character[technique]);
        bool covers = factor->classes == 0 || (factor->classes & row->classes) != 0;
        const struct sg_chosen_factor *chosen = chosen_of(&asked->judged, factor->id);
        if (!(mine || chosen) || !covers)
            continue;
        bool given = chosen && sg_is_set(chosen->value);
        product *= given ? chosen->value : factor->dflt;
        *marks |= given ? (unsigned)SG_MARK_USER : 0u;
        if (sg_grade_unverified(factor->cite.grade))
            *marks |= SG_MARK_UNVERIFIED;
    }
    return product;
}

/* The widest plausible band over the stages of the site's ground. */
static void band_of(const struct sg_method *method, const struct sg_drive *drive,
                    struct sg_value *value)
{
    sg_vibration_band(drive, method->frequency_Hz, method->variable_moment, value);
}

struct found {
    double central_m, upper_m, limit, frequency_hz;
    bool below, failed;
    unsigned marks;
    struct sg_drive drive; /* that asks for the largest distance */
};

static double distance_for(const struct sg_law *law, double limit, bool *below, bool *failed)
{
    double distance;
    sg_status status = sg_law_distance(law, limit, &distance);
    if (status == SG_OK)
        return distance;
    if (sg_law_at(law, SG_NEAREST_M) <= limit) {
        *below = true;
        return SG_NEAREST_M;
    }
    *failed = true;
    return SG_UNSET;
}

/* One stage of driving: its band gives the limit, its two laws the distances. */
static void try_stage(const struct sg_method *method, const struct asked *asked, double factor,
                      const struct sg_stage *stage, struct found *found)
{
    struct sg_value band = SG_VALUE_INIT;
    struct sg_law central;
    double limit, at_hz;
    bool below = false, failed = false;
    band_of(method, &stage->drive, &band);
    double low = band.frequency_low_hz, high = band.frequency_high_hz;
    if (sg_limit_lowest(asked->row, low, high, &limit, &at_hz) != SG_OK) {
        found->failed = true;
        return;
    }
    limit *= factor;
    if (!sg_ok(sg_law_prepare(method->model, &stage->drive, SG_LEVEL_CENTRAL, &central, NULL))) {
        found->failed = true;
        return;
    }
    double central_m = distance_for(&central, limit, &below, &failed);
    below = false;
    double upper_m = distance_for(&stage->upper, limit, &below, &failed);
    if (failed) {
        found->failed = true;
        return;
    }
    if (central_m > found->central_m)
        found->central_m = central_m;
    if (upper_m > found->upper_m) {
        found->upper_m = upper_m;
        found->limit = limit;
        found->frequency_hz = at_hz;
        found->below = below;
        found->drive = stage->drive;
    }
}

static sg_status search_ground(const struct sg_site *site, const struct sg_method *method,
                               const struct sg_constants *constants, const struct asked *asked,
                               struct found *found, struct sg_errors *errors)
{
    double factor = factor_of(asked, method->technique, &found->marks);
    struct sg_stages stages;
    size_t last_borehole = SIZE_MAX;
    double last_depth = SG_UNSET;
    for (size_t i = 0; i < site->npile; i++) {
        const struct sg_pile *pile = &site->pile[i];
        if (pile->borehole == last_borehole && !(fabs(pile->toe_depth_m - last_depth) > 0))
            continue;
        last_borehole = pile->borehole;
        last_depth = pile->toe_depth_m;
        const struct sg_borehole *borehole =
            pile->borehole < site->nborehole ? &site->borehole[pile->borehole] : NULL;
        sg_status status = sg_stages_make(site, method, method->model, constants, borehole,
                                          pile->toe_depth_m, &stages, errors);
        if (status != SG_OK)
            return status;
        for (size_t k = 0; k < stages.count; k++)
            try_stage(method, asked, factor, &stages.stage[k], found);
    }
    return SG_OK;
}

/* Whether a row has anything to say about a technique. */
static bool concerns(const struct asked *asked, enum sg_technique technique)
{
    return (asked->row->techniques & SG_TECHNIQUE_BIT(technique)) &&
           (asked->row->characters & (1u << asked->set->character[technique]));
}

/* Why a row cannot be turned into a distance for a technique; NULL = it can. */
static const char *obstacle(const struct sg_limit_set *set, const struct sg_limit_row *row,
                            enum sg_technique technique)
{
    if (set->excluded & SG_TECHNIQUE_BIT(technique))
        return "outside the document's scope";
    if (row->rule == SG_RULE_RISE)
        return "goes by the noise that is there already, receptor by receptor";
    if (row->rule == SG_RULE_DIFFERENCE)
        return "holds measured values against the predicted ones";
    if (row->quantity == SG_Q_LAEQ)
        return set->noise_of == SG_NOISE_OF_WORKS
                   ? NULL
                   : "stated on the total noise, which goes by each receptor";
    if (row->quantity != SG_Q_PPV)
        return "stated on a quantity that is not predicted";
    if (row->axes == SG_AXES_RESULTANT)
        return "stated on the resultant; a component is predicted";
    if (row->position == SG_AT_FLOOR || row->position == SG_AT_TOPMOST_FLOOR)
        return "stated on a floor; depends on each building's transfer";
    return NULL;
}

static unsigned marks_at(const struct sg_model *model, const struct sg_drive *drive,
                         double distance_m)
{
    struct sg_value value = SG_VALUE_INIT;
    return sg_ok(sg_vibration_at(model, drive, distance_m, &value, NULL, NULL)) ? value.marks : 0;
}

static sg_status vibration_standoff(const struct sg_study *study, const struct asked *asked,
                                    struct sg_standoff *out, struct sg_errors *errors)
{
    const struct sg_method *method = &study->site->method[out->method];
    struct sg_constants constants;
    struct sg_arena arena = SG_ARENA_INIT;
    struct found found = { .limit = SG_UNSET, .frequency_hz = SG_UNSET };
    sg_status status = sg_constants_of(method, &arena, &constants);
    if (status == SG_OK)
        status = search_ground(study->site, method, &constants, asked, &found, errors);
    if (status == SG_OK && found.upper_m > 0) /* the marks of the value there, range included */
        found.marks |= marks_at(method->model, &found.drive, found.upper_m);
    sg_arena_release(&arena);
    if (status != SG_OK)
        return status;
    if (found.failed || !(found.upper_m > 0)) {
        out->why = "no distance within 100 km, or no frequency to read the limit at";
        return SG_OK;
    }
    out->central_m = found.central_m;
    out->upper_m = found.upper_m;
    out->limit = found.limit;
    out->frequency_hz = found.frequency_hz;
    out->below_1m = found.below;
    out->marks |= found.marks;
    return SG_OK;
}

struct sound_question {
    enum sg_sound_method law;
    struct sg_items items;
    struct sg_sound_path path;
};

static bool level_at(const struct sound_question *q, double distance_m, struct sg_value *out)
{
    struct sg_sound_path path = q->path;
    path.distance_m = distance_m;
    return sg_ok(sg_sound_period(q->law, q->items.item, q->items.count, &path, out, NULL, NULL)) &&
           sg_is_set(out->central);
}

/* Unset when the level is kept nowhere within 100 km; *below when it is kept at 1 m already. */
static double sound_distance(const struct sound_question *q, double limit_db, bool *below)
{
    double distance_m;
    struct sg_value nearest = SG_VALUE_INIT;
    *below = level_at(q, SG_NEAREST_M, &nearest) && nearest.central <= limit_db;
    if (*below)
        return SG_NEAREST_M;
    sg_status status =
        sg_sound_distance(q->law, q->items.item, q->items.count, q->path, limit_db, &distance_m);
    return status == SG_OK ? distance_m : SG_UNSET;
}

static void sound_law_standoff(const struct sg_site *site, const struct asked *asked,
                               const struct sg_sound_span *span, double added_db,
                               struct sg_standoff *out)
{
    double limit, at_hz, distance_m[2];
    bool facade = asked->row->position == SG_AT_FACADE;
    out->why = "the site law keeps this limit at no distance that it can speak for";
    if (sg_limit_lowest(asked->row, SG_UNSET, SG_UNSET, &limit, &at_hz) != SG_OK ||
        sg_sound_law_distances(site, &site->method[out->method], span, facade, limit - added_db,
                               distance_m) != SG_OK)
        return;
    out->limit = limit;
    out->central_m = distance_m[0];
    out->upper_m = distance_m[1];
    out->below_1m = !(out->upper_m > SG_NEAREST_M);
    out->marks |= SG_MARK_USER;
    out->why = NULL;
}

static void sound_standoff(const struct sg_study *study, const struct asked *asked,
                           struct sg_standoff *out)
{
    const struct sg_site *site = study->site;
    struct sound_question q = { .law = sg_sound_law_of(site), .path = { .distance_m = 10 } };
    struct sg_sound_span span =
        sg_noise_ask_of(&site->hours, asked->set, asked->row, asked->judged.period).span;
    struct sg_value value = SG_VALUE_INIT;
    double limit, at_hz;
    bool below;
    double added = sg_noise_added_db(site, out->method, asked->set->rating, asked->judged.period,
                                     &out->why, &out->marks, NULL);
    if (!sg_is_set(added))
        return;
    if (site->method[out->method].sound_law) {
        sound_law_standoff(site, asked, &span, added, out);
        return;
    }
    if (site->octave_bands && asked->row->position != SG_AT_BOUNDARY) {
        if (sg_limit_lowest(asked->row, SG_UNSET, SG_UNSET, &limit, &at_hz) == SG_OK)
            out->limit = limit;
        out->why = "by octave bands the level depends on the scene; no one distance keeps it";
        return;
    }
    q.path.facade = asked->row->position == SG_AT_FACADE;
    if (!(span.loudest > 0))
        sg_sound_ground_of(site, &q.path);
    out->why = "the sound level of an item is not known";
    if (sg_items_of(&site->method[out->method], &span, &q.items, NULL) != SG_OK ||
        sg_limit_lowest(asked->row, SG_UNSET, SG_UNSET, &limit, &at_hz) != SG_OK ||
        !level_at(&q, q.path.distance_m, &value))
        return;
    out->limit = limit;
    out->marks |= value.marks;
    out->central_m = sound_distance(&q, limit - added, &below);
    out->upper_m =
        sound_distance(&q, limit - added - (value.upper - value.central), &out->below_1m);
    out->why = sg_is_set(out->upper_m) ? NULL : "kept at no distance within 100 km";
}

static sg_status one(const struct sg_study *study, size_t method, const struct asked *asked,
                     struct sg_standoff *out, struct sg_errors *errors)
{
    *out = (struct sg_standoff){ .method = method,
                                 .set = asked->set,
                                 .row = asked->row,
                                 .limit = SG_UNSET,
                                 .frequency_hz = SG_UNSET,
                                 .central_m = SG_UNSET,
                                 .upper_m = SG_UNSET };
    const struct sg_method *m = &study->site->method[method];
    out->why = obstacle(asked->set, asked->row, m->technique);
    if (out->why)
        return SG_OK;
    sg_status status = SG_OK;
    if (asked->row->quantity == SG_Q_LAEQ)
        sound_standoff(study, asked, out);
    else
        status = vibration_standoff(study, asked, out, errors);
    if (sg_grade_unverified(asked->row->cite.grade))
        out->marks |= SG_MARK_UNVERIFIED;
    if (sg_same(asked->set->id, "OWNER"))
        out->marks |= SG_MARK_USER;
    return status;
}

sg_status sg_study_standoffs(struct sg_study *study, struct sg_errors *errors)
{
    struct asking a = { .study = study };
    sg_status status = collect(&a);
    size_t total = a.nasked * study->nmethod;
    if (status == SG_OK) {
        study->standoff = sg_arena_alloc(&study->arena, total, sizeof(*study->standoff));
        if (!study->standoff)
            status = SG_ERR_NOMEM;
    }
    for (size_t m = 0; m < study->nmethod && status == SG_OK; m++) {
        enum sg_technique technique = study->site->method[m].technique;
        for (size_t i = 0; i < a.nasked && status == SG_OK; i++) {
            if (!concerns(&a.asked[i], technique))
                continue;
            status = one(study, m, &a.asked[i], &study->standoff[study->nstandoff++], errors);
        }
    }
    sg_free(a.asked);
    return status;
}
