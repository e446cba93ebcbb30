/* law.c - a relation with its constants in place: prepared, evaluated, inverted.
 *
 * Sources: each model's own (catalogue/models); the forms are listed in catalogue.h. */
#include "vibration_internal.h"

#include <math.h>

struct filling {
    const struct sg_model *model;
    const struct sg_drive *drive;
    enum sg_level level;
    struct sg_law *law;
    struct sg_errors *errors;
};

/* Puts the coefficient of a role into *out; keeps *out when the model has none. */
static sg_status fill(const struct filling *f, enum sg_role role, const char *key, double *out)
{
    const struct sg_coefficient *c = sg_coefficient_of(f->model, role, key, f->level);
    if (!c)
        return SG_OK;
    sg_status status = sg_coefficient_value(f->model, c, f->drive, out, &f->law->user, f->errors);
    if (status == SG_OK)
        f->law->grade = sg_grade_worse(f->law->grade, c->cite.grade);
    return status;
}

static sg_status unknown_row(const struct filling *f, const char *key)
{
    const char *known[64];
    size_t count = 0;
    struct sg_text list = SG_TEXT_INIT;
    for (size_t i = 0; i < f->model->ncoefficient && count < SG_COUNT(known); i++) {
        const char *have = f->model->coefficient[i].key;
        if (!have || (count > 0 && sg_same(known[count - 1], have)))
            continue;
        known[count++] = have;
        sg_text_printf(&list, "%s%s", count > 1 ? ", " : "", have);
    }
    sg_status status =
        sg_errors_add(f->errors, SG_ERR_UNKNOWN, NULL, "%s: no row for variant '%s'; rows: %s",
                      f->model->id, key ? key : "(none given)", sg_text_string(&list));
    sg_text_release(&list);
    return status;
}

static sg_status need(const struct filling *f, double value, const char *name)
{
    if (sg_is_set(value))
        return SG_OK;
    return sg_errors_add(f->errors, SG_ERR_MISSING, NULL, "%s: %s is needed", f->model->id, name);
}

/* Relations that start from a value measured at one distance. */
static sg_status fill_reference(const struct filling *f)
{
    const struct sg_drive *drive = f->drive;
    bool scaling = f->model->uses_energy;
    sg_status status = need(f, drive->reference_value, "value (the reference value)");
    if (status == SG_OK && !scaling)
        status = need(f, drive->reference_distance_m, "reference_distance_m");
    if (status != SG_OK)
        return status;
    f->law->k = drive->reference_value;
    f->law->grade = sg_grade_worse(f->law->grade, SG_GRADE_USER);
    if (!scaling)
        f->law->r_ref = drive->reference_distance_m;
    return SG_OK;
}

static sg_status fill_k(const struct filling *f)
{
    if (f->model->upper == SG_UPPER_SITE)
        return fill_reference(f);
    const char *key = sg_key_of(f->model, f->model->k_by, f->drive);
    if (!sg_coefficient_of(f->model, SG_ROLE_K, key, f->level))
        return f->model->form == SG_FORM_LOG ? SG_OK : unknown_row(f, key);
    sg_status status = fill(f, SG_ROLE_K, key, &f->law->k);
    if (status == SG_OK)
        status = fill(f, SG_ROLE_R_REF, key, &f->law->r_ref);
    return status;
}

static sg_status fill_n(const struct filling *f)
{
    const char *key = sg_key_of(f->model, f->model->n_by, f->drive);
    if (f->model->form != SG_FORM_LOG && !sg_coefficient_of(f->model, SG_ROLE_N, key, f->level))
        return unknown_row(f, key);
    sg_status status = fill(f, SG_ROLE_N, key, &f->law->n);
    if (status == SG_OK && sg_is_set(f->drive->exponent)) {
        f->law->n = f->drive->exponent;
        f->law->user = true;
    }
    return status;
}

/* Damping: the user's, else the row of the ground class, scaled with frequency where so stated. */
static sg_status fill_alpha(const struct filling *f)
{
    if (sg_is_set(f->drive->damping_per_m)) {
        f->law->alpha = f->drive->damping_per_m;
        f->law->user = true;
        return SG_OK;
    }
    const char *key = sg_key_of(f->model, SG_KEY_PROPAGATION, f->drive);
    double f_ref = SG_UNSET;
    sg_status status = fill(f, SG_ROLE_ALPHA, key, &f->law->alpha);
    if (status == SG_OK)
        status = fill(f, SG_ROLE_F_REF, NULL, &f_ref);
    if (status != SG_OK || !sg_is_set(f_ref))
        return status;
    if (!key)
        return sg_errors_add(f->errors, SG_ERR_MISSING, NULL,
                             "%s: propagation_class (1 to 4) is needed", f->model->id);
    status = need(f, f->drive->frequency_hz, "frequency_Hz");
    if (status == SG_OK)
        f->law->alpha *= f->drive->frequency_hz / f_ref;
    return status;
}

