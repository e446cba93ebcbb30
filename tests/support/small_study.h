/* small_study.h - a study put together by hand, for tests of what is printed: three receptors with
 * names that try to break out of every notation, two methods, real rows of the catalogue, invented
 * numbers. Nothing in it was computed.
 */
#ifndef STILLGROUND_SMALL_STUDY_H
#define STILLGROUND_SMALL_STUDY_H

#include "stillground/plan.h"

#include <string.h>

#define SMALL_METHODS 2
#define SMALL_RECEPTORS 3

struct small_study {
    struct sg_site site;
    struct sg_study study;
    struct sg_layer layer[2];
    struct sg_borehole borehole;
    struct sg_pile pile[5];
    struct sg_point ring[4];
    struct sg_receptor receptor[SMALL_RECEPTORS];
    struct sg_method method[SMALL_METHODS];
    struct sg_outcome outcome[SMALL_METHODS * SMALL_RECEPTORS];
    struct sg_verdict verdict[SMALL_METHODS * SMALL_RECEPTORS][2];
    struct sg_method_summary summary[SMALL_METHODS];
    struct sg_standoff standoff[2];
};

static const char small_hostile[] = "O'Brien \"<script>alert(1)</script>\" & 50% {x}_1 `id` $(id)\n"
                                    "EOD\nplot";
static const char small_formula[] = "=HYPERLINK(\"x\")";
static const char small_foreign[] = "Stra\xC3\x9F"
                                    "e \xE6\x9D\xB1\xE4\xBA\xAC \xFF broken";

static const char small_reason[] = "no factor to the <floor> was given";

static inline struct sg_plant small_plant(const char *name, double level_db)
{
    return (struct sg_plant){ .name = name,
                              .kind = SG_SOURCE_LAEQ_10M,
                              .level_db = level_db,
                              .provenance = "invented",
                              .count = 1.0,
                              .on_time_percent = 50.0 };
}

static inline struct sg_method small_method(const char *name, enum sg_technique technique)
{
    return (struct sg_method){ .name = name,
                               .technique = technique,
                               .energy_kJ = SG_UNSET,
                               .blows_per_min = SG_UNSET,
                               .frequency_Hz = SG_UNSET,
                               .eccentric_moment_kgm = SG_UNSET,
                               .cycle_energy_kJ = SG_UNSET,
                               .press_force_kN = SG_UNSET,
                               .water_flow_l_min = SG_UNSET,
                               .auger = "",
                               .model = sg_model_default(technique),
                               .second = sg_model_second(technique),
                               .constants_source = "",
                               .jetting_reduction_source = "",
                               .rig_sound = small_plant(NULL, 80.0),
                               .minutes_per_pile = 20.0,
                               .on_time_percent = 50.0 };
}

static inline struct sg_receptor small_receptor(const char *name, double x_m, double y_m)
{
    struct sg_receptor receptor = { .name = name,
                                    .use = SG_USE_RESIDENTIAL,
                                    .building_class = SG_CLASS_OLDER_HOUSE };
    receptor.at = (struct sg_point){ x_m, y_m };
    receptor.position = SG_AT_FACADE;
    receptor.storeys = 2.0;
    receptor.transfer.foundation_factor = receptor.transfer.floor_factor = SG_UNSET;
    receptor.dominant_frequency_hz = SG_UNSET;
    receptor.ambient_day_db = receptor.ambient_evening_db = receptor.ambient_night_db = SG_UNSET;
    receptor.own_ppv_limit_mm_s = SG_UNSET;
    return receptor;
}

static inline void small_site(struct small_study *small)
{
    struct sg_site *site = &small->site;
    small->layer[0] = (struct sg_layer){ 0.0, 4.0, sg_soil_at(0), 8.0 };
    small->layer[1] = (struct sg_layer){ 4.0, SG_INFINITY, sg_soil_at(1), SG_UNSET };
    small->borehole = (struct sg_borehole){ "B<1>", SG_UNSET, 2.0, small->layer, 2 };
    for (size_t i = 0; i < SG_COUNT(small->pile); i++)
        small->pile[i] = (struct sg_pile){ .name = "P",
                                           .at = { (double)i * 0.7, 0.0 },
                                           .chainage_m = (double)i * 0.7,
                                           .toe_depth_m = 10.0,
                                           .section = "U",
                                           .borehole = 0 };
    small->ring[0] = (struct sg_point){ 0.0, 20.0 };
    small->ring[1] = (struct sg_point){ 10.0, 20.0 };
    small->ring[2] = (struct sg_point){ 10.0, 28.0 };
    small->ring[3] = (struct sg_point){ 0.0, 28.0 };
    small->receptor[0] = small_receptor(small_hostile, 2.0, 20.0);
    small->receptor[0].footprint = small->ring;
    small->receptor[0].nfootprint = 4;
    small->receptor[1] = small_receptor(small_formula, -15.0, 12.0);
    small->receptor[2] = small_receptor(small_foreign, 30.0, -25.0);
    small->method[0] = small_method("Impact 'A' <b>", SG_IMPACT);
    small->method[0].energy_kJ = 28.0;
    small->method[0].blows_per_min = 40.0;
    small->method[1] = small_method("Press-in", SG_PRESS_IN);
    *site = SG_SITE_INIT;
    site->title = "Invented <site> & \"wall\"";
    site->note = "Invented; nothing of it exists.";
    site->crs = "local-metre";
    site->prepared_by = site->checked_by = site->jurisdiction = "";
    site->borehole = &small->borehole;
    site->nborehole = 1;
    site->pile = small->pile;
    site->npile = SG_COUNT(small->pile);
    site->receptor = small->receptor;
    site->nreceptor = SMALL_RECEPTORS;
    site->method = small->method;
    site->nmethod = SMALL_METHODS;
    site->hours = (struct sg_hours){ 8.0, 18.0, 9.0, 5.0, 0 };
    site->boundary_distance_m = SG_UNSET;
}

