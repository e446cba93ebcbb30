/* fuzz_scene.c - a case of octave bands on any text: read, checked and worked out it must end with
 * levels that are numbers, or with at least one message. Layers are looked for in a folder that
 * does not exist. Scenes are kept small, so that a slow answer is a fault.
 */
#include "site/site_internal.h"
#include "stillground/outdoor.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#define MOST_THINGS 40u
#define MOST_PAIRS 4u

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void refuse(const char *why)
{
    fprintf(stderr, "%s\n", why);
    abort();
}

static void work(const struct sg_outdoor *outdoor, const struct sg_emitter *emitter,
                 const struct sg_listener *listener)
{
    static struct sg_outdoor_path path[SG_OUTDOOR_PATHS];
    struct sg_outdoor_level level;
    struct sg_spot3 from, to;
    size_t count = 0;
    if (!sg_ok(sg_outdoor_place(outdoor, "source", "S", &emitter->at, &from, NULL)) ||
        !sg_ok(sg_outdoor_place(outdoor, "receptor", "R", &listener->at, &to, NULL)) ||
        !sg_ok(sg_outdoor_paths(outdoor, &from, &to, listener->facade, path, SG_OUTDOOR_PATHS,
                                &count)))
        return;
    if (count == 0 || count > SG_OUTDOOR_PATHS)
        refuse("no way, or more ways than there is room for");
    sg_outdoor_level(emitter, path, count, &level);
    for (size_t i = 0; i < count; i++) {
        for (size_t b = 0; b < SG_BANDS; b++) {
            if (!isfinite(path[i].agr_db[b]) || !(path[i].abar_db[b] >= 0))
                refuse("a term of a way is no number, or a screen that makes it louder");
        }
    }
    if (!isfinite(level.a_db) && sg_is_set(level.a_db))
        refuse("a level that is infinite");
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    struct sg_site site = SG_SITE_INIT;
    struct sg_errors errors = SG_ERRORS_INIT;
    struct sg_arena arena = SG_ARENA_INIT;
    const struct sg_outdoor *outdoor = NULL;
    sg_status status =
        sg_scene_read_memory((const char *)data, size, "no-such-folder/c.yaml", &site, &errors);
    const struct sg_scene *s = site.scene;
    bool small =
        sg_ok(status) && s &&
        s->nobstacle + s->nterrain + s->nregion + s->ncover + s->nterrain_line < MOST_THINGS &&
        s->nemitter * s->nlistener <= MOST_PAIRS && s->reflections <= 1;
    if (small)
        status = sg_outdoor_make(s, &arena, &outdoor, &errors);
    if (!sg_ok(status) && errors.count == 0)
        refuse("failed and said nothing");
    for (size_t i = 0; small && sg_ok(status) && i < s->nemitter; i++) {
        for (size_t k = 0; k < s->nlistener; k++)
            work(outdoor, &s->emitter[i], &s->listener[k]);
    }
    sg_arena_release(&arena);
    sg_site_release(&site);
    sg_errors_release(&errors);
    return 0;
}
