/* outdoor_runs.c - sides of an obstacle that run on straight make one surface: how long, how high.
 *
 * Source: ISO 9613-2:1996 clause 7.5: the size in Eq. (19) is that of the surface, however many
 * corners it was drawn with. How straight is straight: common practice, no source.
 */
#include "outdoor_internal.h"

#include <math.h>

#define STRAIGHT 5e-3 /* sine of the bend, 0.3 degrees: corners kept to centimetres */

static double length_of(const struct sg_face *f)
{
    return hypot(f->b.x - f->a.x, f->b.y - f->a.y);
}

static bool runs_on(const struct sg_face *first, const struct sg_face *next)
{
    double ux = first->b.x - first->a.x, uy = first->b.y - first->a.y;
    double vx = next->b.x - next->a.x, vy = next->b.y - next->a.y;
    return ux * vx + uy * vy > 0 &&
           fabs(ux * vy - uy * vx) <= STRAIGHT * length_of(first) * length_of(next);
}

void sg_faces_join(const struct sg_relief *relief, struct sg_face *face, size_t count)
{
    size_t start = 0; /* of a run: in an outline the first side may lie in the middle of one */
    while (face->outside != 0 && start + 1 < count &&
           runs_on(&face[(start + count - 1) % count], &face[start]))
        start++;
    for (size_t done = 0; done < count;) {
        const struct sg_face *first = &face[(start + done) % count];
        double length_m = 0, area_m2 = 0;
        size_t n = 0;
        for (; done + n < count; n++) {
            const struct sg_face *f = &face[(start + done + n) % count];
            if (n > 0 && !runs_on(first, f))
                break;
            double ground_m =
                sg_relief_at(relief, 0.5 * (f->a.x + f->b.x), 0.5 * (f->a.y + f->b.y));
            length_m += length_of(f);
            area_m2 += length_of(f) * (0.5 * (f->a.z + f->b.z) - ground_m);
        }
        for (size_t i = 0; i < n; i++) {
            struct sg_face *f = &face[(start + done + i) % count];
            f->surface_long_m = length_m;
            f->surface_high_m = area_m2 / length_m;
        }
        done += n;
    }
}
