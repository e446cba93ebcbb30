/* outdoor_relief.c - heights of the ground: points joined to triangles (Delaunay), in which the
 * given lines run along edges; straight between, and level beyond the outermost points.
 *
 * Source: common practice of ground models; the triangulation is that of Bowyer and Watson 1981.
 */
#include "outdoor_internal.h"

#include <math.h>
#include <stdlib.h>

#define MOST_POINTS 20000u
#define MOST_SPLITS 12u

struct mesh {
    struct sg_xyz *point; /* npoint, then three of the frame */
    size_t npoint, capacity;
    struct sg_triangle *triangle;
    size_t ntriangle, room;
    size_t *rim; /* pairs, of one insertion */
    size_t nrim, rim_room;
    bool failed;
};

static double turn(const struct sg_xyz *a, const struct sg_xyz *b, const struct sg_xyz *c)
{
    return (b->x - a->x) * (c->y - a->y) - (b->y - a->y) * (c->x - a->x);
}

static bool in_circle(const struct sg_xyz *a, const struct sg_xyz *b, const struct sg_xyz *c,
                      const struct sg_xyz *p)
{
    double ax = a->x - p->x, ay = a->y - p->y, bx = b->x - p->x, by = b->y - p->y;
    double cx = c->x - p->x, cy = c->y - p->y;
    double a2 = ax * ax + ay * ay, b2 = bx * bx + by * by, c2 = cx * cx + cy * cy;
    double sum = ax * (by * c2 - b2 * cy) - ay * (bx * c2 - b2 * cx) + a2 * (bx * cy - by * cx);
    return sum > 1e-12 * (a2 + b2 + c2) * (a2 + b2 + c2) * 1e-3;
}

static void *grow(void *old, size_t need, size_t *room, size_t size, bool *failed)
{
    if (need <= *room)
        return old;
    size_t wanted = *room > 0 ? 2 * *room : 64;
    while (wanted < need)
        wanted *= 2;
    void *grown = sg_realloc(old, wanted, size);
    if (!grown) {
        *failed = true;
        return old;
    }
    *room = wanted;
    return grown;
}

static void add_rim(struct mesh *m, size_t a, size_t b)
{
    for (size_t i = 0; i < m->nrim; i++) {
        if (m->rim[2 * i] == b && m->rim[2 * i + 1] == a) { /* shared: inside the hole */
            m->nrim--;
            m->rim[2 * i] = m->rim[2 * m->nrim];
            m->rim[2 * i + 1] = m->rim[2 * m->nrim + 1];
            return;
        }
    }
    m->rim = grow(m->rim, 2 * m->nrim + 2, &m->rim_room, sizeof(*m->rim), &m->failed);
    if (m->failed)
        return;
    m->rim[2 * m->nrim] = a;
    m->rim[2 * m->nrim + 1] = b;
    m->nrim++;
}

static void insert(struct mesh *m, size_t p)
{
    m->nrim = 0;
    for (size_t i = 0; i < m->ntriangle;) {
        const size_t *c = m->triangle[i].corner;
        if (!in_circle(&m->point[c[0]], &m->point[c[1]], &m->point[c[2]], &m->point[p])) {
            i++;
            continue;
        }
        for (size_t k = 0; k < 3; k++)
            add_rim(m, c[k], c[(k + 1) % 3]);
        m->triangle[i] = m->triangle[--m->ntriangle];
    }
    for (size_t i = 0; i < m->nrim && !m->failed; i++) {
        m->triangle =
            grow(m->triangle, m->ntriangle + 1, &m->room, sizeof(*m->triangle), &m->failed);
        if (m->failed)
            return;
        struct sg_triangle t = { { m->rim[2 * i], m->rim[2 * i + 1], p } };
        if (turn(&m->point[t.corner[0]], &m->point[t.corner[1]], &m->point[p]) > 0)
            m->triangle[m->ntriangle++] = t;
    }
}

static bool has_edge(const struct mesh *m, size_t a, size_t b)
{
    for (size_t i = 0; i < m->ntriangle; i++) {
        const size_t *c = m->triangle[i].corner;
        bool has_a = c[0] == a || c[1] == a || c[2] == a;
        bool has_b = c[0] == b || c[1] == b || c[2] == b;
        if (has_a && has_b)
            return true;
    }
    return false;
}

/* The index of a point; it is added when it is new. SIZE_MAX: another height is there already. */
static size_t add_point(struct mesh *m, struct sg_xyz at)
{
    for (size_t i = 3; i < m->npoint; i++) {
        const struct sg_xyz *p = &m->point[i];
        if (fabs(p->x - at.x) < SG_SAME_PLACE_M && fabs(p->y - at.y) < SG_SAME_PLACE_M)
            return fabs(p->z - at.z) < 10 * SG_SAME_PLACE_M ? i : SIZE_MAX;
    }
    m->point = grow(m->point, m->npoint + 1, &m->capacity, sizeof(*m->point), &m->failed);
    if (m->failed)
        return 3;
    m->point[m->npoint] = at;
    insert(m, m->npoint);
    return m->npoint++;
}

