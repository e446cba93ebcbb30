/* site_internal.h - what the readers of the site room share; not installed.
 *
 * Flow: bytes -> struct sg_tree (yaml_tree.c, csv.c, geodata.c) -> raw structs through the table of
 * fields (bind.c, fields.c) -> struct sg_site (ground.c, wall.c, receptors.c, methods.c, read.c).
 * A row of a table becomes the same kind of tree as a YAML map, so that one table of fields serves
 * all three.
 */
#ifndef STILLGROUND_SITE_INTERNAL_H
#define STILLGROUND_SITE_INTERNAL_H

#include "stillground/site.h"

/* ---- caps for files from elsewhere ----------------------------------------------------------- */

#define SG_SITE_MAX_BYTES ((size_t)16 << 20)   /* of the site file */
#define SG_TABLE_MAX_BYTES ((size_t)512 << 20) /* of one table */
#define SG_MAX_PILES ((size_t)1000000)
#define SG_MAX_RECEPTORS ((size_t)1000000)
#define SG_MAX_LAYERS 200.0
#define SG_MAX_BOREHOLES 1000.0
#define SG_MAX_COLUMNS 200u
#define SG_MAX_RING 100000u /* corners of one outline or line */
#define SG_MAX_NAME 200u    /* bytes */
#define SG_MAX_PROSE 20000u

/* Common practice, no source: a piling site is a few kilometres long at most, and the relations
 * carry no farther than a few hundred metres. Beyond these the coordinates are wrong. */
#define SG_MAX_EXTENT_M 20000.0
#define SG_MAX_REACH_M 5000.0
#define SG_MAX_COORDINATE_M 1e8

/* ---- where a thing stands -------------------------------------------------------------------- */

struct sg_spot {
    const char *file;
    size_t line, column; /* from 1; 0 = not known */
    size_t feature;      /* of a layer without lines, from 1; 0 = none */
};

/* ---- the tree -------------------------------------------------------------------------------- */

enum sg_tree_kind { SG_TREE_TEXT, SG_TREE_LIST, SG_TREE_MAP };

struct sg_tree {
    enum sg_tree_kind kind;
    bool from_table; /* a row: lists are texts with ';' between the items */
    bool blank;      /* a plain empty scalar, or ~ or null */
    struct sg_spot at;
    const char *text;       /* SG_TREE_TEXT, NUL-terminated */
    size_t length;          /* of the text; differs from strlen when there is a NUL in it */
    size_t count;           /* items, or pairs of a map */
    struct sg_tree **child; /* items, or key, value, key, value, ... */
};

/* ---- a reading in progress ------------------------------------------------------------------- */

struct sg_message {
    struct sg_spot at;
    size_t file_rank, serial; /* order of output: file, line, column, then as found */
    sg_status status;         /* SG_WARN_RANGE = a warning */
    bool hint;                /* a warning that is shown beside errors too */
    const char *text;
};

struct sg_geo; /* geodata.c */

struct sg_own_source {
    const char *id;
    struct sg_plant plant; /* kind, level, octaves, provenance, name */
};

struct sg_reader {
    struct sg_site *site; /* being filled; its arena owns everything that stays */
    const char *folder;   /* of the site file, "" = the current one */
    struct sg_message *message;
    size_t nmessage, capacity;
    size_t nerror; /* messages that are errors, kept or not */
    bool nomem;
    bool local; /* crs: local-metre */
    bool crs_ok;
    struct sg_geo *geo;
    const struct sg_point *ags_at; /* where the boreholes of a file stand; NULL = typed ones */
    bool interpolate;              /* the ground between boreholes, at each pile */
    const char *needs;             /* what an empty file lacks; NULL = what a site file needs */
    const struct sg_own_source *own_source; /* of this site file */
    size_t nown_source;
    const char *place_file; /* name last given out by sg_reader_place */
};

void *sg_reader_alloc(struct sg_reader *reader, size_t count, size_t size);
void sg_reader_error(struct sg_reader *reader, sg_status status, struct sg_spot at,
                     const char *format, ...) SG_PRINTF(4, 5);
void sg_reader_warn(struct sg_reader *reader, struct sg_spot at, const char *format, ...)
    SG_PRINTF(3, 4);
/* The place for what stays after reading: the name of the file outlives the reader. */
struct sg_place sg_reader_place(struct sg_reader *reader, struct sg_spot at);
/* A warning that may be why something is missing. */
void sg_reader_hint(struct sg_reader *reader, struct sg_spot at, const char *format, ...)
    SG_PRINTF(3, 4);
/* Moves the messages: errors in order of place to errors, warnings to the site. */
sg_status sg_reader_finish(struct sg_reader *reader, struct sg_errors *errors);

/* The value as it may stand in a message: quoted, shortened, control characters replaced. */
const char *sg_quoted(struct sg_reader *reader, const char *value);

