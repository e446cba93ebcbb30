/* weighting.c - analogue definitions of the weightings from their rows in the catalogue.
 *
 * Sources: IEC 61672-1:2013 Annex E (A, C); ISO 8041-1:2017 Formulae (1) to (5); DIN 45669-1 (KB).
 * A vibration weighting is stated on acceleration. For a velocity channel it is multiplied by s
 * inside one of its sections, so that no separate differentiator is needed; KB on an acceleration
 * channel is divided by s in the same way.
 */
#include "stillground/signal.h"

#include <math.h>
#include <string.h>

#define ROOT_HALF 0.70710678118654752
#define MM_PER_M 1000.0

static void add(struct sg_analogue *out, double n0, double n1, double n2, double d0, double d1,
                double d2)
{
    struct sg_analogue_section section = { { n0, n1, n2 }, { d0, d1, d2 } };
    out->section[out->count++] = section;
}

static double rad(double frequency_hz)
{
    return 2.0 * SG_PI * frequency_hz;
}

static void high_pass(struct sg_analogue *out, double corner_hz, double q)
{
    double w = rad(corner_hz);
    add(out, 0.0, 0.0, 1.0, w * w, w / q, 1.0);
}

static void low_pass(struct sg_analogue *out, double corner_hz, double q)
{
    double w = rad(corner_hz);
    add(out, w * w, 0.0, 0.0, w * w, w / q, 1.0);
}

static void scale(struct sg_analogue *analogue, double gain)
{
    for (size_t i = 0; i < 3; i++)
        analogue->section[0].n[i] *= gain;
}

/* Annex E: f1 and f4 from the band ends, f2 and f3 from fA. */
static void sound_weighting(bool a_weighting, struct sg_analogue *out)
{
    const struct sg_sound_weighting_row *row = sg_sound_weighting();
    double r2 = row->reference_hz * row->reference_hz;
    double l2 = row->low_hz * row->low_hz, h2 = row->high_hz * row->high_hz;
    double b = (r2 + l2 * h2 / r2 - ROOT_HALF * (l2 + h2)) / (1.0 - ROOT_HALF), c = l2 * h2;
    double root = sqrt(b * b - 4.0 * c);
    double w1 = rad(sqrt((-b - root) / 2.0)), w4 = rad(sqrt((-b + root) / 2.0));
    add(out, 0.0, 0.0, 1.0, w1 * w1, 2.0 * w1, 1.0);
    if (a_weighting) {
        double w2 = rad((3.0 - sqrt(5.0)) / 2.0 * row->a_hz);
        double w3 = rad((3.0 + sqrt(5.0)) / 2.0 * row->a_hz);
        add(out, 0.0, 0.0, 1.0, w2 * w3, w2 + w3, 1.0);
    }
    add(out, w4 * w4, 0.0, 0.0, w4 * w4, 2.0 * w4, 1.0);
    double magnitude, phase;
    sg_analogue_response(out, row->reference_hz, &magnitude, &phase);
    scale(out, 1.0 / magnitude);
}

static void vibration_weighting(const struct sg_vibration_weighting_row *row,
                                struct sg_analogue *out)
{
    if (sg_is_set(row->f1_hz))
        high_pass(out, row->f1_hz, ROOT_HALF);
    if (sg_is_set(row->f4_hz)) {
        double w3 = rad(row->f3_hz), w4 = rad(row->f4_hz);
        add(out, w4 * w4, w4 * w4 / w3, 0.0, w4 * w4, w4 / row->q4, 1.0);
    }
    if (sg_is_set(row->f5_hz)) {
        double w5 = rad(row->f5_hz), w6 = rad(row->f6_hz);
        add(out, w5 * w5, w5 / row->q5, 1.0, w6 * w6, w6 / row->q6, 1.0);
    }
    if (sg_is_set(row->f2_hz))
        low_pass(out, row->f2_hz, ROOT_HALF);
    scale(out, row->gain);
}

static void kb_weighting(enum sg_weighting weighting, struct sg_analogue *out)
{
    const struct sg_kb_row *row = sg_kb();
    double w = rad(row->corner_hz);
    high_pass(out, row->low_hz, ROOT_HALF);
    add(out, 0.0, 1.0, 0.0, w, 1.0, 0.0);
    low_pass(out, weighting == SG_WEIGHTING_KB_80 ? row->high_80_hz : row->high_315_hz, ROOT_HALF);
}

