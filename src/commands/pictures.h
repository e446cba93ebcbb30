/* pictures.h - what the plots of a recording need, gathered while it is measured. */
#ifndef COMMANDS_PICTURES_H
#define COMMANDS_PICTURES_H

#include "taken.h"

/* Highest frequency of a spectrogram. */
double sg_pictures_top_hz(enum sg_kind kind);

struct sg_pictures;
sg_status sg_pictures_new(const struct sg_recording_info *info,
                          const struct sg_calibration *calibration, struct sg_pictures **out);
void sg_pictures_free(struct sg_pictures *pictures);
void sg_pictures_add(struct sg_pictures *pictures, size_t channel, const double *sample,
                     size_t count, double time_s);
void sg_pictures_measured(struct sg_pictures *pictures, const struct sg_measured *measured);
/* Draws all plots of every sensor into options->plots; says on standard error which. */
sg_status sg_pictures_draw(struct sg_pictures *pictures, const char *path,
                           const struct sg_take_options *options, const struct sg_taken *taken,
                           struct sg_errors *errors);

#endif
