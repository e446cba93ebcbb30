/* measures.c - what measures against noise would bring at the receptor that governs: screens,
 * enclosures, another method, shorter hours; and what each item of plant contributes.
 *
 * Sources: the rows of the catalogue carry theirs; a screen by octave bands is computed as a wall
 * of
 * the scene (ISO 9613-2). Everything else is the same calculation with one figure changed. */
#include "plan_internal.h"

#include <math.h>

#define MOST 48
#define HOARDING_HALF_LENGTH_M 60.0 /* long enough that the way round counts little; a proposal */

size_t sg_noise_receptor(const struct sg_study *study, size_t method)
{
    const struct sg_governing *noise = &study->summary[method].noise;
    if (noise->receptor != SIZE_MAX)
        return noise->receptor;
    size_t best = SIZE_MAX;
    double most = 0;
    for (size_t r = 0; r < study->nreceptor; r++) {
        double db = sg_study_outcome(study, method, r)->laeq.central;
        if (sg_is_set(db) && (best == SIZE_MAX || db > most)) {
            best = r;
            most = db;
        }
    }
    return best;
}

struct making {
    const struct sg_site *site;
    struct sg_arena *arena;
    struct sg_noise_ask ask;
    size_t method, receptor;
    struct sg_measure *list;
    size_t count;
};

static void add(struct making *k, size_t method, const char *name, double low_db, double high_db,
                const struct sg_cite *cite)
{
    if (k->count < MOST && sg_is_set(low_db) && sg_is_set(high_db) && name)
        k->list[k->count++] =
            (struct sg_measure){ method, name, fmin(low_db, high_db), fmax(low_db, high_db), cite };
}

static double level(const struct making *k, const struct sg_site *site, size_t method)
{
    struct sg_value value;
    sg_noise_value(site, method, k->receptor, &k->ask, &value, NULL);
    return value.central;
}

/* ---- one figure changed ---- */

/* So many dB off every source, as a screen in front of all of them. */
static double screened(const struct making *k, double off_db)
{
    struct sg_receptor *receptor = sg_arena_alloc(k->arena, k->site->nreceptor, sizeof(*receptor));
    struct sg_site view = *k->site;
    if (!receptor || k->site->method[k->method].sound_law) /* a law of the site takes no screen */
        return SG_UNSET;
    for (size_t i = 0; i < k->site->nreceptor; i++)
        receptor[i] = k->site->receptor[i];
    receptor[k->receptor].screening_db += off_db;
    view.receptor = receptor;
    return level(k, &view, k->method);
}

static bool take_off(struct sg_plant *plant, double off_db, struct sg_arena *arena)
{
    double *octave = sg_arena_alloc(arena, SG_BANDS, sizeof(*octave));
    if (!octave)
        return false;
    plant->level_db -= off_db;
    plant->blow_lae_10m_db -= off_db;
    for (size_t b = 0; plant->octave_db && b < SG_BANDS; b++)
        octave[b] = plant->octave_db[b] - off_db;
    plant->octave_db = plant->octave_db ? octave : NULL;
    return true;
}

/* So many dB off the rig alone, or off the supporting plant alone. */
static double quieter(const struct making *k, enum sg_measure_part part, double off_db)
{
    const struct sg_method *m = &k->site->method[k->method];
    struct sg_method *method = sg_arena_alloc(k->arena, k->site->nmethod, sizeof(*method));
    struct sg_plant *plant = sg_arena_alloc(k->arena, m->nplant + 1, sizeof(*plant));
    struct sg_site view = *k->site;
    bool made = method && plant;
    if (!made || (part == SG_MEASURE_PLANT && m->nplant == 0) || m->sound_law)
        return SG_UNSET;
    for (size_t i = 0; i < k->site->nmethod; i++)
        method[i] = k->site->method[i];
    for (size_t i = 0; i < m->nplant && made; i++) {
        plant[i] = m->plant[i];
        made = part != SG_MEASURE_PLANT || take_off(&plant[i], off_db, k->arena);
    }
    if (made && part == SG_MEASURE_RIG)
        made = take_off(&method[k->method].rig_sound, off_db, k->arena);
    method[k->method].plant = plant;
    view.method = method;
    return made ? level(k, &view, k->method) : SG_UNSET;
}

static void by_hours(struct making *k)
{
    struct sg_site view = *k->site;
    struct making half = *k;
    view.hours.work_h *= 0.5;
    half.ask.span.worked_h = fmin(view.hours.work_h, half.ask.span.worked_h);
    if (k->ask.span.loudest > 0 || !(half.ask.span.worked_h < k->ask.span.worked_h))
        return; /* an averaging time that is worked through all the same gains nothing */
    double db = level(&half, &view, k->method);
    add(k, k->method, sg_arena_printf(k->arena, "half the hours: %.3g h", view.hours.work_h), db,
        db, NULL);
}

/* ---- screens ---- */

