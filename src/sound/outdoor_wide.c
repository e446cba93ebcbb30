/* outdoor_wide.c - logarithms and powers of eight octave bands at once.
 *
 * What is left out of the series (base/wide.h) moves a level by less than 1e-12 dB.
 */
#include "base/wide.h"
#include "outdoor_internal.h"

#define LG_2 0.30102999566398119521
#define LB_E 1.4426950408889634074
#define LB_10 3.3219280948873623479

SG_FOR_THIS_CPU
static void bands_db(const double *ratio, double *db)
{
#pragma omp simd
    for (size_t b = 0; b < SG_BANDS; b++)
        db[b] = 10.0 * LG_2 * sg_log2_of(ratio[b]);
}

void sg_bands_db(const double *ratio, double *db)
{
    bands_db(ratio, db);
}

SG_INLINED double power_of_2(double y)
{
    double held = y < -1000.0 ? -1000.0 : y;
    held = held > 1000.0 ? 1000.0 : held;
    double power = sg_exp2_of(held);
    return y < -1000.0 ? 0.0 : power;
}

SG_FOR_THIS_CPU
static void bands_exp(const double *x, double *out)
{
#pragma omp simd
    for (size_t b = 0; b < SG_BANDS; b++)
        out[b] = power_of_2(x[b] * LB_E);
}

void sg_bands_exp(const double *x, double *out)
{
    bands_exp(x, out);
}

SG_FOR_THIS_CPU
static void bands_ratio(const double *db, double *ratio)
{
#pragma omp simd
    for (size_t b = 0; b < SG_BANDS; b++)
        ratio[b] = power_of_2(db[b] * (0.1 * LB_10));
}

void sg_bands_ratio(const double *db, double *ratio)
{
    bands_ratio(db, ratio);
}
