/* noise_parts.c - what each item of plant contributes at one receptor, in total and by octave. */
#include "plan_internal.h"

#include <math.h>

/* The same calculation with one item alone; the rig is item 0. */
static struct sg_method only(const struct sg_method *m, size_t item)
{
    struct sg_method one = *m;
    if (item > 0) {
        one.rig_sound = m->plant[item - 1];
        one.on_time_percent = m->plant[item - 1].on_time_percent;
    }
    one.nplant = 0;
    return one;
}

static void unset_bands(struct sg_noise_part *part)
{
    for (size_t b = 0; b < SG_BANDS; b++)
        part->band_db[b] = SG_UNSET;
}

static void tell(const struct sg_study *study, size_t method, size_t receptor, size_t item,
                 struct sg_noise_part *out)
{
    const struct sg_method *m = &study->site->method[method];
    struct sg_method one = only(m, item);
    struct sg_site view = *study->site;
    struct sg_octave_parts bands;
    struct sg_value value;
    enum sg_position position = view.receptor[receptor].position;
    struct sg_sound_span shift = sg_sound_span_of(&view.hours, SG_ANY_TIME, 0);
    view.method = &one;
    view.nmethod = 1;
    *out = (struct sg_noise_part){ .name = item == 0 ? "rig" : m->plant[item - 1].name };
    unset_bands(out);
    sg_sound_value(&view, 0, receptor, position, &shift, &value, NULL, NULL);
    out->shift_db = value.central;
    double share = sg_share_of(&shift, one.on_time_percent);
    out->running_db = share > 0 ? value.central - 10.0 * log10(share) : SG_UNSET;
    if (!view.outdoor || !one.rig_sound.octave_db ||
        !sg_ok(sg_octave_parts_of(&view, 0, receptor, &bands)))
        return;
    for (size_t b = 0; b < SG_BANDS; b++)
        out->band_db[b] = bands.band_db[b];
}

sg_status sg_noise_parts_of(const struct sg_study *study, size_t method, size_t receptor,
                            struct sg_arena *arena, struct sg_noise_part **out, size_t *count)
{
    const struct sg_method *m = &study->site->method[method];
    size_t n = m->sound_law ? 1 : m->nplant + 1; /* a law of the site knows no items */
    struct sg_noise_part *list = sg_arena_alloc(arena, n, sizeof(*list));
    if (!list)
        return SG_ERR_NOMEM;
    for (size_t i = 0; i < n; i++)
        tell(study, method, receptor, i, &list[i]);
    if (m->sound_law)
        list[0].name = "rig and plant, by the site's law";
    *out = list;
    *count = n;
    return SG_OK;
}
