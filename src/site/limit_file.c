/* limit_file.c - limit sets as YAML: one table of keys for reading and for writing, so that what is
 * written reads back identical. One set a file.
 */
#include "site_internal.h"

#include "stillground/noise_rules.h"

#include <stdio.h>
#include <string.h>

enum kind { TEXT, NUMBER, WORD, BITS, YES };

typedef const char *word_at(unsigned index);

struct key {
    const char *name;
    enum kind kind;
    size_t offset;
    word_at *word; /* of WORD by number, of BITS by bit */
    unsigned count;
    bool needed;
    double min;
};

#define BY_NUMBER(name, function, type)                                                            \
    static const char *name(unsigned i)                                                            \
    {                                                                                              \
        return function((enum type)i);                                                             \
    }
BY_NUMBER(purpose_word, sg_purpose_id, sg_purpose)
BY_NUMBER(position_word, sg_position_id, sg_position)
BY_NUMBER(quantity_word, sg_quantity_id, sg_quantity)
BY_NUMBER(axes_word, sg_axes_id, sg_axes)
BY_NUMBER(period_word, sg_period_id, sg_period)
BY_NUMBER(between_word, sg_interpolation_id, sg_interpolation)
BY_NUMBER(below_word, sg_below_id, sg_below)
BY_NUMBER(grade_word, sg_grade_name, sg_grade)
BY_NUMBER(rule_word, sg_rule_id, sg_rule)
BY_NUMBER(status_word, sg_set_status_id, sg_set_status)
BY_NUMBER(frequency_word, sg_frequency_rule_id, sg_frequency_rule)
BY_NUMBER(exceed_word, sg_exceed_id, sg_exceed)
BY_NUMBER(noise_word, sg_noise_of_id, sg_noise_of)
BY_NUMBER(window_word, sg_window_kind_id, sg_window_kind)
BY_NUMBER(character_word, sg_character_id, sg_character)

static unsigned number_of_bit(unsigned bit)
{
    unsigned number = 0;
    while (bit > 1u) {
        bit >>= 1;
        number++;
    }
    return number;
}

static const char *technique_bit(unsigned bit)
{
    return sg_technique_id((enum sg_technique)number_of_bit(bit));
}

static const char *character_bit(unsigned bit)
{
    return sg_character_id((enum sg_character)number_of_bit(bit));
}

static const char *day_bit(unsigned bit)
{
    static const char *const word[] = { "working-days", "saturday", "holiday" };
    return word[number_of_bit(bit)];
}

#define S(member) offsetof(struct sg_limit_set, member)
#define R(member) offsetof(struct sg_limit_row, member)
#define F(member) offsetof(struct sg_limit_factor, member)
#define W(member) offsetof(struct sg_time_window, member)
#define IS(technique) (S(character) + (technique) * sizeof(enum sg_character))
#define BIT_COUNT(end) number_of_bit(end)

