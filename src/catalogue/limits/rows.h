/* rows.h - short hands for writing limit rows, and the declarations of all sets.
 * Used by the files of this folder and by limits_registry.c only.
 */
#ifndef STILLGROUND_CATALOGUE_LIMITS_ROWS_H
#define STILLGROUND_CATALOGUE_LIMITS_ROWS_H

#include "stillground/catalogue.h"

#define SG_LIMIT_SET(name) extern const struct sg_limit_set sg_limits_##name;
#include "../limits.def"
#undef SG_LIMIT_SET

/* characters of a row */
#define SHORT_TERM (1u << SG_SHORT_TERM)
#define CONTINUOUS (1u << SG_CONTINUOUS)
#define EITHER (SHORT_TERM | CONTINUOUS)

/* Impact driving is short-term; vibratory and (with no other word in the documents) press-in driving
 * are continuous. Common practice, no source; the stricter table for press-in. */
#define USUAL_CHARACTER                                                                            \
    .character = { [SG_IMPACT] = SG_SHORT_TERM,                                                    \
                   [SG_VIBRATORY] = SG_CONTINUOUS,                                                 \
                   [SG_PRESS_IN] = SG_CONTINUOUS,                                                  \
                   [SG_PRESS_IN_JETTING] = SG_CONTINUOUS,                                          \
                   [SG_PRESS_IN_AUGERING] = SG_CONTINUOUS }
#define ALL_CONTINUOUS                                                                             \
    .character = { [SG_IMPACT] = SG_CONTINUOUS,                                                    \
                   [SG_VIBRATORY] = SG_CONTINUOUS,                                                 \
                   [SG_PRESS_IN] = SG_CONTINUOUS,                                                  \
                   [SG_PRESS_IN_JETTING] = SG_CONTINUOUS,                                          \
                   [SG_PRESS_IN_AUGERING] = SG_CONTINUOUS }

/* the curve of a row: the same at every frequency, or nodes { Hz, value } */
#define FLAT(limit) .node = (const struct sg_node[]){ { 0.0, (limit) } }, .nnode = 1
#define CURVE(...)                                                                                 \
    .node = (const struct sg_node[]){ __VA_ARGS__ },                                               \
    .nnode = SG_COUNT(((const struct sg_node[]){ __VA_ARGS__ }))
#define NOTES(...) .note = (const char *const[]){ __VA_ARGS__, NULL }
#define DISAGREEMENTS(...) .disagreement = (const char *const[]){ __VA_ARGS__, NULL }
#define WINDOWS(array) .window = array, .nwindow = SG_COUNT(array)
/* whom a row covers when it says nothing more */
#define WHOEVER .classes = SG_ANY_CLASS, .uses = SG_ANY_USE, .areas = SG_ANY_AREA
/* a plain maximum for every way of piling */
#define PLAIN                                                                                      \
    .techniques = SG_ANY_TECHNIQUE, .interpolation = SG_LINEAR, .below = SG_BELOW_EXTEND
/* written for another source: read on request only */
#define NO_PILING .techniques = 0, .on_request = true, .characters = EITHER
#define ROWS(array) .row = array, .nrow = SG_COUNT(array)
#define FACTORS(array) .factor = array, .nfactor = SG_COUNT(array)
#define CITE(key, at, how) .cite = { key, at, how }

#endif
