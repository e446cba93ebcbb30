/* geodata.c - layers and coordinates through GDAL/OGR and, behind it, PROJ. The only file of this
 * room that knows them.
 *
 * CRS of a layer: a layer that names its CRS is transformed to the site's; one that names none is
 * taken to be in the site's. GeoJSON without a "crs" member is WGS 84 by RFC 7946, section 4; when
 * its coordinates cannot be degrees it is taken to be in the site's CRS, with a warning. A site in
 * local-metre has no place on earth, so layers in a CRS are refused, except GeoJSON whose numbers
 * cannot be degrees of one site.
 */
#include "site_internal.h"

#include <cpl_conv.h>
#include <cpl_error.h>
#include <gdal.h>
#include <math.h>
#include <ogr_api.h>
#include <ogr_srs_api.h>
#include <stdlib.h>
#include <string.h>

/* A site within this many degrees could be one in degrees; in metres it would be a handspan. */
#define DEGREES_OF_A_SITE 0.5

struct sg_geo {
    OGRSpatialReferenceH crs; /* of the site */
    bool drivers;             /* are registered */
};

static bool start(struct sg_reader *reader)
{
    if (!reader->geo)
        reader->geo = sg_reader_alloc(reader, 1, sizeof(*reader->geo));
    return reader->geo != NULL;
}

void sg_geo_release(struct sg_reader *reader)
{
    if (reader->geo && reader->geo->crs)
        OSRDestroySpatialReference(reader->geo->crs);
    reader->geo = NULL;
}

/* The library's own message, without line breaks. */
static const char *library_says(struct sg_reader *reader)
{
    const char *text = CPLGetLastErrorMsg();
    return text && text[0] ? sg_quoted(reader, text) : "no reason given";
}

/* ---- the site's CRS ---- */

static void refuse_crs(struct sg_reader *reader, const char *crs, struct sg_spot at,
                       const char *what)
{
    sg_reader_error(reader, SG_ERR_INPUT, at,
                    "crs: %s %s; allowed: EPSG:n of a projected CRS in "
                    "metres, or local-metre",
                    sg_quoted(reader, crs), what);
}

static int epsg_code(const char *crs)
{
    size_t code = 0;
    if (strncmp(crs, "EPSG:", 5) != 0 || strspn(crs + 5, "0123456789") != strlen(crs + 5))
        return 0;
    if (sg_parse_count(crs + 5, 99999999, &code, NULL) != SG_OK)
        return 0;
    return (int)code;
}

static const char *crs_fault(OGRSpatialReferenceH crs, int code)
{
    if (OSRImportFromEPSG(crs, code) != OGRERR_NONE)
        return "is not a CRS of the EPSG data set";
    if (OSRIsGeographic(crs))
        return "counts in degrees, and distances are needed in metres";
    if (!OSRIsProjected(crs))
        return "is not a projected CRS";
    if (fabs(OSRGetLinearUnits(crs, NULL) - 1.0) > 1e-9)
        return "does not count in metres";
    return NULL;
}

void sg_geo_set_crs(struct sg_reader *reader, const char *crs, struct sg_spot at)
{
    reader->site->crs = crs;
    reader->local = strcmp(crs, "local-metre") == 0;
    reader->crs_ok = reader->local;
    if (reader->local || crs[0] == '\0')
        return;
    int code = epsg_code(crs);
    if (code == 0) {
        refuse_crs(reader, crs, at, "is not understood");
        return;
    }
    if (!start(reader))
        return;
    CPLPushErrorHandler(CPLQuietErrorHandler);
    reader->geo->crs = OSRNewSpatialReference(NULL);
    const char *fault = reader->geo->crs ? crs_fault(reader->geo->crs, code) : "cannot be made";
    CPLPopErrorHandler();
    if (fault) {
        refuse_crs(reader, crs, at, fault);
        return;
    }
    OSRSetAxisMappingStrategy(reader->geo->crs, OAMS_TRADITIONAL_GIS_ORDER);
    reader->crs_ok = true;
}