static const struct key set_key[] = {
    { "id", TEXT, S(id), NULL, 0, true, 0 },
    { "title", TEXT, S(title), NULL, 0, true, 0 },
    { "jurisdiction", TEXT, S(jurisdiction), NULL, 0, true, 0 },
    { "document", TEXT, S(document), NULL, 0, true, 0 },
    { "edition", TEXT, S(edition), NULL, 0, true, 0 },
    { "legal", TEXT, S(legal), NULL, 0, true, 0 },
    { "status", WORD, S(status), status_word, SG_SET_STATUS_END, false, 0 },
    { "frequency_rule", WORD, S(frequency), frequency_word, SG_FREQUENCY_RULE_END, false, 0 },
    { "ambient_round_dB", NUMBER, S(ambient_round_db), NULL, 0, false, 0 },
    { "rows_are_levels", YES, S(rows_are_levels), NULL, 0, false, 0 },
    { "excluded", BITS, S(excluded), technique_bit, SG_TECHNIQUE_END, false, 0 },
    { "excluded_why", TEXT, S(excluded_why), NULL, 0, false, 0 },
    { "impact_is", WORD, IS(SG_IMPACT), character_word, SG_CHARACTER_END, false, 0 },
    { "vibratory_is", WORD, IS(SG_VIBRATORY), character_word, SG_CHARACTER_END, false, 0 },
    { "press-in_is", WORD, IS(SG_PRESS_IN), character_word, SG_CHARACTER_END, false, 0 },
    { "press-in-jetting_is", WORD, IS(SG_PRESS_IN_JETTING), character_word, SG_CHARACTER_END, false,
      0 },
    { "press-in-augering_is", WORD, IS(SG_PRESS_IN_AUGERING), character_word, SG_CHARACTER_END,
      false, 0 },
    { "weighting", TEXT, S(reading.weighting), NULL, 0, false, 0 },
    { "reference", NUMBER, S(reading.reference), NULL, 0, false, 0 },
    { "reference_unit", TEXT, S(reading.reference_unit), NULL, 0, false, 0 },
    { "tau_s", NUMBER, S(reading.tau_s), NULL, 0, false, 0 },
    { "low_Hz", NUMBER, S(reading.low_hz), NULL, 0, false, 0 },
    { "high_Hz", NUMBER, S(reading.high_hz), NULL, 0, false, 0 },
    { "statistic", TEXT, S(reading.statistic), NULL, 0, false, 0 },
    { "block_s", NUMBER, S(reading.block_s), NULL, 0, false, 0 },
    { "rating_day_h", NUMBER, S(reading.rating_day_h), NULL, 0, false, 0 },
    { "rating_night_h", NUMBER, S(reading.rating_night_h), NULL, 0, false, 0 },
    { "rest_weight", NUMBER, S(reading.rest_weight), NULL, 0, false, 0 },
    { "consecutive_days", NUMBER, S(consecutive_days), NULL, 0, false, 0 },
    { "count_days", NUMBER, S(count_days[0]), NULL, 0, false, 0 },
    { "of_days", NUMBER, S(of_days[0]), NULL, 0, false, 0 },
    { "count_days_long", NUMBER, S(count_days[1]), NULL, 0, false, 0 },
    { "of_days_long", NUMBER, S(of_days[1]), NULL, 0, false, 0 },
    { "rare_per_day", NUMBER, S(rare_per_day), NULL, 0, false, 0 },
    { "short_up_to_per_min", NUMBER, S(short_up_to_per_min), NULL, 0, false, 0 },
    { "minor_times", NUMBER, S(minor_times), NULL, 0, false, 0 },
    { "major_times", NUMBER, S(major_times), NULL, 0, false, 0 },
    { "complaint_triggers", YES, S(complaint_triggers), NULL, 0, false, 0 },
    { "by_choice", YES, S(by_choice), NULL, 0, false, 0 },
    { "rating", TEXT, S(rating), NULL, 0, false, 0 },
    { "noise_of", WORD, S(noise_of), noise_word, SG_NOISE_OF_END, false, 0 },
    { "action_above_dB", NUMBER, S(action_above_db), NULL, 0, false, 0 },
    { "bridges", BITS, S(bridges), sg_bridge_id, 4, false, 0 },
    { "bridge_refused", TEXT, S(bridge_refused), NULL, 0, false, 0 },
    { "exceed", WORD, S(exceed), exceed_word, SG_EXCEED_END, false, 0 },
    { "tolerance", TEXT, S(tolerance), NULL, 0, false, 0 },
    { "requires", BITS, S(requires), sg_requirement_id, 5, false, 0 },
};

