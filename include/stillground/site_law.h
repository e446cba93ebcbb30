/* site_law.h - a law fitted to measurements of one site, as it is kept in a file: what it was
 * fitted to, its line, its scatter, its range and where it comes from. Data only; vibration.h
 * evaluates it, site.h reads it, fit.h makes and writes it.
 *
 *   Y = a + b X,  Y = lg v (or a level in dB),  X = lg r or lg(r / sqrt(W)),  r in m, W in J
 *
 * One value more at X scatters about Y with s sqrt(1 + q_0 + q_1 (X - X_c)^2), Student t with
 * `dof`.
 */
#ifndef STILLGROUND_SITE_LAW_H
#define STILLGROUND_SITE_LAW_H

#include "stillground/catalogue.h"

/* What the upper value of a law is. */
enum sg_upper_line {
    SG_LINE_PREDICTION, /* limit that the next single value keeps with the stated probability */
    SG_LINE_PARALLEL,   /* the line moved up by a normal quantile of the residual scatter */
    SG_LINE_END
};
const char *sg_upper_line_id(enum sg_upper_line line); /* "prediction", "parallel" */

struct sg_law_point {
    double distance_m, value, energy_J; /* energy unset unless the law is scaled */
};

struct sg_site_law {
    struct sg_arena arena;     /* owns everything below */
    const char *name;          /* stands as the relation in outputs */
    enum sg_quantity quantity; /* ppv, or a level */
    enum sg_technique technique;
    enum sg_phase phase; /* SG_PHASE_ALL = holds for every phase */
    enum sg_position position;
    bool scaled; /* X = lg(r / sqrt(W)) */
    enum sg_distance_kind distance;
    double intercept, slope; /* a, b */
    double scatter;          /* s: residual standard deviation, lg units or dB */
    double dof;              /* degrees of freedom of s; INFINITY = s is known */
    double centre;           /* X_c */
    double mean_variance;    /* q_0, as a share of s^2: 1 / n of an ordinary fit */
    double slope_variance;   /* q_1: 1 / S_xx of an ordinary fit, 0 = slope not fitted */
    double shared_scatter;   /* part of s that is common to all piles at a receptor */
    double pile_scatter;     /* part of s that changes from pile to pile */
    enum sg_upper_line upper;
    double percentile;                  /* of the upper value */
    double low_m, high_m;               /* distances of the data */
    double energy_low_J, energy_high_J; /* of the data; unset when not scaled */
    size_t npoint;                      /* values behind it */
    const char *method;                 /* how it was fitted, one line */
    const char *provenance;             /* data files, selection */
    const char *const *warning;
    size_t nwarning;
    const struct sg_law_point *point; /* as used; may be fewer than npoint, or none */
    size_t npoint_kept;
};
#define SG_SITE_LAW_INIT                                                                           \
    ((struct sg_site_law){ .arena = SG_ARENA_INIT,                                                 \
                           .name = "",                                                             \
                           .scatter = SG_UNSET,                                                    \
                           .energy_low_J = SG_UNSET,                                               \
                           .energy_high_J = SG_UNSET,                                              \
                           .percentile = 95.0,                                                     \
                           .method = "",                                                           \
                           .provenance = "" })
static inline void sg_site_law_release(struct sg_site_law *law)
{
    if (law)
        sg_arena_release(&law->arena);
}

#endif
