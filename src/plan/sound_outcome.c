/* sound_outcome.c - the period level that a method brings to a receptor.
 *
 * First tier: the rig and its plant stand at the pile nearest to the receptor for the whole shift,
 * which is the worst shift and not the mean over the works. */
#include "plan_internal.h"

#include <math.h>

double sg_shift_h(const struct sg_hours *hours)
{
    double span = hours->end_h - hours->start_h;
    return span > 0 ? span : span + 24.0;
}

/* Clock hours of the periods; night runs over midnight. Common practice; BS 5228-1 Table E.1. */
static const double period_clock_h[SG_PERIOD_END][2] = {
    [SG_DAY] = { 7, 19 },
    [SG_EVENING] = { 19, 23 },
    [SG_NIGHT] = { 23, 31 },
};

/* Hours of the shift that lie in a period. */
static double overlap_h(const struct sg_hours *hours, enum sg_period period)
{
    double start = hours->start_h, end = start + sg_shift_h(hours), sum = 0;
    if (period == SG_ANY_TIME)
        return end - start;
    for (int day = -1; day <= 1; day++) {
        double from = fmax(start, period_clock_h[period][0] + 24.0 * day);
        double to = fmin(end, period_clock_h[period][1] + 24.0 * day);
        sum += fmax(0.0, to - from);
    }
    return sum;
}

double sg_shift_within_h(const struct sg_hours *hours, double from_h, double to_h)
{
    double start = hours->start_h, end = start + sg_shift_h(hours), sum = 0;
    to_h += to_h > from_h ? 0 : 24.0;
    for (int day = -1; day <= 1; day++) {
        double from = fmax(start, from_h + 24.0 * day), to = fmin(end, to_h + 24.0 * day);
        sum += fmax(0.0, to - from);
    }
    return sum;
}

unsigned sg_periods_of(const struct sg_hours *hours)
{
    unsigned periods = 0;
    for (unsigned p = SG_DAY; p <= SG_NIGHT; p++) {
        if (overlap_h(hours, (enum sg_period)p) > 0)
            periods |= 1u << p;
    }
    return periods;
}

struct sg_sound_span sg_sound_span_of(const struct sg_hours *hours, enum sg_period period,
                                      double averaging_h)
{
    double within = overlap_h(hours, period);
    struct sg_sound_span span = { .worked_h = fmin(hours->work_h, within),
                                  .averaging_h = averaging_h };
    if (!(averaging_h > 0))
        span.averaging_h = within;
    span.worked_h = fmin(span.worked_h, span.averaging_h);
    return span;
}

static struct sg_sound_item item_of(const struct sg_plant *plant, double share)
{
    struct sg_sound_item item = {
        .name = plant->name,
        .kind = plant->kind,
        .level_db = plant->level_db,
        .count = plant->count,
        .on_time_share = share,
        .grade = plant->source ? plant->source->cite.grade : SG_GRADE_USER,
        .cite = plant->source ? &plant->source->cite : NULL,
        .provenance = plant->provenance,
    };
    return item;
}

double sg_share_of(const struct sg_sound_span *span, double on_time_percent)
{
    struct sg_rating_of of = { .operated_h = span->worked_h * on_time_percent / 100.0 };
    const char *why = NULL;
    if (span->loudest > 0)
        return 1;
    if (!span->steps)
        return span->averaging_h > 0 ? span->worked_h / span->averaging_h * on_time_percent / 100.0
                                     : 0;
    of.period = span->steps->period;
    return of.operated_h > 0 ? pow(10, 0.1 * sg_rating_correction(span->steps, &of, &why)) : 0;
}

/* The others no longer run. An entry of several machines counts machine by machine. */
static void keep_loudest(struct sg_items *items, double most)
{
    static const struct sg_sound_path path = { .distance_m = 100 };
    size_t kept[SG_ITEMS_MAX] = { 0 };
    for (size_t n = 0; n < (size_t)most; n++) {
        size_t best = SIZE_MAX;
        double highest = -SG_INFINITY, level_db;
        for (size_t i = 0; i < items->count; i++) {
            struct sg_sound_item one = items->item[i];
            bool none_left = (double)kept[i] >= fmax(one.count, 1);
            one.count = 1;
            if (none_left ||
                !sg_ok(sg_sound_item_at(SG_SOUND_BS5228, &one, &path, &level_db, NULL)))
                continue;
            if (best == SIZE_MAX || level_db > highest) {
                best = i;
                highest = level_db;
            }
        }
        if (best != SIZE_MAX)
            kept[best]++;
    }
    for (size_t i = 0; i < items->count; i++) {
        bool unknown = !sg_is_set(items->item[i].level_db);
        items->item[i].on_time_share = kept[i] > 0 || unknown ? 1 : 0;
        if (kept[i] > 0)
            items->item[i].count = (double)kept[i];
    }
}

