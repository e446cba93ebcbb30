/* wide.h - logarithm and power to the base 2 written as plain arithmetic, so that loops over them
 * become vector code. Inside the library only.
 *
 * Every multiplication and addition of the two series is one fused operation: every vector width,
 * with or without the hardware for it, gives the same bits. Both are series of our own with the
 * part that is left out told beside them. */
#ifndef BASE_WIDE_H
#define BASE_WIDE_H

#include <math.h>
#include <stdint.h>
#include <string.h>

/* Compiled for wider registers too, where the machine has them. For static functions alone: what
 * other files call must be plain, because compilers name the versions differently from outside. */
#if defined(__x86_64__) && defined(__gnu_linux__)
#define SG_FOR_THIS_CPU                                                                            \
    __attribute__((target_clones("arch=x86-64-v4", "arch=x86-64-v3", "default")))
#else
#define SG_FOR_THIS_CPU
#endif
/* Part of such a function: compiled for each of its targets, never by itself. */
#define SG_INLINED __attribute__((always_inline)) static inline

SG_INLINED uint64_t sg_bits_of(double x)
{
    uint64_t bits;
    memcpy(&bits, &x, sizeof(bits));
    return bits;
}

SG_INLINED double sg_double_of(uint64_t bits)
{
    double x;
    memcpy(&x, &bits, sizeof(x));
    return x;
}

/* log2 of a positive normal number: x = 2^e m with m from sqrt(1/2) to sqrt(2), then the series of
 * artanh s, s = (m - 1)/(m + 1); at most 0.1716^16 / 17 of it is left out. */
SG_INLINED double sg_log2_of(double x)
{
    const uint64_t sqrt_half = 0x3fe6a09e667f3bcdu, bias = (uint64_t)1024 << 52;
    const double two_52 = 4503599627370496.0, two_over_ln2 = 2.8853900817779268;
    uint64_t bits = sg_bits_of(x);
    uint64_t e = (bits - sqrt_half + bias) >> 52; /* e + 1024 */
    double m = sg_double_of(bits - (e << 52) + bias);
    double exponent = sg_double_of(e | sg_bits_of(two_52)) - (two_52 + 1024.0);
    double s = (m - 1.0) / (m + 1.0), z = s * s;
    double p = 1.0 / 15.0;
    p = fma(p, z, 1.0 / 13.0);
    p = fma(p, z, 1.0 / 11.0);
    p = fma(p, z, 1.0 / 9.0);
    p = fma(p, z, 1.0 / 7.0);
    p = fma(p, z, 1.0 / 5.0);
    p = fma(p, z, 1.0 / 3.0);
    p = fma(p, z, 1.0);
    return fma(two_over_ln2 * s, p, exponent);
}

/* 2^y for y from -1000 to 1000: the whole part goes into the exponent, the rest (at most a half)
 * through the series of exp; at most 0.3466^12 / 12! of it is left out. */
SG_INLINED double sg_exp2_of(double y)
{
    const double round_by = 6755399441055744.0; /* 1.5 * 2^52 */
    const double ln2 = 0.69314718055994531;
    double shifted = y + round_by;
    double t = (y - (shifted - round_by)) * ln2;
    double p = 1.0 / 39916800.0;
    p = fma(p, t, 1.0 / 3628800.0);
    p = fma(p, t, 1.0 / 362880.0);
    p = fma(p, t, 1.0 / 40320.0);
    p = fma(p, t, 1.0 / 5040.0);
    p = fma(p, t, 1.0 / 720.0);
    p = fma(p, t, 1.0 / 120.0);
    p = fma(p, t, 1.0 / 24.0);
    p = fma(p, t, 1.0 / 6.0);
    p = fma(p, t, 0.5);
    p = fma(p, t, 1.0);
    p = fma(p, t, 1.0);
    return sg_double_of(sg_bits_of(p) + (sg_bits_of(shifted) << 52));
}

#endif
