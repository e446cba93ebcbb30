/* law_file.c - the file of a law fitted to the site: one YAML map, keys with their units.
 *
 * The command `fit` writes it (src/fit/law_text.c); whoever edits it by hand gets the same
 * strictness as in a site file. */
#include "site_internal.h"

#include <math.h>
#include <string.h>

enum key_kind { KEY_NUMBER, KEY_TEXT, KEY_CHOICE, KEY_LIST };

struct law_key {
    const char *key;
    enum key_kind kind;
    bool needed;
    double min, max;
    size_t offset; /* of numbers and texts in struct sg_site_law */
    const char *meaning;
};

#define AT(field) offsetof(struct sg_site_law, field)

static const struct law_key keys[] = {
    /* key, kind, needed, min, max, place, meaning */
    { "site_law", KEY_CHOICE, true, 1, 1, 0, "form of this file: 1" },
    { "name", KEY_TEXT, true, 0, 0, AT(name), "a name" },
    { "quantity", KEY_CHOICE, true, 0, 0, 0, "ppv, pvs, laeq, lafmax or another quantity" },
    { "technique", KEY_CHOICE, true, 0, 0, 0, "impact, vibratory, press-in, ..." },
    { "phase", KEY_CHOICE, true, 0, 0, 0, "all, steady or start-stop" },
    { "position", KEY_CHOICE, true, 0, 0, 0, "free-field, foundation, ..." },
    { "abscissa", KEY_CHOICE, true, 0, 0, 0, "distance or scaled-distance" },
    { "distance", KEY_CHOICE, true, 0, 0, 0, "plan or toe" },
    { "intercept", KEY_NUMBER, true, -1e3, 1e3, AT(intercept), "Y at X = 0" },
    { "slope", KEY_NUMBER, true, -1e3, 0, AT(slope), "dY / dX; a law falls with distance" },
    { "scatter", KEY_NUMBER, true, 0, 100, AT(scatter), "residual standard deviation" },
    { "degrees_of_freedom", KEY_NUMBER, false, 1, 1e9, AT(dof), "none = the scatter is known" },
    { "centre", KEY_NUMBER, true, -10, 10, AT(centre), "X where the line is known best" },
    { "mean_variance", KEY_NUMBER, true, 0, 1e6, AT(mean_variance),
      "share of the scatter's square" },
    { "slope_variance", KEY_NUMBER, true, 0, 1e9, AT(slope_variance),
      "share of the scatter's square" },
    { "shared_scatter", KEY_NUMBER, true, 0, 100, AT(shared_scatter), "common to all piles" },
    { "pile_scatter", KEY_NUMBER, true, 0, 100, AT(pile_scatter), "of each pile" },
    { "upper", KEY_CHOICE, true, 0, 0, 0, "prediction or parallel" },
    { "percentile", KEY_NUMBER, true, 50, 99.9, AT(percentile), "of the upper value" },
    { "distance_low_m", KEY_NUMBER, true, 1e-3, 1e5, AT(low_m), "nearest datum" },
    { "distance_high_m", KEY_NUMBER, true, 1e-3, 1e5, AT(high_m), "farthest datum" },
    { "energy_low_J", KEY_NUMBER, false, 1e-6, 1e12, AT(energy_low_J), "smallest energy" },
    { "energy_high_J", KEY_NUMBER, false, 1e-6, 1e12, AT(energy_high_J), "largest energy" },
    { "values", KEY_CHOICE, true, 1, 1e9, 0, "how many values are behind it" },
    { "method", KEY_TEXT, true, 0, 0, AT(method), "how it was fitted" },
    { "provenance", KEY_TEXT, true, 0, 0, AT(provenance), "where the data come from" },
    { "warnings", KEY_LIST, false, 0, 0, 0, "a list of texts" },
    { "points", KEY_LIST, false, 0, 0, 0, "a list of [distance_m, value] or with energy_J" },
};

static const struct law_key *find_key(const char *name)
{
    for (size_t i = 0; i < SG_COUNT(keys); i++) {
        if (sg_same(keys[i].key, name))
            return &keys[i];
    }
    return NULL;
}

static void refuse(struct sg_reader *reader, const struct sg_tree *value, const struct law_key *key,
                   const char *what)
{
    const char *text = value->kind == SG_TREE_TEXT ? value->text : "[...]";
    if (key->kind == KEY_NUMBER)
        sg_reader_error(reader, SG_ERR_INPUT, value->at,
                        "%s: %s %s; allowed: a number from %.9g to %.9g (%s)", key->key,
                        sg_quoted(reader, text), what, key->min, key->max, key->meaning);
    else
        sg_reader_error(reader, SG_ERR_INPUT, value->at, "%s: %s %s; allowed: %s", key->key,
                        sg_quoted(reader, text), what, key->meaning);
}

