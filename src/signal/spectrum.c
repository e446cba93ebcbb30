/* spectrum.c - windows, power spectra, spectrograms, the dominant frequency of a peak. The only
 * file that knows the transform library.
 *
 * Source of the flat-top window: ISO 18431-2:2004/Cor.1:2008 (see the catalogue). Plans are made
 * with estimates only, so that results do not depend on timing; making a plan is not safe in two
 * threads, hence the lock.
 */
#include "stillground/signal.h"

#include <fftw3.h>
#include <math.h>
#include <pthread.h>
#include <string.h>

#define LENGTH_MAX ((size_t)1 << 24)
#define ZERO_PADDED ((size_t)1 << 14)

static pthread_mutex_t plan_lock = PTHREAD_MUTEX_INITIALIZER;

struct sg_transform {
    size_t length;
    double *in;
    fftw_complex *out;
    fftw_plan plan;
};

const char *sg_taper_id(enum sg_taper window)
{
    static const char *const id[SG_TAPER_END] = { "rectangular", "hann", "flat-top" };
    return window < SG_TAPER_END ? id[window] : "?";
}

void sg_taper_fill(enum sg_taper window, double *out, size_t count, double *coherent,
                   double *enbw_bins)
{
    const double *flat = sg_flat_top()->a;
    double sum = 0.0, squares = 0.0;
    for (size_t i = 0; i < count; i++) {
        double x = 2.0 * SG_PI * (double)i / (double)count, w = 1.0;
        if (window == SG_TAPER_HANN)
            w = 0.5 - 0.5 * cos(x);
        if (window == SG_TAPER_FLAT_TOP)
            w = flat[0] + flat[1] * cos(x) + flat[2] * cos(2.0 * x) + flat[3] * cos(3.0 * x) +
                flat[4] * cos(4.0 * x);
        out[i] = w;
        sum += w;
        squares += w * w;
    }
    *coherent = sum / (double)count;
    *enbw_bins = (double)count * squares / (sum * sum);
}

void sg_spectrum_release(struct sg_spectrum *spectrum)
{
    sg_free(spectrum->value);
    spectrum->value = NULL;
    spectrum->count = 0;
}

sg_status sg_transform_new(size_t length, struct sg_transform **out)
{
    if (length < 2 || length > LENGTH_MAX)
        return SG_ERR_DOMAIN;
    struct sg_transform *made = sg_alloc(1, sizeof *made);
    if (made == NULL)
        return SG_ERR_NOMEM;
    made->length = length;
    made->in = fftw_alloc_real(length);
    made->out = fftw_alloc_complex(length / 2 + 1);
    if (made->in != NULL && made->out != NULL) {
        pthread_mutex_lock(&plan_lock);
        made->plan = fftw_plan_dft_r2c_1d((int)length, made->in, made->out, FFTW_ESTIMATE);
        pthread_mutex_unlock(&plan_lock);
    }
    if (made->plan == NULL) {
        sg_transform_free(made);
        return SG_ERR_NOMEM;
    }
    *out = made;
    return SG_OK;
}

void sg_transform_free(struct sg_transform *transform)
{
    if (transform == NULL)
        return;
    if (transform->plan != NULL) {
        pthread_mutex_lock(&plan_lock);
        fftw_destroy_plan(transform->plan);
        pthread_mutex_unlock(&plan_lock);
    }
    fftw_free(transform->in);
    fftw_free(transform->out);
    sg_free(transform);
}

void sg_transform_power(struct sg_transform *transform, const double *in, double *power)
{
    memcpy(transform->in, in, transform->length * sizeof *in);
    fftw_execute(transform->plan);
    for (size_t k = 0; k <= transform->length / 2; k++)
        power[k] = transform->out[k][0] * transform->out[k][0] +
                   transform->out[k][1] * transform->out[k][1];
}

/* ---- averaged spectra ------------------------------------------------------------------------ */

struct welch {
    struct sg_transform *transform;
    double *window, *block, *power;
    double coherent, enbw_bins;
    size_t length;
};

static void welch_release(struct welch *welch)
{
    sg_transform_free(welch->transform);
    sg_free(welch->window);
    sg_free(welch->block);
    sg_free(welch->power);
}

static sg_status welch_init(struct welch *welch, size_t length, enum sg_taper window)
{
    *welch = (struct welch){ .length = length };
    sg_status status = sg_transform_new(length, &welch->transform);
    if (!sg_ok(status))
        return status;
    welch->window = sg_alloc(length, sizeof(double));
    welch->block = sg_alloc(length, sizeof(double));
    welch->power = sg_alloc(length / 2 + 1, sizeof(double));
    if (welch->window == NULL || welch->block == NULL || welch->power == NULL) {
        welch_release(welch);
        return SG_ERR_NOMEM;
    }
    sg_taper_fill(window, welch->window, length, &welch->coherent, &welch->enbw_bins);
    return SG_OK;
}

