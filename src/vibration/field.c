/* field.c - many piles and receptors: the largest value and the sum of fourth powers (for doses),
 * where each pile goes through the same stages of driving and its worst stage counts.
 *
 * What makes it fast: of the stages v_i = k_i (y + L_i^2)^(-n/2), y the squared plan distance, the
 * largest is q^(-n/2) with q the smallest of k_i^(-2/n) (y + L_i^2): one power for a pair instead
 * of one for each stage. The power is 2^(-n/2 log2 q), written as plain loops that a compiler turns
 * into vector code; piles are taken in blocks that stay in the first-level cache.
 *
 * What keeps it exact: every multiplication and addition of the two series is one fused operation,
 * and the sum runs in eight fixed lanes, so that every vector width, with or without the hardware
 * for it, gives the same bits. tests/unit/test_vibration_field.c holds it against the plain loop.
 *
 * Piles nearer than SG_NEAREST_M to a receptor count as standing at SG_NEAREST_M: the relations say
 * nothing nearer, and callers refuse such receptors beforehand. */
#include "base/wide.h"
#include "vibration_internal.h"

#include <math.h>
#include <omp.h>
#include <string.h>

#define BLOCK 64
#define LANES 8

/* v = (min over stages of gain y + offset)^(-half_n). */
struct kernel {
    double half_n;
    double gain[SG_FIELD_STAGES_MAX], offset[SG_FIELD_STAGES_MAX];
    size_t nstage;
    const double *x_m, *y_m;
    size_t count;
};

struct lanes {
    double peak[LANES], sum4[LANES];
};

SG_INLINED void add_block(const double *v, struct lanes *lanes)
{
    for (size_t i = 0; i < BLOCK; i += LANES) {
#pragma omp simd
        for (size_t j = 0; j < LANES; j++) {
            double value = v[i + j], square = value * value;
            lanes->peak[j] = lanes->peak[j] > value ? lanes->peak[j] : value;
            lanes->sum4[j] = fma(square, square, lanes->sum4[j]);
        }
    }
}

/* Squared plan distances of a block, held at the nearest distance allowed. */
SG_INLINED void distances(const double *px, const double *py, size_t n, double x_m, double y_m,
                          double *plan2)
{
    const double nearest2 = SG_NEAREST_M * SG_NEAREST_M;
#pragma omp simd
    for (size_t i = 0; i < n; i++) {
        double dx = px[i] - x_m, dy = py[i] - y_m;
        double d2 = fma(dx, dx, dy * dy);
        plan2[i] = d2 > nearest2 ? d2 : nearest2;
    }
}

SG_INLINED void values(const struct kernel *k, const double *plan2, size_t n, double *v)
{
    double q[BLOCK];
#pragma omp simd
    for (size_t i = 0; i < n; i++)
        q[i] = fma(k->gain[0], plan2[i], k->offset[0]);
    for (size_t s = 1; s < k->nstage; s++) {
        double gain = k->gain[s], offset = k->offset[s];
#pragma omp simd
        for (size_t i = 0; i < n; i++) {
            double other = fma(gain, plan2[i], offset);
            q[i] = q[i] < other ? q[i] : other;
        }
    }
#pragma omp simd
    for (size_t i = 0; i < n; i++)
        v[i] = sg_exp2_of(-k->half_n * sg_log2_of(q[i]));
}

SG_FOR_THIS_CPU
static void one_receptor(const struct kernel *k, double x_m, double y_m, double *peak, double *sum4)
{
    struct lanes lanes = { { 0 }, { 0 } };
    double plan2[BLOCK], v[BLOCK];
    for (size_t start = 0; start < k->count; start += BLOCK) {
        size_t n = k->count - start < BLOCK ? k->count - start : BLOCK;
        if (n == BLOCK) { /* a fixed count lets the compiler leave out the tail loops */
            distances(k->x_m + start, k->y_m + start, BLOCK, x_m, y_m, plan2);
            values(k, plan2, BLOCK, v);
        } else {
            distances(k->x_m + start, k->y_m + start, n, x_m, y_m, plan2);
            values(k, plan2, n, v);
            for (size_t i = n; i < BLOCK; i++)
                v[i] = 0; /* changes neither result */
        }
        add_block(v, &lanes);
    }
    *peak = 0;
    *sum4 = 0;
    for (size_t j = 0; j < LANES; j++) {
        *peak = *peak > lanes.peak[j] ? *peak : lanes.peak[j];
        *sum4 += lanes.sum4[j];
    }
}

/* One exponent, no damping: then the stages can be compared before the power. */
static bool fits_kernel(const struct sg_law *stage, size_t nstage)
{
    if (nstage == 0 || nstage > SG_FIELD_STAGES_MAX)
        return false;
    for (size_t i = 0; i < nstage; i++) {
        const struct sg_law *law = &stage[i];
        if (law->form != SG_FORM_POWER || fabs(law->alpha) > 0 || !(law->k > 0) ||
            !(law->factor > 0) || !(law->n > 0) || fabs(law->n - stage[0].n) > 0)
            return false;
    }
    return true;
}

static void set_stage(struct kernel *k, size_t i, const struct sg_law *law)
{
    double scale =
        law->k * law->factor * pow(law->energy_J / law->w_ref, law->m) * pow(law->r_ref, law->n);
    double depth_m = law->distance == SG_DISTANCE_TOE ? law->toe_depth_m : 0;
    k->gain[i] = pow(scale, -2.0 / law->n);
    k->offset[i] = k->gain[i] * depth_m * depth_m;
}

sg_status sg_law_field(const struct sg_law *stage, size_t nstage,
                       const struct sg_field_points *piles, const struct sg_field_points *receptors,
                       int threads, double *peak, double *sum4)
{
    if (!fits_kernel(stage, nstage))
        return sg_law_field_plain(stage, nstage, piles, receptors, peak, sum4);
    struct kernel k = { .half_n = 0.5 * stage[0].n,
                        .nstage = nstage,
                        .x_m = piles->x_m,
                        .y_m = piles->y_m,
                        .count = piles->count };
    for (size_t i = 0; i < nstage; i++)
        set_stage(&k, i, &stage[i]);
    int wanted = threads > 0 ? threads : omp_get_max_threads();
#pragma omp parallel for num_threads(wanted) schedule(static)
    for (size_t i = 0; i < receptors->count; i++)
        one_receptor(&k, receptors->x_m[i], receptors->y_m[i], &peak[i], &sum4[i]);
    return SG_OK;
}

sg_status sg_law_field_plain(const struct sg_law *stage, size_t nstage,
                             const struct sg_field_points *piles,
                             const struct sg_field_points *receptors, double *peak, double *sum4)
{
    for (size_t i = 0; i < receptors->count; i++) {
        double largest = 0, sum = 0;
        for (size_t j = 0; j < piles->count; j++) {
            double x_m =
                hypot(piles->x_m[j] - receptors->x_m[i], piles->y_m[j] - receptors->y_m[i]);
            double worst = 0;
            for (size_t s = 0; s < nstage; s++) {
                double v = sg_law_at(&stage[s], x_m > SG_NEAREST_M ? x_m : SG_NEAREST_M);
                worst = v > worst ? v : worst;
            }
            largest = worst > largest ? worst : largest;
            sum += worst * worst * worst * worst;
        }
        peak[i] = largest;
        sum4[i] = sum;
    }
    return nstage > 0 ? SG_OK : SG_ERR_USAGE;
}
