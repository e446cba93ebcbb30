/* document_sources.c - every document that a number of this study came from: where in it, for what,
 * how much of it was read, and the worst grade of the numbers taken from it.
 */
#include "internal.h"

#include <string.h>

#define USES_MOST 400 /* characters of the list of uses */

struct used {
    const char *key;
    enum sg_grade worst;
    struct sg_text uses;
};

struct bibliography {
    struct used *used;
    size_t count, capacity;
    bool failed;
};

static struct used *find_used(struct bibliography *list, const char *key)
{
    for (size_t i = 0; i < list->count; i++)
        if (sg_same(list->used[i].key, key))
            return &list->used[i];
    if (list->count == list->capacity) {
        size_t capacity = list->capacity == 0 ? 16 : 2 * list->capacity;
        struct used *grown = sg_realloc(list->used, capacity, sizeof *grown);
        if (grown == NULL) {
            list->failed = true;
            return NULL;
        }
        list->used = grown;
        list->capacity = capacity;
    }
    list->used[list->count] = (struct used){ .key = key, .worst = SG_GRADE_SEEN };
    return &list->used[list->count++];
}

/* A use is written once. */
static void add(struct bibliography *list, const struct sg_cite *cite, const char *what)
{
    if (cite == NULL || cite->document == NULL || cite->document[0] == '\0')
        return;
    struct used *used = find_used(list, cite->document);
    if (used == NULL)
        return;
    used->worst = sg_grade_worse(used->worst, cite->grade);
    struct sg_text use = SG_TEXT_INIT;
    sg_text_printf(&use, "%s (%s)", what, cite->locus == NULL ? "" : cite->locus);
    bool known = strstr(sg_text_string(&used->uses), sg_text_string(&use)) != NULL;
    if (!known && used->uses.length < USES_MOST)
        sg_text_printf(&used->uses, "%s%s", used->uses.length > 0 ? "; " : "",
                       sg_text_string(&use));
    list->failed = list->failed || use.failed || used->uses.failed;
    sg_text_release(&use);
}

static void add_model(struct bibliography *list, const struct sg_model *model, int depth)
{
    if (model == NULL || depth > 2)
        return;
    add(list, &model->cite, model->id);
    for (size_t i = 0; i < model->ncoefficient; i++)
        add(list, &model->coefficient[i].cite, model->id);
    for (size_t i = 0; i < model->nrange; i++)
        add(list, &model->range[i].cite, model->id);
    for (size_t i = 0; i < model->npart; i++)
        add_model(list, sg_model_find(model->part[i].model), depth + 1);
}

static void add_methods(struct bibliography *list, const struct sg_site *site)
{
    for (size_t i = 0; i < site->nmethod; i++) {
        const struct sg_method *method = &site->method[i];
        add_model(list, method->model, 0);
        add_model(list, method->second, 0);
        if (method->rig_sound.source != NULL)
            add(list, &method->rig_sound.source->cite, method->rig_sound.source->id);
        for (size_t k = 0; k < method->nplant; k++)
            if (method->plant[k].source != NULL)
                add(list, &method->plant[k].source->cite, method->plant[k].source->id);
        for (size_t k = 0; method->usual_plant && k < sg_usual_plant_count(); k++)
            if (sg_usual_plant_at(k)->techniques & SG_TECHNIQUE_BIT(method->technique))
                add(list, &sg_usual_plant_at(k)->cite, "usual plant");
        for (size_t k = 0; k < sg_suitability_count(); k++)
            if (sg_suitability_at(k)->technique == method->technique)
                add(list, &sg_suitability_at(k)->cite, "ground suitability");
        for (size_t k = 0; k < sg_frequency_count(); k++)
            if (sg_frequency_at(k)->technique == method->technique)
                add(list, &sg_frequency_at(k)->cite, "frequency band");
        for (size_t k = 0; k < sg_notification_count(); k++)
            if (sg_notification_at(k)->technique == method->technique)
                add(list, &sg_notification_at(k)->cite, "notification");
    }
}

static void add_site(struct bibliography *list, const struct sg_site *site)
{
    for (size_t i = 0; i < site->nborehole; i++)
        for (size_t k = 0; k < site->borehole[i].nlayer; k++)
            if (site->borehole[i].layer[k].soil != NULL)
                add(list, &site->borehole[i].layer[k].soil->cite, "soil states");
    for (size_t i = 0; i < site->nreceptor; i++)
        if (site->receptor[i].transfer.foundation != NULL)
            add(list, &site->receptor[i].transfer.foundation->cite, "way into the building");
}

static void add_limits(struct bibliography *list, const struct sg_study *study)
{
    for (size_t i = 0; i < study->nmethod * study->nreceptor; i++) {
        for (size_t k = 0; k < study->outcome[i].nverdict; k++) {
            const struct sg_verdict *verdict = &study->outcome[i].verdict[k];
            if (verdict->row != NULL && verdict->set != NULL)
                add(list, &verdict->row->cite, verdict->set->id);
        }
    }
}

static void put_used(struct sg_table *table, const struct used *used)
{
    const struct sg_document *document = sg_document_find(used->key);
    sg_table_text(table, used->key);
    sg_table_text(table, document == NULL ? "not in the list of documents" : document->title);
    sg_table_text(table, document == NULL ? "" : document->edition);
    sg_table_text(table, sg_text_string(&used->uses));
    sg_table_text(table, document == NULL ? "" : document->extent);
    sg_table_text(table, sg_grade_name(used->worst));
    sg_table_text(table, sg_grade_unverified(used->worst) ? "U" : "");
}

sg_status sg_document_sources(const struct sg_study *study, struct sg_text *out)
{
    static const struct sg_column columns[] = {
        { "key", "key", 0, false },
        { "title", "document", 0, false },
        { "edition", "edition", 0, false },
        { "used_for", "used for (where)", 0, false },
        { "extent", "how much was read", 0, false },
        { "worst_grade", "worst grade", 0, false },
        { "marks", "marks", 0, false },
    };
    struct bibliography list = { NULL, 0, 0, false };
    struct sg_table table;
    add_methods(&list, study->site);
    add_site(&list, study->site);
    add_limits(&list, study);
    sg_table_init(&table, "documents", "Documents behind the numbers of this study", columns,
                  SG_COUNT(columns));
    for (size_t i = 0; i < list.count; i++)
        put_used(&table, &list.used[i]);
    sg_table_note(&table,
                  "Grades: seen - read in the document or in a page that quotes it; derived "
                  "- computed from a stated formula; memory - recalled and not checked on "
                  "paper; practice - common practice without a source. The worst grade "
                  "counts all numbers of the relation or limit set, used here or not.");
    sg_status status = list.failed ? SG_ERR_NOMEM : sg_report_table_status(&table);
    status = sg_document_table(&table, status, out);
    for (size_t i = 0; i < list.count; i++)
        sg_text_release(&list.used[i].uses);
    sg_free(list.used);
    return status;
}
