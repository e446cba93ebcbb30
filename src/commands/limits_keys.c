/* limits_keys.c - the keys of `limits ID key=value ...`: one function a key, one table of them. */
#include "limits_keys.h"

#include <stdio.h>
#include <string.h>

/* Reads the text of one key. On a bad text it returns false with what is allowed in `allowed`. */
typedef bool read_key(const char *text, struct sg_limit_inputs *in, struct sg_text *allowed);

static void allow(struct sg_text *allowed, const char *word)
{
    sg_text_printf(allowed, "%s%s", allowed->length > 0 ? ", " : "", word);
}

static bool read_class(const char *text, struct sg_limit_inputs *in, struct sg_text *allowed)
{
    for (unsigned bit = 1; bit < (unsigned)SG_CLASS_END; bit <<= 1)
        allow(allowed, sg_class_id(bit));
    return sg_ok(sg_class_find(text, &in->judged.building_class));
}

static bool read_use(const char *text, struct sg_limit_inputs *in, struct sg_text *allowed)
{
    for (unsigned bit = 1; bit < (unsigned)SG_USE_END; bit <<= 1)
        allow(allowed, sg_use_id(bit));
    return sg_ok(sg_use_find(text, &in->judged.use));
}

static bool read_area(const char *text, struct sg_limit_inputs *in, struct sg_text *allowed)
{
    for (unsigned bit = 1; bit < (unsigned)SG_AREA_END; bit <<= 1)
        allow(allowed, sg_area_id(bit));
    return sg_ok(sg_area_find(text, &in->judged.area));
}

static bool read_position(const char *text, struct sg_limit_inputs *in, struct sg_text *allowed)
{
    for (int i = 0; i < SG_POSITION_END; i++)
        allow(allowed, sg_position_id((enum sg_position)i));
    in->position_given = true;
    return sg_ok(sg_position_find(text, &in->position));
}

static bool read_technique(const char *text, struct sg_limit_inputs *in, struct sg_text *allowed)
{
    for (int i = 0; i < SG_TECHNIQUE_END; i++)
        allow(allowed, sg_technique_id((enum sg_technique)i));
    in->technique_given = true;
    return sg_ok(sg_technique_find(text, &in->technique));
}

static bool read_period(const char *text, struct sg_limit_inputs *in, struct sg_text *allowed)
{
    bool known = false;
    for (int i = 0; i < SG_PERIOD_END; i++) {
        allow(allowed, sg_period_id((enum sg_period)i));
        if (sg_same(text, sg_period_id((enum sg_period)i))) {
            in->judged.period = (enum sg_period)i;
            known = true;
        }
    }
    return known;
}

static bool read_ambient(const char *text, struct sg_limit_inputs *in, struct sg_text *allowed)
{
    double level_db = SG_UNSET;
    allow(allowed, "a level from 0 to 150 dB(A)");
    if (!sg_ok(sg_parse_number(text, &level_db, NULL)) || level_db < 0.0 || level_db > 150.0)
        return false;
    in->judged.ambient_db = level_db;
    return true;
}

static bool read_days(const char *text, struct sg_limit_inputs *in, struct sg_text *allowed)
{
    allow(allowed, "days of work from 1 to 10000");
    return sg_ok(sg_parse_number(text, &in->judged.days, NULL)) && in->judged.days >= 1.0 &&
           in->judged.days <= 10000.0;
}

static bool read_background(const char *text, struct sg_limit_inputs *in, struct sg_text *allowed)
{
    allow(allowed, "a level above 0 up to 150 dB(A)");
    return sg_ok(sg_parse_number(text, &in->judged.background_db, NULL)) &&
           in->judged.background_db > 0.0 && in->judged.background_db <= 150.0;
}

static bool read_category(const char *text, struct sg_limit_inputs *in, struct sg_text *allowed)
{
    bool known = false;
    for (size_t i = 0; i < in->set->nrow; i++) {
        const char *category = in->set->row[i].category;
        bool first = category != NULL;
        for (size_t before = 0; first && before < i; before++)
            first = !sg_same(category, in->set->row[before].category);
        if (first)
            allow(allowed, category);
        known = known || sg_same(text, category);
    }
    if (allowed->length == 0)
        allow(allowed, "none, the set has no categories");
    in->judged.category = text;
    return known;
}

static bool read_row(const char *text, struct sg_limit_inputs *in, struct sg_text *allowed)
{
    for (size_t i = 0; i < in->set->nrow; i++) {
        allow(allowed, in->set->row[i].id);
        if (sg_same(text, in->set->row[i].id))
            in->row = &in->set->row[i];
    }
    return in->row != NULL;
}

