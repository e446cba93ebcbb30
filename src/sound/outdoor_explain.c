/* outdoor_explain.c - the octave table of every term, way by way, in the order of ISO 9613-2. */
#include "outdoor_internal.h"

#include <math.h>
#include <stdio.h>

static void put_bands(struct sg_working *working, enum sg_outdoor_source source, const char *what,
                      const double *db)
{
    char text[SG_BANDS * 12 + 1];
    size_t used = 0;
    for (size_t b = 0; b < SG_BANDS; b++) {
        const char *gap = b > 0 ? " " : "";
        double shown = fabs(db[b]) < 0.005 ? 0 : db[b]; /* no -0.00 */
        int n = sg_is_set(db[b]) ? snprintf(text + used, sizeof(text) - used, "%s%7.2f", gap, shown)
                                 : snprintf(text + used, sizeof(text) - used, "%s%7s", gap, "-");
        if (n < 0 || (size_t)n >= sizeof(text) - used)
            break;
        used += (size_t)n;
    }
    sg_working_add(working, sg_outdoor_cite(source), what, "%s", text);
}

static const char *edges_text(size_t count)
{
    return count == 1 ? "edge" : "edges";
}

static void put_start(const struct sg_outdoor_path *p, size_t index, struct sg_working *working)
{
    if (p->order == 0)
        sg_working_add(working, sg_outdoor_cite(SG_FROM_LEVEL), "way 1: direct",
                       "d = %.2f m, dp = %.2f m", p->distance_m, p->ground.plan_m);
    for (size_t i = 0; i < p->order; i++)
        sg_working_add(working, sg_outdoor_cite(SG_FROM_REFLECTION),
                       i == 0 ? "way by reflection" : "and from",
                       "way %zu, from %s: d = %.2f m, dp = %.2f m", index + 1, p->mirror[i],
                       p->distance_m, p->ground.plan_m);
    if (p->order > 0)
        put_bands(working, SG_FROM_REFLECTION, "10 lg(reflection), dB", p->mirror_db);
    bool all = true;
    for (size_t b = 0; b < SG_BANDS; b++)
        all &= sg_is_set(p->mirror_db[b]);
    if (!all)
        sg_working_add(
            working, sg_outdoor_cite(SG_FROM_REFLECTION), "not reflected",
            "bands without a figure: a share of 0.2 or less thrown back, or a surface too small "
            "for Eq. (19) at the lower edge of the band");
    double facade_db = p->facade ? sg_sound_number(SG_SOUND_FACADE_DB) : 0;
    if (p->facade)
        sg_working_add(working, &sg_sound_number_at(SG_SOUND_FACADE_DB)->cite, "Dc, facade",
                       "%.2f dB instead of its reflection", facade_db);
    if (p->dc_db > facade_db)
        sg_working_add(working, sg_outdoor_cite(SG_FROM_ALTERNATIVE), "Dc, solid angle", "%.2f dB",
                       p->dc_db - facade_db);
    if (!(fabs(p->dc_db) > 0))
        sg_working_add(working, sg_outdoor_cite(SG_FROM_LEVEL), "Dc", "0 dB: no directivity");
}

static void put_ground(const struct sg_outdoor_path *p, struct sg_working *working)
{
    const struct sg_ground_path *g = &p->ground;
    if (p->by_mean_height) {
        sg_working_add(working, sg_outdoor_cite(SG_FROM_ALTERNATIVE), "Agr",
                       "hm = %.2f m: %.2f dB in every band", p->mean_height_m, p->agr_db[0]);
        return;
    }
    double total_db[SG_BANDS], source_db[SG_BANDS], middle_db[SG_BANDS], receptor_db[SG_BANDS];
    sg_ground_general(g, total_db, source_db, middle_db, receptor_db);
    sg_working_add(working, sg_outdoor_cite(SG_FROM_GROUND), "ground",
                   "hs = %.2f m, hr = %.2f m, Gs %.2f, Gm %.2f, Gr %.2f, q = %.2f",
                   g->source_height_m, g->receptor_height_m, g->g_source, g->g_middle,
                   g->g_receptor, p->q);
    put_bands(working, SG_FROM_GROUND, "As, dB", source_db);
    put_bands(working, SG_FROM_GROUND, "Ar, dB", receptor_db);
    put_bands(working, SG_FROM_GROUND, "Am, dB", middle_db);
    put_bands(working, SG_FROM_GROUND, "Agr = As + Ar + Am, dB", p->agr_db);
}

