/* methods.c - ways of installing the piles: rig, vibration relation, sound, supporting plant. */
#include "site_internal.h"

#include "stillground/outdoor_numbers.h"

#include <math.h>
#include <string.h>

/* Default of methods.plant.height_m (common practice, no source). */
#define USUAL_HEIGHT_M 1.5

static const char *model_at(size_t i)
{
    return sg_model_at(i)->id;
}

static const char *source_at(size_t i)
{
    return sg_source_at(i)->id;
}

/* ---- sound ---- */

struct own_level {
    const char *key;
    enum sg_source_kind kind;
    double level_db;
};

static void read_source(struct sg_reader *reader, const struct sg_raw_plant *raw,
                        const struct sg_tree *map, struct sg_plant *out)
{
    const struct sg_own_source *own = sg_own_source_find(reader, raw->source);
    if (own) {
        const char *name = out->name[0] != '\0' ? out->name : own->plant.name;
        out->kind = own->plant.kind;
        out->level_db = own->plant.level_db;
        out->octave_db = own->plant.octave_db;
        out->provenance = own->plant.provenance;
        out->name = name;
        return;
    }
    out->source = sg_source_find(raw->source);
    if (!out->source) {
        sg_reader_unknown(reader, sg_tree_spot(map, "source"), "source", raw->source, source_at,
                          sg_source_count());
        return;
    }
    out->kind = out->source->kind;
    out->level_db = out->source->level_db;
    if (out->name[0] == '\0')
        out->name = out->source->title;
    if (!sg_is_set(out->level_db))
        sg_reader_warn(reader, sg_tree_spot(map, "source"),
                       "source %s has no level in its document", raw->source);
}

/* Sound power by octave; the A-weighted total stands for it where octaves are not used. */
static void read_octaves(struct sg_reader *reader, const struct sg_raw_plant *raw,
                         const struct sg_tree *map, struct sg_plant *out)
{
    double weighted[SG_BANDS];
    if (!raw->octaves)
        return;
    double *band = sg_reader_alloc(reader, SG_BANDS, sizeof(*band));
    const struct sg_tree *list = sg_tree_value(map, "lw_octaves_dB");
    if (!band || !sg_bind_octaves(reader, list, "lw_octaves_dB", &sg_octaves_of_power, band))
        return;
    for (size_t b = 0; b < SG_BANDS; b++)
        weighted[b] = band[b] + sg_outdoor_numbers.a_weight_db[b];
    out->octave_db = band;
    out->level_db = sg_level_sum(weighted, SG_BANDS);
}

/* A blow's exposure level as the mean level while driving: LAE + 10 lg(blows per second). */
static void spread_blows(struct sg_reader *reader, const struct sg_tree *map,
                         struct sg_method *method)
{
    struct sg_plant *rig = &method->rig_sound;
    if (!sg_is_set(rig->blow_lae_10m_db))
        return;
    if (!sg_is_set(method->blows_per_min)) {
        sg_reader_error(reader, SG_ERR_MISSING, map->at,
                        "methods.blows_per_min: is missing; allowed: a number over 0, needed with "
                        "blow_lae_10m_dB");
        return;
    }
    rig->level_db = rig->blow_lae_10m_db + 10.0 * log10(method->blows_per_min / 60.0);
}

