/* noise_site.h - a site read and worked out for a test of noise. Include after cmocka.h. */
#ifndef TESTS_SUPPORT_NOISE_SITE_H
#define TESTS_SUPPORT_NOISE_SITE_H

#include "stillground/plan.h"
#include "stillground/site.h"

struct fixture {
    struct sg_site site;
    struct sg_study study;
    struct sg_arena arena;
};

static inline void open_site(struct fixture *f, const char *path, const char *const *set,
                             size_t nset)
{
    struct sg_errors errors = SG_ERRORS_INIT;
    *f = (struct fixture){ SG_SITE_INIT, SG_STUDY_INIT, SG_ARENA_INIT };
    sg_status status = sg_site_read_with(path, set, nset, &f->site, &errors);
    for (size_t i = 0; i < errors.count; i++)
        print_error("%s\n", errors.text[i]);
    assert_true(sg_ok(status));
    assert_true(sg_ok(sg_study_make(&f->site, &f->study, NULL, NULL, &errors)));
    sg_errors_release(&errors);
}

static inline void close_site(struct fixture *f)
{
    sg_arena_release(&f->arena);
    sg_study_release(&f->study);
    sg_site_release(&f->site);
}

#endif
