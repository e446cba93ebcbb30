/* ground.c - boreholes and their layers. */
#include "site/ags.h"

#include <math.h>
#include <string.h>

static const char *soil_at(size_t i)
{
    return sg_soil_at(i)->soil;
}

static bool soil_known(const char *soil)
{
    for (size_t i = 0; i < sg_soil_count(); i++) {
        if (sg_same(sg_soil_at(i)->soil, soil))
            return true;
    }
    return false;
}

static void unknown_state(struct sg_reader *reader, const struct sg_raw_layer *raw,
                          struct sg_spot at)
{
    const char *states[64];
    size_t count = 0;
    struct sg_text allowed = SG_TEXT_INIT;
    for (size_t i = 0; i < sg_soil_count() && count < SG_COUNT(states); i++) {
        if (!sg_same(sg_soil_at(i)->soil, raw->soil))
            continue;
        states[count] = sg_soil_at(i)->state;
        sg_text_printf(&allowed, "%s%s", count > 0 ? ", " : "", states[count]);
        count++;
    }
    const char *nearest = sg_nearest(raw->state, states, count);
    sg_reader_error(reader, SG_ERR_UNKNOWN, at, "state: %s is not a state of %s%s%s%s; allowed: %s",
                    sg_quoted(reader, raw->state), raw->soil, nearest ? " (meant: " : "",
                    nearest ? nearest : "", nearest ? "?)" : "", sg_text_string(&allowed));
    sg_text_release(&allowed);
}

static const struct sg_soil *find_soil(struct sg_reader *reader, const struct sg_raw_layer *raw,
                                       const struct sg_tree *map)
{
    const struct sg_soil *soil = NULL;
    if (raw->soil[0] == '\0')
        return NULL; /* reported as missing */
    if (!soil_known(raw->soil)) {
        sg_reader_unknown(reader, sg_tree_spot(map, "soil"), "soil", raw->soil, soil_at,
                          sg_soil_count());
        return NULL;
    }
    if (raw->state[0] != '\0') {
        soil = sg_soil_find(raw->soil, raw->state);
        if (!soil)
            unknown_state(reader, raw, sg_tree_spot(map, "state"));
        return soil;
    }
    if (sg_is_set(raw->spt_n))
        soil = sg_soil_by_n(raw->soil, raw->spt_n);
    if (!soil)
        sg_reader_error(reader, SG_ERR_MISSING, map->at,
                        "state: is missing and cannot be taken from "
                        "spt_N; allowed: a state, or spt_N of a soil whose states go by it");
    return soil;
}

static void check_n(struct sg_reader *reader, const struct sg_layer *layer,
                    const struct sg_tree *map)
{
    if (!sg_is_set(layer->spt_n) || !layer->soil || layer->soil->kind == SG_SOIL_ROCK)
        return;
    if (layer->spt_n < layer->soil->n_low || layer->spt_n > layer->soil->n_high)
        sg_reader_warn(reader, sg_tree_spot(map, "spt_N"),
                       "spt_N %.9g does not go with %s %s (%.9g "
                       "to %.9g)",
                       layer->spt_n, layer->soil->state, layer->soil->soil, layer->soil->n_low,
                       layer->soil->n_high);
}

static void read_layers(struct sg_reader *reader, const struct sg_tree *list, const char *block,
                        struct sg_borehole *out)
{
    struct sg_layer *layers = sg_reader_alloc(reader, list->count, sizeof(*layers));
    double top_m = 0.0;
    for (size_t i = 0; layers && i < list->count; i++) {
        const struct sg_tree *map = list->child[i];
        struct sg_raw_layer raw;
        if (!sg_bind(reader, block, map, &raw) && map->kind != SG_TREE_MAP)
            continue;
        struct sg_layer *layer = &layers[i];
        *layer = (struct sg_layer){ top_m, raw.base_m, find_soil(reader, &raw, map), raw.spt_n };
        check_n(reader, layer, map);
        if (!sg_is_set(raw.base_m) && !sg_tree_value(map, "base_m")) {
            if (i + 1 < list->count)
                sg_reader_error(reader, SG_ERR_MISSING, map->at,
                                "%s.base_m: is missing; allowed: only "
                                "the last layer may be open below",
                                block);
            layer->base_m = HUGE_VAL;
        } else if (raw.base_m <= top_m) {
            sg_reader_error(reader, SG_ERR_INPUT, sg_tree_spot(map, "base_m"),
                            "%s.base_m: '%.9g' is "
                            "not below the layer above; allowed: more than %.9g m, layers from the "
                            "top down",
                            block, raw.base_m, top_m);
        }
        if (sg_is_set(raw.base_m) && raw.base_m > top_m)
            top_m = raw.base_m;
    }
    out->layer = layers;
    out->nlayer = layers ? list->count : 0;
}