void sg_read_level(struct sg_reader *reader, const struct sg_raw_plant *raw,
                   const struct sg_tree *map, const char *block, struct sg_plant *out)
{
    const struct own_level own[] = {
        { "laeq_10m_dB", SG_SOURCE_LAEQ_10M, raw->laeq_10m_db },
        { "lwa_dB", SG_SOURCE_LWA, raw->lwa_db },
        { "lmax_50ft_dB", SG_SOURCE_LMAX_50FT, raw->lmax_50ft_db },
        { "lw_octaves_dB", SG_SOURCE_LWA, SG_UNSET },
        { "blow_lae_10m_dB", SG_SOURCE_LAEQ_10M, raw->blow_lae_10m_db },
    };
    size_t given = sg_tree_value(map, "source") != NULL;
    *out = (struct sg_plant){ .name = raw->name,
                              .level_db = SG_UNSET,
                              .provenance = raw->provenance,
                              .count = raw->count,
                              .on_time_percent = raw->on_time_percent,
                              .start_height_m = raw->start_height_m,
                              .end_height_m = raw->end_height_m,
                              .blow_lae_10m_db = raw->blow_lae_10m_db,
                              .blow_decay_ms = raw->blow_decay_ms,
                              .tonal_db = raw->tonal_db,
                              .onset_db_s = raw->onset_db_s,
                              .onset_rise_db = raw->onset_rise_db };
    read_octaves(reader, raw, map, out);
    for (size_t i = 0; i < SG_COUNT(own); i++) {
        given += sg_tree_value(map, own[i].key) != NULL;
        bool octaves = sg_same(own[i].key, "lw_octaves_dB") && out->octave_db;
        if (!sg_is_set(own[i].level_db) && !octaves)
            continue;
        out->kind = own[i].kind;
        if (sg_is_set(own[i].level_db))
            out->level_db = own[i].level_db;
        if (raw->provenance[0] == '\0')
            sg_reader_error(reader, SG_ERR_MISSING, map->at,
                            "%s.provenance: is missing; allowed: a text "
                            "that says where %s comes from, needed with it",
                            block, own[i].key);
    }
    if (given != 1) {
        sg_reader_error(reader, given == 0 ? SG_ERR_MISSING : SG_ERR_INPUT, map->at,
                        "%s: the level is "
                        "given in %zu ways; allowed: one of source, laeq_10m_dB, lwa_dB, "
                        "lmax_50ft_dB, lw_octaves_dB%s",
                        block, given, sg_same(block, "methods.sound") ? ", blow_lae_10m_dB" : "");
        return;
    }
    if (raw->source[0])
        read_source(reader, raw, map, out);
}

static void read_rig_sound(struct sg_reader *reader, const struct sg_raw_method *raw,
                           struct sg_method *out)
{
    struct sg_raw_plant level;
    out->rig_sound = (struct sg_plant){ .name = "rig",
                                        .level_db = SG_UNSET,
                                        .provenance = "",
                                        .count = 1.0,
                                        .on_time_percent = out->on_time_percent,
                                        .start_height_m = SG_UNSET,
                                        .end_height_m = SG_UNSET,
                                        .blow_lae_10m_db = SG_UNSET,
                                        .blow_decay_ms = SG_UNSET,
                                        .tonal_db = SG_UNSET,
                                        .onset_db_s = SG_UNSET,
                                        .onset_rise_db = SG_UNSET };
    if (!raw->sound)
        return;
    memset(&level, 0, sizeof(level));
    bool good = sg_bind(reader, "methods.sound", raw->sound, &level);
    level.name = "";
    level.count = 1.0;
    level.on_time_percent = out->on_time_percent;
    if (!good && raw->sound->kind != SG_TREE_MAP)
        return;
    sg_read_level(reader, &level, raw->sound, "methods.sound", &out->rig_sound);
    spread_blows(reader, raw->sound, out);
    if ((out->rig_sound.onset_db_s > 0) != (out->rig_sound.onset_rise_db > 0))
        sg_reader_error(reader, SG_ERR_MISSING, raw->sound->at,
                        "methods.sound: one of onset_rate_dB_s and onset_rise_dB is given; "
                        "allowed: both or none");
    if (out->rig_sound.name[0] == '\0')
        out->rig_sound.name = "rig";
    const struct sg_source *source = out->rig_sound.source;
    if (source && source->techniques != 0 &&
        (source->techniques & SG_TECHNIQUE_BIT(out->technique)) == 0)
        sg_reader_warn(reader, sg_tree_spot(raw->sound, "source"),
                       "source %s was measured on another "
                       "technique than %s",
                       source->id, sg_technique_id(out->technique));
}

/* At the height that plant has where none is given. */
static struct sg_plant usual_item(const struct sg_usual_plant *row)
{
    const struct sg_source *source = sg_source_find(row->source);
    return (struct sg_plant){ .source = source,
                              .name = source->title,
                              .kind = source->kind,
                              .level_db = source->level_db,
                              .provenance = "usual plant of the technique, common practice",
                              .count = row->count,
                              .on_time_percent = source->usage_percent,
                              .start_height_m = SG_UNSET,
                              .end_height_m = USUAL_HEIGHT_M,
                              .blow_lae_10m_db = SG_UNSET,
                              .blow_decay_ms = SG_UNSET,
                              .tonal_db = SG_UNSET,
                              .onset_db_s = SG_UNSET,
                              .onset_rise_db = SG_UNSET };
}