/* Path of a file that a text names, relative to the site file's folder. NULL: no memory. */
const char *sg_reader_path(struct sg_reader *reader, const char *text);
/* A regular file as bytes in the arena, with a NUL behind. NULL after an error was reported. */
char *sg_reader_file(struct sg_reader *reader, const char *path, struct sg_spot named_at,
                     size_t max_bytes, size_t *length);
bool sg_reader_is_file(struct sg_reader *reader, const char *path, struct sg_spot named_at);

/* A name that must be given once only. */
struct sg_named {
    const char *name;
    struct sg_spot at;
    size_t index;
};
/* Sorts by name and reports repeated names. */
void sg_names_check(struct sg_reader *reader, const char *what, struct sg_named *named, size_t n);
const struct sg_named *sg_names_find(const struct sg_named *sorted, size_t count, const char *name);

/* Reports a word that a list of the catalogue does not have. */
typedef const char *sg_id_at(size_t index);
void sg_reader_unknown(struct sg_reader *reader, struct sg_spot at, const char *key,
                       const char *word, sg_id_at *id_at, size_t count);

/* ---- trees ----------------------------------------------------------------------------------- */

struct sg_tree *sg_yaml_load(struct sg_reader *reader, const char *bytes, size_t length);
/* Value of a key; NULL when it is not there. */
const struct sg_tree *sg_tree_value(const struct sg_tree *map, const char *key);
/* Puts "path=value" texts into the tree. */
void sg_tree_override(struct sg_reader *reader, struct sg_tree *root, const char *const *set,
                      size_t count);
/* Place of a key's value, or of the map. */
struct sg_spot sg_tree_spot(const struct sg_tree *map, const char *key);

/* ---- the table of fields --------------------------------------------------------------------- */

/* First row of a block and how many there are. */
const struct sg_field *sg_block_fields(const char *block, size_t *count);
/* Fills `target` (the raw struct of the block) with defaults and then from the map. map may be
 * NULL: defaults only. False when something was wrong; target is then filled as far as it went. */
bool sg_bind(struct sg_reader *reader, const char *block, const struct sg_tree *map, void *target);
/* The same with rows from another table than the site file's. */
struct sg_fields {
    const char *name; /* of the block, for messages */
    const struct sg_field *field;
    size_t count;
};
bool sg_bind_fields(struct sg_reader *reader, const struct sg_fields *block,
                    const struct sg_tree *map, void *target);
/* Reads a [x, y] pair list. */
bool sg_bind_points(struct sg_reader *reader, const struct sg_tree *list, const char *key,
                    struct sg_point **out, size_t *count);
/* Reads a list of texts (or a table's ';' list) into the arena. */
const char *const *sg_bind_texts(struct sg_reader *reader, const struct sg_tree *list,
                                 const char *key, size_t *count);
/* Checks one number against a field; used for the values of maps. */
bool sg_bind_number(struct sg_reader *reader, const struct sg_tree *value, const char *key,
                    double *out);
/* Clock time "HH:MM" in hours. */
bool sg_bind_clock(struct sg_reader *reader, const struct sg_tree *value, const char *key,
                   const char *text, double *out);
/* What is allowed, for messages and the reference page. */
void sg_field_put_allowed(const struct sg_field *field, struct sg_text *out);

