/* uk_noise_more.c - BS 5228-1:2009+A1:2014, Annex E: change of level and insulation triggers
 * (Table E.2); levels of statutory consents.
 */
#include "rows.h"

#define HOMES                                                                                      \
    ((unsigned)SG_USE_RESIDENTIAL | (unsigned)SG_USE_SCHOOL | (unsigned)SG_USE_HOSPITAL |          \
     (unsigned)SG_USE_WORSHIP)
#define FACADE                                                                                     \
    .purpose = SG_FOR_NOISE, .classes = SG_ANY_CLASS, .areas = SG_ANY_AREA,                        \
    .position = SG_AT_FACADE, .quantity = SG_Q_LAEQ, .axes = SG_AXES_NONE, .characters = EITHER,   \
    PLAIN
/* site + ambient = ambient + 5 dB when the site alone is 10 lg(10^0.5 - 1) dB over it; "or
 * more": a level equal to it counts */
#define CLOCK(from, to, kinds) .from_h = from, .to_h = to, .on_days = kinds
#define CHANGE(name, text, when, hours, floor_db, asked, from, to, kinds)                          \
    { .id = name, .label = "total 5 dB over the ambient; " text, .uses = HOMES, FACADE,            \
      .period = when, .averaging_h = hours, .rule = SG_RULE_RISE, .rise_db = 3.34911461373,        \
      .passed_at = true, FLAT(floor_db), .on_request = asked, CLOCK(from, to, kinds),              \
      .effect = "potential significant effect, when it lasts a month or more",                     \
      CITE("bs5228-1", "Annex E, 5 dB change", SG_GRADE_MEMORY_HIGH) }

static const struct sg_limit_row change_row[] = {
    CHANGE("day", "day", SG_DAY, 12, 65, false, 7, 19, SG_WORKING_DAYS),
    CHANGE("evening", "evening", SG_EVENING, 4, 55, false, 19, 23, SG_WORKING_DAYS),
    CHANGE("night", "night", SG_NIGHT, 8, 45, false, 23, 7, SG_ALL_DAYS),
    CHANGE("saturday", "Saturday 07-13", SG_DAY, 6, 65, true, 7, 13, SG_SATURDAY),
    CHANGE("saturday-13", "Saturday 13-23", SG_EVENING, 10, 55, true, 13, 23, SG_SATURDAY),
    CHANGE("sunday", "Sunday 07-23", SG_EVENING, 16, 55, true, 7, 23, SG_HOLIDAY),
};

const struct sg_limit_set sg_limits_bs5228_1_change = {
    .id = "BS5228-1-CHANGE",
    .title = "BS 5228-1, change of the noise level by 5 dB",
    .jurisdiction = "United Kingdom",
    .document = "bs5228-1",
    .edition = "2009+A1:2014, Annex E",
    .legal = "standard",
    USUAL_CHARACTER,
    ROWS(change_row),
    NOTES("All values are recalled and unverified.",
          "Works and ambient together 5 dB or more over the ambient, with the works alone at 65, 55 "
          "or 45 dB(A) or more by day, in the evening, at night, for a month or more. Hours and days "
          "as in Table E.1."),
};

#define TRIGGER(name, text, when, hours, limit, asked, from, to, kinds)                            \
    { .id = name, .label = text, .uses = SG_USE_RESIDENTIAL, FACADE, .period = when,               \
      .averaging_h = hours, FLAT(limit), .on_request = asked, CLOCK(from, to, kinds),              \
      .effect = "insulation, when it happens on enough days",                                      \
      CITE("bs5228-1", "Table E.2, " text, SG_GRADE_MEMORY_HIGH) }

