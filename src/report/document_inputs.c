/* document_inputs.c - what was put in: the works, the ground, the methods with their plant, and the
 * receptors, so that a reader can repeat the prediction.
 */
#include "internal.h"

#include <math.h>

static const char *or_dash(const char *text)
{
    return text == NULL || text[0] == '\0' ? "-" : text;
}

static void finish_table(struct sg_table *table, struct sg_text *out)
{
    if (!sg_ok(sg_document_table(table, sg_report_table_status(table), out)))
        out->failed = true;
}

static void put_entry(struct sg_text *out, const char *name, const char *text)
{
    sg_text_put(out, "<dt>");
    sg_document_escape(out, name);
    sg_text_put(out, "</dt><dd>");
    sg_document_escape(out, or_dash(text));
    sg_text_put(out, "</dd>\n");
}

/* The same from a text that was put together; releases it. */
static void put_entry_text(struct sg_text *out, const char *name, struct sg_text *text)
{
    put_entry(out, name, sg_text_string(text));
    out->failed = out->failed || text->failed;
    sg_text_release(text);
}

static void put_entry_number(struct sg_text *out, const char *name, double value, int decimals)
{
    struct sg_text text = SG_TEXT_INIT;
    sg_text_put_number(&text, value, decimals);
    put_entry_text(out, name, &text);
}

static void put_toe_depths(const struct sg_site *site, struct sg_text *out)
{
    double least = SG_INFINITY, most = -SG_INFINITY;
    struct sg_text text = SG_TEXT_INIT;
    for (size_t i = 0; i < site->npile; i++) {
        least = fmin(least, site->pile[i].toe_depth_m);
        most = fmax(most, site->pile[i].toe_depth_m);
    }
    sg_text_put_number(&text, site->npile > 0 ? least : SG_UNSET, 1);
    if (most > least) {
        sg_text_put(&text, " to ");
        sg_text_put_number(&text, most, 1);
    }
    put_entry_text(out, "Toe depth (m)", &text);
}

static void put_hours(const struct sg_hours *hours, struct sg_text *out)
{
    struct sg_text text = SG_TEXT_INIT;
    sg_text_put_number(&text, hours->start_h, 2);
    sg_text_put(&text, " to ");
    sg_text_put_number(&text, hours->end_h, 2);
    sg_text_put(&text, " h (decimal hours), of which ");
    sg_text_put_number(&text, hours->work_h, 1);
    sg_text_put(&text, " h of work, ");
    sg_text_put_number(&text, hours->days_per_week, 0);
    sg_text_put(&text, " days a week");
    put_entry_text(out, "Working day", &text);
}

/* What somebody decided about limits, and who. */
static void put_choices(const struct sg_site *site, struct sg_text *out)
{
    for (size_t i = 0; i < site->nfactors; i++) {
        const struct sg_site_factors *of = &site->factors[i];
        for (size_t k = 0; k < of->nchosen; k++) {
            struct sg_text text = SG_TEXT_INIT;
            sg_text_printf(&text, "%s, %s: ", of->limit_set, of->chosen[k].id);
            if (sg_is_set(of->chosen[k].value))
                sg_text_put_number(&text, of->chosen[k].value, 3);
            else
                sg_text_put(&text, "the document's default");
            sg_text_printf(&text, ", decided by %s", of->decided_by[k]);
            put_entry_text(out, "Factor chosen", &text);
        }
    }
    if (site->kb.cf_low > 0.0) {
        struct sg_text text = SG_TEXT_INIT;
        sg_text_put_number(&text, site->kb.cf_low, 2);
        sg_text_put(&text, " to ");
        sg_text_put_number(&text, site->kb.cf_high, 2);
        sg_text_printf(&text, ", decided by %s", site->kb.decided_by);
        put_entry_text(out, "c_F, KB from PPV", &text);
    }
}