static void set_number(struct sg_reader *reader, const struct law_key *key,
                       const struct sg_tree *value, struct sg_site_law *law)
{
    double number;
    const char *why = NULL;
    if (value->kind != SG_TREE_TEXT || strlen(value->text) != value->length)
        refuse(reader, value, key, "is not a number");
    else if (sg_parse_number(value->text, &number, &why) != SG_OK)
        refuse(reader, value, key, why);
    else if (number < key->min || number > key->max)
        refuse(reader, value, key, "is out of range");
    else
        memcpy((char *)law + key->offset, &number, sizeof(number));
}

static void set_text(struct sg_reader *reader, const struct law_key *key,
                     const struct sg_tree *value, struct sg_site_law *law)
{
    if (value->kind != SG_TREE_TEXT || strlen(value->text) != value->length)
        refuse(reader, value, key, "is not a text");
    else if (sg_same(key->key, "name") && (value->length == 0 || value->length > SG_MAX_NAME))
        refuse(reader, value, key, "is empty or longer than 200 bytes");
    else if (value->length > SG_MAX_PROSE)
        refuse(reader, value, key, "is longer than 20000 bytes");
    else
        memcpy((char *)law + key->offset, &value->text, sizeof(value->text));
}

static bool choose_upper(const char *word, enum sg_upper_line *out)
{
    static const char *const ids[] = { "prediction", "parallel" };
    for (int i = 0; i < (int)SG_COUNT(ids); i++) {
        if (sg_same(ids[i], word)) {
            *out = (enum sg_upper_line)i;
            return true;
        }
    }
    return false;
}

static bool choose_phase(const char *word, enum sg_phase *out)
{
    for (int i = 0; i < SG_PHASE_END; i++) {
        if (sg_same(sg_phase_id((enum sg_phase)i), word)) {
            *out = (enum sg_phase)i;
            return true;
        }
    }
    return false;
}

static bool choose_quantity(const char *word, enum sg_quantity *out)
{
    for (int i = 0; i < SG_Q_END; i++) {
        if (sg_same(sg_quantity_id((enum sg_quantity)i), word)) {
            *out = (enum sg_quantity)i;
            return true;
        }
    }
    return false;
}

static bool choose_two(const char *word, const char *no, const char *yes, bool *out)
{
    *out = sg_same(word, yes);
    return *out || sg_same(word, no);
}

static bool choose(const char *key, const char *word, struct sg_site_law *law)
{
    bool flag = false, known = false;
    size_t count = 0;
    if (sg_same(key, "site_law"))
        return sg_same(word, "1");
    if (sg_same(key, "quantity"))
        return choose_quantity(word, &law->quantity);
    if (sg_same(key, "technique"))
        return sg_technique_find(word, &law->technique) == SG_OK;
    if (sg_same(key, "phase"))
        return choose_phase(word, &law->phase);
    if (sg_same(key, "position"))
        return sg_position_find(word, &law->position) == SG_OK;
    if (sg_same(key, "upper"))
        return choose_upper(word, &law->upper);
    if (sg_same(key, "abscissa")) {
        known = choose_two(word, "distance", "scaled-distance", &flag);
        law->scaled = flag;
    } else if (sg_same(key, "distance")) {
        known = choose_two(word, "plan", "toe", &flag);
        law->distance = flag ? SG_DISTANCE_TOE : SG_DISTANCE_PLAN;
    } else if (sg_same(key, "values")) {
        known = sg_parse_count(word, 1000000000u, &count, NULL) == SG_OK && count > 0;
        law->npoint = count;
    }
    return known;
}

static void set_warnings(struct sg_reader *reader, const struct sg_tree *list,
                         struct sg_site_law *law)
{
    law->warning = sg_bind_texts(reader, list, "warnings", &law->nwarning);
}

static void set_points(struct sg_reader *reader, const struct sg_tree *list,
                       struct sg_site_law *law)
{
    struct sg_law_point *point = sg_reader_alloc(reader, list->count, sizeof(*point));
    for (size_t i = 0; point && i < list->count; i++) {
        const struct sg_tree *item = list->child[i];
        if (item->kind != SG_TREE_LIST || item->count < 2 || item->count > 3) {
            sg_reader_error(reader, SG_ERR_INPUT, item->at,
                            "points: a point is not two or three numbers; allowed: "
                            "[distance_m, value] or [distance_m, value, energy_J]");
            continue;
        }
        point[i].energy_J = SG_UNSET;
        bool good = sg_bind_number(reader, item->child[0], "points", &point[i].distance_m);
        good &= sg_bind_number(reader, item->child[1], "points", &point[i].value);
        if (item->count == 3)
            good &= sg_bind_number(reader, item->child[2], "points", &point[i].energy_J);
        if (good && !(point[i].distance_m > 0))
            sg_reader_error(reader, SG_ERR_INPUT, item->at,
                            "points: a distance is not above zero; allowed: a distance in m");
    }
    law->point = point;
    law->npoint_kept = point ? list->count : 0;
}

