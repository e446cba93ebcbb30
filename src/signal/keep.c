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

static void release_spectra(struct sg_kept *kept)
{
    for (size_t i = 0; i < SG_AXES_MAX; i++) {
        sg_spectrum_release(&kept->spectrum[i]);
        kept->spectrum[i] = (struct sg_spectrum){ .value = NULL };
    }
}

/* Only the last report of a sensor keeps its spectra: memory does not grow with the intervals. */
static void keep_spectra(struct sg_kept_list *list, const struct sg_measured *measured)
{
    struct sg_kept *kept = &list->item[list->count - 1];
    for (size_t k = 0; k + 1 < list->count; k++)
        if (list->item[k].measured.group == measured->group)
            release_spectra(&list->item[k]);
    for (size_t i = 0; i < measured->nchannel && measured->density != NULL; i++) {
        const struct sg_spectrum *from = &measured->density[i];
        if (from->count == 0)
            continue;
        double *value = sg_alloc(from->count, sizeof *value);
        if (value == NULL) {
            list->failed = true;
            return;
        }
        memcpy(value, from->value, from->count * sizeof *value);
        kept->spectrum[i] = *from;
        kept->spectrum[i].value = value;
    }
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
    *kept = (struct sg_kept){ .measured = *measured };
    for (size_t i = 0; i < SG_AXES_MAX; i++)
        for (size_t k = 0; k < SG_RESPONSE_COUNT; k++)
            kept->psv_mm_s[i][k] = measured->psv_mm_s != NULL && i < measured->nchannel
                                       ? measured->psv_mm_s[i][k]
                                       : SG_UNSET;
    if (list->spectra)
        keep_spectra(list, measured);
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
    kept->measured.psv_mm_s = NULL;
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
    for (size_t k = 0; k < list->count; k++)
        release_spectra(&list->item[k]);
    sg_free(list->item);
    *list = (struct sg_kept_list){ .item = NULL };
}
