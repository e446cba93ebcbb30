/* factors.c - factors of a limit set on a row's value: those that go with the character of the
 * vibration, and those that somebody chose, each within the range of the document.
 */
#include "limits/judging.h"

#include <math.h>

static const struct sg_limit_factor *factor_named(const struct sg_limit_set *set, const char *id)
{
    for (size_t i = 0; i < set->nfactor; i++) {
        if (sg_same(set->factor[i].id, id)) {
            return &set->factor[i];
        }
    }
    return NULL;
}

/* Whether a factor was asked for, and with which value (unset = its default). */
static bool asked_for(const struct sg_judged *judged, const char *id, double *value)
{
    *value = judged->factor;
    if (sg_same(judged->factor_id, id)) {
        return true;
    }
    for (size_t i = 0; i < judged->nchosen; i++) {
        *value = judged->chosen[i].value;
        if (sg_same(judged->chosen[i].id, id)) {
            return true;
        }
    }
    *value = SG_UNSET;
    return false;
}

/* A row may cover more classes than a factor: the receptor decides. Of a receptor that is not known
 * only a factor of the whole row can be said to concern it. */
static bool factor_fits(const struct sg_judging *j, const struct sg_limit_factor *factor)
{
    unsigned known = j->judged->building_class;
    if (factor->classes == 0) {
        return true;
    }
    return (factor->classes & j->row->classes) != 0 &&
           (known == 0 || (factor->classes & known) != 0);
}

/* Whether a factor that goes with the class can be told to hold or not. */
static bool class_decides(const struct sg_judging *j, const struct sg_limit_factor *factor)
{
    return j->judged->building_class != 0 || factor->classes == 0 ||
           (j->row->classes & ~factor->classes) == 0;
}

static bool fits_if_asked(const struct sg_judging *j, const char *id)
{
    const struct sg_limit_factor *factor = factor_named(j->set, id);
    if (id == NULL) {
        return true;
    }
    if (factor == NULL) {
        return sg_limit_refuse(j, "%s has no factor '%s'", j->set->id, id);
    }
    if (!factor_fits(j, factor)) {
        return sg_limit_refuse(j, "the factor '%s' does not concern this row", factor->id);
    }
    return true;
}

static bool apply_factor(struct sg_judging *j, const struct sg_limit_factor *factor, bool asked,
                         double given)
{
    double by = asked && sg_is_set(given) ? given : factor->dflt;
    if (!(by >= factor->low && by <= factor->high)) {
        return sg_limit_refuse(j, "the factor '%s' is %.6g; the document allows %.6g to %.6g",
                               factor->id, by, factor->low, factor->high);
    }
    bool level = sg_quantity_is_level(j->row->quantity);
    double before = j->out->limit;
    j->out->limit = level ? before + 20.0 * log10(by) : before * by;
    for (size_t i = 0; i < SG_COUNT(j->steps); i++) {
        j->steps[i] *= by;
    }
    j->out->factor *= by;
    j->out->marks |= sg_grade_unverified(factor->cite.grade) ? SG_MARK_UNVERIFIED : 0u;
    j->out->marks |= asked && sg_is_set(given) ? SG_MARK_USER : 0u;
    sg_working_add(j->working, &factor->cite, factor->id,
                   level ? "%.6g + 20 lg(%.6g) = %.6g %s" : "%.6g x %.6g = %.6g %s", before, by,
                   j->out->limit, sg_quantity_unit(j->row->quantity));
    return true;
}

bool sg_limit_apply_factors(struct sg_judging *j)
{
    unsigned character = 1u << sg_limit_character(j->set, j->value->technique, j->judged);
    if (!fits_if_asked(j, j->judged->factor_id)) {
        return false;
    }
    for (size_t i = 0; i < j->set->nfactor; i++) {
        const struct sg_limit_factor *factor = &j->set->factor[i];
        double given;
        bool asked = asked_for(j->judged, factor->id, &given);
        if (!factor_fits(j, factor) || (!asked && (factor->characters & character) == 0)) {
            continue;
        }
        if (!asked && !class_decides(j, factor)) {
            return sg_limit_refuse(
                j, "the building class, which decides the factor '%s', is not known", factor->id);
        }
        if (!apply_factor(j, factor, asked, given)) {
            return false;
        }
    }
    return true;
}
