/* outdoor_accuracy.c - how far a level of the octave-band method may be off: the accuracy that the
 * standard states, combined with the scatter of the sources.
 *
 * Source: ISO 9613-2:1996 Table 5. It says plus or minus without a coverage; the figure is taken
 * for one standard deviation here, which is on the safe side.
 */
#include "laws.h"
#include "outdoor_internal.h"

#include <math.h>

const char sg_outdoor_upper_text[] =
    "central + 1.3 u, about 8 in 10 results within 1.3 u on either side; u from the accuracy that "
    "ISO 9613-2 states and the scatter of sources, which is assumed (common practice)";
const char sg_outdoor_upper_assumed_text[] =
    "central + 1.3 u, about 8 in 10 results within 1.3 u on either side; ISO 9613-2 states no "
    "accuracy for this distance or height, so that of method and sources is assumed (common "
    "practice)";

double sg_outdoor_accuracy_db(double mean_height_m, double distance_m)
{
    for (size_t i = 0; i < SG_ACCURACY_CLASSES; i++) {
        const struct sg_accuracy_class *row = &sg_outdoor_numbers.accuracy[i];
        if (mean_height_m <= row->height_m && distance_m <= row->distance_m)
            return row->plus_minus_db;
    }
    return SG_UNSET;
}

/* The least favourable class of the plant that runs; unset when one of them has none. */
static double worst_db(const struct sg_outdoor_plant *plant, size_t nplant,
                       const struct sg_outdoor_shift *shift, double distance_m,
                       struct sg_working *working)
{
    double worst = 0;
    for (size_t i = 0; i < nplant; i++) {
        const struct sg_sound_item *item = plant[i].item;
        if (!(item->count > 0) || !(item->on_time_share > 0))
            continue;
        double source_m = 0.5 * (plant[i].start_height_m + plant[i].end_height_m);
        double mean_m = 0.5 * (source_m + shift->receptor->height_m);
        double db = sg_outdoor_accuracy_db(mean_m, distance_m);
        if (sg_is_set(db))
            sg_working_add(working, sg_outdoor_cite(SG_FROM_ACCURACY), "accuracy",
                           "%s: mean height %.2f m, %.1f m away: +- %g dB, stated for broadband "
                           "sound without screens and reflections",
                           item->name ? item->name : "item", mean_m, distance_m, db);
        else
            sg_working_add(working, sg_outdoor_cite(SG_FROM_ACCURACY), "accuracy",
                           "%s: mean height %.2f m, %.1f m away: the standard states none beyond "
                           "%g m or over %g m of height",
                           item->name ? item->name : "item", mean_m, distance_m,
                           sg_outdoor_numbers.accuracy[SG_ACCURACY_CLASSES - 1].distance_m,
                           sg_outdoor_numbers.accuracy[SG_ACCURACY_CLASSES - 1].height_m);
        if (!sg_is_set(db))
            return SG_UNSET;
        worst = db > worst ? db : worst;
    }
    return worst;
}

void sg_outdoor_put_upper(const struct sg_outdoor_plant *plant, size_t nplant,
                          const struct sg_outdoor_shift *shift, struct sg_value *value,
                          struct sg_working *working)
{
    double method_db = worst_db(plant, nplant, shift, value->distance_m, working);
    bool stated = sg_is_set(method_db);
    if (!stated)
        value->marks |= SG_MARK_RANGE;
    value->upper_text = stated ? sg_outdoor_upper_text : sg_outdoor_upper_assumed_text;
    value->upper = stated ? sg_sound_upper_with(value->central, method_db, working)
                          : sg_sound_upper(value->central, working);
}