static const struct key row_key[] = {
    { "id", TEXT, R(id), NULL, 0, true, 0 },
    { "label", TEXT, R(label), NULL, 0, true, 0 },
    { "purpose", WORD, R(purpose), purpose_word, SG_PURPOSE_END, true, 0 },
    { "classes", BITS, R(classes), sg_class_id, 12, false, 0 },
    { "uses", BITS, R(uses), sg_use_id, 9, false, 0 },
    { "areas", BITS, R(areas), sg_area_id, 6, false, 0 },
    { "position", WORD, R(position), position_word, SG_POSITION_END, true, 0 },
    { "quantity", WORD, R(quantity), quantity_word, SG_Q_END, true, 0 },
    { "axes", WORD, R(axes), axes_word, SG_AXES_END, true, 0 },
    { "characters", BITS, R(characters), character_bit, SG_CHARACTER_END, false, 0 },
    { "techniques", BITS, R(techniques), technique_bit, SG_TECHNIQUE_END, false, 0 },
    { "period", WORD, R(period), period_word, SG_PERIOD_END, false, 0 },
    { "category", TEXT, R(category), NULL, 0, false, 0 },
    { "averaging_h", NUMBER, R(averaging_h), NULL, 0, false, 0 },
    { "between", WORD, R(interpolation), between_word, SG_INTERPOLATION_END, false, 0 },
    { "below", WORD, R(below), below_word, SG_BELOW_END, false, 0 },
    { "below_displacement_mm", NUMBER, R(below_displacement_mm), NULL, 0, false, 0 },
    { "below_grade", WORD, R(below_grade), grade_word, SG_GRADE_END, false, 0 },
    { "effect", TEXT, R(effect), NULL, 0, true, 0 },
    { "on_request", YES, R(on_request), NULL, 0, false, 0 },
    { "locus", TEXT, R(cite.locus), NULL, 0, true, 0 },
    { "grade", WORD, R(cite.grade), grade_word, SG_GRADE_END, true, 0 },
    { "rule", WORD, R(rule), rule_word, SG_RULE_END, false, 0 },
    { "above_Hz", NUMBER, R(above_hz), NULL, 0, false, 0 },
    { "percent", NUMBER, R(percent), NULL, 0, false, 0 },
    { "upper_value", NUMBER, R(upper_value), NULL, 0, false, 0 },
    { "dose_value", NUMBER, R(dose_value), NULL, 0, false, 0 },
    { "days_linear", YES, R(days_linear), NULL, 0, false, 0 },
    { "days_above", NUMBER, R(days_above), NULL, 0, false, 0 },
    { "days_to", NUMBER, R(days_to), NULL, 0, false, 0 },
    { "by_background", YES, R(by_background), NULL, 0, false, 0 },
    { "rise_dB", NUMBER, R(rise_db), NULL, 0, false, 0 },
    { "other_sources", BITS, R(other_sources), sg_other_id, 4, false, 0 },
};

static const struct key factor_key[] = {
    { "id", TEXT, F(id), NULL, 0, true, 0 },
    { "low", NUMBER, F(low), NULL, 0, true, 1e-6 },
    { "high", NUMBER, F(high), NULL, 0, true, 1e-6 },
    { "default", NUMBER, F(dflt), NULL, 0, true, 1e-6 },
    { "applied_to", BITS, F(characters), character_bit, SG_CHARACTER_END, false, 0 },
    { "classes", BITS, F(classes), sg_class_id, 12, false, 0 },
    { "meaning", TEXT, F(meaning), NULL, 0, true, 0 },
    { "decided_by", TEXT, F(decided_by), NULL, 0, true, 0 },
    { "locus", TEXT, F(cite.locus), NULL, 0, true, 0 },
    { "grade", WORD, F(cite.grade), grade_word, SG_GRADE_END, true, 0 },
};

static const struct key window_key[] = {
    { "kind", WORD, W(kind), window_word, SG_WINDOW_END, true, 0 },
    { "start_h", NUMBER, W(start_h), NULL, 0, true, 0 },
    { "end_h", NUMBER, W(end_h), NULL, 0, true, 0 },
    { "days", BITS, W(days), day_bit, 3, true, 0 },
    { "zone", TEXT, W(zone), NULL, 0, false, 0 },
    { "most_h", NUMBER, W(most_h), NULL, 0, false, 0 },
    { "locus", TEXT, W(cite.locus), NULL, 0, true, 0 },
    { "grade", WORD, W(cite.grade), grade_word, SG_GRADE_END, true, 0 },
};

/* ---- writing --------------------------------------------------------------------------------- */

