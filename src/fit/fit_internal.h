/* fit_internal.h - what the files of the fit room share. */
#ifndef STILLGROUND_FIT_INTERNAL_H
#define STILLGROUND_FIT_INTERNAL_H

#include "stillground/fit.h"

/* Abscissae and ordinates ready to be fitted, and which group each belongs to. */
struct sg_axis_data {
    const double *x, *y;
    const size_t *group;
    size_t n, ngroup;
    double fixed_slope; /* unset = fitted */
};

/* A straight line through them: what every way of fitting gives back. */
struct sg_line {
    double intercept, slope, scatter, dof;
    double centre, mean_variance, slope_variance;
    double shared, pile; /* parts of the scatter; unset = all of it is the piles' */
    double r_squared;
    double *weight; /* n, or NULL = all 1 */
};

double sg_mean(const double *value, size_t n);
/* Sorts the copy it is handed. */
double sg_median(double *scratch, size_t n);

/* Ordinary least squares, with a free or a fixed slope. */
void sg_line_ordinary(const struct sg_axis_data *data, struct sg_line *out);
/* Huber's estimate from a Theil-Sen start; weight must have n places. */
sg_status sg_line_robust(const struct sg_axis_data *data, struct sg_line *out);
/* A shared part for each group by restricted maximum likelihood. */
sg_status sg_line_mixed(const struct sg_axis_data *data, struct sg_line *out);
/* A published line brought up to date. */
void sg_line_update(const struct sg_axis_data *data, const struct sg_prior *prior,
                    struct sg_line *out);

/* Nodes and weights (sum 1) for the mean of a function of a standard normal variable. */
struct sg_nodes {
    double *at, *weight;
    size_t count;
};
sg_status sg_nodes_normal(size_t count, struct sg_nodes *out);
/* The same for sqrt(dof / chi-square), what an estimated deviation is to be multiplied with to be
 * the true one. */
sg_status sg_nodes_scale(double dof, struct sg_nodes *out);
void sg_nodes_release(struct sg_nodes *nodes);

#endif