static void set_key(struct sg_reader *reader, const struct law_key *key,
                    const struct sg_tree *value, struct sg_site_law *law)
{
    switch (key->kind) {
    case KEY_NUMBER:
        set_number(reader, key, value, law);
        break;
    case KEY_TEXT:
        set_text(reader, key, value, law);
        break;
    case KEY_CHOICE:
        if (value->kind != SG_TREE_TEXT || !choose(key->key, value->text, law))
            refuse(reader, value, key, "is not known");
        break;
    case KEY_LIST:
    default:
        if (value->kind != SG_TREE_LIST)
            refuse(reader, value, key, "is not a list");
        else if (sg_same(key->key, "points"))
            set_points(reader, value, law);
        else
            set_warnings(reader, value, law);
        break;
    }
}

static void refuse_name(struct sg_reader *reader, const struct sg_tree *name)
{
    const char *known[SG_COUNT(keys)];
    for (size_t i = 0; i < SG_COUNT(keys); i++)
        known[i] = keys[i].key;
    const char *text = name->kind == SG_TREE_TEXT ? name->text : "[...]";
    const char *nearest = sg_nearest(text, known, SG_COUNT(known));
    sg_reader_error(reader, SG_ERR_UNKNOWN, name->at,
                    "%s is not a key of a law%s%s%s; allowed: the keys that fit writes",
                    sg_quoted(reader, text), nearest ? " (meant: " : "", nearest ? nearest : "",
                    nearest ? "?)" : "");
}

/* What a single key cannot tell. */
static void check_whole(struct sg_reader *reader, const struct sg_tree *root,
                        const struct sg_site_law *law)
{
    double parts = hypot(law->shared_scatter, law->pile_scatter);
    if (law->high_m < law->low_m)
        sg_reader_error(reader, SG_ERR_INPUT, sg_tree_spot(root, "distance_high_m"),
                        "distance_high_m: is below distance_low_m; allowed: at least that");
    if (fabs(parts - law->scatter) > 0.02 * law->scatter + 1e-9)
        sg_reader_error(reader, SG_ERR_INPUT, sg_tree_spot(root, "scatter"),
                        "scatter: %.6g is not the root of the squares of shared_scatter and "
                        "pile_scatter, %.6g; allowed: within 2 %% of it",
                        law->scatter, parts);
    if (law->scaled && !(law->energy_low_J <= law->energy_high_J))
        sg_reader_error(reader, SG_ERR_MISSING, root->at,
                        "energy_low_J, energy_high_J: are missing or out of order (needed with "
                        "abscissa: scaled-distance)");
}

static void build(struct sg_reader *reader, const struct sg_tree *root, struct sg_site_law *law)
{
    bool seen[SG_COUNT(keys)] = { false };
    if (root->kind != SG_TREE_MAP) {
        sg_reader_error(reader, SG_ERR_INPUT, root->at, "is not a map; allowed: the keys of a law");
        return;
    }
    law->dof = SG_INFINITY;
    for (size_t i = 0; i < root->count; i++) {
        const struct sg_tree *name = root->child[2 * i];
        const struct law_key *key = name->kind == SG_TREE_TEXT ? find_key(name->text) : NULL;
        if (!key) {
            refuse_name(reader, name);
            continue;
        }
        if (seen[key - keys])
            sg_reader_error(reader, SG_ERR_INPUT, name->at,
                            "%s: is given a second time; allowed: each key once", key->key);
        seen[key - keys] = true;
        set_key(reader, key, root->child[2 * i + 1], law);
    }
    for (size_t i = 0; i < SG_COUNT(keys); i++) {
        if (keys[i].needed && !seen[i])
            sg_reader_error(reader, SG_ERR_MISSING, root->at, "%s: is missing; allowed: %s",
                            keys[i].key, keys[i].meaning);
    }
    if (reader->nerror == 0)
        check_whole(reader, root, law);
}

sg_status sg_site_law_read(const char *path, struct sg_site_law *out, struct sg_errors *errors)
{
    struct sg_site site = SG_SITE_INIT;
    struct sg_reader reader = { .site = &site, .folder = "" };
    struct sg_site_law law = SG_SITE_LAW_INIT;
    size_t length = 0;
    site.file = sg_arena_copy(&site.arena, path, strlen(path));
    if (site.file) {
        struct sg_spot at = { .file = site.file };
        const char *bytes = sg_reader_file(&reader, site.file, at, SG_SITE_MAX_BYTES, &length);
        const struct sg_tree *root = bytes ? sg_yaml_load(&reader, bytes, length) : NULL;
        if (root)
            build(&reader, root, &law);
    } else {
        reader.nomem = true;
        site.file = "";
    }
    sg_status status = sg_reader_finish(&reader, errors);
    if (status == SG_OK) {
        law.arena = site.arena;
        *out = law;
    } else {
        sg_arena_release(&site.arena);
    }
    return status;
}
