/* suitability.c - whether a technique gets a pile down in the ground it meets.
 *
 * By SPT N and kind of ground as common practice has it (catalogue/practice.c): a hint that a trial
 * pile or a specialist may overrule, not a drivability analysis. */
#include "plan_internal.h"

const char *sg_suitable_id(enum sg_suitable suitable)
{
    static const char *const words[] = {
        [SG_SUITABLE] = "suitable",
        [SG_MARGINAL] = "marginal",
        [SG_UNSUITABLE] = "unsuitable",
        [SG_SUITABILITY_UNKNOWN] = "not known",
    };
    return words[suitable];
}

bool sg_layer_obstructed(const struct sg_layer *layer)
{
    return sg_same(layer->soil->state, "obstructed");
}

static enum sg_suitable past_obstructions(enum sg_technique technique)
{
    switch (sg_obstruction_find(technique)->passes) {
    case SG_PASSES:
        return SG_SUITABLE;
    case SG_PASSES_WITH_CARE:
        return SG_MARGINAL;
    case SG_PASSES_NOT:
    default:
        return SG_UNSUITABLE;
    }
}

static enum sg_suitable of_layer(const struct sg_suitability_row *row, double n)
{
    if (!row || !sg_is_set(n))
        return SG_SUITABILITY_UNKNOWN;
    if (n <= row->n_suitable)
        return SG_SUITABLE;
    return n <= row->n_marginal ? SG_MARGINAL : SG_UNSUITABLE;
}

struct sg_suitability sg_suitability_of(enum sg_technique technique,
                                        const struct sg_borehole *borehole, double toe_depth_m)
{
    struct sg_suitability worst = { .verdict = SG_SUITABILITY_UNKNOWN, .aid_not_needed = true };
    bool any = false;
    for (size_t i = 0; borehole && i < borehole->nlayer; i++) {
        const struct sg_layer *layer = &borehole->layer[i];
        if (layer->top_m >= toe_depth_m)
            break;
        const struct sg_suitability_row *row = sg_suitability_find(technique, layer->soil->kind);
        double n = sg_layer_n(layer);
        enum sg_suitable here =
            sg_layer_obstructed(layer) ? past_obstructions(technique) : of_layer(row, n);
        if (row && !(n <= row->n_least))
            worst.aid_not_needed = false;
        if (!any || here > worst.verdict) {
            worst.verdict = here;
            worst.layer = layer;
            worst.row = row;
        }
        any = true;
    }
    if (!any)
        worst.aid_not_needed = false;
    return worst;
}
