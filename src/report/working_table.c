/* working_table.c - a hand calculation as a table. */
#include "internal.h"

sg_status sg_table_working(const struct sg_working *working, const char *title,
                           struct sg_table *out)
{
    static const struct sg_column columns[] = {
        { "step", "step", 0, false },
        { "working", "working", 0, false },
        { "source", "source", 0, false },
    };
    sg_table_init(out, "working", title, columns, SG_COUNT(columns));
    for (size_t i = 0; i < working->count; i++) {
        sg_table_text(out, working->step[i].what);
        sg_table_text(out, working->step[i].working);
        sg_table_text(out, working->step[i].source);
    }
    out->failed = out->failed || working->failed;
    return sg_report_table_status(out);
}
