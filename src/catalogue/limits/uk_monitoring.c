/* uk_monitoring.c - United Kingdom, rules that only monitoring can decide: days in a rolling window
 * (Welsh statutory instrument of 2023) and measured over predicted (guidance of an authority on
 * prior consent).
 */
#include "rows.h"

#define HOMES                                                                                      \
    ((unsigned)SG_USE_RESIDENTIAL | (unsigned)SG_USE_SCHOOL | (unsigned)SG_USE_HOSPITAL |          \
     (unsigned)SG_USE_WORSHIP)
#define OUTSIDE                                                                                    \
    .purpose = SG_FOR_PEOPLE, .classes = SG_ANY_CLASS, .uses = HOMES, .areas = SG_ANY_AREA,        \
    .position = SG_AT_FREE_FIELD, .quantity = SG_Q_PPV, .axes = SG_AXES_LARGEST,                   \
    .characters = EITHER, .period = SG_ANY_TIME, PLAIN,                                            \
    .effect = "the condition is broken"

static const struct sg_limit_row consent_row[] = {
    { .id = "most", .label = "1 m from a dwelling, at any time (Wales 2023)", OUTSIDE, FLAT(10),
      CITE("uk-consents", "SI 2023/256, schedule, paragraph 3", SG_GRADE_SEEN) },
    { .id = "days", .label = "1 m from a dwelling, 10 of any 15 days (Wales 2023)", OUTSIDE, FLAT(1),
      .count_days = 10, .of_days = 15,
      CITE("uk-consents", "SI 2023/256, schedule, paragraph 3", SG_GRADE_SEEN) },
};

const struct sg_limit_set sg_limits_uk_consent_vibration = {
    .id = "UK-CONSENT-VIBRATION",
    .title = "Wales, vibration condition of a statutory consent, as an example",
    .jurisdiction = "United Kingdom",
    .document = "uk-consents",
    .edition = "2023",
    .legal = "statute",
    USUAL_CHARACTER,
    ROWS(consent_row),
    .exceed = SG_EXCEED_ALERT,
    .requires = SG_NEEDS_MONITORING,
    NOTES("A condition of a single consent, as an example: the consent of the job decides.",
          "1 mm/s must not be passed on 10 or more days in any 15 days running: one day over it is "
          "counted, not yet a breach. `check` and `calendar` count the days.",
          "Its position, 1 m from a residential elevation, is taken as the free field beside it."),
};

#define OVER_PREDICTED(name, where, hours, asked)                                                  \
    { .id = name, .label = "3 dB(A) over the prediction; " name, .purpose = SG_FOR_NOISE,          \
      .classes = SG_ANY_CLASS, .uses = SG_ANY_USE, .areas = SG_ANY_AREA, .position = where,        \
      .quantity = SG_Q_LAEQ, .axes = SG_AXES_NONE, .characters = EITHER, PLAIN,                    \
      .period = SG_ANY_TIME, .averaging_h = hours, .rule = SG_RULE_DIFFERENCE, .rise_db = 3,       \
      FLAT(0), .on_request = asked, .effect = "act: the work is louder than was applied for",                           \
      CITE("uk-s61-pages", "Arun, measured over predicted", SG_GRADE_SEEN) }

/* the averaging time is that of the prediction, taken as 1 h; no time was read */
static const struct sg_limit_row difference_row[] = {
    OVER_PREDICTED("facade", SG_AT_FACADE, 1, false),
    OVER_PREDICTED("free-field", SG_AT_FREE_FIELD, 1, true),
};

const struct sg_limit_set sg_limits_uk_s61_difference = {
    .id = "UK-S61-DIFFERENCE",
    .title = "Prior consent, measured noise over the predicted, as an example",
    .jurisdiction = "United Kingdom",
    .document = "uk-s61-pages",
    .edition = "as read 2024 to 2026",
    .legal = "guidance",
    USUAL_CHARACTER,
    ROWS(difference_row),
    .exceed = SG_EXCEED_ALERT,
    .requires = SG_NEEDS_MONITORING,
    NOTES("The guidance of one authority, as an example: act when the measured level is more than 3 "
          "dB(A) over the predicted one. The text does not settle whether exactly 3 dB counts; it "
          "does not here. A set of your own says `passed_at: true` to have it count.",
          "For measurements only: a prediction cannot be held against itself."),
};
