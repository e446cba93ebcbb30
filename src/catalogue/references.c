/* references.c - the list of documents. */
#include "stillground/catalogue.h"

static const struct sg_document documents[] = {
#define SG_REFERENCE(key, title, edition, extent) { key, title, edition, extent },
#include "references.def"
#undef SG_REFERENCE
};

size_t sg_document_count(void)
{
    return SG_COUNT(documents);
}

const struct sg_document *sg_document_at(size_t index)
{
    return index < SG_COUNT(documents) ? &documents[index] : NULL;
}

const struct sg_document *sg_document_find(const char *key)
{
    for (size_t i = 0; i < SG_COUNT(documents); i++) {
        if (sg_same(documents[i].key, key))
            return &documents[i];
    }
    return NULL;
}
