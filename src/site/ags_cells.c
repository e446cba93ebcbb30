/* ags_cells.c - what stands in the cells of borehole records: blow counts with refusals, degrees,
 * soil by the words of a description.
 *
 * A refusal keeps its blows and its penetration; the N that goes with it is extrapolated in
 * proportion to 300 mm and flagged. Words of descriptions: common practice, no source. */
#include "site/ags.h"

#include <ctype.h>
#include <string.h>

#define FULL_PEN_M 0.3 /* an N value is the blows for 300 mm */
#define MM_PER_M 1000.0

/* ---- blow counts ---- */

static const char *refuse(double blows, double pen_m, struct sg_ags_test *out)
{
    if (!(blows > 0))
        return "no blows";
    if (!(pen_m > 0) || pen_m > FULL_PEN_M + 1e-9)
        return "a penetration that is not between 0 and 300 mm";
    out->refused = pen_m < FULL_PEN_M - 1e-9;
    out->blows = blows;
    out->pen_m = pen_m;
    out->n = blows * FULL_PEN_M / pen_m;
    return NULL;
}

static bool copy_number(const char *from, size_t length, double *out)
{
    char text[64];
    while (length > 0 && from[length - 1] == ' ')
        length--;
    while (length > 0 && *from == ' ') {
        from++;
        length--;
    }
    if (length == 0 || length >= sizeof(text))
        return false;
    memcpy(text, from, length);
    text[length] = '\0';
    return sg_parse_number(text, out, NULL) == SG_OK;
}

/* "0.29", "75mm", "75 mm", "0.29m": without a unit, up to 1 is metres and beyond it millimetres. */
static bool read_penetration(const char *text, double *pen_m)
{
    size_t length = strlen(text);
    double factor = SG_UNSET, value;
    if (length > 2 && strcmp(text + length - 2, "mm") == 0) {
        factor = 1 / MM_PER_M;
        length -= 2;
    } else if (length > 1 && text[length - 1] == 'm') {
        factor = 1;
        length -= 1;
    }
    if (!copy_number(text, length, &value))
        return false;
    if (!sg_is_set(factor))
        factor = value > 1 ? 1 / MM_PER_M : 1;
    *pen_m = value * factor;
    return true;
}

const char *sg_ags_read_n(const char *text, double main_blows, double npen_mm,
                          struct sg_ags_test *out)
{
    double value = SG_UNSET, pen_m = npen_mm / MM_PER_M;
    bool short_of = sg_is_set(npen_mm) && npen_mm > 0 && pen_m < FULL_PEN_M - 1e-9;
    const char *slash = strchr(text, '/');
    out->refused = false;
    out->blows = out->pen_m = SG_UNSET;
    if (slash) {
        if (!copy_number(text, (size_t)(slash - text), &value) ||
            !read_penetration(slash + 1 + (slash[1] == ' '), &pen_m))
            return "blows and penetration that cannot be read";
        return refuse(value, pen_m, out);
    }
    if (short_of && sg_is_set(main_blows))
        return refuse(main_blows, pen_m, out);
    if (text[0] == '>' || (text[0] && text[strlen(text) - 1] == '+')) {
        size_t skip = text[0] == '>', length = strlen(text) - skip - (text[0] != '>');
        if (!copy_number(text + skip, length, &value) || value < 0)
            return "a lower bound that cannot be read";
        out->refused = true; /* penetration is not told: the bound stands for N */
        out->blows = value;
        out->n = value;
        return NULL;
    }
    if (text[0] == '\0' && sg_is_set(main_blows))
        value = main_blows;
    else if (text[0] == '\0')
        return "no value";
    else if (sg_parse_number(text, &value, NULL) != SG_OK)
        return "a value that is neither a number nor blows/penetration";
    if (value < 0)
        return "a negative value";
    if (short_of)
        return refuse(value, pen_m, out);
    out->n = value;
    return NULL;
}

/* ---- degrees ---- */

static const char *digits(const char *c, double *out)
{
    size_t length = strspn(c, "0123456789.");
    return length > 0 && copy_number(c, length, out) ? c + length : NULL;
}

