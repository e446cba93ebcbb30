/* words.h - lists of words, read by index or by bit, and back. */
#ifndef CATALOGUE_WORDS_H
#define CATALOGUE_WORDS_H

#include "stillground/base.h"

/* "?" beyond the list. */
static inline const char *sg_word_at(const char *const *list, size_t count, unsigned index)
{
    return index < count ? list[index] : "?";
}

/* NULL when no bit of the list is meant. */
static inline const char *sg_word_of_bit(const char *const *list, size_t count, unsigned bit)
{
    for (size_t i = 0; i < count; i++) {
        if (bit == 1u << i)
            return list[i];
    }
    return NULL;
}

/* SG_ERR_UNKNOWN when the word is not in the list. */
static inline sg_status sg_word_index(const char *const *list, size_t count, const char *id,
                                      unsigned *out)
{
    for (size_t i = 0; i < count; i++) {
        if (sg_same(list[i], id)) {
            *out = (unsigned)i;
            return SG_OK;
        }
    }
    return SG_ERR_UNKNOWN;
}

static inline sg_status sg_word_bit(const char *const *list, size_t count, const char *id,
                                    unsigned *out)
{
    unsigned index;
    sg_status status = sg_word_index(list, count, id, &index);
    if (status == SG_OK)
        *out = 1u << index;
    return status;
}

#endif
