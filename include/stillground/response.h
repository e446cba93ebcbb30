/* response.h - response spectra: the largest motion of oscillators that stand on the vibrating
 * ground, block by block. Signal room; pure.
 */
#ifndef STILLGROUND_RESPONSE_H
#define STILLGROUND_RESPONSE_H

#include "stillground/calibration.h"

#define SG_RESPONSE_COUNT 21 /* natural frequencies: third octaves from 1 to 100 Hz */
#define SG_RESPONSE_DAMPING 0.05

double sg_response_hz(size_t index);

/* Largest |relative displacement| of an oscillator times (2 pi f): PSV in m/s, from base
 * acceleration in m/s2, exact for piecewise linear input (Nigam and Jennings' recurrence). */
double sg_response_psv(const double *acceleration_m_s2, size_t count, double rate_hz,
                       double natural_hz, double damping);

/* All of them at once. Velocity is taken to run straight between its samples, acceleration too.
 * Oscillators over a tenth of the rate are left out (common practice, no source). */
struct sg_response;
sg_status sg_response_new(double rate_hz, enum sg_kind kind, struct sg_response **out);
void sg_response_free(struct sg_response *response);
/* mm/s or m/s2, by kind. */
void sg_response_run(struct sg_response *response, const double *in, size_t count);
void sg_response_restart(struct sg_response *response); /* after a gap: at rest again */
/* Largest pseudo-velocities since the last take, mm/s; unset where left out or nothing came. The
 * oscillators swing on. */
void sg_response_take(struct sg_response *response, double psv_mm_s[SG_RESPONSE_COUNT]);

#endif
