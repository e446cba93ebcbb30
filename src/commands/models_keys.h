/* models_keys.h - the keys of `models ID key=value ...`. */
#ifndef STILLGROUND_COMMANDS_MODELS_KEYS_H
#define STILLGROUND_COMMANDS_MODELS_KEYS_H

#include "commands.h"

#define SG_MODEL_CONSTANTS_MAX 16

struct sg_model_inputs {
    struct sg_drive drive; /* borrows the arrays below */
    double distance_m;     /* unset = none asked for */
    double limit;          /* unset = no inverse asked for */
    const char *symbol[SG_MODEL_CONSTANTS_MAX];
    double constant[SG_MODEL_CONSTANTS_MAX];
};

/* Reads all pairs; every wrong one gets a message. in must not move afterwards. */
sg_status sg_model_keys_read(const struct sg_model *model, char *const *pair, size_t npair,
                             struct sg_model_inputs *in, struct sg_errors *errors);

#endif
