/* fields.c - the table of fields of the site file: one row a key. The checks, the defaults, the
 * reference page and the JSON Schema are made from it.
 *
 * A key that holds another map or list of maps ("wall", "methods") names the block of that map's
 * own rows: block "methods", key "plant" -> block "methods.plant". Rows of a block stand together.
 * Ranges are those within which a value can be meant at all (common practice, no source); the
 * ranges of the prediction relations are checked where the relations are used. Choice lists repeat
 * words of the catalogue's vocabulary; a unit test holds them together.
 */
#include "site/ags.h"

#include <math.h>

static const char *const techniques[] = {
    "impact", "vibratory", "press-in", "press-in-jetting", "press-in-augering", NULL,
};
static const char *const uses[] = {
    "residential", "school",     "hospital", "worship", "office",
    "industry",    "laboratory", "rail",     "utility", NULL,
};
static const char *const classes[] = {
    "industrial", "framed",     "modern-house",   "older-house",
    "listed",     "fragile",    "rail-structure", "rail-equipment",
    "pipe-steel", "pipe-rigid", "pipe-masonry",   "retaining-wall",
    NULL,
};
static const char *const areas[] = {
    "industrial", "commercial", "mixed", "residential", "pure-residential", "care", NULL,
};
static const char *const positions[] = { "facade", "free-field", NULL };
static const char *const sections[] = { "U", "Z-single", "Z-double", "hat", "tube", "H", NULL };
static const char *const operations[] = { "install", "extract", NULL };
static const char *const daylight[] = { "none", "europe", "united-states", NULL };
static const char *const orders[] = { "forward", "backward", NULL };
static const char *const betweens[] = { "interpolate", "nearest", NULL };
static const char *const grounds[] = { "hard", "soft", "mixed", NULL };
static const char *const sound_methods[] = { "activity", "fta", "octave-bands", NULL };
static const char *const ratings[] = {
    "iso1996-1", "nt-acou-112", "avv-baulaerm", "bstlaermiv", "icng2009", "fta-general", NULL,
};
static const char *const crew_rules[] = { "eu", "uk", "norway", "osha", "niosh", NULL };
static const char *const windows[] = { "none", "air-conditioned", "openable", NULL };
static const char *const percussive_screens[] = { "none", "building", "barrier", NULL };
static const char *const ground_methods[] = { "general", "alternative", NULL };
/* The edition of 2024 is to follow when a copy has been read. */
static const char *const editions[] = { "1996", NULL };

#define AT(type, member) offsetof(struct type, member)
#define TEXT(block, key, dflt, offset, meaning)                                                    \
    {                                                                                              \
        block, key, SG_FIELD_TEXT, "", 0, 0, dflt, NULL, offset, meaning                           \
    }
#define NUMBER(block, key, unit, min, max, dflt, offset, meaning)                                  \
    {                                                                                              \
        block, key, SG_FIELD_NUMBER, unit, min, max, dflt, NULL, offset, meaning                   \
    }
#define COUNT(block, key, min, max, dflt, offset, meaning)                                         \
    {                                                                                              \
        block, key, SG_FIELD_COUNT, "", min, max, dflt, NULL, offset, meaning                      \
    }
#define CHOICE(block, key, list, dflt, offset, meaning)                                            \
    {                                                                                              \
        block, key, SG_FIELD_CHOICE, "", 0, 0, dflt, list, offset, meaning                         \
    }
#define YES_NO(block, key, dflt, offset, meaning)                                                  \
    {                                                                                              \
        block, key, SG_FIELD_BOOL, "", 0, 0, dflt, NULL, offset, meaning                           \
    }
#define NAMED_FILE(block, key, dflt, offset, meaning)                                              \
    {                                                                                              \
        block, key, SG_FIELD_FILE, "", 0, 0, dflt, NULL, offset, meaning                           \
    }
#define PART(block, key, kind, min, max, dflt, offset, meaning)                                    \
    {                                                                                              \
        block, key, kind, "", min, max, dflt, NULL, offset, meaning                                \
    }

#define COORDINATE_MAX SG_MAX_COORDINATE_M

#define OBSTACLE_ROWS(block, shape, meaning)                                                       \
    TEXT(block, "name", "", AT(sg_raw_obstacle, name), "name"),                                    \
        PART(block, shape, SG_FIELD_LIST, 0, SG_MAX_RING, "", AT(sg_raw_obstacle, points),         \
             meaning),                                                                             \
        NUMBER(block, "height_m", "m", 0.1, 1000, "", AT(sg_raw_obstacle, height_m),               \
               "above the ground; or top_m"),                                                      \
        NUMBER(block, "top_m", "m", -1000, 9000, "", AT(sg_raw_obstacle, top_m),                   \
               "top in the datum; or height_m"),                                                   \
        NUMBER(block, "reflection", "", 0, 1, "0", AT(sg_raw_obstacle, reflection),                \
               "share of the sound energy thrown back; 0.2 or less counts as none"),               \
        PART(block, "reflection_octaves", SG_FIELD_LIST, 8, 8, "", AT(sg_raw_obstacle, octaves),   \
             "the same by octave, 63 Hz to 8 kHz")

#define POINT_ROWS(block)                                                                          \
    TEXT(block, "name", NULL, AT(sg_raw_emitter, name), "name"),                                   \
        NUMBER(block, "x_m", "m", -COORDINATE_MAX, COORDINATE_MAX, NULL, AT(sg_raw_emitter, x_m),  \
               "easting"),                                                                         \
        NUMBER(block, "y_m", "m", -COORDINATE_MAX, COORDINATE_MAX, NULL, AT(sg_raw_emitter, y_m),  \
               "northing"),                                                                        \
        NUMBER(block, "height_m", "m", 0, 1000, "", AT(sg_raw_emitter, height_m),                  \
               "above the ground; or z_m"),                                                        \
        NUMBER(block, "z_m", "m", -1000, 9000, "", AT(sg_raw_emitter, z_m),                        \
               "in the datum; or height_m")

