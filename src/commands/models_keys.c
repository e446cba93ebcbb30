/* models_keys.c - the keys of `models ID key=value ...`: one table, and the symbols of the
 * relation. */
#include "models_keys.h"

#include <string.h>

/* A key that holds a number in a unit ("" = a bare number). */
struct number_key {
    const char *name, *unit;
    double min, max;
    size_t offset; /* in struct sg_model_inputs */
};

#define IN(field) offsetof(struct sg_model_inputs, field)

static const struct number_key numbers[] = {
    { "distance_m", "m", 0, 1e5, IN(distance_m) },
    { "limit", "", -1e3, 1e6, IN(limit) },
    { "energy_J", "J", 1e-6, 1e10, IN(drive.energy_J) },
    { "toe_depth_m", "m", 0, 500, IN(drive.toe_depth_m) },
    { "percentile", "", 50, 99, IN(drive.percentile) },
    { "drum_amplitude_mm", "mm", 1e-3, 100, IN(drive.drum_amplitude_mm) },
    { "drum_width_m", "m", 1e-3, 100, IN(drive.drum_width_m) },
    { "drums", "", 1, 10, IN(drive.drums) },
    { "value", "mm/s", -1e3, 1e6, IN(drive.reference_value) },
    { "reference_distance_m", "m", 1e-3, 1e5, IN(drive.reference_distance_m) },
    { "damping_per_m", "", 0, 10, IN(drive.damping_per_m) },
    { "exponent", "", 0, 100, IN(drive.exponent) },
    { "frequency_Hz", "Hz", 1e-3, 1e4, IN(drive.frequency_hz) },
    { "reduction_dB", "", 0, 60, IN(drive.reduction_dB) },
};

static const char *const word_keys[] = { "ground", "propagation_class", "phase", "variant",
                                         "technique" };

static sg_status bad(struct sg_errors *errors, const char *key, const char *value,
                     const char *allowed)
{
    return sg_errors_add(errors, SG_ERR_USAGE, NULL, "%s: '%s' is not known; allowed: %s", key,
                         value, allowed);
}

static sg_status read_ground(const char *value, struct sg_drive *drive, struct sg_errors *errors)
{
    for (int g = 0; g < SG_GROUND_GROUP_END; g++) {
        if (sg_same(value, sg_ground_group_id((enum sg_ground_group)g))) {
            drive->ground = (enum sg_ground_group)g;
            return SG_OK;
        }
    }
    return bad(errors, "ground", value, "soft, medium, hard, refusal");
}

static sg_status read_class(const char *value, struct sg_drive *drive, struct sg_errors *errors)
{
    static const char *const words[] = { "I", "II", "III", "IV" };
    for (int i = 0; i < 4; i++) {
        const char digit[] = { (char)('1' + i), '\0' };
        if (sg_same(value, words[i]) || sg_same(value, digit)) {
            drive->propagation_class = i + 1;
            return SG_OK;
        }
    }
    return bad(errors, "propagation_class", value, "I, II, III, IV");
}

static sg_status read_phase(const char *value, struct sg_drive *drive, struct sg_errors *errors)
{
    for (int p = 0; p < SG_PHASE_END; p++) {
        if (sg_same(value, sg_phase_id((enum sg_phase)p))) {
            drive->phase = (enum sg_phase)p;
            return SG_OK;
        }
    }
    return bad(errors, "phase", value, "all, steady, start-stop");
}

static sg_status read_word(const char *key, const char *value, struct sg_drive *drive,
                           struct sg_errors *errors)
{
    if (sg_same(key, "ground"))
        return read_ground(value, drive, errors);
    if (sg_same(key, "propagation_class"))
        return read_class(value, drive, errors);
    if (sg_same(key, "phase"))
        return read_phase(value, drive, errors);
    if (sg_same(key, "variant")) {
        drive->variant = value;
        return SG_OK;
    }
    if (sg_technique_find(value, &drive->technique) == SG_OK)
        return SG_OK;
    return bad(errors, "technique", value,
               "impact, vibratory, press-in, press-in-jetting, press-in-augering");
}

