/* vibration_outcome.c - the pile and the moment that bring most vibration to a receptor. */
#include "plan_internal.h"

#include <math.h>

/* The stages of the pile looked at last: neighbours share them. */
struct cache {
    struct sg_stages stages;
    size_t borehole;
    double toe_depth_m;
    bool filled;
};

static const struct sg_borehole *borehole_of(const struct sg_site *site, const struct sg_pile *pile)
{
    return pile->borehole < site->nborehole ? &site->borehole[pile->borehole] : NULL;
}

static sg_status stages_of(const struct sg_site *site, const struct sg_method *method,
                           const struct sg_constants *constants, const struct sg_pile *pile,
                           struct cache *cache, struct sg_errors *errors)
{
    bool same = cache->filled && cache->borehole == pile->borehole &&
                !(fabs(cache->toe_depth_m - pile->toe_depth_m) > 0);
    if (same)
        return SG_OK;
    cache->filled = true;
    cache->borehole = pile->borehole;
    cache->toe_depth_m = pile->toe_depth_m;
    return sg_stages_make(site, method, method->model, constants, borehole_of(site, pile),
                          pile->toe_depth_m, &cache->stages, errors);
}

/* A pile at one of its stages. */
struct candidate {
    double value, distance_m;
    size_t pile;
    struct sg_drive drive;
};

/* The worst so far of every kind of ground and phase: those choose the frequency band. */
struct worst {
    struct candidate of[SG_GROUND_GROUP_END][SG_PHASE_END];
    double nearest_m;
};

static void keep(struct worst *worst, const struct sg_stage *stage, size_t pile, double distance_m)
{
    struct candidate *known = &worst->of[stage->drive.ground][stage->drive.phase];
    double value = sg_law_at(&stage->upper, distance_m);
    if (known->pile == SIZE_MAX || value > known->value)
        *known = (struct candidate){ value, distance_m, pile, stage->drive };
}

static sg_status find_worst(const struct sg_site *site, const struct sg_method *method,
                            const struct sg_receptor *receptor,
                            const struct sg_constants *constants, struct worst *worst,
                            struct sg_errors *errors)
{
    struct cache cache = { .filled = false };
    worst->nearest_m = SG_INFINITY;
    for (size_t g = 0; g < SG_GROUND_GROUP_END; g++) {
        for (size_t p = 0; p < SG_PHASE_END; p++)
            worst->of[g][p] = (struct candidate){ .pile = SIZE_MAX };
    }
    for (size_t i = 0; i < site->npile; i++) {
        const struct sg_pile *pile = &site->pile[i];
        sg_status status = stages_of(site, method, constants, pile, &cache, errors);
        if (status != SG_OK)
            return status;
        double distance_m = sg_site_distance_m(receptor, pile->at);
        if (distance_m < worst->nearest_m)
            worst->nearest_m = distance_m;
        if (distance_m < SG_NEAREST_M)
            continue;
        for (size_t k = 0; k < cache.stages.count; k++)
            keep(worst, &cache.stages.stage[k], i, distance_m);
    }
    return SG_OK;
}

/* Names a moment, for the hand calculation. */
static void say_moment(const struct sg_site *site, const struct candidate *moment,
                       const struct sg_model *model, struct sg_working *working)
{
    const struct sg_pile *pile = &site->pile[moment->pile];
    const struct sg_borehole *borehole = borehole_of(site, pile);
    sg_working_add(working, NULL, "governing pile",
                   "%s at chainage %.2f m, %.3f m away, ground of %s", pile->name, pile->chainage_m,
                   moment->distance_m,
                   borehole ? borehole->name : "no borehole (hard ground taken)");
    const struct sg_site_law *law = moment->drive.site_law;
    if (law ? law->distance == SG_DISTANCE_TOE
            : model->distance == SG_DISTANCE_TOE || model->k_by == SG_KEY_GROUND)
        sg_working_add(working, NULL, "governing moment", "toe at %.2f m in %s ground",
                       moment->drive.toe_depth_m, sg_ground_group_id(moment->drive.ground));
    if (model->phases)
        sg_working_add(working, NULL, "governing phase", "%s", sg_phase_id(moment->drive.phase));
}

