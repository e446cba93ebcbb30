/* laws.h - what the files of this room share; not public. */
#ifndef STILLGROUND_SOUND_LAWS_H
#define STILLGROUND_SOUND_LAWS_H

#include "stillground/sound.h"

/* Reference distance of a kind of level, m; 1 for the sound power. */
double sg_sound_reference_m(enum sg_source_kind kind);
/* Sound power level from any kind: LWA = L + 20 lg r0 + 8. Adds a line when it converts. */
double sg_sound_power(enum sg_source_kind kind, double level_db, struct sg_working *working);

/* Level of one item at the path's distance over its ground, before screen, facade and count. */
double sg_bs5228_level(const struct sg_sound_item *item, const struct sg_sound_path *path,
                       struct sg_working *working);
double sg_fta_level(const struct sg_sound_item *item, const struct sg_sound_path *path,
                    struct sg_working *working);

/* The law's fall per tenfold distance, and the distance above which that fall holds. */
struct sg_sound_fall {
    double anchor_m, slope_db; /* at and beyond the anchor */
    double near_slope_db;      /* nearer than the anchor */
};
struct sg_sound_fall sg_bs5228_fall(const struct sg_sound_path *path);
struct sg_sound_fall sg_fta_fall(const struct sg_sound_path *path);

/* Whether a method uses a kind of level as it is, or through another quantity. */
bool sg_sound_bridged(enum sg_sound_method method, enum sg_source_kind kind);
/* Worst grade of the numbers of a method that a path brings in. */
enum sg_grade sg_sound_method_grade(enum sg_sound_method method, const struct sg_sound_path *path);

/* What the upper value of a sound level means, and the value itself. */
extern const char sg_sound_upper_text[];
double sg_sound_upper(double central_db, struct sg_working *working);
/* The same with the standard deviation of a method of its own. */
double sg_sound_upper_with(double central_db, double method_db, struct sg_working *working);

/* The working of every item starts with its printed level and, when the level is the user's own,
 * where that comes from. */
void sg_sound_introduce(const struct sg_sound_item *item, const char *note,
                        struct sg_working *working);

#endif
