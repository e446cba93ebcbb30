/* outdoor_bands.c - octave bands: frequencies, A-weights, the A-weighted total; absorption by air.
 *
 * Sources: ISO 9613-1:1993 Eq. (3) to (5), Annex B; ISO 9613-2:1996 Eq. (5). Air is worked out at
 * exact mid-bands 1000 10^(3k/10), wavelengths at the nominal ones, as the standard names them.
 */
#include "stillground/outdoor.h"
#include "stillground/outdoor_numbers.h"

#include <math.h>

#define BAND_OF_1_KHZ 4

double sg_octave_nominal_hz(size_t band)
{
    static const double nominal[SG_BANDS] = { 63, 125, 250, 500, 1000, 2000, 4000, 8000 };
    return band < SG_BANDS ? nominal[band] : SG_UNSET;
}

double sg_octave_exact_hz(size_t band)
{
    return 1000.0 * pow(10.0, 0.3 * ((double)band - BAND_OF_1_KHZ));
}

double sg_octave_a_weight_db(size_t band)
{
    return band < SG_BANDS ? sg_outdoor_numbers.a_weight_db[band] : SG_UNSET;
}

double sg_octave_a_level(const double *band_db)
{
    double weighted[SG_BANDS];
    for (size_t b = 0; b < SG_BANDS; b++)
        weighted[b] = band_db[b] + sg_outdoor_numbers.a_weight_db[b];
    return sg_level_sum(weighted, SG_BANDS);
}

static bool air_in_range(const struct sg_air *air, double frequency_hz)
{
    const struct sg_air_numbers *n = &sg_air_numbers;
    double exact_edge = 1e-9;
    return air->temperature_c >= n->t_low_c && air->temperature_c <= n->t_high_c &&
           air->humidity_percent >= n->rh_low && air->humidity_percent <= n->rh_high &&
           air->pressure_kpa > 0 && air->pressure_kpa <= n->p_high_kpa &&
           frequency_hz >= n->f_low_hz * (1 - exact_edge) &&
           frequency_hz <= n->f_high_hz * (1 + exact_edge);
}

double sg_air_absorption_db_km(const struct sg_air *air, double frequency_hz)
{
    const struct sg_air_numbers *n = &sg_air_numbers;
    if (!air_in_range(air, frequency_hz))
        return SG_UNSET;
    double t_k = air->temperature_c + 273.15;
    double ratio = t_k / n->t0_k, pressure = air->pressure_kpa / n->pr_kpa;
    double saturation = pow(10.0, n->saturation_slope * pow(n->t01_k / t_k, n->saturation_power) +
                                      n->saturation_offset);
    double h = air->humidity_percent * saturation / pressure;
    double oxygen_hz =
        pressure * (n->oxygen_base + n->oxygen_factor * h * (n->oxygen_a + h) / (n->oxygen_b + h));
    double nitrogen_hz =
        pressure / sqrt(ratio) *
        (n->nitrogen_base +
         n->nitrogen_factor * h * exp(-n->nitrogen_exponent * (1.0 / cbrt(ratio) - 1.0)));
    double f2 = frequency_hz * frequency_hz;
    double classical = n->classical / pressure * sqrt(ratio);
    double oxygen = n->oxygen_strength * exp(-n->oxygen_k / t_k) / (oxygen_hz + f2 / oxygen_hz);
    double nitrogen =
        n->nitrogen_strength * exp(-n->nitrogen_k / t_k) / (nitrogen_hz + f2 / nitrogen_hz);
    double alpha_db_m = n->db_per_neper * f2 * (classical + pow(ratio, -2.5) * (oxygen + nitrogen));
    return 1000.0 * alpha_db_m;
}

double sg_divergence_db(double distance_m)
{
    return 20.0 * log10(distance_m) + sg_outdoor_numbers.divergence_db;
}
