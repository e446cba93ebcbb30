/* loaded.c - reads a site and works it out, once for all commands. */
#include "loaded.h"

#include <stdio.h>
#include <string.h>

static sg_status narrow(struct sg_loaded *loaded, const char *method, const char *receptor)
{
    size_t index;
    sg_status status = SG_OK;
    if (method) {
        status = sg_method_named(&loaded->site, method, &index, &loaded->errors);
        if (status != SG_OK)
            return status;
        loaded->view.method = &loaded->site.method[index];
        loaded->view.nmethod = 1;
    }
    if (receptor) {
        status = sg_receptor_named(&loaded->site, receptor, &index, &loaded->errors);
        if (status != SG_OK)
            return status;
        loaded->view.receptor = &loaded->site.receptor[index];
        loaded->view.nreceptor = 1;
    }
    return status;
}

sg_status sg_loaded_read(struct sg_loaded *loaded, const char *path, const char *method,
                         const char *receptor)
{
    sg_status status = sg_site_read(path, &loaded->site, &loaded->errors);
    if (!sg_ok(status))
        return status;
    for (size_t i = 0; i < loaded->site.nwarning; i++)
        fprintf(stderr, "warning: %s\n", loaded->site.warning[i]);
    loaded->view = loaded->site;
    status = narrow(loaded, method, receptor);
    return sg_ok(status) ? sg_laws_apply(&loaded->laws, &loaded->view, &loaded->errors) : status;
}

static bool in_force(const struct sg_limit_set *set, const struct sg_receptor *receptor)
{
    const struct sg_limit_row *row = NULL;
    struct sg_judged judged = { .building_class = receptor->building_class,
                                .use = receptor->use,
                                .area = receptor->area,
                                .period = SG_ANY_TIME,
                                .ambient_db = receptor->ambient_day_db,
                                .factor = SG_UNSET };
    if (set->status == SG_SET_SUPERSEDED || set->by_choice)
        return false;
    sg_limit_rows(set, &judged, SG_IMPACT, &row, 1);
    return row != NULL;
}

static const char *const *all_of(struct sg_site *site, const struct sg_receptor *receptor,
                                 size_t *count)
{
    size_t most = site->nown_set + sg_limit_set_count();
    const char **ids = sg_arena_alloc(&site->arena, most, sizeof(*ids));
    *count = 0;
    for (size_t i = 0; ids && i < most; i++) {
        const struct sg_limit_set *set =
            i < site->nown_set ? site->own_set[i] : sg_limit_set_at(i - site->nown_set);
        if (in_force(set, receptor))
            ids[(*count)++] = set->id;
    }
    return ids;
}

/* "A,B" as a list of known ids. */
static const char *const *some_of(struct sg_site *site, const char *text, size_t *count,
                                  struct sg_errors *errors)
{
    size_t most = 1;
    for (const char *c = text; *c; c++)
        most += *c == ',';
    const char **ids = sg_arena_alloc(&site->arena, most, sizeof(*ids));
    *count = 0;
    while (ids && *text) {
        size_t length = strcspn(text, ",");
        char *id = sg_arena_copy(&site->arena, text, length);
        if (!id)
            return NULL;
        if (!sg_site_limit_set(site, id)) {
            sg_errors_add(errors, SG_ERR_USAGE, NULL,
                          "--limits: no limit set is named '%s'; `stillground limits` lists them",
                          id);
            return NULL;
        }
        ids[(*count)++] = id;
        text += length + (text[length] == ',');
    }
    return ids;
}

sg_status sg_limits_put(struct sg_site *site, struct sg_site *view, const char *ids,
                        struct sg_errors *errors)
{
    if (!ids)
        return SG_OK;
    bool all = sg_same(ids, "all");
    struct sg_receptor *receptor = sg_arena_alloc(&site->arena, view->nreceptor, sizeof(*receptor));
    size_t nsome = 0;
    const char *const *some = all ? NULL : some_of(site, ids, &nsome, errors);
    if (errors->first != SG_OK)
        return errors->first;
    if (!receptor || (!all && !some))
        return SG_ERR_NOMEM;
    for (size_t i = 0; i < view->nreceptor; i++) {
        receptor[i] = view->receptor[i];
        receptor[i].limit_set = some;
        receptor[i].nlimit_set = nsome;
        if (all)
            receptor[i].limit_set = all_of(site, &receptor[i], &receptor[i].nlimit_set);
    }
    view->receptor = receptor;
    return SG_OK;
}

sg_status sg_loaded_limits(struct sg_loaded *loaded, const char *ids)
{
    return sg_limits_put(&loaded->site, &loaded->view, ids, &loaded->errors);
}

sg_status sg_loaded_work(struct sg_loaded *loaded)
{
    struct sg_progress_line line = { 0.0, false, NULL };
    sg_status status =
        sg_study_make(&loaded->view, &loaded->study, sg_progress_show, &line, &loaded->errors);
    sg_progress_end(&line);
    if (sg_ok(status)) {
        sg_status before =
            sg_laws_before(&loaded->laws, &loaded->view, &loaded->study, &loaded->errors);
        status = sg_ok(before) ? status : before;
    }
    return status;
}

void sg_loaded_release(struct sg_loaded *loaded)
{
    sg_study_release(&loaded->study);
    sg_laws_release(&loaded->laws);
    sg_site_release(&loaded->site);
    sg_errors_release(&loaded->errors);
}
