/* read.c - a site file from end to end, and the checks that need the whole site. */
#include "site_internal.h"

#include <math.h>
#include <string.h>

static void read_hours(struct sg_reader *reader, const struct sg_tree *map, struct sg_hours *out)
{
    struct sg_raw_hours raw;
    if (!map)
        return;
    sg_bind(reader, "hours", map, &raw);
    out->work_h = raw.work_h;
    out->days_per_week = raw.days_per_week;
    const double weekdays = 5;
    if (raw.days_per_week > weekdays)
        sg_reader_warn(reader, sg_tree_spot(map, "days_per_week"),
                       "hours.days_per_week is %.9g: of the values for weekends and holidays only "
                       "those of noise limits that name their hours and days are judged; hold "
                       "those days against the others by hand",
                       raw.days_per_week);
    const struct sg_tree *start = sg_tree_value(map, "start"), *end = sg_tree_value(map, "end");
    if (!start || !end || raw.start[0] == '\0' || raw.end[0] == '\0')
        return;
    bool good = sg_bind_clock(reader, start, "hours.start", raw.start, &out->start_h);
    good &= sg_bind_clock(reader, end, "hours.end", raw.end, &out->end_h);
    if (!good)
        return;
    double span_h = out->end_h - out->start_h;
    if (span_h <= 0.0)
        span_h += 24.0;
    if (sg_is_set(raw.work_h) && raw.work_h > span_h + 1e-9)
        sg_reader_error(reader, SG_ERR_INPUT, sg_tree_spot(map, "work_h"),
                        "hours.work_h: '%.9g' is more "
                        "than the %.9g h from start to end; allowed: at most that",
                        raw.work_h, span_h);
}

static void read_sound(struct sg_reader *reader, const struct sg_tree *map, struct sg_site *site)
{
    struct sg_raw_sound raw;
    sg_bind(reader, "sound", map, &raw);
    site->boundary_distance_m = raw.boundary_distance_m;
    site->soft_fraction = raw.soft_fraction;
    site->rating = raw.rating[0] ? raw.rating : NULL;
    site->passed_short_only = raw.passed_short_only;
    site->hoarding_height_m = raw.hoarding_height_m;
    if (raw.hoarding_height_m > 0 && !sg_is_set(raw.boundary_distance_m))
        sg_reader_error(reader, SG_ERR_MISSING, map->at,
                        "sound.boundary_distance_m: is missing (needed with hoarding_height_m, the "
                        "hoarding stands there); allowed: a distance in metres");
    site->fta_sound = sg_same(raw.method, "fta");
    site->octave_bands = sg_same(raw.method, "octave-bands");
    site->sound_ground = SG_SOUND_HARD;
    if (sg_same(raw.ground, "soft"))
        site->sound_ground = SG_SOUND_SOFT;
    else if (sg_same(raw.ground, "mixed"))
        site->sound_ground = SG_SOUND_MIXED;
    bool mixed = site->sound_ground == SG_SOUND_MIXED;
    const struct sg_tree *given = sg_tree_value(map, "soft_fraction");
    if (mixed && !given)
        sg_reader_error(reader, SG_ERR_MISSING, map->at,
                        "sound.soft_fraction: is missing (needed with "
                        "ground: mixed); allowed: a number from 0 to 1");
    if (!mixed && given)
        sg_reader_warn(reader, given->at, "sound.soft_fraction is used with ground: mixed only");
    if (!mixed)
        site->soft_fraction = site->sound_ground == SG_SOUND_SOFT ? 1.0 : 0.0;
}

static const char *use_at(size_t i)
{
    return sg_use_id(1u << i);
}

static size_t use_count(void)
{
    size_t count = 0;
    while ((1u << count) < SG_USE_END)
        count++;
    return count;
}

