/* own_sources.c - sound sources of the site's own: the block `sources` of a site file. They stand
 * beside the published ones of the catalogue and are marked as the user's. */
#include "site_internal.h"

#include <string.h>

const struct sg_own_source *sg_own_source_find(const struct sg_reader *reader, const char *id)
{
    for (size_t i = 0; i < reader->nown_source; i++) {
        if (strcmp(reader->own_source[i].id, id) == 0)
            return &reader->own_source[i];
    }
    return NULL;
}

void sg_build_sources(struct sg_reader *reader, const struct sg_raw_site *raw)
{
    size_t count = raw->sources ? raw->sources->count : 0;
    struct sg_own_source *own = sg_reader_alloc(reader, count + 1, sizeof(*own));
    if (!own)
        return;
    reader->own_source = own;
    for (size_t i = 0; i < count; i++) {
        const struct sg_tree *map = raw->sources->child[i];
        struct sg_raw_plant one = { .count = 1,
                                    .start_height_m = SG_UNSET,
                                    .end_height_m = SG_UNSET,
                                    .blow_lae_10m_db = SG_UNSET,
                                    .blow_decay_ms = SG_UNSET };
        if (!sg_bind(reader, "sources", map, &one))
            continue;
        if (sg_source_find(one.id) || sg_own_source_find(reader, one.id))
            sg_reader_error(reader, SG_ERR_INPUT, sg_tree_spot(map, "id"),
                            "sources.id: %s is taken by %s; allowed: a word of its own",
                            sg_quoted(reader, one.id),
                            sg_source_find(one.id) ? "a published source"
                                                   : "another source of this file");
        struct sg_own_source *to = &own[reader->nown_source];
        sg_read_level(reader, &one, map, "sources", &to->plant);
        to->id = one.id;
        if (one.name[0] == '\0')
            to->plant.name = one.id;
        reader->nown_source++;
    }
}
