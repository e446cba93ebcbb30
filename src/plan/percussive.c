/* percussive.c - hours a day that go with a permit for percussive piling, receptor by receptor.
 *
 * Sources: Hong Kong memorandum on percussive piling, 2.3 to 2.9 and permitted hours (grades on the
 * rows); its table of distances is taken to be 20 lg D + 8 (recalled). */
#include "plan_internal.h"

#include <math.h>

#define SET "HK-NOISE"

static double power_of(const struct sg_plant *rig, bool *converted)
{
    struct sg_sound_item item = { .name = "rig",
                                  .kind = rig->kind,
                                  .level_db = rig->level_db,
                                  .count = 1,
                                  .on_time_share = 1,
                                  .grade = SG_GRADE_USER };
    static const struct sg_sound_path path = { .distance_m = 10 };
    double at_10m_db;
    *converted = rig->kind != SG_SOURCE_LWA;
    if (!*converted)
        return rig->level_db;
    if (!sg_ok(sg_sound_item_at(SG_SOUND_BS5228, &item, &path, &at_10m_db, NULL)))
        return SG_UNSET;
    return at_10m_db + sg_sound_number(SG_SOUND_HARD_SLOPE_DB) +
           sg_sound_number(SG_SOUND_HALF_SPACE_DB);
}

static double screen_of(const struct sg_receptor *r)
{
    if (sg_same(r->percussive_screen, "barrier"))
        return sg_sound_number(SG_SOUND_HK_BARRIER_DB);
    return sg_same(r->percussive_screen, "building") ? sg_sound_number(SG_SOUND_HK_BETWEEN_DB) : 0;
}

/* Any hour of the shift on any day that lies outside the hours for which permits are given. */
static bool runs_into_barred(const struct sg_hours *hours)
{
    const struct sg_limit_set *set = sg_limit_set_find(SET);
    const struct sg_time_window *permit = set && set->nwindow > 0 ? &set->window[0] : NULL;
    return permit &&
           (sg_shift_within_h(hours, permit->start_h, permit->end_h) < sg_shift_h(hours) - 1e-9 ||
            (sg_worked_kinds(hours) & ~permit->days) != 0);
}

static void work_out(const struct sg_site *site, struct sg_percussive *p)
{
    const struct sg_receptor *r = &site->receptor[p->receptor];
    const struct sg_method *m = &site->method[p->method];
    bool sensitive = r->use == SG_USE_HOSPITAL || r->use == SG_USE_SCHOOL;
    size_t nearest = sg_site_nearest_pile(site, p->receptor);
    p->corrected_db = p->acceptable_db = p->permitted_h = p->distance_m = SG_UNSET;
    p->planned_h = site->hours.work_h;
    p->state = SG_NOT_DETERMINABLE;
    p->screen_db = screen_of(r);
    p->building = r->position == SG_AT_FACADE;
    p->given = m->rig_sound.source == NULL;
    p->lwa_db = power_of(&m->rig_sound, &p->converted);
    p->why = "the windows of the receiver are not given";
    p->acceptable_db = sg_percussive_acceptable_db(r->windows, sensitive);
    if (nearest != SIZE_MAX)
        p->distance_m = fmax(1.0, sg_site_distance_m(r, site->pile[nearest].at));
    if (sg_is_set(p->lwa_db) && sg_is_set(p->distance_m))
        p->corrected_db =
            sg_sound_hk_corrected_db(p->lwa_db, p->distance_m, p->building, p->screen_db);
    if (!sg_is_set(p->acceptable_db))
        return;
    p->why = "the sound power of the rig is not known";
    if (!sg_is_set(p->corrected_db))
        return;
    p->permitted_h = sg_sound_hk_hours(p->corrected_db, p->acceptable_db);
    p->barred = runs_into_barred(&site->hours);
    p->state = p->barred || p->planned_h > p->permitted_h ? SG_OVER : SG_WITHIN;
    p->why = NULL;
}

static bool asked_for(const struct sg_site *site, size_t receptor)
{
    size_t count;
    const char *const *list = sg_site_limit_sets(site, &site->receptor[receptor], &count);
    for (size_t i = 0; i < count; i++) {
        if (sg_same(list[i], SET))
            return true;
    }
    return false;
}

static bool concerned(const struct sg_site *site, size_t method, size_t receptor)
{
    return site->method[method].technique == SG_IMPACT && asked_for(site, receptor);
}

void sg_percussive_explain(const struct sg_site *site, size_t method, size_t receptor,
                           struct sg_working *working)
{
    const struct sg_sound_number_row *steps = sg_sound_number_at(SG_SOUND_HK_STEP_DB);
    struct sg_percussive p = { .method = method, .receptor = receptor };
    if (!working || !concerned(site, method, receptor))
        return;
    work_out(site, &p);
    if (p.why) {
        sg_working_add(working, NULL, "percussive piling", "not determinable: %s", p.why);
        return;
    }
    sg_working_add(
        working, &sg_sound_number_at(SG_SOUND_HK_BUILDING_DB)->cite, "corrected noise level",
        "LWA %.4g - (20 lg %.4g + 8) + %g (building) - %g (screen) = %.3f dB(A)", p.lwa_db,
        p.distance_m, p.building ? sg_sound_number(SG_SOUND_HK_BUILDING_DB) : 0.0, p.screen_db,
        p.corrected_db);
    sg_working_add(working, &steps->cite, "permitted hours",
                   "%.3f - acceptable %g = %+.3f dB: %g h a day, planned %g h%s: %s",
                   p.corrected_db, p.acceptable_db, p.corrected_db - p.acceptable_db, p.permitted_h,
                   p.planned_h,
                   p.barred ? ", in part from 19 to 07 or on a Sunday, which get no permit" : "",
                   sg_verdict_id(p.state));
}

sg_status sg_percussive_make(const struct sg_study *study, struct sg_arena *arena,
                             struct sg_percussive **out, size_t *count)
{
    size_t n = 0;
    struct sg_percussive *list =
        sg_arena_alloc(arena, study->nmethod * study->nreceptor + 1, sizeof(*list));
    if (!list)
        return SG_ERR_NOMEM;
    for (size_t m = 0; m < study->nmethod; m++) {
        for (size_t r = 0; r < study->nreceptor; r++) {
            if (!concerned(study->site, m, r))
                continue;
            list[n] = (struct sg_percussive){ .method = m, .receptor = r };
            work_out(study->site, &list[n++]);
        }
    }
    *out = list;
    *count = n;
    return SG_OK;
}
