/* crew.c - where the crew works and how long. */
#include "site_internal.h"

/* A working day has one rule and at most 24 h. */
static void check_day(struct sg_reader *reader, const struct sg_tree *map,
                      const struct sg_crew_part *part, size_t last)
{
    double hours = 0;
    for (size_t i = 0; i <= last; i++) {
        if (!sg_same(part[i].name, part[last].name))
            continue;
        hours += part[i].hours;
        if (!sg_same(part[i].rule, part[last].rule)) {
            sg_reader_error(reader, SG_ERR_INPUT, map->at,
                            "crew.rule: %s has '%s' and '%s'; allowed: one rule for one name",
                            sg_quoted(reader, part[last].name), part[i].rule, part[last].rule);
            return;
        }
    }
    if (hours > 24.0 + 1e-9)
        sg_reader_error(reader, SG_ERR_INPUT, sg_tree_spot(map, "hours_h"),
                        "crew.hours_h: %s comes to %.6g h; allowed: at most 24 h a day",
                        sg_quoted(reader, part[last].name), hours);
}

void sg_build_crew(struct sg_reader *reader, const struct sg_raw_site *raw)
{
    size_t count = raw->crew ? raw->crew->count : 0, kept = 0;
    struct sg_crew_part *part = count > 0 ? sg_reader_alloc(reader, count, sizeof(*part)) : NULL;
    for (size_t i = 0; part && i < count; i++) {
        if (!sg_bind(reader, "crew", raw->crew->child[i], &part[kept]))
            continue;
        check_day(reader, raw->crew->child[i], part, kept);
        kept++;
    }
    reader->site->crew = part;
    reader->site->ncrew = part ? kept : 0;
}