sg_status sg_items_of(const struct sg_method *method, const struct sg_sound_span *span,
                      struct sg_items *out, struct sg_errors *errors)
{
    if (method->nplant + 1 > SG_ITEMS_MAX)
        return sg_errors_add(errors, SG_ERR_INPUT, NULL,
                             "method '%s': %zu items of plant; at most %d are allowed",
                             method->name, method->nplant, SG_ITEMS_MAX - 1);
    out->count = 0;
    out->item[out->count++] =
        item_of(&method->rig_sound, sg_share_of(span, method->on_time_percent));
    for (size_t i = 0; i < method->nplant; i++) {
        const struct sg_plant *plant = &method->plant[i];
        out->item[out->count++] = item_of(plant, sg_share_of(span, plant->on_time_percent));
    }
    if (span->steps && sg_is_set(method->rig_sound.blow_lae_10m_db))
        out->item[0].level_db = method->rig_sound.blow_lae_10m_db +
                                sg_sound_blow_fast_db(method->rig_sound.blow_decay_ms);
    if (span->loudest > 0)
        keep_loudest(out, span->loudest);
    return SG_OK;
}

enum sg_sound_method sg_sound_law_of(const struct sg_site *site)
{
    return site->fta_sound ? SG_SOUND_FTA : SG_SOUND_BS5228;
}

/* Soft ground counts as a share of the way in one law, and as G of low sources in the other. */
void sg_sound_ground_of(const struct sg_site *site, struct sg_sound_path *path)
{
    path->soft_fraction = site->sound_ground == SG_SOUND_SOFT    ? 1.0
                          : site->sound_ground == SG_SOUND_MIXED ? site->soft_fraction
                                                                 : 0.0;
    path->ground_factor = path->soft_fraction * sg_sound_number(SG_SOUND_GROUND_SOFT);
}

/* Nearer than 1 m the laws are held at 1 m; *near says so. */
static bool path_to(const struct sg_site *site, size_t receptor, enum sg_position position,
                    struct sg_sound_path *path, bool *near, const char **why)
{
    const struct sg_receptor *r = &site->receptor[receptor];
    size_t nearest = sg_site_nearest_pile(site, receptor);
    *path = (struct sg_sound_path){ .screening_db = r->screening_db };
    sg_sound_ground_of(site, path);
    switch (position) {
    case SG_AT_FACADE:
        path->facade = true;
        break;
    case SG_AT_FREE_FIELD:
        break;
    case SG_AT_BOUNDARY:
        path->screening_db = 0;
        path->distance_m = site->boundary_distance_m;
        *why = "stated at the site boundary; boundary_distance_m is not given";
        return sg_is_set(path->distance_m);
    case SG_AT_FOUNDATION:
    case SG_AT_FLOOR:
    case SG_AT_TOPMOST_FLOOR:
    case SG_AT_ASSET:
    case SG_AT_ROOM:
    case SG_POSITION_END:
        *why = "stated inside a building or on an asset; only levels outdoors are computed";
        return false;
    }
    *why = "there is no pile";
    if (nearest == SIZE_MAX)
        return false;
    double distance_m = sg_site_distance_m(r, site->pile[nearest].at);
    *near = distance_m < 1.0;
    path->distance_m = *near ? 1.0 : distance_m;
    return true;
}

/* ---- octave bands ---- */

#define POSITIONS_MAX 9u

/* Working positions of the shift that is worst for a receptor: as many piles one after the other,
 * round the nearest one, as a shift gets done; evenly thinned. */
static size_t positions_of(const struct sg_site *site, const struct sg_method *m, size_t nearest,
                           struct sg_spot3 *out)
{
    double minutes = 60.0 * site->hours.work_h * m->on_time_percent / 100.0;
    double done = ceil(minutes / m->minutes_per_pile);
    size_t count = done > 1 ? (size_t)fmin(done, (double)site->npile) : 1;
    size_t first = nearest > count / 2 ? nearest - count / 2 : 0;
    if (first + count > site->npile)
        first = site->npile - count;
    size_t shown = count < POSITIONS_MAX ? count : POSITIONS_MAX;
    for (size_t i = 0; i < shown; i++) {
        size_t pile = shown > 1 ? first + i * (count - 1) / (shown - 1) : nearest;
        out[i] = (struct sg_spot3){ site->pile[pile].at.x_m, site->pile[pile].at.y_m, SG_UNSET,
                                    SG_UNSET };
    }
    return shown;
}