static void read_plant(struct sg_reader *reader, const struct sg_raw_method *raw,
                       struct sg_method *out)
{
    size_t listed = raw->plant ? raw->plant->count : 0;
    size_t usual = out->usual_plant ? sg_usual_plant_count() : 0;
    if (listed + usual == 0)
        return;
    struct sg_plant *plant = sg_reader_alloc(reader, listed + usual, sizeof(*plant));
    for (size_t i = 0; plant && i < listed; i++) {
        const struct sg_tree *map = raw->plant->child[i];
        struct sg_raw_plant one = { .start_height_m = SG_UNSET,
                                    .blow_lae_10m_db = SG_UNSET,
                                    .blow_decay_ms = SG_UNSET,
                                    .tonal_db = SG_UNSET,
                                    .onset_db_s = SG_UNSET,
                                    .onset_rise_db = SG_UNSET };
        plant[i] = (struct sg_plant){ .name = "", .level_db = SG_UNSET };
        sg_bind(reader, "methods.plant", map, &one);
        if (map->kind != SG_TREE_MAP)
            continue;
        sg_read_level(reader, &one, map, "methods.plant", &plant[i]);
        if (plant[i].name[0] == '\0' && sg_is_set(plant[i].level_db))
            sg_reader_error(reader, SG_ERR_MISSING, map->at,
                            "methods.plant.name: is missing; allowed: "
                            "left out only with a source");
    }
    out->plant = plant;
    out->nplant = plant ? listed : 0;
    for (size_t i = 0; plant && i < usual; i++) {
        const struct sg_usual_plant *row = sg_usual_plant_at(i);
        if (row->techniques & SG_TECHNIQUE_BIT(out->technique))
            plant[out->nplant++] = usual_item(row);
    }
}

/* ---- vibration ---- */

/* What a user may name of a relation: its constants' symbols, or the rows they stand in. */
struct vocabulary {
    const char *word[400];
    size_t count;
};

static void add_words(struct vocabulary *v, const struct sg_model *model, bool keys)
{
    for (size_t i = 0; model && i < model->ncoefficient && v->count < SG_COUNT(v->word); i++)
        v->word[v->count++] = keys ? model->coefficient[i].key : model->coefficient[i].symbol;
}

/* The larger of several relations has the constants of its parts. */
static void words_of(const struct sg_model *model, bool keys, struct vocabulary *v)
{
    v->count = 0;
    add_words(v, model, keys);
    for (size_t i = 0; i < model->npart; i++) {
        if (keys && v->count < SG_COUNT(v->word))
            v->word[v->count++] = model->part[i].variant;
        add_words(v, sg_model_find(model->part[i].model), keys);
    }
}

/* Reports a word that is not in the list; words that are NULL or repeated do not count. */
static void check_word(struct sg_reader *reader, struct sg_spot at, const char *label,
                       const char *word, const struct vocabulary *known)
{
    const char *const *list = known->word;
    size_t count = known->count;
    struct sg_text allowed = SG_TEXT_INIT;
    for (size_t i = 0; i < count; i++) {
        if (sg_same(list[i], word))
            goto done;
        bool repeated = list[i] == NULL;
        for (size_t j = 0; j < i && !repeated; j++)
            repeated = sg_same(list[i], list[j]);
        if (!repeated)
            sg_text_printf(&allowed, "%s%s", allowed.length > 0 ? ", " : "", list[i]);
    }
    const char *nearest = sg_nearest(word, list, count);
    sg_reader_error(reader, SG_ERR_UNKNOWN, at, "%s: %s is not known%s%s%s; allowed: %s", label,
                    sg_quoted(reader, word), nearest ? " (meant: " : "", nearest ? nearest : "",
                    nearest ? "?)" : "",
                    allowed.length > 0 ? sg_text_string(&allowed)
                                       : "none, the relation has no such");
done:
    sg_text_release(&allowed);
}

