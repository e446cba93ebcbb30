/* limit_file.c - limit sets as YAML, read. One set a file. */
#include "limit_keys.h"

#include "stillground/noise_rules.h"
#include "stillground/weighting.h"

#include <math.h>
#include <string.h>

static void put_words(struct sg_text *out, const struct sg_limit_key *key)
{
    for (unsigned i = 0; i < key->count; i++)
        sg_text_printf(out, "%s%s", i > 0 ? ", " : "",
                       key->word(key->kind == SG_AS_BITS ? 1u << i : i));
}

static void refuse(struct sg_reader *reader, const struct sg_tree *at,
                   const struct sg_limit_key *key, const char *what)
{
    struct sg_text allowed = SG_TEXT_INIT;
    if (key->word)
        put_words(&allowed, key);
    else if (key->kind == SG_AS_NUMBER)
        sg_text_printf(&allowed, "a number, %g or more", key->min);
    else
        sg_text_put(&allowed, key->kind == SG_AS_YES ? "true, false" : "a text that is not empty");
    sg_reader_error(reader, SG_ERR_INPUT, at->at, "%s: %s %s; allowed: %s", key->name,
                    at->kind == SG_TREE_TEXT ? sg_quoted(reader, at->text) : "[...]", what,
                    sg_text_string(&allowed));
    sg_text_release(&allowed);
}

static bool find_word(const struct sg_limit_key *key, const char *text, unsigned *out)
{
    for (unsigned i = 0; i < key->count; i++) {
        unsigned index = key->kind == SG_AS_BITS ? 1u << i : i;
        if (sg_same(key->word(index), text)) {
            *out |= index;
            return true;
        }
    }
    return false;
}

static void read_bits(struct sg_reader *reader, const struct sg_limit_key *key,
                      const struct sg_tree *value, unsigned *out)
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

