/* scene.h - what stands between sources and receptors of airborne sound: air, ground cover,
 * heights of the ground, walls, buildings. Plain data; site reads it, sound works with it.
 *
 * Plan positions in metres in one plane, heights in metres, upward. A height is given above the
 * ground at its place (height_m) or in the datum of the terrain (top_m, z_m); the other is unset.
 */
#ifndef STILLGROUND_SCENE_H
#define STILLGROUND_SCENE_H

#include "stillground/base.h"

/* Octave bands 63 Hz to 8 kHz. */
#define SG_BANDS 8

struct sg_air {
    double temperature_c, humidity_percent, pressure_kpa;
};
#define SG_AIR_INIT ((struct sg_air){ 10.0, 70.0, 101.325 })

struct sg_spot3 { /* a point with its height */
    double x_m, y_m;
    double height_m; /* above the ground; unset = z_m is given */
    double z_m;      /* in the datum */
};

/* Outline or line with heights at its corners. */
struct sg_obstacle {
    const char *name;
    bool closed;                   /* a building: ring without the repeated point; else a wall */
    const struct sg_spot3 *corner; /* top edge: height_m above ground, or z_m */
    size_t ncorner;
    double reflection[SG_BANDS]; /* share of the sound energy thrown back, 0 = none */
};

struct sg_ground_region {          /* later regions lie over earlier ones */
    const struct sg_spot3 *corner; /* ring; heights not used */
    size_t ncorner;
    double factor;        /* G: 0 hard .. 1 porous */
    struct sg_place from; /* where it was read; no file = not from one */
};

/* What sound passes through on its way: trees and bushes so dense that one cannot see through them,
 * the pipes, tanks and steel of industrial sites, houses not given one by one. */
enum sg_cover_kind { SG_COVER_FOLIAGE, SG_COVER_INDUSTRY, SG_COVER_HOUSING, SG_COVER_END };
struct sg_cover {
    enum sg_cover_kind kind;
    const struct sg_spot3 *corner; /* ring; heights not used */
    size_t ncorner;
    double height_m; /* above the ground */
    double built;    /* housing: plan area of the houses by the whole area, 0 .. 1 */
    struct sg_place from;
};

struct sg_terrain_line { /* a line along which the ground runs straight: edge, foot, contour */
    const struct sg_spot3 *point; /* z_m */
    size_t npoint;
};

enum sg_outdoor_edition { SG_OUTDOOR_1996, SG_OUTDOOR_EDITION_END }; /* of ISO 9613-2 */
enum sg_ground_method { SG_GROUND_GENERAL, SG_GROUND_ALTERNATIVE };

struct sg_emitter {
    const char *name;
    struct sg_spot3 at;
    double power_db[SG_BANDS]; /* octave-band sound power, unweighted; all unset: A-weighted only */
    double power_a_db;         /* A-weighted total; used when the bands are unset */
    const char *provenance;    /* "" = not said */
};

struct sg_listener {
    const char *name;
    struct sg_spot3 at;
    bool facade; /* 1 m in front of a facade: + 3 dB instead of its reflection */
};

struct sg_scene {
    const char *title;
    struct sg_air air;
    double ground_factor; /* G outside the regions */
    const struct sg_ground_region *region;
    size_t nregion;
    const struct sg_cover *cover;
    size_t ncover;
    const struct sg_spot3 *terrain; /* heights of the ground (z_m); none = flat at level_m */
    size_t nterrain;
    const struct sg_terrain_line *terrain_line;
    size_t nterrain_line;
    double level_m;
    const struct sg_obstacle *obstacle;
    size_t nobstacle;
    const struct sg_emitter *emitter;
    size_t nemitter;
    const struct sg_listener *listener;
    size_t nlistener;
    enum sg_outdoor_edition edition;
    enum sg_ground_method ground_method;
    double c0_db;       /* meteorological factor C0; 0 = downwind level */
    size_t reflections; /* orders of image sources, 0 .. 3 */
    double reach_m;     /* a reflected path is at most this much longer than the direct one */
    bool near_sight;    /* edges just under the line of sight count too (z < 0) */
    /* Where each of them was read; NULL = not from a file. */
    const struct sg_place *obstacle_at, *emitter_at, *listener_at, *terrain_at, *terrain_line_at;
};
#define SG_SCENE_INIT                                                                              \
    ((struct sg_scene){ .title = "", .air = SG_AIR_INIT, .reflections = 1, .reach_m = 500.0 })

#endif
