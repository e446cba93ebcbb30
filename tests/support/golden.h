/* golden.h - tables of known answers for tests: CSV with a header line, read whole. A file that is
 * missing or short is a failure, never a pass.
 * Include after cmocka.h.
 */
#ifndef TESTS_SUPPORT_GOLDEN_H
#define TESTS_SUPPORT_GOLDEN_H

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define GOLDEN_ROWS 200
#define GOLDEN_COLUMNS 16
#define GOLDEN_FIELD 96

struct golden {
    char head[GOLDEN_COLUMNS][GOLDEN_FIELD];
    char cell[GOLDEN_ROWS][GOLDEN_COLUMNS][GOLDEN_FIELD];
    size_t rows, columns;
};

/* Splits one line; a quoted field may hold commas. Returns the number of fields. */
static inline size_t golden_split(const char *line, char field[GOLDEN_COLUMNS][GOLDEN_FIELD])
{
    size_t column = 0, length = 0;
    int quoted = 0;
    for (const char *c = line;; c++) {
        int end = *c == '\0' || *c == '\n' || *c == '\r';
        if (!end && *c == '"') {
            quoted = !quoted;
        } else if (end || (*c == ',' && !quoted)) {
            field[column++][length] = '\0';
            length = 0;
            if (end || column == GOLDEN_COLUMNS)
                return column;
        } else if (length + 1 < GOLDEN_FIELD) {
            field[column][length++] = *c;
        }
    }
}

/* The caller frees the table. */
static inline struct golden *golden_read(const char *name, size_t rows_expected)
{
    char path[256], line[1024], field[GOLDEN_COLUMNS][GOLDEN_FIELD];
    (void)snprintf(path, sizeof path, "tests/data/golden/%s", name);
    FILE *file = fopen(path, "r");
    struct golden *golden = calloc(1, sizeof *golden);
    if (file == NULL || golden == NULL)
        fail_msg("cannot read %s", path);
    while (fgets(line, sizeof line, file) != NULL) {
        size_t columns = golden_split(line, field);
        if (golden->columns == 0) {
            golden->columns = columns;
            memcpy(golden->head, field, sizeof field);
            continue;
        }
        if (golden->rows < GOLDEN_ROWS)
            memcpy(golden->cell[golden->rows++], field, sizeof field);
    }
    (void)fclose(file);
    if (golden->rows != rows_expected)
        fail_msg("%s has %zu rows, expected %zu", path, golden->rows, rows_expected);
    return golden;
}

static inline const char *golden_text(const struct golden *golden, size_t row, const char *column)
{
    for (size_t i = 0; i < golden->columns; i++)
        if (strcmp(golden->head[i], column) == 0)
            return golden->cell[row][i];
    fail_msg("no column %s", column);
    return "";
}

/* NaN for an empty cell; "inf" is infinity. */
static inline double golden_number(const struct golden *golden, size_t row, const char *column)
{
    const char *text = golden_text(golden, row, column);
    char *end = NULL;
    double value = strtod(text, &end);
    return end == text ? (double)NAN : value;
}

#endif