static void put_text(struct sg_text *out, const char *text)
{
    sg_text_put(out, "\"");
    for (const char *c = text; *c; c++) {
        if (*c == '"' || *c == '\\')
            sg_text_put(out, "\\");
        sg_text_put_bytes(out, c, 1);
    }
    sg_text_put(out, "\"");
}

/* The shortest decimal that reads back as the same number. */
static void put_number(struct sg_text *out, double value)
{
    char text[40];
    for (int digits = 15; digits <= 17; digits++) {
        double back = 0;
        snprintf(text, sizeof(text), "%.*g", digits, value);
        if (sg_parse_number(text, &back, NULL) == SG_OK && !(back < value) && !(back > value))
            break;
    }
    sg_text_put(out, text);
}

static void put_bits(struct sg_text *out, const struct key *key, unsigned bits)
{
    const char *comma = "";
    sg_text_put(out, "[");
    for (unsigned i = 0; i < key->count; i++) {
        if (bits & (1u << i)) {
            sg_text_printf(out, "%s%s", comma, key->word(1u << i));
            comma = ", ";
        }
    }
    sg_text_put(out, "]");
}

/* Words and lists always; texts, numbers and marks when they are not empty. */
static void put_keys(struct sg_text *out, const struct key *key, size_t count, const void *from,
                     const char *first, const char *rest)
{
    const char *indent = first;
    for (size_t i = 0; i < count; i++) {
        const char *at = (const char *)from + key[i].offset;
        const char *text = key[i].kind == TEXT ? *(const char *const *)(const void *)at : NULL;
        double number = key[i].kind == NUMBER ? *(const double *)(const void *)at : 0;
        unsigned word = key[i].kind == WORD || key[i].kind == BITS
                            ? *(const unsigned *)(const void *)at
                            : key[i].kind == YES && *(const bool *)(const void *)at;
        bool zero = !text && !(number > 0) && !(number < 0) && word == 0;
        if (zero && !key[i].needed && key[i].kind != BITS && key[i].kind != WORD)
            continue;
        sg_text_printf(out, "%s%s: ", indent, key[i].name);
        indent = rest;
        if (key[i].kind == TEXT)
            put_text(out, text ? text : "");
        else if (key[i].kind == NUMBER)
            put_number(out, number);
        else if (key[i].kind == WORD)
            sg_text_put(out, key[i].word(word));
        else if (key[i].kind == BITS)
            put_bits(out, &key[i], word);
        else
            sg_text_put(out, "true");
        sg_text_put(out, "\n");
    }
}

static void put_numbers(struct sg_text *out, const double *value, size_t count, const char *end)
{
    for (size_t i = 0; i < count; i++) {
        sg_text_put(out, i > 0 ? ", " : "[");
        put_number(out, value[i]);
    }
    sg_text_printf(out, "]%s", end);
}

static void put_row(struct sg_text *out, const struct sg_limit_row *row)
{
    put_keys(out, row_key, SG_COUNT(row_key), row, "  - ", "    ");
    sg_text_put(out, "    curve: [");
    for (size_t i = 0; i < row->nnode; i++) {
        const double pair[] = { row->node[i].frequency_hz, row->node[i].value };
        put_numbers(out, pair, 2, i + 1 < row->nnode ? ", " : "]\n");
    }
    for (size_t i = 0; i < row->ndays; i++) {
        const struct sg_days_piece *p = &row->days[i];
        const double piece[] = { p->from, p->to, p->lower, p->upper, p->dose };
        sg_text_put(out, i == 0 ? "    days: [" : "");
        put_numbers(out, piece, 5, i + 1 < row->ndays ? ", " : "]\n");
    }
}

static void put_list(struct sg_text *out, const char *key, const char *const *list)
{
    for (size_t i = 0; list && list[i]; i++) {
        if (i == 0)
            sg_text_printf(out, "%s:\n", key);
        sg_text_put(out, "  - ");
        put_text(out, list[i]);
        sg_text_put(out, "\n");
    }
}

