/* ordinary.c - least squares through points, slope free or fixed.
 *
 * Sums run about the mean, so that no digits are lost to the offset. Common textbook matter; the
 * tests hold it against the certified answers of the NIST Norris set. */
#include "fit_internal.h"

#include <math.h>
#include <stdlib.h>

double sg_mean(const double *value, size_t n)
{
    double sum = 0, rest = 0;
    for (size_t i = 0; i < n; i++)
        sum += value[i];
    double mean = sum / (double)n;
    for (size_t i = 0; i < n; i++)
        rest += value[i] - mean;
    return mean + rest / (double)n;
}

static int by_size(const void *left, const void *right)
{
    double a = *(const double *)left, b = *(const double *)right;
    return (a > b) - (a < b);
}

double sg_median(double *scratch, size_t n)
{
    qsort(scratch, n, sizeof(*scratch), by_size);
    return n % 2 ? scratch[n / 2] : 0.5 * (scratch[n / 2 - 1] + scratch[n / 2]);
}

void sg_line_ordinary(const struct sg_axis_data *data, struct sg_line *out)
{
    size_t n = data->n;
    bool fixed = sg_is_set(data->fixed_slope);
    double x_mean = sg_mean(data->x, n), y_mean = sg_mean(data->y, n);
    double s_xx = 0, s_xy = 0, s_yy = 0, rss = 0;
    for (size_t i = 0; i < n; i++) {
        double dx = data->x[i] - x_mean, dy = data->y[i] - y_mean;
        s_xx += dx * dx;
        s_xy += dx * dy;
        s_yy += dy * dy;
    }
    double slope = fixed ? data->fixed_slope : s_xy / s_xx;
    for (size_t i = 0; i < n; i++) {
        double e = data->y[i] - y_mean - slope * (data->x[i] - x_mean);
        rss += e * e;
    }
    double dof = (double)n - (fixed ? 1.0 : 2.0);
    *out = (struct sg_line){ .intercept = y_mean - slope * x_mean,
                             .slope = slope,
                             .scatter = sqrt(rss / dof),
                             .dof = dof,
                             .centre = x_mean,
                             .mean_variance = 1.0 / (double)n,
                             .slope_variance = fixed ? 0.0 : 1.0 / s_xx,
                             .shared = SG_UNSET,
                             .pile = SG_UNSET,
                             .r_squared = s_yy > 0 ? 1.0 - rss / s_yy : SG_UNSET };
}
