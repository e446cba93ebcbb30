/* read_csv.c - waveforms as text: one frame a line, a header line with the names of the columns,
 * lines that start with # are passed over. Numbers only: an empty cell, NaN or text is an error
 * with its line and column. RFC 4180 without line breaks inside quotes.
 */
#define _POSIX_C_SOURCE 200809L
#include "reader.h"

#include <math.h>
#include <string.h>
#include <sys/types.h>

#define LINE_MAX_BYTES 65536
#define COLUMNS_MAX 256
#define RATE_ROWS 1000 /* rows looked at for the rate */
#define STEADY 0.1     /* a step may be off by this share of itself */

struct csv_reader {
    FILE *stream;
    char name[256];
    char line[LINE_MAX_BYTES];
    char *field[COLUMNS_MAX];
    size_t nfield, line_number;
    char separator;
    bool decimal_comma;
    size_t columns;     /* in the header */
    size_t time_column; /* SIZE_MAX = none */
    size_t channel_column[SG_CHANNELS_MAX];
    size_t nchannel;
    off_t data_start;
    size_t data_line;
    double rate_hz, first_time_s;
    double frame; /* grid index of the next row */
    bool started;
    double held[SG_CHANNELS_MAX], held_gap_s;
    bool holds; /* a row behind a gap waits for the next piece */
};

static sg_status wrong(const struct csv_reader *self, size_t column, struct sg_errors *errors,
                       const char *what, const char *value)
{
    const struct sg_place place = { self->name, self->line_number, column };
    return sg_errors_add(errors, SG_ERR_INPUT, &place, "\"%.40s\" %s", value, what);
}

/* Reads one line that is not a comment; *end at the end of the file. */
static sg_status next_line(struct csv_reader *self, bool *end, struct sg_errors *errors)
{
    for (;;) {
        *end = fgets(self->line, LINE_MAX_BYTES, self->stream) == NULL;
        if (*end && ferror(self->stream))
            return wrong(self, 0, errors, "cannot be read", self->name);
        if (*end)
            return SG_OK;
        self->line_number++;
        size_t length = strlen(self->line);
        if (length == 0 || (self->line[length - 1] != '\n' && !feof(self->stream)))
            return wrong(self, 0, errors,
                         "starts a line that is longer than 65535 bytes or holds "
                         "a NUL; shorter lines of text are allowed",
                         self->line);
        while (length > 0 && (self->line[length - 1] == '\n' || self->line[length - 1] == '\r'))
            self->line[--length] = '\0';
        if (length > 0 && self->line[0] != '#')
            return SG_OK;
    }
}

/* Cuts the line into fields in place; quotes around a field and blanks are taken off. */
static sg_status split(struct csv_reader *self, struct sg_errors *errors)
{
    char *c = self->line;
    self->nfield = 0;
    for (;;) {
        if (self->nfield == COLUMNS_MAX)
            return wrong(self, self->nfield, errors, "is column 257; at most 256 are allowed", c);
        while (*c == ' ')
            c++;
        bool quoted = *c == '"';
        char *start = quoted ? ++c : c;
        while (*c != '\0' && (quoted ? *c != '"' : *c != self->separator))
            c++;
        char *stop = c;
        if (quoted && *c == '"')
            c++;
        while (*c != '\0' && *c != self->separator)
            c++;
        bool last = *c == '\0';
        while (!quoted && stop > start && stop[-1] == ' ')
            stop--;
        *stop = '\0';
        self->field[self->nfield++] = start;
        if (last)
            return SG_OK;
        c++;
    }
}

static char guess_separator(const char *line)
{
    if (strchr(line, ';') != NULL)
        return ';';
    return strchr(line, '\t') != NULL ? '\t' : ',';
}

static size_t find_column(const struct csv_reader *self, const char *name)
{
    for (size_t i = 0; i < self->nfield; i++)
        if (strcmp(self->field[i], name) == 0)
            return i;
    return SIZE_MAX;
}

static sg_status add_channel(struct csv_reader *self, size_t column, struct sg_recording_info *info,
                             struct sg_errors *errors)
{
    if (self->nchannel == SG_CHANNELS_MAX)
        return wrong(self, column + 1, errors, "is channel 65; at most 64 are allowed",
                     self->field[column]);
    (void)snprintf(info->name[self->nchannel], SG_CHANNEL_NAME, "%.31s", self->field[column]);
    self->channel_column[self->nchannel++] = column;
    return SG_OK;
}

