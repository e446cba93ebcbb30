/* stages.c - the moments of a pile's installation that may govern the vibration.
 *
 * With a law that runs from the toe, the value falls as the pile goes deeper in the same ground and
 * jumps where harder ground is met: so the top of every layer is a stage, and the final depth when
 * the pile is driven to refusal. With any other law the depth makes no difference, but the ground
 * may choose its constants, and with impact it chooses the frequency. Vibratory driving has the
 * stages of start and stop besides. */
#include "plan_internal.h"

#include <math.h>

#define SHALLOWEST_TOE_M 1.0 /* the relations begin there (BS 5228-2 Table E.1) */

/* What is the same at every stage. */
static struct sg_drive common_drive(const struct sg_site *site, const struct sg_method *method,
                                    const struct sg_constants *constants)
{
    struct sg_drive drive = SG_DRIVE_INIT;
    drive.technique = method->technique;
    drive.percentile = site->percentile;
    drive.variant = method->variant;
    drive.constant_symbol = constants->symbol;
    drive.constant_value = constants->value;
    drive.nconstant = method->nconstant;
    drive.ground = SG_GROUND_HARD;
    drive.frequency_hz = method->frequency_Hz;
    drive.reference_value = method->reference_ppv_mm_s;
    drive.reference_distance_m = method->reference_distance_m;
    drive.damping_per_m = method->damping_per_m;
    drive.exponent = method->exponent;
    if (method->technique == SG_IMPACT)
        drive.energy_J = 1e3 * method->energy_kJ;
    if (method->technique == SG_VIBRATORY)
        drive.energy_J = 1e3 * method->cycle_energy_kJ;
    if (method->technique == SG_PRESS_IN_JETTING)
        drive.reduction_dB = method->jetting_reduction_dB;
    return drive;
}

/* The stiffest ground met: waves lose least there beyond the reference distance. */
static int stiffest_class(const struct sg_borehole *borehole, double toe_depth_m)
{
    int stiffest = 0;
    for (size_t i = 0; borehole && i < borehole->nlayer; i++) {
        const struct sg_layer *layer = &borehole->layer[i];
        if (layer->top_m < toe_depth_m && layer->soil->propagation_class > stiffest)
            stiffest = layer->soil->propagation_class;
    }
    return stiffest;
}

struct building {
    const struct sg_model *model;
    struct sg_stages *stages;
    struct sg_errors *errors;
    bool sweeps; /* start and stop are a stage of their own */
    const struct sg_site_law *law;
};

/* A law of steady driving says nothing of start and stop: these stay with the relation. */
static const struct sg_site_law *law_for(const struct building *b, const struct sg_drive *drive)
{
    const struct sg_site_law *law = b->law;
    if (!law || sg_quantity_is_level(law->quantity) || law->technique != drive->technique)
        return NULL;
    bool one_phase =
        drive->phase == SG_PHASE_ALL && (drive->technique != SG_VIBRATORY || !b->sweeps);
    return law->phase == SG_PHASE_ALL || law->phase == drive->phase || one_phase ? law : NULL;
}

static sg_status add_one(struct building *b, const struct sg_drive *drive)
{
    double exceedance;
    if (b->stages->count >= SG_STAGES_MAX)
        return sg_errors_add(b->errors, SG_ERR_INPUT, NULL,
                             "more than %d stages of driving; merge thin layers", SG_STAGES_MAX);
    struct sg_stage *stage = &b->stages->stage[b->stages->count];
    stage->drive = *drive;
    enum sg_level level = sg_model_upper_level(b->model, drive->percentile, &exceedance);
    sg_status status = sg_law_prepare(b->model, drive, level, &stage->upper, b->errors);
    if (status == SG_OK)
        b->stages->count++;
    return status;
}

/* Rock loses least with distance, but inside the reference distance a small exponent gives the
 * smaller value: there the relation's default exponent is tried too. */
static sg_status add_classes(struct building *b, struct sg_drive drive)
{
    const int rock = 4;
    sg_status status = add_one(b, &drive);
    if (status == SG_OK && b->model->n_by == SG_KEY_PROPAGATION &&
        drive.propagation_class == rock) {
        drive.propagation_class = 0;
        status = add_one(b, &drive);
    }
    return status;
}

