/* base.h - what every other room stands on: status and messages, growing text, an arena,
 * numbers and units, citations, small statistics.
 *
 * Not here: anything that knows about piles, ground, sound or files of a given format.
 *
 * The library expects the numeric locale to be "C" (the state in which every C program starts).
 */
#ifndef STILLGROUND_BASE_H
#define STILLGROUND_BASE_H

#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#if defined(__GNUC__)
#define SG_PRINTF(format_at, first_at) __attribute__((format(printf, format_at, first_at)))
#else
#define SG_PRINTF(format_at, first_at)
#endif

#define SG_PI 3.14159265358979323846
#define SG_COUNT(array) (sizeof(array) / sizeof((array)[0]))

/* ---- status ---------------------------------------------------------------------------------- */

/* What became of a call. The family is the value with the low byte cleared. */
typedef enum sg_status {
    SG_OK = 0,                   /* done */
    SG_WARN_RANGE = 0x001,       /* done, but an input lies outside the range the source states */
    SG_ERR_USAGE = 0x100,        /* the call or the command line is wrong */
    SG_ERR_INPUT = 0x200,        /* a file or a value handed in is wrong */
    SG_ERR_MISSING = 0x201,      /* a value that is needed was not given */
    SG_ERR_UNKNOWN = 0x202,      /* a name that nothing is known by */
    SG_ERR_DOMAIN = 0x300,       /* the question has no answer (too near, no frequency, ...) */
    SG_ERR_NO_SOLUTION = 0x301,  /* an inverse question without a solution */
    SG_ERR_UNDETERMINED = 0x302, /* asked for under --strict: a verdict is not determinable */
    SG_ERR_IO = 0x400,           /* a file could not be read or written */
    SG_ERR_NOMEM = 0x500,        /* memory ran out, or a size cap was reached */
    SG_ERR_BUG = 0x600           /* the program is wrong */
} sg_status;

/* One line that says what a status means. Never NULL. */
const char *sg_status_text(sg_status status);

/* True when the call gave a result (possibly with a warning). */
static inline bool sg_ok(sg_status status)
{
    return status < SG_ERR_USAGE;
}

/* Exit status of a command that ends with `status`: 0, 2, 3, 4, 5 or 70 (see README). */
int sg_status_exit(sg_status status);

/* Where something stands in a file. line and column count from 1; 0 = not known. */
struct sg_place {
    const char *file;
    size_t line;
    size_t column;
};

/* Messages collected during a run, so that one run reports everything that is wrong.
 * Each reads "file:line:column: what is wrong; what is allowed". Owned by the caller. */
struct sg_errors {
    char **text;     /* count messages, in the order they were found */
    size_t count;    /* kept messages */
    size_t dropped;  /* messages beyond SG_ERRORS_MAX, counted but not kept */
    sg_status first; /* status of the first message, SG_OK when there is none */
};
#define SG_ERRORS_INIT ((struct sg_errors){ NULL, 0, 0, SG_OK })
#define SG_ERRORS_MAX 200

/* Adds a message; place may be NULL. Returns status, so that `return sg_errors_add(...)` reads
 * well.
 * errors may be NULL: then only the status is returned. */
sg_status sg_errors_add(struct sg_errors *errors, sg_status status, const struct sg_place *place,
                        const char *format, ...) SG_PRINTF(4, 5);
void sg_errors_release(struct sg_errors *errors);

/* ---- memory ---------------------------------------------------------------------------------- */

/* The one door to the heap, so that tests can make the n-th allocation fail.
 * sg_alloc and sg_realloc return NULL when memory runs out or count * size overflows. */
void *sg_alloc(size_t count, size_t size);              /* zeroed */
void *sg_realloc(void *old, size_t count, size_t size); /* the grown part is not zeroed */
void sg_free(void *pointer);
/* Makes the n-th allocation from now fail, once (0 = none). For tests; not thread-safe. */
void sg_alloc_fail_at(size_t n);

/* Many small things with one life: everything in an arena is freed by one release. */
struct sg_arena {
    struct sg_arena_block *block; /* internal */
};
#define SG_ARENA_INIT ((struct sg_arena){ NULL })

void *sg_arena_alloc(struct sg_arena *arena, size_t count,
                     size_t size); /* zeroed; NULL = no memory */
char *sg_arena_copy(struct sg_arena *arena, const char *text, size_t length);
char *sg_arena_printf(struct sg_arena *arena, const char *format, ...) SG_PRINTF(2, 3);
void sg_arena_release(struct sg_arena *arena);

/* ---- growing text ---------------------------------------------------------------------------- */

/* A text that grows up to SG_TEXT_MAX bytes. A failed append sets `failed` and the text stays as it
 * was; check once at the end. data is NULL until the first append, then always NUL-terminated. */
struct sg_text {
    char *data;
    size_t length;
    size_t capacity;
    bool failed;
};
#define SG_TEXT_INIT ((struct sg_text){ NULL, 0, 0, false })
#define SG_TEXT_MAX ((size_t)256 << 20)