static sg_status read_header(struct csv_reader *self, const struct sg_csv_map *map,
                             struct sg_recording_info *info, struct sg_errors *errors)
{
    bool end;
    sg_status status = next_line(self, &end, errors);
    if (sg_ok(status) && end)
        return wrong(self, 0, errors, "has no header line; the names of the columns are needed",
                     self->name);
    if (sg_ok(status)) {
        if (strncmp(self->line, "\xEF\xBB\xBF", 3) == 0) /* mark of UTF-8 */
            memmove(self->line, self->line + 3, strlen(self->line) - 2);
        self->separator = map->separator != 0 ? map->separator : guess_separator(self->line);
        status = split(self, errors);
    }
    if (!sg_ok(status))
        return status;
    self->columns = self->nfield;
    self->time_column = map->time_column != NULL ? find_column(self, map->time_column) : SIZE_MAX;
    if (self->time_column == SIZE_MAX && !sg_is_set(map->rate_hz))
        return wrong(self, 0, errors,
                     "is not among the columns; a time column in seconds or a rate "
                     "is needed",
                     map->time_column != NULL ? map->time_column : "time");
    for (size_t i = 0; map->column == NULL && i < self->nfield && sg_ok(status); i++)
        if (i != self->time_column)
            status = add_channel(self, i, info, errors);
    for (size_t i = 0; map->column != NULL && i < map->ncolumn && sg_ok(status); i++) {
        size_t column = find_column(self, map->column[i]);
        status = column == SIZE_MAX
                     ? wrong(self, 0, errors, "is not among the columns", map->column[i])
                     : add_channel(self, column, info, errors);
    }
    if (sg_ok(status) && self->nchannel == 0)
        return wrong(self, 0, errors, "has no column beside the time; one channel is needed",
                     self->name);
    return status;
}

static sg_status number_at(struct csv_reader *self, size_t column, double *out,
                           struct sg_errors *errors)
{
    char *text = self->field[column];
    const char *why = NULL;
    if (self->decimal_comma) {
        char *comma = strchr(text, ',');
        if (comma != NULL)
            *comma = '.';
    }
    if (sg_ok(sg_parse_number(text, out, &why)))
        return SG_OK;
    const struct sg_place place = { self->name, self->line_number, column + 1 };
    return sg_errors_add(errors, SG_ERR_INPUT, &place,
                         "column %zu: \"%.40s\" %s; a finite decimal number is allowed", column + 1,
                         text, why);
}

/* One row: its time (unset without a time column) and its samples. */
static sg_status read_row(struct csv_reader *self, double *time_s, double *sample, bool *end,
                          struct sg_errors *errors)
{
    sg_status status = next_line(self, end, errors);
    if (!sg_ok(status) || *end)
        return status;
    status = split(self, errors);
    if (!sg_ok(status))
        return status;
    if (self->nfield != self->columns) {
        const struct sg_place place = { self->name, self->line_number, 0 };
        return sg_errors_add(errors, SG_ERR_INPUT, &place, "has %zu columns; the header has %zu",
                             self->nfield, self->columns);
    }
    *time_s = SG_UNSET;
    if (self->time_column != SIZE_MAX)
        status = number_at(self, self->time_column, time_s, errors);
    for (size_t c = 0; c < self->nchannel && sg_ok(status); c++)
        status = number_at(self, self->channel_column[c], &sample[c], errors);
    return status;
}

static sg_status to_data(struct csv_reader *self, struct sg_errors *errors)
{
    if (fseeko(self->stream, self->data_start, SEEK_SET) != 0)
        return wrong(self, 0, errors, "cannot be read from its start", self->name);
    self->line_number = self->data_line;
    self->frame = 0.0;
    self->started = self->holds = false;
    return SG_OK;
}