static void put_works(const struct sg_site *site, struct sg_text *out)
{
    static const char *const grounds[] = {
        [SG_SOUND_HARD] = "hard", [SG_SOUND_SOFT] = "soft", [SG_SOUND_MIXED] = "mixed"
    };
    sg_text_put(out, "<dl>\n");
    put_entry(out, "Coordinates", site->crs);
    put_entry_number(out, "Piles", (double)site->npile, 0);
    put_entry(out, "Section of the first pile", site->npile > 0 ? site->pile[0].section : "");
    put_toe_depths(site, out);
    put_hours(&site->hours, out);
    put_entry(out, "Ground for sound", grounds[site->sound_ground]);
    put_entry_number(out, "Share of soft ground", site->soft_fraction, 2);
    put_entry_number(out, "Wall to site boundary (m)", site->boundary_distance_m, 1);
    put_entry_number(out, "Level of upper values (%)", site->percentile, 0);
    put_entry(out, "Jurisdiction named", site->jurisdiction);
    put_choices(site, out);
    sg_text_put(out, "</dl>\n");
}

static void put_layer(struct sg_table *table, const struct sg_borehole *borehole, size_t layer)
{
    const struct sg_layer *at = &borehole->layer[layer];
    sg_table_text(table, borehole->name);
    sg_table_number(table, borehole->chainage_m);
    sg_table_number(table, borehole->water_depth_m);
    sg_table_number(table, at->top_m);
    sg_table_number(table, at->base_m);
    sg_table_text(table, at->soil == NULL ? "" : at->soil->soil);
    sg_table_text(table, at->soil == NULL ? "" : at->soil->state);
    sg_table_number(table, sg_layer_n(at));
    sg_table_text(table, sg_is_set(at->spt_n) ? "given" : "middle of the state's range");
}

static void put_ground(const struct sg_site *site, struct sg_text *out)
{
    static const struct sg_column columns[] = {
        { "borehole", "borehole", 0, false },
        { "chainage_m", "along wall\nm", 1, true },
        { "water_depth_m", "water at\nm", 1, true },
        { "top_m", "from\nm", 1, true },
        { "base_m", "to\nm", 1, true },
        { "soil", "soil", 0, false },
        { "state", "state", 0, false },
        { "spt_n", "N", 0, true },
        { "n_from", "N from", 0, false },
    };
    struct sg_table table;
    sg_table_init(&table, "ground", "Ground", columns, SG_COUNT(columns));
    for (size_t i = 0; i < site->nborehole; i++)
        for (size_t k = 0; k < site->borehole[i].nlayer; k++)
            put_layer(&table, &site->borehole[i], k);
    sg_table_note(&table, "N: blows of the standard penetration test. A dash at the base: open.");
    finish_table(&table, out);
}

static void put_method(struct sg_table *table, const struct sg_method *method)
{
    sg_table_text(table, method->name);
    sg_table_text(table, sg_technique_id(method->technique));
    sg_table_number(table, method->energy_kJ);
    sg_table_number(table, method->blows_per_min);
    sg_table_number(table, method->frequency_Hz);
    sg_table_number(table, method->eccentric_moment_kgm);
    sg_table_number(table, method->cycle_energy_kJ);
    sg_table_number(table, method->press_force_kN);
    sg_table_number(table, method->water_flow_l_min);
    sg_table_text(table, or_dash(method->auger));
    sg_table_number(table, method->minutes_per_pile);
    sg_table_number(table, method->on_time_percent);
    sg_table_text(table, method->model == NULL ? "-" : method->model->id);
    sg_table_text(table, method->second == NULL ? "-" : method->second->id);
}

static void note_changes(struct sg_table *table, const struct sg_method *method)
{
    for (size_t i = 0; i < method->nconstant; i++)
        sg_table_note(table, "%s: the site file sets the constant %s to %.6g (%s).", method->name,
                      method->constant[i].symbol, method->constant[i].value,
                      or_dash(method->constants_source));
    if (method->jetting_reduction_dB > 0.0)
        sg_table_note(table, "%s: the site file takes %.1f dB off for jetting (%s).", method->name,
                      method->jetting_reduction_dB, or_dash(method->jetting_reduction_source));
    if (method->driven_to_refusal)
        sg_table_note(table, "%s: taken as driven to refusal.", method->name);
    if (method->variable_moment)
        sg_table_note(table, "%s: weights are out of phase at start and stop.", method->name);
}

