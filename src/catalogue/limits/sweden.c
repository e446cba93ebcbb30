/* sweden.c - SS 02 52 11:1999: piling, sheet piling, excavation, compaction. v = v0 Fb Fm Fg. */
#include "rows.h"

#define BASE(name, text, limit, work)                                                              \
    .id = name, .label = text, .purpose = SG_FOR_DAMAGE, .classes = SG_ANY_BUILDING,               \
    .uses = SG_ANY_USE, .areas = SG_ANY_AREA, .position = SG_AT_FOUNDATION,                        \
    .quantity = SG_Q_PPV, .axes = SG_AXES_VERTICAL, .characters = EITHER,                          \
    .interpolation = SG_LINEAR, .below = SG_BELOW_EXTEND, .period = SG_ANY_TIME, FLAT(limit),      \
    .effect = "damage no longer ruled out",                                                        \
    CITE("ss025211", "v0, " work, SG_GRADE_MEMORY_HIGH)
#define PILING .techniques = SG_ANY_TECHNIQUE
#define ROLLING .techniques = 0, .on_request = true, .other_sources = SG_OTHER_COMPACTION

static const struct sg_limit_row row[] = {
    { BASE("soil", "clay, silt, sand, gravel; piling, sheet piling, excavation", 9, "piling"), PILING },
    { BASE("till", "till; piling, sheet piling, excavation", 12, "piling"), PILING,
      .on_request = true },
    { BASE("rock", "rock; piling, sheet piling, excavation", 15, "piling"), PILING,
      .on_request = true },
    { BASE("soil-compaction", "clay, silt, sand, gravel; compaction", 6, "compaction"), ROLLING },
    { BASE("till-compaction", "till; compaction", 9, "compaction"), ROLLING },
    { BASE("rock-compaction", "rock; compaction", 12, "compaction"), ROLLING },
};

#define BUILDING(name, value, bits, text)                                                          \
    { .id = name, .low = value, .high = value, .dflt = value, .characters = EITHER,                \
      .classes = bits, .meaning = text, .decided_by = "the document, by building class",           \
      CITE("ss025211", "F_b", SG_GRADE_MEMORY_HIGH) }

static const struct sg_limit_factor factor[] = {
    BUILDING("industrial", 1.20, (unsigned)SG_CLASS_INDUSTRIAL | (unsigned)SG_CLASS_FRAMED,
             "F_b of industrial and office buildings"),
    BUILDING("sensitive", 0.65, SG_CLASS_LISTED,
             "F_b of specially sensitive buildings, high architectural value, wide spans"),
    BUILDING("historic", 0.50, SG_CLASS_FRAGILE,
             "F_b of historic buildings in a sensitive state and of ruins"),
    { .id = "heavy", .low = 1.70, .high = 1.70, .dflt = 1.70, .classes = SG_ANY_HOUSE,
      .meaning = "F_b of bridges, quays and defence works, instead of that of a dwelling",
      .decided_by = "the engineer who knows the structure",
      CITE("ss025211", "F_b", SG_GRADE_MEMORY_HIGH) },
    { .id = "material", .low = 0.65, .high = 1.20, .dflt = 0.65, .characters = EITHER,
      .meaning = "F_m: 1.20 reinforced concrete, steel, timber; 1.00 plain concrete, brick, hollow "
                 "block; 0.75 light concrete, plaster; 0.65 sand-lime brick. Lowest until known",
      .decided_by = "who knows the building", CITE("ss025211", "F_m", SG_GRADE_MEMORY_HIGH) },
    { .id = "foundation", .low = 0.60, .high = 1.00, .dflt = 0.60, .characters = EITHER,
      .meaning = "F_g: 0.60 spread footings, rafts; 0.80 shaft-bearing piles; 1.00 toe-bearing "
                 "piles. Lowest until known",
      .decided_by = "who knows the foundation", CITE("ss025211", "F_g", SG_GRADE_MEMORY_HIGH) },
};

const struct sg_limit_set sg_limits_ss025211 = {
    .id = "SS025211",
    .title = "SS 02 52 11, vibration from piling, sheet piling, excavation, compaction",
    .jurisdiction = "Sweden",
    .document = "ss025211",
    .edition = "1999",
    .legal = "standard",
    USUAL_CHARACTER,
    ROWS(row),
    FACTORS(factor),
    NOTES("All values are recalled and unverified.",
          "v = v0 F_b F_m F_g: vertical peak on a load-bearing part at foundation level nearest the "
          "work, at every frequency. A dwelling has F_b 1.",
          "The ground is not looked up: soil is judged, till and rock on request.",
          "Blasting has a standard of its own."),
};