void sg_text_put(struct sg_text *text, const char *string);
void sg_text_put_bytes(struct sg_text *text, const char *bytes, size_t length);
void sg_text_printf(struct sg_text *text, const char *format, ...) SG_PRINTF(2, 3);
void sg_text_vprintf(struct sg_text *text, const char *format, va_list arguments) SG_PRINTF(2, 0);
void sg_text_clear(struct sg_text *text);
void sg_text_release(struct sg_text *text);
const char *sg_text_string(const struct sg_text *text); /* "" when empty, never NULL */

/* The same string in a notation where it cannot be taken for anything else. */
void sg_text_put_html(struct sg_text *text,
                      const char *string); /* & < > " ' escaped; controls -> space */
void sg_text_put_csv(
    struct sg_text *text,
    const char *string); /* RFC 4180; = + - @ TAB CR at the start get a leading ' */
void sg_text_put_gnuplot(struct sg_text *text,
                         const char *string); /* a single-quoted gnuplot string with the quotes */

/* The string of `known` nearest to `word` (edit distance at most 1 + length / 3), or NULL. */
const char *sg_nearest(const char *word, const char *const *known, size_t count);
/* Case-sensitive equality that takes NULL for "different". */
bool sg_same(const char *a, const char *b);

/* ---- numbers --------------------------------------------------------------------------------- */

/* An unset value is NaN; these two keep the convention in one place. */
#define SG_UNSET (__builtin_nan(""))
#define SG_INFINITY (__builtin_inf())
bool sg_is_set(double value);

/* Reads a whole string as a finite decimal number with '.' as the mark: no trailing text, NaN, inf,
 * hexadecimal, thousands separators or decimal comma. On failure *why (if not NULL) says what is
 * wrong in a few words and *out is left alone. */
sg_status sg_parse_number(const char *string, double *out, const char **why);
sg_status sg_parse_count(const char *string, size_t max, size_t *out, const char **why);

/* Reads "20", "20m", "35 kJ", "0.5 in/s": a number and an optional unit, converted to `unit`
 * (a name known to sg_unit_factor). Without a unit the number is taken to be in `unit`. */
sg_status sg_parse_quantity(const char *string, const char *unit, double *out, const char **why);

/* Appends a number the way all output does: `decimals` places, '-' for unset, no "-0.00". */
void sg_text_put_number(struct sg_text *text, double value, int decimals);
/* Places to print for a peak velocity in mm/s: 2 from 0.1 up, 3 below. */
int sg_ppv_decimals(double ppv_mm_s);

/* ---- units ----------------------------------------------------------------------------------- */

/* Exact factors. 1 in = 0.0254 m and 1 ft = 0.3048 m by definition. */
#define SG_MM_PER_INCH 25.4
#define SG_M_PER_FOOT 0.3048
#define SG_J_PER_FOOT_POUND 1.3558179483314004

/* How many `to` one `from` is; SG_ERR_UNKNOWN when a name is not known, SG_ERR_DOMAIN when the two
 * measure different things. Names: m ft mm in km J kJ ft.lb MJ mm/s in/s m/s Hz rpm s min h kN tf
 * N. */
sg_status sg_unit_factor(const char *from, const char *to, double *out);

/* ---- citations ------------------------------------------------------------------------------- */

/* How well a number is known. Only `seen` and `derived` numbers are shown without a mark. */
enum sg_grade {
    SG_GRADE_SEEN,        /* read in the document or in a page that quotes it */
    SG_GRADE_DERIVED,     /* computed from a stated formula */
    SG_GRADE_MEMORY_HIGH, /* recalled, not checked on paper; confident */
    SG_GRADE_MEMORY_MID,  /* recalled; single digits to be checked */
    SG_GRADE_MEMORY_LOW,  /* recalled; never a default */
    SG_GRADE_PRACTICE,    /* common practice, no source */
    SG_GRADE_USER,        /* given by the user, with the user's own provenance */
    SG_GRADE_END
};

/* Where a number comes from. document: a key of the reference list in catalogue.h. */
struct sg_cite {
    const char *document;
    const char *locus; /* "Table 5, row 2", "Eq. 9", "clause 6.3" */
    enum sg_grade grade;
};

const char *sg_grade_name(enum sg_grade grade); /* "seen", "memory-high", ... */
bool sg_grade_unverified(enum sg_grade grade);  /* memory and practice */
enum sg_grade sg_grade_worse(enum sg_grade a, enum sg_grade b);

/* ---- small statistics ------------------------------------------------------------------------ */

double sg_normal_cdf(double z);
double sg_normal_quantile(double p);              /* 0 < p < 1, else NaN */
double sg_student_quantile(double p, double dof); /* 0 < p < 1, dof > 0, else NaN */
double sg_student_cdf(double t, double dof);      /* dof > 0, else NaN */
/* 10 lg of the sum of 10^(L/10); unset levels are skipped; unset when all are. */
double sg_level_sum(const double *level_db, size_t count);
/* Level of `level_db` present for a share 0..1 of the time; unset when the share is 0. */
double sg_level_on_time(double level_db, double share);

#endif