static void read_limits(struct sg_reader *reader, const struct sg_tree *map, struct sg_site *site)
{
    if (!map)
        return;
    struct sg_use_limits *limits = sg_reader_alloc(reader, map->count, sizeof(*limits));
    unsigned seen = 0;
    for (size_t i = 0; limits && i < map->count; i++) {
        const struct sg_tree *key = map->child[2 * i];
        struct sg_use_limits *one = &limits[site->nlimits];
        const char *name = key->kind == SG_TREE_TEXT ? key->text : "[...]";
        if (sg_use_find(name, &one->use) != SG_OK) {
            sg_reader_unknown(reader, key->at, "limits", name, use_at, use_count());
            continue;
        }
        if (seen & one->use)
            sg_reader_error(reader, SG_ERR_INPUT, key->at,
                            "limits.%s: is given a second time; allowed: "
                            "each use once",
                            name);
        seen |= one->use;
        one->limit_set =
            sg_build_limit_list(reader, map->child[2 * i + 1], "limits", &one->nlimit_set);
        site->nlimits++;
    }
    site->limits = limits;
}

/* The site's own limit sets. An id that is built in would change numbers unseen. */
static void read_limit_files(struct sg_reader *reader, const struct sg_tree *list,
                             struct sg_site *site)
{
    size_t count = 0;
    const char *const *names = list ? sg_bind_texts(reader, list, "limit_files", &count) : NULL;
    const struct sg_limit_set **own = names ? sg_reader_alloc(reader, count, sizeof(*own)) : NULL;
    for (size_t i = 0; own && i < count; i++) {
        size_t length;
        struct sg_spot at = list->kind == SG_TREE_LIST ? list->child[i]->at : list->at;
        const char *path = sg_reader_path(reader, names[i]);
        const char *bytes =
            path ? sg_reader_file(reader, path, at, SG_SITE_MAX_BYTES, &length) : NULL;
        const char *file = site->file;
        const char *needs = reader->needs;
        site->file = path; /* where messages of the tree point to */
        reader->needs = SG_NEEDS_LIMIT_SET;
        const struct sg_tree *root = bytes ? sg_yaml_load(reader, bytes, length) : NULL;
        reader->needs = needs;
        const struct sg_limit_set *set = root ? sg_build_limit_file(reader, root) : NULL;
        site->file = file;
        if (!set || !set->id)
            continue;
        if (sg_site_limit_set(site, set->id))
            sg_reader_error(reader, SG_ERR_INPUT, root->at,
                            "id: '%s' is taken; allowed: an id of its own", set->id);
        own[site->nown_set] = set;
        site->own_set = own;
        site->nown_set++;
    }
}

/* Octave bands need to know how high the source stands: screens do nothing against a high one. */
static void check_heights(struct sg_reader *reader, const struct sg_raw_site *raw)
{
    const struct sg_site *site = reader->site;
    for (size_t i = 0; site->octave_bands && i < site->nmethod; i++) {
        const struct sg_plant *rig = &site->method[i].rig_sound;
        if (sg_is_set(rig->level_db) && !sg_is_set(rig->start_height_m))
            sg_reader_error(
                reader, SG_ERR_MISSING, raw->methods->child[i]->at,
                "methods.sound.start_height_m: is missing in %s; allowed: a number from "
                "0 to 60 m, needed with sound.method: octave-bands",
                sg_quoted(reader, site->method[i].name));
    }
    if (!site->octave_bands && raw->scene)
        sg_reader_warn(reader, raw->scene->at,
                       "scene is used with sound.method: octave-bands only");
}

/* A receptor without any limit is shown without a verdict, which should not pass unseen. */
static void check_limits(struct sg_reader *reader, const struct sg_raw_site *raw)
{
    struct sg_site *site = reader->site;
    size_t without = 0, first = 0;
    for (size_t i = 0; i < site->nreceptor; i++) {
        size_t count;
        const struct sg_receptor *r = &site->receptor[i];
        sg_site_limit_sets(site, r, &count);
        if (count > 0 || sg_is_set(r->own_ppv_limit_mm_s))
            continue;
        first = without == 0 ? i : first;
        without++;
    }
    if (without > 0 && raw->receptors)
        sg_reader_warn(reader, raw->receptors->at,
                       "%zu receptors have no limit set (the first: %s); "
                       "limits gives sets by use",
                       without, site->receptor[first].name);
}