bool sg_geo_point(struct sg_reader *reader, const char *from_crs, struct sg_point *point)
{
    int code = epsg_code(from_crs);
    bool good = false;
    if (code == 0 || !reader->geo || !reader->geo->crs || !reader->crs_ok)
        return false;
    CPLPushErrorHandler(CPLQuietErrorHandler);
    OGRSpatialReferenceH from = OSRNewSpatialReference(NULL);
    OGRCoordinateTransformationH change = NULL;
    if (from && OSRImportFromEPSG(from, code) == OGRERR_NONE) {
        OSRSetAxisMappingStrategy(from, OAMS_TRADITIONAL_GIS_ORDER);
        change = OCTNewCoordinateTransformation(from, reader->geo->crs);
    }
    if (change) {
        struct sg_point to = *point;
        good =
            OCTTransform(change, 1, &to.x_m, &to.y_m, NULL) && isfinite(to.x_m) && isfinite(to.y_m);
        *point = good ? to : *point;
        OCTDestroyCoordinateTransformation(change);
    }
    if (from)
        OSRDestroySpatialReference(from);
    CPLPopErrorHandler();
    return good;
}

static bool to_degrees(OGRSpatialReferenceH crs, struct sg_point *point)
{
    bool good = false;
    OGRSpatialReferenceH degrees = OSRCloneGeogCS(crs);
    OGRCoordinateTransformationH change = NULL;
    if (degrees) {
        OSRSetAxisMappingStrategy(degrees, OAMS_TRADITIONAL_GIS_ORDER);
        change = OCTNewCoordinateTransformation(crs, degrees);
    }
    if (change)
        good = OCTTransform(change, 1, &point->x_m, &point->y_m, NULL) && isfinite(point->x_m) &&
               isfinite(point->y_m);
    if (change)
        OCTDestroyCoordinateTransformation(change);
    if (degrees)
        OSRDestroySpatialReference(degrees);
    return good;
}

void sg_geo_check_area(struct sg_reader *reader, struct sg_point point, struct sg_spot at)
{
    double west, south, east, north;
    const char *name = NULL;
    struct sg_point place = point;
    if (!reader->geo || !reader->geo->crs || !reader->crs_ok)
        return;
    CPLPushErrorHandler(CPLQuietErrorHandler);
    bool known = OSRGetAreaOfUse(reader->geo->crs, &west, &south, &east, &north, &name) != 0 &&
                 west > -1000 && west <= east;
    bool placed = to_degrees(reader->geo->crs, &place);
    CPLPopErrorHandler();
    if (!known)
        return;
    if (placed && place.x_m >= west && place.x_m <= east && place.y_m >= south &&
        place.y_m <= north)
        return;
    sg_reader_warn(reader, at,
                   "x %.0f, y %.0f lies outside the area that %s is made for; easting "
                   "and northing may be swapped, or the CRS be another",
                   point.x_m, point.y_m, reader->site->crs);
}

/* ---- a layer ---- */

struct layer {
    struct sg_reader *reader;
    const struct sg_sheet *sheet;
    GDALDatasetH data;
    OGRLayerH layer;
    OGRSpatialReferenceH crs;            /* a clone in x, y order; NULL = none named */
    OGRCoordinateTransformationH change; /* to the site's CRS; NULL = as they are */
    struct sg_point *point;              /* scratch for one shape */
    double *z_m;
    size_t capacity;
    size_t nyard, first_yard; /* outlines with rings inside, the first such feature */
};

static struct sg_spot spot(const struct layer *l, size_t feature)
{
    return (struct sg_spot){ .file = l->sheet->path, .feature = feature };
}

