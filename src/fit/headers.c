/* headers.c - understanding the header of a table of measurements: "Distance (m)", "ppv_mm_s",
 * "PPV [in/s]", "energy_kJ". Liberal in the words, strict about units: a number without a unit is
 * refused, and so are two columns that could be the same thing. */
#include "headers.h"

#include <string.h>

#define WORD_MOST 96

struct role {
    const char *id;
    const char *names; /* " name name-of-two-words " in lower case, words joined by '-' */
};

static const struct role roles[SG_COL_END] = {
    [SG_COL_DISTANCE] = { "distance", " distance dist r d x range plan-distance source-distance "
                                      "horizontal-distance radius offset separation "
                                      "slope-distance toe-distance distance-to-toe "
                                      "seismic-distance hypocentral-distance radial-distance " },
    [SG_COL_SCALED] = { "scaled", " scaled-distance sd scaled-range scaled " },
    [SG_COL_VALUE] = { "value", " ppv pcpv pvs vsc v vmax v-max velocity peak-velocity "
                                "peak-particle-velocity particle-velocity peak-vector-sum "
                                "resultant value measured measured-ppv ppv-measured vibration "
                                "laeq leq lafmax lamax lmax level sound-level noise-level "
                                "sound-pressure-level spl l lp laeq-measured " },
    [SG_COL_ENERGY] = { "energy", " energy w e hammer-energy blow-energy impact-energy "
                                  "cycle-energy energy-per-blow energy-per-cycle rated-energy " },
    [SG_COL_DEPTH] = { "depth", " toe-depth depth penetration pile-depth embedment tip-depth " },
    [SG_COL_FREQUENCY] = { "frequency", " frequency f dominant-frequency peak-frequency freq " },
    [SG_COL_PREDICTED] = { "predicted", " predicted prediction predicted-ppv ppv-predicted "
                                        "predicted-central predicted-level laeq-predicted " },
    [SG_COL_PREDICTED_UPPER] = { "predicted-upper", " predicted-upper upper ppv-upper " },
    [SG_COL_RECEPTOR] = { "receptor", " receptor station point location geophone sensor "
                                      "measuring-point monitor " },
    [SG_COL_PILE] = { "pile", " pile pile-name pile-id pile-no pile-number " },
    [SG_COL_POSITION] = { "position", " position mounting " },
    [SG_COL_AXIS] = { "axis", " axis component direction channel " },
    [SG_COL_PHASE] = { "phase", " phase " },
    [SG_COL_TYPE] = { "type", " pile-type section type pile-section " },
    [SG_COL_TECHNIQUE] = { "technique", " technique method driver hammer rig " },
    [SG_COL_SITE] = { "site", " site project " },
    [SG_COL_UNIT] = { "unit", " unit units " },
    [SG_COL_TIME] = { "time", " time timestamp date-time datetime " },
    [SG_COL_TIME_START] = { "time-start", " time-start start start-time from " },
    [SG_COL_TIME_END] = { "time-end", " time-end end end-time to " },
};

const char *sg_column_role_id(enum sg_role_of_column role)
{
    return role < SG_COL_END ? roles[role].id : NULL;
}

/* ---- units ---- */

enum measure { LENGTH, SPEED, ENERGY, HERTZ, LEVEL, SCALED };

