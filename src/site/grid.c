/* grid.c - a text table as it stands, for readers that know their own columns. */
#include "site_internal.h"

#include <string.h>

struct taking {
    const char **cell;
    struct sg_place *place;
    size_t ncolumn, nrow, capacity;
    const char *const *head;
    bool nomem;
};

static bool take_head(struct sg_reader *reader, const struct sg_tree *row, struct taking *t)
{
    const char **head = sg_reader_alloc(reader, row->count, sizeof(*head));
    if (!head)
        return false;
    for (size_t i = 0; i < row->count; i++)
        head[i] = row->child[2 * i]->text;
    t->head = head;
    t->ncolumn = row->count;
    return true;
}

static bool grow(struct taking *t)
{
    size_t capacity = t->capacity > 0 ? 2 * t->capacity : 64;
    const char **cell = sg_realloc(t->cell, capacity * t->ncolumn, sizeof(*cell));
    if (cell)
        t->cell = cell;
    struct sg_place *place = sg_realloc(t->place, capacity * t->ncolumn, sizeof(*place));
    if (place)
        t->place = place;
    t->nomem = !cell || !place;
    if (!t->nomem)
        t->capacity = capacity;
    return !t->nomem;
}

static bool take_row(struct sg_reader *reader, const struct sg_tree *row,
                     const struct sg_shape *shape, void *payload)
{
    struct taking *t = payload;
    (void)shape;
    if (!t->head && !take_head(reader, row, t))
        return false;
    if (t->nrow == t->capacity && !grow(t))
        return false;
    for (size_t i = 0; i < t->ncolumn; i++) {
        const struct sg_tree *value = row->child[2 * i + 1];
        t->cell[t->nrow * t->ncolumn + i] = value->text;
        t->place[t->nrow * t->ncolumn + i] =
            (struct sg_place){ value->at.file, value->at.line, value->at.column };
    }
    t->nrow++;
    return true;
}

/* The lists move from the heap into the arena, which already holds their texts. */
static bool settle(struct sg_reader *reader, struct taking *t, struct sg_grid *out)
{
    size_t n = t->nrow * t->ncolumn;
    const char **cell = sg_reader_alloc(reader, n, sizeof(*cell));
    struct sg_place *place = sg_reader_alloc(reader, n, sizeof(*place));
    if (!cell || !place || n == 0)
        return false;
    memcpy(cell, t->cell, n * sizeof(*cell));
    memcpy(place, t->place, n * sizeof(*place));
    out->head = t->head;
    out->cell = cell;
    out->place = place;
    out->ncolumn = t->ncolumn;
    out->nrow = t->nrow;
    return true;
}

sg_status sg_grid_read(const char *path, struct sg_grid *out, struct sg_errors *errors)
{
    struct sg_site site = SG_SITE_INIT;
    struct sg_reader reader = { .site = &site, .folder = "" };
    struct taking t = { .cell = NULL };
    struct sg_grid grid = SG_GRID_INIT;
    site.file = "";
    const char *name = sg_arena_copy(&site.arena, path, strlen(path));
    if (name) {
        struct sg_sheet sheet = { .path = name,
                                  .named_at = { .file = name },
                                  .block = SG_ANY_COLUMNS };
        sg_csv_each(&reader, &sheet, take_row, &t);
    }
    reader.nomem |= !name || t.nomem;
    if (reader.nerror == 0 && !reader.nomem)
        reader.nomem |= !settle(&reader, &t, &grid);
    sg_free(t.cell);
    sg_free(t.place);
    sg_status status = sg_reader_finish(&reader, errors);
    if (status == SG_OK) {
        grid.arena = site.arena;
        grid.file = name;
        *out = grid;
    } else {
        sg_arena_release(&site.arena);
    }
    return status;
}

void sg_grid_release(struct sg_grid *grid)
{
    if (grid)
        sg_arena_release(&grid->arena);
}
