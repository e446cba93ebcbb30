/* spectrum.h - windows, transforms, densities, spectrograms, dominant frequencies, response
 * spectra. Pure. */
#ifndef STILLGROUND_SPECTRUM_H
#define STILLGROUND_SPECTRUM_H

#include "stillground/base.h"

enum sg_taper { SG_TAPER_RECTANGULAR, SG_TAPER_HANN, SG_TAPER_FLAT_TOP, SG_TAPER_END };
const char *sg_taper_id(enum sg_taper window);
/* Fills a periodic window. coherent = mean of it, enbw = equivalent noise bandwidth in bins. */
void sg_taper_fill(enum sg_taper window, double *out, size_t count, double *coherent,
                   double *enbw_bins);

struct sg_spectrum {
    double *value; /* count = length / 2 + 1 bins, one-sided */
    size_t count;
    double step_hz;
    size_t averages;
    double enbw_hz;
    double overlap;
    enum sg_taper window;
};
void sg_spectrum_release(struct sg_spectrum *spectrum);
/* Transforms of one length; made once, used for many blocks. Plans are made under a lock. */
struct sg_transform;
sg_status sg_transform_new(size_t length, struct sg_transform **out);
void sg_transform_free(struct sg_transform *transform);
/* |X_k|^2 of a real block of the transform's length, length / 2 + 1 values. */
void sg_transform_power(struct sg_transform *transform, const double *in, double *power);
/* Welch power spectral density in unit^2/Hz: segments of `length` with 50 % overlap, mean removed
 * from each segment. SG_ERR_DOMAIN when there are fewer samples than one segment. */
sg_status sg_spectrum_density(const double *in, size_t count, double rate_hz, size_t length,
                              enum sg_taper window, struct sg_spectrum *out);
/* The same block by block, for records of any length. */
struct sg_density;
sg_status sg_density_new(double rate_hz, size_t length, enum sg_taper window,
                         struct sg_density **out);
void sg_density_free(struct sg_density *density);
void sg_density_run(struct sg_density *density, const double *in, size_t count);
void sg_density_restart(struct sg_density *density); /* after a gap: the open segment is dropped */
/* Fills out, which holds density's count of values or is empty, with the mean since the last take.
 * SG_ERR_MISSING when no whole segment has come. */
sg_status sg_density_take(struct sg_density *density, struct sg_spectrum *out);
/* Amplitude spectrum (peak values) of one block. */
sg_status sg_spectrum_amplitude(const double *in, size_t count, double rate_hz,
                                enum sg_taper window, struct sg_spectrum *out);

/* Spectrogram by columns: call `column` for each step with its middle time and one-sided
 * densities. */
typedef void sg_column_sink(double time_s, const double *density, size_t count, double step_hz,
                            void *payload);
sg_status sg_spectrogram(const double *in, size_t count, double rate_hz, size_t length,
                         sg_column_sink *column, void *payload);

/* Dominant frequency of the peak at index `peak` of a piece of record. Unset when not found. */
double sg_frequency_crossing(const double *in, size_t count, size_t peak, double rate_hz);
/* By transform of the piece with zeros added to at least 2^14 points: the largest amplitude, with a
 * parabola between bins when `refine`. */
sg_status sg_frequency_spectrum(const double *in, size_t count, double rate_hz, bool refine,
                                double *out_hz);

#endif