static double given_height(double height_m, double otherwise_m)
{
    return sg_is_set(height_m) ? height_m : otherwise_m;
}

static sg_status octave_value(const struct sg_site *site, const struct sg_method *m,
                              size_t receptor, const struct sg_items *items,
                              const struct sg_sound_path *path, struct sg_octave_parts *parts,
                              struct sg_value *out, double *loudest_db, struct sg_working *working)
{
    const struct sg_receptor *r = &site->receptor[receptor];
    struct sg_outdoor_plant plant[SG_ITEMS_MAX];
    struct sg_spot3 position[POSITIONS_MAX], place;
    struct sg_spot3 at = { r->at.x_m, r->at.y_m, r->height_m, SG_UNSET };
    sg_status status = sg_outdoor_place(site->outdoor, "receptor", r->name, &at, &place, NULL);
    if (!sg_ok(status))
        return status;
    for (size_t i = 0; i < items->count; i++) {
        const struct sg_plant *p = i == 0 ? &m->rig_sound : &m->plant[i - 1];
        double end_m = given_height(p->end_height_m, 0);
        plant[i] = (struct sg_outdoor_plant){ &items->item[i], p->octave_db,
                                              given_height(p->start_height_m, end_m), end_m };
    }
    struct sg_outdoor_shift shift = { .position = position,
                                      .receptor = &place,
                                      .facade = path->facade,
                                      .screening_db = path->screening_db };
    shift.nposition = positions_of(site, m, sg_site_nearest_pile(site, receptor), position);
    if (parts)
        status = sg_outdoor_plant_at(site->outdoor, &plant[0], &shift, &parts->rig_mean_db,
                                     &parts->rig_loudest_db, parts->band_db, NULL);
    if (!sg_ok(status))
        return status;
    return sg_outdoor_period(site->outdoor, plant, items->count, &shift, out, loudest_db,
                             parts ? parts->item_db : NULL, working);
}

sg_status sg_octave_parts_of(const struct sg_site *site, size_t method, size_t receptor,
                             struct sg_octave_parts *out)
{
    struct sg_octave_parts parts = { .count = 0 };
    struct sg_sound_path path;
    struct sg_items items;
    struct sg_value value;
    const char *why = NULL;
    double loudest_db;
    const struct sg_method *m = &site->method[method];
    struct sg_sound_span shift = sg_sound_span_of(&site->hours, SG_ANY_TIME, 0);
    bool near = false;
    if (!site->outdoor || m->sound_law ||
        !path_to(site, receptor, site->receptor[receptor].position, &path, &near, &why) ||
        sg_items_of(m, &shift, &items, NULL) != SG_OK)
        return SG_ERR_DOMAIN;
    sg_status status =
        octave_value(site, m, receptor, &items, &path, &parts, &value, &loudest_db, NULL);
    if (!sg_ok(status))
        return status;
    parts.count = items.count;
    *out = parts;
    return status;
}

sg_status sg_site_outdoor(const struct sg_site *site, struct sg_arena *arena, struct sg_site *out,
                          struct sg_errors *errors)
{
    *out = *site;
    if (!site->octave_bands || site->outdoor || !site->scene)
        return SG_OK;
    sg_status status = sg_outdoor_make(site->scene, arena, &out->outdoor, errors);
    if (!sg_ok(status))
        return status;
    for (size_t i = 0; i < site->nreceptor; i++) {
        const struct sg_receptor *r = &site->receptor[i];
        struct sg_spot3 at = { r->at.x_m, r->at.y_m, r->height_m, SG_UNSET }, place;
        sg_status one =
            sg_outdoor_place_from(out->outdoor, "receptor", r->name, &r->from, &at, &place, errors);
        status = sg_ok(status) ? one : status;
    }
    for (size_t i = 0; i < site->npile; i++) {
        const struct sg_pile *p = &site->pile[i];
        struct sg_spot3 at = { p->at.x_m, p->at.y_m, 0, SG_UNSET }, place;
        sg_status one =
            sg_outdoor_place_from(out->outdoor, "pile", p->name, &p->from, &at, &place, errors);
        status = sg_ok(status) ? one : status;
    }
    return status;
}

sg_status sg_site_check_scene(const struct sg_site *site, struct sg_errors *errors)
{
    struct sg_arena arena = SG_ARENA_INIT;
    struct sg_site ready;
    sg_status status = sg_site_outdoor(site, &arena, &ready, errors);
    sg_arena_release(&arena);
    return status;
}

