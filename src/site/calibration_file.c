/* calibration_file.c - the YAML sidecar of a recording: its keys as a table, its reading.
 *
 * Times are written as in ISO 8601, always with a zone. Days are counted in the Gregorian calendar
 * by the number of leap days before a year (own derivation).
 */
#include "site_internal.h"

#include <float.h>
#include <string.h>

static const char *const kinds[] = { "velocity", "acceleration", "sound-pressure", NULL };
static const char *const axes[] = { "x", "y", "z", "none", NULL };
static const char *const ways[] = { "sensitivity", "factor", "tone", NULL };
static const char *const positions[] = { "free-field", "boundary", "facade",
                                         "foundation", "floor",    "topmost-floor",
                                         "on-asset",   "room",     NULL };

static const char *const techniques[] = { "impact",           "vibratory",         "press-in",
                                          "press-in-jetting", "press-in-augering", NULL };

struct raw_file {
    const char *note, *receptor, *position, *technique, *start, *serial, *calibrated;
    double distance_m, residual_db, valid_days, rate_hz, duration_s;
    const struct sg_tree *channels;
};

struct raw_channel {
    struct sg_calibration_channel to; /* figures go straight in */
    const char *kind, *axis, *by;
    double sensor;
};

#define TOP(member) offsetof(struct raw_file, member)
#define IN(member) offsetof(struct raw_channel, member)
#define TEXT(block, key, offset, meaning)                                                          \
    {                                                                                              \
        block, key, SG_FIELD_TEXT, "", 0, 0, "", NULL, offset, meaning                             \
    }
#define WORD(block, key, list, dflt, offset, meaning)                                              \
    {                                                                                              \
        block, key, SG_FIELD_CHOICE, "", 0, 0, dflt, list, offset, meaning                         \
    }
#define NUMBER(block, key, unit, min, max, dflt, offset, meaning)                                  \
    {                                                                                              \
        block, key, SG_FIELD_NUMBER, unit, min, max, dflt, NULL, offset, meaning                   \
    }

static const struct sg_field fields[] = {
    TEXT("", "note", TOP(note), "free text, shown with the results"),
    TEXT("", "receptor", TOP(receptor), "name of the receptor in the site file"),
    WORD("", "position", positions, "", TOP(position), "where the sensor stands"),
    WORD("", "technique", techniques, "", TOP(technique), "how the pile was being installed"),
    NUMBER("", "distance_m", "m", 0, 1e5, "", TOP(distance_m), "plan distance to the pile"),
    NUMBER("", "residual_dB", "dB(A)", 1, 140, "", TOP(residual_db),
           "LAeq at the same place without the works; taken off measured LAeq by `check`"),
    TEXT("", "start", TOP(start),
         "time of the first sample with its zone, 2026-01-05T07:00:00Z; else as the file says"),
    NUMBER("", "rate_Hz", "Hz", 1e-3, 1e6, "", TOP(rate_hz),
           "samples a second by the recorder's log, held against the file"),
    NUMBER("", "duration_s", "s", 1e-3, 1e9, "", TOP(duration_s),
           "length by the recorder's log, held against the file"),
    TEXT("", "serial", TOP(serial), "serial numbers of sensor and recorder"),
    TEXT("", "calibrated", TOP(calibrated), "date of the last laboratory calibration, 2025-11-03"),
    NUMBER("", "valid_days", "d", 1, 3650, "", TOP(valid_days), "how long that calibration holds"),
    { "", "channels", SG_FIELD_BLOCKS, "", 1, 64, NULL, NULL, TOP(channels),
      "one map a channel, in the order of the file" },

    TEXT("channels", "name", IN(to.name), "its name in the recording"),
    WORD("channels", "quantity", kinds, NULL, IN(kind), "what the channel carries"),
    WORD("channels", "axis", axes, "none", IN(axis), "direction; z is vertical"),
    { "channels", "sensor", SG_FIELD_COUNT, "", 0, SG_GROUPS_MAX - 1, "0", NULL, IN(sensor),
      "number of the sensor; its axes share it" },
    WORD("channels", "by", ways, NULL, IN(by), "how the factor is given"),
    NUMBER("channels", "sensitivity", "V per m/s, mV per m/s2 or mV per Pa", 1e-9, 1e9, "",
           IN(to.sensitivity), "of the sensor"),
    NUMBER("channels", "gain_dB", "dB", -200, 200, "0", IN(to.gain_db),
           "between sensor and recorder"),
    NUMBER("channels", "volts_per_unit", "V", 1e-15, 1e9, "", IN(to.volts_per_unit),
           "volts at full scale (sound files) or of one count"),
    NUMBER("channels", "factor", "mm/s, m/s2 or Pa", -DBL_MAX, DBL_MAX, "", IN(to.unit_per_file),
           "physical units of one file unit"),
    NUMBER("channels", "natural_frequency_Hz", "Hz", 0.1, 100, "", IN(to.natural_hz),
           "of a geophone whose response is corrected"),
    NUMBER("channels", "damping", "", 0.05, 2, "", IN(to.damping), "of that geophone, as a ratio"),
    NUMBER("channels", "correct_to_Hz", "Hz", 1, 100, "1", IN(to.correct_to_hz),
           "lower end after the correction"),
    NUMBER("channels", "tone_dB", "dB", 60, 140, "", IN(to.tone_db),
           "level of the calibrator, 94 or 114"),
    NUMBER("channels", "tone_Hz", "Hz", 20, 20000, "1000", IN(to.tone_hz),
           "frequency of the calibrator"),
    NUMBER("channels", "tone_start_s", "s", 0, 1e7, "", IN(to.tone_start_s),
           "from where in the recording the tone holds"),
    NUMBER("channels", "tone_end_s", "s", 0, 1e7, "", IN(to.tone_end_s), "to where"),
    { "channels", "inverted", SG_FIELD_BOOL, "", 0, 0, "false", NULL, IN(to.inverted),
      "the sign is turned" },
};