/* The share of start-up that steady driving is, in relations that state the one by the other. */
static sg_status fill_steady(const struct filling *f)
{
    double share = 1.0;
    if (f->drive->phase != SG_PHASE_STEADY)
        return SG_OK;
    sg_status status = fill(f, SG_ROLE_STEADY_SHARE, NULL, &share);
    f->law->k *= share;
    return status;
}

static sg_status fill_inputs(const struct filling *f)
{
    const struct sg_drive *drive = f->drive;
    sg_status status = SG_OK;
    if (f->model->uses_energy) {
        status = need(f, drive->energy_J, "energy_J (of a blow or of a cycle)");
        f->law->energy_J = drive->energy_J;
    }
    if (status == SG_OK && f->model->distance == SG_DISTANCE_TOE) {
        status = need(f, drive->toe_depth_m, "toe_depth_m");
        f->law->toe_depth_m = drive->toe_depth_m;
    }
    if (status == SG_OK && f->model->form == SG_FORM_ROLLER) {
        status = need(f, drive->drums, "drums");
        if (status == SG_OK)
            status = need(f, drive->drum_amplitude_mm, "drum_amplitude_mm");
        if (status == SG_OK)
            status = need(f, drive->drum_width_m, "drum_width_m");
        f->law->drums = drive->drums;
        f->law->amplitude_mm = drive->drum_amplitude_mm;
        f->law->width_m = drive->drum_width_m;
    }
    return status;
}

static sg_status prepare_single(const struct filling *f)
{
    static sg_status (*const steps[])(const struct filling *) = { fill_k, fill_n, fill_alpha,
                                                                  fill_steady, fill_inputs };
    static const enum sg_role others[] = { SG_ROLE_M, SG_ROLE_W_REF, SG_ROLE_A, SG_ROLE_B,
                                           SG_ROLE_C };
    double *const places[] = { &f->law->m, &f->law->w_ref, &f->law->a, &f->law->b, &f->law->c };
    sg_status status = SG_OK;
    for (size_t i = 0; i < SG_COUNT(steps) && status == SG_OK; i++)
        status = steps[i](f);
    for (size_t i = 0; i < SG_COUNT(others) && status == SG_OK; i++)
        status = fill(f, others[i], NULL, places[i]);
    return status;
}

static const struct sg_law blank = {
    .r_ref = 1, .w_ref = 1, .energy_J = 1, .factor = 1, .exceedance_percent = SG_UNSET
};

/* Two power laws in one: the part that always counts and the part that was named. */
static sg_status prepare_larger(const struct sg_model *model, const struct sg_drive *drive,
                                enum sg_level level, struct sg_law *law, struct sg_errors *errors)
{
    const struct sg_part *named = sg_part_named(model, drive);
    struct sg_drive part_drive = *drive;
    part_drive.variant = NULL;
    part_drive.reduction_dB = 0;
    sg_status status =
        sg_law_prepare(sg_model_find(model->part[0].model), &part_drive, level, law, errors);
    if (status != SG_OK)
        return status;
    law->form = SG_FORM_LARGER;
    if (!named) {
        if (drive->variant)
            return sg_errors_add(errors, SG_ERR_UNKNOWN, NULL, "%s: no drilling curve '%s'",
                                 model->id, drive->variant);
        return SG_OK;
    }
    struct sg_law second;
    part_drive.variant = named->model_variant;
    part_drive.nconstant = 0; /* the user's constants belong to the press-in line */
    status = sg_law_prepare(sg_model_find(named->model), &part_drive, level, &second, errors);
    if (status != SG_OK)
        return status;
    law->second_k = second.k;
    law->second_n = second.n;
    law->second_r_ref = second.r_ref;
    law->grade = sg_grade_worse(law->grade, second.grade);
    return SG_OK;
}

