/* outdoor_internal.h - what the files of the octave-band tier share. */
#ifndef STILLGROUND_OUTDOOR_INTERNAL_H
#define STILLGROUND_OUTDOOR_INTERNAL_H

#include "stillground/outdoor.h"
#include "stillground/outdoor_numbers.h"

/* Nearer than this two places are one (1 mm). */
#define SG_SAME_PLACE_M 1e-3

struct sg_xy {
    double x, y;
};
struct sg_xyz {
    double x, y, z;
};

/* ---- boxes found fast: a packed tree, the cost of a question grows with its logarithm ---- */
struct sg_box {
    double west, south, east, north;
};
#define SG_BOX_FAN 8
#define SG_BOX_LEVELS 24
struct sg_box_node { /* boxes of its eight children; missing ones are empty */
    double west[SG_BOX_FAN], south[SG_BOX_FAN], east[SG_BOX_FAN], north[SG_BOX_FAN];
};
struct sg_box_tree {
    const size_t *item;                  /* in the order of the leaves */
    const struct sg_box_node *node;      /* level by level, lowest first */
    size_t level[SG_BOX_LEVELS], nlevel; /* start of each level in node */
    size_t count;
};
sg_status sg_box_tree_make(const struct sg_box *box, size_t count, struct sg_arena *arena,
                           struct sg_box_tree *out);
/* Called for each item whose box the stretch from a to b may meet. Return false to stop. */
typedef bool sg_box_fn(size_t item, void *payload);
void sg_box_tree_ask(const struct sg_box_tree *tree, struct sg_xy a, struct sg_xy b, sg_box_fn *fn,
                     void *payload);
void sg_box_tree_within(const struct sg_box_tree *tree, const struct sg_box *box, sg_box_fn *fn,
                        void *payload);
struct sg_box sg_box_of(struct sg_xy a, struct sg_xy b, double margin);

/* ---- ground heights ---- */
struct sg_triangle {
    size_t corner[3];
};
struct sg_relief {
    bool flat;
    double level_m;
    const struct sg_xyz *point;
    size_t npoint;
    const struct sg_triangle *triangle;
    size_t ntriangle;
    const size_t *edge; /* pairs of points */
    size_t nedge;
    struct sg_box_tree triangles, edges;
};
sg_status sg_relief_make(const struct sg_scene *scene, struct sg_arena *arena,
                         struct sg_relief *out, struct sg_errors *errors);
double sg_relief_at(const struct sg_relief *relief, double x, double y);

/* ---- the scene made ready ---- */
struct sg_face {
    struct sg_xyz a, b;                    /* top edge, z in the datum */
    double surface_long_m, surface_high_m; /* of the straight run of sides that it belongs to */
    size_t obstacle;
    bool reflects;
    int outside; /* +1 / -1: side of a -> b that is outside; 0: both are */
};
/* Sides of one obstacle: fills in the surfaces that they make up. */
void sg_faces_join(const struct sg_relief *relief, struct sg_face *face, size_t count);
struct sg_built {        /* an obstacle made ready */
    size_t first, count; /* faces */
    struct sg_box box;
};
struct sg_outdoor {
    const struct sg_scene *scene;
    struct sg_relief relief;
    const struct sg_face *face;
    size_t nface, nreflecting;
    const struct sg_built *built;
    struct sg_box_tree faces;
    struct sg_box_tree grounds; /* what buildings stand on */
    const size_t *building;     /* obstacle of each of them */
    double alpha_db_m[SG_BANDS];
    double wavelength_m[SG_BANDS];
};

/* Point of the face on the stretch a -> b: shares along the stretch and along the face. False when
 * they do not meet or run side by side. */
bool sg_meet(struct sg_xy a, struct sg_xy b, struct sg_xy c, struct sg_xy d, double *along,
             double *across);
/* Twice the signed area: positive when the ring runs against the clock. */
double sg_ring_area(const struct sg_spot3 *corner, size_t count);
const char *sg_obstacle_label(const struct sg_obstacle *o); /* its name, or what it is */
const struct sg_place *sg_obstacle_place(const struct sg_scene *scene, size_t obstacle);
size_t sg_obstacle_sides(const struct sg_obstacle *o);
/* All faults of a scene, each with its place. */
sg_status sg_scene_check(const struct sg_scene *scene, struct sg_errors *errors);
bool sg_inside(const struct sg_spot3 *corner, size_t count, struct sg_xy at);
double sg_to_segment_m(struct sg_xy at, struct sg_xy a, struct sg_xy b);

/* ---- eight values at once, the same bits on every machine; out may be the input ---- */
/* 10 lg x of positive normal numbers; e^x and 10^(x / 10), 0 where less than 2^-1000. */
void sg_bands_db(const double *ratio, double *db);
void sg_bands_exp(const double *x, double *out);
void sg_bands_ratio(const double *db, double *ratio);

