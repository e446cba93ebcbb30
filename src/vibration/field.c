/* field.c - one law over many piles and receptors: the largest value and the sum of fourth powers.
 *
 * Two things make it fast: piles are taken in blocks that stay in the first-level cache, and the two
 * transcendental functions are written as plain loops that a compiler turns into vector code. The
 * sum runs in eight fixed lanes, so that every vector width adds in the same order and gives the
 * same bits. tests/unit/test_vibration_field.c holds it against the plain loop.
 *
 * Piles nearer than SG_NEAREST_M to a receptor count as standing at SG_NEAREST_M: the relations say
 * nothing nearer, and callers refuse such receptors beforehand. */
#include "vibration_internal.h"

#include <math.h>
#include <omp.h>
#include <string.h>

#define BLOCK 64
#define LANES 8

#if defined(__x86_64__) && defined(__gnu_linux__)
#define FOR_THIS_CPU __attribute__((target_clones("avx512f", "avx2", "default")))
#else
#define FOR_THIS_CPU
#endif

static inline uint64_t bits_of(double x)
{
    uint64_t bits;
    memcpy(&bits, &x, sizeof(bits));
    return bits;
}

static inline double double_of(uint64_t bits)
{
    double x;
    memcpy(&x, &bits, sizeof(x));
    return x;
}

/* log2 of a positive normal number: x = 2^e m with m from sqrt(1/2) to sqrt(2), then the series of
 * artanh((m - 1)/(m + 1)); at most 0.1716^19 / 19 of it is left out. */
static inline double log2_of(double x)
{
    const uint64_t sqrt_half = 0x3fe6a09e667f3bcdu, bias = (uint64_t)1024 << 52;
    const double two_52 = 4503599627370496.0, two_over_ln2 = 2.8853900817779268;
    uint64_t bits = bits_of(x);
    uint64_t e = (bits - sqrt_half + bias) >> 52; /* e + 1024 */
    double m = double_of(bits - (e << 52) + bias);
    double exponent = double_of(e | bits_of(two_52)) - two_52 - 1024.0;
    double s = (m - 1.0) / (m + 1.0), z = s * s;
    double p = 1.0 / 17.0;
    p = p * z + 1.0 / 15.0;
    p = p * z + 1.0 / 13.0;
    p = p * z + 1.0 / 11.0;
    p = p * z + 1.0 / 9.0;
    p = p * z + 1.0 / 7.0;
    p = p * z + 1.0 / 5.0;
    p = p * z + 1.0 / 3.0;
    p = p * z + 1.0;
    return exponent + two_over_ln2 * s * p;
}

/* 2^y for y from -1000 to 1000: the whole part goes into the exponent, the rest (at most a half)
 * through the series of exp. */
static inline double exp2_of(double y)
{
    const double round_by = 6755399441055744.0; /* 1.5 * 2^52 */
    const double ln2 = 0.69314718055994531;
    double shifted = y + round_by;
    double t = (y - (shifted - round_by)) * ln2;
    double p = 1.0 / 6227020800.0;
    p = p * t + 1.0 / 479001600.0;
    p = p * t + 1.0 / 39916800.0;
    p = p * t + 1.0 / 3628800.0;
    p = p * t + 1.0 / 362880.0;
    p = p * t + 1.0 / 40320.0;
    p = p * t + 1.0 / 5040.0;
    p = p * t + 1.0 / 720.0;
    p = p * t + 1.0 / 120.0;
    p = p * t + 1.0 / 24.0;
    p = p * t + 1.0 / 6.0;
    p = p * t + 0.5;
    p = p * t + 1.0;
    p = p * t + 1.0;
    return double_of(bits_of(p) + (bits_of(shifted) << 52));
}

/* v = 2^(lg_k - half_n log2(r^2)). */
struct kernel {
    double lg_k, half_n, depth2;
    const double *x_m, *y_m;
    size_t count;
};

struct lanes {
    double peak[LANES], sum4[LANES];
};