static sg_status add(struct building *b, struct sg_drive drive)
{
    static const enum sg_phase all[] = { SG_PHASE_ALL }, steady[] = { SG_PHASE_STEADY };
    static const enum sg_phase both[] = { SG_PHASE_START_STOP, SG_PHASE_STEADY };
    const enum sg_phase *phase = b->model->phases ? (b->sweeps ? both : steady) : all;
    size_t nphase = b->model->phases && b->sweeps ? 2 : 1;
    sg_status status = SG_OK;
    for (size_t i = 0; i < nphase && status == SG_OK; i++) {
        drive.phase = phase[i];
        drive.site_law = law_for(b, &drive);
        status = add_classes(b, drive);
    }
    return status;
}

/* Whether the ground at the toe chooses the value, or the frequency at which it comes. */
static bool depth_matters(const struct sg_model *model, const struct sg_method *method)
{
    bool by_law = method->law && method->law->distance == SG_DISTANCE_TOE;
    return by_law || method->technique == SG_IMPACT || model->distance == SG_DISTANCE_TOE ||
           model->k_by == SG_KEY_GROUND;
}

sg_status sg_stages_make(const struct sg_site *site, const struct sg_method *method,
                         const struct sg_model *model, const struct sg_constants *constants,
                         const struct sg_borehole *borehole, double toe_depth_m,
                         struct sg_stages *out, struct sg_errors *errors)
{
    struct building b = { model, out, errors, !method->variable_moment, method->law };
    struct sg_drive drive = common_drive(site, method, constants);
    sg_status status = SG_OK;
    out->count = 0;
    drive.propagation_class = stiffest_class(borehole, toe_depth_m);
    drive.toe_depth_m = toe_depth_m;
    const struct sg_layer *last = borehole ? sg_site_layer(borehole, toe_depth_m) : NULL;
    if (last)
        drive.ground = last->soil->group;
    if (depth_matters(model, method)) {
        for (size_t i = 0; borehole && i < borehole->nlayer && status == SG_OK; i++) {
            const struct sg_layer *layer = &borehole->layer[i];
            double from = layer->top_m > SHALLOWEST_TOE_M ? layer->top_m : SHALLOWEST_TOE_M;
            if (from >= toe_depth_m || from >= layer->base_m)
                continue;
            struct sg_drive here = drive;
            here.toe_depth_m = from;
            here.ground = layer->soil->group;
            status = add(&b, here);
        }
        if (status == SG_OK && method->driven_to_refusal) {
            struct sg_drive here = drive;
            here.ground = SG_GROUND_REFUSAL;
            status = add(&b, here);
        }
    }
    if (status == SG_OK && out->count == 0) {
        if (depth_matters(model, method) && toe_depth_m > SHALLOWEST_TOE_M)
            drive.toe_depth_m = SHALLOWEST_TOE_M;
        status = add(&b, drive);
    }
    return status;
}

size_t sg_stages_worst(const struct sg_stages *stages, double distance_m, double *value)
{
    size_t worst = 0;
    *value = -SG_INFINITY;
    for (size_t i = 0; i < stages->count; i++) {
        double v = sg_law_at(&stages->stage[i].upper, distance_m);
        if (v > *value) {
            *value = v;
            worst = i;
        }
    }
    return worst;
}

sg_status sg_constants_of(const struct sg_method *method, struct sg_arena *arena,
                          struct sg_constants *out)
{
    const char **symbol = sg_arena_alloc(arena, method->nconstant, sizeof(*symbol));
    double *value = sg_arena_alloc(arena, method->nconstant, sizeof(*value));
    if (!symbol || !value)
        return SG_ERR_NOMEM;
    for (size_t i = 0; i < method->nconstant; i++) {
        symbol[i] = method->constant[i].symbol;
        value[i] = method->constant[i].value;
    }
    *out = (struct sg_constants){ symbol, value };
    return SG_OK;
}
