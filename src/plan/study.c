/* study.c - every method at every receptor. */
#include "plan_internal.h"

/* Levels of plant say nothing of a blow's maximum; only a source stated as a maximum does. */
static void set_maximum(const struct sg_site *site, size_t method, const struct sg_value *laeq,
                        double loudest_db, struct sg_value *out)
{
    const struct sg_plant *rig = &site->method[method].rig_sound;
    *out = *laeq;
    out->quantity = SG_Q_LAFMAX;
    out->central = SG_UNSET;
    out->upper = SG_UNSET;
    out->why = "the rig's source is a mean level; a maximum needs a source stated as one";
    bool known = rig->kind == SG_SOURCE_LMAX_50FT || sg_is_set(rig->blow_lae_10m_db);
    if (known && sg_is_set(loudest_db)) {
        out->central = loudest_db;
        out->upper = loudest_db + (laeq->upper - laeq->central);
        out->why = NULL;
    }
}

void sg_sound_maximum(const struct sg_site *site, size_t method, size_t receptor,
                      enum sg_position position, struct sg_value *out, struct sg_working *working)
{
    struct sg_value laeq;
    double loudest_db;
    struct sg_sound_span shift = sg_sound_span_of(&site->hours, SG_ANY_TIME, 0);
    sg_sound_value(site, method, receptor, position, &shift, &laeq, &loudest_db, working);
    set_maximum(site, method, &laeq, loudest_db, out);
    if (!sg_is_set(laeq.central) && laeq.why)
        out->why = laeq.why;
    if (sg_is_set(out->central))
        sg_working_add(working, NULL, "LAFmax", "loudest item at this place: %.3f dB(A)",
                       out->central);
}

/* Day, evening and night, line by line. */
static sg_status explain_periods(const struct sg_site *site, const struct sg_outcome *outcome,
                                 struct sg_arena *arena, struct sg_working *working)
{
    struct sg_noise_period *list = NULL;
    size_t count = 0;
    sg_percussive_explain(site, outcome->method, outcome->receptor, working);
    if (!sg_is_set(outcome->laeq.central))
        return SG_OK;
    return sg_noise_periods_of(site, outcome, arena, &list, &count, working);
}

sg_status sg_outcome_explain(const struct sg_site *given, size_t method, size_t receptor,
                             struct sg_outcome *out, struct sg_arena *arena,
                             struct sg_working *working, struct sg_errors *errors)
{
    double loudest_db;
    struct sg_outcome outcome = { .method = method, .receptor = receptor, .governing = SIZE_MAX };
    struct sg_site ready;
    const struct sg_site *site = &ready;
    sg_status range = sg_site_outdoor(given, arena, &ready, errors);
    if (sg_ok(range))
        range = sg_outcome_vibration(site, method, receptor, arena, &outcome, working, errors);
    if (!sg_ok(range))
        return range;
    struct sg_sound_span shift = sg_sound_span_of(&site->hours, SG_ANY_TIME, 0);
    sg_sound_value(site, method, receptor, site->receptor[receptor].position, &shift, &outcome.laeq,
                   &loudest_db, working);
    outcome.rig_distance_m = outcome.laeq.distance_m;
    set_maximum(site, method, &outcome.laeq, loudest_db, &outcome.lafmax);
    sg_status status = working ? explain_periods(site, &outcome, arena, working) : SG_OK;
    if (sg_ok(status))
        status = sg_outcome_judge(site, arena, &outcome, working);
    if (!sg_ok(status))
        return status;
    *out = outcome;
    return range;
}

static sg_status fill(struct sg_study *study, sg_progress *progress, void *payload,
                      struct sg_errors *errors)
{
    size_t total = study->nmethod * study->nreceptor, done = 0;
    for (size_t m = 0; m < study->nmethod; m++) {
        for (size_t r = 0; r < study->nreceptor; r++) {
            sg_status status =
                sg_outcome_explain(study->site, m, r, &study->outcome[m * study->nreceptor + r],
                                   &study->arena, NULL, errors);
            if (!sg_ok(status))
                return status;
            if (status == SG_WARN_RANGE)
                study->warning = SG_WARN_RANGE;
            if (progress)
                progress(++done, total, payload);
        }
    }
    return SG_OK;
}

sg_status sg_study_make(const struct sg_site *site, struct sg_study *out, sg_progress *progress,
                        void *payload, struct sg_errors *errors)
{
    struct sg_study study = SG_STUDY_INIT;
    struct sg_site *ready = sg_arena_alloc(&study.arena, 1, sizeof(*ready));
    if (!ready)
        return SG_ERR_NOMEM;
    sg_status made = sg_site_outdoor(site, &study.arena, ready, errors);
    if (!sg_ok(made)) {
        sg_arena_release(&study.arena);
        return made;
    }
    study.site = ready;
    study.nmethod = site->nmethod;
    study.nreceptor = site->nreceptor;
    study.outcome =
        sg_arena_alloc(&study.arena, study.nmethod * study.nreceptor, sizeof(*study.outcome));
    sg_status status = study.outcome ? SG_OK : SG_ERR_NOMEM;
    if (status == SG_OK)
        status = fill(&study, progress, payload, errors);
    if (status == SG_OK)
        status = sg_study_standoffs(&study, errors);
    if (status == SG_OK)
        status = sg_study_summaries(&study);
    if (status != SG_OK) {
        sg_arena_release(&study.arena);
        return status;
    }
    *out = study;
    return study.warning;
}

void sg_study_release(struct sg_study *study)
{
    if (study)
        sg_arena_release(&study->arena);
}

/* Over counts most; not determinable is worse than any kept limit. */
enum sg_verdict_state sg_study_worst(const struct sg_study *study)
{
    static const enum sg_verdict_state order[] = { SG_OVER, SG_NOT_DETERMINABLE, SG_LIKELY_WITHIN };
    for (size_t i = 0; i < SG_COUNT(order); i++) {
        for (size_t m = 0; m < study->nmethod; m++) {
            if (study->summary[m].receptors[order[i]] > 0)
                return order[i];
        }
    }
    return SG_WITHIN;
}