static void set_band(const struct sg_method *method, const struct sg_receptor *receptor,
                     const struct sg_drive *drive, struct sg_value *value)
{
    if (sg_is_set(receptor->dominant_frequency_hz)) {
        value->frequency_low_hz = receptor->dominant_frequency_hz;
        value->frequency_high_hz = receptor->dominant_frequency_hz;
        value->frequency_from = "given for the receptor";
        return;
    }
    sg_vibration_band(drive, method->frequency_Hz, method->variable_moment, value);
}

static const struct candidate *largest_of(const struct worst *worst)
{
    const struct candidate *largest = NULL;
    for (size_t g = 0; g < SG_GROUND_GROUP_END; g++) {
        for (size_t p = 0; p < SG_PHASE_END; p++) {
            const struct candidate *c = &worst->of[g][p];
            if (c->pile != SIZE_MAX && (!largest || c->value > largest->value))
                largest = c;
        }
    }
    return largest;
}

/* The method with another relation alone: constants, variant and reductions belong to the first. */
static struct sg_method second_method(const struct sg_method *method)
{
    struct sg_method plain = *method;
    plain.model = method->second;
    plain.nconstant = 0;
    plain.variant = NULL;
    plain.law = NULL;
    plain.jetting_reduction_dB = 0;
    return plain;
}

/* The second opinion at the pile and moment that are worst by its own relation. */
static sg_status second_opinion(const struct sg_site *site, size_t method, size_t receptor,
                                struct sg_value *out, struct sg_working *working)
{
    static const struct sg_constants none = { NULL, NULL };
    struct sg_method plain = second_method(&site->method[method]);
    struct worst worst;
    *out = SG_VALUE_INIT;
    out->why = "no second opinion is chosen";
    if (!plain.model)
        return SG_OK;
    if (find_worst(site, &plain, &site->receptor[receptor], &none, &worst, NULL) != SG_OK) {
        out->why = "the second model lacks an input (a machine energy, say)";
        return SG_OK;
    }
    const struct candidate *largest = largest_of(&worst);
    if (!largest)
        return SG_OK;
    sg_working_add(working, NULL, "second opinion", "%s, pile %s", plain.model->id,
                   site->pile[largest->pile].name);
    return sg_vibration_at(plain.model, &largest->drive, largest->distance_m, out, working, NULL);
}

static void refuse(struct sg_outcome *out, double nearest_m, const char *why)
{
    out->ppv = SG_VALUE_INIT;
    out->ppv.why = why;
    out->ppv_second = out->ppv;
    out->pile = SIZE_MAX;
    out->distance_m = nearest_m;
    out->toe_depth_m = SG_UNSET;
    out->drive = SG_DRIVE_INIT;
}

static sg_status add_moment(const struct sg_site *site, const struct sg_outcome *outcome,
                            const struct candidate *c, struct sg_moment *out,
                            struct sg_working *working, struct sg_errors *errors)
{
    const struct sg_method *method = &site->method[outcome->method];
    out->drive = c->drive;
    out->pile = c->pile;
    out->distance_m = c->distance_m;
    sg_status status =
        sg_vibration_at(method->model, &c->drive, c->distance_m, &out->ppv, working, errors);
    set_band(method, &site->receptor[outcome->receptor], &c->drive, &out->ppv);
    out->ppv.receptor = outcome->receptor;
    return status;
}

/* The moments of an outcome, that of the largest value first. */
static sg_status make_moments(const struct sg_site *site, const struct worst *worst,
                              struct sg_arena *arena, struct sg_outcome *out,
                              struct sg_working *working, struct sg_errors *errors)
{
    const struct candidate *largest = largest_of(worst);
    struct sg_moment *moment = sg_arena_alloc(arena, SG_MOMENTS_MAX, sizeof(*moment));
    if (!moment)
        return SG_ERR_NOMEM;
    if (working)
        say_moment(site, largest, site->method[out->method].model, working);
    sg_status first = add_moment(site, out, largest, &moment[0], working, errors);
    size_t count = 1;
    for (size_t g = 0; g < SG_GROUND_GROUP_END && sg_ok(first); g++) {
        for (size_t p = 0; p < SG_PHASE_END; p++) {
            const struct candidate *c = &worst->of[g][p];
            if (c->pile != SIZE_MAX && c != largest &&
                sg_ok(add_moment(site, out, c, &moment[count], NULL, errors)))
                count++;
        }
    }
    out->moment = moment;
    out->nmoment = count;
    return first;
}