static void read_borehole(struct sg_reader *reader, const struct sg_tree *map, size_t count,
                          struct sg_borehole *out)
{
    struct sg_raw_borehole raw;
    sg_bind(reader, "boreholes", map, &raw);
    *out = (struct sg_borehole){ .name = raw.name,
                                 .chainage_m = raw.chainage_m,
                                 .water_depth_m = raw.water_depth_m };
    if (raw.layers)
        read_layers(reader, raw.layers, "boreholes.layers", out);
    if (count > 1 && map->kind == SG_TREE_MAP && !sg_tree_value(map, "chainage_m"))
        sg_reader_error(reader, SG_ERR_MISSING, map->at,
                        "boreholes.chainage_m: is missing; allowed: "
                        "left out only when there is one borehole");
}

static void read_boreholes(struct sg_reader *reader, const struct sg_tree *list)
{
    struct sg_borehole *holes = sg_reader_alloc(reader, list->count, sizeof(*holes));
    struct sg_named *named = sg_reader_alloc(reader, list->count, sizeof(*named));
    if (!holes || !named)
        return;
    for (size_t i = 0; i < list->count; i++) {
        read_borehole(reader, list->child[i], list->count, &holes[i]);
        named[i] = (struct sg_named){ holes[i].name, sg_tree_spot(list->child[i], "name"), i };
    }
    sg_names_check(reader, "borehole", named, list->count);
    reader->site->borehole = holes;
    reader->site->nborehole = list->count;
}

static void read_ground(struct sg_reader *reader, const struct sg_raw_site *raw)
{
    struct sg_borehole *hole = sg_reader_alloc(reader, 1, sizeof(*hole));
    if (!hole)
        return;
    *hole = (struct sg_borehole){ .name = "ground",
                                  .chainage_m = SG_UNSET,
                                  .water_depth_m = raw->water_depth_m };
    read_layers(reader, raw->ground, "ground", hole);
    reader->site->borehole = hole;
    reader->site->nborehole = 1;
}

void sg_build_ground(struct sg_reader *reader, const struct sg_raw_site *raw,
                     const struct sg_tree *root)
{
    if (raw->boreholes && raw->ground)
        sg_reader_error(reader, SG_ERR_INPUT, raw->ground->at,
                        "ground: is given beside boreholes; "
                        "allowed: one of the two");
    else if (!raw->boreholes && !raw->ground && !sg_tree_value(root, "boreholes") &&
             !sg_tree_value(root, "ground"))
        sg_reader_error(reader, SG_ERR_MISSING, root->at,
                        "ground: is missing (the layers the piles go "
                        "through); allowed: boreholes, or ground");
    if (raw->boreholes && sg_is_set(raw->water_depth_m))
        sg_reader_error(reader, SG_ERR_INPUT, sg_tree_spot(root, "water_depth_m"),
                        "water_depth_m: is "
                        "given beside boreholes; allowed: in each borehole, or with ground");
    if (raw->boreholes && raw->boreholes->kind == SG_TREE_MAP)
        sg_build_ags(reader, raw->boreholes);
    else if (raw->boreholes)
        read_boreholes(reader, raw->boreholes);
    else if (raw->ground)
        read_ground(reader, raw);
}