/* What Dz is ten times the logarithm of, at least 1. */
double sg_screen_argument(const struct sg_edges *edges, double wavelength_m, double meteo);

/* ---- one way of the sound ---- */
#define SG_MIRRORS 3
struct sg_way {
    size_t order;
    size_t face[SG_MIRRORS];
    struct sg_xyz at[SG_MIRRORS + 2]; /* source, points of reflection, receptor */
    double offset_m[SG_MIRRORS + 2];  /* plan way from the source to each */
    double plan_m, direct_m;          /* unfolded */
    double cos_incidence[SG_MIRRORS]; /* in plan */
};

struct sg_crossing { /* an edge or a height of the ground on the way */
    double s, z;
    size_t obstacle; /* SIZE_MAX = ground */
};
struct sg_crossings {
    struct sg_crossing fixed[48], *item;
    size_t count, capacity;
    bool failed;
};
void sg_crossings_init(struct sg_crossings *list);
void sg_crossings_add(struct sg_crossings *list, double s, double z, size_t obstacle);
void sg_crossings_release(struct sg_crossings *list);

/* Heights of the ground on a way, by s; none on level ground. */
void sg_way_heights(const struct sg_outdoor *outdoor, const struct sg_way *way,
                    struct sg_crossings *ground);
/* Puts corners into walls whose height counts from the ground, so that their tops follow it. */
sg_status sg_walls_follow(struct sg_outdoor *outdoor, struct sg_arena *arena);
/* Edges of obstacles and heights of the ground on a way, by s. */
void sg_way_profile(const struct sg_outdoor *outdoor, const struct sg_way *way,
                    struct sg_crossings *edges, struct sg_crossings *ground);
struct sg_xy sg_way_place(const struct sg_way *way, double s); /* in plan, folded */
/* Through what the curved way goes: fills cover_m, built_m and amisc_db (agr must be there). */
void sg_way_cover(const struct sg_outdoor *outdoor, const struct sg_way *way,
                  struct sg_outdoor_path *path);
double sg_path_misc_db(const struct sg_outdoor_path *path, size_t band); /* Amisc in all */
/* Mean G over a stretch of the way. */
sg_status sg_way_ground(const struct sg_outdoor *outdoor, const struct sg_way *way,
                        struct sg_ground_path *path);
/* Screening of a way: fills abar, top, sides of the path (agr must be there). */
sg_status sg_way_screen(const struct sg_outdoor *outdoor, const struct sg_way *way,
                        const struct sg_crossings *edges, const struct sg_crossings *ground,
                        struct sg_outdoor_path *path);
/* First band in which an obstacle counts on the stretch from a to b: its extent across it is longer
 * than the wave from there on. SG_BANDS = in none. */
size_t sg_band_from(const struct sg_outdoor *outdoor, struct sg_xy a, struct sg_xy b,
                    size_t obstacle);
/* The ways round the sides of these obstacles, and of those in the way round that count in `band`.
 * They hold for later bands before `until`, which is lowered to where another one counts. */
struct sg_side_set {
    const size_t *obstacle;
    size_t count, band, until;
};
sg_status sg_way_sides(const struct sg_outdoor *outdoor, const struct sg_way *way,
                       struct sg_side_set *set, double over_m, struct sg_edges *side);
/* In the plane through source and receptor square to their vertical plane: u from source to
 * receptor, v to the left. */
struct sg_uv {
    double u, v;
};
/* Sorts the points and gives their convex hull against the clock; hull has room for 2 * count.
 * Returns how many corners it has. */
size_t sg_convex_hull(struct sg_uv *point, size_t count, struct sg_uv *hull);
struct sg_bar { /* side of an obstacle cut by the plane */
    struct sg_uv a, b;
    size_t obstacle; /* bars of one obstacle follow each other */
    bool closed;     /* they enclose a building */
};
/* The shortest way among the bars round the left (hand 0) or the right (1), from (0, 0) to
 * (direct_m, 0), into chain; *count 0 when there is none. */
sg_status sg_way_taut(const struct sg_bar *bar, size_t nbar, double direct_m, size_t hand,
                      struct sg_uv *chain, size_t room, size_t *count);
/* Image sources: calls fn for each way with reflections. */
typedef sg_status sg_way_fn(const struct sg_way *way, void *payload);
sg_status sg_ways_mirrored(const struct sg_outdoor *outdoor, struct sg_xyz source,
                           struct sg_xyz receptor, size_t skip_obstacle, sg_way_fn *fn,
                           void *payload);
struct sg_way sg_way_direct(struct sg_xyz source, struct sg_xyz receptor);

/* Upper value of a period, with its text; value has central and distance. */
void sg_outdoor_put_upper(const struct sg_outdoor_plant *plant, size_t nplant,
                          const struct sg_outdoor_shift *shift, struct sg_value *value,
                          struct sg_working *working);
extern const char sg_outdoor_upper_text[], sg_outdoor_upper_assumed_text[];

#endif
