/* sources_tables.c - the lists of the command sources. */
#include "sources_tables.h"

#include "stillground/catalogue.h"
#include "stillground/report.h"

static void put_techniques(struct sg_table *table, unsigned techniques)
{
    struct sg_text text = SG_TEXT_INIT;
    for (int i = 0; i < SG_TECHNIQUE_END; i++) {
        if ((techniques & SG_TECHNIQUE_BIT(i)) != 0)
            sg_text_printf(&text, "%s%s", text.length > 0 ? " " : "",
                           sg_technique_id((enum sg_technique)i));
    }
    sg_table_text(table, text.length > 0 ? sg_text_string(&text) : "supporting");
    sg_text_release(&text);
}

static void put_cite(struct sg_table *table, const struct sg_cite *cite)
{
    sg_table_text(table, cite->document);
    sg_table_text(table, cite->locus);
    sg_table_text(table, sg_grade_name(cite->grade));
    sg_table_text(table, sg_grade_unverified(cite->grade) ? "unverified" : "");
}

static void put_source(struct sg_table *table, const struct sg_source *source)
{
    sg_table_text(table, source->id);
    sg_table_text(table, source->title);
    sg_table_text(table, sg_source_kind_id(source->kind));
    sg_table_number(table, source->level_db);
    sg_table_number(table, source->usage_percent);
    put_techniques(table, source->techniques);
    put_cite(table, &source->cite);
}

static const struct sg_column source_columns[] = {
    { "id", "id", 0, false },
    { "title", "source", 0, false },
    { "kind", "kind", 0, false },
    { "level_db", "level\ndB(A)", 1, true },
    { "usage_percent", "usage\n%", 0, true },
    { "technique", "technique", 0, false },
    { "document", "document", 0, false },
    { "locus", "place", 0, false },
    { "grade", "grade", 0, false },
    { "check", "check", 0, false },
};

static void source_notes(struct sg_table *table)
{
    sg_table_note(table, "LWA: sound power, dB re 1 pW; LAeq at 10 m: during the activity; "
                         "Lmax at 50 ft: largest level, slow, at 15.24 m.");
    sg_table_note(table, "'-' as level: the row exists, but was blank in the copy read.");
    sg_table_note(table, "unverified: recalled or common practice; check it in an official copy "
                         "before relying on it. A level measured on the machine itself is better.");
}

static void document_note(struct sg_table *table, const struct sg_cite *cite)
{
    const struct sg_document *document = sg_document_find(cite->document);
    if (document)
        sg_table_note(table, "%s: %s, %s; read: %s.", document->key, document->title,
                      document->edition, document->extent);
}

void sg_sources_fill(struct sg_table *table, const struct sg_source *only)
{
    sg_table_init(table, "sources", "Sound source levels", source_columns,
                  SG_COUNT(source_columns));
    for (size_t i = 0; i < sg_source_count(); i++) {
        if (!only || only == sg_source_at(i))
            put_source(table, sg_source_at(i));
    }
    source_notes(table);
    if (only)
        document_note(table, &only->cite);
}

void sg_sources_fill_laws(struct sg_table *table)
{
    static const struct sg_column columns[] = {
        { "id", "id", 0, false },
        { "value", "value", 2, true },
        { "unit", "unit", 0, false },
        { "meaning", "meaning", 0, false },
        { "document", "document", 0, false },
        { "locus", "place", 0, false },
        { "grade", "grade", 0, false },
        { "check", "check", 0, false },
    };
    sg_table_init(table, "sound-laws", "Numbers of the sound laws", columns, SG_COUNT(columns));
    for (int i = 0; i < SG_SOUND_NUMBER_END; i++) {
        const struct sg_sound_number_row *row = sg_sound_number_at((enum sg_sound_number)i);
        sg_table_text(table, row->id);
        sg_table_number(table, row->value);
        sg_table_text(table, row->unit);
        sg_table_text(table, row->meaning);
        put_cite(table, &row->cite);
    }
}

void sg_sources_fill_plant(struct sg_table *table)
{
    static const struct sg_column columns[] = {
        { "technique", "technique", 0, false },
        { "source", "source", 0, false },
        { "title", "what", 0, false },
        { "count", "count", 0, true },
        { "usage_percent", "usage\n%", 0, true },
        { "why", "why", 0, false },
        { "document", "document", 0, false },
        { "locus", "place", 0, false },
        { "grade", "grade", 0, false },
        { "check", "check", 0, false },
    };
    sg_table_init(table, "usual-plant", "Usual supporting plant", columns, SG_COUNT(columns));
    for (unsigned technique = 0; technique < SG_TECHNIQUE_END; technique++) {
        for (size_t i = 0; i < sg_usual_plant_count(); i++) {
            const struct sg_usual_plant *row = sg_usual_plant_at(i);
            const struct sg_source *source = sg_source_find(row->source);
            if (!(row->techniques & SG_TECHNIQUE_BIT(technique)))
                continue;
            sg_table_text(table, sg_technique_id((enum sg_technique)technique));
            sg_table_text(table, row->source);
            sg_table_text(table, source->title);
            sg_table_number(table, row->count);
            sg_table_number(table, source->usage_percent);
            sg_table_text(table, row->why);
            put_cite(table, &row->cite);
        }
    }
    sg_table_note(table, "Taken with usual_plant: true in a method of a site file. The document is "
                         "that of the pairing; the level and the usage are those of the source. A "
                         "list of the site's own plant is better: leave out what is not there.");
}