/* The first row of the catalogue that states a peak velocity on a foundation. */
static inline void small_limit(struct sg_verdict *verdict)
{
    for (size_t i = 0; i < sg_limit_set_count() && verdict->row == NULL; i++) {
        const struct sg_limit_set *set = sg_limit_set_at(i);
        for (size_t k = 0; k < set->nrow && verdict->row == NULL; k++) {
            bool fits =
                set->row[k].quantity == SG_Q_PPV && set->row[k].position == SG_AT_FOUNDATION;
            verdict->set = fits ? set : NULL;
            verdict->row = fits ? &set->row[k] : NULL;
        }
    }
}

static inline struct sg_verdict small_verdict(double limit, double central, double upper)
{
    struct sg_verdict verdict = { .limit = limit,
                                  .frequency_hz = 10.0,
                                  .frequency_from = "invented",
                                  .factor = 1.0,
                                  .value_central = central,
                                  .value_upper = upper };
    small_limit(&verdict);
    verdict.ratio_central = central / limit;
    verdict.ratio_upper = upper / limit;
    verdict.state = central > limit ? SG_OVER : upper > limit ? SG_LIKELY_WITHIN : SG_WITHIN;
    verdict.marks = SG_MARK_RANGE;
    return verdict;
}

static inline void small_outcome(struct small_study *small, size_t method, size_t receptor)
{
    size_t at = method * SMALL_RECEPTORS + receptor;
    double central = (method == 0 ? 4.0 : 0.05) * (double)(receptor + 1);
    struct sg_outcome *outcome = &small->outcome[at];
    *outcome = (struct sg_outcome){ .method = method, .receptor = receptor, .pile = 0 };
    outcome->distance_m = 20.0 + 5.0 * (double)receptor;
    outcome->rig_distance_m = outcome->distance_m;
    outcome->toe_depth_m = SG_UNSET;
    outcome->drive = SG_DRIVE_INIT;
    outcome->drive.technique = small->method[method].technique;
    outcome->drive.energy_J = 28e3;
    outcome->drive.toe_depth_m = 10.0;
    outcome->ppv = outcome->ppv_second = outcome->laeq = outcome->lafmax = SG_VALUE_INIT;
    outcome->ppv.central = central;
    outcome->ppv.upper = 2.0 * central;
    outcome->ppv.upper_text = "invented";
    outcome->ppv.model = sg_model_default(small->method[method].technique)->id;
    outcome->ppv.grade = SG_GRADE_MEMORY_HIGH;
    outcome->laeq.quantity = SG_Q_LAEQ;
    outcome->laeq.central = 71.25;
    outcome->laeq.upper = 75.0;
    outcome->lafmax.quantity = SG_Q_LAFMAX;
    small->verdict[at][0] = small_verdict(5.0, central, 2.0 * central);
    small->verdict[at][1] = (struct sg_verdict){ .state = SG_NOT_DETERMINABLE,
                                                 .limit = SG_UNSET,
                                                 .frequency_hz = SG_UNSET,
                                                 .frequency_from = "",
                                                 .factor = 1.0,
                                                 .value_central = SG_UNSET,
                                                 .value_upper = SG_UNSET,
                                                 .ratio_central = SG_UNSET,
                                                 .ratio_upper = SG_UNSET };
    memcpy(small->verdict[at][1].reason, small_reason, sizeof small_reason);
    outcome->verdict = small->verdict[at];
    outcome->nverdict = 2;
    outcome->governing = 0;
}

static inline void small_study_make(struct small_study *small)
{
    memset(small, 0, sizeof *small);
    small_site(small);
    for (size_t method = 0; method < SMALL_METHODS; method++) {
        for (size_t receptor = 0; receptor < SMALL_RECEPTORS; receptor++)
            small_outcome(small, method, receptor);
        struct sg_method_summary *summary = &small->summary[method];
        *summary = (struct sg_method_summary){ .method = method,
                                               .governing_receptor = 2,
                                               .days = method == 0 ? 0.4 : SG_UNSET,
                                               .worst_layer = &small->layer[1] };
        summary->governing = &small->verdict[method * SMALL_RECEPTORS + 2][0];
        summary->receptors[method == 0 ? SG_OVER : SG_WITHIN] = SMALL_RECEPTORS;
        summary->vibration.receptor = 2;
        summary->vibration.verdict = summary->governing;
        summary->vibration.receptors[method == 0 ? SG_OVER : SG_WITHIN] = SMALL_RECEPTORS;
        summary->noise.receptor = SIZE_MAX;
        summary->piles[SG_SUITABLE] = SG_COUNT(small->pile);
        small->standoff[method] = (struct sg_standoff){ .method = method,
                                                        .limit = 5.0,
                                                        .frequency_hz = 10.0,
                                                        .central_m = 12.34,
                                                        .upper_m = 20.0 };
        small->standoff[method].set = summary->governing->set;
        small->standoff[method].row = summary->governing->row;
    }
    small->study = SG_STUDY_INIT;
    small->study.site = &small->site;
    small->study.outcome = small->outcome;
    small->study.nmethod = SMALL_METHODS;
    small->study.nreceptor = SMALL_RECEPTORS;
    small->study.summary = small->summary;
    small->study.standoff = small->standoff;
    small->study.nstandoff = 2;
}

#endif