void sg_limit_file_put(const struct sg_limit_set *set, struct sg_text *out)
{
    put_keys(out, set_key, SG_COUNT(set_key), set, "", "");
    sg_text_put(out, "rows:\n");
    for (size_t i = 0; i < set->nrow; i++)
        put_row(out, &set->row[i]);
    for (size_t i = 0; i < set->nfactor; i++) {
        sg_text_put(out, i == 0 ? "factors:\n" : "");
        put_keys(out, factor_key, SG_COUNT(factor_key), &set->factor[i], "  - ", "    ");
    }
    for (size_t i = 0; i < set->nwindow; i++) {
        sg_text_put(out, i == 0 ? "windows:\n" : "");
        put_keys(out, window_key, SG_COUNT(window_key), &set->window[i], "  - ", "    ");
    }
    put_list(out, "disagreements", set->disagreement);
    put_list(out, "notes", set->note);
}

/* ---- reading --------------------------------------------------------------------------------- */

static void put_words(struct sg_text *out, const struct key *key)
{
    for (unsigned i = 0; i < key->count; i++)
        sg_text_printf(out, "%s%s", i > 0 ? ", " : "", key->word(key->kind == BITS ? 1u << i : i));
}

static void refuse(struct sg_reader *reader, const struct sg_tree *at, const struct key *key,
                   const char *what)
{
    struct sg_text allowed = SG_TEXT_INIT;
    if (key->word)
        put_words(&allowed, key);
    else if (key->kind == NUMBER)
        sg_text_printf(&allowed, "a number, %g or more", key->min);
    else
        sg_text_put(&allowed, key->kind == YES ? "true, false" : "a text that is not empty");
    sg_reader_error(reader, SG_ERR_INPUT, at->at, "%s: %s %s; allowed: %s", key->name,
                    at->kind == SG_TREE_TEXT ? sg_quoted(reader, at->text) : "[...]", what,
                    sg_text_string(&allowed));
    sg_text_release(&allowed);
}

static bool find_word(const struct key *key, const char *text, unsigned *out)
{
    for (unsigned i = 0; i < key->count; i++) {
        unsigned index = key->kind == BITS ? 1u << i : i;
        if (sg_same(key->word(index), text)) {
            *out |= index;
            return true;
        }
    }
    return false;
}

static void read_bits(struct sg_reader *reader, const struct key *key, const struct sg_tree *value,
                      unsigned *out)
{
    unsigned bits = 0;
    if (value->kind != SG_TREE_LIST) {
        refuse(reader, value, key, "is not a list");
        return;
    }
    for (size_t i = 0; i < value->count; i++) {
        const struct sg_tree *item = value->child[i];
        if (item->kind != SG_TREE_TEXT || !find_word(key, item->text, &bits))
            refuse(reader, item, key, "is not known");
    }
    *out = bits;
}

static void read_value(struct sg_reader *reader, const struct key *key, const struct sg_tree *value,
                       void *to)
{
    const char *why = NULL;
    double number = 0;
    unsigned word = 0;
    if (key->kind == BITS) {
        read_bits(reader, key, value, to);
        return;
    }
    if (value->kind != SG_TREE_TEXT || strlen(value->text) != value->length) {
        refuse(reader, value, key, "is not a single value");
        return;
    }
    if (key->kind == TEXT) {
        if (key->needed && strspn(value->text, " ") == value->length)
            refuse(reader, value, key, "is empty");
        *(const char **)to = value->text;
    } else if (key->kind == NUMBER) {
        if (sg_parse_number(value->text, &number, &why) != SG_OK)
            refuse(reader, value, key, why);
        else if (number < key->min)
            refuse(reader, value, key, "is too small");
        *(double *)to = number;
    } else if (key->kind == WORD) {
        if (!find_word(key, value->text, &word))
            refuse(reader, value, key, "is not known");
        *(unsigned *)to = word;
    } else {
        *(bool *)to = sg_same(value->text, "true");
        if (!*(bool *)to && !sg_same(value->text, "false"))
            refuse(reader, value, key, "is neither");
    }
}

