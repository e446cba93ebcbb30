/* value.h - the one type in which prediction and measurement meet, so that one checker serves both.
 * It carries where the number came from, how far it scatters and how well its constants are known.
 */
#ifndef STILLGROUND_VALUE_H
#define STILLGROUND_VALUE_H

#include "stillground/catalogue.h"

enum sg_origin { SG_PREDICTED, SG_MEASURED };

/* Marks that follow a value into every output. */
enum sg_mark {
    SG_MARK_RANGE = 1u << 0,      /* an input lies outside the range of the source's data */
    SG_MARK_UNVERIFIED = 1u << 1, /* a constant behind it was not checked on paper */
    SG_MARK_TENTATIVE = 1u << 2,  /* the model itself is labelled tentative */
    SG_MARK_PROPOSAL = 1u << 3,   /* an engineering proposal, not a published model */
    SG_MARK_NEAR_FIELD = 1u << 4, /* nearer than the relations can be trusted */
    SG_MARK_USER = 1u << 5,       /* rests on a figure the user gave */
    SG_MARK_ESTIMATE = 1u << 6    /* bridged from another quantity */
};

struct sg_value {
    enum sg_quantity quantity;
    double central;                  /* unset when no value could be given (see why) */
    double upper;                    /* at least central; what it means stands in upper_text */
    const char *upper_text;          /* "upper bound", "exceeded in 5 % of cases", ... */
    double upper_exceedance_percent; /* unset when the source does not state it */
    enum sg_position position;
    enum sg_axes axes; /* axis or sum the value stands for */
    enum sg_technique technique;
    enum sg_phase phase;
    enum sg_period period;
    double frequency_low_hz; /* plausible band; unset = not known */
    double frequency_high_hz;
    const char *frequency_from; /* where the band came from */
    enum sg_origin origin;
    const char *model;   /* id of the model or method */
    unsigned marks;      /* enum sg_mark bits */
    enum sg_grade grade; /* the worst grade of the constants behind it */
    double distance_m;   /* plan distance it holds for; unset = none */
    size_t receptor;     /* index in the site; SIZE_MAX = none */
    const char *why;     /* reason when central is unset; NULL otherwise */
    double beside_db;    /* of levels: noise of others in it, by energy; 0 or unset = none */
};
#define SG_VALUE_INIT                                                                              \
    ((struct sg_value){ .quantity = SG_Q_PPV,                                                      \
                        .central = SG_UNSET,                                                       \
                        .upper = SG_UNSET,                                                         \
                        .upper_text = "",                                                          \
                        .upper_exceedance_percent = SG_UNSET,                                      \
                        .position = SG_AT_FREE_FIELD,                                              \
                        .axes = SG_AXES_LARGEST,                                                   \
                        .period = SG_ANY_TIME,                                                     \
                        .frequency_low_hz = SG_UNSET,                                              \
                        .frequency_high_hz = SG_UNSET,                                             \
                        .frequency_from = "",                                                      \
                        .model = "",                                                               \
                        .grade = SG_GRADE_SEEN,                                                    \
                        .distance_m = SG_UNSET,                                                    \
                        .receptor = SIZE_MAX })

/* One line of a hand calculation: what, the formula with the numbers in it, the result, its
 * source. */
struct sg_step {
    const char *what;
    const char *working;
    const char *source; /* document key and locus, with the grade; "" = arithmetic */
};
struct sg_working {
    struct sg_step *step;
    size_t count, capacity;
    struct sg_arena *arena; /* borrowed; holds the texts and the list */
    bool failed;            /* memory ran out: lines are missing */
};
/* working may be NULL: then nothing is kept. Texts are copied. */
void sg_working_add(struct sg_working *working, const struct sg_cite *cite, const char *what,
                    const char *format, ...) SG_PRINTF(4, 5);
/* Takes the lines from `from` on back when the same lines stand earlier, one after the other; true
 * then: the caller says in a line of its own that they do. */
bool sg_working_fold(struct sg_working *working, size_t from);

#endif