static const struct sg_limit_row insulation_row[] = {
    TRIGGER("weekday-07", "Mon-Fri 07-08", SG_DAY, 1, 70, true, 7, 8, SG_WORKING_DAYS),
    TRIGGER("weekday", "Mon-Fri 08-18", SG_DAY, 10, 75, false, 8, 18, SG_WORKING_DAYS),
    TRIGGER("weekday-18", "Mon-Fri 18-19", SG_DAY, 1, 70, true, 18, 19, SG_WORKING_DAYS),
    TRIGGER("weekday-evening", "Mon-Fri 19-22", SG_EVENING, 1, 65, false, 19, 22, SG_WORKING_DAYS),
    TRIGGER("weekday-night", "Mon-Fri 22-07", SG_NIGHT, 1, 55, false, 22, 7, SG_WORKING_DAYS),
    TRIGGER("saturday-07", "Saturday 07-08", SG_DAY, 1, 70, true, 7, 8, SG_SATURDAY),
    TRIGGER("saturday", "Saturday 08-13", SG_DAY, 5, 75, true, 8, 13, SG_SATURDAY),
    TRIGGER("saturday-13", "Saturday 13-14", SG_DAY, 1, 70, true, 13, 14, SG_SATURDAY),
    TRIGGER("saturday-evening", "Saturday 14-22", SG_EVENING, 1, 65, true, 14, 22, SG_SATURDAY),
    TRIGGER("saturday-night", "Saturday 22-07", SG_NIGHT, 1, 55, true, 22, 7, SG_SATURDAY),
    TRIGGER("sunday", "Sunday, holiday 07-21", SG_DAY, 1, 65, true, 7, 21, SG_HOLIDAY),
    TRIGGER("sunday-night", "Sunday, holiday 21-07", SG_NIGHT, 1, 55, true, 21, 7, SG_HOLIDAY),
};

static const struct sg_limit_factor rehousing[] = {
    { .id = "rehousing", .low = 3.16227766016838, .high = 3.16227766016838,
      .dflt = 3.16227766016838,
      .meaning = "temporary re-housing: 10 dB more (a factor of 3.162 on the pressure)",
      .decided_by = "the document", CITE("bs5228-1", "Annex E, re-housing", SG_GRADE_MEMORY_HIGH) },
};

const struct sg_limit_set sg_limits_bs5228_1_insulation = {
    .id = "BS5228-1-INSULATION",
    .title = "BS 5228-1, triggers for noise insulation",
    .jurisdiction = "United Kingdom",
    .document = "bs5228-1",
    .edition = "2009+A1:2014, Table E.2",
    .legal = "standard",
    .count_days = { 10, 40 },
    .of_days = { 15, 183 },
    USUAL_CHARACTER,
    ROWS(insulation_row),
    FACTORS(rehousing),
    NOTES("All values are recalled and unverified.",
          "Counts when passed on 10 or more days of any 15 running, or 40 of any 6 months (183 days "
          "here). A prediction is held against every row whose hours are worked, each averaged over "
          "its own time; Saturday and Sunday where they are worked.",
          "The document is also recalled to take 5 dB over the ambient where that is the higher, and "
          "more than 40 days; held here is the stricter reading without both."),
};

static const struct sg_limit_row consent_row[] = {
    { .id = "weekday-11-h", .label = "weekdays 07:00 to 18:30, 11 h (2020)",
      .uses = HOMES, FACADE, .period = SG_DAY, .averaging_h = 11, FLAT(65),
      CLOCK(7, 18.5, SG_WORKING_DAYS),
      .effect = "the condition is broken",
      CITE("uk-consents", "SI 2020/511, schedule 2, paragraph 21", SG_GRADE_SEEN) },
    { .id = "saturday-5-h", .label = "Saturday 08 to 13, 5 h (2020)", .uses = HOMES, FACADE,
      .period = SG_DAY, .averaging_h = 5, FLAT(65), .on_request = true,
      CLOCK(8, 13, SG_SATURDAY),
      .effect = "the condition is broken",
      CITE("uk-consents", "SI 2020/511, schedule 2, paragraph 21", SG_GRADE_SEEN) },
    { .id = "home-1-h", .label = "1 m from a dwelling, 1 h (Wales 2023)", .uses = HOMES, FACADE,
      .period = SG_DAY, .averaging_h = 1, FLAT(65), .on_request = true,
      .effect = "the condition is broken",
      CITE("uk-consents", "SI 2023/256, schedule, paragraph 3", SG_GRADE_SEEN) },
};

const struct sg_limit_set sg_limits_uk_consents = {
    .id = "UK-CONSENTS",
    .title = "United Kingdom, levels of statutory consents, as examples",
    .jurisdiction = "United Kingdom",
    .document = "uk-consents",
    .edition = "2020 and 2023",
    .legal = "statute",
    USUAL_CHARACTER,
    ROWS(consent_row),
    NOTES("Conditions of single consents, as examples: the consent of the job decides."),
};