static inline void add_block(const double *v, struct lanes *lanes)
{
    for (size_t i = 0; i < BLOCK; i += LANES) {
#pragma omp simd
        for (size_t j = 0; j < LANES; j++) {
            double value = v[i + j], square = value * value;
            lanes->peak[j] = lanes->peak[j] > value ? lanes->peak[j] : value;
            lanes->sum4[j] += square * square;
        }
    }
}

/* A short last block is filled up with value 0, which changes neither result. */
static inline void fill_rest(double *v, size_t from)
{
    for (size_t i = from; i < BLOCK; i++)
        v[i] = 0;
}

FOR_THIS_CPU
static void one_receptor(const struct kernel *k, double x_m, double y_m, double *peak, double *sum4)
{
    struct lanes lanes = { { 0 }, { 0 } };
    double v[BLOCK];
    for (size_t start = 0; start < k->count; start += BLOCK) {
        size_t n = k->count - start < BLOCK ? k->count - start : BLOCK;
        const double *px = k->x_m + start, *py = k->y_m + start;
#pragma omp simd
        for (size_t i = 0; i < n; i++) {
            double dx = px[i] - x_m, dy = py[i] - y_m;
            double plan2 = dx * dx + dy * dy;
            plan2 = plan2 > SG_NEAREST_M * SG_NEAREST_M ? plan2 : SG_NEAREST_M * SG_NEAREST_M;
            v[i] = exp2_of(k->lg_k - k->half_n * log2_of(plan2 + k->depth2));
        }
        fill_rest(v, n);
        add_block(v, &lanes);
    }
    *peak = 0;
    *sum4 = 0;
    for (size_t j = 0; j < LANES; j++) {
        *peak = *peak > lanes.peak[j] ? *peak : lanes.peak[j];
        *sum4 += lanes.sum4[j];
    }
}

static bool fits_kernel(const struct sg_law *law)
{
    return law->form == SG_FORM_POWER && !(fabs(law->alpha) > 0) && law->k > 0 && law->factor > 0;
}

sg_status sg_law_field(const struct sg_law *law, const struct sg_field_sources *piles,
                       const double *receptor_x_m, const double *receptor_y_m, size_t nreceptor,
                       int threads, double *peak, double *sum4)
{
    if (!fits_kernel(law))
        return sg_law_field_plain(law, piles, receptor_x_m, receptor_y_m, nreceptor, peak, sum4);
    double scale = law->k * law->factor * pow(law->energy_J / law->w_ref, law->m);
    struct kernel k = { .lg_k = log2(scale) + law->n * log2(law->r_ref), .half_n = 0.5 * law->n,
                        .x_m = piles->x_m, .y_m = piles->y_m, .count = piles->count };
    if (law->distance == SG_DISTANCE_TOE)
        k.depth2 = law->toe_depth_m * law->toe_depth_m;
    int wanted = threads > 0 ? threads : omp_get_max_threads();
#pragma omp parallel for num_threads(wanted) schedule(static)
    for (size_t i = 0; i < nreceptor; i++)
        one_receptor(&k, receptor_x_m[i], receptor_y_m[i], &peak[i], &sum4[i]);
    return SG_OK;
}

sg_status sg_law_field_plain(const struct sg_law *law, const struct sg_field_sources *piles,
                             const double *receptor_x_m, const double *receptor_y_m,
                             size_t nreceptor, double *peak, double *sum4)
{
    for (size_t i = 0; i < nreceptor; i++) {
        double largest = 0, sum = 0;
        for (size_t j = 0; j < piles->count; j++) {
            double distance = hypot(piles->x_m[j] - receptor_x_m[i], piles->y_m[j] - receptor_y_m[i]);
            double v = sg_law_at(law, distance > SG_NEAREST_M ? distance : SG_NEAREST_M);
            largest = v > largest ? v : largest;
            sum += v * v * v * v;
        }
        peak[i] = largest;
        sum4[i] = sum;
    }
    return SG_OK;
}