/* |X|^2 of one windowed block with its mean taken off when wanted. */
static void welch_block(struct welch *welch, const double *in, bool remove_mean)
{
    double mean = 0.0;
    for (size_t i = 0; remove_mean && i < welch->length; i++)
        mean += in[i] / (double)welch->length;
    for (size_t i = 0; i < welch->length; i++)
        welch->block[i] = (in[i] - mean) * welch->window[i];
    sg_transform_power(welch->transform, welch->block, welch->power);
}

/* One-sided: all bins but 0 and half the rate count double. */
static double sided(size_t k, size_t length)
{
    return k == 0 || 2 * k == length ? 1.0 : 2.0;
}

static double density_scale(const struct welch *welch, double rate_hz)
{
    double sum = welch->coherent * (double)welch->length;
    return 1.0 / (rate_hz * welch->enbw_bins * sum * sum / (double)welch->length);
}

sg_status sg_spectrum_density(const double *in, size_t count, double rate_hz, size_t length,
                              enum sg_taper window, struct sg_spectrum *out)
{
    struct welch welch;
    if (count < length || length < 2 || !(rate_hz > 0.0))
        return SG_ERR_DOMAIN;
    sg_status status = welch_init(&welch, length, window);
    if (!sg_ok(status))
        return status;
    struct sg_spectrum made = { .count = length / 2 + 1,
                                .step_hz = rate_hz / (double)length,
                                .window = window,
                                .overlap = 0.5 };
    made.value = sg_alloc(made.count, sizeof *made.value);
    if (made.value == NULL) {
        status = SG_ERR_NOMEM;
        goto done;
    }
    for (size_t at = 0; at + length <= count; at += length - length / 2, made.averages++) {
        welch_block(&welch, in + at, true);
        for (size_t k = 0; k < made.count; k++)
            made.value[k] += welch.power[k];
    }
    for (size_t k = 0; k < made.count; k++)
        made.value[k] *= sided(k, length) * density_scale(&welch, rate_hz) / (double)made.averages;
    made.enbw_hz = welch.enbw_bins * made.step_hz;
    *out = made;
done:
    welch_release(&welch);
    return status;
}

struct sg_density {
    struct welch welch;
    double rate_hz;
    enum sg_taper window;
    double *segment, *sum;
    size_t filled, averages;
};

sg_status sg_density_new(double rate_hz, size_t length, enum sg_taper window,
                         struct sg_density **out)
{
    if (length < 2 || !(rate_hz > 0.0))
        return SG_ERR_DOMAIN;
    struct sg_density *made = sg_alloc(1, sizeof *made);
    if (made == NULL)
        return SG_ERR_NOMEM;
    sg_status status = welch_init(&made->welch, length, window);
    if (sg_ok(status)) {
        made->rate_hz = rate_hz;
        made->window = window;
        made->segment = sg_alloc(length, sizeof *made->segment);
        made->sum = sg_alloc(length / 2 + 1, sizeof *made->sum);
        status = made->segment != NULL && made->sum != NULL ? SG_OK : SG_ERR_NOMEM;
        if (sg_ok(status)) {
            *out = made;
            return SG_OK;
        }
        welch_release(&made->welch);
    }
    sg_free(made->segment);
    sg_free(made->sum);
    sg_free(made);
    return status;
}

void sg_density_free(struct sg_density *density)
{
    if (density == NULL)
        return;
    welch_release(&density->welch);
    sg_free(density->segment);
    sg_free(density->sum);
    sg_free(density);
}

void sg_density_run(struct sg_density *density, const double *in, size_t count)
{
    size_t length = density->welch.length, half = length / 2;
    while (count > 0) {
        size_t now = length - density->filled < count ? length - density->filled : count;
        memcpy(density->segment + density->filled, in, now * sizeof *in);
        density->filled += now;
        in += now;
        count -= now;
        if (density->filled < length)
            break;
        welch_block(&density->welch, density->segment, true);
        for (size_t k = 0; k <= half; k++)
            density->sum[k] += density->welch.power[k];
        density->averages++;
        memmove(density->segment, density->segment + length - half, half * sizeof *in);
        density->filled = half;
    }
}

void sg_density_restart(struct sg_density *density)
{
    density->filled = 0;
}

