/* ags.h - borehole files in the AGS form, edition 4 and 3: what the readers of them share. */
#ifndef STILLGROUND_SITE_AGS_H
#define STILLGROUND_SITE_AGS_H

#include "site/site_internal.h"

#define SG_AGS_MAX_BYTES ((size_t)64 << 20)
#define SG_AGS_MAX_CELLS 500u
#define SG_AGS_MAX_GROUPS 2000u

/* ---- the file as groups of rows (ags_text.c) ------------------------------------------------- */

struct sg_ags_row {
    struct sg_spot at;
    const char *const *cell; /* one a heading, "" = empty; trimmed */
    size_t ncell;            /* headings when the row was read */
    const char *raw;         /* the line as it stands, for finding rows given twice */
    size_t raw_length;
};
struct sg_ags_group {
    const char *name;
    struct sg_spot at;
    const char *const *heading;
    const char *const *unit; /* one a heading, "" = none */
    size_t nheading;
    struct sg_ags_row *row; /* rows given twice are left out of the second place on */
    size_t nrow, capacity;
};
struct sg_ags {
    int edition; /* 3 or 4 */
    struct sg_ags_group *group;
    size_t ngroup, capacity;
};
/* Reads tolerantly and reports every oddity as a warning with its line. False when the text is no
 * AGS file at all (an error is reported then). Everything lives in the site's arena. */
bool sg_ags_parse(struct sg_reader *reader, const char *bytes, size_t length, const char *path,
                  struct sg_ags *out);
/* The cell under a heading, or under its name in edition 3 (may be NULL); "" when not there. */
const char *sg_ags_cell(const struct sg_ags_group *group, const struct sg_ags_row *row,
                        const char *heading, const char *heading_3);
const char *sg_ags_unit(const struct sg_ags_group *group, const char *heading,
                        const char *heading_3);

/* ---- cells (ags_cells.c) --------------------------------------------------------------------- */

/* One standard penetration test. */
struct sg_ags_test {
    struct sg_spot at;
    double depth_m;
    double n;            /* blows for 300 mm; extrapolated when refused */
    bool refused;        /* stopped short of 300 mm */
    double blows, pen_m; /* of a refusal */
};
/* Reads "23", "100/0.29" (blows / metres), "50/75mm", ">50", "R". main_blows and npen_mm (unset =
 * not given) may tell a refusal that the N cell hides. NULL when out is filled, else what is
 * wrong. */
const char *sg_ags_read_n(const char *text, double main_blows, double npen_mm,
                          struct sg_ags_test *out);
/* Degrees as a decimal number or as 51 deg 44'37.5" with an optional letter; false = neither. */
bool sg_ags_read_degrees(const char *text, double *out);
/* Soil and state by the words of a description; "" where nothing was found. The principal soil is
 * the last word in capitals, else the first that is known. */
void sg_ags_read_soil(const char *description, const char **soil, const char **state);

/* ---- the whole (ags.c) ----------------------------------------------------------------------- */

struct sg_raw_ags {
    const char *ags, *crs, *between;
    bool correct_energy;
    const struct sg_tree *classes;
};

/* What the file says of the boreholes. */
struct sg_ags_geology {
    struct sg_spot at;
    double top_m, base_m; /* base unset = not given */
    const char *soil, *state, *description;
    bool own; /* the user's class */
};

struct sg_ags_hole {
    const char *name;
    struct sg_spot at;
    struct sg_point place; /* unset = not known */
    double water_m;
    struct sg_ags_geology *geology;
    size_t ngeology;
    struct sg_ags_test *test;
    size_t ntest;
};

struct sg_ags_building {
    struct sg_reader *reader;
    const struct sg_ags *ags;
    struct sg_raw_ags raw;
    struct sg_spot named_at;
    const char *path;
    struct sg_ags_hole *hole;
    size_t nhole;
    struct sg_refusal *refusal;
    size_t nrefusal;
};

/* Room for one more in a growing list of the arena; false when there is no memory. */
bool sg_ags_grow(struct sg_reader *reader, void **list, size_t count, size_t size);
/* Boreholes with layers and refusals, out of geology and tests, into the site (ags_layers.c). */
void sg_ags_build_layers(struct sg_ags_building *b);

/* Reads the boreholes of a file that a map names; fills the site's boreholes and reader->ags_at. */
void sg_build_ags(struct sg_reader *reader, const struct sg_tree *map);
/* The same from memory, without classes of the user's own. */
void sg_build_ags_memory(struct sg_reader *reader, const char *bytes, size_t length,
                         const char *path);

/* ---- between boreholes (between.c) ----------------------------------------------------------- */

/* Gives every borehole with a known position the chainage of its foot on the line of the piles. */
void sg_ags_place(struct sg_reader *reader);
/* A share of the way from a to b (0 = a, 1 = b). Layers are matched in their order by soil; the
 * thickness of matched layers runs linearly, and a layer without a match thins out to nothing. */
bool sg_between_boreholes(struct sg_reader *reader, const struct sg_borehole *a,
                          const struct sg_borehole *b, double share, struct sg_borehole *out);
/* Replaces each pile's borehole by one between its neighbours, in SG_BETWEEN_STEPS steps. */
#define SG_BETWEEN_STEPS 16
void sg_interpolate_ground(struct sg_reader *reader);

#endif