/* Spellings in lower case without blanks, '_' as '/'. Factors: exact definitions through base.h. */
static const struct {
    const char *names;
    enum measure measure;
    double factor;
} units[] = {
    { " m metre metres meter meters ", LENGTH, 1 },
    { " km ", LENGTH, 1000 },
    { " ft feet foot ", LENGTH, SG_M_PER_FOOT },
    { " mm/s mm/sec mms-1 mm.s-1 mms^-1 ", SPEED, 1 },
    { " cm/s cm/sec ", SPEED, 10 },
    { " m/s ", SPEED, 1000 },
    { " um/s \xc2\xb5m/s \xce\xbcm/s ", SPEED, 1e-3 },
    { " in/s in/sec ips inch/s inches/s ", SPEED, SG_MM_PER_INCH },
    { " j nm n.m ", ENERGY, 1 },
    { " kj knm kn.m ", ENERGY, 1e3 },
    { " mj ", ENERGY, 1e6 },
    { " ft.lb ft/lb ft-lb ftlb ft.lbf ft-lbf ft-lbs ftlbs lb-ft ", ENERGY, SG_J_PER_FOOT_POUND },
    { " kip-ft ft-kip ft-kips ftkip kipft ", ENERGY, 1e3 * SG_J_PER_FOOT_POUND },
    { " hz ", HERTZ, 1 },
    { " db dba db(a) db/a dbc ", LEVEL, 1 },
    { " m/sqrtj m/sqrt(j) m/j^0.5 m/j^(1/2) m/j^1/2 m/\xe2\x88\x9aj m/sqrt/j ", SCALED, 1 },
    { " m/sqrtkj m/sqrt(kj) m/kj^0.5 m/kj^(1/2) m/\xe2\x88\x9akj m/sqrt/kj ", SCALED,
      0.031622776601683794 },
    { " ft/sqrt(ft-lb) ft/sqrtftlb ft/sqrt(ft.lb) ft/sqrt(ftlb) ft/(ft-lb)^0.5 "
      "ft/sqrt/ft/lb ft/(ft.lb)^0.5 ",
      SCALED, 0.26176662479543061 },
};

static bool fits_role(enum sg_role_of_column role, enum measure measure)
{
    switch (role) {
    case SG_COL_DISTANCE:
    case SG_COL_DEPTH:
        return measure == LENGTH;
    case SG_COL_VALUE:
    case SG_COL_PREDICTED:
    case SG_COL_PREDICTED_UPPER:
        return measure == SPEED || measure == LEVEL;
    case SG_COL_ENERGY:
        return measure == ENERGY;
    case SG_COL_FREQUENCY:
        return measure == HERTZ;
    case SG_COL_SCALED:
        return measure == SCALED;
    default:
        return false;
    }
}

static char lower(char c)
{
    return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
}

/* " word " within a list of such. */
static bool listed(const char *list, const char *word)
{
    size_t length = strlen(word);
    for (const char *at = strstr(list, word); length > 0 && at; at = strstr(at + 1, word)) {
        if (at > list && at[-1] == ' ' && at[length] == ' ')
            return true;
    }
    return false;
}

bool sg_column_unit(enum sg_role_of_column role, const char *unit, struct sg_found_column *out)
{
    char word[WORD_MOST];
    size_t n = 0;
    for (const char *c = unit; *c && n + 1 < sizeof(word); c++) {
        if (*c != ' ')
            word[n++] = *c == '_' ? '/' : lower(*c);
    }
    word[n] = '\0';
    for (size_t i = 0; i < SG_COUNT(units); i++) {
        if (!fits_role(role, units[i].measure) || !listed(units[i].names, word))
            continue;
        out->factor = units[i].factor;
        out->level = units[i].measure == LEVEL;
        out->unit_given = true;
        return true;
    }
    return false;
}

/* ---- names ---- */

/* Lower case, words joined by '-', nothing at the ends. */
static void tidy(const char *text, size_t length, char *out)
{
    size_t n = 0;
    for (size_t i = 0; i < length && n + 1 < WORD_MOST; i++) {
        bool gap = strchr(" _-.,:/", text[i]) != NULL;
        if (!gap)
            out[n++] = lower(text[i]);
        else if (n > 0 && out[n - 1] != '-')
            out[n++] = '-';
    }
    while (n > 0 && out[n - 1] == '-')
        n--;
    out[n] = '\0';
}

