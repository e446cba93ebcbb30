/* cases.c - published cases and reference answers that the command `verify` works out anew.
 *
 * relation: a model id with its inputs as `models` takes them, or level-sum (levels in dB) or
 * level-mean (levels x durations). expected: as printed; derived = unrounded from the formula. */
#include "stillground/catalogue.h"

/* clang-format off */
static const struct sg_case cases[] = {
    /* id, relation, inputs, level, expected, tolerance, unit, source */
    { "caltrans-example-1", "caltrans-impact", "distance_m=100ft energy_J=80000ft.lb", SG_LEVEL_ANY, 0.21, 0.005, "in/s", { "caltrans2013", "sect. 7.3.1, Example 1, as printed", SG_GRADE_SEEN } },
    { "caltrans-example-1-exact", "caltrans-impact", "distance_m=100ft energy_J=80000ft.lb", SG_LEVEL_ANY, 0.21088, 5e-06, "in/s", { "caltrans2013", "sect. 7.3.1, Example 1, unrounded", SG_GRADE_DERIVED } },
    { "caltrans-example-2", "caltrans-other-plant", "variant=vibratory-roller distance_m=50ft propagation_class=IV", SG_LEVEL_ANY, 0.105, 0.001, "in/s", { "caltrans2013", "sect. 7.3.1, Example 2, printed 0.11", SG_GRADE_DERIVED } },
    { "towers-2017-excavation-P1", "fta-ppv", "variant=vibratory-roller distance_m=17", SG_LEVEL_ANY, 0.063, 0.0001, "in/s", { "towers2017", "Table 6", SG_GRADE_SEEN } },
    { "towers-2017-excavation-P2", "fta-ppv", "variant=vibratory-roller distance_m=22", SG_LEVEL_ANY, 0.0428, 0.0001, "in/s", { "towers2017", "Table 6", SG_GRADE_SEEN } },
    { "towers-2017-excavation-P3", "fta-ppv", "variant=vibratory-roller distance_m=45", SG_LEVEL_ANY, 0.0146, 0.0001, "in/s", { "towers2017", "Table 6", SG_GRADE_SEEN } },
    { "towers-2017-excavation-P4", "fta-ppv", "variant=vibratory-roller distance_m=8", SG_LEVEL_ANY, 0.1952, 0.0001, "in/s", { "towers2017", "Table 6", SG_GRADE_SEEN } },
    { "towers-2017-excavation-P5", "fta-ppv", "variant=vibratory-roller distance_m=42", SG_LEVEL_ANY, 0.0162, 0.0001, "in/s", { "towers2017", "Table 6", SG_GRADE_SEEN } },
    { "towers-2017-excavation-P6", "fta-ppv", "variant=vibratory-roller distance_m=35", SG_LEVEL_ANY, 0.0213, 0.0001, "in/s", { "towers2017", "Table 6", SG_GRADE_SEEN } },
    { "towers-2017-structure-P1", "fta-ppv", "variant=loaded-trucks distance_m=17", SG_LEVEL_ANY, 0.0228, 0.0001, "in/s", { "towers2017", "Table 7", SG_GRADE_SEEN } },
    { "towers-2017-structure-P2", "fta-ppv", "variant=loaded-trucks distance_m=22", SG_LEVEL_ANY, 0.0155, 0.0001, "in/s", { "towers2017", "Table 7", SG_GRADE_SEEN } },
    { "towers-2017-structure-P3", "fta-ppv", "variant=loaded-trucks distance_m=45", SG_LEVEL_ANY, 0.0053, 0.0001, "in/s", { "towers2017", "Table 7", SG_GRADE_SEEN } },
    { "towers-2017-structure-P4", "fta-ppv", "variant=loaded-trucks distance_m=8", SG_LEVEL_ANY, 0.0706, 0.0001, "in/s", { "towers2017", "Table 7", SG_GRADE_SEEN } },
    { "towers-2017-structure-P5", "fta-ppv", "variant=loaded-trucks distance_m=42", SG_LEVEL_ANY, 0.0059, 0.0001, "in/s", { "towers2017", "Table 7", SG_GRADE_SEEN } },
    { "towers-2017-structure-P6", "fta-ppv", "variant=loaded-trucks distance_m=35", SG_LEVEL_ANY, 0.0077, 0.0001, "in/s", { "towers2017", "Table 7", SG_GRADE_SEEN } },
    { "towers-2017-demolition-P1", "fta-ppv", "variant=large-bulldozer distance_m=17", SG_LEVEL_ANY, 0.0267, 0.0001, "in/s", { "towers2017", "demolition table, recomputed: four of six printed values do not follow from the formula", SG_GRADE_DERIVED } },
    { "towers-2017-demolition-P2", "fta-ppv", "variant=large-bulldozer distance_m=22", SG_LEVEL_ANY, 0.0181, 0.0001, "in/s", { "towers2017", "demolition table, recomputed: four of six printed values do not follow from the formula", SG_GRADE_DERIVED } },
    { "towers-2017-demolition-P3", "fta-ppv", "variant=large-bulldozer distance_m=45", SG_LEVEL_ANY, 0.0062, 0.0001, "in/s", { "towers2017", "demolition table, recomputed: four of six printed values do not follow from the formula", SG_GRADE_DERIVED } },
    { "towers-2017-demolition-P4", "fta-ppv", "variant=large-bulldozer distance_m=8", SG_LEVEL_ANY, 0.0827, 0.0001, "in/s", { "towers2017", "demolition table, recomputed: four of six printed values do not follow from the formula", SG_GRADE_DERIVED } },
    { "towers-2017-demolition-P5", "fta-ppv", "variant=large-bulldozer distance_m=42", SG_LEVEL_ANY, 0.0069, 0.0001, "in/s", { "towers2017", "demolition table, recomputed: four of six printed values do not follow from the formula", SG_GRADE_DERIVED } },
    { "towers-2017-demolition-P6", "fta-ppv", "variant=large-bulldozer distance_m=35", SG_LEVEL_ANY, 0.009, 0.0001, "in/s", { "towers2017", "demolition table, recomputed: four of six printed values do not follow from the formula", SG_GRADE_DERIVED } },
    { "solar-2020-A1-level", "fta-lv", "variant=vibratory-roller distance_m=1110", SG_LEVEL_ANY, 29.1, 0.1, "dB", { "solar2020", "Tables 10, 19", SG_GRADE_SEEN } },
    { "solar-2020-A1-velocity", "fta-ppv", "variant=vibratory-roller distance_m=1110", SG_LEVEL_ANY, 0.003, 0.0005, "mm/s", { "solar2020", "Tables 11, 20", SG_GRADE_SEEN } },
    { "solar-2020-A2-level", "fta-lv", "variant=vibratory-roller distance_m=830", SG_LEVEL_ANY, 32.9, 0.1, "dB", { "solar2020", "Tables 10, 19", SG_GRADE_SEEN } },
    { "solar-2020-A2-velocity", "fta-ppv", "variant=vibratory-roller distance_m=830", SG_LEVEL_ANY, 0.005, 0.0005, "mm/s", { "solar2020", "Tables 11, 20", SG_GRADE_SEEN } },
    { "solar-2020-A3-level", "fta-lv", "variant=vibratory-roller distance_m=400", SG_LEVEL_ANY, 42.4, 0.1, "dB", { "solar2020", "Tables 10, 19", SG_GRADE_SEEN } },
    { "solar-2020-A3-velocity", "fta-ppv", "variant=vibratory-roller distance_m=400", SG_LEVEL_ANY, 0.014, 0.0005, "mm/s", { "solar2020", "Tables 11, 20", SG_GRADE_SEEN } },
    { "solar-2020-A4-level", "fta-lv", "variant=vibratory-roller distance_m=555", SG_LEVEL_ANY, 38.1, 0.1, "dB", { "solar2020", "Tables 10, 19", SG_GRADE_SEEN } },
    { "solar-2020-A4-velocity", "fta-ppv", "variant=vibratory-roller distance_m=555", SG_LEVEL_ANY, 0.009, 0.0005, "mm/s", { "solar2020", "Tables 11, 20", SG_GRADE_SEEN } },
    { "solar-2020-A5-level", "fta-lv", "variant=vibratory-roller distance_m=475", SG_LEVEL_ANY, 40.2, 0.1, "dB", { "solar2020", "Tables 10, 19", SG_GRADE_SEEN } },
    { "solar-2020-A5-velocity", "fta-ppv", "variant=vibratory-roller distance_m=475", SG_LEVEL_ANY, 0.011, 0.0005, "mm/s", { "solar2020", "Tables 11, 20", SG_GRADE_SEEN } },
    { "housing-2020-P1-level", "fta-lv", "variant=vibratory-roller distance_m=81.53", SG_LEVEL_ANY, 63, 0.5, "dB", { "housing2020", "Tables 9 to 11; distance implied by the printed velocity", SG_GRADE_SEEN } },
    { "housing-2020-P2-level", "fta-lv", "variant=vibratory-roller distance_m=90.86", SG_LEVEL_ANY, 62, 0.5, "dB", { "housing2020", "Tables 9 to 11; distance implied by the printed velocity", SG_GRADE_SEEN } },
    { "housing-2020-P3-level", "fta-lv", "variant=vibratory-roller distance_m=14.08", SG_LEVEL_ANY, 86, 0.5, "dB", { "housing2020", "Tables 9 to 11; distance implied by the printed velocity", SG_GRADE_SEEN } },
    { "housing-2020-P4-level", "fta-lv", "variant=vibratory-roller distance_m=7.04", SG_LEVEL_ANY, 95, 0.5, "dB", { "housing2020", "Tables 9 to 11; distance implied by the printed velocity", SG_GRADE_SEEN } },
    { "housing-2020-P5-level", "fta-lv", "variant=vibratory-roller distance_m=25.16", SG_LEVEL_ANY, 78, 0.5, "dB", { "housing2020", "Tables 9 to 11; distance implied by the printed velocity", SG_GRADE_SEEN } },
    { "housing-2020-P6-level", "fta-lv", "variant=vibratory-roller distance_m=25.16", SG_LEVEL_ANY, 78, 0.5, "dB", { "housing2020", "Tables 9 to 11; distance implied by the printed velocity", SG_GRADE_SEEN } },
    { "housing-2020-PA-level", "fta-lv", "variant=vibratory-roller distance_m=18.11", SG_LEVEL_ANY, 83, 0.5, "dB", { "housing2020", "Tables 9 to 11; distance implied by the printed velocity", SG_GRADE_SEEN } },
    { "trl429-60-1.2-10m", "bs5228-2-vibratory", "phase=start-stop distance_m=10", SG_LEVEL_CENTRAL, 3.7857, 5e-05, "mm/s", { "trl429", "sect. 5.6.3", SG_GRADE_DERIVED } },
    { "trl429-60-1.3-10m", "bs5228-2-vibratory", "phase=all distance_m=10", SG_LEVEL_CENTRAL, 3.0071, 5e-05, "mm/s", { "trl429", "sect. 5.6.3", SG_GRADE_DERIVED } },
    { "trl429-60-1.4-10m", "bs5228-2-vibratory", "phase=steady distance_m=10", SG_LEVEL_CENTRAL, 2.3886, 5e-05, "mm/s", { "trl429", "sect. 5.6.3", SG_GRADE_DERIVED } },
    { "trl429-126-1.3-20m", "bs5228-2-vibratory", "phase=all distance_m=20", SG_LEVEL_MIDDLE, 2.565, 0.0005, "mm/s", { "trl429", "sect. 5.6.3", SG_GRADE_DERIVED } },
    { "trl429-266-1.2-30m", "bs5228-2-vibratory", "phase=start-stop distance_m=30", SG_LEVEL_UPPER, 4.491, 0.0005, "mm/s", { "trl429", "sect. 5.6.3", SG_GRADE_DERIVED } },
    { "trl429-60-1.4-50m", "bs5228-2-vibratory", "phase=steady distance_m=50", SG_LEVEL_CENTRAL, 0.251, 0.0005, "mm/s", { "trl429", "sect. 5.6.3", SG_GRADE_DERIVED } },
    { "trl429-percussive", "bs5228-2-percussive", "ground=refusal energy_J=10kJ toe_depth_m=10 distance_m=20", SG_LEVEL_ANY, 8.803, 0.0005, "mm/s", { "trl429", "sect. 5.6.3", SG_GRADE_DERIVED } },
    { "jcma-85dB-20m", "jcma1994-level", "variant=hydraulic-hammer-6.5t distance_m=20 L_0=85", SG_LEVEL_ANY, 77.03, 0.005, "dB", { "jcma1994", "formula, 85 dB at 7 m, damping 0.01", SG_GRADE_DERIVED } },
    { "stages-2016-1", "level-sum", "76.6 63.3 61.6 69.9", SG_LEVEL_ANY, 77.7, 0.05, "dB", { "laflorida2016", "Cuadros 3, 4.1", SG_GRADE_SEEN } },
    { "stages-2016-2", "level-sum", "54.6 65.6 72.2 67.2 65.0 68.5 79.4", SG_LEVEL_ANY, 80.9, 0.05, "dB", { "laflorida2016", "Cuadros 3, 4.1", SG_GRADE_SEEN } },
    { "stages-2016-3", "level-sum", "74.0 72.9", SG_LEVEL_ANY, 76.5, 0.05, "dB", { "laflorida2016", "Cuadros 3, 4.1", SG_GRADE_SEEN } },
    { "laeq-two-levels", "level-mean", "80x40 100x20", SG_LEVEL_ANY, 95.31, 0.05, "dB", { "acoustics-examples", "examination question", SG_GRADE_SEEN } },
    { "laeq-four-levels", "level-mean", "55x15 58x15 56x15 70x15", SG_LEVEL_ANY, 64.5, 0.05, "dB", { "acoustics-examples", "handbook, p. 771", SG_GRADE_SEEN } },
    { "laeq-five-levels", "level-mean", "90.5x1 95x1 103x1 88x1 98x1", SG_LEVEL_ANY, 97.9, 0.05, "dB", { "acoustics-examples", "textbook, p. 57, problem 8", SG_GRADE_SEEN } },
    { "ldn", "level-mean", "82x15 86x9", SG_LEVEL_ANY, 84.0, 0.05, "dB", { "acoustics-examples", "textbook, p. 57, problem 9; 76 dB at night plus 10", SG_GRADE_SEEN } },
};
/* clang-format on */

size_t sg_case_count(void)
{
    return SG_COUNT(cases);
}

const struct sg_case *sg_case_at(size_t index)
{
    return index < SG_COUNT(cases) ? &cases[index] : NULL;
}
