/* laws.c - laws fitted to the site, given with --law. */
#include "laws.h"

#include <string.h>

bool sg_laws_add(struct sg_laws *laws, const char *path)
{
    if (laws->npath == SG_LAWS_MOST)
        return false;
    laws->path[laws->npath++] = path;
    return true;
}

static sg_status check(const struct sg_site_law *law, const char *path, struct sg_errors *errors)
{
    struct sg_place at = { path, 0, 0 };
    bool level = sg_quantity_is_level(law->quantity);
    bool known = level ? law->quantity == SG_Q_LAEQ : law->quantity == SG_Q_PPV;
    bool outdoors = law->position == SG_AT_FREE_FIELD || law->position == SG_AT_BOUNDARY ||
                    (level && law->position == SG_AT_FACADE);
    if (!known)
        return sg_errors_add(
            errors, SG_ERR_INPUT, &at,
            "quantity: '%s' cannot take the place of a relation; allowed: ppv, laeq",
            sg_quantity_id(law->quantity));
    if (!outdoors)
        return sg_errors_add(
            errors, SG_ERR_INPUT, &at,
            "position: '%s': a law of values inside or on something holds for that "
            "thing only; allowed: free-field, boundary%s",
            sg_position_id(law->position), level ? ", facade" : "");
    return SG_OK;
}

static sg_status give(const struct sg_site_law *law, const char *path, struct sg_method *method,
                      size_t count, struct sg_errors *errors)
{
    struct sg_place at = { path, 0, 0 };
    bool level = sg_quantity_is_level(law->quantity), taken = false;
    for (size_t i = 0; i < count; i++) {
        const struct sg_site_law **slot = level ? &method[i].sound_law : &method[i].law;
        if (method[i].technique != law->technique)
            continue;
        if (*slot)
            return sg_errors_add(errors, SG_ERR_INPUT, &at,
                                 "method '%s' has a law of this kind already; allowed: one",
                                 method[i].name);
        *slot = law;
        taken = true;
    }
    if (!taken)
        return sg_errors_add(errors, SG_ERR_INPUT, &at,
                             "technique: no method of the site is '%s'; allowed: a law of a "
                             "technique that the site has",
                             sg_technique_id(law->technique));
    return SG_OK;
}

sg_status sg_laws_apply(struct sg_laws *laws, struct sg_site *site, struct sg_errors *errors)
{
    struct sg_method *method;
    sg_status status = SG_OK;
    if (laws->npath == 0)
        return SG_OK;
    method = sg_arena_alloc(&laws->arena, site->nmethod, sizeof(*method));
    if (!method)
        return SG_ERR_NOMEM;
    memcpy(method, site->method, site->nmethod * sizeof(*method));
    for (size_t i = 0; i < laws->npath && sg_ok(status); i++) {
        struct sg_site_law *law = &laws->law[laws->count];
        status = sg_site_law_read(laws->path[i], law, errors);
        if (!sg_ok(status))
            break;
        laws->count++;
        status = check(law, laws->path[i], errors);
        if (sg_ok(status))
            status = give(law, laws->path[i], method, site->nmethod, errors);
    }
    if (sg_ok(status))
        site->method = method;
    return status;
}

sg_status sg_laws_before(struct sg_laws *laws, const struct sg_site *site, struct sg_study *study,
                         struct sg_errors *errors)
{
    struct sg_site *plain;
    struct sg_method *method;
    if (laws->count == 0)
        return SG_OK;
    plain = sg_arena_alloc(&laws->arena, 1, sizeof(*plain));
    method = sg_arena_alloc(&laws->arena, site->nmethod, sizeof(*method));
    if (!plain || !method)
        return SG_ERR_NOMEM;
    *plain = *site;
    memcpy(method, site->method, site->nmethod * sizeof(*method));
    for (size_t i = 0; i < site->nmethod; i++)
        method[i].law = method[i].sound_law = NULL;
    plain->method = method;
    sg_status status = sg_study_make(plain, &laws->before, NULL, NULL, errors);
    if (sg_ok(status))
        study->before = &laws->before;
    return status;
}

void sg_laws_release(struct sg_laws *laws)
{
    sg_study_release(&laws->before);
    for (size_t i = 0; i < laws->count; i++)
        sg_site_law_release(&laws->law[i]);
    sg_arena_release(&laws->arena);
}