/* One of its words says what it is: "distance-from-source", "vertical-ppv". Not what is derived. */
static enum sg_role_of_column loose_role(const char *word)
{
    static const struct {
        const char *words;
        enum sg_role_of_column role;
    } known[] = {
        { " limit allowed criterion error uncertainty log lg ln predicted scaled ", SG_COL_END },
        { " distance dist ", SG_COL_DISTANCE },
        { " ppv pvs velocity vibration laeq leq lafmax ", SG_COL_VALUE },
        { " energy ", SG_COL_ENERGY },
        { " depth ", SG_COL_DEPTH },
        { " frequency ", SG_COL_FREQUENCY },
    };
    char part[WORD_MOST];
    for (size_t i = 0; i < SG_COUNT(known); i++) {
        for (const char *c = word; *c; c += strspn(c, "-")) {
            size_t length = strcspn(c, "-");
            memcpy(part, c, length);
            part[length] = '\0';
            if (listed(known[i].words, part))
                return known[i].role;
            c += length;
        }
    }
    return SG_COL_END;
}

static enum sg_role_of_column role_of(const char *word, bool loose)
{
    if (loose)
        return loose_role(word);
    for (int i = 0; i < SG_COL_END; i++) {
        if (listed(roles[i].names, word))
            return (enum sg_role_of_column)i;
    }
    return SG_COL_END;
}

static void set_meaning(const char *word, struct sg_found_column *c)
{
    c->distance = listed(" slope-distance toe-distance distance-to-toe seismic-distance "
                         "hypocentral-distance ",
                         word)
                      ? SG_DISTANCE_TOE
                      : SG_DISTANCE_PLAN;
    c->quantity = SG_Q_PPV;
    if (listed(" pvs peak-vector-sum resultant ", word))
        c->quantity = SG_Q_PVS;
    else if (listed(" vsc ", word))
        c->quantity = SG_Q_VSC;
    else if (listed(" lafmax lamax lmax ", word))
        c->quantity = SG_Q_LAFMAX;
    else if (c->level)
        c->quantity = SG_Q_LAEQ;
}

/* A unit behind the name: in brackets, or as the last words. */
static enum sg_role_of_column understand(const char *head, bool loose, struct sg_found_column *c)
{
    char word[WORD_MOST], unit[WORD_MOST];
    size_t length = strlen(head);
    const char *open = strpbrk(head, "([");
    c->factor = 1;
    if (length == 0 || length >= WORD_MOST)
        return SG_COL_END;
    if (open && (head[length - 1] == ')' || head[length - 1] == ']')) {
        size_t inside = (size_t)(head + length - 1 - (open + 1));
        tidy(head, (size_t)(open - head), word);
        memcpy(unit, open + 1, inside);
        unit[inside] = '\0';
        enum sg_role_of_column role = role_of(word, loose);
        if (role < SG_COL_NUMBERS && !sg_column_unit(role, unit, c))
            return SG_COL_END;
        set_meaning(word, c);
        return role;
    }
    for (size_t cut = 1; cut < length; cut++) {
        if (!strchr(" _,/", head[cut]))
            continue;
        tidy(head, cut, word);
        size_t from = cut + strspn(head + cut, " _,/");
        enum sg_role_of_column role = role_of(word, loose);
        if (role < SG_COL_NUMBERS && sg_column_unit(role, head + from, c)) {
            set_meaning(word, c);
            return role;
        }
    }
    tidy(head, length, word);
    set_meaning(word, c);
    return role_of(word, loose);
}

/* ---- the table ---- */

static sg_status refuse_second(const struct sg_grid *table, enum sg_role_of_column role, size_t a,
                               size_t b, struct sg_errors *errors)
{
    struct sg_place place = { table->file, table->place[0].line > 1 ? table->place[0].line - 1 : 1,
                              0 };
    return sg_errors_add(errors, SG_ERR_INPUT, &place,
                         "columns '%s' and '%s' could both be the %s; allowed: say which with "
                         "--column %s=HEADER",
                         table->head[a], table->head[b], roles[role].id, roles[role].id);
}

static bool is_head(const struct sg_grid *table, size_t i, const char *name, size_t length)
{
    return strlen(table->head[i]) == length && strncmp(table->head[i], name, length) == 0;
}

