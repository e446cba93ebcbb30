/* models.c - the registry of vibration models, made from models.def, and which model is the
 * default and which the second opinion for each technique. */
#include "stillground/catalogue.h"

#define SG_MODEL(name) extern const struct sg_model sg_model_##name;
#include "models.def"
#undef SG_MODEL

static const struct sg_model *const models[] = {
#define SG_MODEL(name) &sg_model_##name,
#include "models.def"
#undef SG_MODEL
};

size_t sg_model_count(void)
{
    return SG_COUNT(models);
}

const struct sg_model *sg_model_at(size_t index)
{
    return index < SG_COUNT(models) ? models[index] : NULL;
}

const struct sg_model *sg_model_find(const char *id)
{
    for (size_t i = 0; i < SG_COUNT(models); i++) {
        if (sg_same(models[i]->id, id))
            return models[i];
    }
    return NULL;
}

/* First choice and second opinion. The reasons stand in DEVELOPERS.md. */
static const struct sg_model *const choices[SG_TECHNIQUE_END][2] = {
    [SG_IMPACT] = { &sg_model_bs5228_2_percussive, &sg_model_caltrans_impact },
    [SG_VIBRATORY] = { &sg_model_bs5228_2_vibratory, &sg_model_caltrans_vibratory },
    [SG_PRESS_IN] = { &sg_model_press_in_2002_tentative, &sg_model_caltrans_rotary },
    [SG_PRESS_IN_JETTING] = { &sg_model_press_in_jetting_proposal, &sg_model_caltrans_rotary },
    [SG_PRESS_IN_AUGERING] = { &sg_model_press_in_augering_proposal, &sg_model_fta_ppv },
};

const struct sg_model *sg_model_default(enum sg_technique technique)
{
    return (unsigned)technique < SG_TECHNIQUE_END ? choices[technique][0] : NULL;
}

const struct sg_model *sg_model_second(enum sg_technique technique)
{
    return (unsigned)technique < SG_TECHNIQUE_END ? choices[technique][1] : NULL;
}

static const char *const upper_texts[SG_UPPER_END] = {
    [SG_UPPER_BOUND] = "upper bound; no central value is stated",
    [SG_UPPER_EXCEEDANCE] = "exceeded in a stated share of cases",
    [SG_UPPER_SD] = "mean plus standard deviations",
    [SG_UPPER_RANGE] = "upper end of the tabulated range",
    [SG_UPPER_TYPICAL] = "typical worst case; no scatter is stated",
    [SG_UPPER_SITE] = "carried from the reference value; no scatter is stated",
};

const char *sg_upper_text(enum sg_upper upper)
{
    return (unsigned)upper < SG_UPPER_END ? upper_texts[upper] : "?";
}
