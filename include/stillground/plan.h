/* plan.h - the site, its methods and its receptors put together: values, verdicts, stand-off
 * distances, days of work and ground suitability, for every method side by side. Pure.
 */
#ifndef STILLGROUND_PLAN_H
#define STILLGROUND_PLAN_H

#include "stillground/limits.h"
#include "stillground/outdoor.h"
#include "stillground/site.h"
#include "stillground/sound.h"
#include "stillground/vibration.h"

/* A moment of the works: a pile, how far down it is, in which ground, in which phase. Of all
 * moments
 * with the same frequency band the one with the largest value is kept: a limit that depends on
 * frequency may be passed by a smaller value at a lower frequency. */
struct sg_moment {
    struct sg_drive drive;
    struct sg_value ppv; /* free field */
    size_t pile;
    double distance_m;
};
#define SG_MOMENTS_MAX ((size_t)SG_GROUND_GROUP_END * (size_t)SG_PHASE_END)

/* What one method brings to one receptor. */
struct sg_outcome {
    size_t method, receptor;
    double distance_m;     /* plan, from the pile that governs the vibration */
    size_t pile;           /* that pile; SIZE_MAX when refused */
    double toe_depth_m;    /* depth at which the governing value arises; unset = no matter */
    struct sg_drive drive; /* that governs, for explain and stand-off */
    struct sg_value ppv;   /* default model, free field, at the moment of the largest value */
    const struct sg_moment *moment; /* one a frequency band; the first is that of ppv */
    size_t nmoment;
    struct sg_value ppv_second; /* second opinion; quantity PPV, unset when there is none */
    struct sg_value laeq;       /* over the working period, at the receptor's position */
    struct sg_value lafmax;     /* unset where nothing supports it */
    double rig_distance_m;      /* nearest working position, for sound */
    const struct sg_verdict *verdict;
    size_t nverdict;
    size_t governing; /* index of the governing verdict; SIZE_MAX = no limit applies */
    size_t governing_vibration, governing_noise; /* the same for each kind by itself */
};

/* Least distance for one limit and one method. */
struct sg_standoff {
    size_t method;
    const struct sg_limit_set *set;
    const struct sg_limit_row *row;
    double limit;              /* in the row's unit, at the worst frequency of the band */
    double frequency_hz;       /* unset = no matter */
    double central_m, upper_m; /* unset with a reason in why */
    bool below_1m;             /* the limit is kept already at the nearest distance allowed */
    unsigned marks;
    const char *why; /* NULL when both distances are given */
};

enum sg_suitable { SG_SUITABLE, SG_MARGINAL, SG_UNSUITABLE, SG_SUITABILITY_UNKNOWN };
const char *sg_suitable_id(enum sg_suitable suitable);

struct sg_suitability {
    enum sg_suitable verdict;
    const struct sg_layer *layer; /* that decides; NULL = none */
    const struct sg_suitability_row *row;
    bool aid_not_needed; /* the aid (jet, auger) is not needed anywhere */
};
/* Suitability of a technique for one pile in the ground of one borehole. */
struct sg_suitability sg_suitability_of(enum sg_technique technique,
                                        const struct sg_borehole *borehole, double toe_depth_m);

/* Cobbles, boulders, remains in fill. */
bool sg_layer_obstructed(const struct sg_layer *layer);
/* Hardest ground that a pile meets; hard when no ground is given. */
enum sg_ground_group sg_hardest_ground(const struct sg_borehole *borehole, double toe_depth_m);
/* Loose granular ground or fill below the water table, which shaking may compact. */
bool sg_ground_may_settle(const struct sg_borehole *borehole, double toe_depth_m);
bool sg_technique_shakes(enum sg_technique technique);
/* One method at one receptor from one pile alone. */
sg_status sg_outcome_at_pile(const struct sg_site *site, size_t method, size_t receptor,
                             size_t pile, struct sg_arena *arena, struct sg_outcome *out,
                             struct sg_errors *errors);

/* What governs among the verdicts of one kind, and how many receptors have which worst verdict. */
struct sg_governing {
    size_t receptor; /* SIZE_MAX = none judged */
    const struct sg_verdict *verdict;
    size_t receptors[SG_VERDICT_END];
};

/* One method in one line. */
struct sg_method_summary {
    size_t method;
    size_t governing_receptor; /* SIZE_MAX = none judged */
    const struct sg_verdict *governing;
    size_t receptors[SG_VERDICT_END];     /* how many receptors have this worst verdict */
    struct sg_governing vibration, noise; /* the same for each kind by itself */
    double days;     /* working days for the whole wall; unset when minutes are not given */
    size_t piles[4]; /* by enum sg_suitable */
    const struct sg_layer *worst_layer;
    bool settlement_caution; /* loose saturated granular ground beside shaking methods */
};

struct sg_study {
    struct sg_arena arena;      /* owns everything below */
    const struct sg_site *site; /* borrowed */
    struct sg_outcome *outcome; /* [method * nreceptor + receptor] */
    size_t nmethod, nreceptor;
    struct sg_standoff *standoff;
    size_t nstandoff;
    struct sg_method_summary *summary; /* one a method */
    enum sg_status warning;            /* SG_WARN_RANGE when any value is out of range */
    const struct sg_study *before; /* the same with the published relations only, where a method has
                                    * a site law; borrowed, NULL = none */
};
#define SG_STUDY_INIT ((struct sg_study){ .arena = SG_ARENA_INIT })

/* What only the geometry of a site for octave bands can tell: its scene, and receptors and piles
 * that stand in a building or under the ground. All errors are named. SG_OK for other sites. */
sg_status sg_site_check_scene(const struct sg_site *site, struct sg_errors *errors);

/* progress (may be NULL) is called with done and total pairs, from one thread only. */
typedef void sg_progress(size_t done, size_t total, void *payload);

/* Works out everything.. Release with sg_study_release. */
sg_status sg_study_make(const struct sg_site *site, struct sg_study *out, sg_progress *progress,
                        void *payload, struct sg_errors *errors);
void sg_study_release(struct sg_study *study);
static inline const struct sg_outcome *sg_study_outcome(const struct sg_study *study, size_t method,
                                                        size_t receptor)
{
    return &study->outcome[method * study->nreceptor + receptor];
}
/* The same for one pair, with the hand calculation. */
sg_status sg_outcome_explain(const struct sg_site *site, size_t method, size_t receptor,
                             struct sg_outcome *out, struct sg_arena *arena,
                             struct sg_working *working, struct sg_errors *errors);

/* Contributions to one receptor by octave bands; item 0 is the rig, then the plant of the method.
 * SG_ERR_DOMAIN when the site does not use octave bands. */
struct sg_octave_parts {
    size_t count;
    double item_db[64];                 /* LAeq of each over the period; unset = does not run */
    double rig_mean_db, rig_loudest_db; /* of the rig while it runs */
    double band_db[SG_BANDS];           /* spectrum of the rig at its loudest; unset = not known */
};
sg_status sg_octave_parts_of(const struct sg_site *site, size_t method, size_t receptor,
                             struct sg_octave_parts *out);

/* Worst state over the whole study; drives the exit status. */
enum sg_verdict_state sg_study_worst(const struct sg_study *study);

#endif