#define LAYER_ROWS(block)                                                                          \
    NUMBER(block, "base_m", "m", 0.01, 1000, "", AT(sg_raw_layer, base_m),                         \
           "depth of the layer's base below ground; may be left out of the last layer only"),      \
        TEXT(block, "soil", NULL, AT(sg_raw_layer, soil),                                          \
             "clay, silt, sand, gravel, peat, fill or rock"),                                      \
        TEXT(block, "state", "", AT(sg_raw_layer, state),                                          \
             "state of the soil, such as soft or medium-dense; from spt_N when left out"),         \
        NUMBER(block, "spt_N", "blows/300 mm", 0, 1000, "", AT(sg_raw_layer, spt_n),               \
               "SPT N value; the middle of the state's range stands for it when left out")

#define LEVEL_ROWS(block)                                                                          \
    TEXT(block, "source", "", AT(sg_raw_plant, source),                                            \
         "id of a published sound source (command `sources`); instead of a level"),                \
        NUMBER(block, "laeq_10m_dB", "dB(A)", 0, 160, "", AT(sg_raw_plant, laeq_10m_db),           \
               "own level: LAeq at 10 m during the activity"),                                     \
        NUMBER(block, "lwa_dB", "dB(A)", 0, 180, "", AT(sg_raw_plant, lwa_db),                     \
               "own level: sound power level LWA"),                                                \
        NUMBER(block, "lmax_50ft_dB", "dB(A)", 0, 160, "", AT(sg_raw_plant, lmax_50ft_db),         \
               "own level: Lmax at 50 ft"),                                                        \
        PART(block, "lw_octaves_dB", SG_FIELD_LIST, 8, 8, "", AT(sg_raw_plant, octaves),           \
             "own level: sound power in octaves 63 Hz to 8 kHz, unweighted"),                      \
        TEXT(block, "provenance", "", AT(sg_raw_plant, provenance),                                \
             "where the own level comes from; needed with it")

#define M(member) (offsetof(struct sg_raw_method, to) + offsetof(struct sg_method, member))
#define R(member) offsetof(struct sg_raw_receptor, member)

