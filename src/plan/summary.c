/* summary.c - each method in one line: what governs, how many receptors, days, ground. */
#include "plan_internal.h"

#include <math.h>

bool sg_technique_shakes(enum sg_technique technique)
{
    return technique == SG_IMPACT || technique == SG_VIBRATORY;
}

/* Loose or very loose granular ground (or loose fill) below the water table: it may compact. */
bool sg_ground_may_settle(const struct sg_borehole *borehole, double toe_depth_m)
{
    for (size_t i = 0; borehole && i < borehole->nlayer; i++) {
        const struct sg_layer *layer = &borehole->layer[i];
        bool granular = layer->soil->kind == SG_SOIL_GRANULAR || layer->soil->kind == SG_SOIL_FILL;
        bool wet = layer->base_m > borehole->water_depth_m;
        if (layer->top_m < toe_depth_m && granular && wet && layer->soil->group == SG_GROUND_SOFT)
            return true;
    }
    return false;
}

static void count_ground(const struct sg_site *site, struct sg_method_summary *summary)
{
    enum sg_technique technique = site->method[summary->method].technique;
    enum sg_suitable worst = SG_SUITABLE;
    for (size_t i = 0; i < site->npile; i++) {
        const struct sg_pile *pile = &site->pile[i];
        const struct sg_borehole *borehole =
            pile->borehole < site->nborehole ? &site->borehole[pile->borehole] : NULL;
        struct sg_suitability s = sg_suitability_of(technique, borehole, pile->toe_depth_m);
        summary->piles[s.verdict]++;
        if (s.verdict > worst) { /* a layer decides only where it takes something away */
            worst = s.verdict;
            summary->worst_layer = s.layer;
        }
        if (sg_technique_shakes(technique) && sg_ground_may_settle(borehole, pile->toe_depth_m))
            summary->settlement_caution = true;
    }
}

/* Whole days: the last one is paid for too. */
double sg_method_days(const struct sg_site *site, const struct sg_method *method)
{
    double per_day = 60.0 * site->hours.work_h;
    double minutes = method->minutes_per_pile * (double)site->npile;
    if (!sg_is_set(minutes) || !(per_day > 0))
        return SG_UNSET;
    return ceil(minutes / per_day - 1e-9);
}

static void count_one(const struct sg_outcome *outcome, size_t index, struct sg_governing *out)
{
    if (index == SIZE_MAX)
        return;
    const struct sg_verdict *verdict = &outcome->verdict[index];
    out->receptors[verdict->state]++;
    if (!out->verdict || sg_verdict_compare(verdict, out->verdict) < 0) {
        out->verdict = verdict;
        out->receptor = outcome->receptor;
    }
}

static void count_verdicts(const struct sg_study *study, struct sg_method_summary *summary)
{
    struct sg_governing all = { .receptor = SIZE_MAX };
    summary->vibration = all;
    summary->noise = all;
    for (size_t r = 0; r < study->nreceptor; r++) {
        const struct sg_outcome *outcome = sg_study_outcome(study, summary->method, r);
        count_one(outcome, outcome->governing, &all);
        count_one(outcome, outcome->governing_vibration, &summary->vibration);
        count_one(outcome, outcome->governing_noise, &summary->noise);
    }
    summary->governing = all.verdict;
    summary->governing_receptor = all.receptor;
    for (size_t i = 0; i < SG_VERDICT_END; i++)
        summary->receptors[i] = all.receptors[i];
}

sg_status sg_study_summaries(struct sg_study *study)
{
    study->summary = sg_arena_alloc(&study->arena, study->nmethod, sizeof(*study->summary));
    if (!study->summary)
        return SG_ERR_NOMEM;
    for (size_t m = 0; m < study->nmethod; m++) {
        struct sg_method_summary *summary = &study->summary[m];
        summary->method = m;
        summary->governing_receptor = SIZE_MAX;
        summary->days = sg_method_days(study->site, &study->site->method[m]);
        count_ground(study->site, summary);
        count_verdicts(study, summary);
    }
    return SG_OK;
}
