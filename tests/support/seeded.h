/* seeded.h - random numbers for simulations in tests: the same in every run and on every machine.
 * xorshift64* (Vigna, "An experimental exploration of Marsaglia's xorshift generators", 2016). */
#ifndef TESTS_SUPPORT_SEEDED_H
#define TESTS_SUPPORT_SEEDED_H

#include <math.h>
#include <stdint.h>

struct seeded {
    uint64_t state; /* not 0 */
};

/* 0 < u < 1. */
static inline double seeded_uniform(struct seeded *seeded)
{
    seeded->state ^= seeded->state >> 12;
    seeded->state ^= seeded->state << 25;
    seeded->state ^= seeded->state >> 27;
    uint64_t bits = seeded->state * 0x2545F4914F6CDD1Du;
    return ((double)(bits >> 11) + 0.5) / 9007199254740992.0;
}

/* Box and Muller. */
static inline double seeded_normal(struct seeded *seeded)
{
    double radius = sqrt(-2.0 * log(seeded_uniform(seeded)));
    return radius * cos(2.0 * 3.14159265358979323846 * seeded_uniform(seeded));
}

#endif
