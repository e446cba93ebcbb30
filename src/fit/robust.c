/* robust.c - a line that single wild values do not pull away.
 *
 * Start: Theil and Sen, the median of the slopes of all pairs, then the median offset. From there
 * Huber's M-estimate with c = 1.345 at the scale of the start's residuals (median absolute
 * deviation / 0.6745), by reweighting until nothing moves. Variances: Huber and Ronchetti, Robust
 * Statistics, 2nd edition 2009, chapter 7 (from memory). The limits that come of it are
 * approximate, and wild values are part of what the site brings: the fit shows them and says so. */
#include "fit_internal.h"

#include <math.h>

#define HUBER_C 1.345 /* 95 % efficiency under the normal distribution */
#define MAD_TO_SD 1.482602218505602
#define PAIRS_MOST 20000000u /* slopes of all pairs that are kept at once */

static sg_status theil_sen_slope(const struct sg_axis_data *data, double *out)
{
    size_t n = data->n, most = n * (n - 1) / 2, count = 0;
    double *slope = most <= PAIRS_MOST ? sg_alloc(most, sizeof(*slope)) : NULL;
    if (!slope)
        return SG_ERR_NOMEM;
    for (size_t i = 0; i < n; i++) {
        for (size_t j = i + 1; j < n; j++) {
            double dx = data->x[j] - data->x[i];
            if (fabs(dx) > 0)
                slope[count++] = (data->y[j] - data->y[i]) / dx;
        }
    }
    *out = sg_median(slope, count);
    sg_free(slope);
    return SG_OK;
}

/* Offset and scale of the start. */
static void start(const struct sg_axis_data *data, double slope, double *scratch, double *offset,
                  double *scale)
{
    size_t n = data->n;
    for (size_t i = 0; i < n; i++)
        scratch[i] = data->y[i];
    double y_middle = sg_median(scratch, n);
    for (size_t i = 0; i < n; i++)
        scratch[i] = data->x[i];
    *offset = y_middle - slope * sg_median(scratch, n);
    for (size_t i = 0; i < n; i++)
        scratch[i] = fabs(data->y[i] - *offset - slope * data->x[i]);
    *scale = MAD_TO_SD * sg_median(scratch, n);
}

static void weigh(const struct sg_axis_data *data, const struct sg_line *line, double scale)
{
    for (size_t i = 0; i < data->n; i++) {
        double e = fabs(data->y[i] - line->intercept - line->slope * data->x[i]);
        line->weight[i] = e > HUBER_C * scale ? HUBER_C * scale / e : 1.0;
    }
}

/* One weighted fit; returns how far the line moved at the ends of the data. */
static double refit(const struct sg_axis_data *data, struct sg_line *line)
{
    double w = 0, wx = 0, wy = 0, sxx = 0, sxy = 0, moved = 0;
    for (size_t i = 0; i < data->n; i++) {
        w += line->weight[i];
        wx += line->weight[i] * data->x[i];
        wy += line->weight[i] * data->y[i];
    }
    double xm = wx / w, ym = wy / w;
    for (size_t i = 0; i < data->n; i++) {
        double dx = data->x[i] - xm;
        sxx += line->weight[i] * dx * dx;
        sxy += line->weight[i] * dx * (data->y[i] - ym);
    }
    double slope = sg_is_set(data->fixed_slope) ? data->fixed_slope : sxy / sxx;
    double intercept = ym - slope * xm;
    for (size_t i = 0; i < data->n; i++) {
        double by = fabs(intercept - line->intercept + (slope - line->slope) * data->x[i]);
        moved = by > moved ? by : moved;
    }
    line->slope = slope;
    line->intercept = intercept;
    return moved;
}

/* Scatter of one value, and how well the line is known beside it. */
static void spread(const struct sg_axis_data *data, double scale, double *scratch,
                   struct sg_line *line)
{
    size_t n = data->n;
    bool fixed = sg_is_set(data->fixed_slope);
    double p = fixed ? 1.0 : 2.0, psi2 = 0, inside = 0, s_xx = 0, x_mean = sg_mean(data->x, n);
    for (size_t i = 0; i < n; i++) {
        double e = data->y[i] - line->intercept - line->slope * data->x[i];
        double bounded = fmin(fabs(e), HUBER_C * scale);
        psi2 += bounded * bounded;
        inside += fabs(e) <= HUBER_C * scale;
        s_xx += (data->x[i] - x_mean) * (data->x[i] - x_mean);
        scratch[i] = fabs(e);
    }
    double share = inside / (double)n, dof = (double)n - p;
    double correction = 1.0 + p / (double)n * (1.0 - share) / share;
    double tau2 = correction * correction * psi2 / dof / (share * share);
    line->scatter = MAD_TO_SD * sg_median(scratch, n) * sqrt((double)n / dof);
    double ratio = line->scatter > 0 ? tau2 / (line->scatter * line->scatter) : 1.0;
    line->dof = dof;
    line->centre = x_mean;
    line->mean_variance = ratio / (double)n;
    line->slope_variance = fixed ? 0.0 : ratio / s_xx;
}

sg_status sg_line_robust(const struct sg_axis_data *data, struct sg_line *out)
{
    struct sg_line line = *out;
    double *scratch = sg_alloc(data->n, sizeof(*scratch));
    double slope = data->fixed_slope, scale = 0;
    sg_status status = scratch ? SG_OK : SG_ERR_NOMEM;
    if (status == SG_OK && !sg_is_set(slope))
        status = theil_sen_slope(data, &slope);
    if (status != SG_OK)
        goto done;
    line.slope = slope;
    start(data, slope, scratch, &line.intercept, &scale);
    for (int i = 0; i < 5000 && scale > 0; i++) {
        weigh(data, &line, scale);
        if (refit(data, &line) <= 1e-15)
            break;
    }
    for (size_t i = 0; i < data->n && !(scale > 0); i++)
        line.weight[i] = 1.0;
    spread(data, scale, scratch, &line);
    line.shared = line.pile = line.r_squared = SG_UNSET;
    *out = line;
done:
    sg_free(scratch);
    return status;
}
