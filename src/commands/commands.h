/* commands.h - what the commands share. A command parses its options, calls the library and prints:
 * data on stdout, notes on stderr. No domain arithmetic here. */
#ifndef STILLGROUND_COMMANDS_H
#define STILLGROUND_COMMANDS_H

#include "stillground/report.h"

/* One row of commands.def: SG_COMMAND(name, "one line of help"). */
#define SG_COMMAND(name, help) int sg_command_##name(int argc, char **argv);
#include "commands.def"
#undef SG_COMMAND

/* "table", "csv" or "json". */
sg_status sg_format_parse(const char *word, enum sg_format *out);

/* Prints the collected messages to stderr, one a line, and returns the exit status of `status`. */
int sg_command_fail(const struct sg_errors *errors, sg_status status);

/* Writes a text to stdout (path NULL or "-") or to a file; reports failure like sg_command_fail. */
int sg_command_output(const char *path, const struct sg_text *text);

/* Formats tables to stdout; returns 0 or an exit status. */
int sg_command_tables(const struct sg_table *const *table, size_t count, enum sg_format format);
/* Whether a table of what many sites do not ask for is printed. For readers: when it has rows. Its
 * header in CSV and its empty list in JSON are always there: programs find the same tables. */
bool sg_command_shows(const struct sg_table *table, enum sg_format format);

/* Prints the keys that a table of fields knows. */
int sg_command_keys(const char *title, size_t count, const struct sg_field *(*at)(size_t index),
                    const char *note, enum sg_format format);

/* Exit status of a study that was printed: 1 when a limit is over; with strict, 5 when a verdict is
 * not determinable; else 0. */
int sg_command_verdict(enum sg_verdict_state worst, bool strict);

/* Progress of long runs on a terminal; nothing when stderr is not one or the run is short. */
struct sg_progress_line {
    double started_s;
    bool shown;
    const char *what; /* is counted; NULL = pairs */
};
void sg_progress_show(size_t done, size_t total, void *progress_line);
void sg_progress_end(struct sg_progress_line *line);

/* argp key of --format (-f), used by every command that prints tables. */
#define SG_FORMAT_OPTION                                                                           \
    {                                                                                              \
        "format", 'f', "FORMAT", 0, "table (default), csv or json", 0                              \
    }

/* An id that no list holds: an error with the nearest known one and the command that lists them.
 * Returns SG_ERR_USAGE. */
typedef const char *sg_id_list(size_t index);
sg_status sg_command_unknown(struct sg_errors *errors, const char *what, const char *id,
                             const char *command, sg_id_list *id_at, size_t count);
/* The index of a name; prints what is known and returns SG_ERR_USAGE when there is no such name. */
sg_status sg_method_named(const struct sg_site *site, const char *name, size_t *out,
                          struct sg_errors *errors);
sg_status sg_receptor_named(const struct sg_site *site, const char *name, size_t *out,
                            struct sg_errors *errors);

/* "key=value" split at the first '='; false when there is none or the key is empty. value points
 * into argument. */
bool sg_split_pair(const char *argument, char *key, size_t key_size, const char **value);

#endif