static void put_methods(const struct sg_site *site, struct sg_text *out)
{
    static const struct sg_column columns[] = {
        { "method", "method", 0, false },
        { "technique", "technique", 0, false },
        { "energy_kJ", "blow\nkJ", 1, true },
        { "blows_per_min", "blows\n1/min", 0, true },
        { "frequency_Hz", "driven at\nHz", 0, true },
        { "eccentric_moment_kgm", "moment\nkg m", 0, true },
        { "cycle_energy_kJ", "cycle\nkJ", 1, true },
        { "press_force_kN", "force\nkN", 0, true },
        { "water_flow_l_min", "water\nl/min", 0, true },
        { "auger", "auger", 0, false },
        { "minutes_per_pile", "min a\npile", 0, true },
        { "on_time_percent", "on-time\n%", 0, true },
        { "model", "relation", 0, false },
        { "second", "second opinion", 0, false },
    };
    struct sg_table table;
    sg_table_init(&table, "rigs", "Methods", columns, SG_COUNT(columns));
    for (size_t i = 0; i < site->nmethod; i++) {
        put_method(&table, &site->method[i]);
        note_changes(&table, &site->method[i]);
    }
    finish_table(&table, out);
}

static void put_item(struct sg_table *table, const struct sg_method *method,
                     const struct sg_plant *item)
{
    const struct sg_source *source = item->source;
    double level_db = source != NULL ? source->level_db : item->level_db;
    enum sg_source_kind kind = source != NULL ? source->kind : item->kind;
    sg_table_text(table, method->name);
    sg_table_text(table, item->name != NULL ? item->name : source != NULL ? source->title : "rig");
    sg_table_text(table, sg_source_kind_id(kind));
    sg_table_number(table, level_db);
    sg_table_number(table, item->count);
    sg_table_number(table, item->on_time_percent);
    if (source != NULL)
        sg_table_printf(table, "%s, %s%s%s", source->cite.document, source->cite.locus,
                        item->provenance && item->provenance[0] ? "; " : "",
                        item->provenance ? item->provenance : "");
    else
        sg_table_text(table, or_dash(item->provenance));
    if (!sg_is_set(level_db))
        sg_table_text(table, "");
    else if (source == NULL)
        sg_table_text(table, "G");
    else
        sg_table_text(table, sg_grade_unverified(source->cite.grade) ? "U" : "");
}

static void put_sound_sources(const struct sg_site *site, struct sg_text *out)
{
    static const struct sg_column columns[] = {
        { "method", "method", 0, false }, { "item", "item", 0, false },
        { "kind", "level is", 0, false }, { "level_db", "level\ndB(A)", 1, true },
        { "count", "count", 0, true },    { "on_time_percent", "on-time\n%", 0, true },
        { "source", "source", 0, false }, { "marks", "marks", 0, false },
    };
    struct sg_table table;
    sg_table_init(&table, "plant", "Sources of sound", columns, SG_COUNT(columns));
    for (size_t i = 0; i < site->nmethod; i++) {
        const struct sg_method *method = &site->method[i];
        put_item(&table, method, &method->rig_sound);
        for (size_t k = 0; k < method->nplant; k++)
            put_item(&table, method, &method->plant[k]);
    }
    sg_report_marks_note(&table, (unsigned)SG_MARK_UNVERIFIED | (unsigned)SG_MARK_USER);
    finish_table(&table, out);
}

void sg_document_inputs(const struct sg_study *study, struct sg_text *out)
{
    put_works(study->site, out);
    put_ground(study->site, out);
    put_methods(study->site, out);
    put_sound_sources(study->site, out);
}

/* ---- receptors ------------------------------------------------------------------------------- */