size_t sg_calibration_field_count(void)
{
    return SG_COUNT(fields);
}

const struct sg_field *sg_calibration_field_at(size_t index)
{
    return index < SG_COUNT(fields) ? &fields[index] : NULL;
}

static struct sg_fields block_of(const char *name)
{
    struct sg_fields block = { name, NULL, 0 };
    for (size_t i = 0; i < SG_COUNT(fields); i++) {
        if (strcmp(fields[i].block, name) != 0)
            continue;
        block.field = block.field ? block.field : &fields[i];
        block.count++;
    }
    return block;
}

/* ---- times ----------------------------------------------------------------------------------- */

/* Exactly `digits` digits; moves the text on. */
static bool take_digits(const char **text, int digits, int *out)
{
    int value = 0;
    for (int i = 0; i < digits; i++) {
        char c = (*text)[i];
        if (c < '0' || c > '9')
            return false;
        value = 10 * value + (c - '0');
    }
    *text += digits;
    *out = value;
    return true;
}

static bool take(const char **text, char mark)
{
    bool there = **text == mark;
    *text += there;
    return there;
}

static int days_in_month(int year, int month)
{
    static const int days[] = { 31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31 };
    bool leap = (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
    return days[month - 1] + (month == 2 && leap ? 1 : 0);
}

static bool take_date(const char **text, double *epoch_s)
{
    int year, month, day;
    if (!take_digits(text, 4, &year) || !take(text, '-') || !take_digits(text, 2, &month) ||
        !take(text, '-') || !take_digits(text, 2, &day))
        return false;
    if (year < 1900 || month < 1 || month > 12 || day < 1 || day > days_in_month(year, month))
        return false;
    int before = year - 1, leap_days = before / 4 - before / 100 + before / 400;
    int days = 365 * (year - 1970) + leap_days - 477; /* 477 leap days before 1970 */
    for (int m = 1; m < month; m++)
        days += days_in_month(year, m);
    *epoch_s = 86400.0 * (double)(days + day - 1);
    return true;
}

static bool take_clock(const char **text, double *seconds)
{
    int hour, minute, second = 0;
    double scale = 0.1;
    if (!take_digits(text, 2, &hour) || !take(text, ':') || !take_digits(text, 2, &minute))
        return false;
    if (take(text, ':') && !take_digits(text, 2, &second))
        return false;
    if (hour > 23 || minute > 59 || second > 59)
        return false;
    *seconds = 3600.0 * hour + 60.0 * minute + second;
    if (!take(text, '.'))
        return true;
    int digit;
    if (!take_digits(text, 1, &digit))
        return false;
    do {
        *seconds += scale * digit;
        scale *= 0.1;
    } while (take_digits(text, 1, &digit));
    return true;
}

static bool take_zone(const char **text, double *offset_s)
{
    int hour, minute;
    *offset_s = 0.0;
    if (take(text, 'Z'))
        return true;
    double sign = **text == '-' ? -1.0 : 1.0;
    if (!take(text, '+') && !take(text, '-'))
        return false;
    if (!take_digits(text, 2, &hour) || !take(text, ':') || !take_digits(text, 2, &minute) ||
        hour > 14 || minute > 59)
        return false;
    *offset_s = sign * (3600.0 * hour + 60.0 * minute);
    return true;
}

static double read_time(struct sg_reader *reader, const struct sg_tree *value, bool date_only)
{
    double day_s, clock_s, zone_s;
    if (!value || value->kind != SG_TREE_TEXT || value->text[0] == '\0')
        return SG_UNSET;
    const char *at = value->text;
    if (take_date(&at, &day_s)) {
        if (date_only && *at == '\0')
            return day_s;
        if ((take(&at, 'T') || take(&at, ' ')) && take_clock(&at, &clock_s) &&
            take_zone(&at, &zone_s) && *at == '\0')
            return day_s + clock_s - zone_s;
    }
    sg_reader_error(reader, SG_ERR_INPUT, value->at, "%s: %s is not a %s; allowed: %s",
                    date_only ? "calibrated" : "start", sg_quoted(reader, value->text),
                    date_only ? "date" : "time with a zone",
                    date_only ? "a date like 2025-11-03"
                              : "a time like 2026-01-05T07:00:00Z or 2026-01-05T08:00:00+01:00");
    return SG_UNSET;
}

/* ---- the file -------------------------------------------------------------------------------- */

static unsigned word_at(const char *const *words, const char *word)
{
    unsigned i = 0;
    while (words[i] && !sg_same(words[i], word))
        i++;
    return i;
}

static void read_channels(struct sg_reader *reader, const struct sg_tree *list,
                          struct sg_calibration *out)
{
    const struct sg_fields block = block_of("channels");
    out->channel = sg_reader_alloc(reader, list->count, sizeof *out->channel);
    for (size_t i = 0; out->channel && i < list->count; i++) {
        struct raw_channel raw = { .to = SG_CALIBRATION_CHANNEL_INIT, .kind = NULL };
        if (!sg_bind_fields(reader, &block, list->child[i], &raw))
            continue;
        raw.to.name = raw.to.name && raw.to.name[0] ? raw.to.name : NULL;
        raw.to.kind = (enum sg_kind)word_at(kinds, raw.kind);
        raw.to.axis = (enum sg_axis)word_at(axes, raw.axis);
        raw.to.by = (enum sg_calibration_by)(word_at(ways, raw.by) + SG_BY_SENSITIVITY);
        raw.to.group = (size_t)raw.sensor;
        out->channel[i] = raw.to;
    }
    out->nchannel = list->count;
}

static void build(struct sg_reader *reader, const struct sg_tree *root, struct sg_calibration *out)
{
    struct raw_file raw = { .note = NULL };
    const struct sg_fields block = block_of("");
    sg_bind_fields(reader, &block, root, &raw);
    if (root->kind != SG_TREE_MAP)
        return;
    out->note = raw.note;
    out->receptor = raw.receptor;
    out->position = raw.position;
    out->technique = raw.technique;
    out->serial = raw.serial;
    out->distance_m = raw.distance_m;
    out->residual_db = raw.residual_db;
    out->valid_days = raw.valid_days;
    out->rate_hz = raw.rate_hz;
    out->duration_s = raw.duration_s;
    out->start_epoch_s = read_time(reader, sg_tree_value(root, "start"), false);
    out->calibrated_epoch_s = read_time(reader, sg_tree_value(root, "calibrated"), true);
    if (raw.channels)
        read_channels(reader, raw.channels, out);
}

/* bytes NULL: the file is read. */
static sg_status read_from(const char *bytes, size_t length, const char *path,
                           struct sg_arena *arena, struct sg_calibration *out,
                           struct sg_errors *errors)
{
    struct sg_site owner = SG_SITE_INIT; /* only its arena and file name are used */
    struct sg_reader reader = { .site = &owner,
                                .folder = "",
                                .needs = "a calibration needs at least channels" };
    struct sg_calibration made = { .channel = NULL };
    owner.file = sg_arena_copy(&owner.arena, path, strlen(path));
    if (!owner.file)
        return sg_errors_add(errors, SG_ERR_NOMEM, NULL, "%s", sg_status_text(SG_ERR_NOMEM));
    made.file = owner.file;
    if (!bytes)
        bytes = sg_reader_file(&reader, owner.file, (struct sg_spot){ .file = owner.file },
                               SG_SITE_MAX_BYTES, &length);
    const struct sg_tree *root = bytes ? sg_yaml_load(&reader, bytes, length) : NULL;
    if (root)
        build(&reader, root, &made);
    sg_status status = sg_reader_finish(&reader, errors);
    if (!sg_ok(status)) {
        sg_arena_release(&owner.arena);
        return status;
    }
    *arena = owner.arena;
    *out = made;
    return status;
}

sg_status sg_calibration_read_memory(const char *bytes, size_t length, const char *path,
                                     struct sg_arena *arena, struct sg_calibration *out,
                                     struct sg_errors *errors)
{
    return read_from(bytes ? bytes : "", length, path, arena, out, errors);
}

sg_status sg_calibration_read(const char *path, struct sg_arena *arena, struct sg_calibration *out,
                              struct sg_errors *errors)
{
    return read_from(NULL, 0, path, arena, out, errors);
}