/* A symbol that the model does not have is a slip that must not pass in silence. */
static sg_status check_symbols(const struct sg_model *model, const struct sg_drive *drive,
                               struct sg_errors *errors)
{
    const struct sg_model *owner =
        model->form == SG_FORM_LARGER ? sg_model_find(model->part[0].model) : model;
    for (size_t i = 0; i < drive->nconstant; i++) {
        bool known = false;
        for (size_t j = 0; j < owner->ncoefficient && !known; j++)
            known = sg_same(owner->coefficient[j].symbol, drive->constant_symbol[i]);
        if (!known)
            return sg_errors_add(errors, SG_ERR_UNKNOWN, NULL, "%s: no constant '%s'; formula: %s",
                                 model->id, drive->constant_symbol[i], owner->formula);
    }
    return SG_OK;
}

sg_status sg_law_prepare(const struct sg_model *model, const struct sg_drive *drive,
                         enum sg_level level, struct sg_law *out, struct sg_errors *errors)
{
    struct sg_law law = blank;
    if (drive->site_law)
        return sg_site_law_prepare(drive,
                                   level == SG_LEVEL_CENTRAL
                                       ? 50.0
                                       : sg_site_law_percentile(drive->site_law, drive->percentile),
                                   out, errors);
    law.form = model->form;
    law.distance = model->distance;
    sg_status status = check_symbols(model, drive, errors);
    if (status != SG_OK)
        return status;
    if (model->form == SG_FORM_LARGER) {
        status = prepare_larger(model, drive, level, &law, errors);
    } else {
        struct filling f = { model, drive, level, &law, errors };
        status = prepare_single(&f);
    }
    if (status != SG_OK)
        return status;
    law.grade = sg_grade_worse(law.grade, model->cite.grade);
    law.factor = sg_factor_from_db(-drive->reduction_dB);
    *out = law;
    return SG_OK;
}

double sg_law_distance_of(const struct sg_law *law, double plan_m)
{
    if (law->distance == SG_DISTANCE_TOE)
        return sqrt(law->toe_depth_m * law->toe_depth_m + plan_m * plan_m);
    return plan_m;
}

static double power_at(double k, double r_ref, double n, double r)
{
    return k / pow(r / r_ref, n);
}

static double log_at(const struct sg_law *law, double r)
{
    double s = log10(sqrt(law->energy_J) / r);
    double turning = law->b / (2.0 * law->c);
    if (s > turning)
        s = turning;
    return pow(10.0, law->a + law->b * s - law->c * s * s);
}

static double plain_at(const struct sg_law *law, double plan_m)
{
    double r = sg_law_distance_of(law, plan_m);
    if (law->site)
        return sg_law_site_at(law, r);
    switch (law->form) {
    case SG_FORM_POWER:
        return power_at(law->k, law->r_ref, law->n, r) * pow(law->energy_J / law->w_ref, law->m) *
               exp(-law->alpha * (r - law->r_ref));
    case SG_FORM_LOG:
        return log_at(law, r);
    case SG_FORM_ROLLER:
        return law->k * sqrt(law->drums) * pow(law->amplitude_mm, law->m) /
               pow(r + law->width_m, law->n);
    case SG_FORM_LEVEL:
        return law->k - law->n * log10(r / law->r_ref) - law->m * law->alpha * (r - law->r_ref);
    case SG_FORM_LARGER: {
        double first = power_at(law->k, law->r_ref, law->n, r);
        double second =
            law->second_k > 0 ? power_at(law->second_k, law->second_r_ref, law->second_n, r) : 0;
        return first > second ? first : second;
    }
    case SG_FORM_END:
        break;
    }
    return SG_UNSET;
}

double sg_law_at(const struct sg_law *law, double distance_m)
{
    if (!(distance_m >= SG_NEAREST_M))
        return SG_UNSET;
    double value = plain_at(law, distance_m);
    if (law->form == SG_FORM_LEVEL)
        return value + 20.0 * log10(law->factor);
    return value * law->factor;
}

#define FARTHEST_M 1e5

/* All forms fall with distance (the log form is flat inside its turning point), so the answer is
 * bracketed and halved in lg of distance until neighbouring doubles are reached. */
sg_status sg_law_distance(const struct sg_law *law, double value, double *out)
{
    double near = SG_NEAREST_M, far = FARTHEST_M;
    if (law->site)
        return sg_law_site_distance(law, value, out);
    if (sg_law_at(law, near) <= value) {
        *out = near;
        return SG_ERR_NO_SOLUTION;
    }
    if (!(sg_law_at(law, far) <= value))
        return SG_ERR_NO_SOLUTION;
    for (int i = 0; i < 200; i++) {
        double middle = sqrt(near * far);
        if (middle <= near || middle >= far)
            break;
        if (sg_law_at(law, middle) > value)
            near = middle;
        else
            far = middle;
    }
    *out = far;
    return SG_OK;
}
