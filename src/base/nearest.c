/* nearest.c - the known word nearest to a mistyped one, by edit distance. */
#include "stillground/base.h"

#include <string.h>

#define LONGEST 63

static size_t least(size_t a, size_t b, size_t c)
{
    size_t m = a < b ? a : b;
    return m < c ? m : c;
}

static char lower(char c)
{
    return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
}

/* Insertions, deletions and replacements between two words of at most LONGEST bytes. */
static size_t edit_distance(const char *a, const char *b)
{
    size_t length_a = strlen(a), length_b = strlen(b);
    size_t row[LONGEST + 1];
    for (size_t j = 0; j <= length_b; j++)
        row[j] = j;
    for (size_t i = 1; i <= length_a; i++) {
        size_t diagonal = row[0];
        row[0] = i;
        for (size_t j = 1; j <= length_b; j++) {
            size_t above = row[j];
            size_t change = diagonal + (lower(a[i - 1]) == lower(b[j - 1]) ? 0 : 1);
            row[j] = least(above + 1, row[j - 1] + 1, change);
            diagonal = above;
        }
    }
    return row[length_b];
}

const char *sg_nearest(const char *word, const char *const *known, size_t count)
{
    const char *best = NULL;
    size_t length = strlen(word);
    if (length == 0 || length > LONGEST)
        return NULL;
    size_t best_distance = 2 + length / 3;
    for (size_t i = 0; i < count; i++) {
        if (!known[i] || strlen(known[i]) > LONGEST)
            continue;
        size_t distance = edit_distance(word, known[i]);
        if (distance < best_distance) {
            best_distance = distance;
            best = known[i];
        }
    }
    return best;
}
