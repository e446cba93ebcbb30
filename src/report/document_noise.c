/* document_noise.c - noise by octave bands in the document: what each item of plant contributes at
 * the receptor that governs, and the spectrum there, method by method. Nothing when the site does
 * not use octave bands.
 */
#include "internal.h"

#include "stillground/outdoor.h"

static size_t loudest_receptor(const struct sg_study *study, size_t method)
{
    const struct sg_governing *noise = &study->summary[method].noise;
    if (noise->receptor != SIZE_MAX)
        return noise->receptor;
    size_t best = SIZE_MAX;
    double most = 0;
    for (size_t r = 0; r < study->nreceptor; r++) {
        double db = sg_study_outcome(study, method, r)->laeq.central;
        if (sg_is_set(db) && (best == SIZE_MAX || db > most)) {
            best = r;
            most = db;
        }
    }
    return best;
}

static void put_parts(struct sg_table *table, const struct sg_study *study, size_t method,
                      size_t receptor, const struct sg_octave_parts *parts)
{
    const struct sg_method *m = &study->site->method[method];
    for (size_t i = 0; i < parts->count; i++) {
        sg_table_text(table, m->name);
        sg_table_text(table, study->site->receptor[receptor].name);
        sg_table_text(table, i == 0 ? "rig" : m->plant[i - 1].name);
        sg_table_number(table, parts->item_db[i]);
        for (size_t b = 0; b < SG_BANDS; b++)
            sg_table_number(table, i == 0 ? parts->band_db[b] : SG_UNSET);
    }
}

sg_status sg_document_noise(const struct sg_study *study, struct sg_text *out)
{
    static const struct sg_column columns[] = {
        { "method", "method", 0, false },      { "receptor", "receptor", 0, false },
        { "item", "item of plant", 0, false }, { "laeq_db", "LAeq part\ndB(A)", 1, true },
        { "l_63_db", "63 Hz\ndB", 1, true },   { "l_125_db", "125 Hz\ndB", 1, true },
        { "l_250_db", "250 Hz\ndB", 1, true }, { "l_500_db", "500 Hz\ndB", 1, true },
        { "l_1000_db", "1 kHz\ndB", 1, true }, { "l_2000_db", "2 kHz\ndB", 1, true },
        { "l_4000_db", "4 kHz\ndB", 1, true }, { "l_8000_db", "8 kHz\ndB", 1, true },
    };
    struct sg_table table;
    if (!study->site->outdoor)
        return SG_OK;
    sg_table_init(&table, "noise-parts", "Noise by octave bands: contributions", columns,
                  SG_COUNT(columns));
    for (size_t m = 0; m < study->nmethod; m++) {
        struct sg_octave_parts parts;
        size_t receptor = loudest_receptor(study, m);
        if (receptor != SIZE_MAX && sg_ok(sg_octave_parts_of(study->site, m, receptor, &parts)))
            put_parts(&table, study, m, receptor, &parts);
    }
    sg_table_note(&table, "At the receptor that governs the noise of each method. Octaves: the rig "
                          "at its loudest position and height while it runs, unweighted; '-' where "
                          "only an A-weighted level of it is known.");
    return sg_document_table(&table, sg_report_table_status(&table), out);
}