/* The rate from the smallest step of the first rows, then refined over as many as follow evenly. */
static sg_status find_rate(struct csv_reader *self, struct sg_errors *errors)
{
    double sample[SG_CHANNELS_MAX], time_s, step = SG_UNSET, last = SG_UNSET;
    bool end = false;
    size_t rows = 0;
    for (; rows < RATE_ROWS; rows++) {
        sg_status status = read_row(self, &time_s, sample, &end, errors);
        if (!sg_ok(status))
            return status;
        if (end)
            break;
        if (rows == 0)
            self->first_time_s = time_s;
        double now = rows == 0 ? SG_UNSET : time_s - last;
        if (rows > 0 && !(now > 0.0))
            return wrong(self, self->time_column + 1, errors, "is not later than the row before",
                         self->field[self->time_column]);
        if (sg_is_set(step) && fabs(now - step) > STEADY * step)
            break; /* a gap, or the rate changes: read_frame judges it */
        step = rows < 2 ? now : (time_s - self->first_time_s) / (double)rows;
        last = time_s;
    }
    if (!sg_is_set(step))
        return wrong(self, 0, errors, "has fewer than two rows; the rate cannot be told",
                     self->name);
    double rate = 1.0 / step, whole = floor(rate + 0.5);
    self->rate_hz = whole > 0.0 && fabs(rate / whole - 1.0) < 1e-4 ? whole : rate;
    return SG_OK;
}

static void csv_close(void *user)
{
    sg_free(user);
}

static sg_status csv_open(FILE *stream, const char *name, const struct sg_csv_map *map,
                          struct sg_recording_info *info, void **out, struct sg_errors *errors)
{
    const struct sg_csv_map usual = SG_CSV_MAP_INIT;
    map = map != NULL ? map : &usual;
    struct csv_reader *self = sg_alloc(1, sizeof *self);
    if (self == NULL)
        return SG_ERR_NOMEM;
    self->stream = stream;
    (void)snprintf(self->name, sizeof self->name, "%s", name);
    self->decimal_comma = map->decimal_comma;
    sg_status status = read_header(self, map, info, errors);
    self->data_start = ftello(stream);
    self->data_line = self->line_number;
    self->rate_hz = map->rate_hz;
    if (sg_ok(status) && !sg_is_set(map->rate_hz))
        status = find_rate(self, errors);
    if (sg_ok(status))
        status = to_data(self, errors);
    if (!sg_ok(status)) {
        csv_close(self);
        return status;
    }
    info->format = "CSV";
    info->nchannel = self->nchannel;
    info->rate_hz = self->rate_hz;
    *out = self;
    return SG_OK;
}

/* Reads one frame; *gap_s > 0 when rows are missing before it. */
static sg_status read_frame(struct csv_reader *self, double *sample, double *gap_s, bool *end,
                            struct sg_errors *errors)
{
    double time_s;
    sg_status status = read_row(self, &time_s, sample, end, errors);
    *gap_s = 0.0;
    if (!sg_ok(status) || *end || !sg_is_set(time_s))
        return status;
    if (!self->started)
        self->first_time_s = time_s;
    double at = (time_s - self->first_time_s) * self->rate_hz, missing = at - self->frame;
    if (missing < -0.5)
        return wrong(self, self->time_column + 1, errors,
                     "is earlier than the rate allows; rows in order of time are needed",
                     self->field[self->time_column]);
    if (missing > 0.5) {
        *gap_s = floor(missing + 0.5) / self->rate_hz;
        self->frame += floor(missing + 0.5);
    }
    return SG_OK;
}

static sg_status csv_read(void *user, struct sg_piece *piece, struct sg_errors *errors)
{
    struct csv_reader *self = user;
    double sample[SG_CHANNELS_MAX], gap_s;
    bool end = false;
    while (piece->frames < SG_BLOCK_FRAMES) {
        if (self->holds) {
            memcpy(sample, self->held, sizeof sample);
            gap_s = self->held_gap_s;
            self->holds = false;
        } else {
            sg_status status = read_frame(self, sample, &gap_s, &end, errors);
            if (!sg_ok(status))
                return status;
            if (end)
                break;
            if (gap_s > 0.0 && piece->frames > 0) {
                memcpy(self->held, sample, sizeof sample);
                self->held_gap_s = gap_s;
                self->holds = true;
                break;
            }
        }
        if (piece->frames == 0) {
            piece->time_s = self->frame / self->rate_hz;
            piece->gap_s = gap_s;
        }
        for (size_t c = 0; c < self->nchannel; c++)
            piece->sample[c * SG_BLOCK_FRAMES + piece->frames] = sample[c];
        piece->frames++;
        self->frame += 1.0;
        self->started = true;
    }
    return SG_OK;
}

static sg_status csv_rewind(void *user, struct sg_errors *errors)
{
    return to_data(user, errors);
}

const struct sg_reader sg_reader_csv = { csv_open, csv_read, csv_rewind, csv_close };
