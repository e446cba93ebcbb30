/* change.c - two studies side by side. A permit's rules for changes ask one thing first: does any
 * predicted level rise? */
#include "stillground/change.h"

#include <math.h>
#include <string.h>

#define ROUNDING 1e-9

struct comparing {
    struct sg_changes *out;
    size_t capacity;
};

static bool differs(double before, double after)
{
    return fabs(after - before) > ROUNDING * fmax(fabs(before), fabs(after));
}

static sg_status put(struct comparing *c, struct sg_change change)
{
    struct sg_changes *out = c->out;
    bool both = sg_is_set(change.before) && sg_is_set(change.after);
    bool level = change.what == SG_CHANGE_PPV || change.what == SG_CHANGE_LAEQ;
    if (!sg_is_set(change.before) && !sg_is_set(change.after))
        return SG_OK;
    out->compared++;
    change.rises = both && change.after > change.before && differs(change.before, change.after);
    change.falls = both && change.after < change.before && differs(change.before, change.after);
    out->level_rises |= level && change.rises;
    if (both && !change.rises && !change.falls)
        return SG_OK;
    if (out->count == c->capacity) {
        size_t capacity = c->capacity > 0 ? 2 * c->capacity : 64;
        struct sg_change *grown = sg_arena_alloc(&out->arena, capacity, sizeof(*grown));
        if (!grown)
            return SG_ERR_NOMEM;
        if (out->count > 0)
            memcpy(grown, out->change, out->count * sizeof(*grown));
        out->change = grown;
        c->capacity = capacity;
    }
    out->change[out->count++] = change;
    return SG_OK;
}

static size_t method_named(const struct sg_study *study, const char *name)
{
    for (size_t m = 0; m < study->nmethod; m++) {
        if (sg_same(study->site->method[m].name, name))
            return m;
    }
    return SIZE_MAX;
}

static size_t receptor_named(const struct sg_study *study, const char *name)
{
    for (size_t r = 0; r < study->nreceptor; r++) {
        if (sg_same(study->site->receptor[r].name, name))
            return r;
    }
    return SIZE_MAX;
}

static double ratio_of(const struct sg_outcome *o)
{
    return o->governing == SIZE_MAX ? SG_UNSET : o->verdict[o->governing].ratio_upper;
}

static sg_status compare_pair(struct comparing *c, const char *method, const char *receptor,
                              const struct sg_outcome *a, const struct sg_outcome *b)
{
    const struct sg_change rows[] = {
        { SG_CHANGE_PPV, method, receptor, a->ppv.upper, b->ppv.upper, false, false },
        { SG_CHANGE_LAEQ, method, receptor, a->laeq.upper, b->laeq.upper, false, false },
        { SG_CHANGE_RATIO, method, receptor, ratio_of(a), ratio_of(b), false, false },
    };
    sg_status status = SG_OK;
    for (size_t i = 0; i < SG_COUNT(rows) && status == SG_OK; i++)
        status = put(c, rows[i]);
    return status;
}

static sg_status compare_method(struct comparing *c, const struct sg_study *before,
                                const struct sg_study *after, size_t a, size_t b)
{
    const char *name = before->site->method[a].name;
    sg_status status = put(c, (struct sg_change){ SG_CHANGE_DAYS, name, "", before->summary[a].days,
                                                  after->summary[b].days, false, false });
    for (size_t r = 0; r < before->nreceptor && status == SG_OK; r++) {
        const char *receptor = before->site->receptor[r].name;
        size_t s = receptor_named(after, receptor);
        if (s != SIZE_MAX)
            status = compare_pair(c, name, receptor, sg_study_outcome(before, a, r),
                                  sg_study_outcome(after, b, s));
    }
    return status;
}

sg_status sg_changes_make(const struct sg_study *before, const struct sg_study *after,
                          struct sg_changes *out)
{
    struct sg_changes changes = SG_CHANGES_INIT;
    struct comparing c = { &changes, 0 };
    sg_status status = SG_OK;
    for (size_t m = 0; m < before->nmethod && status == SG_OK; m++) {
        size_t n = method_named(after, before->site->method[m].name);
        changes.method_gone += n == SIZE_MAX;
        if (n != SIZE_MAX)
            status = compare_method(&c, before, after, m, n);
    }
    for (size_t m = 0; m < after->nmethod; m++)
        changes.method_new += method_named(before, after->site->method[m].name) == SIZE_MAX;
    for (size_t r = 0; r < before->nreceptor; r++)
        changes.receptor_gone += receptor_named(after, before->site->receptor[r].name) == SIZE_MAX;
    for (size_t r = 0; r < after->nreceptor; r++)
        changes.receptor_new += receptor_named(before, after->site->receptor[r].name) == SIZE_MAX;
    if (status == SG_OK)
        *out = changes;
    else
        sg_arena_release(&changes.arena);
    return status;
}

void sg_changes_release(struct sg_changes *changes)
{
    if (changes)
        sg_arena_release(&changes->arena);
}
