/* outdoor_screen.c - attenuation by edges, size condition of reflecting faces, weather.
 *
 * Sources: ISO 9613-2:1996 Eq. (12) to (22) with the readings of ISO/TR 17534-3:2015 clause 5:
 * the caps act on the way over the top only (5.3), negative Agr is not taken from Dz (5.5), Abar is
 * at least 0 (5.6), K_met is 1 round the sides. Generic formulas: Kurze and Anderson 1971, Maekawa
 * 1968 (recalled), for comparison only.
 */
#include "outdoor_internal.h"

#include <math.h>

double sg_screen_meteo(const struct sg_edges *edges)
{
    if (edges->side || edges->count == 0 || !(edges->detour_m > 0))
        return 1.0;
    double root_m =
        sqrt(edges->first_m * edges->last_m * edges->direct_m / (2.0 * edges->detour_m));
    return exp(-root_m / sg_outdoor_numbers.meteo_length_m);
}

/* C3 of Eq. (15). */
static double edge_factor(const struct sg_edges *edges, double wavelength_m)
{
    if (edges->count < 2 || !(edges->between_m > 0))
        return 1.0;
    double x = sg_outdoor_numbers.edge_factor * wavelength_m / edges->between_m;
    return (1.0 + x * x) / (sg_outdoor_numbers.edge_third + x * x);
}

double sg_screen_argument(const struct sg_edges *edges, double wavelength_m, double meteo)
{
    if (edges->count == 0)
        return 1.0;
    double argument = sg_outdoor_numbers.dz_base + sg_outdoor_numbers.c2 / wavelength_m *
                                                       edge_factor(edges, wavelength_m) *
                                                       edges->detour_m * meteo;
    return argument > 1.0 ? argument : 1.0;
}

double sg_screen_db(const struct sg_edges *edges, double wavelength_m)
{
    return 10.0 * log10(sg_screen_argument(edges, wavelength_m, sg_screen_meteo(edges)));
}

double sg_screen_capped_db(const struct sg_edges *edges, double wavelength_m)
{
    double cap_db =
        edges->count > 1 ? sg_outdoor_numbers.cap_more_db : sg_outdoor_numbers.cap_one_db;
    return fmin(sg_screen_db(edges, wavelength_m), cap_db);
}

double sg_screen_combined_db(double top_dz_db, double ground_db, const double *side_db,
                             size_t nside)
{
    double top_db = fmax(0.0, top_dz_db - fmax(ground_db, 0.0));
    double energy = pow(10.0, -0.1 * top_db);
    bool any = false;
    for (size_t i = 0; i < nside; i++) {
        if (!sg_is_set(side_db[i]))
            continue;
        energy += pow(10.0, -0.1 * side_db[i]);
        any = true;
    }
    return any ? fmax(0.0, -10.0 * log10(energy)) : top_db;
}

double sg_weather_db(double c0_db, double source_height_m, double receptor_height_m, double plan_m)
{
    double near_m = sg_outdoor_numbers.weather_heights * (source_height_m + receptor_height_m);
    return plan_m <= near_m ? 0.0 : c0_db * (1.0 - near_m / plan_m);
}

bool sg_reflection_counts(double least_size_m, double cos_incidence, double before_m,
                          double after_m, double wavelength_m)
{
    double seen_m = least_size_m * cos_incidence;
    if (!(seen_m > 0))
        return false;
    return 1.0 / wavelength_m > 2.0 / (seen_m * seen_m) * before_m * after_m / (before_m + after_m);
}

#define KURZE_GRAZING_DB 5.0
#define KURZE_LEAST_N 0.2

double sg_screen_kurze_db(double fresnel)
{
    double x = sqrt(2.0 * SG_PI * fabs(fresnel));
    double db = KURZE_GRAZING_DB;
    if (x > 1e-9)
        db += 20.0 * log10(x / (fresnel > 0 ? tanh(x) : tan(x)));
    if (fresnel <= -KURZE_LEAST_N)
        return 0.0;
    return fmax(db, 0.0);
}

double sg_screen_maekawa_db(double fresnel)
{
    return 10.0 * log10(3.0 + 20.0 * fresnel);
}