static sg_status read_number(const struct number_key *key, const char *value,
                             struct sg_model_inputs *in, struct sg_errors *errors)
{
    double number;
    const char *why = NULL;
    sg_status status = key->unit[0] ? sg_parse_quantity(value, key->unit, &number, &why)
                                    : sg_parse_number(value, &number, &why);
    if (status == SG_OK && !(number >= key->min && number <= key->max)) {
        status = SG_ERR_INPUT;
        why = "is out of range";
    }
    if (status != SG_OK)
        return sg_errors_add(errors, SG_ERR_USAGE, NULL, "%s: '%s' %s; allowed: %g to %g%s%s",
                             key->name, value, why, key->min, key->max, key->unit[0] ? " " : "",
                             key->unit);
    memcpy((char *)in + key->offset, &number, sizeof(number));
    return SG_OK;
}

static const char *symbol_of(const struct sg_model *model, const char *key)
{
    const struct sg_model *owner =
        model->form == SG_FORM_LARGER ? sg_model_find(model->part[0].model) : model;
    for (size_t i = 0; i < owner->ncoefficient; i++) {
        if (sg_same(owner->coefficient[i].symbol, key))
            return owner->coefficient[i].symbol;
    }
    return NULL;
}

static sg_status read_symbol(const char *symbol, const char *value, struct sg_model_inputs *in,
                             struct sg_errors *errors)
{
    const char *why = NULL;
    size_t n = in->drive.nconstant;
    if (n == SG_MODEL_CONSTANTS_MAX)
        return sg_errors_add(errors, SG_ERR_USAGE, NULL, "more than %d constants",
                             SG_MODEL_CONSTANTS_MAX);
    if (sg_parse_number(value, &in->constant[n], &why) != SG_OK)
        return sg_errors_add(errors, SG_ERR_USAGE, NULL, "%s: '%s' %s", symbol, value, why);
    in->symbol[n] = symbol;
    in->drive.nconstant++;
    return SG_OK;
}

static sg_status unknown_key(const struct sg_model *model, const char *key,
                             struct sg_errors *errors)
{
    const char *known[SG_COUNT(numbers) + SG_COUNT(word_keys) + 64];
    size_t count = 0;
    for (size_t i = 0; i < SG_COUNT(numbers); i++)
        known[count++] = numbers[i].name;
    for (size_t i = 0; i < SG_COUNT(word_keys); i++)
        known[count++] = word_keys[i];
    for (size_t i = 0; i < model->ncoefficient && count < SG_COUNT(known); i++)
        known[count++] = model->coefficient[i].symbol;
    const char *near = sg_nearest(key, known, count);
    return sg_errors_add(errors, SG_ERR_USAGE, NULL,
                         "%s: no such key or constant%s%s; `stillground models --help` lists the "
                         "keys, `stillground models %s` the constants",
                         key, near ? "; nearest: " : "", near ? near : "", model->id);
}

static sg_status read_pair(const struct sg_model *model, const char *pair,
                           struct sg_model_inputs *in, struct sg_errors *errors)
{
    char key[64];
    const char *value;
    if (!sg_split_pair(pair, key, sizeof(key), &value))
        return sg_errors_add(errors, SG_ERR_USAGE, NULL, "'%s' is not of the form key=value", pair);
    for (size_t i = 0; i < SG_COUNT(numbers); i++) {
        if (sg_same(numbers[i].name, key))
            return read_number(&numbers[i], value, in, errors);
    }
    for (size_t i = 0; i < SG_COUNT(word_keys); i++) {
        if (sg_same(word_keys[i], key))
            return read_word(key, value, &in->drive, errors);
    }
    const char *symbol = symbol_of(model, key);
    return symbol ? read_symbol(symbol, value, in, errors) : unknown_key(model, key, errors);
}

/* The technique that a model is for, when it is for one only: it chooses table rows. */
static enum sg_technique technique_of(const struct sg_model *model)
{
    for (unsigned t = 0; t < SG_TECHNIQUE_END; t++) {
        if (model->techniques & SG_TECHNIQUE_BIT(t))
            return (enum sg_technique)t;
    }
    return SG_IMPACT;
}

sg_status sg_model_keys_read(const struct sg_model *model, char *const *pair, size_t npair,
                             struct sg_model_inputs *in, struct sg_errors *errors)
{
    *in = (struct sg_model_inputs){ .drive = SG_DRIVE_INIT,
                                    .distance_m = SG_UNSET,
                                    .limit = SG_UNSET };
    in->drive.technique = technique_of(model);
    in->drive.constant_symbol = in->symbol;
    in->drive.constant_value = in->constant;
    sg_status first = SG_OK;
    for (size_t i = 0; i < npair; i++) {
        sg_status status = read_pair(model, pair[i], in, errors);
        if (first == SG_OK)
            first = status;
    }
    return first;
}