static const struct sg_field fields[] = {
    /* the file */
    TEXT("", "title", NULL, AT(sg_raw_site, title), "name of the project"),
    TEXT("", "note", "", AT(sg_raw_site, note), "remark printed with the results"),
    TEXT("", "crs", NULL, AT(sg_raw_site, crs),
         "EPSG:n of a projected CRS in metres, or local-metre for a grid of the site's own"),
    NUMBER("", "percentile", "%", 50, 99, "95", AT(sg_raw_site, percentile),
           "wanted for upper values, where the relation states a scatter"),
    TEXT("", "jurisdiction", "", AT(sg_raw_site, jurisdiction),
         "country whose notification rules are shown; all that are known when empty"),
    TEXT("", "prepared_by", "", AT(sg_raw_site, prepared_by),
         "competent person; a slot is left open when empty"),
    TEXT("", "checked_by", "", AT(sg_raw_site, checked_by),
         "competent person; a slot is left open when empty"),
    PART(
        "", "boreholes", SG_FIELD_BLOCKS_OR_FILE, 1, SG_MAX_BOREHOLES, "",
        AT(sg_raw_site, boreholes),
        "ground at points along the wall, typed or from a file {ags: FILE}; either this or ground"),
    PART("", "ground", SG_FIELD_BLOCKS, 1, SG_MAX_LAYERS, "", AT(sg_raw_site, ground),
         "layers that hold along the whole wall; either this or boreholes"),
    NUMBER("", "water_depth_m", "m", 0, 1000, "", AT(sg_raw_site, water_depth_m),
           "depth of the water table, with ground only"),
    PART("", "wall", SG_FIELD_BLOCK, 0, 0, NULL, AT(sg_raw_site, wall), "the piles"),
    PART("", "receptors", SG_FIELD_BLOCK, 0, 0, NULL, AT(sg_raw_site, receptors),
         "who and what stands near the wall"),
    PART("", "methods", SG_FIELD_BLOCKS, 1, 100, NULL, AT(sg_raw_site, methods),
         "ways of installing the piles that are compared"),
    PART("", "hours", SG_FIELD_BLOCK, 0, 0, NULL, AT(sg_raw_site, hours), "the working day"),
    PART("", "programme", SG_FIELD_BLOCK, 0, 0, "", AT(sg_raw_site, programme),
         "when the work is done; for the calendar"),
    PART("", "monitoring", SG_FIELD_BLOCK, 0, 0, "", AT(sg_raw_site, monitoring),
         "what is wanted of the monitoring plan"),
    PART("", "sound", SG_FIELD_BLOCK, 0, 0, "", AT(sg_raw_site, sound),
         "ground cover between works and receptors"),
    PART("", "crew", SG_FIELD_BLOCKS, 0, 200, "", AT(sg_raw_site, crew),
         "where the crew works, for its exposure to noise"),
    PART("", "scene", SG_FIELD_BLOCK, 0, 0, "", AT(sg_raw_site, scene),
         "air, ground, walls and buildings for the octave-band method"),
    PART("", "limits", SG_FIELD_MAP, 0, 100, "", AT(sg_raw_site, limits),
         "limit sets (command `limits`) for receptors of a use: {use: [id, ...]}"),
    PART("", "limit_files", SG_FIELD_LIST, 1, 50, "", AT(sg_raw_site, limit_files),
         "files with limit sets of the site's own (command `limits --check`)"),
    PART("", "sources", SG_FIELD_BLOCKS, 0, 500, "", AT(sg_raw_site, sources),
         "sound sources of the site's own, named by their id where a published one would be"),
    PART("", "factors", SG_FIELD_BLOCKS, 0, 200, "", AT(sg_raw_site, factors),
         "factors of limit sets that somebody decided on (command `limits ID` lists them)"),
    PART("", "kb_from_ppv", SG_FIELD_BLOCK, 0, 0, "", AT(sg_raw_site, kb_from_ppv),
         "c_F for KB estimated from a peak velocity; the published range when left out"),

    TEXT("factors", "limit_set", NULL, AT(sg_raw_factor, limit_set), "id of the set"),
    TEXT("factors", "factor", NULL, AT(sg_raw_factor, factor), "id of the factor"),
    NUMBER("factors", "value", "", 0.001, 1000, "", AT(sg_raw_factor, value),
           "within the range of the document; its default when left out"),
    TEXT("factors", "decided_by", NULL, AT(sg_raw_factor, decided_by),
         "who decided it, and where that is written"),

    NUMBER("kb_from_ppv", "c_F_low", "", 0.1, 2, NULL, AT(sg_kb_choice, cf_low),
           "for central values"),
    NUMBER("kb_from_ppv", "c_F_high", "", 0.1, 2, NULL, AT(sg_kb_choice, cf_high),
           "for upper values; at least c_F_low"),
    TEXT("kb_from_ppv", "decided_by", NULL, AT(sg_kb_choice, decided_by),
         "who decided it, and where that is written"),

    TEXT("boreholes", "name", NULL, AT(sg_raw_borehole, name), "name, given once"),
    NUMBER("boreholes", "chainage_m", "m", -1e6, 1e6, "", AT(sg_raw_borehole, chainage_m),
           "position along the wall from its start; may be left out when there is one borehole"),
    NUMBER("boreholes", "water_depth_m", "m", 0, 1000, "", AT(sg_raw_borehole, water_depth_m),
           "depth of the water table; not met when left out"),
    PART("boreholes", "layers", SG_FIELD_BLOCKS, 1, SG_MAX_LAYERS, NULL,
         AT(sg_raw_borehole, layers), "layers from the top down"),
    NAMED_FILE("boreholes.file", "ags", NULL, AT(sg_raw_ags, ags),
               "borehole file, AGS 4 or 3: PROJ, LOCA (HOLE), GEOL, ISPT, WSTK"),
    TEXT("boreholes.file", "crs", "", AT(sg_raw_ags, crs),
         "EPSG:n of the positions in the file; LOCA_GREF of each borehole when empty"),
    CHOICE("boreholes.file", "between", betweens, "interpolate", AT(sg_raw_ags, between),
           "ground of a pile between two boreholes: interpolate, or nearest takes the nearer one"),
    YES_NO("boreholes.file", "correct_energy", "false", AT(sg_raw_ags, correct_energy),
           "bring blow counts to 60 % energy where ISPT_ERAT is given"),
    PART("boreholes.file", "classes", SG_FIELD_MAP, 0, 500, "", AT(sg_raw_ags, classes),
         "own classes: {GEOL_LEG, GEOL_GEOL or description: soil, or soil and state}"),
    LAYER_ROWS("boreholes.layers"),
    LAYER_ROWS("ground"),

    /* the wall */
    NAMED_FILE("wall", "line", "", AT(sg_raw_wall, line),
               "layer with one line; piles are generated along it"),
    PART("wall", "line_points", SG_FIELD_LIST, 2, SG_MAX_RING, "", AT(sg_raw_wall, line_points),
         "corners of the line as [[x_m, y_m], ...], instead of line"),
    NAMED_FILE("wall", "pile_table", "", AT(sg_raw_wall, pile_table),
               "table of piles, columns as in wall.piles; instead of a line"),
    PART("wall", "piles", SG_FIELD_BLOCKS, 1, 1e6, "", AT(sg_raw_wall, piles),
         "list of piles, instead of a line"),
    CHOICE("wall", "section", sections, "", AT(sg_raw_wall, section),
           "section family; of piles that name none"),
    NUMBER("wall", "section_width_m", "m", 0.05, 10, "", AT(sg_raw_wall, section_width_m),
           "width of one driven unit along the wall; needed with a line"),
    NUMBER("wall", "toe_depth_m", "m", 0.1, 200, "", AT(sg_raw_wall, toe_depth_m),
           "depth of the toe below ground; needed with a line, else of piles that give none"),

    TEXT("wall.piles", "name", NULL, AT(sg_raw_pile, name), "name, given once"),
    NUMBER("wall.piles", "x_m", "m", -COORDINATE_MAX, COORDINATE_MAX, "", AT(sg_raw_pile, x_m),
           "easting; needed unless the layer has points"),
    NUMBER("wall.piles", "y_m", "m", -COORDINATE_MAX, COORDINATE_MAX, "", AT(sg_raw_pile, y_m),
           "northing; needed unless the layer has points"),
    NUMBER("wall.piles", "toe_depth_m", "m", 0.1, 200, "", AT(sg_raw_pile, toe_depth_m),
           "depth of the toe below ground; the wall's when left out"),
    CHOICE("wall.piles", "section", sections, "", AT(sg_raw_pile, section),
           "section family; the wall's when left out"),
    NUMBER("wall.piles", "chainage_m", "m", -1e6, 1e6, "", AT(sg_raw_pile, chainage_m),
           "position along the wall, for all piles or for none; measured from pile to pile when "
           "left out"),

    /* receptors */
    PART("receptors", "list", SG_FIELD_BLOCKS, 0, 1e6, "", AT(sg_raw_receptors, list),
         "receptors typed here"),
    NAMED_FILE("receptors", "table", "", AT(sg_raw_receptors, table),
               "table or layer of receptors, columns as in receptors.list"),
    NAMED_FILE("receptors", "footprints", "", AT(sg_raw_receptors, footprints),
               "layer of building outlines, columns as in receptors.list; an outline with the name "
               "of a receptor of list or table belongs to that receptor"),

    TEXT("receptors.list", "name", NULL, R(name), "name, given once"),
    NUMBER("receptors.list", "x_m", "m", -COORDINATE_MAX, COORDINATE_MAX, "", R(x_m),
           "easting; needed unless there is a footprint or the layer has points"),
    NUMBER("receptors.list", "y_m", "m", -COORDINATE_MAX, COORDINATE_MAX, "", R(y_m),
           "northing; needed unless there is a footprint or the layer has points"),
    CHOICE("receptors.list", "use", uses, NULL, R(use), "what it is used for"),
    CHOICE("receptors.list", "building_class", classes, NULL, R(building_class),
           "what stands there"),
    CHOICE("receptors.list", "area", areas, "", R(area),
           "planning area, for noise values that depend on it"),
    CHOICE("receptors.list", "position", positions, "facade", R(position),
           "where its sound level is judged"),
    COUNT("receptors.list", "storeys", 0, 200, "0", R(storeys), "above ground; 0 = not a building"),
    TEXT("receptors.list", "foundation", "", R(foundation),
         "row of the table of ground to foundation coupling, for people's limits; none when empty"),
    NUMBER("receptors.list", "foundation_factor", "", 0.01, 10, "", R(foundation_factor),
           "own ratio foundation to ground, instead of foundation"),
    NUMBER("receptors.list", "floor_factor", "", 0.01, 20, "", R(floor_factor),
           "own ratio floor to foundation"),
    YES_NO("receptors.list", "published_floor", "false", R(published_floor),
           "use the published attenuation and resonance of floors (limits for people only)"),
    COUNT("receptors.list", "floor", 0, 10, "1", R(floor),
          "floor judged with published_floor; 0 = on the foundation"),
    TEXT("receptors.list", "transfer_source", "", R(transfer_source),
         "where the own factors come from; needed with them"),
    NUMBER("receptors.list", "dominant_frequency_Hz", "Hz", 0.5, 500, "", R(dominant_frequency_hz),
           "of the ground motion there; the technique's band when left out"),
    NUMBER("receptors.list", "ambient_day_dB", "dB(A)", 0, 140, "", R(ambient_day_db),
           "LAeq without the works, day"),
    NUMBER("receptors.list", "ambient_evening_dB", "dB(A)", 0, 140, "", R(ambient_evening_db),
           "LAeq without the works, evening"),
    NUMBER("receptors.list", "ambient_night_dB", "dB(A)", 0, 140, "", R(ambient_night_db),
           "LAeq without the works, night"),
    NUMBER("receptors.list", "other_day_dB", "dB(A)", 0, 140, "", R(other_day_db),
           "LAeq of other sites' works there, day (12 h); added by energy"),
    NUMBER("receptors.list", "other_evening_dB", "dB(A)", 0, 140, "", R(other_evening_db),
           "the same, evening (4 h)"),
    NUMBER("receptors.list", "other_night_dB", "dB(A)", 0, 140, "", R(other_night_db),
           "the same, night (8 h)"),
    NUMBER("receptors.list", "background_day_dB", "dB(A)", 1, 140, "", R(background_day_db),
           "rating background level (LA90), day, for limits that go by it"),
    NUMBER("receptors.list", "background_evening_dB", "dB(A)", 1, 140, "", R(background_evening_db),
           "the same, evening"),
    NUMBER("receptors.list", "background_night_dB", "dB(A)", 1, 140, "", R(background_night_db),
           "the same, night"),
    CHOICE("receptors.list", "windows", windows, "", R(windows),
           "openings towards the works, for the permit of percussive piling (Hong Kong)"),
    CHOICE("receptors.list", "percussive_screen", percussive_screens, "none", R(percussive_screen),
           "the piling is out of sight of it behind a building or a substantial barrier (Hong "
           "Kong; a hoarding is none)"),
    NUMBER("receptors.list", "height_m", "m", 0.1, 300, "4", R(height_m),
           "of the point above the ground, for octave bands"),
    NUMBER("receptors.list", "screening_dB", "dB", 0, 30, "0", R(screening_db),
           "reduction by a screen between works and receptor"),
    PART("receptors.list", "limit_sets", SG_FIELD_LIST, 1, 50, "", R(limit_sets),
         "limit sets instead of those of its use; in tables separated by ';'"),
    NUMBER("receptors.list", "own_ppv_limit_mm_s", "mm/s", 0.001, 1000, "", R(own_ppv_limit_mm_s),
           "limit that the owner states, peak particle velocity"),
    TEXT("receptors.list", "own_limit_source", "", R(own_limit_source),
         "who states the own limit and where; needed with it"),
    PART("receptors.list", "footprint_points", SG_FIELD_LIST, 3, SG_MAX_RING, "",
         R(footprint_points), "outline as [[x_m, y_m], ...]; not in tables"),

    /* methods */
    TEXT("methods", "name", NULL, M(name), "name, given once"),
    CHOICE("methods", "technique", techniques, NULL, AT(sg_raw_method, technique),
           "how the pile is installed"),
    NUMBER("methods", "energy_kJ", "kJ", 0.001, 5000, "", M(energy_kJ),
           "energy per blow; needed for impact"),
    NUMBER("methods", "blows_per_min", "1/min", 0.1, 1000, "", M(blows_per_min), "blow rate"),
    NUMBER("methods", "frequency_Hz", "Hz", 1, 200, "", M(frequency_Hz),
           "driving frequency; wanted for vibratory"),
    NUMBER("methods", "eccentric_moment_kgm", "kg m", 0.01, 1000, "", M(eccentric_moment_kgm),
           "eccentric moment"),
    NUMBER("methods", "cycle_energy_kJ", "kJ", 0.001, 1000, "", M(cycle_energy_kJ),
           "energy per cycle of vibration"),
    YES_NO("methods", "variable_moment", "false", M(variable_moment),
           "weights are moved out of phase at start and stop"),
    NUMBER("methods", "press_force_kN", "kN", 1, 50000, "", M(press_force_kN), "press-in force"),
    NUMBER("methods", "water_flow_l_min", "l/min", 0.1, 20000, "", M(water_flow_l_min),
           "flow of jetting water"),
    TEXT("methods", "auger", "", M(auger), "auger in words"),
    TEXT("methods", "model", "", AT(sg_raw_method, model),
         "vibration relation (command `models`); the technique's default when empty"),
    TEXT("methods", "second_model", "", AT(sg_raw_method, second_model),
         "second opinion; the technique's default when empty, none = without"),
    TEXT("methods", "variant", "", M(variant),
         "row of the relation's table; its default when empty"),
    PART("methods", "constants", SG_FIELD_MAP, 0, 50, "", AT(sg_raw_method, constants),
         "own constants of the relation: {symbol: value}"),
    TEXT("methods", "constants_source", "", M(constants_source),
         "where the own constants come from; needed with them"),
    NUMBER("methods", "reference_ppv_mm_s", "mm/s", 1e-4, 1000, "", M(reference_ppv_mm_s),
           "measured value that a propagation relation starts from"),
    NUMBER("methods", "reference_distance_m", "m", 0.5, 1000, "", M(reference_distance_m),
           "distance at which it was measured"),
    NUMBER("methods", "damping_per_m", "1/m", 0, 10, "", M(damping_per_m),
           "material damping of a propagation relation"),
    NUMBER("methods", "exponent", "", 0, 5, "", M(exponent),
           "geometric exponent; the relation's when left out"),
    NUMBER("methods", "jetting_reduction_dB", "dB", 0, 10, "0", M(jetting_reduction_dB),
           "reduction of vibration by water jetting; none unless justified"),
    TEXT("methods", "jetting_reduction_source", "", M(jetting_reduction_source),
         "what justifies the reduction; needed with it"),
    YES_NO("methods", "driven_to_refusal", "false", M(driven_to_refusal),
           "piles are driven until they no longer advance"),
    PART("methods", "sound", SG_FIELD_BLOCK, 0, 0, "", AT(sg_raw_method, sound),
         "sound of the rig; not known when left out"),
    PART("methods", "plant", SG_FIELD_BLOCKS, 0, 100, "", AT(sg_raw_method, plant),
         "supporting plant"),
    YES_NO("methods", "usual_plant", "false", M(usual_plant),
           "adds the plant that usually stands beside the technique (command `sources --plant`)"),
    NUMBER("methods", "minutes_per_pile", "min", 0.1, 10000, NULL, M(minutes_per_pile),
           "time for one pile, all told, pitching and moving on included"),
    NUMBER("methods", "on_time_percent", "%", 0.1, 100, NULL, M(on_time_percent),
           "share of the working time in which the rig is heard"),

    NUMBER("methods", "minutes_per_pile_soft", "min", 0.1, 10000, "", M(minutes_soft),
           "instead of minutes_per_pile where the hardest ground met is soft"),
    NUMBER("methods", "minutes_per_pile_medium", "min", 0.1, 10000, "", M(minutes_medium),
           "the same in medium ground"),
    NUMBER("methods", "minutes_per_pile_hard", "min", 0.1, 10000, "", M(minutes_hard),
           "the same in hard ground"),
    NUMBER("methods", "cost_per_pile", "", 0, 1e9, "0", M(cost_per_pile),
           "in any currency, the same for all methods; for the choice of methods"),
    NUMBER("methods", "working_width_m", "m", 0.1, 500, "", M(working_width_m),
           "width needed beside the wall; for the options matrix"),
    NUMBER("methods", "headroom_m", "m", 0.1, 500, "", M(headroom_m),
           "height needed above the ground; for the options matrix"),
    NUMBER("methods", "topple_radius_m", "m", 0.1, 500, "", M(topple_radius_m),
           "how far plant or load could fall; held against the distance to the nearest rail asset"),
    TEXT("methods", "platform", "", M(platform), "temporary platform or works, in words"),
    TEXT("methods", "spoil", "", M(spoil), "spoil, in words"),
    CHOICE("methods", "operation", operations, "install", AT(sg_raw_method, operation),
           "piles are put in or taken out"),

    LEVEL_ROWS("methods.sound"),
    NUMBER("methods.sound", "blow_lae_10m_dB", "dB(A)", 0, 160, "",
           AT(sg_raw_plant, blow_lae_10m_db),
           "own level: sound exposure level LAE of one blow at 10 m; needs blows_per_min"),
    NUMBER("methods.sound", "blow_decay_ms", "ms", 1, 1000, "", AT(sg_raw_plant, blow_decay_ms),
           "time in which the energy of a blow decays; the shortest when left out"),
    NUMBER("methods.sound", "tonal_dB", "dB", 0, 6, "", AT(sg_raw_plant, tonal_db),
           "adjustment for tones of the rig, as found; for rating levels"),
    NUMBER("methods.sound", "onset_rate_dB_s", "dB/s", 10, 100000, "", AT(sg_raw_plant, onset_db_s),
           "measured onset rate of the rig's impulses"),
    NUMBER("methods.sound", "onset_rise_dB", "dB", 1, 120, "", AT(sg_raw_plant, onset_rise_db),
           "their measured level difference"),
    NUMBER("methods.sound", "start_height_m", "m", 0, 60, "", AT(sg_raw_plant, start_height_m),
           "height of the source at the start of a drive; needed with octave bands"),
    NUMBER("methods.sound", "end_height_m", "m", 0, 60, "1.5", AT(sg_raw_plant, end_height_m),
           "height of the source at the end of a drive"),

    LEVEL_ROWS("methods.plant"),
    TEXT("methods.plant", "name", "", AT(sg_raw_plant, name),
         "name; the source's title when left out"),
    NUMBER("methods.plant", "height_m", "m", 0, 60, "1.5", AT(sg_raw_plant, end_height_m),
           "height of the source"),
    COUNT("methods.plant", "count", 1, 1000, "1", AT(sg_raw_plant, count), "how many of it"),
    NUMBER("methods.plant", "on_time_percent", "%", 0.1, 100, NULL,
           AT(sg_raw_plant, on_time_percent), "share of the working time"),

    LEVEL_ROWS("sources"),
    TEXT("sources", "id", NULL, AT(sg_raw_plant, id), "word that methods name the source by"),
    TEXT("sources", "name", "", AT(sg_raw_plant, name), "what it is; its id when left out"),

    /* time and sound */
    TEXT("hours", "start", NULL, AT(sg_raw_hours, start), "clock time HH:MM"),
    TEXT("hours", "end", NULL, AT(sg_raw_hours, end),
         "clock time HH:MM; before start = the next day"),
    NUMBER("hours", "work_h", "h", 0.1, 24, NULL, AT(sg_raw_hours, work_h),
           "working time net of breaks"),
    NUMBER("hours", "days_per_week", "", 0.5, 7, NULL, AT(sg_raw_hours, days_per_week),
           "working days"),

    TEXT("programme", "start", NULL, AT(sg_raw_programme, start), "first day of work, YYYY-MM-DD"),
    NUMBER("programme", "utc_offset_h", "h", -12, 14, "0", AT(sg_raw_programme, utc_offset_h),
           "local standard time less UTC"),
    CHOICE("programme", "daylight_saving", daylight, "none", AT(sg_raw_programme, daylight_saving),
           "rule by which clocks are put forward and back"),
    PART("programme", "weekdays", SG_FIELD_LIST, 1, 7, "", AT(sg_raw_programme, weekdays),
         "days of work: mon, tue, ...; the first days_per_week when left out"),
    PART("programme", "holidays", SG_FIELD_LIST, 0, 1000, "", AT(sg_raw_programme, holidays),
         "days without work, YYYY-MM-DD"),
    PART("programme", "shifts", SG_FIELD_BLOCKS, 1, 10, "", AT(sg_raw_programme, shifts),
         "shifts of a day; the one of hours when left out"),
    PART("programme", "quiet", SG_FIELD_BLOCKS, 0, 1000, "", AT(sg_raw_programme, quiet),
         "windows without work, such as exams"),
    PART("programme", "possessions", SG_FIELD_BLOCKS, 0, 1000, "",
         AT(sg_raw_programme, possessions),
         "windows in which piles of a stretch are worked on; at other times they are not"),
    COUNT("programme", "rigs", 1, 50, "1", AT(sg_raw_programme, rigs),
          "rigs at work at once, each on its own stretch of equal length"),
    CHOICE("programme", "order", orders, "forward", AT(sg_raw_programme, order),
           "along the wall from its start, or from its end"),
    NUMBER("programme", "set_up_minutes", "min", 0, 100000, "0",
           AT(sg_raw_programme, set_up_minutes), "before a rig's first pile"),
    NUMBER("programme", "change_over_minutes", "min", 0, 100000, "0",
           AT(sg_raw_programme, change_over_minutes), "from one method to another"),
    COUNT("programme", "least_run", 1, 10000, "1", AT(sg_raw_programme, least_run),
          "neighbouring piles by one method, at least"),

    TEXT("programme.shifts", "name", "", AT(sg_raw_shift, name), "name"),
    TEXT("programme.shifts", "start", NULL, AT(sg_raw_shift, start), "clock time HH:MM"),
    TEXT("programme.shifts", "end", NULL, AT(sg_raw_shift, end),
         "clock time HH:MM; before start = the next day"),
    NUMBER("programme.shifts", "work_h", "h", 0.1, 24, NULL, AT(sg_raw_shift, work_h),
           "working time net of breaks"),
    PART("programme.shifts", "weekdays", SG_FIELD_LIST, 1, 7, "", AT(sg_raw_shift, weekdays),
         "days on which it begins; the programme's when left out"),

    TEXT("programme.quiet", "name", "", AT(sg_raw_window, name), "why"),
    TEXT("programme.quiet", "first", NULL, AT(sg_raw_window, first), "first day, YYYY-MM-DD"),
    TEXT("programme.quiet", "last", "", AT(sg_raw_window, last), "last day; the first when empty"),
    TEXT("programme.quiet", "start", "00:00", AT(sg_raw_window, start), "clock time HH:MM"),
    TEXT("programme.quiet", "end", "24:00", AT(sg_raw_window, end),
         "clock time HH:MM; before start = the next day"),

    TEXT("programme.possessions", "name", "", AT(sg_raw_window, name), "name"),
    TEXT("programme.possessions", "first", NULL, AT(sg_raw_window, first),
         "day on which the first one begins, YYYY-MM-DD"),
    TEXT("programme.possessions", "last", "", AT(sg_raw_window, last),
         "day on which the last one begins; the first when empty"),
    TEXT("programme.possessions", "start", NULL, AT(sg_raw_window, start), "clock time HH:MM"),
    TEXT("programme.possessions", "end", NULL, AT(sg_raw_window, end),
         "clock time HH:MM; before start = the next day"),
    NUMBER("programme.possessions", "from_m", "m", -1e6, 1e6, NULL, AT(sg_raw_window, from_m),
           "chainage from which on piles need it"),
    NUMBER("programme.possessions", "to_m", "m", -1e6, 1e6, NULL, AT(sg_raw_window, to_m),
           "chainage up to which piles need it"),

    NUMBER("monitoring", "amber_percent", "%", 1, 100, "80", AT(sg_monitoring, amber_percent),
           "of the limit: act (common practice)"),
    NUMBER("monitoring", "red_percent", "%", 1, 200, "100", AT(sg_monitoring, red_percent),
           "of the limit: stop (common practice)"),
    NUMBER("monitoring", "cover_m", "m", 0.1, 1000, "", AT(sg_monitoring, cover_m),
           "one monitor stands for receptors so near to it; each its own when left out"),

    CHOICE(
        "sound", "method", sound_methods, "activity", AT(sg_raw_sound, method),
        "activity levels by distance (BS 5228-1), the form of FTA and FHWA, or octave bands in the "
        "scene"),
    CHOICE("sound", "ground", grounds, "hard", AT(sg_raw_sound, ground), "ground cover"),
    NUMBER("sound", "soft_fraction", "", 0, 1, "", AT(sg_raw_sound, soft_fraction),
           "share of soft ground; needed with mixed"),
    NUMBER("sound", "boundary_distance_m", "m", 0.1, 10000, "",
           AT(sg_raw_sound, boundary_distance_m),
           "from the working line to the site boundary, for limits that are stated there"),
    CHOICE(
        "sound", "rating", ratings, "", AT(sg_raw_sound, rating),
        "rule by which levels are rated, beside the limits that have their own; none when empty"),
    YES_NO("sound", "passed_short_only", "false", AT(sg_raw_sound, passed_short_only),
           "day values are passed in at most one month of the building year, as somebody found"),
    NUMBER("sound", "hoarding_height_m", "m", 0.5, 20, "", AT(sg_raw_sound, hoarding_height_m),
           "height of a hoarding at the site boundary that is tried out as a measure; with "
           "octave-bands and boundary_distance_m"),

    TEXT("crew", "name", NULL, AT(sg_crew_part, name),
         "who; parts with the same name are one working day"),
    NUMBER("crew", "distance_m", "m", 1, 1000, NULL, AT(sg_crew_part, distance_m),
           "from the nearest position of the rig"),
    NUMBER("crew", "hours_h", "h", 0.01, 24, NULL, AT(sg_crew_part, hours), "time there a day"),
    CHOICE("crew", "rule", crew_rules, "eu", AT(sg_crew_part, rule),
           "whose values the daily exposure is shown beside"),

    /* the scene of the octave-band method; also the keys of a case file of its own */
    TEXT("scene", "title", "", AT(sg_raw_scene, title), "title"),
    TEXT("scene", "crs", "local-metre", AT(sg_raw_scene, crs), "EPSG code, or local-metre"),
    NUMBER("scene", "temperature_C", "C", -20, 50, "10", AT(sg_raw_scene, temperature_c), "air"),
    NUMBER("scene", "humidity_percent", "%", 10, 100, "70", AT(sg_raw_scene, humidity_percent),
           "relative humidity"),
    NUMBER("scene", "pressure_kPa", "kPa", 50, 200, "101.325", AT(sg_raw_scene, pressure_kpa),
           "air pressure"),
    NUMBER("scene", "c0_dB", "dB", 0, 10, "0", AT(sg_raw_scene, c0_db),
           "meteorological factor C0; 0 = the downwind level"),
    CHOICE("scene", "edition", editions, "1996", AT(sg_raw_scene, edition),
           "of ISO 9613-2 that levels follow; that of 2024 is not built"),
    CHOICE("scene", "ground_method", ground_methods, "general", AT(sg_raw_scene, ground_method),
           "general method, or the alternative one for A-weighted levels over porous ground"),
    NUMBER("scene", "ground_factor", "", 0, 1, "0", AT(sg_raw_scene, ground_factor),
           "G outside the regions: 0 hard, 1 porous"),
    PART("scene", "regions", SG_FIELD_BLOCKS, 0, 10000, "", AT(sg_raw_scene, regions),
         "regions of ground; later ones lie over earlier ones"),
    PART("scene", "foliage", SG_FIELD_BLOCKS, 0, 10000, "", AT(sg_raw_scene, foliage),
         "trees and bushes so dense that one cannot see through them"),
    PART("scene", "industrial_sites", SG_FIELD_BLOCKS, 0, 10000, "", AT(sg_raw_scene, industry),
         "pipes, tanks, steel of industrial sites"),
    PART("scene", "housing", SG_FIELD_BLOCKS, 0, 10000, "", AT(sg_raw_scene, housing),
         "houses not given one by one"),
    NAMED_FILE("scene", "regions_file", "", AT(sg_raw_scene, regions_file),
               "layer of outlines with a factor"),
    NUMBER("scene", "level_m", "m", -1000, 9000, "0", AT(sg_raw_scene, level_m),
           "height of flat ground in the datum"),
    PART("scene", "heights", SG_FIELD_BLOCKS, 0, 20000, "", AT(sg_raw_scene, heights),
         "heights of the ground at points"),
    NAMED_FILE("scene", "heights_file", "", AT(sg_raw_scene, heights_file),
               "table x_m, y_m, z_m, or layer of points with z_m"),
    PART("scene", "height_lines", SG_FIELD_LIST, 0, 10000, "", AT(sg_raw_scene, height_lines),
         "edges, feet and contours of the ground: lists of [x_m, y_m, z_m]"),
    PART("scene", "walls", SG_FIELD_BLOCKS, 0, 100000, "", AT(sg_raw_scene, walls),
         "walls, hoardings, embankment edges"),
    NAMED_FILE("scene", "walls_file", "", AT(sg_raw_scene, walls_file), "layer of lines"),
    PART("scene", "buildings", SG_FIELD_BLOCKS, 0, 100000, "", AT(sg_raw_scene, buildings),
         "buildings as outlines with flat roofs"),
    NAMED_FILE("scene", "buildings_file", "", AT(sg_raw_scene, buildings_file),
               "layer of outlines"),
    COUNT("scene", "reflection_orders", 0, 3, "1", AT(sg_raw_scene, reflections),
          "reflections on one way"),
    NUMBER("scene", "reach_m", "m", 0, 5000, "500", AT(sg_raw_scene, reach_m),
           "a reflected way is at most this much longer than the direct one"),
    YES_NO("scene", "near_sight", "false", AT(sg_raw_scene, near_sight),
           "an edge just under the line of sight counts too (Dz with z below 0)"),
    PART("scene", "sources", SG_FIELD_BLOCKS, 0, 10000, "", AT(sg_raw_scene, sources),
         "point sources; of a case file only"),
    PART("scene", "receptors", SG_FIELD_BLOCKS, 0, 10000, "", AT(sg_raw_scene, receptors),
         "points; of a case file only"),

    PART("scene.regions", "outline", SG_FIELD_LIST, 0, SG_MAX_RING, "", AT(sg_raw_region, outline),
         "corners [x_m, y_m], ..."),
    NUMBER("scene.regions", "factor", "", 0, 1, NULL, AT(sg_raw_region, factor), "G"),

    PART("scene.foliage", "outline", SG_FIELD_LIST, 0, SG_MAX_RING, "", AT(sg_raw_cover, outline),
         "corners [x_m, y_m], ..."),
    NUMBER("scene.foliage", "height_m", "m", 0.5, 60, NULL, AT(sg_raw_cover, height_m),
           "above the ground"),

    PART("scene.industrial_sites", "outline", SG_FIELD_LIST, 0, SG_MAX_RING, "",
         AT(sg_raw_cover, outline), "corners [x_m, y_m], ..."),
    NUMBER("scene.industrial_sites", "height_m", "m", 0.5, 200, NULL, AT(sg_raw_cover, height_m),
           "of what stands there, above the ground"),

    PART("scene.housing", "outline", SG_FIELD_LIST, 0, SG_MAX_RING, "", AT(sg_raw_cover, outline),
         "corners [x_m, y_m], ..."),
    NUMBER("scene.housing", "height_m", "m", 0.5, 60, NULL, AT(sg_raw_cover, height_m),
           "mean height of the houses above the ground"),
    NUMBER("scene.housing", "built_share", "", 0, 1, NULL, AT(sg_raw_cover, built),
           "plan area of the houses by the whole area"),

    NUMBER("scene.heights", "x_m", "m", -COORDINATE_MAX, COORDINATE_MAX, "", AT(sg_raw_height, x_m),
           "easting"),
    NUMBER("scene.heights", "y_m", "m", -COORDINATE_MAX, COORDINATE_MAX, "", AT(sg_raw_height, y_m),
           "northing"),
    NUMBER("scene.heights", "z_m", "m", -1000, 9000, "", AT(sg_raw_height, z_m),
           "height; that of the point itself when a layer has no such column"),

    OBSTACLE_ROWS("scene.walls", "line", "points [x_m, y_m] or [x_m, y_m, top_m], ..."),

    OBSTACLE_ROWS("scene.buildings", "outline", "corners [x_m, y_m] or [x_m, y_m, top_m], ..."),

    POINT_ROWS("scene.sources"),
    PART("scene.sources", "lw_octaves_dB", SG_FIELD_LIST, 8, 8, "", AT(sg_raw_emitter, octaves),
         "sound power in octaves 63 Hz to 8 kHz, unweighted"),
    NUMBER("scene.sources", "lw_each_octave_dB", "dB", -50, 200, "", AT(sg_raw_emitter, each_db),
           "the same sound power in every octave"),
    NUMBER("scene.sources", "lwa_dB", "dB(A)", -50, 200, "", AT(sg_raw_emitter, lwa_db),
           "A-weighted sound power alone: the attenuation at 500 Hz is used"),
    TEXT("scene.sources", "provenance", "", AT(sg_raw_emitter, provenance),
         "where the level comes from"),

    POINT_ROWS("scene.receptors"),
    YES_NO("scene.receptors", "facade", "false", AT(sg_raw_emitter, facade),
           "1 m in front of a facade: + 3 dB instead of its reflection"),
};

size_t sg_field_count(void)
{
    return SG_COUNT(fields);
}

const struct sg_field *sg_field_at(size_t index)
{
    return index < SG_COUNT(fields) ? &fields[index] : NULL;
}

const struct sg_field *sg_block_fields(const char *block, size_t *count)
{
    const struct sg_field *first = NULL;
    *count = 0;
    for (size_t i = 0; i < SG_COUNT(fields); i++) {
        if (!sg_same(fields[i].block, block))
            continue;
        if (!first)
            first = &fields[i];
        ++*count;
    }
    return first;
}