/* "role=HEADER" or "role=HEADER:UNIT". The header may hold a colon of its own. */
static sg_status place_by_hand(const struct sg_grid *table, const char *text, bool *by_hand,
                               struct sg_columns *out, struct sg_errors *errors)
{
    const char *equals = strchr(text, '=');
    size_t role = 0;
    while (equals && role < SG_COL_END &&
           (strlen(roles[role].id) != (size_t)(equals - text) ||
            strncmp(roles[role].id, text, (size_t)(equals - text)) != 0))
        role++;
    if (!equals || role == SG_COL_END)
        return sg_errors_add(errors, SG_ERR_USAGE, NULL,
                             "--column '%s' names no role; allowed: distance, scaled, value, "
                             "energy, depth, frequency, predicted, predicted-upper, receptor, "
                             "pile, position, axis, phase, type, technique, site, unit, time",
                             text);
    const char *name = equals + 1, *colon = strrchr(name, ':');
    for (size_t i = 0; i < table->ncolumn; i++) {
        struct sg_found_column c = { .index = i, .factor = 1 };
        bool whole = is_head(table, i, name, strlen(name));
        bool part = colon && is_head(table, i, name, (size_t)(colon - name));
        if (!whole && !part)
            continue;
        understand(table->head[i], false, &c);
        if (!whole && !sg_column_unit((enum sg_role_of_column)role, colon + 1, &c))
            return sg_errors_add(errors, SG_ERR_USAGE, NULL,
                                 "--column '%s': the unit '%s' is not one of %s", text, colon + 1,
                                 roles[role].id);
        if (c.level && c.quantity == SG_Q_PPV)
            c.quantity = SG_Q_LAEQ;
        out->of[role] = c;
        by_hand[role] = true;
        return SG_OK;
    }
    return sg_errors_add(errors, SG_ERR_USAGE, NULL, "--column '%s': %s has no such column", text,
                         table->file);
}

static bool is_taken(const struct sg_columns *columns, size_t index)
{
    for (int k = 0; k < SG_COL_END; k++) {
        if (columns->of[k].index == index)
            return true;
    }
    return false;
}

/* What no header names outright may be named by one word of a header with a fitting unit. */
static sg_status look_again(const struct sg_grid *table, struct sg_columns *out,
                            struct sg_errors *errors)
{
    bool found[SG_COL_END] = { false };
    for (size_t i = 0; i < table->ncolumn; i++) {
        struct sg_found_column c = { .index = i };
        enum sg_role_of_column role = understand(table->head[i], true, &c);
        if (role == SG_COL_END || is_taken(out, i) || !c.unit_given ||
            (out->of[role].index != SIZE_MAX && !found[role]))
            continue;
        if (found[role])
            return refuse_second(table, role, out->of[role].index, i, errors);
        found[role] = true;
        out->of[role] = c;
    }
    return SG_OK;
}

sg_status sg_columns_find(const struct sg_grid *table, const struct sg_pairs_options *options,
                          struct sg_columns *out, struct sg_errors *errors)
{
    bool by_hand[SG_COL_END] = { false };
    sg_status status = SG_OK;
    for (int i = 0; i < SG_COL_END; i++)
        out->of[i] = (struct sg_found_column){ .index = SIZE_MAX, .factor = 1 };
    for (size_t i = 0; i < options->ncolumn && status == SG_OK; i++)
        status = place_by_hand(table, options->column[i], by_hand, out, errors);
    for (size_t i = 0; i < table->ncolumn && status == SG_OK; i++) {
        struct sg_found_column c = { .index = i };
        enum sg_role_of_column role = understand(table->head[i], false, &c);
        if (role == SG_COL_END || by_hand[role] || is_taken(out, i))
            continue;
        if (out->of[role].index != SIZE_MAX)
            status = refuse_second(table, role, out->of[role].index, i, errors);
        out->of[role] = c;
    }
    return status == SG_OK ? look_again(table, out, errors) : status;
}

size_t sg_columns_named(const struct sg_grid *table, const struct sg_columns *columns,
                        const char *name)
{
    for (size_t i = 0; i < table->ncolumn; i++) {
        if (sg_same(table->head[i], name))
            return i;
    }
    for (int i = 0; i < SG_COL_END; i++) {
        if (sg_same(roles[i].id, name))
            return columns->of[i].index;
    }
    return SIZE_MAX;
}