/* Reads a map; names of `also` are left to the caller. */
static void read_keys(struct sg_reader *reader, const struct key *key, size_t count,
                      const struct sg_tree *map, const char *const *also, void *to)
{
    bool seen[64] = { false };
    if (map->kind != SG_TREE_MAP) {
        sg_reader_error(reader, SG_ERR_INPUT, map->at, "is not a map; allowed: keys and values");
        return;
    }
    for (size_t i = 0; i < map->count; i++) {
        const struct sg_tree *name = map->child[2 * i];
        size_t at = 0, other = 0;
        const char *text = name->kind == SG_TREE_TEXT ? name->text : "[...]";
        while (at < count && !sg_same(key[at].name, text))
            at++;
        while (also[other] && !sg_same(also[other], text))
            other++;
        if (at == count && !also[other])
            sg_reader_error(reader, SG_ERR_UNKNOWN, name->at,
                            "%s is not a known key; `limits --format yaml ID` shows them",
                            sg_quoted(reader, text));
        size_t slot = at < count ? at : count + other; /* names of `also` after the keys */
        if (at == count && !also[other])
            continue;
        if (seen[slot])
            sg_reader_error(reader, SG_ERR_INPUT, name->at,
                            "%s: is given a second time; allowed: "
                            "each key once",
                            text);
        seen[slot] = true;
        if (at < count)
            read_value(reader, &key[at], map->child[2 * i + 1], (char *)to + key[at].offset);
    }
    for (size_t i = 0; i < count; i++) {
        if (key[i].needed && !seen[i])
            sg_reader_error(reader, SG_ERR_MISSING, map->at, "%s: is missing", key[i].name);
    }
}

/* A list of `width` numbers each, flat in the arena; NULL after an error. */
static double *read_table(struct sg_reader *reader, const struct sg_tree *list, const char *name,
                          size_t width, size_t *count)
{
    *count = 0;
    if (list->kind != SG_TREE_LIST || list->count == 0 || list->count > 200) {
        sg_reader_error(reader, SG_ERR_INPUT, list->at,
                        "%s: is not a list of 1 to 200 entries of "
                        "%zu numbers",
                        name, width);
        return NULL;
    }
    double *out = sg_reader_alloc(reader, list->count * width, sizeof(*out));
    for (size_t i = 0; out && i < list->count; i++) {
        const struct sg_tree *item = list->child[i];
        if (item->kind != SG_TREE_LIST || item->count != width) {
            sg_reader_error(reader, SG_ERR_INPUT, item->at, "%s: an entry is not %zu numbers", name,
                            width);
            return NULL;
        }
        for (size_t k = 0; k < width; k++) {
            if (!sg_bind_number(reader, item->child[k], name, &out[i * width + k]))
                return NULL;
        }
    }
    *count = list->count;
    return out;
}

static void read_curve(struct sg_reader *reader, const struct sg_tree *map,
                       struct sg_limit_row *row)
{
    const struct sg_tree *list = sg_tree_value(map, "curve");
    if (!list) {
        sg_reader_error(reader, SG_ERR_MISSING, map->at,
                        "curve: is missing; allowed: [[frequency_Hz, value], ...], one pair with "
                        "frequency 0 for a value at every frequency");
        return;
    }
    size_t count;
    double *flat = read_table(reader, list, "curve", 2, &count);
    struct sg_node *node = sg_reader_alloc(reader, count, sizeof(*node));
    for (size_t i = 0; flat && node && i < count; i++) {
        node[i] = (struct sg_node){ flat[2 * i], flat[2 * i + 1] };
        if (!(node[i].value > 0) || node[i].frequency_hz < 0)
            sg_reader_error(reader, SG_ERR_INPUT, list->child[i]->at,
                            "curve: a value is not above 0 or a frequency is negative");
        if (count > 1 && i == 0 && !(node[i].frequency_hz > 0))
            sg_reader_error(reader, SG_ERR_INPUT, list->child[i]->at,
                            "curve: a curve of several pairs starts at 0 Hz; allowed: a first "
                            "frequency above 0 (`below` says what holds under it)");
        if (i > 0 && !(node[i].frequency_hz > node[i - 1].frequency_hz))
            sg_reader_error(reader, SG_ERR_INPUT, list->child[i]->at,
                            "curve: the frequency %.9g Hz does not come after %.9g Hz: bands "
                            "overlap or run downward; allowed: growing frequencies",
                            node[i].frequency_hz, node[i - 1].frequency_hz);
    }
    row->node = node;
    row->nnode = flat ? count : 0;
}

