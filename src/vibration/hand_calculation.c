/* hand_calculation.c - the hand calculation of one vibration value, in the order in which it is
 * done. */
#include "vibration_internal.h"

#include <math.h>

struct page {
    const struct sg_model *model;
    const struct sg_drive *drive;
    enum sg_level level;
    const struct sg_law *law;
    struct sg_working *working;
};

/* The printed constant, its row and where it stands. */
static void constant_line(const struct page *p, enum sg_role role, const char *key)
{
    const struct sg_coefficient *c = sg_coefficient_of(p->model, role, key, p->level);
    if (!c)
        return;
    for (size_t i = 0; i < p->drive->nconstant; i++) {
        if (sg_same(p->drive->constant_symbol[i], c->symbol)) {
            sg_working_add(p->working, NULL, "constant given by the user",
                           "%s = %.6g %s (the document has %.6g)", c->symbol,
                           p->drive->constant_value[i], c->unit, c->value);
            return;
        }
    }
    sg_working_add(p->working, &c->cite, "constant", "%s = %.6g%s%s%s%s%s", c->symbol, c->value,
                   c->unit[0] ? " " : "", c->unit, c->key ? " (row " : "", c->key ? c->key : "",
                   c->key ? ")" : "");
}

static void distance_lines(const struct page *p, double plan_m)
{
    if (p->law->distance != SG_DISTANCE_TOE) {
        sg_working_add(p->working, NULL, "distance", "r = x = %.3f m along the ground", plan_m);
        return;
    }
    sg_working_add(p->working, NULL, "distance to the toe",
                   "r = sqrt(L^2 + x^2) = sqrt(%.2f^2 + %.3f^2) = %.4f m", p->law->toe_depth_m,
                   plan_m, sg_law_distance_of(p->law, plan_m));
}

static void power_result(const struct page *p, double r, double value)
{
    const struct sg_law *law = p->law;
    struct sg_text text = SG_TEXT_INIT;
    sg_text_printf(&text, "%.6g", law->k);
    if (p->model->uses_energy)
        sg_text_printf(&text, " x (%.6g / %.6g)^%g", law->energy_J, law->w_ref, law->m);
    sg_text_printf(&text, " x (%.4g / %.4f)^%g", law->r_ref, r, law->n);
    if (fabs(law->alpha) > 0)
        sg_text_printf(&text, " x exp(-%.6g x (%.4f - %.4g))", law->alpha, r, law->r_ref);
    if (p->drive->reduction_dB > 0)
        sg_text_printf(&text, " x %.4f (- %.3g dB, the user's)", law->factor,
                       p->drive->reduction_dB);
    sg_working_add(p->working, NULL, "value", "v = %s = %.4f mm/s", sg_text_string(&text), value);
    sg_text_release(&text);
}

static void log_result(const struct page *p, double r, double value)
{
    const struct sg_law *law = p->law;
    double s = log10(sqrt(law->energy_J) / r), turning = law->b / (2.0 * law->c);
    sg_working_add(p->working, NULL, "scaled distance", "s = lg(sqrt(%.6g) / %.4f) = %.5f%s",
                   law->energy_J, r, s, s > turning ? ", held at the turning point" : "");
    if (s > turning)
        sg_working_add(p->working, NULL, "turning point", "s = b / (2 c) = %.5f", turning);
    s = s > turning ? turning : s;
    sg_working_add(p->working, NULL, "value",
                   "v = 10^(%.4g + %.4g x %.5f - %.4g x %.5f^2) = %.4f mm/s", law->a, law->b, s,
                   law->c, s, value);
}

