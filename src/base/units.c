/* units.c - the only place for unit factors. 1 in = 25.4 mm and 1 ft = 0.3048 m are exact by the
 * international yard and pound agreement of 1959; 1 ft.lb follows from 1 lb = 0.45359237 kg and
 * standard gravity 9.80665 m/s2. */
#include "stillground/base.h"

enum dimension { LENGTH, ENERGY, SPEED, FREQUENCY, TIME, FORCE };

struct unit {
    const char *name;
    enum dimension dimension;
    double si; /* how many SI units one is */
};

static const struct unit units[] = {
    { "m", LENGTH, 1.0 },
    { "mm", LENGTH, 1e-3 },
    { "km", LENGTH, 1e3 },
    { "in", LENGTH, SG_MM_PER_INCH * 1e-3 },
    { "ft", LENGTH, SG_M_PER_FOOT },
    { "J", ENERGY, 1.0 },
    { "kJ", ENERGY, 1e3 },
    { "MJ", ENERGY, 1e6 },
    { "ft.lb", ENERGY, SG_J_PER_FOOT_POUND },
    { "m/s", SPEED, 1.0 },
    { "mm/s", SPEED, 1e-3 },
    { "in/s", SPEED, SG_MM_PER_INCH * 1e-3 },
    { "Hz", FREQUENCY, 1.0 },
    { "rpm", FREQUENCY, 1.0 / 60.0 },
    { "s", TIME, 1.0 },
    { "min", TIME, 60.0 },
    { "h", TIME, 3600.0 },
    { "N", FORCE, 1.0 },
    { "kN", FORCE, 1e3 },
    { "tf", FORCE, 9806.65 },
};

static const struct unit *find(const char *name)
{
    for (size_t i = 0; i < SG_COUNT(units); i++) {
        if (sg_same(units[i].name, name))
            return &units[i];
    }
    return NULL;
}

sg_status sg_unit_factor(const char *from, const char *to, double *out)
{
    if (sg_same(from, to)) {
        *out = 1.0;
        return SG_OK;
    }
    const struct unit *a = find(from), *b = find(to);
    if (!a || !b)
        return SG_ERR_UNKNOWN;
    if (a->dimension != b->dimension)
        return SG_ERR_DOMAIN;
    *out = a->si / b->si;
    return SG_OK;
}
