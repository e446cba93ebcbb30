/* choices.c - what somebody decided about limits: factors of limit sets, and c_F for KB from a peak
 * velocity. Nothing of it is taken without a word on who decided it. */
#include "site/site_internal.h"

#include <string.h>

const struct sg_site_factors *sg_site_factors_of(const struct sg_site *site, const char *limit_set)
{
    for (size_t i = 0; i < site->nfactors; i++) {
        if (sg_same(site->factors[i].limit_set, limit_set))
            return &site->factors[i];
    }
    return NULL;
}

static const struct sg_limit_factor *
find_factor(struct sg_reader *reader, const struct sg_tree *map, const struct sg_raw_factor *raw)
{
    const struct sg_limit_set *set = sg_site_limit_set(reader->site, raw->limit_set);
    struct sg_text allowed = SG_TEXT_INIT;
    const struct sg_limit_factor *found = NULL;
    if (!set) {
        sg_reader_error(reader, SG_ERR_INPUT, sg_tree_spot(map, "limit_set"),
                        "factors.limit_set: %s is not known; allowed: a set that the command "
                        "`limits` lists, or one of limit_files",
                        sg_quoted(reader, raw->limit_set));
        return NULL;
    }
    for (size_t i = 0; i < set->nfactor; i++) {
        sg_text_printf(&allowed, "%s%s", i > 0 ? ", " : "", set->factor[i].id);
        if (sg_same(set->factor[i].id, raw->factor))
            found = &set->factor[i];
    }
    if (!found)
        sg_reader_error(reader, SG_ERR_INPUT, sg_tree_spot(map, "factor"),
                        "factors.factor: %s has no factor %s; allowed: %s", set->id,
                        sg_quoted(reader, raw->factor),
                        set->nfactor > 0 ? sg_text_string(&allowed) : "none");
    reader->nomem |= allowed.failed;
    sg_text_release(&allowed);
    return found;
}

static bool value_fits(struct sg_reader *reader, const struct sg_tree *map, double value,
                       const struct sg_limit_factor *factor)
{
    if (!sg_is_set(value) || (value >= factor->low && value <= factor->high))
        return true;
    sg_reader_error(reader, SG_ERR_INPUT, sg_tree_spot(map, "value"),
                    "factors.value: %.9g is not in the range of '%s'; allowed: %.9g to %.9g", value,
                    factor->id, factor->low, factor->high);
    return false;
}

/* The factors of one set stand together; room for all of them is made with the first. */
struct lists {
    struct sg_site_factors *of;
    struct sg_chosen_factor *chosen;
    const char **decided_by;
    size_t room;
};

static void add_factor(struct sg_reader *reader, struct lists *lists, const struct sg_tree *map,
                       const struct sg_raw_factor *raw)
{
    struct sg_site *site = reader->site;
    size_t at = 0;
    while (at < site->nfactors && !sg_same(lists->of[at].limit_set, raw->limit_set))
        at++;
    struct sg_site_factors *of = &lists->of[at];
    struct sg_chosen_factor *chosen = &lists->chosen[at * lists->room];
    const char **decided_by = &lists->decided_by[at * lists->room];
    if (at == site->nfactors) {
        *of = (struct sg_site_factors){ raw->limit_set, chosen, decided_by, 0 };
        site->nfactors++;
    }
    for (size_t i = 0; i < of->nchosen; i++) {
        if (sg_same(chosen[i].id, raw->factor)) {
            sg_reader_error(reader, SG_ERR_INPUT, sg_tree_spot(map, "factor"),
                            "factors.factor: '%s' of %s is given a second time; allowed: once",
                            raw->factor, raw->limit_set);
            return;
        }
    }
    chosen[of->nchosen] = (struct sg_chosen_factor){ raw->factor, raw->value };
    decided_by[of->nchosen++] = raw->decided_by;
}

static void read_factors(struct sg_reader *reader, const struct sg_tree *list)
{
    size_t n = list ? list->count : 0;
    if (n == 0)
        return;
    struct lists lists = { .room = n };
    lists.of = sg_reader_alloc(reader, n, sizeof(*lists.of));
    lists.chosen = sg_reader_alloc(reader, n * n, sizeof(*lists.chosen));
    lists.decided_by = sg_reader_alloc(reader, n * n, sizeof(*lists.decided_by));
    if (!lists.of || !lists.chosen || !lists.decided_by)
        return;
    reader->site->factors = lists.of;
    for (size_t i = 0; i < n; i++) {
        const struct sg_tree *map = list->child[i];
        struct sg_raw_factor raw = { .value = SG_UNSET };
        if (!sg_bind(reader, "factors", map, &raw))
            continue;
        const struct sg_limit_factor *factor = find_factor(reader, map, &raw);
        if (factor && value_fits(reader, map, raw.value, factor))
            add_factor(reader, &lists, map, &raw);
    }
}

void sg_build_choices(struct sg_reader *reader, const struct sg_raw_site *raw)
{
    struct sg_kb_choice kb = { 0, 0, "" };
    read_factors(reader, raw->factors);
    if (!raw->kb_from_ppv || !sg_bind(reader, "kb_from_ppv", raw->kb_from_ppv, &kb))
        return;
    if (kb.cf_low > kb.cf_high)
        sg_reader_error(reader, SG_ERR_INPUT, sg_tree_spot(raw->kb_from_ppv, "c_F_low"),
                        "kb_from_ppv.c_F_low: %.9g is more than c_F_high; allowed: at most that",
                        kb.cf_low);
    else
        reader->site->kb = kb;
}