struct sg_raw_site {
    const char *title, *note, *crs, *jurisdiction, *prepared_by, *checked_by;
    double percentile, water_depth_m;
    const struct sg_tree *boreholes, *ground, *wall, *receptors, *methods, *hours, *sound, *limits;
    const struct sg_tree *programme, *monitoring, *limit_files, *scene, *crew;
    const struct sg_tree *factors, *kb_from_ppv, *sources;
};
struct sg_raw_factor {
    const char *limit_set, *factor, *decided_by;
    double value;
};
struct sg_raw_programme {
    const char *start, *daylight_saving, *order;
    double utc_offset_h, rigs, set_up_minutes, change_over_minutes, least_run;
    const struct sg_tree *weekdays, *holidays, *shifts, *quiet, *possessions;
};
struct sg_raw_shift {
    const char *name, *start, *end;
    double work_h;
    const struct sg_tree *weekdays;
};
struct sg_raw_window {
    const char *name, *first, *last, *start, *end;
    double from_m, to_m;
};
struct sg_raw_borehole {
    const char *name;
    double chainage_m, water_depth_m;
    const struct sg_tree *layers;
};
struct sg_raw_layer {
    double base_m, spt_n;
    const char *soil, *state;
};
struct sg_raw_wall {
    const char *line, *pile_table, *section;
    const struct sg_tree *line_points, *piles;
    double section_width_m, toe_depth_m;
};
struct sg_raw_pile {
    const char *name, *section;
    double x_m, y_m, toe_depth_m, chainage_m;
};
struct sg_raw_receptors {
    const struct sg_tree *list;
    const char *table, *footprints;
};
struct sg_raw_receptor {
    const char *name, *use, *building_class, *area, *position, *foundation, *transfer_source;
    const char *own_limit_source;
    double x_m, y_m, storeys, floor, foundation_factor, floor_factor;
    double dominant_frequency_hz;
    double ambient_day_db, ambient_evening_db, ambient_night_db, screening_db, own_ppv_limit_mm_s;
    double height_m;
    double other_day_db, other_evening_db, other_night_db;
    double background_day_db, background_evening_db, background_night_db;
    const char *windows, *percussive_screen;
    bool published_floor;
    const struct sg_tree *footprint_points, *limit_sets;
};
struct sg_raw_method {
    struct sg_method to; /* figures and texts go straight in */
    const char *technique, *model, *second_model, *operation;
    const struct sg_tree *sound, *plant, *constants;
};
struct sg_raw_plant {
    const char *id, *source, *name, *provenance;
    double laeq_10m_db, lwa_db, lmax_50ft_db, count, on_time_percent;
    double start_height_m, end_height_m, blow_lae_10m_db, blow_decay_ms;
    double tonal_db, onset_db_s, onset_rise_db;
    const struct sg_tree *octaves;
};
struct sg_raw_hours {
    const char *start, *end;
    double work_h, days_per_week;
};
struct sg_raw_scene {
    const char *title, *crs, *edition, *ground_method, *regions_file, *heights_file, *walls_file;
    const char *buildings_file;
    double temperature_c, humidity_percent, pressure_kpa, c0_db, ground_factor, level_m;
    double reflections, reach_m;
    bool near_sight;
    const struct sg_tree *foliage, *industry, *housing;
    const struct sg_tree *regions, *heights, *height_lines, *walls, *buildings, *sources,
        *receptors;
};
struct sg_raw_region {
    const struct sg_tree *outline;
    double factor;
};
struct sg_raw_cover {
    const struct sg_tree *outline;
    double height_m, built;
};
struct sg_raw_height {
    double x_m, y_m, z_m;
};
struct sg_raw_obstacle {
    const char *name;
    const struct sg_tree *points, *octaves;
    double height_m, top_m, reflection;
};
struct sg_raw_emitter {
    const char *name, *provenance;
    double x_m, y_m, height_m, z_m, each_db, lwa_db;
    const struct sg_tree *octaves;
    bool facade;
};
struct sg_raw_sound {
    const char *method, *ground, *rating;
    double soft_fraction, boundary_distance_m, hoarding_height_m;
    bool passed_short_only;
};

/* ---- tables and layers ----------------------------------------------------------------------- */

enum sg_shape_kind { SG_SHAPE_NONE, SG_SHAPE_POINT, SG_SHAPE_LINE, SG_SHAPE_RING };
struct sg_shape {
    enum sg_shape_kind kind;
    const struct sg_point
        *point; /* valid during the call; a ring does not repeat its first point */
    size_t count;
    const double *z_m; /* one a point; NULL = the shape has no heights, or all of them are 0 */
};

/* Called for each row; the tree is scratch, its texts stay. Return false to stop. */
typedef bool sg_row_fn(struct sg_reader *reader, const struct sg_tree *row,
                       const struct sg_shape *shape, void *payload);

/* A table to be walked: the file, where it was named, the block its columns belong to (NULL = the
 * columns do not matter, SG_ANY_COLUMNS = every cell is handed on, the empty ones too). */
#define SG_ANY_COLUMNS "*"
struct sg_sheet {
    const char *path;
    struct sg_spot named_at;
    const char *block;
};
void sg_sheet_each(struct sg_reader *reader, const struct sg_sheet *sheet, sg_row_fn *fn,
                   void *payload);
void sg_csv_each(struct sg_reader *reader, const struct sg_sheet *sheet, sg_row_fn *fn,
                 void *payload);
void sg_geo_each(struct sg_reader *reader, const struct sg_sheet *sheet, sg_row_fn *fn,
                 void *payload);

/* One row as a tree, used again for each row. */
struct sg_row {
    struct sg_tree map;
    struct sg_tree *key, *value; /* ncolumn each */
    bool *wanted;                /* columns that the block knows */
    bool every_cell;
    size_t ncolumn;
};
/* Takes the column names as keys and reports what is wrong with them. strict: unknown = error,
 * else they are passed over with a warning. False when rows need not be read. */
bool sg_row_start(struct sg_reader *reader, struct sg_row *row, const struct sg_sheet *sheet,
                  bool strict);