static void read_days(struct sg_reader *reader, const struct sg_tree *map, struct sg_limit_row *row)
{
    const struct sg_tree *list = sg_tree_value(map, "days");
    size_t count;
    double *flat = list ? read_table(reader, list, "days", 5, &count) : NULL;
    if (!flat)
        return;
    struct sg_days_piece *piece = sg_reader_alloc(reader, count, sizeof(*piece));
    for (size_t i = 0; piece && i < count; i++) {
        const double *f = &flat[5 * i];
        piece[i] = (struct sg_days_piece){ f[0], f[1], f[2], f[3], f[4] };
        if (f[1] < f[0] || (i > 0 && f[0] < piece[i - 1].to))
            sg_reader_error(reader, SG_ERR_INPUT, list->child[i]->at,
                            "days: stretches overlap or run backward");
    }
    row->days = piece;
    row->ndays = piece ? count : 0;
}

static void read_row(struct sg_reader *reader, const struct sg_limit_set *set,
                     const struct sg_tree *map, struct sg_limit_row *row)
{
    static const char *const also[] = { "curve", "days", NULL };
    *row = (struct sg_limit_row){
        .classes = SG_ANY_CLASS,
        .uses = SG_ANY_USE,
        .areas = SG_ANY_AREA,
        .characters = (1u << SG_CHARACTER_END) - 1u,
        .techniques = SG_ANY_TECHNIQUE,
        .period = SG_ANY_TIME,
        .cite = { set->document, "", SG_GRADE_USER },
        .interpolation = SG_LINEAR,
    };
    read_keys(reader, row_key, SG_COUNT(row_key), map, also, row);
    if (map->kind != SG_TREE_MAP)
        return;
    read_curve(reader, map, row);
    read_days(reader, map, row);
    if (row->below == SG_BELOW_DISPLACEMENT && !(row->below_displacement_mm > 0))
        sg_reader_error(reader, SG_ERR_MISSING, map->at,
                        "below_displacement_mm: is missing; needed "
                        "with below: displacement");
    if (row->rule == SG_RULE_TWO_STEP && !(row->upper_value > 0))
        sg_reader_error(reader, SG_ERR_MISSING, map->at,
                        "upper_value: is missing; needed with rule: two-step");
}

static const struct sg_tree *list_of(struct sg_reader *reader, const struct sg_tree *root,
                                     const char *name, bool needed)
{
    const struct sg_tree *list = sg_tree_value(root, name);
    if (list && list->kind == SG_TREE_LIST && list->count > 0 && list->count <= 500)
        return list;
    if (list || needed)
        sg_reader_error(reader, SG_ERR_INPUT, list ? list->at : root->at,
                        "%s: is not a list of 1 to 500 entries", name);
    return NULL;
}

static const char *const *read_texts(struct sg_reader *reader, const struct sg_tree *root,
                                     const char *name)
{
    const struct sg_tree *list = list_of(reader, root, name, false);
    size_t count;
    const char *const *some = list ? sg_bind_texts(reader, list, name, &count) : NULL;
    const char **out = some ? sg_reader_alloc(reader, count + 1, sizeof(*out)) : NULL;
    for (size_t i = 0; out && i < count; i++)
        out[i] = some[i];
    return out;
}

static void read_rows(struct sg_reader *reader, const struct sg_tree *root,
                      struct sg_limit_set *set)
{
    const struct sg_tree *list = list_of(reader, root, "rows", true);
    struct sg_limit_row *row = list ? sg_reader_alloc(reader, list->count, sizeof(*row)) : NULL;
    for (size_t i = 0; row && i < list->count; i++) {
        read_row(reader, set, list->child[i], &row[i]);
        for (size_t k = 0; k < i; k++) {
            if (sg_same(row[k].id, row[i].id))
                sg_reader_error(reader, SG_ERR_INPUT, list->child[i]->at,
                                "id: '%s' is given to a second row; allowed: each once", row[i].id);
        }
    }
    set->row = row;
    set->nrow = row ? list->count : 0;
}

