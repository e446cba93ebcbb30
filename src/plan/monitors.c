/* monitors.c - the monitoring plan. Amber and red are shares of the limit that the user sets; 80
 * and 100 % are common practice, no source. A share of a level is that of the sound pressure. */
#include "stillground/monitors.h"

#include <math.h>
#include <string.h>

#define RANGE_OVER_RED                                                                             \
    2.0 /* room above the level at which work stops; common practice, no source */
#define NODES_MOST ((size_t)2000000)

/* ---- fewest sets ---- */

struct cover {
    const uint64_t *covers;
    size_t n, words;
    size_t *now, *best; /* chosen so far, the best so far */
    size_t nbest;
    size_t nodes, max_nodes;
};

static bool has(const uint64_t *row, size_t i)
{
    return (row[i / 64] >> (i % 64)) & 1u;
}

static size_t count_new(const struct cover *c, size_t set, const uint64_t *done)
{
    size_t sum = 0;
    for (size_t w = 0; w < c->words; w++)
        sum += (size_t)__builtin_popcountll(c->covers[set * c->words + w] & ~done[w]);
    return sum;
}

static void add_set(const struct cover *c, size_t set, const uint64_t *done, uint64_t *out)
{
    for (size_t w = 0; w < c->words; w++)
        out[w] = done[w] | c->covers[set * c->words + w];
}

/* The thing still open that fewest sets hold; SIZE_MAX = all are covered. */
static size_t rarest(const struct cover *c, const uint64_t *done)
{
    size_t found = SIZE_MAX, fewest = SIZE_MAX;
    for (size_t i = 0; i < c->n; i++) {
        size_t holders = 0;
        if (has(done, i))
            continue;
        for (size_t s = 0; s < c->n; s++)
            holders += has(&c->covers[s * c->words], i);
        if (holders < fewest) {
            fewest = holders;
            found = i;
        }
    }
    return found;
}

/* How many more sets it takes at least: each covers at most the largest number of open things. */
static size_t bound(const struct cover *c, const uint64_t *done)
{
    size_t open = 0, largest = 1;
    for (size_t i = 0; i < c->n; i++)
        open += !has(done, i);
    for (size_t s = 0; s < c->n; s++) {
        size_t n = count_new(c, s, done);
        largest = n > largest ? n : largest;
    }
    return (open + largest - 1) / largest;
}

static void search(struct cover *c, const uint64_t *done, uint64_t *stack, size_t depth)
{
    if (c->nodes++ >= c->max_nodes)
        return;
    size_t thing = rarest(c, done);
    if (thing == SIZE_MAX) {
        memcpy(c->best, c->now, depth * sizeof(*c->best));
        c->nbest = depth;
        return;
    }
    if (depth + bound(c, done) >= c->nbest)
        return;
    uint64_t *next = &stack[depth * c->words];
    for (size_t s = 0; s < c->n; s++) {
        if (!has(&c->covers[s * c->words], thing))
            continue;
        add_set(c, s, done, next);
        c->now[depth] = s;
        search(c, next, stack, depth + 1);
    }
}

static void greedy(struct cover *c, uint64_t *done)
{
    c->nbest = 0;
    memset(done, 0, c->words * sizeof(*done));
    while (rarest(c, done) != SIZE_MAX && c->nbest < c->n) {
        size_t best = 0;
        for (size_t s = 1; s < c->n; s++)
            best = count_new(c, s, done) > count_new(c, best, done) ? s : best;
        c->best[c->nbest++] = best;
        add_set(c, best, done, done);
    }
}

sg_status sg_fewest_cover(const uint64_t *covers, size_t n, size_t max_nodes,
                          struct sg_arena *arena, size_t *chosen, size_t *count, size_t *least)
{
    struct cover c = { .covers = covers, .n = n, .words = (n + 63) / 64, .max_nodes = max_nodes };
    c.now = sg_arena_alloc(arena, n + 1, sizeof(*c.now));
    c.best = sg_arena_alloc(arena, n + 1, sizeof(*c.best));
    uint64_t *done = sg_arena_alloc(arena, c.words + 1, sizeof(*done));
    uint64_t *stack = sg_arena_alloc(arena, (n + 1) * c.words + 1, sizeof(*stack));
    if (!c.now || !c.best || !done || !stack)
        return SG_ERR_NOMEM;
    greedy(&c, done);
    memset(done, 0, c.words * sizeof(*done));
    size_t floor_of = n > 0 ? bound(&c, done) : 0;
    search(&c, done, stack, 0);
    memcpy(chosen, c.best, c.nbest * sizeof(*chosen));
    *count = c.nbest;
    *least = c.nodes < max_nodes ? c.nbest : floor_of;
    return SG_OK;
}

/* ---- watched receptors ---- */

static bool is_level(const struct sg_verdict *v)
{
    return v->row && sg_quantity_is_level(v->row->quantity);
}

/* A site put together by hand may leave the shares at 0. */
static struct sg_monitoring wish_of(const struct sg_study *study)
{
    struct sg_monitoring wish = study->site->monitoring;
    wish.amber_percent = wish.amber_percent > 0 ? wish.amber_percent : 80;
    wish.red_percent = wish.red_percent > 0 ? wish.red_percent : 100;
    return wish;
}

