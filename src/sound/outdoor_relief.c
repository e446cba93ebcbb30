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
#define IN_LINE_M 1e-6  /* beside a line: on it */
#define ACROSS_M 5000.0 /* farther than a receptor may be from the works */

struct mesh {
    struct sg_xyz *point; /* npoint, then three of the frame */
    size_t npoint, capacity;
    struct sg_triangle *triangle;
    size_t ntriangle, room;
    size_t *rim, rim_room;          /* pairs, of one insertion */
    size_t *near, nnear, near_room; /* triangles that may make way for a point */
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
    double size = a2 * (fabs(bx * cy) + fabs(by * cx)) + b2 * (fabs(cx * ay) + fabs(cy * ax)) +
                  c2 * (fabs(ax * by) + fabs(ay * bx));
    return sum > 1e-13 * size; /* rounding makes some 1e-15 of it */
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

/* ---- a point put in ---- */

/* From an edge of a triangle that must see the point, on its left and not in line with it. */
static bool sees(const struct mesh *m, size_t a, size_t b, size_t p)
{
    double along = hypot(m->point[b].x - m->point[a].x, m->point[b].y - m->point[a].y);
    return turn(&m->point[a], &m->point[b], &m->point[p]) > along * (IN_LINE_M + 1e-12 * along);
}

/* The least distance of a point from the sides of a triangle; below 0 outside. */
static double depth_in(const struct mesh *m, size_t triangle, size_t p)
{
    const size_t *c = m->triangle[triangle].corner;
    double least = HUGE_VAL;
    for (size_t k = 0; k < 3; k++) {
        const struct sg_xyz *a = &m->point[c[k]], *b = &m->point[c[(k + 1) % 3]];
        least = fmin(least, turn(a, b, &m->point[p]) / hypot(b->x - a->x, b->y - a->y));
    }
    return least;
}

static bool has_side(const struct mesh *m, size_t triangle, size_t a, size_t b)
{
    const size_t *c = m->triangle[triangle].corner;
    return (c[0] == a && c[1] == b) || (c[1] == a && c[2] == b) || (c[2] == a && c[0] == b);
}

static void put_front(struct mesh *m, size_t from, size_t to)
{
    size_t kept = m->near[from];
    m->near[from] = m->near[to];
    m->near[to] = kept;
}

static void add_near(struct mesh *m, size_t triangle)
{
    m->near = grow(m->near, m->nnear + 1, &m->near_room, sizeof(*m->near), &m->failed);
    if (!m->failed)
        m->near[m->nnear++] = triangle;
}

/* Triangles whose circle holds the point; the one that it lies in comes first. */
static void find_near(struct mesh *m, size_t p)
{
    double deepest = -HUGE_VAL;
    m->nnear = 0;
    for (size_t i = 0; i < m->ntriangle && !m->failed; i++) {
        const size_t *c = m->triangle[i].corner;
        if (!in_circle(&m->point[c[0]], &m->point[c[1]], &m->point[c[2]], &m->point[p]))
            continue;
        add_near(m, i);
        double depth = depth_in(m, i, p);
        if (!m->failed && depth > deepest) {
            deepest = depth;
            put_front(m, m->nnear - 1, 0);
        }
    }
}

/* The first `fixed` and those that hang on them by their sides come first; how many. */
static size_t gather(struct mesh *m, size_t fixed)
{
    size_t taken = fixed;
    for (size_t i = 0; i < taken; i++) {
        const size_t *c = m->triangle[m->near[i]].corner;
        for (size_t j = taken; j < m->nnear; j++) {
            if (has_side(m, m->near[j], c[1], c[0]) || has_side(m, m->near[j], c[2], c[1]) ||
                has_side(m, m->near[j], c[0], c[2]))
                put_front(m, j, taken++);
        }
    }
    return taken;
}

static bool is_rim(const struct mesh *m, size_t taken, size_t a, size_t b)
{
    for (size_t i = 0; i < taken; i++) {
        if (has_side(m, m->near[i], b, a))
            return false;
    }
    return true;
}

/* Makes the triangle across a side one of the fixed ones. False when there is none. */
static bool fix_across(struct mesh *m, size_t a, size_t b, size_t fixed)
{
    for (size_t i = 0; i < m->nnear; i++) {
        if (has_side(m, m->near[i], b, a)) {
            put_front(m, i, fixed);
            return true;
        }
    }
    for (size_t i = 0; i < m->ntriangle && !m->failed; i++) {
        if (!has_side(m, i, b, a))
            continue;
        add_near(m, i);
        if (!m->failed)
            put_front(m, m->nnear - 1, fixed);
        return !m->failed;
    }
    return false;
}

/* The hole round the point: every side of its rim sees the point, whatever rounding says of the
 * circles. Triangles with a side that does not are left standing; where the point lies on a side of
 * a triangle that has to go, the one across goes too. 0: no such hole. */
static size_t hole_round(struct mesh *m, size_t p)
{
    size_t fixed = 1;
    find_near(m, p);
    for (size_t again = 0; m->nnear > 0 && !m->failed && again < 2 * m->ntriangle + 8; again++) {
        size_t taken = gather(m, fixed), bad = SIZE_MAX, a = 0, b = 0;
        for (size_t i = 0; i < taken && bad == SIZE_MAX; i++) {
            for (size_t k = 0; k < 3 && bad == SIZE_MAX; k++) {
                a = m->triangle[m->near[i]].corner[k];
                b = m->triangle[m->near[i]].corner[(k + 1) % 3];
                bad = !sees(m, a, b, p) && is_rim(m, taken, a, b) ? i : SIZE_MAX;
            }
        }
        if (bad == SIZE_MAX)
            return taken;
        if (bad >= fixed)
            m->near[bad] = m->near[--m->nnear];
        else if (!fix_across(m, a, b, fixed++))
            return 0;
    }
    return 0;
}

static int falling(const void *left, const void *right)
{
    size_t a = *(const size_t *)left, b = *(const size_t *)right;
    return a < b ? 1 : a > b ? -1 : 0;
}

/* Where rounding leaves no hole the point is in no triangle; its neighbours stand for it. */
static void insert(struct mesh *m, size_t p)
{
    size_t taken = hole_round(m, p), nrim = 0;
    m->rim = grow(m->rim, 6 * taken + 2, &m->rim_room, sizeof(*m->rim), &m->failed);
    for (size_t i = 0; i < taken && !m->failed; i++) {
        for (size_t k = 0; k < 3; k++) {
            size_t a = m->triangle[m->near[i]].corner[k];
            size_t b = m->triangle[m->near[i]].corner[(k + 1) % 3];
            if (!is_rim(m, taken, a, b))
                continue;
            m->rim[nrim++] = a;
            m->rim[nrim++] = b;
        }
    }
    m->triangle =
        grow(m->triangle, m->ntriangle + nrim / 2, &m->room, sizeof(*m->triangle), &m->failed);
    if (m->failed || taken == 0)
        return;
    qsort(m->near, taken, sizeof(*m->near), falling);
    for (size_t i = 0; i < taken; i++)
        m->triangle[m->near[i]] = m->triangle[--m->ntriangle];
    for (size_t i = 0; i < nrim; i += 2)
        m->triangle[m->ntriangle++] = (struct sg_triangle){ { m->rim[i], m->rim[i + 1], p } };
}

/* ---- points and lines ---- */

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

static const struct sg_place *read_at(const struct sg_scene *scene, size_t pass, size_t point)
{
    if (pass == 0)
        return scene->terrain_at ? &scene->terrain_at[point] : NULL;
    return scene->terrain_line_at ? &scene->terrain_line_at[pass - 1] : NULL;
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
            sg_errors_add(errors, SG_ERR_INPUT, read_at(scene, pass, i),
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

static bool in_one_line(const struct mesh *m, size_t *far)
{
    const struct sg_xyz *p = &m->point[3];
    size_t n = m->npoint - 3;
    *far = 0;
    for (size_t i = 1; i < n; i++) {
        if (hypot(p[i].x - p[0].x, p[i].y - p[0].y) > hypot(p[*far].x - p[0].x, p[*far].y - p[0].y))
            *far = i;
    }
    double long_m = hypot(p[*far].x - p[0].x, p[*far].y - p[0].y);
    for (size_t i = 1; i < n; i++) {
        if (fabs(turn(&p[0], &p[*far], &p[i])) > long_m * SG_SAME_PLACE_M)
            return false;
    }
    return *far > 0;
}

/* Heights along one line make a section: the ground runs level across it (common practice, no
 * source). Each point gets one on either side, far off. */
static void spread(struct mesh *m)
{
    size_t far, n = m->npoint;
    if (m->failed || !in_one_line(m, &far))
        return;
    const struct sg_xyz *from = &m->point[3], *to = &m->point[3 + far];
    double long_m = hypot(to->x - from->x, to->y - from->y);
    double across_x = -(to->y - from->y) / long_m, across_y = (to->x - from->x) / long_m;
    for (size_t i = 3; i < n && !m->failed; i++) {
        struct sg_xyz p = m->point[i];
        for (int side = -1; side <= 1; side += 2)
            add_point(m, (struct sg_xyz){ p.x + side * ACROSS_M * across_x,
                                          p.y + side * ACROSS_M * across_y, p.z });
    }
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
    spread(&mesh);
    sg_status status = mesh.failed ? SG_ERR_NOMEM : bad > 0 ? SG_ERR_INPUT : SG_OK;
    if (status == SG_OK)
        status = keep(&mesh, arena, out);
    sg_free(mesh.point);
    sg_free(mesh.triangle);
    sg_free(mesh.rim);
    sg_free(mesh.near);
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
