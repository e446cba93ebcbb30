/* bench_plan.c - CPU time of choosing methods: 2000 piles, 5 methods, 5000 receptors, and how it
 * grows as the wall and the receptors double. The wall and its surroundings are made up. */
#define _POSIX_C_SOURCE 200809L
#include "site/site_internal.h"
#include "stillground/choice.h"

#include <stdio.h>
#include <stdlib.h>
#include <time.h>

static double cpu_s(void)
{
    struct timespec now;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

static unsigned draw(unsigned *seed)
{
    *seed = *seed * 1103515245u + 12345u;
    return (*seed >> 8) & 0xffffu;
}

static void put_receptors(struct sg_text *text, size_t count, double length_m)
{
    static const char *const kinds[] = {
        "use: residential, building_class: older-house, ambient_day_dB: %u",
        "use: residential, building_class: modern-house, ambient_day_dB: %u",
        "use: residential, building_class: listed, ambient_day_dB: %u",
        "use: school, building_class: framed, ambient_day_dB: %u",
        "use: industry, building_class: industrial, ambient_day_dB: %u",
        "use: rail, building_class: rail-structure, ambient_day_dB: %u",
    };
    unsigned seed = 1;
    for (size_t i = 0; i < count; i++) {
        double x = length_m * draw(&seed) / 65536.0, y = 8 + 392.0 * draw(&seed) / 65536.0;
        char kind[160];
        size_t k = draw(&seed) % SG_COUNT(kinds);
#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wformat-nonliteral"
        snprintf(kind, sizeof(kind), kinds[k], 45 + draw(&seed) % 20);
#pragma GCC diagnostic pop
        sg_text_printf(text, "    - {name: R%zu, x_m: %.2f, y_m: %.2f, %s}\n", i, x, y, kind);
    }
}

static void put_methods(struct sg_text *text)
{
    static const char *const technique[] = { "impact, energy_kJ: 28",
                                             "vibratory, frequency_Hz: 28, cycle_energy_kJ: 6",
                                             "press-in", "press-in-jetting", "press-in-augering" };
    sg_text_put(text, "methods:\n");
    for (size_t i = 0; i < SG_COUNT(technique); i++)
        sg_text_printf(text,
                       "  - {name: M%zu, technique: %s, sound: {laeq_10m_dB: %zu, provenance: made "
                       "up}, minutes_per_pile: %zu, on_time_percent: 60}\n",
                       i, technique[i], 92 - 5 * i, 10 + 12 * i);
}

static void make_site(size_t piles, size_t receptors, struct sg_site *site)
{
    struct sg_text text = SG_TEXT_INIT;
    struct sg_errors errors = SG_ERRORS_INIT;
    double length_m = 0.6 * (double)piles;
    sg_text_printf(&text,
                   "title: made up\ncrs: local-metre\n"
                   "ground: [{base_m: 2, soil: fill, state: loose}, {base_m: 6, soil: clay, state: "
                   "soft}, {base_m: 11, soil: sand, state: loose, spt_N: 9}, "
                   "{base_m: 30, soil: sand, "
                   "state: medium-dense, spt_N: 20}]\n"
                   "wall: {line_points: [[0, 0], [%.1f, 0]], section: U, section_width_m: 0.6, "
                   "toe_depth_m: 12}\nreceptors:\n  list:\n",
                   length_m + 0.01);
    put_receptors(&text, receptors, length_m);
    put_methods(&text);
    sg_text_put(&text, "hours: {start: \"08:00\", end: \"18:00\", work_h: 9, days_per_week: 5}\n"
                       "limits:\n  residential: [DIN4150-3-short, DIN4150-3-long, BS7385-2, "
                       "BS5228-1-ABC]\n  school: [DIN4150-3-short, DIN4150-3-long]\n"
                       "  industry: [DIN4150-3-short, DIN4150-3-long]\n  rail: [RAIL-HK]\n");
    sg_status status =
        sg_site_read_memory(sg_text_string(&text), text.length, "bench.yaml", site, &errors);
    if (!sg_ok(status)) {
        fprintf(stderr, "%s\n", errors.count > 0 ? errors.text[0] : "no site");
        exit(1);
    }
    sg_errors_release(&errors);
    sg_text_release(&text);
}

static void run(size_t piles, size_t receptors)
{
    struct sg_site site = SG_SITE_INIT;
    struct sg_wall_values values;
    struct sg_plan plan;
    struct sg_choice_wish wish = SG_CHOICE_WISH_INIT;
    make_site(piles, receptors, &site);
    double start = cpu_s();
    if (!sg_ok(sg_wall_values_make(&site, SG_BY_UPPER, &values, NULL, NULL, NULL)))
        exit(1);
    double middle = cpu_s();
    if (!sg_ok(sg_plan_make(&values, &wish, &plan, NULL)))
        exit(1);
    double end = cpu_s();
    printf("  %6zu piles  %6zu receptors  %3zu kinds  values %6.2f s  choice and front %6.2f s\n",
           piles, receptors, values.groups, middle - start, end - middle);
    sg_plan_release(&plan);
    sg_wall_values_release(&values);
    sg_site_release(&site);
}

int main(void)
{
    static const size_t size[][2] = { { 500, 5000 },  { 1000, 5000 },  { 2000, 5000 },
                                      { 4000, 5000 }, { 2000, 10000 }, { 2000, 20000 } };
    puts("a method for every pile, 5 methods, CPU time");
    for (size_t i = 0; i < SG_COUNT(size); i++)
        run(size[i][0], size[i][1]);
    return 0;
}
