/* scene_points.c - sources and receptors of a case file, and figures given octave by octave. */
#include "site_internal.h"

/* As wide as the sound power of a case file: more than any machine, and less. */
const struct sg_octave_range sg_octaves_of_power = { -50, 200, " dB" };
const struct sg_octave_range sg_octaves_of_shares = { 0, 1, "" };

bool sg_bind_octaves(struct sg_reader *reader, const struct sg_tree *list, const char *key,
                     const struct sg_octave_range *range, double *out)
{
    bool good = list->kind == SG_TREE_LIST && list->count == SG_BANDS;
    if (!good)
        sg_reader_error(
            reader, SG_ERR_INPUT, list->at,
            "%s: is not a list of eight; allowed: one number for each octave from 63 Hz "
            "to 8 kHz",
            key);
    for (size_t b = 0; good && b < SG_BANDS; b++)
        good &= sg_bind_number(reader, list->child[b], key, &out[b]);
    for (size_t b = 0, all = good ? SG_BANDS : 0; b < all; b++) {
        if (out[b] >= range->least && out[b] <= range->most)
            continue;
        sg_reader_error(reader, SG_ERR_INPUT, list->child[b]->at,
                        "%s: '%.9g' is too %s; allowed: a number from %g to %g%s", key, out[b],
                        out[b] > range->most ? "large" : "small", range->least, range->most,
                        range->unit);
        good = false;
    }
    return good;
}

/* ---- sources and receptors of a case ---- */

static bool read_spot(struct sg_reader *reader, const struct sg_raw_emitter *raw,
                      const struct sg_tree *map, const char *block, struct sg_spot3 *out)
{
    if (sg_is_set(raw->height_m) == sg_is_set(raw->z_m)) {
        sg_reader_error(reader, SG_ERR_INPUT, map->at,
                        "%s: the height is given %s; allowed: one of height_m (above the ground) "
                        "and z_m (in the datum)",
                        block, sg_is_set(raw->z_m) ? "twice" : "not at all");
        return false;
    }
    *out = (struct sg_spot3){ raw->x_m, raw->y_m, raw->height_m, raw->z_m };
    return true;
}

static void read_emitter(struct sg_reader *reader, const struct sg_tree *map,
                         struct sg_emitter *out)
{
    struct sg_raw_emitter raw;
    if (!sg_bind(reader, "scene.sources", map, &raw))
        return;
    *out = (struct sg_emitter){ .name = raw.name,
                                .power_a_db = raw.lwa_db,
                                .provenance = raw.provenance };
    read_spot(reader, &raw, map, "scene.sources", &out->at);
    for (size_t b = 0; b < SG_BANDS; b++)
        out->power_db[b] = raw.each_db;
    if (raw.octaves)
        sg_bind_octaves(reader, raw.octaves, "scene.sources.lw_octaves_dB", &sg_octaves_of_power,
                        out->power_db);
    size_t given = (size_t)sg_is_set(raw.each_db) + (size_t)sg_is_set(raw.lwa_db) +
                   (size_t)(raw.octaves != NULL);
    if (given != 1)
        sg_reader_error(reader, given == 0 ? SG_ERR_MISSING : SG_ERR_INPUT, map->at,
                        "scene.sources: the sound power is given in %zu ways; allowed: one of "
                        "lw_octaves_dB, lw_each_octave_dB, lwa_dB",
                        given);
}

static void read_listener(struct sg_reader *reader, const struct sg_tree *map,
                          struct sg_listener *out)
{
    struct sg_raw_emitter raw = { .each_db = SG_UNSET };
    if (!sg_bind(reader, "scene.receptors", map, &raw))
        return;
    *out = (struct sg_listener){ .name = raw.name, .facade = raw.facade };
    read_spot(reader, &raw, map, "scene.receptors", &out->at);
}

void sg_build_scene_points(struct sg_reader *reader, const struct sg_raw_scene *raw,
                           const struct sg_tree *map, struct sg_scene *scene)
{
    size_t nsource = raw->sources ? raw->sources->count : 0;
    size_t nreceptor = raw->receptors ? raw->receptors->count : 0;
    if (nsource == 0 || nreceptor == 0)
        sg_reader_error(reader, SG_ERR_MISSING, map->at,
                        "%s: is missing; allowed: one or more in a case file",
                        nsource == 0 ? "sources" : "receptors");
    struct sg_emitter *emitter = sg_reader_alloc(reader, nsource + 1, sizeof(*emitter));
    struct sg_listener *listener = sg_reader_alloc(reader, nreceptor + 1, sizeof(*listener));
    struct sg_place *emitter_at = sg_reader_alloc(reader, nsource + 1, sizeof(*emitter_at));
    struct sg_place *listener_at = sg_reader_alloc(reader, nreceptor + 1, sizeof(*listener_at));
    if (!emitter || !listener || !emitter_at || !listener_at)
        return;
    for (size_t i = 0; i < nsource; i++) {
        read_emitter(reader, raw->sources->child[i], &emitter[i]);
        emitter_at[i] = sg_reader_place(reader, raw->sources->child[i]->at);
    }
    for (size_t i = 0; i < nreceptor; i++) {
        read_listener(reader, raw->receptors->child[i], &listener[i]);
        listener_at[i] = sg_reader_place(reader, raw->receptors->child[i]->at);
    }
    scene->emitter_at = emitter_at;
    scene->listener_at = listener_at;
    scene->emitter = emitter;
    scene->nemitter = nsource;
    scene->listener = listener;
    scene->nlistener = nreceptor;
}