sg_status sg_outcome_vibration(const struct sg_site *site, size_t method, size_t receptor,
                               struct sg_arena *arena, struct sg_outcome *out,
                               struct sg_working *working, struct sg_errors *errors)
{
    const struct sg_method *m = &site->method[method];
    struct sg_constants constants;
    struct worst worst;
    sg_status status = sg_constants_of(m, arena, &constants);
    if (status == SG_OK)
        status = find_worst(site, m, &site->receptor[receptor], &constants, &worst, errors);
    if (status != SG_OK)
        return status;
    if (!largest_of(&worst) || worst.nearest_m < SG_NEAREST_M) {
        refuse(out, worst.nearest_m,
               "a pile stands nearer than 1 m: no published relation holds there");
        out->ppv.technique = m->technique;
        return SG_OK;
    }
    status = make_moments(site, &worst, arena, out, working, errors);
    if (!sg_ok(status))
        return status;
    const struct sg_moment *first = &out->moment[0];
    out->ppv = first->ppv;
    out->pile = first->pile;
    out->distance_m = first->distance_m;
    out->drive = first->drive;
    const struct sg_site_law *law = first->drive.site_law;
    bool to_toe = (law ? law->distance : m->model->distance) == SG_DISTANCE_TOE;
    out->toe_depth_m = to_toe ? first->drive.toe_depth_m : SG_UNSET;
    sg_status second = second_opinion(site, method, receptor, &out->ppv_second, working);
    out->ppv_second.receptor = receptor;
    out->ppv_second.technique = m->technique;
    return sg_ok(second) ? status : second;
}

static const char *own_source(const struct sg_building_transfer *transfer)
{
    return transfer->source && transfer->source[0] ? transfer->source : "the user's own factor";
}

/* Attenuation to the floor judged: by the table, 2 dB a floor up to the fifth, 1 dB above; floor 0
 * is
 * the one on the foundation. Resonance comes on top, as in the table's own worked case. */
static double published_floor_db(double floor)
{
    double low = floor < 5 ? floor : 5, high = floor > 5 ? floor - 5 : 0;
    return low * sg_transfer_find("per-floor-1-5")->level_db +
           high * sg_transfer_find("per-floor-5-10")->level_db +
           sg_transfer_find("floor-resonance")->level_db;
}

/* The user's own factors stand before the published rows. The published ones come from rail traffic
 * and concern people: for damage only the user's own count, and without them the value of the
 * ground
 * stands for the foundation. */
struct sg_into_building sg_building_of(const struct sg_receptor *receptor, enum sg_purpose purpose)
{
    bool published = purpose != SG_FOR_DAMAGE;
    const struct sg_building_transfer *t = &receptor->transfer;
    struct sg_into_building into = { SG_UNSET, SG_UNSET, "", "", SG_GRADE_SEEN };
    if (t->foundation && published) {
        into.foundation_factor = sg_factor_from_db(t->foundation->level_db);
        into.foundation_from = t->foundation->meaning;
        into.grade = t->foundation->cite.grade;
    }
    if (sg_is_set(t->foundation_factor)) {
        into.foundation_factor = t->foundation_factor;
        into.foundation_from = own_source(t);
        into.grade = SG_GRADE_USER;
    }
    if (t->use_published_floor && published) {
        into.floor_factor = sg_factor_from_db(published_floor_db(t->floor));
        into.floor_from = "attenuation to the floor and floor resonance of the table";
        into.grade = sg_grade_worse(into.grade, sg_transfer_find("per-floor-1-5")->cite.grade);
    }
    if (sg_is_set(t->floor_factor)) {
        into.floor_factor = t->floor_factor;
        into.floor_from = own_source(t);
        into.grade = sg_grade_worse(into.grade, SG_GRADE_USER);
    }
    return into;
}
