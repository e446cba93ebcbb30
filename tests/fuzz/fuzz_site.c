/* fuzz_site.c - the site reader on any text: it must end with a site or with at least one message,
 * without touching memory that is not its own (the sanitizers watch). Tables are looked for in a
 * folder that does not exist, so that nothing but the text is read.
 */
#include "site/site_internal.h"

#include <stdio.h>
#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    struct sg_site site = SG_SITE_INIT;
    struct sg_errors errors = SG_ERRORS_INIT;
    sg_status status =
        sg_site_read_memory((const char *)data, size, "no-such-folder/site.yaml", &site, &errors);
    if (!sg_ok(status) && errors.count == 0) {
        fprintf(stderr, "failed with %s, but said nothing\n", sg_status_text(status));
        abort();
    }
    if (sg_ok(status) && (site.npile == 0 || site.nreceptor == 0 || site.nmethod == 0)) {
        fprintf(stderr, "a site without piles, receptors or methods was taken\n");
        abort();
    }
    for (size_t i = 0; i < site.nreceptor; i++) {
        size_t pile = sg_site_nearest_pile(&site, i);
        if (pile >= site.npile || site.pile[pile].borehole >= site.nborehole) {
            fprintf(stderr, "a receptor without a pile, or a pile without ground\n");
            abort();
        }
    }
    sg_site_release(&site);
    sg_errors_release(&errors);
    return 0;
}
