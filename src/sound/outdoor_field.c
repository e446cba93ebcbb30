/* outdoor_field.c - levels of many sources at many points on flat open ground.
 *
 * Source: ISO 9613-2:1996 Eq. (3) to (9), Table 3. A pair costs ten powers, two of which are the
 * parts of Table 3 that depend on the distance; the parts that depend on the heights are worked out
 * once a point. Receptors go through in blocks, side by side, and every sum runs over the sources
 * in their order: neither threads nor the width of registers change a bit.
 */
#include "base/wide.h"
#include "outdoor_internal.h"
#include "stillground/outdoor_field.h"

#include <omp.h>

#define BLOCK 64u
#define SHAPED 4u /* bands 125 Hz to 1 kHz, which Table 3 gives a function each */
#define NEAREST2_M2 1.0
#define LB_10 3.3219280948873623479
#define LB_E 1.4426950408889634074
#define LG_2 0.30102999566398119521
#define SILENT (-1000.0)
#define TO_LB (-0.1 * LB_10) /* decibels of attenuation to powers of two */

/* Height part of the functions of Table 3, by how their distance part rises: with dp or dp^2. */
struct shape {
    double with_dp[SHAPED], with_dp2[SHAPED];
};

/* What all pairs share; attenuations are in powers of two. */
struct open_ground {
    double air[SG_BANDS];    /* a metre of way */
    double fixed[SG_BANDS];  /* both ends, without the shapes */
    double middle[SG_BANDS]; /* times q */
    double rate_dp, rate_dp2, heights;
    double least; /* powers of two are held there; a variable, lest compilers branch to its power */
    double weight[SG_BANDS];
};
struct loud {
    double x_m, y_m, height_m;
    double power[SG_BANDS]; /* at 1 m, as a power of two */
    struct shape shape;
};
struct block {
    double x_m[BLOCK], y_m[BLOCK], height_m[BLOCK];
    double with_dp[SHAPED][BLOCK], with_dp2[SHAPED][BLOCK];
    double energy[SG_BANDS][BLOCK];
    double nearest[BLOCK]; /* one over the squared distance to the nearest source */
};

bool sg_outdoor_open(const struct sg_scene *scene)
{
    return scene->nobstacle == 0 && scene->nregion == 0 && scene->ncover == 0 &&
           scene->nterrain == 0 && scene->nterrain_line == 0 &&
           scene->ground_method == SG_GROUND_GENERAL && !(scene->c0_db > 0);
}

static struct shape shape_of(double factor, double height_m)
{
    struct shape shape = { { 0 }, { 0 } };
    for (size_t k = 0; k < SHAPED; k++) {
        for (size_t i = 0; i < 2; i++) {
            const struct sg_ground_term *t = &sg_outdoor_numbers.ground[k].term[i];
            double above_m = height_m - t->shift_m;
            double part = TO_LB * factor * t->strength * exp(-t->decay * above_m * above_m);
            *(t->power > 1.5 ? &shape.with_dp2[k] : &shape.with_dp[k]) += part;
        }
    }
    return shape;
}

static sg_status prepare(const struct sg_scene *scene, struct open_ground *out)
{
    const struct sg_outdoor_numbers *n = &sg_outdoor_numbers;
    struct open_ground g = { .heights = n->region_heights, .least = SILENT };
    double factor = scene->ground_factor;
    for (size_t b = 0; b < SG_BANDS; b++) {
        double alpha_db_km = sg_air_absorption_db_km(&scene->air, sg_octave_exact_hz(b));
        if (!sg_is_set(alpha_db_km))
            return SG_ERR_DOMAIN;
        bool shaped = b > 0 && b <= SHAPED;
        double end_db = b == 0   ? n->region_db
                        : shaped ? n->region_db + factor * n->ground[b - 1].base
                                 : n->region_db * (1.0 - factor);
        g.air[b] = TO_LB * alpha_db_km / 1000.0;
        g.fixed[b] = TO_LB * 2.0 * end_db;
        g.middle[b] = TO_LB * (b == 0 ? n->middle_db : n->middle_db * (1.0 - factor));
    }
    for (size_t i = 0; i < 2 * SHAPED; i++) { /* one rate for each of the two ways to rise */
        const struct sg_ground_term *t = &n->ground[i / 2].term[i % 2];
        double *rate = t->power > 1.5 ? &g.rate_dp2 : &g.rate_dp, wanted = -LB_E * t->rate;
        if (!(t->strength > 0))
            continue;
        if (*rate < 0 && fabs(*rate - wanted) > 0)
            return SG_ERR_BUG;
        *rate = wanted;
    }
    sg_bands_ratio(n->a_weight_db, g.weight);
    *out = g;
    return SG_OK;
}

