/* keep.c - figures of a measured recording, copied out of the pass that made them. */
#include "stillground/event.h"

#include <string.h>

static bool grow(void **list, size_t *capacity, size_t count, size_t size)
{
    if (count < *capacity)
        return true;
    size_t more = *capacity > 0 ? 2 * *capacity : 16;
    void *grown = sg_realloc(*list, more, size);
    if (grown == NULL)
        return false;
    *list = grown;
    *capacity = more;
    return true;
}

void sg_keep(struct sg_kept_list *list, const struct sg_measured *measured)
{
    void *item = list->item;
    if (!grow(&item, &list->capacity, list->count, sizeof *list->item)) {
        list->failed = true;
        return;
    }
    list->item = item;
    struct sg_kept *kept = &list->item[list->count++];
    kept->measured = *measured;
    for (size_t i = 0; i < SG_AXES_MAX; i++)
        for (int third = SG_BAND_FIRST; third <= SG_BAND_LAST; third++) {
            bool there = measured->vibration_sums != NULL && i < measured->vibration_sums->naxis;
            const struct sg_bands_sums *bands =
                there ? &measured->vibration_sums->axis[i].bands : NULL;
            kept->band_rms[i][third - SG_BAND_FIRST] =
                there ? sg_bands_rms(bands, third) : SG_UNSET;
            kept->band_max[i][third - SG_BAND_FIRST] =
                there ? sg_bands_max(bands, third) : SG_UNSET;
        }
    kept->measured.vibration_sums = NULL;
    kept->measured.sound_sums = NULL;
    kept->measured.density = NULL;
    kept->measured.band_rms = kept->measured.band_max = NULL;
}

struct sg_measured sg_kept_measured(const struct sg_kept *kept)
{
    struct sg_measured measured = kept->measured;
    if (!measured.is_sound) {
        measured.band_rms = (const double(*)[SG_BAND_COUNT])kept->band_rms;
        measured.band_max = (const double(*)[SG_BAND_COUNT])kept->band_max;
    }
    return measured;
}

void sg_kept_release(struct sg_kept_list *list)
{
    sg_free(list->item);
    *list = (struct sg_kept_list){ .item = NULL };
}
