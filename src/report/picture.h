/* picture.h - what the plots of one sensor of a recording share. Inside src/report only. */
#ifndef REPORT_PICTURE_H
#define REPORT_PICTURE_H

#include "internal.h"
#include "stillground/monitoring.h"

const char *sg_picture_unit(const struct sg_pictured *of);
/* "axis z", "channel 2", "sound pressure"; NULL without memory. */
const char *sg_picture_axis(const struct sg_trace *trace, size_t index, struct sg_arena *arena);
struct sg_plot sg_picture_start(const struct sg_pictured *of, const char *id, const char *title,
                                double height_px);
sg_status sg_picture_end(struct sg_plot *plot, struct sg_text *svg, struct sg_errors *errors);

#endif