static bool open_data(struct layer *l)
{
    static const char *const drivers[] = { "GeoJSON", "GPKG", "ESRI Shapefile", "DXF", "XLSX",
                                           "ODS",     NULL };
    if (!sg_reader_is_file(l->reader, l->sheet->path, l->sheet->named_at))
        return false;
    if (!l->reader->geo->drivers)
        GDALAllRegister();
    l->reader->geo->drivers = true;
    CPLErrorReset();
    l->data = GDALOpenEx(l->sheet->path, GDAL_OF_VECTOR | GDAL_OF_READONLY, drivers, NULL, NULL);
    if (!l->data)
        sg_reader_error(l->reader, SG_ERR_INPUT, l->sheet->named_at,
                        "file %s is not a table or layer "
                        "that can be read (%s); allowed: CSV, GeoJSON, GeoPackage, shapefile, DXF, "
                        "XLSX, ODS",
                        sg_quoted(l->reader, l->sheet->path), library_says(l->reader));
    return l->data != NULL;
}

/* The one layer that has anything in it. */
static bool choose_layer(struct layer *l)
{
    struct sg_text names = SG_TEXT_INIT;
    size_t full = 0;
    int count = GDALDatasetGetLayerCount(l->data);
    for (int i = 0; i < count; i++) {
        OGRLayerH layer = GDALDatasetGetLayer(l->data, i);
        if (!layer || OGR_L_GetFeatureCount(layer, 1) == 0)
            continue;
        l->layer = full == 0 ? layer : l->layer;
        sg_text_printf(&names, "%s%s", full > 0 ? ", " : "", OGR_L_GetName(layer));
        full++;
    }
    if (full == 0)
        sg_reader_error(l->reader, SG_ERR_INPUT, spot(l, 0),
                        "has no features and no rows; allowed: "
                        "at least one");
    if (full > 1)
        sg_reader_error(l->reader, SG_ERR_INPUT, spot(l, 0),
                        "has %zu layers with content (%s); "
                        "allowed: one",
                        full, sg_quoted(l->reader, sg_text_string(&names)));
    sg_text_release(&names);
    return full == 1;
}

static const char *driver_of(const struct layer *l)
{
    return GDALGetDriverShortName(GDALGetDatasetDriver(l->data));
}

static bool is_geojson(const struct layer *l)
{
    return sg_same(driver_of(l), "GeoJSON");
}

/* GeoPackage has two rows for "no CRS" (OGC 12-128, table of spatial reference systems). */
static bool is_undefined(OGRSpatialReferenceH crs)
{
    const char *name = OSRGetName(crs);
    return OSRIsLocal(crs) || (name && strncmp(name, "Undefined ", 10) == 0);
}

static bool beyond_degrees(const OGREnvelope *e)
{
    return e->MinX < -180.0 || e->MaxX > 180.0 || e->MinY < -90.0 || e->MaxY > 90.0;
}

/* In a local grid: true when the coordinates may be taken as they are. */
static bool local_layer(struct layer *l, const OGREnvelope *e)
{
    bool tiny = e->MaxX - e->MinX < DEGREES_OF_A_SITE && e->MaxY - e->MinY < DEGREES_OF_A_SITE;
    if (OSRIsGeographic(l->crs) && is_geojson(l) && (beyond_degrees(e) || !tiny)) {
        sg_reader_warn(l->reader, spot(l, 0),
                       "the numbers are taken as metres of the site's local "
                       "grid, although GeoJSON is in degrees by its standard");
        return true;
    }
    sg_reader_error(l->reader, SG_ERR_INPUT, spot(l, 0),
                    "the layer is in %s and the site in "
                    "local-metre, which has no place on earth; allowed: a layer without CRS in the "
                    "site's metres, or a site with crs: EPSG:n",
                    OSRIsGeographic(l->crs) ? "degrees" : "a CRS");
    return false;
}