static void read_rest(struct sg_reader *reader, const struct sg_tree *root,
                      struct sg_limit_set *set)
{
    static const char *const none[] = { NULL };
    const struct sg_tree *list = list_of(reader, root, "factors", false);
    struct sg_limit_factor *factor =
        list ? sg_reader_alloc(reader, list->count, sizeof(*factor)) : NULL;
    for (size_t i = 0; factor && i < list->count; i++) {
        factor[i].cite.document = set->document;
        read_keys(reader, factor_key, SG_COUNT(factor_key), list->child[i], none, &factor[i]);
        if (factor[i].low > factor[i].dflt || factor[i].dflt > factor[i].high)
            sg_reader_error(reader, SG_ERR_INPUT, list->child[i]->at,
                            "default: is not between low and high");
    }
    set->factor = factor;
    set->nfactor = factor ? list->count : 0;
    list = list_of(reader, root, "windows", false);
    struct sg_time_window *window =
        list ? sg_reader_alloc(reader, list->count, sizeof(*window)) : NULL;
    for (size_t i = 0; window && i < list->count; i++) {
        window[i].cite.document = set->document;
        read_keys(reader, window_key, SG_COUNT(window_key), list->child[i], none, &window[i]);
    }
    set->window = window;
    set->nwindow = window ? list->count : 0;
    set->disagreement = read_texts(reader, root, "disagreements");
    set->note = read_texts(reader, root, "notes");
}

static size_t rule_count(void)
{
    size_t count = 0;
    while (sg_rating_rule_at(count))
        count++;
    return count;
}

const struct sg_limit_set *sg_build_limit_file(struct sg_reader *reader, const struct sg_tree *root)
{
    static const char *const also[] = {
        "rows", "factors", "windows", "disagreements", "notes", NULL
    };
    struct sg_limit_set *set = sg_reader_alloc(reader, 1, sizeof(*set));
    if (!set)
        return NULL;
    read_keys(reader, set_key, SG_COUNT(set_key), root, also, set);
    if (root->kind != SG_TREE_MAP)
        return NULL;
    read_rows(reader, root, set);
    read_rest(reader, root, set);
    if (set->rating && !sg_rating_rule_known(set->rating))
        sg_reader_unknown(reader, sg_tree_spot(root, "rating"), "rating", set->rating,
                          sg_rating_rule_at, rule_count());
    if (set->excluded != 0 && !set->excluded_why)
        sg_reader_error(reader, SG_ERR_MISSING, root->at,
                        "excluded_why: is missing; needed with excluded");
    return set;
}

sg_status sg_limit_file_read_memory(const char *bytes, size_t length, const char *path,
                                    struct sg_arena *arena, const struct sg_limit_set **out,
                                    struct sg_errors *errors)
{
    struct sg_site site = SG_SITE_INIT;
    struct sg_reader reader = { .site = &site, .folder = "" };
    const struct sg_limit_set *set = NULL;
    site.arena = *arena;
    site.file = path;
    size_t size = length;
    if (!bytes)
        bytes = sg_reader_file(&reader, path, (struct sg_spot){ .file = path }, SG_SITE_MAX_BYTES,
                               &size);
    const struct sg_tree *root = bytes ? sg_yaml_load(&reader, bytes, size) : NULL;
    if (root)
        set = sg_build_limit_file(&reader, root);
    sg_status status = sg_reader_finish(&reader, errors);
    *arena = site.arena;
    if (status == SG_OK)
        *out = set;
    return status;
}

sg_status sg_limit_file_read(const char *path, struct sg_arena *arena,
                             const struct sg_limit_set **out, struct sg_errors *errors)
{
    return sg_limit_file_read_memory(NULL, 0, path, arena, out, errors);
}