/* ---- extent ---- */

struct box {
    double west_m, south_m, east_m, north_m;
};

static void stretch(struct box *box, struct sg_point p)
{
    if (!sg_is_set(p.x_m) || !sg_is_set(p.y_m))
        return;
    box->west_m = fmin(box->west_m, p.x_m);
    box->east_m = fmax(box->east_m, p.x_m);
    box->south_m = fmin(box->south_m, p.y_m);
    box->north_m = fmax(box->north_m, p.y_m);
}

static void check_extent(struct sg_reader *reader, const struct sg_raw_site *raw)
{
    const struct sg_site *site = reader->site;
    struct box box = { HUGE_VAL, HUGE_VAL, -HUGE_VAL, -HUGE_VAL };
    struct sg_spot at = raw->wall ? raw->wall->at : (struct sg_spot){ .file = site->file };
    for (size_t i = 0; i < site->npile; i++)
        stretch(&box, site->pile[i].at);
    if (site->npile == 0)
        return;
    if (box.east_m - box.west_m > SG_MAX_EXTENT_M || box.north_m - box.south_m > SG_MAX_EXTENT_M)
        sg_reader_error(reader, SG_ERR_INPUT, at,
                        "wall: the piles span %.0f m by %.0f m; allowed: at "
                        "most %.0f m; easting and northing of some may be swapped, or the CRS be "
                        "another",
                        box.east_m - box.west_m, box.north_m - box.south_m, SG_MAX_EXTENT_M);
    else if (!reader->local)
        sg_geo_check_area(reader, site->pile[site->npile / 2].at, at);
}

/* ---- all of it ---- */

static void build(struct sg_reader *reader, const struct sg_tree *root)
{
    struct sg_site *site = reader->site;
    struct sg_raw_site raw;
    sg_bind(reader, "", root, &raw);
    if (root->kind != SG_TREE_MAP)
        return;
    site->title = raw.title;
    site->note = raw.note;
    site->crs = raw.crs;
    site->percentile = raw.percentile;
    site->prepared_by = raw.prepared_by;
    site->checked_by = raw.checked_by;
    site->jurisdiction = raw.jurisdiction;
    sg_geo_set_crs(reader, raw.crs, sg_tree_spot(root, "crs"));
    sg_build_ground(reader, &raw, root);
    sg_build_wall(reader, &raw);
    read_limit_files(reader, raw.limit_files, site);
    sg_build_receptors(reader, &raw);
    sg_build_sources(reader, &raw);
    sg_build_methods(reader, &raw);
    read_hours(reader, raw.hours, &site->hours);
    read_sound(reader, raw.sound, site);
    sg_build_crew(reader, &raw);
    sg_build_scene(reader, raw.scene, false);
    check_heights(reader, &raw);
    read_limits(reader, raw.limits, site);
    sg_build_choices(reader, &raw);
    sg_build_programme(reader, &raw);
    check_limits(reader, &raw);
    check_extent(reader, &raw);
    if (site->octave_bands)
        sg_check_scene_reach(reader);
}

/* Rows of the result are told apart by their names. */
static void check_case_names(struct sg_reader *reader)
{
    const struct sg_scene *s = reader->site->scene;
    size_t most = s ? s->nemitter + s->nlistener : 0;
    struct sg_named *named = sg_reader_alloc(reader, most + 1, sizeof(*named));
    for (size_t i = 0; named && i < most; i++) {
        bool source = i < s->nemitter;
        size_t k = source ? i : i - s->nemitter;
        const struct sg_place *at = source ? &s->emitter_at[k] : &s->listener_at[k];
        const char *name = source ? s->emitter[k].name : s->listener[k].name;
        named[i] = (struct sg_named){ name ? name : "",
                                      { .file = at->file, .line = at->line, .column = at->column },
                                      k };
    }
    if (!named || !s)
        return;
    sg_names_check(reader, "source", named, s->nemitter);
    sg_names_check(reader, "receptor", named + s->nemitter, s->nlistener);
}