static double share_of(const struct sg_verdict *v, double percent)
{
    return is_level(v) ? v->limit + 20 * log10(percent / 100) : v->limit * percent / 100;
}

static void find_worst(const struct sg_study *study, size_t receptor, bool noise,
                       struct sg_watch *out)
{
    *out =
        (struct sg_watch){ .receptor = receptor, .noise = noise, .ratio = 0, .monitor = SIZE_MAX };
    for (size_t m = 0; m < study->nmethod; m++) {
        const struct sg_outcome *o = sg_study_outcome(study, m, receptor);
        for (size_t i = 0; i < o->nverdict; i++) {
            const struct sg_verdict *v = &o->verdict[i];
            bool kind = v->row && (v->row->purpose == SG_FOR_NOISE) == noise;
            if (!kind || !sg_is_set(v->ratio_upper) || !(v->ratio_upper > out->ratio))
                continue;
            out->ratio = v->ratio_upper;
            out->verdict = v;
            out->method = m;
            out->distance_m = noise ? o->rig_distance_m : o->distance_m;
            out->band_low_hz = noise ? SG_UNSET : o->ppv.frequency_low_hz;
            out->band_high_hz = noise ? SG_UNSET : o->ppv.frequency_high_hz;
        }
    }
}

static void finish_watch(const struct sg_study *study, struct sg_watch *w)
{
    struct sg_monitoring wish = wish_of(study);
    const struct sg_verdict *v = w->verdict;
    bool damage = v->row->purpose == SG_FOR_DAMAGE;
    w->amber = share_of(v, wish.amber_percent);
    w->red = share_of(v, wish.red_percent);
    double above = is_level(v) ? w->red + 20 * log10(RANGE_OVER_RED) : w->red * RANGE_OVER_RED;
    w->range = fmax(above, v->value_upper);
    w->survey = damage && w->ratio * 100 >= wish.amber_percent;
}

static bool collect(const struct sg_study *study, struct sg_monitors *out)
{
    double amber = wish_of(study).amber_percent / 100;
    out->watch = sg_arena_alloc(&out->arena, 2 * study->nreceptor + 2, sizeof(*out->watch));
    if (!out->watch)
        return false;
    for (int noise = 0; noise < 2; noise++) {
        struct sg_watch worst = { .ratio = 0 };
        bool any = false;
        for (size_t r = 0; r < study->nreceptor; r++) {
            struct sg_watch w;
            find_worst(study, r, noise == 1, &w);
            if (w.verdict && w.ratio > worst.ratio)
                worst = w;
            if (!w.verdict || w.ratio < amber)
                continue;
            any = true;
            out->watch[out->nwatch++] = w;
        }
        if (!any && worst.verdict)
            out->watch[out->nwatch++] = worst;
    }
    for (size_t i = 0; i < out->nwatch; i++)
        finish_watch(study, &out->watch[i]);
    return true;
}

/* Whether a monitor at a stands for b. */
static bool stands_for(const struct sg_study *study, const struct sg_watch *a,
                       const struct sg_watch *b)
{
    double cover_m = study->site->monitoring.cover_m;
    if (a == b)
        return true;
    if (!(cover_m > 0) || a->noise != b->noise || a->distance_m > b->distance_m)
        return false;
    const struct sg_receptor *ra = &study->site->receptor[a->receptor];
    const struct sg_receptor *rb = &study->site->receptor[b->receptor];
    return fmin(sg_site_distance_m(ra, rb->at), sg_site_distance_m(rb, ra->at)) <= cover_m;
}

static sg_status place(const struct sg_study *study, struct sg_monitors *out)
{
    size_t n = out->nwatch, words = (n + 63) / 64;
    uint64_t *covers = sg_arena_alloc(&out->arena, n * words + 1, sizeof(*covers));
    out->at = sg_arena_alloc(&out->arena, n + 1, sizeof(*out->at));
    if (!covers || !out->at)
        return SG_ERR_NOMEM;
    for (size_t a = 0; a < n; a++) {
        for (size_t b = 0; b < n; b++) {
            if (stands_for(study, &out->watch[a], &out->watch[b]))
                covers[a * words + b / 64] |= (uint64_t)1 << (b % 64);
        }
    }
    sg_status status = sg_fewest_cover(covers, n, NODES_MOST / (n * n + 1) + 1000, &out->arena,
                                       out->at, &out->count, &out->least);
    for (size_t k = 0; status == SG_OK && k < out->count; k++) {
        for (size_t b = 0; b < n; b++) {
            bool mine = has(&covers[out->at[k] * words], b);
            if (mine && (out->watch[b].monitor == SIZE_MAX || b == out->at[k]))
                out->watch[b].monitor = k;
        }
    }
    return status;
}

sg_status sg_monitors_make(const struct sg_study *study, struct sg_monitors *out)
{
    struct sg_monitors monitors = SG_MONITORS_INIT;
    sg_status status = collect(study, &monitors) ? SG_OK : SG_ERR_NOMEM;
    if (status == SG_OK)
        status = place(study, &monitors);
    if (status == SG_OK)
        *out = monitors;
    else
        sg_arena_release(&monitors.arena);
    return status;
}

void sg_monitors_release(struct sg_monitors *monitors)
{
    if (monitors)
        sg_arena_release(&monitors->arena);
}