bool sg_ags_read_degrees(const char *text, double *out)
{
    double part[3] = { 0, 0, 0 };
    size_t count = 0;
    double sign = 1;
    if (sg_parse_number(text, out, NULL) == SG_OK)
        return true;
    for (const char *c = text; *c;) {
        if (*c >= '0' && *c <= '9') {
            c = count < SG_COUNT(part) ? digits(c, &part[count++]) : NULL;
            if (!c)
                return false;
            continue;
        }
        if (*c == 'S' || *c == 'W' || (*c == '-' && c == text))
            sign = -1;
        else if (isalpha((unsigned char)*c) && *c != 'N' && *c != 'E')
            return false;
        c++;
    }
    if (count < 2 || part[1] >= 60 || part[2] >= 60)
        return false;
    *out = sign * (part[0] + part[1] / 60 + part[2] / 3600);
    return true;
}

/* ---- soil by words ---- */

struct word {
    const char *word, *means;
};
/* Longer names before those they hold. */
static const struct word soils[] = {
    { "MADE GROUND", "fill" }, { "TOPSOIL", "fill" },    { "FILL", "fill" },
    { "SILTSTONE", "rock" },   { "MUDSTONE", "rock" },   { "CLAYSTONE", "rock" },
    { "SANDSTONE", "rock" },   { "LIMESTONE", "rock" },  { "CHALK", "rock" },
    { "GRANITE", "rock" },     { "BASALT", "rock" },     { "SHALE", "rock" },
    { "SLATE", "rock" },       { "ROCK", "rock" },       { "BEDROCK", "rock" },
    { "BOULDERS", "cobbles" }, { "COBBLES", "cobbles" }, { "GRAVEL", "gravel" },
    { "SAND", "sand" },        { "SILT", "silt" },       { "CLAY", "clay" },
    { "PEAT", "peat" },
};
/* "very ..." and "medium dense" before the plain words. */
static const struct word states[] = {
    { "VERY LOOSE", "very-loose" },
    { "MEDIUM DENSE", "medium-dense" },
    { "VERY DENSE", "very-dense" },
    { "VERY SOFT", "very-soft" },
    { "VERY STIFF", "very-stiff" },
    { "LOOSE", "loose" },
    { "DENSE", "dense" },
    { "SOFT", "soft" },
    { "FIRM", "firm" },
    { "STIFF", "stiff" },
    { "HARD", "hard" },
    { "WEAK", "weak" },
    { "STRONG", "strong" },
    { "COMPACTED", "compacted" },
};

/* Whether `word` (in capitals) stands at c as a word of its own; capitals: as written. */
static bool word_at(const char *text, const char *c, const char *word, bool capitals)
{
    size_t length = strlen(word);
    if (c > text && isalpha((unsigned char)c[-1]))
        return false;
    for (size_t i = 0; i < length; i++) {
        int have = capitals ? c[i] : toupper((unsigned char)c[i]);
        if (c[i] == '\0' || (have != word[i] && !(word[i] == ' ' && c[i] == '-')))
            return false;
    }
    return !isalpha((unsigned char)c[length]);
}

static const struct word *find_word(const struct word *list, size_t count, const char *text,
                                    bool capitals, bool last)
{
    const struct word *found = NULL;
    for (const char *c = text; *c; c++) {
        for (size_t i = 0; i < count; i++) {
            if (!word_at(text, c, list[i].word, capitals))
                continue;
            found = &list[i];
            if (!last)
                return found;
            break;
        }
    }
    return found;
}

void sg_ags_read_soil(const char *description, const char **soil, const char **state)
{
    const struct word *made = find_word(soils, 2, description, false, false);
    const struct word *found =
        made ? made : find_word(soils, SG_COUNT(soils), description, true, true);
    if (!found)
        found = find_word(soils, SG_COUNT(soils), description, false, false);
    const struct word *how = find_word(states, SG_COUNT(states), description, false, false);
    *soil = found ? found->means : "";
    *state = how ? how->means : "";
    bool obstructed = find_word((const struct word[]){ { "CONCRETE", "" },
                                                       { "OBSTRUCTION", "" },
                                                       { "OBSTRUCTIONS", "" } },
                                3, description, false, false) != NULL;
    if (found && sg_same(found->means, "fill") && obstructed)
        *state = "obstructed";
    if (found && sg_same(found->means, "cobbles"))
        *state = "obstructed";
}
