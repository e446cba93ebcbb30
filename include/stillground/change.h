/* change.h - what if: two sites side by side, and how much the governing ratio hangs on each input.
 * Pure.
 */
#ifndef STILLGROUND_CHANGE_H
#define STILLGROUND_CHANGE_H

#include "stillground/plan.h"

enum sg_changed { SG_CHANGE_PPV, SG_CHANGE_LAEQ, SG_CHANGE_RATIO, SG_CHANGE_DAYS, SG_CHANGE_END };
/* One number before and after. Methods and receptors are matched by name. */
struct sg_change {
    enum sg_changed what;
    const char *method, *receptor; /* receptor "" = of the method */
    double before, after;          /* upper values; unset = not told */
    bool rises, falls;             /* by more than rounding */
};
struct sg_changes {
    struct sg_arena arena;
    struct sg_change *change; /* those that rise or fall, or are told on one side only */
    size_t count;
    size_t compared;  /* numbers looked at */
    bool level_rises; /* a predicted velocity or sound level rises somewhere */
    size_t method_new, method_gone, receptor_new, receptor_gone;
};
#define SG_CHANGES_INIT ((struct sg_changes){ .arena = SG_ARENA_INIT })
sg_status sg_changes_make(const struct sg_study *before, const struct sg_study *after,
                          struct sg_changes *out);
void sg_changes_release(struct sg_changes *changes);

/* One input of a method moved up and down. */
struct sg_sensitivity {
    size_t method, receptor; /* the one that governs the method */
    const char *input;
    double base_ratio, less_ratio,
        more_ratio;  /* upper value / limit; input times 1 - step, 1 + step */
    double exponent; /* ratio grows as input^exponent around the base */
};
/* All inputs of all methods, the one that moves the ratio most first, method by method. */
sg_status sg_sensitivity_make(const struct sg_study *study, double step, struct sg_arena *arena,
                              struct sg_sensitivity **out, size_t *count);

#endif
