/* headers.h - how the header of a measured table is understood; for pairs.c and log.c. */
#ifndef STILLGROUND_FIT_HEADERS_H
#define STILLGROUND_FIT_HEADERS_H

#include "fit_internal.h"

/* What a column can be. Numbers first. */
enum sg_role_of_column {
    SG_COL_DISTANCE,
    SG_COL_SCALED,
    SG_COL_VALUE,
    SG_COL_ENERGY,
    SG_COL_DEPTH,
    SG_COL_FREQUENCY,
    SG_COL_PREDICTED,
    SG_COL_PREDICTED_UPPER,
    SG_COL_NUMBERS, /* the first that is a text */
    SG_COL_RECEPTOR = SG_COL_NUMBERS,
    SG_COL_PILE,
    SG_COL_POSITION,
    SG_COL_AXIS,
    SG_COL_PHASE,
    SG_COL_TYPE,
    SG_COL_TECHNIQUE,
    SG_COL_SITE,
    SG_COL_UNIT,
    SG_COL_TIME,
    SG_COL_TIME_START,
    SG_COL_TIME_END,
    SG_COL_END
};

struct sg_found_column {
    size_t index;  /* SIZE_MAX = not there */
    double factor; /* to m, mm/s, J, Hz, m/sqrt(J); 1 for dB */
    bool unit_given, level;
    enum sg_quantity quantity; /* of a value */
    enum sg_distance_kind distance;
};

struct sg_columns {
    struct sg_found_column of[SG_COL_END];
};

const char *sg_column_role_id(enum sg_role_of_column role);
/* Finds the columns of a table. Ambiguous and mistyped ones are reported. */
sg_status sg_columns_find(const struct sg_grid *table, const struct sg_pairs_options *options,
                          struct sg_columns *out, struct sg_errors *errors);
/* The column that a header or a role names; SIZE_MAX = none. */
size_t sg_columns_named(const struct sg_grid *table, const struct sg_columns *columns,
                        const char *name);
/* Whether the factor of a unit is known for a role; unit as it stands in the header. */
bool sg_column_unit(enum sg_role_of_column role, const char *unit, struct sg_found_column *out);

#endif