/* "continuous" or "continuous:0.7" */
static bool read_factor(const char *text, struct sg_limit_inputs *in, struct sg_text *allowed)
{
    const char *colon = strchr(text, ':');
    size_t length = colon ? (size_t)(colon - text) : strlen(text);
    const struct sg_limit_factor *found = NULL;
    snprintf(in->factor_id, sizeof(in->factor_id), "%.*s", (int)(length < 63 ? length : 63), text);
    for (size_t i = 0; i < in->set->nfactor; i++) {
        const struct sg_limit_factor *factor = &in->set->factor[i];
        sg_text_printf(allowed, "%s%s or %s:%.3g to %s:%.3g", allowed->length > 0 ? "; " : "",
                       factor->id, factor->id, factor->low, factor->id, factor->high);
        if (sg_same(in->factor_id, factor->id))
            found = factor;
    }
    if (!found && allowed->length == 0)
        allow(allowed, "none, the set has no factors");
    if (!found)
        return false;
    in->judged.factor_id = found->id;
    if (!colon)
        return true;
    return sg_ok(sg_parse_number(colon + 1, &in->judged.factor, NULL)) &&
           in->judged.factor >= found->low && in->judged.factor <= found->high;
}

/* "12", "12Hz" or "10..30" */
static bool read_frequency(const char *text, struct sg_limit_inputs *in, struct sg_text *allowed)
{
    char low[32];
    const char *dots = strstr(text, ".."), *high = dots ? dots + 2 : text;
    size_t length = dots ? (size_t)(dots - text) : strlen(text);
    allow(allowed, "a frequency or a band low..high from 0.1 to 1000 Hz");
    if (length >= sizeof(low))
        return false;
    snprintf(low, sizeof(low), "%.*s", (int)length, text);
    return sg_ok(sg_parse_quantity(low, "Hz", &in->low_hz, NULL)) &&
           sg_ok(sg_parse_quantity(high, "Hz", &in->high_hz, NULL)) && in->low_hz >= 0.1 &&
           in->high_hz <= 1000.0 && in->low_hz <= in->high_hz;
}

static bool read_value(const char *text, struct sg_limit_inputs *in, struct sg_text *allowed)
{
    (void)allowed;
    in->value = text;
    return true;
}

static bool read_upper(const char *text, struct sg_limit_inputs *in, struct sg_text *allowed)
{
    (void)allowed;
    in->upper = text;
    return true;
}

static bool read_dose(const char *text, struct sg_limit_inputs *in, struct sg_text *allowed)
{
    (void)allowed;
    in->dose = text;
    return true;
}

static bool read_predicted(const char *text, struct sg_limit_inputs *in, struct sg_text *allowed)
{
    (void)allowed;
    in->predicted = text;
    return true;
}

static const struct key {
    const char *name;
    read_key *read;
} keys[] = {
    { "value", read_value },
    { "upper", read_upper },
    { "technique", read_technique },
    { "dose", read_dose },
    { "predicted", read_predicted },
    { "class", read_class },
    { "use", read_use },
    { "area", read_area },
    { "position", read_position },
    { "period", read_period },
    { "frequency_Hz", read_frequency },
    { "ambient_dB", read_ambient },
    { "days", read_days },
    { "background_dB", read_background },
    { "category", read_category },
    { "factor", read_factor },
    { "row", read_row },
};

static void unknown_key(const char *word, struct sg_errors *errors)
{
    const char *names[SG_COUNT(keys)];
    struct sg_text allowed = SG_TEXT_INIT;
    for (size_t i = 0; i < SG_COUNT(keys); i++) {
        names[i] = keys[i].name;
        allow(&allowed, names[i]);
    }
    const char *near = sg_nearest(word, names, SG_COUNT(names));
    sg_errors_add(errors, SG_ERR_USAGE, NULL, "%s: no such key%s%s; allowed: %s", word,
                  near ? "; did you mean " : "", near ? near : "", sg_text_string(&allowed));
    sg_text_release(&allowed);
}

static void read_pair(const char *pair, struct sg_limit_inputs *in, bool *given,
                      struct sg_errors *errors)
{
    const char *equals = strchr(pair, '=');
    size_t length = equals ? (size_t)(equals - pair) : strlen(pair), at = 0;
    char word[64];
    struct sg_text allowed = SG_TEXT_INIT;
    snprintf(word, sizeof(word), "%.*s", (int)(length < 63 ? length : 63), pair);
    while (at < SG_COUNT(keys) && !sg_same(keys[at].name, word))
        at++;
    if (at == SG_COUNT(keys)) {
        unknown_key(word, errors);
        return;
    }
    if (!equals)
        sg_errors_add(errors, SG_ERR_USAGE, NULL, "%s: has no value; write %s=...", word, word);
    else if (given[at])
        sg_errors_add(errors, SG_ERR_USAGE, NULL, "%s: given twice", word);
    else if (!keys[at].read(equals + 1, in, &allowed))
        sg_errors_add(errors, SG_ERR_USAGE, NULL, "%s: '%s' is not known here; allowed: %s", word,
                      equals + 1, sg_text_string(&allowed));
    given[at] = true;
    sg_text_release(&allowed);
}

void sg_limit_keys_read(char *const *pair, size_t count, struct sg_limit_inputs *in,
                        struct sg_errors *errors)
{
    bool given[SG_COUNT(keys)] = { false };
    for (size_t i = 0; i < count; i++)
        read_pair(pair[i], in, given, errors);
}