/* Decides how coordinates come into the site's CRS. False when they cannot. */
static bool choose_change(struct layer *l)
{
    OGRSpatialReferenceH named = OGR_L_GetSpatialRef(l->layer);
    OGREnvelope e = { 0, 0, 0, 0 };
    if (!named || is_undefined(named))
        return true;
    l->crs = OSRClone(named);
    if (!l->crs || !l->reader->crs_ok)
        return l->crs != NULL;
    OSRSetAxisMappingStrategy(l->crs, OAMS_TRADITIONAL_GIS_ORDER);
    if (OGR_L_GetExtent(l->layer, &e, 1) != OGRERR_NONE)
        return true; /* rows without geometry */
    if (l->reader->local)
        return local_layer(l, &e);
    if (OSRIsSame(l->crs, l->reader->geo->crs))
        return true;
    if (OSRIsGeographic(l->crs) && is_geojson(l) && beyond_degrees(&e)) {
        sg_reader_warn(l->reader, spot(l, 0),
                       "the coordinates cannot be degrees and are taken to be "
                       "in %s; a \"crs\" member would say so",
                       l->reader->site->crs);
        return true;
    }
    l->change = OCTNewCoordinateTransformation(l->crs, l->reader->geo->crs);
    if (!l->change)
        sg_reader_error(l->reader, SG_ERR_INPUT, spot(l, 0),
                        "the layer's CRS cannot be transformed "
                        "to %s (%s)",
                        l->reader->site->crs, library_says(l->reader));
    return l->change != NULL;
}

static bool start_row(struct layer *l, struct sg_row *row)
{
    OGRFeatureDefnH defn = OGR_L_GetLayerDefn(l->layer);
    int count = OGR_FD_GetFieldCount(defn);
    bool cut = l->sheet->block && sg_same(driver_of(l), "ESRI Shapefile");
    if (count > (int)SG_MAX_COLUMNS) {
        sg_reader_error(l->reader, SG_ERR_INPUT, spot(l, 0), "has %d columns; allowed: at most %u",
                        count, SG_MAX_COLUMNS);
        return false;
    }
    row->ncolumn = (size_t)count;
    row->key = sg_reader_alloc(l->reader, row->ncolumn, sizeof(*row->key));
    for (int i = 0; row->key && i < count; i++) {
        const char *name = OGR_Fld_GetNameRef(OGR_FD_GetFieldDefn(defn, i));
        if (cut)
            name = sg_column_of_cut(l->sheet->block, name);
        const char *copy = sg_arena_copy(&l->reader->site->arena, name, strlen(name));
        l->reader->nomem |= copy == NULL;
        row->key[i] = (struct sg_tree){
            .kind = SG_TREE_TEXT, .at = spot(l, 0), .text = copy ? copy : "", .length = strlen(name)
        };
    }
    return row->key && sg_row_start(l->reader, row, l->sheet, false);
}

/* A list of texts as a table would have it: "a;b". */
static const char *joined(struct layer *l, char **list)
{
    struct sg_text text = SG_TEXT_INIT;
    for (size_t i = 0; list && list[i]; i++)
        sg_text_printf(&text, "%s%s", i > 0 ? ";" : "", list[i]);
    const char *copy = sg_arena_copy(&l->reader->site->arena, sg_text_string(&text), text.length);
    sg_text_release(&text);
    return copy;
}

static const char *cell(struct layer *l, OGRFeatureH feature, int i)
{
    OGRFieldDefnH defn = OGR_F_GetFieldDefnRef(feature, i);
    if (OGR_Fld_GetType(defn) == OFTStringList)
        return joined(l, OGR_F_GetFieldAsStringList(feature, i));
    if (OGR_Fld_GetSubType(defn) == OFSTBoolean)
        return OGR_F_GetFieldAsInteger(feature, i) ? "true" : "false";
    const char *text = OGR_F_GetFieldAsString(feature, i);
    size_t length = strlen(text);
    while (length > 0 && (*text == ' ' || *text == '\t')) {
        text++;
        length--;
    }
    while (length > 0 && (text[length - 1] == ' ' || text[length - 1] == '\t'))
        length--;
    return sg_arena_copy(&l->reader->site->arena, text, length);
}

