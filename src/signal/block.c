/* block.c - largest values over a block of samples, several in one register. A largest value does
 * not depend on the order of the samples, so every width gives the same bits.
 */
#include "lanes.h"

#include <string.h>

#define LANES SG_FILTER_LANES

typedef double lanes __attribute__((vector_size(LANES * sizeof(double)), aligned(8), may_alias));
typedef int64_t mask __attribute__((vector_size(LANES * sizeof(double))));

#define LOAD(from) (*(const lanes *)(from))
#define LARGER(most, value)                                                                        \
    do {                                                                                           \
        mask more_ = (mask)((value) > (most));                                                     \
        (most) = (lanes)(((mask)(value)&more_) | ((mask)(most) & ~more_));                         \
    } while (0)

static double largest_of(const double lane[LANES])
{
    double found = lane[0];
    for (size_t i = 1; i < LANES; i++)
        found = lane[i] > found ? lane[i] : found;
    return found;
}

SG_FOR_THIS_CPU
static double block_square(const double *x, size_t count)
{
    double lane[LANES];
    lanes most = { 0.0 };
    size_t i = 0;
    for (; i + LANES <= count; i += LANES) {
        lanes square = LOAD(x + i) * LOAD(x + i);
        LARGER(most, square);
    }
    /* by memory: a vector argument has another place in every version of this function */
    memcpy(lane, &most, sizeof lane);
    double found = largest_of(lane);
    for (; i < count; i++)
        found = x[i] * x[i] > found ? x[i] * x[i] : found;
    return found;
}

double sg_block_square(const double *x, size_t count)
{
    return block_square(x, count);
}

SG_FOR_THIS_CPU
static double block_vector(const double *const *x, size_t naxis, size_t count)
{
    double lane[LANES];
    lanes most = { 0.0 };
    size_t i = 0;
    for (; i + LANES <= count; i += LANES) {
        lanes square = { 0.0 };
        for (size_t axis = 0; axis < naxis; axis++)
            square += LOAD(x[axis] + i) * LOAD(x[axis] + i);
        LARGER(most, square);
    }
    memcpy(lane, &most, sizeof lane);
    double found = largest_of(lane);
    for (; i < count; i++) {
        double square = 0.0;
        for (size_t axis = 0; axis < naxis; axis++)
            square += x[axis][i] * x[axis][i];
        found = square > found ? square : found;
    }
    return found;
}

double sg_block_vector(const double *const *x, size_t naxis, size_t count)
{
    return block_vector(x, naxis, count);
}
