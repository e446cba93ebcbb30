/* watched.h - what a monitoring team hands in beside recordings: a table of measured figures, a
 * list of complaints, a pile log. For the command check.
 */
#ifndef COMMANDS_WATCHED_H
#define COMMANDS_WATCHED_H

#include "commands.h"
#include "stillground/monitoring.h"

/* A stretch of the pile log. */
struct sg_logged {
    double start_s, end_s; /* local clock */
    const char *what;      /* "pile P3, start-up" */
};

struct sg_watched {
    struct sg_arena arena; /* texts of the tables, and what verdicts point to */
    const struct sg_site *site;
    struct sg_complaint *complaint;
    size_t ncomplaint;
    struct sg_logged *logged;
    size_t nlogged;
    struct sg_recorded figures; /* of the moment being judged */
    struct sg_logbook book;
    struct sg_beside_list beside;
    struct sg_foreseen_at *foreseen; /* what was worked out, one a receptor, technique and place */
    size_t nforeseen, foreseen_capacity;
};
#define SG_WATCHED_INIT                                                                            \
    ((struct sg_watched){ .arena = SG_ARENA_INIT,                                                  \
                          .figures = SG_RECORDED_INIT,                                             \
                          .book = { .arena = SG_ARENA_INIT },                                      \
                          .beside = SG_BESIDE_LIST_INIT })
void sg_watched_release(struct sg_watched *watched);

/* What was predicted there, worked out once; empty, with a note on stderr, when it cannot be. NULL
 * without memory. */
const struct sg_foreseen *sg_watched_foreseen(struct sg_watched *watched, size_t receptor,
                                              const struct sg_recorded_as *as);

/* What holds where a table says nothing. */
struct sg_watched_defaults {
    const char *receptor, *technique, *position; /* NULL = must stand in the table */
    unsigned periods;
};

/* Opens the book; either file may be NULL. Complaints: time, receptor, text. Log: time_start,
 * time_end, pile, and phase, method or remark. */
sg_status sg_watched_open(const struct sg_site *site, const char *complaints, const char *log,
                          struct sg_watched *out, struct sg_errors *errors);
/* Judges every row of a table: time, then receptor, technique, position, cause, duration_s,
 * frequency_hz as far as they are needed, and figures with their units. */
sg_status sg_watched_table(struct sg_watched *watched, const char *path,
                           const struct sg_watched_defaults *defaults, struct sg_errors *errors);
/* Judges a recording: the whole of it into its own verdicts, its intervals (or the whole, without
 * any) into the book. */
sg_status sg_watched_recording(struct sg_watched *watched, struct sg_taken *taken, size_t receptor,
                               const struct sg_recorded_as *as);
/* What the log says of a moment; NULL when nothing. */
const char *sg_watched_cause(const struct sg_watched *watched, double local_s);
/* Clock time at the site of a moment in UTC. */
double sg_watched_local(const struct sg_site *site, double utc_s);
/* Fills what a set's own windows need. */
void sg_watched_clock(const struct sg_site *site, double local_s, struct sg_recorded_as *as);
/* The technique and position of words. */
sg_status sg_watched_words(const char *technique, const char *position,
                           const struct sg_place *place, struct sg_recorded_as *out,
                           struct sg_errors *errors);

#endif
