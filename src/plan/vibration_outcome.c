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

/* What governs so far. */
struct worst {
    double value, distance_m, nearest_m;
    size_t pile;
    struct sg_drive drive;
};

static sg_status find_worst(const struct sg_site *site, const struct sg_method *method,
                            const struct sg_receptor *receptor,
                            const struct sg_constants *constants, struct worst *worst,
                            struct sg_errors *errors)
{
    struct cache cache = { .filled = false };
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
        double value;
        size_t stage = sg_stages_worst(&cache.stages, distance_m, &value);
        if (value > worst->value) {
            worst->value = value;
            worst->distance_m = distance_m;
            worst->pile = i;
            worst->drive = cache.stages.stage[stage].drive;
        }
    }
    return SG_OK;
}

/* Names the moment that governs, for the hand calculation. */
static void say_moment(const struct sg_site *site, const struct worst *worst,
                       const struct sg_model *model, struct sg_working *working)
{
    const struct sg_pile *pile = &site->pile[worst->pile];
    const struct sg_borehole *borehole = borehole_of(site, pile);
    sg_working_add(working, NULL, "governing pile",
                   "%s at chainage %.2f m, %.3f m away, ground of %s", pile->name, pile->chainage_m,
                   worst->distance_m,
                   borehole ? borehole->name : "no borehole (hard ground taken)");
    if (model->distance == SG_DISTANCE_TOE || model->k_by == SG_KEY_GROUND)
        sg_working_add(working, NULL, "governing moment", "toe at %.2f m in %s ground",
                       worst->drive.toe_depth_m, sg_ground_group_id(worst->drive.ground));
    if (model->phases)
        sg_working_add(working, NULL, "governing phase", "%s", sg_phase_id(worst->drive.phase));
}

/* The second opinion at the same pile: its own worst stage. */
static sg_status second_opinion(const struct sg_site *site, const struct sg_method *method,
                                const struct worst *worst, struct sg_value *out,
                                struct sg_working *working)
{
    struct sg_stages stages;
    struct sg_method plain = *method; /* constants and variant belong to the first model */
    plain.nconstant = 0;
    plain.variant = NULL;
    const struct sg_constants none = { NULL, NULL };
    const struct sg_pile *pile = &site->pile[worst->pile];
    double value;
    stages.count = 0;
    *out = SG_VALUE_INIT;
    out->why = "no second opinion is chosen";
    if (!method->second)
        return SG_OK;
    sg_status status = sg_stages_make(site, &plain, method->second, &none, borehole_of(site, pile),
                                      pile->toe_depth_m, &stages, NULL);
    if (status != SG_OK) {
        out->why = "the second model lacks an input (a machine energy, say)";
        return SG_OK;
    }
    size_t stage = sg_stages_worst(&stages, worst->distance_m, &value);
    sg_working_add(working, NULL, "second opinion", "%s", method->second->id);
    return sg_vibration_at(method->second, &stages.stage[stage].drive, worst->distance_m, out,
                           working, NULL);
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

sg_status sg_outcome_vibration(const struct sg_site *site, size_t method, size_t receptor,
                               struct sg_arena *arena, struct sg_outcome *out,
                               struct sg_working *working, struct sg_errors *errors)
{
    const struct sg_method *m = &site->method[method];
    const struct sg_receptor *r = &site->receptor[receptor];
    struct sg_constants constants;
    struct worst worst = { .value = -SG_INFINITY, .nearest_m = SG_INFINITY, .pile = SIZE_MAX };
    sg_status status = sg_constants_of(m, arena, &constants);
    if (status == SG_OK)
        status = find_worst(site, m, r, &constants, &worst, errors);
    if (status != SG_OK)
        return status;
    if (worst.pile == SIZE_MAX || worst.nearest_m < SG_NEAREST_M) {
        refuse(out, worst.nearest_m,
               "a pile stands nearer than 1 m: no published relation holds there");
        out->ppv.technique = m->technique;
        return SG_OK;
    }
    out->pile = worst.pile;
    out->distance_m = worst.distance_m;
    out->drive = worst.drive;
    out->toe_depth_m = m->model->distance == SG_DISTANCE_TOE ? worst.drive.toe_depth_m : SG_UNSET;
    if (working)
        say_moment(site, &worst, m->model, working);
    status = sg_vibration_at(m->model, &worst.drive, worst.distance_m, &out->ppv, working, errors);
    if (!sg_ok(status))
        return status;
    set_band(m, r, &worst.drive, &out->ppv);
    out->ppv.receptor = receptor;
    sg_status second = second_opinion(site, m, &worst, &out->ppv_second, working);
    out->ppv_second.receptor = receptor;
    out->ppv_second.technique = m->technique;
    return sg_ok(second) ? status : second;
}

static const char *own_source(const struct sg_building_transfer *transfer)
{
    return transfer->source && transfer->source[0] ? transfer->source : "the user's own factor";
}

/* The user's own factors stand before the published rows. A published floor is what the table says
 * for the first floor, resonance included, as its own worked case does. */
struct sg_into_building sg_building_of(const struct sg_receptor *receptor)
{
    const struct sg_building_transfer *t = &receptor->transfer;
    struct sg_into_building into = { SG_UNSET, SG_UNSET, "", "", SG_GRADE_SEEN };
    if (t->foundation) {
        into.foundation_factor = sg_factor_from_db(t->foundation->level_db);
        into.foundation_from = t->foundation->meaning;
        into.grade = t->foundation->cite.grade;
    }
    if (sg_is_set(t->foundation_factor)) {
        into.foundation_factor = t->foundation_factor;
        into.foundation_from = own_source(t);
        into.grade = SG_GRADE_USER;
    }
    if (t->use_published_floor) {
        const struct sg_transfer_row *floor = sg_transfer_find("per-floor-1-5");
        const struct sg_transfer_row *resonance = sg_transfer_find("floor-resonance");
        into.floor_factor = sg_factor_from_db(floor->level_db + resonance->level_db);
        into.floor_from = "first floor and floor resonance of the table";
        into.grade = sg_grade_worse(into.grade, floor->cite.grade);
    }
    if (sg_is_set(t->floor_factor)) {
        into.floor_factor = t->floor_factor;
        into.floor_from = own_source(t);
        into.grade = sg_grade_worse(into.grade, SG_GRADE_USER);
    }
    return into;
}