/* A wall across the way, at the site boundary, from the nearest pile towards the receptor. */
static double behind_hoarding(const struct making *k, double height_m)
{
    const struct sg_scene *scene = k->site->scene;
    size_t nearest = sg_site_nearest_pile(k->site, k->receptor), n = scene->nobstacle;
    struct sg_obstacle *obstacle = sg_arena_alloc(k->arena, n + 1, sizeof(*obstacle));
    struct sg_spot3 *corner = sg_arena_alloc(k->arena, 2, sizeof(*corner));
    struct sg_scene *with = sg_arena_alloc(k->arena, 1, sizeof(*with));
    struct sg_site view = *k->site;
    if (nearest == SIZE_MAX || !obstacle || !corner || !with)
        return SG_UNSET;
    struct sg_point from = k->site->pile[nearest].at, to = k->site->receptor[k->receptor].at;
    double length = hypot(to.x_m - from.x_m, to.y_m - from.y_m);
    double at_m = k->site->boundary_distance_m;
    if (!(length > at_m))
        return SG_UNSET;
    double ux = (to.x_m - from.x_m) / length, uy = (to.y_m - from.y_m) / length;
    for (int i = 0; i < 2; i++) {
        double side = i == 0 ? -HOARDING_HALF_LENGTH_M : HOARDING_HALF_LENGTH_M;
        corner[i] = (struct sg_spot3){ from.x_m + ux * at_m - uy * side,
                                       from.y_m + uy * at_m + ux * side, height_m, SG_UNSET };
    }
    for (size_t i = 0; i < n; i++)
        obstacle[i] = scene->obstacle[i];
    obstacle[n] = (struct sg_obstacle){ .name = "hoarding", .corner = corner, .ncorner = 2 };
    *with = *scene;
    with->obstacle = obstacle;
    with->nobstacle = n + 1;
    view.scene = with;
    view.outdoor = NULL;
    return sg_ok(sg_outdoor_make(with, k->arena, &view.outdoor, NULL)) ? level(k, &view, k->method)
                                                                       : SG_UNSET;
}

static void by_numbers(struct making *k, const enum sg_sound_number *number, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        const struct sg_sound_number_row *row = sg_sound_number_at(number[i]);
        double db = screened(k, row->value);
        add(k, k->method, row->meaning, db, db, &row->cite);
    }
}

static void by_screens(struct making *k)
{
    static const enum sg_sound_number bs[] = { SG_SOUND_SCREEN_VISIBLE_DB,
                                               SG_SOUND_SCREEN_HIDDEN_DB };
    static const enum sg_sound_number fhwa[] = { SG_SOUND_SHIELD_BROKEN_DB,
                                                 SG_SOUND_SHIELD_SOLID_DB,
                                                 SG_SOUND_SHIELD_BOTH_DB };
    double height_m = k->site->hoarding_height_m;
    if (!k->site->outdoor && k->site->fta_sound)
        by_numbers(k, fhwa, SG_COUNT(fhwa));
    else if (!k->site->outdoor)
        by_numbers(k, bs, SG_COUNT(bs));
    else if (height_m > 0 && sg_is_set(k->site->boundary_distance_m)) {
        double db = behind_hoarding(k, height_m);
        add(k, k->method, sg_arena_printf(k->arena, "hoarding, %.3g m high, computed", height_m),
            db, db, NULL);
    }
    for (size_t i = 0; i < sg_measure_row_count(); i++) {
        const struct sg_measure_row *row = sg_measure_row_at(i);
        enum sg_technique technique = k->site->method[k->method].technique;
        if (!(row->techniques & SG_TECHNIQUE_BIT(technique)) ||
            (k->site->outdoor && row->part == SG_MEASURE_ALL))
            continue;
        double least = row->part == SG_MEASURE_ALL ? screened(k, row->low_db)
                                                   : quieter(k, row->part, row->low_db);
        double most = row->part == SG_MEASURE_ALL ? screened(k, row->high_db)
                                                  : quieter(k, row->part, row->high_db);
        add(k, k->method, row->meaning, most, least, &row->cite);
    }
}

/* The verdict on a period level that comes closest to its limit, or passes it most. */
static const struct sg_verdict *deciding(const struct sg_outcome *outcome)
{
    const struct sg_verdict *best = NULL;
    for (size_t i = 0; i < outcome->nverdict; i++) {
        const struct sg_verdict *v = &outcome->verdict[i];
        if (v->row && v->row->quantity == SG_Q_LAEQ && sg_is_set(v->ratio_upper) &&
            (!best || v->ratio_upper > best->ratio_upper))
            best = v;
    }
    return best;
}

sg_status sg_measures_make(const struct sg_study *study, size_t method, struct sg_arena *arena,
                           struct sg_measures *out)
{
    static const struct sg_limit_set plain_set = { .rating = NULL };
    static const struct sg_limit_row plain_row = { .quantity = SG_Q_LAEQ, .averaging_h = 12 };
    struct making k = { .site = study->site, .arena = arena, .method = method };
    k.receptor = sg_noise_receptor(study, method);
    k.list = sg_arena_alloc(arena, MOST, sizeof(*k.list));
    if (!k.list)
        return SG_ERR_NOMEM;
    if (k.receptor == SIZE_MAX)
        return SG_ERR_MISSING;
    const struct sg_verdict *v = deciding(sg_study_outcome(study, method, k.receptor));
    k.ask = sg_noise_ask_of(&study->site->hours, v ? v->set : &plain_set, v ? v->row : &plain_row,
                            v ? v->period : SG_DAY);
    if (!v)
        k.ask.position = study->site->receptor[k.receptor].position;
    double now_db = level(&k, k.site, method);
    if (!sg_is_set(now_db))
        return SG_ERR_MISSING;
    by_screens(&k);
    by_hours(&k);
    for (size_t m = 0; m < study->nmethod; m++) {
        double db = m == method ? SG_UNSET : level(&k, k.site, m);
        add(&k, m, sg_arena_printf(arena, "instead: %s", study->site->method[m].name), db, db,
            NULL);
    }
    *out = (struct sg_measures){ .method = method,
                                 .receptor = k.receptor,
                                 .verdict = v,
                                 .now_db = now_db,
                                 .limit_db = v ? v->limit : SG_UNSET,
                                 .measure = k.list,
                                 .count = k.count };
    return SG_OK;
}