static void put_screen(const struct sg_outdoor_path *p, struct sg_working *working)
{
    if (p->top.count == 0) {
        sg_working_add(working, sg_outdoor_cite(SG_FROM_SCREEN), "Abar",
                       "0 dB: nothing stands over the way");
        return;
    }
    sg_working_add(working, sg_outdoor_cite(SG_FROM_SCREEN), "over the top",
                   "%zu %s, dss = %.2f m, dsr = %.2f m, e = %.2f m, z = %.3f m, Kmet = %.3f",
                   p->top.count, edges_text(p->top.count), p->top.first_m, p->top.last_m,
                   p->top.between_m, p->top.detour_m, p->top.meteo);
    put_bands(working, SG_FROM_CAPS, "Dz over the top, dB", p->top_db);
    for (size_t i = 0; i < 2; i++) {
        const struct sg_edges *side = &p->side[i];
        if (side->count == 0)
            continue;
        sg_working_add(working, sg_outdoor_cite(SG_FROM_SCREEN),
                       i == 0 ? "round the left" : "round the right",
                       "%zu %s, e = %.2f m, z = %.3f m", side->count, edges_text(side->count),
                       side->between_m, side->detour_m);
        put_bands(working, SG_FROM_CAPS, i == 0 ? "Dz left, dB" : "Dz right, dB", p->side_db[i]);
    }
    sg_working_add(working, sg_outdoor_cite(SG_FROM_CAPS), "Abar",
                   "energy sum over the ways; over the top less Agr where that is over 0");
    put_bands(working, SG_FROM_SCREEN, "Abar, dB", p->abar_db);
}

static void put_cover(const struct sg_outdoor_path *p, struct sg_working *working)
{
    if (p->cover_m[SG_COVER_FOLIAGE] > 0) {
        sg_working_add(working, sg_outdoor_cite(SG_FROM_FOLIAGE), "Amisc, foliage",
                       "%.2f m of the way through dense foliage", p->cover_m[SG_COVER_FOLIAGE]);
        put_bands(working, SG_FROM_FOLIAGE, "Afol, dB", p->amisc_db[SG_COVER_FOLIAGE]);
    }
    if (p->cover_m[SG_COVER_INDUSTRY] > 0) {
        sg_working_add(working, sg_outdoor_cite(SG_FROM_INDUSTRY), "Amisc, industrial site",
                       "%.2f m of the way through it", p->cover_m[SG_COVER_INDUSTRY]);
        put_bands(working, SG_FROM_INDUSTRY, "Asite, dB", p->amisc_db[SG_COVER_INDUSTRY]);
    }
    if (p->cover_m[SG_COVER_HOUSING] > 0) {
        sg_working_add(working, sg_outdoor_cite(SG_FROM_HOUSING), "Amisc, housing",
                       "%.2f m of the way through it, B db = %.2f m: %g B db, at most %g dB, less "
                       "Agr where that is over 0",
                       p->cover_m[SG_COVER_HOUSING], p->built_m, sg_outdoor_numbers.housing_factor,
                       sg_outdoor_numbers.housing_most_db);
        put_bands(working, SG_FROM_HOUSING, "Ahous, dB", p->amisc_db[SG_COVER_HOUSING]);
    }
}

/* Terms in the order of Eq. (3), (4). */
static void put_way(const struct sg_outdoor_path *p, size_t index, struct sg_working *working)
{
    double all_db[SG_BANDS];
    put_start(p, index, working);
    sg_working_add(working, sg_outdoor_cite(SG_FROM_DIVERGENCE), "Adiv",
                   "20 lg(%.2f) + 11 = %.2f dB", p->distance_m, p->adiv_db);
    put_bands(working, SG_FROM_AIR, "Aatm, dB", p->aatm_db);
    put_ground(p, working);
    put_screen(p, working);
    put_cover(p, working);
    for (size_t b = 0; b < SG_BANDS; b++)
        all_db[b] =
            p->adiv_db + p->aatm_db[b] + p->agr_db[b] + p->abar_db[b] + sg_path_misc_db(p, b);
    put_bands(working, SG_FROM_LEVEL, "A, dB", all_db);
    if (p->cmet_db > 0)
        sg_working_add(working, sg_outdoor_cite(SG_FROM_WEATHER), "Cmet", "%.2f dB", p->cmet_db);
}

void sg_outdoor_explain(const struct sg_emitter *emitter, const struct sg_outdoor_path *path,
                        size_t count, const struct sg_outdoor_level *level,
                        struct sg_working *working)
{
    double hz[SG_BANDS];
    if (!working)
        return;
    for (size_t b = 0; b < SG_BANDS; b++)
        hz[b] = sg_octave_nominal_hz(b);
    sg_working_add(working, NULL, "source", "%s, %s", emitter->name ? emitter->name : "source",
                   emitter->provenance && emitter->provenance[0] ? emitter->provenance
                                                                 : "no provenance given");
    put_bands(working, SG_FROM_LEVEL, "octave band, Hz", hz);
    if (level->by_500_hz)
        sg_working_add(working, sg_outdoor_cite(SG_FROM_500_HZ), "LWA",
                       "%.2f dB(A); no octave bands known: the attenuation at 500 Hz is used",
                       emitter->power_a_db);
    else
        put_bands(working, SG_FROM_LEVEL, "LW, dB", emitter->power_db);
    for (size_t i = 0; i < count; i++)
        put_way(&path[i], i, working);
    if (!level->by_500_hz)
        put_bands(working, SG_FROM_LEVEL, "LfT(DW), dB", level->band_db);
    sg_working_add(working, sg_outdoor_cite(SG_FROM_A_WEIGHTS), "LAT(DW)", "%.2f dB(A)",
                   level->a_db);
    if (level->a_db - level->long_term_db > 0)
        sg_working_add(working, sg_outdoor_cite(SG_FROM_WEATHER), "LAT(LT)", "%.2f dB(A)",
                       level->long_term_db);
}
