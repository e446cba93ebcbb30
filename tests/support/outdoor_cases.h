/* outdoor_cases.h - ground and comparison of the cases of ISO/TR 17534-3:2015. Include after
 * outdoor_scene.h.
 *
 * Values: published transcriptions of the report. LA per octave band 63 Hz to 8 kHz and the total,
 * each within 0.05 dB (ISO 17534-1:2015, Table A.5 note a). Abar is a value on the way there: the
 * report works with 340 / 62.5 m at 63 Hz, the program with the nominal frequency that the standard
 * names, which costs up to 0.051 dB in that band.
 */
#ifndef TESTS_SUPPORT_OUTDOOR_CASES_H
#define TESTS_SUPPORT_OUTDOOR_CASES_H

#define WITHIN_DB 0.05
#define ABAR_WITHIN_DB 0.055

/* Regions of the ground: three strips across the way with borders at x = 50 and x = 150. */
static const struct sg_spot3 strip[3][4] = {
    { { -100, -400, 0, 0 }, { 50, -400, 0, 0 }, { 50, 400, 0, 0 }, { -100, 400, 0, 0 } },
    { { 50, -400, 0, 0 }, { 150, -400, 0, 0 }, { 150, 400, 0, 0 }, { 50, 400, 0, 0 } },
    { { 150, -400, 0, 0 }, { 400, -400, 0, 0 }, { 400, 400, 0, 0 }, { 150, 400, 0, 0 } },
};
static const struct sg_ground_region strips[3] = { { strip[0], 4, 0.9, { NULL, 0, 0 } },
                                                   { strip[1], 4, 0.5, { NULL, 0, 0 } },
                                                   { strip[2], 4, 0.2, { NULL, 0, 0 } } };
static const struct sg_ground_region strips_of_t04[3] = { { strip[0], 4, 0.2, { NULL, 0, 0 } },
                                                          { strip[1], 4, 0.5, { NULL, 0, 0 } },
                                                          { strip[2], 4, 0.9, { NULL, 0, 0 } } };
static const struct sg_ground_region strips_of_t14[3] = { { strip[0], 4, 0.5, { NULL, 0, 0 } },
                                                          { strip[1], 4, 0.9, { NULL, 0, 0 } },
                                                          { strip[2], 4, 0.2, { NULL, 0, 0 } } };

/* Ground that rises from 0 at x = 120 to 10 m at x = 185. */
static const struct sg_spot3 foot[] = { { 120, -300, SG_UNSET, 0 }, { 120, 300, SG_UNSET, 0 } };
static const struct sg_spot3 crest[] = { { 185, -300, SG_UNSET, 10 }, { 185, 300, SG_UNSET, 10 } };
static const struct sg_spot3 corners[] = { { -100, -300, SG_UNSET, 0 },
                                           { -100, 300, SG_UNSET, 0 },
                                           { 300, -300, SG_UNSET, 10 },
                                           { 300, 300, SG_UNSET, 10 } };
static const struct sg_terrain_line rise[] = { { foot, 2 }, { crest, 2 } };

static inline void put_rise(struct sg_scene *scene)
{
    scene->terrain = corners;
    scene->nterrain = SG_COUNT(corners);
    scene->terrain_line = rise;
    scene->nterrain_line = SG_COUNT(rise);
}

static inline void put_regions(struct sg_scene *scene, const struct sg_ground_region *region)
{
    scene->region = region;
    scene->nregion = 3;
}

static inline void assert_levels(const struct worked *w, const double *band_a_db, double total_db,
                                 const double *within_db)
{
    for (size_t b = 0; b < SG_BANDS; b++)
        assert_close(w->level.band_db[b] + sg_octave_a_weight_db(b), band_a_db[b], 0,
                     within_db ? within_db[b] : WITHIN_DB);
    assert_close(w->level.a_db, total_db, 0, WITHIN_DB);
}

/* Abar of the direct way. */
static inline void assert_abar(const struct worked *w, const double *abar_db)
{
    for (size_t b = 0; b < SG_BANDS; b++)
        assert_close(w->path[0].abar_db[b], abar_db[b], 0, ABAR_WITHIN_DB);
}

static const struct sg_spot3 source = { 10, 10, 1, SG_UNSET };
static const struct sg_spot3 receptor = { 200, 50, 4, SG_UNSET };

#endif