/* Multiplies by gain * s, inside the last section that has room. */
static sg_status times_s(struct sg_analogue *analogue, double gain)
{
    for (size_t i = analogue->count; i-- > 0;) {
        double *n = analogue->section[i].n;
        if (fabs(n[2]) > 0.0 || !(fabs(analogue->section[i].d[2]) > 0.0))
            continue;
        n[2] = gain * n[1];
        n[1] = gain * n[0];
        n[0] = 0.0;
        return SG_OK;
    }
    return SG_ERR_BUG;
}

static sg_status over_s(struct sg_analogue *analogue, double gain)
{
    for (size_t i = 0; i < analogue->count; i++) {
        double *n = analogue->section[i].n;
        if (fabs(n[0]) > 0.0)
            continue;
        n[0] = gain * n[1];
        n[1] = gain * n[2];
        n[2] = 0.0;
        return SG_OK;
    }
    return SG_ERR_BUG;
}

sg_status sg_analogue_weighting(enum sg_weighting weighting, enum sg_kind input,
                                struct sg_analogue *out)
{
    struct sg_analogue analogue = { .count = 0 };
    const struct sg_vibration_weighting_row *row = sg_vibration_weighting(weighting);
    bool kb = weighting == SG_WEIGHTING_KB_80 || weighting == SG_WEIGHTING_KB_315;
    sg_status status = SG_OK;
    if (weighting >= SG_WEIGHTING_END || (row != NULL || kb) == (input == SG_KIND_PRESSURE))
        return SG_ERR_DOMAIN;
    if (row != NULL) {
        vibration_weighting(row, &analogue);
        if (input == SG_KIND_VELOCITY)
            status = times_s(&analogue, 1.0 / MM_PER_M);
    } else if (kb) {
        kb_weighting(weighting, &analogue);
        if (input == SG_KIND_ACCELERATION)
            status = over_s(&analogue, MM_PER_M);
    } else if (weighting != SG_WEIGHTING_Z) {
        sound_weighting(weighting == SG_WEIGHTING_A, &analogue);
    }
    if (sg_ok(status))
        *out = analogue;
    return status;
}

void sg_analogue_integrator(double corner_hz, int order, double gain, struct sg_analogue *out)
{
    struct sg_analogue analogue = { .count = 0 };
    double w = rad(corner_hz);
    /* Butterworth: Q of the pairs is 1 / (2 cos angle) */
    double q_first = order > 2 ? 1.0 / (2.0 * cos(SG_PI / 8.0)) : ROOT_HALF;
    add(&analogue, 0.0, gain, 0.0, w * w, w / q_first, 1.0);
    if (order > 2)
        high_pass(&analogue, corner_hz, 1.0 / (2.0 * cos(3.0 * SG_PI / 8.0)));
    *out = analogue;
}

void sg_analogue_geophone(double natural_hz, double damping, double target_hz,
                          struct sg_analogue *out)
{
    struct sg_analogue analogue = { .count = 0 };
    double w0 = rad(natural_hz), w1 = rad(target_hz);
    add(&analogue, w0 * w0, 2.0 * damping * w0, 1.0, w1 * w1, w1 / ROOT_HALF, 1.0);
    *out = analogue;
}

/* Bands over which the response is held to its definition: IEC 61672-1 Table 3; ISO 8041-1 to where
 * the weighting has fallen by 40 dB; KB to its own upper band limit and a little beyond. */
sg_status sg_filter_weighting(enum sg_weighting weighting, enum sg_kind input, double rate_hz,
                              struct sg_filter *out)
{
    struct sg_analogue analogue;
    sg_status status = sg_analogue_weighting(weighting, input, &analogue);
    if (!sg_ok(status))
        return status;
    bool sound = input == SG_KIND_PRESSURE;
    double low_hz = sound ? 10.0 : 0.5;
    double high_hz = sound ? 20500.0 : weighting == SG_WEIGHTING_KB_315 ? 800.0 : 400.0;
    return sg_filter_design(&analogue, rate_hz, low_hz, high_hz, out);
}
