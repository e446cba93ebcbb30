/* recorded_internal.h - what the files about recordings share. Inside src/plan only. */
#ifndef PLAN_RECORDED_INTERNAL_H
#define PLAN_RECORDED_INTERNAL_H

#include "stillground/recorded.h"

#include "plan_internal.h"

/* One sensor over one interval, on its way to the limits of a receptor. */
struct sg_recorded_judging {
    const struct sg_site *site;
    const struct sg_receptor *receptor;
    size_t index;
    const struct sg_recorded_as *as;
    const struct sg_measured *measured;
    struct sg_recorded *out;
    const struct sg_value *given; /* one figure instead of a recording; NULL = none */
    const struct sg_dose_value *given_dose;
};

/* ---- figures as values ----------------------------------------------------------------------- */

/* A measured figure; unset = the recording does not give it, which `why` then says. */
struct sg_value sg_recorded_value(const struct sg_recorded_judging *j, enum sg_quantity quantity,
                                  enum sg_axes axes, double measured);
/* The figure of one axis that a row is stated on, over the period that is judged. It is unset, with
 * the reason, where the set asks for a weighting or a statistic that is not measured. */
struct sg_value sg_recorded_axis_value(const struct sg_recorded_judging *j,
                                       const struct sg_limit_set *set,
                                       const struct sg_limit_row *row,
                                       const struct sg_judged *judged, size_t axis);
/* Peak of the vector sum, or the vector sum of the maxima. */
struct sg_value sg_recorded_resultant(const struct sg_recorded_judging *j, enum sg_quantity which);

/* ---- axes ------------------------------------------------------------------------------------ */

bool sg_recorded_asks(enum sg_axes asked, enum sg_axis axis);
size_t sg_recorded_axes(enum sg_axes asked);
/* A verdict that an axis not measured could turn is not determinable. */
void sg_recorded_incomplete(size_t seen, size_t needed, struct sg_verdict *verdict);

/* ---- doses ----------------------------------------------------------------------------------- */

/* How long the recorded vibration lasts in a period: as the user says, or as long as the site's
 * methods of that technique work in it; never shorter than what was recorded. */
struct sg_exposure {
    double all_s, rest_s; /* rest_s: the part of all_s in rest hours of the set */
    unsigned marks;
};
struct sg_exposure sg_recorded_exposure(const struct sg_recorded_judging *j,
                                        const struct sg_limit_set *set, enum sg_period period);
/* KB_FTr of one axis; false when the set states no rating time or no takt was measured. */
bool sg_recorded_dose(const struct sg_recorded_judging *j, const struct sg_limit_set *set,
                      const struct sg_limit_row *row, enum sg_period period, size_t axis,
                      struct sg_dose_value *out);
/* Days of work and blow rate of the site's methods of that technique, the strictest of them. */
void sg_recorded_works(const struct sg_recorded_judging *j, struct sg_judged *judged);

/* ---- band by band ---------------------------------------------------------------------------- */

/* Third octaves against a curve: the mean over the recording and the largest fast rms bound what
 * the document asks for. */
void sg_recorded_bands(const struct sg_recorded_judging *j, const struct sg_limit_set *set,
                       const struct sg_limit_row *row, const struct sg_judged *judged,
                       struct sg_recorded_verdict *out);

#endif