static void read_constants(struct sg_reader *reader, const struct sg_raw_method *raw,
                           const struct sg_tree *map, struct sg_method *out)
{
    struct vocabulary symbols = { .count = 0 };
    const struct sg_tree *given = raw->constants;
    if (!given)
        return;
    if (out->model)
        words_of(out->model, false, &symbols);
    struct sg_constant *constant = sg_reader_alloc(reader, given->count, sizeof(*constant));
    for (size_t i = 0; constant && i < given->count; i++) {
        const struct sg_tree *name = given->child[2 * i];
        if (name->kind != SG_TREE_TEXT) {
            sg_reader_error(reader, SG_ERR_INPUT, name->at,
                            "methods.constants: a symbol is not a text; "
                            "allowed: {symbol: value}");
            continue;
        }
        for (size_t j = 0; j < i; j++) {
            if (sg_same(constant[j].symbol, name->text))
                sg_reader_error(reader, SG_ERR_INPUT, name->at,
                                "methods.constants.%s: is given a second "
                                "time; allowed: each symbol once",
                                name->text);
        }
        if (out->model)
            check_word(reader, name->at, "methods.constants", name->text, &symbols);
        constant[i] = (struct sg_constant){ name->text, SG_UNSET };
        sg_bind_number(reader, given->child[2 * i + 1], "methods.constants", &constant[i].value);
    }
    out->constant = constant;
    out->nconstant = constant ? given->count : 0;
    if (given->count > 0 && out->constants_source[0] == '\0')
        sg_reader_error(reader, SG_ERR_MISSING, map->at,
                        "methods.constants_source: is missing; allowed: "
                        "a text that says where the constants come from, needed with them");
}

static const struct sg_model *find_model(struct sg_reader *reader, const char *id,
                                         const struct sg_tree *map, const char *key,
                                         const struct sg_method *method)
{
    const struct sg_model *model = sg_model_find(id);
    if (!model) {
        sg_reader_unknown(reader, sg_tree_spot(map, key), key, id, model_at, sg_model_count());
        return NULL;
    }
    if (model->quantity != SG_Q_PPV) {
        sg_reader_error(reader, SG_ERR_INPUT, sg_tree_spot(map, key),
                        "%s: %s gives %s, not ppv; allowed: a relation for ppv (command `models`)",
                        key, id, sg_quantity_id(model->quantity));
        return NULL;
    }
    if ((model->techniques & SG_TECHNIQUE_BIT(method->technique)) == 0)
        sg_reader_warn(reader, sg_tree_spot(map, key),
                       "%s %s is not one that its source states for %s; "
                       "the choice is yours to justify",
                       key, id, sg_technique_id(method->technique));
    return model;
}

static void read_models(struct sg_reader *reader, const struct sg_raw_method *raw,
                        const struct sg_tree *map, struct sg_method *out)
{
    struct vocabulary rows;
    out->model = raw->model[0] ? find_model(reader, raw->model, map, "model", out)
                               : sg_model_default(out->technique);
    if (sg_same(raw->second_model, "none"))
        out->second = NULL;
    else if (raw->second_model[0])
        out->second = find_model(reader, raw->second_model, map, "second_model", out);
    else
        out->second = sg_model_second(out->technique);
    if (out->second == out->model)
        out->second = NULL;
    if (out->variant && out->variant[0] == '\0')
        out->variant = NULL;
    if (out->model && out->model->upper == SG_UPPER_SITE &&
        !(sg_is_set(out->reference_ppv_mm_s) && sg_is_set(out->reference_distance_m)))
        sg_reader_error(reader, SG_ERR_MISSING, sg_tree_spot(map, "model"),
                        "model: %s starts from a measured value; allowed: with "
                        "reference_ppv_mm_s and reference_distance_m",
                        raw->model);
    if (out->model && out->model->k_by == SG_KEY_VARIANT && !out->variant &&
        !out->model->default_variant[out->technique])
        sg_reader_error(reader, SG_ERR_MISSING, sg_tree_spot(map, "model"),
                        "model: %s has no row for %s by default; allowed: with variant (command "
                        "`models %s` lists the rows)",
                        out->model->id, sg_technique_id(out->technique), out->model->id);
    if (out->variant && out->model) {
        words_of(out->model, true, &rows);
        check_word(reader, sg_tree_spot(map, "variant"), "methods.variant", out->variant, &rows);
    }
}

/* ---- the rig ---- */

struct rig_key {
    const char *key;
    unsigned techniques; /* it says something about */
};
static const struct rig_key rig_keys[] = {
    { "energy_kJ", SG_TECHNIQUE_BIT(SG_IMPACT) },
    { "blows_per_min", SG_TECHNIQUE_BIT(SG_IMPACT) },
    { "frequency_Hz", SG_TECHNIQUE_BIT(SG_VIBRATORY) },
    { "eccentric_moment_kgm", SG_TECHNIQUE_BIT(SG_VIBRATORY) },
    { "cycle_energy_kJ", SG_TECHNIQUE_BIT(SG_VIBRATORY) },
    { "variable_moment", SG_TECHNIQUE_BIT(SG_VIBRATORY) },
    { "press_force_kN", SG_ANY_PRESS_IN },
    { "water_flow_l_min", SG_TECHNIQUE_BIT(SG_PRESS_IN_JETTING) },
    { "jetting_reduction_dB", SG_TECHNIQUE_BIT(SG_PRESS_IN_JETTING) },
    { "auger", SG_TECHNIQUE_BIT(SG_PRESS_IN_AUGERING) },
    { "driven_to_refusal", SG_TECHNIQUE_BIT(SG_IMPACT) | SG_TECHNIQUE_BIT(SG_VIBRATORY) },
};

