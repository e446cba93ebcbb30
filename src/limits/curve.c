/* curve.c - the limit of a row at a frequency and over a band. The curves stand in the catalogue.
 *
 * Below a displacement d the velocity of a sine is 2 pi f d.
 */
#include <math.h>

#include "limits/curve.h"

bool sg_limit_by_frequency(const struct sg_limit_row *row)
{
    return row->nnode > 1 || row->below != SG_BELOW_EXTEND || row->above_hz > 0.0;
}

size_t sg_limit_segment(const struct sg_limit_row *row, double frequency_hz)
{
    size_t at = 0;
    while (at < row->nnode && row->node[at].frequency_hz <= frequency_hz) {
        at++;
    }
    return at;
}

static double between(const struct sg_limit_row *row, size_t segment, double frequency_hz)
{
    const struct sg_node *a = &row->node[segment - 1];
    const struct sg_node *b = &row->node[segment];
    if (row->interpolation == SG_STEP) {
        return a->value;
    }
    if (row->interpolation == SG_LOG_LOG) {
        double share = log(frequency_hz / a->frequency_hz) / log(b->frequency_hz / a->frequency_hz);
        return a->value * pow(b->value / a->value, share);
    }
    if (row->interpolation == SG_CONST_DISPLACEMENT) {
        return a->value * frequency_hz / a->frequency_hz;
    }
    if (row->interpolation == SG_CONST_ACCELERATION) {
        return a->value * a->frequency_hz / frequency_hz;
    }
    double share = (frequency_hz - a->frequency_hz) / (b->frequency_hz - a->frequency_hz);
    return a->value + (b->value - a->value) * share;
}

sg_status sg_limit_at(const struct sg_limit_row *row, double frequency_hz, double *out)
{
    if (row->nnode == 0) {
        return SG_ERR_BUG;
    }
    if (!sg_limit_by_frequency(row)) {
        *out = row->node[0].value;
        return SG_OK;
    }
    if (!sg_is_set(frequency_hz)) {
        return SG_ERR_MISSING;
    }
    if (!(frequency_hz > 0.0) || isinf(frequency_hz)) {
        return SG_ERR_DOMAIN;
    }
    size_t segment = sg_limit_segment(row, frequency_hz);
    if (segment == 0 && row->below == SG_BELOW_NONE) {
        return SG_ERR_DOMAIN;
    }
    if (row->above_hz > 0.0 && frequency_hz > row->above_hz) {
        return SG_ERR_DOMAIN;
    }
    if (segment == 0 && row->below == SG_BELOW_DISPLACEMENT) {
        *out = 2.0 * SG_PI * frequency_hz * row->below_displacement_mm;
    } else if (segment == 0) {
        *out = row->node[0].value;
    } else if (segment == row->nnode) {
        *out = row->node[row->nnode - 1].value;
    } else {
        *out = between(row, segment, frequency_hz);
    }
    return SG_OK;
}

/* Each piece of a curve runs one way, so that its lowest point is at an end of the piece or the
 * band. A jump at the first node from a displacement is covered by the node itself; a piece of
 * constant acceleration falls, and may end below the node that follows it. */
sg_status sg_limit_lowest(const struct sg_limit_row *row, double low_hz, double high_hz,
                          double *out, double *at_hz)
{
    double lowest = SG_UNSET;
    sg_status status = sg_limit_at(row, low_hz, &lowest);
    if (!sg_ok(status)) {
        return status;
    }
    if (!sg_limit_by_frequency(row)) {
        *out = lowest;
        *at_hz = SG_UNSET;
        return SG_OK;
    }
    if (!sg_is_set(high_hz)) {
        return SG_ERR_MISSING;
    }
    if (high_hz < low_hz) {
        return SG_ERR_DOMAIN;
    }
    double where = low_hz;
    for (size_t i = 0; i <= row->nnode; i++) {
        double frequency_hz = i < row->nnode ? row->node[i].frequency_hz : high_hz;
        double value = SG_UNSET;
        if (frequency_hz < low_hz || frequency_hz > high_hz) {
            continue;
        }
        status = sg_limit_at(row, frequency_hz, &value);
        if (!sg_ok(status)) {
            return status;
        }
        if (i > 0 && i < row->nnode && frequency_hz > low_hz &&
            row->interpolation == SG_CONST_ACCELERATION) {
            value = fmin(value, between(row, i, frequency_hz));
        }
        if (value < lowest) {
            lowest = value;
            where = frequency_hz;
        }
    }
    *out = lowest;
    *at_hz = where;
    return SG_OK;
}