static void level_result(const struct page *p, double r, double value)
{
    const struct sg_law *law = p->law;
    struct sg_text text = SG_TEXT_INIT;
    sg_text_printf(&text, "%.6g - %g x lg(%.4f / %.4g)", law->k, law->n, r, law->r_ref);
    if (fabs(law->alpha) > 0)
        sg_text_printf(&text, " - %g x %.6g x (%.4f - %.4g)", law->m, law->alpha, r, law->r_ref);
    sg_working_add(p->working, NULL, "value", "L = %s = %.2f %s", sg_text_string(&text), value,
                   sg_quantity_unit(p->model->quantity));
    sg_text_release(&text);
}

static void roller_result(const struct page *p, double r, double value)
{
    const struct sg_law *law = p->law;
    sg_working_add(p->working, NULL, "value",
                   "v = %.6g x sqrt(%g) x %.4g^%g / (%.4f + %.4g)^%g = %.4f mm/s", law->k,
                   law->drums, law->amplitude_mm, law->m, r, law->width_m, law->n, value);
}

/* Each part worked out by itself, then the larger. */
static void larger_lines(const struct page *p, double plan_m, double value)
{
    struct sg_drive drive = *p->drive;
    drive.variant = NULL;
    drive.reduction_dB = 0;
    struct sg_law law;
    const struct sg_model *base = sg_model_find(p->model->part[0].model);
    if (sg_ok(sg_law_prepare(base, &drive, p->level, &law, NULL)))
        sg_law_working(base, &drive, p->level, &law, plan_m, p->working);
    const struct sg_part *named = sg_part_named(p->model, p->drive);
    if (named) {
        const struct sg_model *other = sg_model_find(named->model);
        drive.variant = named->model_variant;
        drive.nconstant = 0;
        if (sg_ok(sg_law_prepare(other, &drive, p->level, &law, NULL)))
            sg_law_working(other, &drive, p->level, &law, plan_m, p->working);
        sg_working_add(p->working, &p->model->cite, "value", "the larger of the two = %.4f mm/s",
                       value);
    }
    if (p->drive->reduction_dB > 0)
        sg_working_add(p->working, NULL, "reduction given by the user",
                       "x 10^(-%.3g / 20) = x %.4f: %.4f mm/s", p->drive->reduction_dB,
                       p->law->factor, value);
}

void sg_law_working(const struct sg_model *model, const struct sg_drive *drive, enum sg_level level,
                    const struct sg_law *law, double distance_m, struct sg_working *working)
{
    static const enum sg_role plain[] = { SG_ROLE_W_REF, SG_ROLE_A, SG_ROLE_B, SG_ROLE_C };
    if (!working)
        return;
    struct page p = { model, drive, level, law, working };
    double value = sg_law_at(law, distance_m), r = sg_law_distance_of(law, distance_m);
    sg_working_add(working, &model->cite, "relation", "%s: %s", model->id, model->formula);
    if (model->form == SG_FORM_LARGER) {
        larger_lines(&p, distance_m, value);
        return;
    }
    distance_lines(&p, distance_m);
    const char *k_key = sg_key_of(model, model->k_by, drive);
    constant_line(&p, SG_ROLE_K, k_key);
    constant_line(&p, SG_ROLE_R_REF, k_key);
    constant_line(&p, SG_ROLE_N, sg_key_of(model, model->n_by, drive));
    constant_line(&p, SG_ROLE_ALPHA, sg_key_of(model, SG_KEY_PROPAGATION, drive));
    for (size_t i = 0; i < SG_COUNT(plain); i++)
        constant_line(&p, plain[i], NULL);
    if (drive->phase == SG_PHASE_STEADY)
        constant_line(&p, SG_ROLE_STEADY_SHARE, NULL);
    switch (model->form) {
    case SG_FORM_POWER:
        power_result(&p, r, value);
        break;
    case SG_FORM_LOG:
        log_result(&p, r, value);
        break;
    case SG_FORM_ROLLER:
        roller_result(&p, r, value);
        break;
    case SG_FORM_LEVEL:
        level_result(&p, r, value);
        break;
    case SG_FORM_LARGER:
    case SG_FORM_END:
        break;
    }
}