static void build_case(struct sg_reader *reader, const struct sg_tree *root)
{
    if (root->kind != SG_TREE_MAP) {
        sg_reader_error(reader, SG_ERR_INPUT, root->at,
                        "the file: is not a map; allowed: keys and values");
        return;
    }
    sg_build_scene(reader, root, true);
    if (reader->site->crs && reader->site->crs[0] == '\0')
        sg_reader_error(reader, SG_ERR_INPUT, sg_tree_spot(root, "crs"),
                        "crs: is empty; allowed: EPSG:n of a projected CRS in metres, or "
                        "local-metre");
    check_case_names(reader);
    sg_check_scene_reach(reader);
}

static bool start(struct sg_reader *reader, const char *path)
{
    struct sg_arena *arena = &reader->site->arena;
    const char *slash = strrchr(path, '/');
    size_t length = slash ? (size_t)(slash - path) : 0;
    reader->site->file = sg_arena_copy(arena, path, strlen(path));
    reader->folder = slash && length == 0 ? "/." : sg_arena_copy(arena, path, length);
    if (reader->site->file && reader->folder)
        return true;
    reader->nomem = true;
    return false;
}

static sg_status finish(struct sg_reader *reader, struct sg_site *out, struct sg_errors *errors)
{
    if (!reader->site->file)
        reader->site->file = "";
    sg_status status = sg_reader_finish(reader, errors);
    sg_geo_release(reader);
    if (status == SG_OK)
        *out = *reader->site;
    else
        sg_arena_release(&reader->site->arena);
    return status;
}

typedef void build_fn(struct sg_reader *reader, const struct sg_tree *root);

static sg_status read_memory(const char *bytes, size_t length, const char *path,
                             build_fn *build_all, struct sg_site *out, struct sg_errors *errors)
{
    struct sg_site site = SG_SITE_INIT;
    struct sg_reader reader = { .site = &site, .folder = "" };
    if (start(&reader, path)) {
        const struct sg_tree *root = sg_yaml_load(&reader, bytes, length);
        if (root)
            build_all(&reader, root);
    }
    return finish(&reader, out, errors);
}

sg_status sg_site_read_memory(const char *bytes, size_t length, const char *path,
                              struct sg_site *out, struct sg_errors *errors)
{
    return read_memory(bytes, length, path, build, out, errors);
}

sg_status sg_scene_read_memory(const char *bytes, size_t length, const char *path,
                               struct sg_site *out, struct sg_errors *errors)
{
    return read_memory(bytes, length, path, build_case, out, errors);
}

/* What is put over the values of a file. */
struct overrides {
    const char *const *set;
    size_t count;
};

static sg_status read_file(const char *path, build_fn *build_all, const struct overrides *over,
                           struct sg_site *out, struct sg_errors *errors)
{
    struct sg_site site = SG_SITE_INIT;
    struct sg_reader reader = { .site = &site, .folder = "" };
    if (build_all == build_case)
        reader.needs = "allowed: a case file (at least sources and receptors)";
    size_t length = 0;
    if (start(&reader, path)) {
        struct sg_spot at = { .file = site.file };
        const char *bytes = sg_reader_file(&reader, site.file, at, SG_SITE_MAX_BYTES, &length);
        struct sg_tree *root = bytes ? sg_yaml_load(&reader, bytes, length) : NULL;
        if (root)
            sg_tree_override(&reader, root, over->set, over->count);
        if (root)
            build_all(&reader, root);
    }
    return finish(&reader, out, errors);
}

sg_status sg_site_read(const char *path, struct sg_site *out, struct sg_errors *errors)
{
    return sg_site_read_with(path, NULL, 0, out, errors);
}

sg_status sg_site_read_with(const char *path, const char *const *set, size_t nset,
                            struct sg_site *out, struct sg_errors *errors)
{
    const struct overrides over = { set, nset };
    return read_file(path, build, &over, out, errors);
}

sg_status sg_scene_read(const char *path, struct sg_site *out, struct sg_errors *errors)
{
    const struct overrides none = { NULL, 0 };
    return read_file(path, build_case, &none, out, errors);
}
