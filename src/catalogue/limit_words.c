/* limit_words.c - the words by which limit sets are written down and read back. */
#include "stillground/catalogue.h"

#include "words.h"

static const char *const interpolations[SG_INTERPOLATION_END] = {
    "steps", "linear", "log-log", "constant-displacement", "constant-acceleration",
};
static const char *const belows[SG_BELOW_END] = { "extend", "displacement", "none" };
static const char *const rules[SG_RULE_END] = {
    "maximum", "bands", "dose", "two-step", "percentile", "rise", "difference",
};
static const char *const frequency_rules[SG_FREQUENCY_RULE_END] = {
    "none", "at-the-peak", "predominant-pulse", "band-by-band", "filter",
};
static const char *const exceeds[SG_EXCEED_END] = { "review", "alert", "stop" };
static const char *const set_statuses[SG_SET_STATUS_END] = {
    "current", "superseded", "draft", "unknown",
};
static const char *const window_kinds[SG_WINDOW_END] = {
    "day", "evening", "night", "rest", "permitted",
};
static const char *const others[] = { "blasting", "traffic", "rail", "compaction" };
static const char *const requirements[] = {
    "condition-survey", "engineer", "owner-consent", "monitoring", "notice",
};
static const char *const bridges[] = { "kb", "vdv", "lv", "vl" };
_Static_assert(1u << SG_COUNT(others) == SG_OTHER_END, "a word for every other source");
_Static_assert(1u << SG_COUNT(requirements) == SG_NEEDS_END, "a word for every requirement");
_Static_assert(1u << SG_COUNT(bridges) == SG_BRIDGE_END, "a word for every bridge");

const char *sg_interpolation_id(enum sg_interpolation interpolation)
{
    return sg_word_at(interpolations, SG_COUNT(interpolations), (unsigned)interpolation);
}

const char *sg_below_id(enum sg_below below)
{
    return sg_word_at(belows, SG_COUNT(belows), (unsigned)below);
}

const char *sg_rule_id(enum sg_rule rule)
{
    return sg_word_at(rules, SG_COUNT(rules), (unsigned)rule);
}

const char *sg_frequency_rule_id(enum sg_frequency_rule rule)
{
    return sg_word_at(frequency_rules, SG_COUNT(frequency_rules), (unsigned)rule);
}

const char *sg_exceed_id(enum sg_exceed exceed)
{
    return sg_word_at(exceeds, SG_COUNT(exceeds), (unsigned)exceed);
}

const char *sg_set_status_id(enum sg_set_status status)
{
    return sg_word_at(set_statuses, SG_COUNT(set_statuses), (unsigned)status);
}

const char *sg_noise_of_id(enum sg_noise_of noise)
{
    static const char *const id[SG_NOISE_OF_END] = { "works", "all-sites", "total" };
    return sg_word_at(id, SG_COUNT(id), (unsigned)noise);
}

const char *sg_window_kind_id(enum sg_window_kind kind)
{
    return sg_word_at(window_kinds, SG_COUNT(window_kinds), (unsigned)kind);
}

const char *sg_other_id(unsigned bit)
{
    return sg_word_of_bit(others, SG_COUNT(others), bit);
}

sg_status sg_other_find(const char *id, unsigned *out)
{
    return sg_word_bit(others, SG_COUNT(others), id, out);
}

const char *sg_requirement_id(unsigned bit)
{
    return sg_word_of_bit(requirements, SG_COUNT(requirements), bit);
}

sg_status sg_requirement_find(const char *id, unsigned *out)
{
    return sg_word_bit(requirements, SG_COUNT(requirements), id, out);
}

const char *sg_bridge_id(unsigned bit)
{
    return sg_word_of_bit(bridges, SG_COUNT(bridges), bit);
}

sg_status sg_bridge_find(const char *id, unsigned *out)
{
    return sg_word_bit(bridges, SG_COUNT(bridges), id, out);
}