/* The whole name of a column of which a shapefile kept the first characters. */
const char *sg_column_of_cut(const char *block, const char *column);
void sg_row_clear(struct sg_row *row, struct sg_spot at);
void sg_row_put(struct sg_row *row, size_t column, const char *text, struct sg_spot at);

/* ---- coordinates ----------------------------------------------------------------------------- */

/* Checks the site's CRS and keeps it for the layers. */
void sg_geo_set_crs(struct sg_reader *reader, const char *crs, struct sg_spot at);
/* Warns when a point lies outside the area that the CRS is made for. */
void sg_geo_check_area(struct sg_reader *reader, struct sg_point point, struct sg_spot at);
/* Moves a point from another CRS (EPSG:n) into the site's; false when that cannot be done. */
bool sg_geo_point(struct sg_reader *reader, const char *from_crs, struct sg_point *point);
void sg_geo_release(struct sg_reader *reader);

/* Whether two places are one: a ring may repeat its first point. */
bool sg_same_plan(double x1_m, double y1_m, double x2_m, double y2_m);
/* Point of a polyline at a chainage; its length. */
double sg_line_length_m(const struct sg_point *line, size_t count);
struct sg_point sg_line_at(const struct sg_point *line, size_t count, double chainage_m);
/* Distance to the outline only, and the point of it that is nearest. */
double sg_ring_distance_m(const struct sg_point *ring, size_t count, struct sg_point from,
                          struct sg_point *nearest);
bool sg_ring_contains(const struct sg_point *ring, size_t count, struct sg_point at);

/* ---- the parts of a site --------------------------------------------------------------------- */

void sg_build_ground(struct sg_reader *reader, const struct sg_raw_site *raw,
                     const struct sg_tree *root);
void sg_build_wall(struct sg_reader *reader, const struct sg_raw_site *raw);
void sg_build_receptors(struct sg_reader *reader, const struct sg_raw_site *raw);
/* The scene; map NULL: air and flat ground alone. with_points: sources and receptors may be in. */
void sg_build_scene(struct sg_reader *reader, const struct sg_tree *map, bool with_points);
/* Sources and receptors of a case file. */
void sg_build_scene_points(struct sg_reader *reader, const struct sg_raw_scene *raw,
                           const struct sg_tree *map, struct sg_scene *scene);
/* Warns of what in the scene lies too far from all that makes or hears sound to play a part. */
void sg_check_scene_reach(struct sg_reader *reader);
struct sg_octave_range {
    double least, most;
    const char *unit; /* "" = a bare number */
};
extern const struct sg_octave_range sg_octaves_of_power, sg_octaves_of_shares;
/* Eight numbers, 63 Hz to 8 kHz. */
bool sg_bind_octaves(struct sg_reader *reader, const struct sg_tree *list, const char *key,
                     const struct sg_octave_range *range, double *out);
/* The site's own sources; before the methods. */
void sg_build_sources(struct sg_reader *reader, const struct sg_raw_site *raw);
const struct sg_own_source *sg_own_source_find(const struct sg_reader *reader, const char *id);
/* Either the id of a source or one level of the user's own with where it comes from. */
void sg_read_level(struct sg_reader *reader, const struct sg_raw_plant *raw,
                   const struct sg_tree *map, const char *block, struct sg_plant *out);
void sg_build_methods(struct sg_reader *reader, const struct sg_raw_site *raw);
/* Positions and hours of the crew. */
void sg_build_crew(struct sg_reader *reader, const struct sg_raw_site *raw);
void sg_build_programme(struct sg_reader *reader, const struct sg_raw_site *raw);
/* What somebody decided about limits: factors of sets, c_F. After the limit files. */
void sg_build_choices(struct sg_reader *reader, const struct sg_raw_site *raw);
/* Checks ids of limit sets; NULL list when there are none. */
const char *const *sg_build_limit_list(struct sg_reader *reader, const struct sg_tree *list,
                                       const char *key, size_t *count);

/* What an empty limit file is told. */
#define SG_NEEDS_LIMIT_SET                                                                         \
    "allowed: a limit set (id, title, jurisdiction, document, edition, legal and rows); `limits "  \
    "--format yaml ID` writes one to start from"
/* A limit set from the tree of its file; NULL after an error. */
const struct sg_limit_set *sg_build_limit_file(struct sg_reader *reader,
                                               const struct sg_tree *root);

/* As sg_site_read, from memory; path stands in messages and its folder is where tables are. */
sg_status sg_site_read_memory(const char *bytes, size_t length, const char *path,
                              struct sg_site *out, struct sg_errors *errors);
sg_status sg_scene_read_memory(const char *bytes, size_t length, const char *path,
                               struct sg_site *out, struct sg_errors *errors);
sg_status sg_calibration_read_memory(const char *bytes, size_t length, const char *path,
                                     struct sg_arena *arena, struct sg_calibration *out,
                                     struct sg_errors *errors);

#endif