static void add_line(struct mesh *m, size_t a, size_t b, unsigned depth)
{
    if (a == b || depth == MOST_SPLITS || m->failed || has_edge(m, a, b))
        return;
    struct sg_xyz pa = m->point[a], pb = m->point[b];
    size_t middle = add_point(
        m, (struct sg_xyz){ 0.5 * (pa.x + pb.x), 0.5 * (pa.y + pb.y), 0.5 * (pa.z + pb.z) });
    if (middle == SIZE_MAX)
        return;
    add_line(m, a, middle, depth + 1);
    add_line(m, middle, b, depth + 1);
}

static struct sg_xyz of_spot(const struct sg_spot3 *spot)
{
    return (struct sg_xyz){ spot->x_m, spot->y_m, spot->z_m };
}

/* Three points far outside that hold all others. */
static void start(struct mesh *m, const struct sg_scene *scene)
{
    struct sg_box box = { HUGE_VAL, HUGE_VAL, -HUGE_VAL, -HUGE_VAL };
    for (size_t pass = 0; pass <= scene->nterrain_line; pass++) {
        const struct sg_spot3 *p = pass == 0 ? scene->terrain : scene->terrain_line[pass - 1].point;
        size_t n = pass == 0 ? scene->nterrain : scene->terrain_line[pass - 1].npoint;
        for (size_t i = 0; i < n; i++) {
            box.west = fmin(box.west, p[i].x_m);
            box.east = fmax(box.east, p[i].x_m);
            box.south = fmin(box.south, p[i].y_m);
            box.north = fmax(box.north, p[i].y_m);
        }
    }
    double size = 1e4 * (1.0 + (box.east - box.west) + (box.north - box.south));
    double x = 0.5 * (box.west + box.east), y = 0.5 * (box.south + box.north);
    m->point = grow(m->point, 3, &m->capacity, sizeof(*m->point), &m->failed);
    m->triangle = grow(m->triangle, 1, &m->room, sizeof(*m->triangle), &m->failed);
    if (m->failed)
        return;
    m->point[0] = (struct sg_xyz){ x - 2 * size, y - size, 0 };
    m->point[1] = (struct sg_xyz){ x + 2 * size, y - size, 0 };
    m->point[2] = (struct sg_xyz){ x, y + 2 * size, 0 };
    m->npoint = 3;
    m->triangle[0] = (struct sg_triangle){ { 0, 1, 2 } };
    m->ntriangle = 1;
}

static size_t add_all(struct mesh *m, const struct sg_scene *scene, struct sg_errors *errors)
{
    size_t bad = 0;
    for (size_t pass = 0; pass <= scene->nterrain_line && !m->failed; pass++) {
        const struct sg_spot3 *p = pass == 0 ? scene->terrain : scene->terrain_line[pass - 1].point;
        size_t n = pass == 0 ? scene->nterrain : scene->terrain_line[pass - 1].npoint;
        for (size_t i = 0; i < n && !m->failed; i++) {
            if (add_point(m, of_spot(&p[i])) != SIZE_MAX)
                continue;
            sg_errors_add(errors, SG_ERR_INPUT, NULL,
                          "terrain: the point %.3f, %.3f is given with two heights, one of them "
                          "%.3f m; allowed: one height a place",
                          p[i].x_m, p[i].y_m, p[i].z_m);
            bad++;
        }
    }
    for (size_t l = 0; l < scene->nterrain_line && !m->failed && bad == 0; l++) {
        const struct sg_terrain_line *line = &scene->terrain_line[l];
        for (size_t i = 1; i < line->npoint; i++)
            add_line(m, add_point(m, of_spot(&line->point[i - 1])),
                     add_point(m, of_spot(&line->point[i])), 0);
    }
    return bad;
}

