/* coefficients.c - which published constants a drive uses. */
#include "vibration_internal.h"

#include <string.h>

static bool same_key(const char *a, const char *b)
{
    return (!a && !b) || sg_same(a, b);
}

static const struct sg_coefficient *find(const struct sg_model *model, enum sg_role role,
                                         const char *key, enum sg_level level)
{
    for (size_t i = 0; i < model->ncoefficient; i++) {
        const struct sg_coefficient *c = &model->coefficient[i];
        if (c->role == role && c->level == level && same_key(c->key, key))
            return c;
    }
    return NULL;
}

const struct sg_coefficient *sg_coefficient_of(const struct sg_model *model, enum sg_role role,
                                               const char *key, enum sg_level level)
{
    const char *keys[] = { key, NULL };
    for (size_t i = 0; i < SG_COUNT(keys); i++) {
        const struct sg_coefficient *c = find(model, role, keys[i], level);
        if (!c)
            c = find(model, role, keys[i], SG_LEVEL_ANY);
        if (c)
            return c;
    }
    return NULL;
}

static const char *propagation_key(int propagation_class)
{
    static const char *const keys[] = { "I", "II", "III", "IV" };
    return propagation_class >= 1 && propagation_class <= 4 ? keys[propagation_class - 1] : NULL;
}

const char *sg_key_of(const struct sg_model *model, enum sg_key_by by, const struct sg_drive *drive)
{
    switch (by) {
    case SG_KEY_GROUND:
        return sg_ground_group_id(drive->ground);
    case SG_KEY_PHASE:
        return sg_phase_id(drive->phase);
    case SG_KEY_PROPAGATION:
        return propagation_key(drive->propagation_class);
    case SG_KEY_VARIANT:
        return drive->variant ? drive->variant : model->default_variant[drive->technique];
    case SG_KEY_NONE:
    case SG_KEY_END:
        break;
    }
    return NULL;
}

static const double *user_value(const struct sg_drive *drive, const char *symbol)
{
    for (size_t i = 0; i < drive->nconstant; i++) {
        if (sg_same(drive->constant_symbol[i], symbol))
            return &drive->constant_value[i];
    }
    return NULL;
}

/* The library's unit of a coefficient's unit. */
static const char *base_unit(const char *unit)
{
    static const char *const pairs[][2] = { { "in/s", "mm/s" }, { "ft", "m" }, { "ft.lb", "J" } };
    for (size_t i = 0; i < SG_COUNT(pairs); i++) {
        if (sg_same(pairs[i][0], unit))
            return pairs[i][1];
    }
    return unit;
}

sg_status sg_coefficient_value(const struct sg_model *model,
                               const struct sg_coefficient *coefficient,
                               const struct sg_drive *drive, double *out, bool *user,
                               struct sg_errors *errors)
{
    double factor = 1.0, value = coefficient->value;
    const double *given = user_value(drive, coefficient->symbol);
    if (given) {
        value = *given;
        *user = true;
    }
    if (!sg_is_set(value))
        return sg_errors_add(errors, SG_ERR_MISSING, NULL,
                             "%s: %s (%s) is needed and has no default", model->id,
                             coefficient->symbol, coefficient->unit);
    sg_status status = SG_OK;
    if (coefficient->unit[0] != '\0')
        status = sg_unit_factor(coefficient->unit, base_unit(coefficient->unit), &factor);
    if (status != SG_OK)
        return sg_errors_add(errors, SG_ERR_BUG, NULL, "%s: %s has the unit %s, which is not known",
                             model->id, coefficient->symbol, coefficient->unit);
    *out = value * factor;
    return SG_OK;
}

const struct sg_part *sg_part_named(const struct sg_model *model, const struct sg_drive *drive)
{
    const char *variant = sg_key_of(model, SG_KEY_VARIANT, drive);
    for (size_t i = 0; i < model->npart; i++) {
        if (model->part[i].variant && sg_same(model->part[i].variant, variant))
            return &model->part[i];
    }
    return NULL;
}

/* The rows of a model from central to upper, with the share of cases above each. The row with the
 * largest share that is not more than what is wanted, else the last one there is. */
enum sg_level sg_model_upper_level(const struct sg_model *model, double percentile,
                                   double *exceedance)
{
    static const enum sg_level levels[] = { SG_LEVEL_CENTRAL, SG_LEVEL_MIDDLE, SG_LEVEL_UPPER };
    double wanted = 100.0 - percentile;
    *exceedance = model->exceedance_percent[2];
    if (!sg_is_set(*exceedance))
        return SG_LEVEL_UPPER;
    for (size_t i = 0; i < SG_COUNT(levels); i++) {
        if (model->exceedance_percent[i] <= wanted) {
            *exceedance = model->exceedance_percent[i];
            return levels[i];
        }
    }
    return SG_LEVEL_UPPER;
}
