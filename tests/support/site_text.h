/* site_text.h - a small site file that is right, changed a little by each test of the site room.
 * Include after cmocka.h.
 */
#ifndef TESTS_SUPPORT_SITE_TEXT_H
#define TESTS_SUPPORT_SITE_TEXT_H

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "site/site_internal.h"

/* Invented. The line numbers stand in the expected messages. */
static const char site_text[] =
    "title: Test wall\n"                                                                /* 1 */
    "crs: local-metre\n"                                                                /* 2 */
    "boreholes:\n"                                                                      /* 3 */
    "  - name: B1\n"                                                                    /* 4 */
    "    layers:\n"                                                                     /* 5 */
    "      - {base_m: 3, soil: clay, state: soft, spt_N: 3}\n"                          /* 6 */
    "      - {base_m: 20, soil: sand, state: dense, spt_N: 40}\n"                       /* 7 */
    "wall:\n"                                                                           /* 8 */
    "  line_points: [[0, 0], [30, 0]]\n"                                                /* 9 */
    "  section: U\n"                                                                    /* 10 */
    "  section_width_m: 0.6\n"                                                          /* 11 */
    "  toe_depth_m: 12\n"                                                               /* 12 */
    "receptors:\n"                                                                      /* 13 */
    "  list:\n"                                                                         /* 14 */
    "    - {name: House, x_m: 10, y_m: 25, use: residential, building_class: listed}\n" /* 15 */
    "methods:\n"                                                                        /* 16 */
    "  - name: Impact\n"                                                                /* 17 */
    "    technique: impact\n"                                                           /* 18 */
    "    energy_kJ: 28\n"                                                               /* 19 */
    "    minutes_per_pile: 20\n"                                                        /* 20 */
    "    on_time_percent: 50\n"                                                         /* 21 */
    "hours: {start: \"08:00\", end: \"18:00\", work_h: 9, days_per_week: 5}\n"          /* 22 */
    "limits:\n"                                                                         /* 23 */
    "  residential: [DIN4150-3-short]\n";                                               /* 24 */

/* The text with one piece put in the place of another, which must be there. The caller frees. */
static inline char *site_text_with(const char *from, const char *to)
{
    const char *at = strstr(site_text, from);
    if (!at) {
        print_error("'%s' is not in the site text\n", from);
        fail();
        return NULL;
    }
    struct sg_text text = SG_TEXT_INIT;
    sg_text_put_bytes(&text, site_text, (size_t)(at - site_text));
    sg_text_put(&text, to);
    sg_text_put(&text, at + strlen(from));
    assert_false(text.failed);
    return text.data;
}

/* One message must hold every piece (a list that ends in NULL). */
static inline void assert_message(const struct sg_errors *errors, const char *const *piece)
{
    for (size_t i = 0; i < errors->count; i++) {
        size_t held = 0, wanted = 0;
        for (; piece[wanted]; wanted++)
            held += strstr(errors->text[i], piece[wanted]) != NULL;
        assert_true(wanted > 0);
        if (held == wanted)
            return;
    }
    for (size_t i = 0; piece[i]; i++)
        print_error("wanted in one message: %s\n", piece[i]);
    for (size_t i = 0; i < errors->count; i++)
        print_error("message: %s\n", errors->text[i]);
    fail();
}

#endif