static void put_source(struct loud *to, const struct sg_outdoor_points *sources, size_t i,
                       const double *power_db, double factor)
{
    *to = (struct loud){ .x_m = sources->x_m[i],
                         .y_m = sources->y_m[i],
                         .height_m = sources->height_m[i],
                         .shape = shape_of(factor, sources->height_m[i]) };
    for (size_t b = 0; b < SG_BANDS; b++) {
        double db = power_db[SG_BANDS * i + b];
        to->power[b] = sg_is_set(db) ? -TO_LB * (db - sg_outdoor_numbers.divergence_db) : SILENT;
    }
}

/* The last block is filled up with its first point. */
static void put_block(struct block *to, const struct sg_outdoor_points *receptors, size_t from,
                      double factor)
{
    size_t n = receptors->count - from;
    for (size_t i = 0; i < BLOCK; i++) {
        size_t at = i < n ? from + i : from;
        struct shape shape = shape_of(factor, receptors->height_m[at]);
        to->x_m[i] = receptors->x_m[at];
        to->y_m[i] = receptors->y_m[at];
        to->height_m[i] = receptors->height_m[at];
        for (size_t k = 0; k < SHAPED; k++) {
            to->with_dp[k][i] = shape.with_dp[k];
            to->with_dp2[k][i] = shape.with_dp2[k];
        }
        for (size_t b = 0; b < SG_BANDS; b++)
            to->energy[b][i] = 0;
        to->nearest[i] = 0;
    }
}

/* 2^y for y from -1000 to 1000: the whole part goes into the exponent, the rest (at most a half)
 * through a polynomial of our own, fitted so that its largest relative error is least, 2e-9. A
 * level moves by 8e-9 dB through its own power, by less than 5e-8 dB through those of the ground.
 */
SG_INLINED double power_of_2(double y)
{
    const double round_by = 6755399441055744.0; /* 1.5 * 2^52 */
    double shifted = y + round_by, t = y - (shifted - round_by);
    double p = 0.0001534581199580951;
    p = fma(p, t, 0.0013399931219590716);
    p = fma(p, t, 0.009618488957141449);
    p = fma(p, t, 0.05550328776963806);
    p = fma(p, t, 0.24022646890633778);
    p = fma(p, t, 0.6931472057372687);
    p = fma(p, t, 1.0000000005541665);
    return sg_double_of(sg_bits_of(p) + (sg_bits_of(shifted) << 52));
}

SG_INLINED double more(double a, double b)
{
    return a > b ? a : b;
}

struct way {
    double long_m[BLOCK], spread[BLOCK], q[BLOCK];
    double rise_dp[BLOCK], rise_dp2[BLOCK];
};

SG_INLINED void start_way(const struct open_ground *g, const struct loud *s, struct block *to,
                          struct way *way)
{
    double ends = g->heights * s->height_m, least = g->least, x_m = s->x_m, y_m = s->y_m;
    double height_m = s->height_m, heights = g->heights;
    double rate_dp = g->rate_dp, rate_dp2 = g->rate_dp2;
#pragma omp simd
    for (size_t i = 0; i < BLOCK; i++) {
        double dx = to->x_m[i] - x_m, dy = to->y_m[i] - y_m, dz = to->height_m[i] - height_m;
        double plan2 = fma(dx, dx, dy * dy), square = fma(dz, dz, plan2), plan = sqrt(plan2);
        double both = 1.0 / (plan * square); /* one division for two */
        double beyond = 1.0 - fma(heights, to->height_m[i], ends) * (both * square);
        double spread = both * plan;
        way->long_m[i] = sqrt(square);
        way->spread[i] = spread;
        way->q[i] = more(beyond, 0);
        way->rise_dp[i] = 1.0 - power_of_2(more(rate_dp * plan, least));
        way->rise_dp2[i] = 1.0 - power_of_2(more(rate_dp2 * plan2, least));
        to->nearest[i] = more(spread, to->nearest[i]);
    }
}