/* Keeps what does not hang on the frame. */
static sg_status keep(const struct mesh *m, struct sg_arena *arena, struct sg_relief *out)
{
    size_t npoint = m->npoint - 3, ntriangle = 0, nedge = 0;
    struct sg_xyz *point = sg_arena_alloc(arena, npoint, sizeof(*point));
    struct sg_triangle *triangle = sg_arena_alloc(arena, m->ntriangle, sizeof(*triangle));
    size_t *edge = sg_arena_alloc(arena, 6 * m->ntriangle, sizeof(*edge));
    struct sg_box *box = sg_alloc(3 * m->ntriangle + 1, sizeof(*box));
    sg_status status = point && triangle && edge && box ? SG_OK : SG_ERR_NOMEM;
    if (status != SG_OK)
        goto done;
    for (size_t i = 0; i < npoint; i++)
        point[i] = m->point[i + 3];
    for (size_t i = 0; i < m->ntriangle; i++) {
        const size_t *c = m->triangle[i].corner;
        if (c[0] < 3 || c[1] < 3 || c[2] < 3)
            continue;
        for (size_t k = 0; k < 3; k++) {
            size_t a = c[k] - 3, b = c[(k + 1) % 3] - 3;
            triangle[ntriangle].corner[k] = a;
            edge[2 * nedge] = a;
            edge[2 * nedge + 1] = b;
            nedge++;
        }
        ntriangle++;
    }
    for (size_t i = 0; i < ntriangle; i++) {
        const struct sg_xyz *a = &point[triangle[i].corner[0]], *b = &point[triangle[i].corner[1]];
        const struct sg_xyz *c = &point[triangle[i].corner[2]];
        struct sg_box one =
            sg_box_of((struct sg_xy){ a->x, a->y }, (struct sg_xy){ b->x, b->y }, 0);
        box[i] = (struct sg_box){ fmin(one.west, c->x), fmin(one.south, c->y), fmax(one.east, c->x),
                                  fmax(one.north, c->y) };
    }
    status = sg_box_tree_make(box, ntriangle, arena, &out->triangles);
    for (size_t i = 0; i < nedge; i++) {
        const struct sg_xyz *a = &point[edge[2 * i]], *b = &point[edge[2 * i + 1]];
        box[i] = sg_box_of((struct sg_xy){ a->x, a->y }, (struct sg_xy){ b->x, b->y }, 0);
    }
    if (status == SG_OK)
        status = sg_box_tree_make(box, nedge, arena, &out->edges);
    out->point = point;
    out->npoint = npoint;
    out->triangle = triangle;
    out->ntriangle = ntriangle;
    out->edge = edge;
    out->nedge = nedge;
done:
    sg_free(box);
    return status;
}

sg_status sg_relief_make(const struct sg_scene *scene, struct sg_arena *arena,
                         struct sg_relief *out, struct sg_errors *errors)
{
    struct mesh mesh = { .failed = false };
    size_t given = scene->nterrain;
    for (size_t i = 0; i < scene->nterrain_line; i++)
        given += scene->terrain_line[i].npoint;
    *out = (struct sg_relief){ .flat = given == 0, .level_m = scene->level_m };
    if (given == 0)
        return SG_OK;
    if (given > MOST_POINTS)
        return sg_errors_add(errors, SG_ERR_INPUT, NULL,
                             "terrain: %zu heights; allowed: at most %u; thin them out", given,
                             MOST_POINTS);
    start(&mesh, scene);
    size_t bad = mesh.failed ? 0 : add_all(&mesh, scene, errors);
    sg_status status = mesh.failed ? SG_ERR_NOMEM : bad > 0 ? SG_ERR_INPUT : SG_OK;
    if (status == SG_OK)
        status = keep(&mesh, arena, out);
    sg_free(mesh.point);
    sg_free(mesh.triangle);
    sg_free(mesh.rim);
    return status;
}

/* ---- heights ---- */

struct lookup {
    const struct sg_relief *relief;
    struct sg_xyz at;
    double z;
};

static bool try_triangle(size_t item, void *payload)
{
    struct lookup *l = payload;
    const size_t *c = l->relief->triangle[item].corner;
    const struct sg_xyz *p = l->relief->point;
    double all = turn(&p[c[0]], &p[c[1]], &p[c[2]]);
    double a = turn(&p[c[1]], &p[c[2]], &l->at) / all, b = turn(&p[c[2]], &p[c[0]], &l->at) / all;
    double g = 1.0 - a - b;
    if (a < -1e-9 || b < -1e-9 || g < -1e-9)
        return true;
    l->z = a * p[c[0]].z + b * p[c[1]].z + g * p[c[2]].z;
    return false;
}

/* Beyond the outermost points: the height of the nearest place on an edge or point. */
static double nearest_height(const struct sg_relief *relief, struct sg_xyz at)
{
    double best = HUGE_VAL, z = relief->level_m;
    for (size_t i = 0; i < relief->npoint; i++) {
        double d = hypot(relief->point[i].x - at.x, relief->point[i].y - at.y);
        if (d < best) {
            best = d;
            z = relief->point[i].z;
        }
    }
    for (size_t i = 0; i < relief->nedge; i++) {
        const struct sg_xyz *a = &relief->point[relief->edge[2 * i]];
        const struct sg_xyz *b = &relief->point[relief->edge[2 * i + 1]];
        double dx = b->x - a->x, dy = b->y - a->y;
        double t = ((at.x - a->x) * dx + (at.y - a->y) * dy) / (dx * dx + dy * dy);
        t = fmin(fmax(t, 0.0), 1.0);
        double d = hypot(a->x + t * dx - at.x, a->y + t * dy - at.y);
        if (d < best) {
            best = d;
            z = a->z + t * (b->z - a->z);
        }
    }
    return z;
}

double sg_relief_at(const struct sg_relief *relief, double x, double y)
{
    struct lookup l = { relief, { x, y, 0 }, SG_UNSET };
    if (relief->flat)
        return relief->level_m;
    struct sg_xy at = { x, y };
    struct sg_box box = sg_box_of(at, at, 1e-9);
    sg_box_tree_within(&relief->triangles, &box, try_triangle, &l);
    return sg_is_set(l.z) ? l.z : nearest_height(relief, l.at);
}
