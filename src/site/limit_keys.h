/* limit_keys.h - the keys of a limit set in YAML, one table for reading and for writing, so that
 * what is written reads back identical. Inside src/site only.
 */
#ifndef STILLGROUND_SITE_LIMIT_KEYS_H
#define STILLGROUND_SITE_LIMIT_KEYS_H

#include "site_internal.h"

enum sg_limit_key_kind { SG_AS_TEXT, SG_AS_NUMBER, SG_AS_WORD, SG_AS_BITS, SG_AS_YES };

typedef const char *sg_limit_word(unsigned index);

struct sg_limit_key {
    const char *name;
    enum sg_limit_key_kind kind;
    size_t offset;
    sg_limit_word *word; /* of SG_AS_WORD by number, of SG_AS_BITS by bit */
    unsigned count;
    bool needed;
    double min;
};

extern const struct sg_limit_key sg_limit_set_key[];
extern const size_t sg_limit_set_key_count;
extern const struct sg_limit_key sg_limit_row_key[];
extern const size_t sg_limit_row_key_count;
extern const struct sg_limit_key sg_limit_factor_key[];
extern const size_t sg_limit_factor_key_count;
extern const struct sg_limit_key sg_limit_window_key[];
extern const size_t sg_limit_window_key_count;

#endif