/* Adds one source to a block. */
SG_INLINED void add_source(const struct open_ground *g, const struct loud *s, struct block *to)
{
    struct way way;
    start_way(g, s, to, &way);
    double least = g->least;
    for (size_t b = 0; b < SG_BANDS; b++) {
        double air = g->air[b], fixed = g->fixed[b] + s->power[b], middle = g->middle[b];
        double *energy = to->energy[b];
        if (b == 0 || b > SHAPED) {
#pragma omp simd
            for (size_t i = 0; i < BLOCK; i++) {
                double y = fma(air, way.long_m[i], fma(middle, way.q[i], fixed));
                energy[i] = fma(way.spread[i], power_of_2(more(y, least)), energy[i]);
            }
            continue;
        }
        const double *with_dp = to->with_dp[b - 1], *with_dp2 = to->with_dp2[b - 1];
        double own_dp = s->shape.with_dp[b - 1], own_dp2 = s->shape.with_dp2[b - 1];
#pragma omp simd
        for (size_t i = 0; i < BLOCK; i++) {
            double y = fma(air, way.long_m[i], fma(middle, way.q[i], fixed));
            y = fma(own_dp + with_dp[i], way.rise_dp[i], y);
            y = fma(own_dp2 + with_dp2[i], way.rise_dp2[i], y);
            energy[i] = fma(way.spread[i], power_of_2(more(y, least)), energy[i]);
        }
    }
}

SG_FOR_THIS_CPU
static void add_sources(const struct open_ground *g, const struct loud *source, size_t nsource,
                        struct block *to)
{
    for (size_t i = 0; i < nsource; i++)
        add_source(g, &source[i], to);
}

static double level_of(double energy)
{
    return energy > 1e-290 ? 10.0 * LG_2 * sg_log2_of(energy) : SG_UNSET;
}

static void put_levels(const struct open_ground *g, const struct block *from, size_t n,
                       double *band_db, double *a_db)
{
    for (size_t i = 0; i < n; i++) {
        double total = 0;
        bool known = from->nearest[i] <= 1.0 / NEAREST2_M2;
        for (size_t b = 0; b < SG_BANDS; b++) {
            total = fma(from->energy[b][i], g->weight[b], total);
            if (band_db)
                band_db[SG_BANDS * i + b] = known ? level_of(from->energy[b][i]) : SG_UNSET;
        }
        if (a_db)
            a_db[i] = known ? level_of(total) : SG_UNSET;
    }
}

sg_status sg_outdoor_field(const struct sg_scene *scene, const struct sg_outdoor_points *sources,
                           const double *power_db, const struct sg_outdoor_points *receptors,
                           int threads, double *band_db, double *a_db)
{
    struct open_ground ground;
    if (!sg_outdoor_open(scene))
        return SG_ERR_DOMAIN;
    sg_status status = prepare(scene, &ground);
    if (!sg_ok(status))
        return status;
    struct loud *source = sg_alloc(sources->count + 1, sizeof(*source));
    if (!source)
        return SG_ERR_NOMEM;
    for (size_t i = 0; i < sources->count; i++)
        put_source(&source[i], sources, i, power_db, scene->ground_factor);
    size_t nblock = (receptors->count + BLOCK - 1) / BLOCK;
    int wanted = threads > 0 ? threads : omp_get_max_threads();
#pragma omp parallel for num_threads(wanted) schedule(static)
    for (size_t k = 0; k < nblock; k++) {
        struct block block;
        size_t from = k * BLOCK, left = receptors->count - from;
        put_block(&block, receptors, from, scene->ground_factor);
        add_sources(&ground, source, sources->count, &block);
        put_levels(&ground, &block, left < BLOCK ? left : BLOCK,
                   band_db ? band_db + SG_BANDS * from : NULL, a_db ? a_db + from : NULL);
    }
    sg_free(source);
    return SG_OK;
}