static void fill_row(struct layer *l, OGRFeatureH feature, size_t number, struct sg_row *row)
{
    sg_row_clear(row, spot(l, number));
    for (size_t i = 0; i < row->ncolumn; i++) {
        if (!row->wanted[i] || !OGR_F_IsFieldSetAndNotNull(feature, (int)i))
            continue;
        const char *text = cell(l, feature, (int)i);
        l->reader->nomem |= text == NULL;
        if (text)
            sg_row_put(row, i, text, spot(l, number));
    }
}

/* ---- shapes ---- */

static bool refuse_shape(struct layer *l, size_t number, const char *what)
{
    sg_reader_error(l->reader, SG_ERR_INPUT, spot(l, number), "geometry: %s", what);
    return false;
}

/* A part that stands for the whole: of a collection with one member, the member. */
static OGRGeometryH only_part(OGRGeometryH geometry)
{
    OGRwkbGeometryType type = wkbFlatten(OGR_G_GetGeometryType(geometry));
    while ((type == wkbMultiPoint || type == wkbMultiLineString || type == wkbMultiPolygon ||
            type == wkbGeometryCollection) &&
           OGR_G_GetGeometryCount(geometry) == 1) {
        geometry = OGR_G_GetGeometryRef(geometry, 0);
        type = wkbFlatten(OGR_G_GetGeometryType(geometry));
    }
    return geometry;
}

static bool room_for(struct layer *l, size_t count)
{
    if (count <= l->capacity)
        return true;
    struct sg_point *point = sg_realloc(l->point, count, sizeof(*point));
    double *z_m = sg_realloc(l->z_m, count, sizeof(*z_m));
    l->point = point ? point : l->point;
    l->z_m = z_m ? z_m : l->z_m;
    l->reader->nomem |= !point || !z_m;
    if (point && z_m)
        l->capacity = count;
    return point && z_m;
}

static bool read_points(struct layer *l, OGRGeometryH geometry, size_t number, struct sg_shape *out)
{
    int count = OGR_G_GetPointCount(geometry);
    bool high = false;
    if (count < 1 || count > (int)SG_MAX_RING)
        return refuse_shape(l, number, "has no points or too many; allowed: 1 to 100000");
    if (!room_for(l, (size_t)count))
        return false;
    for (int i = 0; i < count; i++) {
        double x = OGR_G_GetX(geometry, i), y = OGR_G_GetY(geometry, i);
        double z = OGR_G_Is3D(geometry) ? OGR_G_GetZ(geometry, i) : 0;
        bool good = !l->change || OCTTransform(l->change, 1, &x, &y, NULL);
        if (!good || !(fabs(x) <= SG_MAX_COORDINATE_M) || !(fabs(y) <= SG_MAX_COORDINATE_M) ||
            !isfinite(z))
            return refuse_shape(l, number,
                                "a coordinate cannot be placed in the site's CRS; allowed: "
                                "finite numbers within the CRS of the layer, up to 100000000 m");
        l->point[i] = (struct sg_point){ x, y };
        l->z_m[i] = z;
        high |= fabs(z) > 0;
    }
    out->point = l->point;
    out->z_m = high ? l->z_m : NULL;
    out->count = (size_t)count;
    return true;
}

static void open_ring(struct sg_shape *shape)
{
    const struct sg_point *first = &shape->point[0], *last = &shape->point[shape->count - 1];
    bool same = fabs(first->x_m - last->x_m) < 1e-9 && fabs(first->y_m - last->y_m) < 1e-9;
    if (shape->count > 1 && same)
        shape->count--;
}

/* Only the outer ring of an outline is kept. */
static void note_yard(struct layer *l, OGRGeometryH polygon, size_t number)
{
    if (OGR_G_GetGeometryCount(polygon) < 2)
        return;
    l->first_yard = l->nyard == 0 ? number : l->first_yard;
    l->nyard++;
}

