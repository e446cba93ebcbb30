/* quality.h - what may be wrong with a recording, each finding with its code. Pure. */
#ifndef STILLGROUND_QUALITY_H
#define STILLGROUND_QUALITY_H

#include "stillground/base.h"
#include "stillground/calibration.h"

enum sg_quality {
    SG_QUALITY_CLIPPED,          /* size: longest run, samples */
    SG_QUALITY_STUCK,            /* size: longest run, s */
    SG_QUALITY_OFFSET,           /* size: share of full scale */
    SG_QUALITY_SPIKE,            /* size: jump, file units */
    SG_QUALITY_GAP,              /* size: s */
    SG_QUALITY_OVERLAP,          /* size: s */
    SG_QUALITY_UNIT,             /* size: the peak or the sensitivity in doubt */
    SG_QUALITY_BAND,             /* size: highest frequency the rate allows, Hz */
    SG_QUALITY_VECTOR,           /* size: peak over vector sum */
    SG_QUALITY_CALIBRATION_OLD,  /* size: days since */
    SG_QUALITY_CALIBRATION_TONE, /* size: factor found by tone over the one given */
    SG_QUALITY_UNCALIBRATED,
    SG_QUALITY_RATE,     /* size: rate of the file over the one stated beside it */
    SG_QUALITY_DURATION, /* size: length of the file over the one stated beside it */
    SG_QUALITY_CLOCK,    /* size: s between the two start times */
    SG_QUALITY_POLARITY, /* size: share of the motion that two sensors see with opposite signs */
    SG_QUALITY_END
};
struct sg_quality_row {
    const char *code; /* "Q01" ... stable */
    const char *name, *meaning;
    bool hides_exceedance; /* then a verdict is "not determinable" unless already over */
};
const struct sg_quality_row *sg_quality_row(enum sg_quality quality);

struct sg_quality_found {
    uint64_t times[SG_QUALITY_END];
    double first_s[SG_QUALITY_END];
    double
        largest[SG_QUALITY_END]; /* its meaning depends on the code: run length, offset, seconds */
};
void sg_quality_clear(struct sg_quality_found *found);
void sg_quality_note(struct sg_quality_found *found, enum sg_quality quality, double time_s,
                     double size);
void sg_quality_merge(struct sg_quality_found *into, const struct sg_quality_found *more);
bool sg_quality_hides(const struct sg_quality_found *found);

/* Watches raw samples of one channel (before calibration). Where the full scale is not known, flat
 * tops at the extremes of the record stand for it. */
struct sg_watch {
    double full_scale, step; /* unset = not known */
    double rate_hz;
    double last, before;
    double run_value, run_start_s;
    uint64_t run, seen;
    double high, low; /* extremes so far, and the longest flat top at each */
    uint64_t high_run, low_run;
    double high_s, low_s;
    double sum, rough; /* sum of samples; slow mean of |second difference| */
    double bend[7];    /* the last second differences */
};
void sg_watch_init(struct sg_watch *watch, double full_scale, double step, double rate_hz);
void sg_watch_run(struct sg_watch *watch, const double *raw, size_t count, double time_s,
                  struct sg_quality_found *found);
void sg_watch_close(struct sg_watch *watch, double time_s, struct sg_quality_found *found);
/* A component cannot peak above the vector sum: then the two are not of one record. */
bool sg_quality_above_sum(double peak, double sum);
/* Unit plausibility of a peak: "m/s taken for mm/s" and the like. NULL when plausible. */
const char *sg_quality_unit_doubt(enum sg_kind kind, double peak, double rms);

#endif