static void read_value(struct sg_reader *reader, const struct sg_limit_key *key,
                       const struct sg_tree *value, void *to)
{
    const char *why = NULL;
    double number = 0;
    unsigned word = 0;
    if (key->kind == SG_AS_BITS) {
        read_bits(reader, key, value, to);
        return;
    }
    if (value->kind != SG_TREE_TEXT || strlen(value->text) != value->length) {
        refuse(reader, value, key, "is not a single value");
        return;
    }
    if (key->kind == SG_AS_TEXT) {
        if (key->needed && strspn(value->text, " ") == value->length)
            refuse(reader, value, key, "is empty");
        *(const char **)to = value->text;
    } else if (key->kind == SG_AS_NUMBER) {
        if (sg_parse_number(value->text, &number, &why) != SG_OK)
            refuse(reader, value, key, why);
        else if (number < key->min)
            refuse(reader, value, key, "is too small");
        *(double *)to = number;
    } else if (key->kind == SG_AS_WORD) {
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
static void read_keys(struct sg_reader *reader, const struct sg_limit_key *key, size_t count,
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
        bool no_floor = row->rule == SG_RULE_RISE || row->rule == SG_RULE_DIFFERENCE;
        bool too_small = no_floor ? node[i].value < 0 : !(node[i].value > 0);
        if (too_small || node[i].frequency_hz < 0)
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
        if (f[3] < f[2])
            sg_reader_error(reader, SG_ERR_INPUT, list->child[i]->at,
                            "days: the upper value %.6g is below the lower %.6g; allowed: [from, "
                            "to, lower, upper, dose]",
                            f[3], f[2]);
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
    read_keys(reader, sg_limit_row_key, sg_limit_row_key_count, map, also, row);
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
    if (row->rule == SG_RULE_TWO_STEP && row->upper_value > 0 && row->nnode > 0 &&
        row->upper_value < row->node[0].value)
        sg_reader_error(reader, SG_ERR_INPUT, map->at,
                        "upper_value: %.6g is below the lower value %.6g of the curve; allowed: at "
                        "least as much",
                        row->upper_value, row->node[0].value);
    if (row->rule == SG_RULE_TWO_STEP && !(row->dose_value > 0) && row->ndays == 0)
        sg_reader_error(reader, SG_ERR_MISSING, map->at,
                        "dose_value: is missing; needed with rule: two-step");
    if (row->rule == SG_RULE_PERCENTILE && !(row->percent > 0 && row->percent < 100))
        sg_reader_error(reader, SG_ERR_MISSING, map->at,
                        "percent: is missing or not between 0 and 100; needed with rule: "
                        "percentile");
    if (row->rule == SG_RULE_RISE && (!(row->rise_db > 0) || !sg_quantity_is_level(row->quantity)))
        sg_reader_error(reader, SG_ERR_MISSING, map->at,
                        "rise_dB: is missing, or the quantity is no level; needed with rule: rise");
    if (row->rule == SG_RULE_DIFFERENCE && !sg_quantity_is_level(row->quantity) &&
        !(row->times_predicted > 0))
        sg_reader_error(reader, SG_ERR_MISSING, map->at,
                        "times_predicted: is missing; needed with rule: difference for what is no "
                        "level");
    if ((row->count_days > 0) != (row->of_days > 0) || row->count_days > row->of_days ||
        fmod(row->count_days, 1) > 0 || fmod(row->of_days, 1) > 0)
        sg_reader_error(reader, SG_ERR_INPUT, map->at,
                        "count_days: %.6g of %.6g days; allowed: both, whole, and at most as "
                        "many as of_days",
                        row->count_days, row->of_days);
    if (row->from_h > 24 || row->to_h > 24 || row->from_h < 0 || row->to_h < 0 ||
        ((row->from_h > 0 || row->to_h > 0) && row->purpose != SG_FOR_NOISE))
        sg_reader_error(reader, SG_ERR_INPUT, map->at,
                        "from_h: hours from %.6g to %.6g; allowed: 0 to 24, with purpose: noise",
                        row->from_h, row->to_h);
    if (row->cite.grade == SG_GRADE_MEMORY_LOW && !row->on_request)
        sg_reader_error(reader, SG_ERR_INPUT, map->at,
                        "grade: memory-low is never judged by default; allowed: on_request: true, "
                        "or a value that was looked up");
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

/* Both references in one unit: their ratio; unset when one unit cannot be brought to the other. */
static double reference_ratio(const struct sg_limit_set *set, const struct sg_reference_row *own)
{
    double factor;
    if (!set->reading.reference_unit ||
        !sg_ok(sg_unit_factor(set->reading.reference_unit, own->unit, &factor)))
        return SG_UNSET;
    return set->reading.reference * factor / own->value;
}

/* A level means nothing without its reference, and that of the quantity is the one used here. */
static void check_reference(struct sg_reader *reader, const struct sg_tree *map,
                            const struct sg_limit_set *set, const struct sg_limit_row *row)
{
    const struct sg_reference_row *own = sg_quantity_reference(row->quantity);
    if (!own || !(set->reading.reference > 0))
        return;
    double ratio = reference_ratio(set, own);
    if (sg_is_set(ratio) && fabs(ratio - 1) < 1e-9)
        return;
    const char *unit = set->reading.reference_unit ? set->reading.reference_unit : "?";
    if (sg_is_set(ratio))
        sg_reader_error(reader, SG_ERR_INPUT, map->at,
                        "reference: the set has %.6g %s, and %s is a level re %.6g %s; allowed: "
                        "values re %.6g %s, which are %+.1f dB",
                        set->reading.reference, unit, sg_quantity_id(row->quantity), own->value,
                        own->unit, own->value, own->unit, 20 * log10(ratio));
    else
        sg_reader_error(reader, SG_ERR_INPUT, map->at,
                        "reference: the set has %.6g %s, and %s is a level re %.6g %s",
                        set->reading.reference, unit, sg_quantity_id(row->quantity), own->value,
                        own->unit);
}

static void read_rows(struct sg_reader *reader, const struct sg_tree *root,
                      struct sg_limit_set *set)
{
    const struct sg_tree *list = list_of(reader, root, "rows", true);
    struct sg_limit_row *row = list ? sg_reader_alloc(reader, list->count, sizeof(*row)) : NULL;
    for (size_t i = 0; row && i < list->count; i++) {
        read_row(reader, set, list->child[i], &row[i]);
        check_reference(reader, list->child[i], set, &row[i]);
        for (size_t k = 0; k < i; k++) {
            if (sg_same(row[k].id, row[i].id))
                sg_reader_error(reader, SG_ERR_INPUT, list->child[i]->at,
                                "id: '%s' is given to a second row; allowed: each once", row[i].id);
        }
    }
    set->row = row;
    set->nrow = row ? list->count : 0;
}

static double hours_of(const struct sg_time_window *window)
{
    double hours = window->end_h - window->start_h;
    return hours > 0 ? hours : hours + 24;
}

/* Whether a clock time is in two periods at once. */
static bool windows_clash(const struct sg_time_window *a, const struct sg_time_window *b)
{
    bool periods = a->kind <= SG_WINDOW_NIGHT && b->kind <= SG_WINDOW_NIGHT;
    bool zones = !a->zone || !b->zone || sg_same(a->zone, b->zone);
    return periods && zones && (a->days & b->days) != 0 &&
           (fmod(b->start_h - a->start_h + 24, 24) < hours_of(a) ||
            fmod(a->start_h - b->start_h + 24, 24) < hours_of(b));
}

static void check_windows(struct sg_reader *reader, const struct sg_tree *list,
                          const struct sg_time_window *window)
{
    for (size_t i = 0; i < list->count; i++) {
        const struct sg_time_window *w = &window[i];
        if (!(w->start_h < 24) || w->end_h > 24 || !(fabs(w->start_h - w->end_h) > 0))
            sg_reader_error(reader, SG_ERR_INPUT, list->child[i]->at,
                            "start_h: a window from %.6g to %.6g h; allowed: 0 to 24 h, from one "
                            "time to another",
                            w->start_h, w->end_h);
        for (size_t k = 0; k < i; k++) {
            if (windows_clash(w, &window[k]))
                sg_reader_error(reader, SG_ERR_INPUT, list->child[i]->at,
                                "kind: the %s from %.6g to %.6g h overlaps the %s from %.6g to "
                                "%.6g h; allowed: each time in one period",
                                sg_window_kind_id(w->kind), w->start_h, w->end_h,
                                sg_window_kind_id(window[k].kind), window[k].start_h,
                                window[k].end_h);
        }
    }
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
        read_keys(reader, sg_limit_factor_key, sg_limit_factor_key_count, list->child[i], none,
                  &factor[i]);
        if (factor[i].cite.grade == SG_GRADE_MEMORY_LOW && factor[i].characters != 0)
            sg_reader_error(
                reader, SG_ERR_INPUT, list->child[i]->at,
                "grade: memory-low is never applied by default; allowed: no applied_to, "
                "or a value that was looked up");
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
        read_keys(reader, sg_limit_window_key, sg_limit_window_key_count, list->child[i], none,
                  &window[i]);
    }
    if (window)
        check_windows(reader, list, window);
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
    read_keys(reader, sg_limit_set_key, sg_limit_set_key_count, root, also, set);
    if (root->kind != SG_TREE_MAP)
        return NULL;
    read_rows(reader, root, set);
    read_rest(reader, root, set);
    if (set->reading.reference > 0 && !set->reading.reference_unit)
        sg_reader_error(reader, SG_ERR_MISSING, root->at,
                        "reference_unit: is missing; needed with reference");
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
    struct sg_reader reader = { .site = &site, .folder = "", .needs = SG_NEEDS_LIMIT_SET };
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