/* The rig's maximum where it is known blow by blow: it is driven over the mean of its blows. */
static double blow_maximum(const struct sg_method *m, double running_db)
{
    const struct sg_plant *rig = &m->rig_sound;
    if (!sg_is_set(rig->blow_lae_10m_db))
        return SG_UNSET;
    return running_db - 10.0 * log10(m->blows_per_min / 60.0) +
           sg_sound_blow_fast_db(rig->blow_decay_ms);
}

/* How the on-times below come about. */
static void tell_time(const struct sg_method *m, const struct sg_sound_span *span,
                      struct sg_working *working)
{
    for (size_t i = 0; span->loudest > 0 && i < sg_rating_row_count(); i++) {
        const struct sg_rating_row *row = sg_rating_row_at(i);
        if (row->form == SG_RATING_LOUDEST)
            sg_working_add(working, &row->cite, "plant", "%s", row->meaning);
    }
    if (span->loudest > 0)
        return;
    if (!span->steps) {
        sg_working_add(
            working, NULL, "working time",
            "%.4g h worked of %.4g h averaged over = %.6g; on-times below are the plant's "
            "share times this",
            span->worked_h, span->averaging_h, span->worked_h / span->averaging_h);
        return;
    }
    for (size_t i = 0; i <= m->nplant; i++) {
        const struct sg_plant *plant = i == 0 ? &m->rig_sound : &m->plant[i - 1];
        double percent = i == 0 ? m->on_time_percent : plant->on_time_percent;
        double share = sg_share_of(span, percent);
        sg_working_add(working, &span->steps->cite, "time correction",
                       "%s: %.4g h x %.4g %% = %.4g h of operation: %.4g dB, in the sum below as "
                       "the on-time 10^(%.4g / 10) = %.6g",
                       plant->name, span->worked_h, percent, span->worked_h * percent / 100.0,
                       10.0 * log10(share), 10.0 * log10(share), share);
    }
}

static void value_of(const struct sg_site *site, size_t method, size_t receptor,
                     enum sg_position position, const struct sg_sound_span *span,
                     struct sg_value *out, double *loudest_db, struct sg_working *working)
{
    struct sg_items items;
    struct sg_sound_path path;
    const char *why = NULL;
    const struct sg_method *m = &site->method[method];
    double loudest = SG_UNSET;
    bool near = false;
    *out = SG_VALUE_INIT;
    out->quantity = SG_Q_LAEQ;
    if (!path_to(site, receptor, position, &path, &near, &why)) {
        out->why = why;
    } else if (m->sound_law) {
        sg_sound_by_law(site, m, &path, span, out, &loudest, working);
    } else if (sg_items_of(m, span, &items, NULL) != SG_OK) {
        out->why = "too many items of plant";
    } else {
        if (span->loudest > 0) /* hard ground, no shielding: fta2018, general assessment */
            path.soft_fraction = path.ground_factor = path.screening_db = 0;
        tell_time(m, span, working);
        bool octaves = site->outdoor && position != SG_AT_BOUNDARY && !(span->loudest > 0);
        sg_status status =
            octaves ? octave_value(site, m, receptor, &items, &path, NULL, out, &loudest, working)
                    : sg_sound_period(sg_sound_law_of(site), items.item, items.count, &path, out,
                                      &loudest, working);
        if (!sg_ok(status) && !out->why)
            out->why = status == SG_ERR_DOMAIN
                           ? "nearer than 1 m to a source, or straight above or below it"
                           : "the sound level of an item is not known";
        double fast_db = sg_ok(status) ? blow_maximum(m, loudest) : SG_UNSET;
        if (sg_is_set(fast_db)) {
            sg_working_add(working, NULL, "LAFmax of one blow",
                           "%.3f - 10 lg(%g / 60) + %.2f = %.2f dB(A)", loudest, m->blows_per_min,
                           sg_sound_blow_fast_db(m->rig_sound.blow_decay_ms), fast_db);
            loudest = fast_db;
        }
    }
    if (loudest_db)
        *loudest_db = loudest;
    if (sg_is_set(out->central) && near)
        out->marks |= SG_MARK_NEAR_FIELD;
    out->position = position;
    out->axes = SG_AXES_NONE;
    out->technique = m->technique;
    out->receptor = receptor;
}

/* A view of a site that no study made ready must not fall back to the other method unseen. */
void sg_sound_value(const struct sg_site *site, size_t method, size_t receptor,
                    enum sg_position position, const struct sg_sound_span *span,
                    struct sg_value *out, double *loudest_db, struct sg_working *working)
{
    struct sg_arena arena = SG_ARENA_INIT;
    struct sg_site ready = *site;
    sg_status status = sg_site_outdoor(site, &arena, &ready, NULL);
    value_of(sg_ok(status) ? &ready : site, method, receptor, position, span, out, loudest_db,
             working);
    sg_arena_release(&arena);
}