static bool read_straight(struct layer *l, OGRGeometryH geometry, size_t number,
                          struct sg_shape *out)
{
    geometry = only_part(geometry);
    switch (wkbFlatten(OGR_G_GetGeometryType(geometry))) {
    case wkbPoint:
        out->kind = SG_SHAPE_POINT;
        return read_points(l, geometry, number, out);
    case wkbLineString:
        out->kind = SG_SHAPE_LINE;
        return read_points(l, geometry, number, out);
    case wkbPolygon:
        out->kind = SG_SHAPE_RING;
        if (OGR_G_GetGeometryCount(geometry) < 1)
            return refuse_shape(l, number, "is an empty outline");
        if (!read_points(l, OGR_G_GetGeometryRef(geometry, 0), number, out))
            return false;
        open_ring(out);
        note_yard(l, geometry, number);
        return out->count >= 3 || refuse_shape(l, number, "an outline has fewer than 3 corners");
    default:
        return refuse_shape(l, number,
                            "has several parts or an unknown form; allowed: one point, one "
                            "line or one outline a feature");
    }
}

static bool read_shape(struct layer *l, OGRFeatureH feature, size_t number, struct sg_shape *out)
{
    *out = (struct sg_shape){ .kind = SG_SHAPE_NONE };
    OGRGeometryH given = OGR_F_GetGeometryRef(feature);
    if (!given || OGR_G_IsEmpty(given))
        return true;
    if (!OGR_G_HasCurveGeometry(given, 1))
        return read_straight(l, given, number, out);
    OGRGeometryH straight = OGR_G_GetLinearGeometry(given, 0.0, NULL);
    if (!straight)
        return refuse_shape(l, number, "a curve cannot be read");
    bool good = read_straight(l, straight, number, out);
    OGR_G_DestroyGeometry(straight);
    return good;
}

/* ---- the walk ---- */

static void walk(struct layer *l, struct sg_row *row, sg_row_fn *fn, void *payload)
{
    bool go_on = true;
    size_t number = 0;
    CPLErrorReset();
    OGR_L_ResetReading(l->layer);
    while (go_on) {
        OGRFeatureH feature = OGR_L_GetNextFeature(l->layer);
        if (!feature)
            break;
        struct sg_shape shape;
        number++;
        if (read_shape(l, feature, number, &shape)) {
            fill_row(l, feature, number, row);
            go_on = fn(l->reader, &row->map, &shape, payload);
        }
        OGR_F_Destroy(feature);
    }
    if (l->nyard > 0)
        sg_reader_hint(
            l->reader, spot(l, l->first_yard),
            "the outline has a ring inside it (outlines of the layer that have one: %zu); "
            "the ring is passed over, what it encloses counts as within the outline",
            l->nyard);
    if (CPLGetLastErrorType() >= CE_Failure)
        sg_reader_error(l->reader, SG_ERR_INPUT, spot(l, number), "reading stopped: %s",
                        library_says(l->reader));
}

void sg_geo_each(struct sg_reader *reader, const struct sg_sheet *sheet, sg_row_fn *fn,
                 void *payload)
{
    struct layer l = { .reader = reader, .sheet = sheet };
    struct sg_row row = { .ncolumn = 0 };
    if (!start(reader))
        return;
    CPLPushErrorHandler(CPLQuietErrorHandler);
    /* The first row of a sheet is its header, also when every cell is text. */
    CPLSetThreadLocalConfigOption("OGR_XLSX_HEADERS", "FORCE");
    CPLSetThreadLocalConfigOption("OGR_ODS_HEADERS", "FORCE");
    if (open_data(&l) && choose_layer(&l) && choose_change(&l) && start_row(&l, &row))
        walk(&l, &row, fn, payload);
    if (l.change)
        OCTDestroyCoordinateTransformation(l.change);
    if (l.crs)
        OSRDestroySpatialReference(l.crs);
    if (l.data)
        GDALClose(l.data);
    sg_free(l.point);
    sg_free(l.z_m);
    CPLSetThreadLocalConfigOption("OGR_XLSX_HEADERS", NULL);
    CPLSetThreadLocalConfigOption("OGR_ODS_HEADERS", NULL);
    CPLPopErrorHandler();
}