static void put_limit_sets(struct sg_table *table, const struct sg_site *site,
                           const struct sg_receptor *receptor)
{
    size_t count = 0;
    struct sg_text text = SG_TEXT_INIT;
    const char *const *list = sg_site_limit_sets(site, receptor, &count);
    for (size_t i = 0; i < count; i++)
        sg_text_printf(&text, "%s%s", i > 0 ? ", " : "", list[i]);
    sg_table_text(table, count == 0 ? "-" : sg_text_string(&text));
    table->failed = table->failed || text.failed;
    sg_text_release(&text);
}

static void note_transfer(struct sg_table *table, const struct sg_receptor *receptor)
{
    const struct sg_building_transfer *transfer = &receptor->transfer;
    struct sg_text text = SG_TEXT_INIT;
    if (sg_is_set(transfer->foundation_factor) || sg_is_set(transfer->floor_factor)) {
        sg_text_printf(&text, "%s: own factors into the building: foundation ", receptor->name);
        sg_text_put_number(&text, transfer->foundation_factor, 2);
        sg_text_put(&text, ", floor ");
        sg_text_put_number(&text, transfer->floor_factor, 2);
        sg_table_note(table, "%s (%s).", sg_text_string(&text), or_dash(transfer->source));
    }
    if (transfer->foundation != NULL)
        sg_table_note(table, "%s: coupling to the foundation by %s.", receptor->name,
                      transfer->foundation->id);
    if (transfer->use_published_floor)
        sg_table_note(table, "%s: published change of level from floor to floor.", receptor->name);
    table->failed = table->failed || text.failed;
    sg_text_release(&text);
}

static void put_receptor(struct sg_table *table, const struct sg_site *site, size_t index)
{
    const struct sg_receptor *receptor = &site->receptor[index];
    size_t pile = sg_site_nearest_pile(site, index);
    sg_table_number(table, (double)(index + 1));
    sg_table_text(table, receptor->name);
    sg_table_text(table, or_dash(sg_use_id(receptor->use)));
    sg_table_text(table, or_dash(sg_class_id(receptor->building_class)));
    sg_table_text(table, receptor->area == 0 ? "-" : or_dash(sg_area_id(receptor->area)));
    sg_table_text(table, sg_position_id(receptor->position));
    sg_table_number(table, receptor->storeys);
    sg_table_number(table, receptor->at.x_m);
    sg_table_number(table, receptor->at.y_m);
    sg_table_number(table, pile == SIZE_MAX ? SG_UNSET
                                            : sg_site_distance_m(receptor, site->pile[pile].at));
    sg_table_number(table, receptor->ambient_day_db);
    put_limit_sets(table, site, receptor);
    if (sg_is_set(receptor->own_ppv_limit_mm_s))
        sg_table_note(table, "%s: own limit %.2f mm/s (%s).", receptor->name,
                      receptor->own_ppv_limit_mm_s, or_dash(receptor->own_limit_source));
    note_transfer(table, receptor);
}

sg_status sg_document_receptors(const struct sg_study *study, struct sg_text *out)
{
    static const struct sg_column columns[] = {
        { "number", "no.", 0, true },
        { "receptor", "receptor", 0, false },
        { "use", "use", 0, false },
        { "class", "building", 0, false },
        { "area", "area", 0, false },
        { "position", "sound\njudged at", 0, false },
        { "storeys", "storeys", 0, true },
        { "x_m", "x\nm", 1, true },
        { "y_m", "y\nm", 1, true },
        { "nearest_pile_m", "nearest\npile, m", 1, true },
        { "ambient_day_db", "ambient\nday, dB(A)", 1, true },
        { "limit_sets", "limit sets", 0, false },
    };
    struct sg_table table;
    sg_table_init(&table, "receptors-list", "Receptors (numbers as on the plan)", columns,
                  SG_COUNT(columns));
    for (size_t i = 0; i < study->site->nreceptor; i++)
        put_receptor(&table, study->site, i);
    return sg_document_table(&table, sg_report_table_status(&table), out);
}
