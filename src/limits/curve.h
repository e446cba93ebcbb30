/* curve.h - what the rest of this room asks of a curve. */
#ifndef STILLGROUND_LIMITS_CURVE_H
#define STILLGROUND_LIMITS_CURVE_H

#include "stillground/limits.h"

/* Whether the row needs a frequency. */
bool sg_limit_by_frequency(const struct sg_limit_row *row);
/* How many nodes stand at or below a frequency: 0 = below the curve, nnode = above it. */
size_t sg_limit_segment(const struct sg_limit_row *row, double frequency_hz);
/* Whether a row holds for the technique and for its character under the document. */
bool sg_limit_holds_for(const struct sg_limit_set *set, const struct sg_limit_row *row,
                        const struct sg_judged *judged, enum sg_technique technique);
/* Why no row of the set covers a receptor: one sentence into text. */
void sg_limit_why_none(const struct sg_limit_set *set, const struct sg_judged *judged, char *text,
                       size_t size);

#endif
