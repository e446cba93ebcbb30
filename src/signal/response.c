/* response.c - pseudo-velocity of damped oscillators on a moving base.
 *
 * u'' + 2 z w u' + w^2 u = -a(t), PSV = w max|u|. Over one step in which a runs straight the
 * solution is exact (Nigam and Jennings 1969), and linear in the state and in the two ends of the
 * step: the four columns of that map are found once, for unit vectors.
 */
#include "stillground/response.h"

#include <math.h>

#include "stillground/weighting.h"

#define FIRST_THIRD (-30) /* 1 Hz */
#define RATE_OVER_NATURAL 10.0
#define MM_PER_M 1000.0

/* The particular solution for a from a0 to a1 is a straight line p + q t, the rest a decaying
 * oscillation. */
static void oscillator_step(double w, double z, double h, double a0, double a1, double *u,
                            double *v)
{
    double slope = (a1 - a0) / h, wd = w * sqrt(1.0 - z * z), decay = exp(-z * w * h);
    double q = -slope / (w * w), p = -a0 / (w * w) + 2.0 * z * slope / (w * w * w);
    double c = *u - p, d = (*v - q + z * w * c) / wd, co = cos(wd * h), si = sin(wd * h);
    double osc = decay * (c * co + d * si);
    *v = q - z * w * osc + decay * wd * (d * co - c * si);
    *u = osc + p + q * h;
}

double sg_response_psv(const double *acceleration_m_s2, size_t count, double rate_hz,
                       double natural_hz, double damping)
{
    if (!(natural_hz > 0.0) || !(damping >= 0.0 && damping < 1.0) || !(rate_hz > 0.0))
        return SG_UNSET;
    double w = 2.0 * SG_PI * natural_hz, u = 0.0, v = 0.0, largest = 0.0;
    for (size_t i = 0; i + 1 < count; i++) {
        oscillator_step(w, damping, 1.0 / rate_hz, acceleration_m_s2[i], acceleration_m_s2[i + 1],
                        &u, &v);
        largest = fmax(largest, fabs(u));
    }
    return w * largest;
}

/* ---- many at once ---------------------------------------------------------------------------- */

struct oscillator {
    double w;
    double uu, uv, u0, u1; /* next u from u, v, a at the start and at the end of the step */
    double vu, vv, v0, v1;
    double u, v, largest;
};

struct sg_response {
    struct oscillator oscillator[SG_RESPONSE_COUNT];
    size_t used; /* those that the rate allows */
    double rate_hz, before;
    bool velocity, started;
};

double sg_response_hz(size_t index)
{
    return sg_band_hz(FIRST_THIRD + (int)index);
}

static void prepare(struct oscillator *o, double natural_hz, double rate_hz)
{
    double h = 1.0 / rate_hz, w = 2.0 * SG_PI * natural_hz;
    const double in[4][4] = { { 1, 0, 0, 0 }, { 0, 1, 0, 0 }, { 0, 0, 1, 0 }, { 0, 0, 0, 1 } };
    double *const to_u[] = { &o->uu, &o->uv, &o->u0, &o->u1 };
    double *const to_v[] = { &o->vu, &o->vv, &o->v0, &o->v1 };
    o->w = w;
    for (size_t k = 0; k < 4; k++) {
        double u = in[k][0], v = in[k][1];
        oscillator_step(w, SG_RESPONSE_DAMPING, h, in[k][2], in[k][3], &u, &v);
        *to_u[k] = u;
        *to_v[k] = v;
    }
}

sg_status sg_response_new(double rate_hz, enum sg_kind kind, struct sg_response **out)
{
    if (!(rate_hz > 0.0) || (kind != SG_KIND_VELOCITY && kind != SG_KIND_ACCELERATION))
        return SG_ERR_DOMAIN;
    struct sg_response *made = sg_alloc(1, sizeof *made);
    if (made == NULL)
        return SG_ERR_NOMEM;
    made->rate_hz = rate_hz;
    made->velocity = kind == SG_KIND_VELOCITY;
    for (size_t i = 0; i < SG_RESPONSE_COUNT; i++)
        if (sg_response_hz(i) * RATE_OVER_NATURAL <= 1.01 * rate_hz) { /* 50.12 Hz is 50 Hz */
            prepare(&made->oscillator[i], sg_response_hz(i), rate_hz);
            made->used = i + 1;
        }
    *out = made;
    return SG_OK;
}

void sg_response_free(struct sg_response *response)
{
    sg_free(response);
}

static void swing(struct oscillator *o, double a0, double a1)
{
    double u = o->uu * o->u + o->uv * o->v + o->u0 * a0 + o->u1 * a1;
    double v = o->vu * o->u + o->vv * o->v + o->v0 * a0 + o->v1 * a1;
    o->u = u;
    o->v = v;
    o->largest = fmax(o->largest, fabs(u));
}

void sg_response_run(struct sg_response *response, const double *in, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        double x = in[i], before = response->started ? response->before : x;
        double a0 = MM_PER_M * before, a1 = MM_PER_M * x;
        if (response->velocity) /* a straight piece of velocity is one acceleration */
            a0 = a1 = (x - before) * response->rate_hz;
        for (size_t k = 0; k < response->used && response->started; k++)
            swing(&response->oscillator[k], a0, a1);
        response->before = x;
        response->started = true;
    }
}

void sg_response_restart(struct sg_response *response)
{
    response->started = false;
    for (size_t k = 0; k < response->used; k++)
        response->oscillator[k].u = response->oscillator[k].v = 0.0;
}

void sg_response_take(struct sg_response *response, double psv_mm_s[SG_RESPONSE_COUNT])
{
    for (size_t k = 0; k < SG_RESPONSE_COUNT; k++) {
        struct oscillator *o = &response->oscillator[k];
        psv_mm_s[k] = k < response->used && response->started ? o->w * o->largest : SG_UNSET;
        o->largest = 0.0;
    }
}
