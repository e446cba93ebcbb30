/* sound_law.c - a law of levels fitted to the site in place of source levels and propagation.
 *
 * The law is that of the level while the rig works, its plant included, so only the share of the
 * period is added to it, and 3 dB at a facade where the law is one of the free field. A screen
 * earns no credit: whether the values were measured behind one is not known here. */
#include "plan_internal.h"

#include <math.h>

static double added_db(const struct sg_method *method, const struct sg_sound_span *span,
                       bool facade)
{
    double share = sg_share_of(span, method->on_time_percent);
    double added = 10.0 * log10(share);
    if (facade && method->sound_law->position != SG_AT_FACADE)
        added += sg_sound_number(SG_SOUND_FACADE_DB);
    return added;
}

static struct sg_drive drive_of(const struct sg_site *site, const struct sg_method *method)
{
    struct sg_drive drive = SG_DRIVE_INIT;
    drive.technique = method->technique;
    drive.percentile = site->percentile;
    drive.site_law = method->sound_law;
    return drive;
}

void sg_sound_by_law(const struct sg_site *site, const struct sg_method *method,
                     const struct sg_sound_path *path, const struct sg_sound_span *span,
                     struct sg_value *out, double *loudest_db, struct sg_working *working)
{
    struct sg_drive drive = drive_of(site, method);
    struct sg_value value = SG_VALUE_INIT;
    double added = added_db(method, span, path->facade);
    if (!sg_ok(sg_vibration_at(method->model, &drive, path->distance_m, &value, working, NULL))) {
        out->why = "the site law gives no level there";
        return;
    }
    *loudest_db = value.central;
    value.quantity = SG_Q_LAEQ;
    value.central += added;
    value.upper += added;
    sg_working_add(working, NULL, "period level",
                   "%+.2f dB for the share of the period%s: %.2f dB, upper %.2f dB", added,
                   path->facade ? " and the facade" : "", value.central, value.upper);
    *out = value;
}

sg_status sg_sound_law_distances(const struct sg_site *site, const struct sg_method *method,
                                 const struct sg_sound_span *span, bool facade, double limit_db,
                                 double distance_m[2])
{
    struct sg_drive drive = drive_of(site, method);
    struct sg_law central, upper;
    double level = limit_db - added_db(method, span, facade);
    sg_status status = sg_law_prepare(method->model, &drive, SG_LEVEL_CENTRAL, &central, NULL);
    if (status == SG_OK)
        status = sg_law_prepare(method->model, &drive, SG_LEVEL_UPPER, &upper, NULL);
    if (status != SG_OK)
        return status;
    distance_m[0] = distance_m[1] = SG_NEAREST_M;
    if (sg_law_at(&central, SG_NEAREST_M) > level)
        status = sg_law_distance(&central, level, &distance_m[0]);
    if (status == SG_OK && sg_law_at(&upper, SG_NEAREST_M) > level)
        status = sg_law_distance(&upper, level, &distance_m[1]);
    return status;
}