sg_status sg_density_take(struct sg_density *density, struct sg_spectrum *out)
{
    size_t length = density->welch.length, count = length / 2 + 1;
    if (density->averages == 0)
        return SG_ERR_MISSING;
    double *value = out->count == count ? out->value : sg_alloc(count, sizeof *value);
    if (value == NULL)
        return SG_ERR_NOMEM;
    double scale = density_scale(&density->welch, density->rate_hz) / (double)density->averages;
    for (size_t k = 0; k < count; k++) {
        value[k] = density->sum[k] * sided(k, length) * scale;
        density->sum[k] = 0.0;
    }
    if (out->value != value)
        sg_free(out->value);
    double step_hz = density->rate_hz / (double)length;
    *out = (struct sg_spectrum){ .value = value,
                                 .count = count,
                                 .step_hz = step_hz,
                                 .averages = density->averages,
                                 .overlap = 0.5,
                                 .enbw_hz = density->welch.enbw_bins * step_hz,
                                 .window = density->window };
    density->averages = 0;
    return SG_OK;
}

sg_status sg_spectrum_amplitude(const double *in, size_t count, double rate_hz,
                                enum sg_taper window, struct sg_spectrum *out)
{
    struct welch welch;
    sg_status status = welch_init(&welch, count, window);
    if (!sg_ok(status))
        return status;
    struct sg_spectrum made = {
        .count = count / 2 + 1, .step_hz = rate_hz / (double)count, .window = window, .averages = 1
    };
    made.value = sg_alloc(made.count, sizeof *made.value);
    if (made.value == NULL) {
        status = SG_ERR_NOMEM;
        goto done;
    }
    welch_block(&welch, in, false);
    for (size_t k = 0; k < made.count; k++)
        made.value[k] = sided(k, count) * sqrt(welch.power[k]) / (welch.coherent * (double)count);
    made.enbw_hz = welch.enbw_bins * made.step_hz;
    *out = made;
done:
    welch_release(&welch);
    return status;
}

sg_status sg_spectrogram(const double *in, size_t count, double rate_hz, size_t length,
                         sg_column_sink *column, void *payload)
{
    struct welch welch;
    if (count < length || length < 4 || !(rate_hz > 0.0))
        return SG_ERR_DOMAIN;
    sg_status status = welch_init(&welch, length, SG_TAPER_HANN);
    if (!sg_ok(status))
        return status;
    for (size_t at = 0; at + length <= count; at += length / 4) {
        welch_block(&welch, in + at, true);
        for (size_t k = 0; k <= length / 2; k++)
            welch.power[k] *= sided(k, length) * density_scale(&welch, rate_hz);
        column(((double)at + 0.5 * (double)length) / rate_hz, welch.power, length / 2 + 1,
               rate_hz / (double)length, payload);
    }
    welch_release(&welch);
    return SG_OK;
}

/* ---- frequency of a peak --------------------------------------------------------------------- */

/* Where the line between samples `at` and `at + 1` crosses zero, in samples. */
static double crossing(const double *in, size_t at)
{
    return (double)at + in[at] / (in[at] - in[at + 1]);
}

double sg_frequency_crossing(const double *in, size_t count, size_t peak, double rate_hz)
{
    if (peak >= count)
        return SG_UNSET;
    bool up = in[peak] > 0.0;
    size_t left = peak, right = peak;
    while (left > 0 && (in[left] > 0.0) == up)
        left--;
    while (right + 1 < count && (in[right] > 0.0) == up)
        right++;
    if ((in[left] > 0.0) == up || (in[right] > 0.0) == up)
        return SG_UNSET;
    double half = crossing(in, right - 1) - crossing(in, left);
    return half > 0.0 ? rate_hz / (2.0 * half) : SG_UNSET;
}

sg_status sg_frequency_spectrum(const double *in, size_t count, double rate_hz, bool refine,
                                double *out_hz)
{
    size_t length = ZERO_PADDED;
    while (length < count)
        length *= 2;
    struct sg_transform *transform = NULL;
    double *block = sg_alloc(length, sizeof *block),
           *power = sg_alloc(length / 2 + 1, sizeof *power);
    sg_status status =
        block == NULL || power == NULL ? SG_ERR_NOMEM : sg_transform_new(length, &transform);
    if (!sg_ok(status))
        goto done;
    memcpy(block, in, count * sizeof *in);
    sg_transform_power(transform, block, power);
    size_t best = 1;
    for (size_t k = 1; k < length / 2; k++)
        best = power[k] > power[best] ? k : best;
    if (!(power[best] > 0.0)) {
        status = SG_ERR_NO_SOLUTION;
        goto done;
    }
    double shift = 0.0;
    if (refine) {
        double a = sqrt(power[best - 1]), b = sqrt(power[best]), c = sqrt(power[best + 1]);
        double bend = a - 2.0 * b + c;
        shift = fabs(bend) > 0.0 ? 0.5 * (a - c) / bend : 0.0;
    }
    *out_hz = ((double)best + fmax(-0.5, fmin(0.5, shift))) * rate_hz / (double)length;
done:
    sg_transform_free(transform);
    sg_free(block);
    sg_free(power);
    return status;
}