static void check_rig(struct sg_reader *reader, const struct sg_tree *map,
                      const struct sg_method *method)
{
    for (size_t i = 0; i < SG_COUNT(rig_keys); i++) {
        const struct sg_tree *value = sg_tree_value(map, rig_keys[i].key);
        if (value && (rig_keys[i].techniques & SG_TECHNIQUE_BIT(method->technique)) == 0)
            sg_reader_warn(reader, value->at, "%s says nothing about %s and is not used",
                           rig_keys[i].key, sg_technique_id(method->technique));
    }
    if (method->technique == SG_IMPACT && !sg_tree_value(map, "energy_kJ"))
        sg_reader_error(reader, SG_ERR_MISSING, map->at,
                        "methods.energy_kJ: is missing (energy per blow, "
                        "needed for impact); allowed: a number from 0.001 to 5000 kJ");
    if (method->technique != SG_VIBRATORY)
        return;
    if (!sg_tree_value(map, "frequency_Hz"))
        sg_reader_warn(reader, map->at,
                       "methods.frequency_Hz is not given; limits that depend on "
                       "frequency are read over the band of the technique");
    bool energy = (method->model && method->model->uses_energy) ||
                  (method->second && method->second->uses_energy);
    if (energy && !sg_tree_value(map, "cycle_energy_kJ"))
        sg_reader_warn(reader, map->at,
                       "methods.cycle_energy_kJ is not given; relations that use the "
                       "energy per cycle give no value");
}

static void check_jetting(struct sg_reader *reader, const struct sg_tree *map,
                          const struct sg_method *method)
{
    bool reduces = method->jetting_reduction_dB > 0.0;
    if (reduces && method->jetting_reduction_source[0] == '\0')
        sg_reader_error(reader, SG_ERR_MISSING, map->at,
                        "methods.jetting_reduction_source: is missing; "
                        "allowed: a text that justifies jetting_reduction_dB, needed with it");
    if (!sg_tree_value(map, "jetting_reduction_dB") && method->jetting_reduction_source[0])
        sg_reader_error(reader, SG_ERR_MISSING, map->at,
                        "methods.jetting_reduction_dB: is missing; "
                        "allowed: a number from 0 to 10 dB, with its source");
}

static void read_method(struct sg_reader *reader, const struct sg_tree *map, struct sg_method *out)
{
    struct sg_raw_method raw;
    memset(&raw, 0, sizeof(raw));
    sg_bind(reader, "methods", map, &raw);
    *out = raw.to;
    if (map->kind != SG_TREE_MAP)
        return;
    bool known = sg_technique_find(raw.technique, &out->technique) == SG_OK;
    if (known) {
        read_models(reader, &raw, map, out);
        check_rig(reader, map, out);
    }
    out->extract = sg_same(raw.operation, "extract");
    if (out->extract && known && out->technique != SG_VIBRATORY && out->technique != SG_PRESS_IN)
        sg_reader_error(reader, SG_ERR_INPUT, sg_tree_spot(map, "operation"),
                        "methods.operation: piles are not taken out by %s; allowed: extract with "
                        "vibratory or press-in",
                        sg_technique_id(out->technique));
    read_constants(reader, &raw, map, out);
    check_jetting(reader, map, out);
    read_rig_sound(reader, &raw, out);
    read_plant(reader, &raw, out);
}

void sg_build_methods(struct sg_reader *reader, const struct sg_raw_site *raw)
{
    const struct sg_tree *list = raw->methods;
    if (!list)
        return;
    struct sg_method *method = sg_reader_alloc(reader, list->count, sizeof(*method));
    struct sg_named *named = sg_reader_alloc(reader, list->count, sizeof(*named));
    if (!method || !named)
        return;
    for (size_t i = 0; i < list->count; i++) {
        read_method(reader, list->child[i], &method[i]);
        named[i] = (struct sg_named){ method[i].name, sg_tree_spot(list->child[i], "name"), i };
    }
    sg_names_check(reader, "method", named, list->count);
    reader->site->method = method;
    reader->site->nmethod = list->count;
}
