/* outdoor_field.h - octave-band levels of many sources at many points on flat open ground: what the
 * ways of outdoor.h give where nothing stands in between, many at once. Pure.
 *
 * Source: ISO 9613-2:1996 Eq. (3) to (9), Table 3, for one ground factor everywhere.
 */
#ifndef STILLGROUND_OUTDOOR_FIELD_H
#define STILLGROUND_OUTDOOR_FIELD_H

#include "stillground/scene.h"

struct sg_outdoor_points {
    const double *x_m, *y_m;
    const double *height_m; /* above the ground */
    size_t count;
};

/* True when a scene is flat open ground of one kind, under the general ground method, for downwind
 * levels: then the field holds. */
bool sg_outdoor_open(const struct sg_scene *scene);

/* Energy sum over the sources at each receptor. power_db: eight bands a source; unset ones are
 * silent. band_db: eight levels a receptor, unweighted; a_db: A-weighted totals; either may be
 * NULL. Unset where nothing is heard and nearer than 1 m to a source. threads: 0 = as many as there
 * are; any number of them gives the same bits.
 * Status: SG_ERR_DOMAIN for a scene that is not open or air outside its range. */
sg_status sg_outdoor_field(const struct sg_scene *scene, const struct sg_outdoor_points *sources,
                           const double *power_db, const struct sg_outdoor_points *receptors,
                           int threads, double *band_db, double *a_db);

#endif
