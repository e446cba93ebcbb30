/* test_site_tables.c - tables and layers that a site file names: CSV with all its ways of being
 * wrong, and GIS layers in their CRS. Layers are written into a folder under build/ by the library
 * that GIS programs use.
 *
 * Coordinates: IOGP Publication 373-7-2 (Guidance Note 7-2), Transverse Mercator, worked example
 * for the British National Grid; and the UTM definition with the meridian arc of Snyder, USGS
 * Professional Paper 1395, Eq. (3-21).
 */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <dirent.h>
#include <errno.h>
#include <gdal.h>
#include <ogr_api.h>
#include <ogr_srs_api.h>
#include <sys/stat.h>
#include <unistd.h>

#include "close.h"
#include "site_text.h"

/* ---- a folder of its own for every test ------------------------------------------------------ */

struct folder {
    char path[64];
};

static int make_folder(void **state)
{
    struct folder *folder = calloc(1, sizeof(*folder));
    assert_non_null(folder);
    if (mkdir("build", 0777) != 0)
        assert_int_equal(errno, EEXIST);
    snprintf(folder->path, sizeof(folder->path), "build/test-site-XXXXXX");
    assert_non_null(mkdtemp(folder->path));
    *state = folder;
    return 0;
}

static int remove_folder(void **state)
{
    struct folder *folder = *state;
    char path[400];
    DIR *open = opendir(folder->path);
    assert_non_null(open);
    for (struct dirent *entry = readdir(open); entry; entry = readdir(open)) {
        snprintf(path, sizeof(path), "%s/%s", folder->path, entry->d_name);
        if (entry->d_name[0] != '.')
            unlink(path);
    }
    closedir(open);
    int result = rmdir(folder->path);
    free(folder);
    return result;
}

static const char *path_in(const struct folder *folder, const char *name)
{
    static char path[160];
    snprintf(path, sizeof(path), "%s/%s", folder->path, name);
    return path;
}

static void write_bytes(const struct folder *folder, const char *name, const char *bytes,
                        size_t length)
{
    FILE *file = fopen(path_in(folder, name), "wb");
    assert_non_null(file);
    assert_int_equal(fwrite(bytes, 1, length, file), length);
    assert_int_equal(fclose(file), 0);
}

static void write_text(const struct folder *folder, const char *name, const char *text)
{
    write_bytes(folder, name, text, strlen(text));
}

static sg_status read_with(const struct folder *folder, const char *from, const char *to,
                           struct sg_site *site, struct sg_errors *errors)
{
    char *text = site_text_with(from, to);
    write_text(folder, "s.yaml", text);
    sg_free(text);
    *site = SG_SITE_INIT;
    *errors = SG_ERRORS_INIT;
    return sg_site_read(path_in(folder, "s.yaml"), site, errors);
}

static struct sg_site read_good(const struct folder *folder, const char *from, const char *to)
{
    struct sg_site site;
    struct sg_errors errors;
    sg_status status = read_with(folder, from, to, &site, &errors);
    for (size_t i = 0; i < errors.count; i++)
        print_error("%s\n", errors.text[i]);
    assert_int_equal(status, SG_OK);
    sg_errors_release(&errors);
    return site;
}

static void read_bad(const struct folder *folder, const char *from, const char *to,
                     const char *const *piece)
{
    struct sg_site site;
    struct sg_errors errors;
    assert_false(sg_ok(read_with(folder, from, to, &site, &errors)));
    assert_message(&errors, piece);
    assert_null(site.title);
    sg_errors_release(&errors);
}

/* The two places of the site text that these tests put files into. */
#define LIST                                                                                       \
    "  list:\n    - {name: House, x_m: 10, y_m: 25, use: residential, building_class: listed}\n"
#define LINE "  line_points: [[0, 0], [30, 0]]\n"
#define HEADER "name,x_m,y_m,use,building_class\n"

/* ---- CSV ------------------------------------------------------------------------------------- */

static void test_csv_receptors(void **state)
{
    write_text(*state, "r.csv",
               "\xef\xbb\xbf# invented\r\n"
               "name;x_m;y_m;use;building_class;limit_sets;ambient_day_dB;published_floor\r\n"
               "\r\n"
               "\"Mill; \"\"old\"\"\nyard\"x\r\n");
    static const char *const not_closed[] = { "r.csv:4:1:", "followed by more text", NULL };
    read_bad(*state, LIST, "  table: r.csv\n", not_closed);

    write_text(
        *state, "r.csv",
        "\xef\xbb\xbf# invented\r\n"
        "name;x_m;y_m;use;building_class;limit_sets;ambient_day_dB;published_floor\r\n"
        "\r\n"
        "\"Mill; \"\"old\"\"\"; 10 ;25;school;framed;\"BS7385-2; DIN4150-3-long\";55.5;true\r\n"
        "<b>=1+1</b>;-3.5e0;25;rail;rail-equipment;;;\r\n"
        ";;;;;;;\r\n");
    struct sg_site site = read_good(*state, LIST, "  table: r.csv\n");
    assert_int_equal(site.nreceptor, 2);
    const struct sg_receptor *r = site.receptor;
    assert_string_equal(r[0].name, "Mill; \"old\"");
    assert_close(r[0].at.x_m, 10.0, 0, 0);
    assert_close(r[0].ambient_day_db, 55.5, 0, 0);
    assert_true(r[0].transfer.use_published_floor);
    assert_int_equal(r[0].nlimit_set, 2);
    assert_string_equal(r[0].limit_set[1], "DIN4150-3-long");
    assert_string_equal(r[1].name, "<b>=1+1</b>");
    assert_close(r[1].at.x_m, -3.5, 0, 0);
    assert_int_equal(r[1].nlimit_set, 0);
    assert_unset(r[1].ambient_day_db);
    sg_site_release(&site);
}

static void test_list_and_table_together(void **state)
{
    write_text(*state, "r.csv", HEADER "School,12,30,school,framed\n");
    struct sg_site site = read_good(*state, LIST, "  table: r.csv\n" LIST);
    assert_int_equal(site.nreceptor, 2);
    assert_string_equal(site.receptor[0].name, "House");
    assert_string_equal(site.receptor[1].name, "School");
    sg_site_release(&site);
}

static void test_csv_piles(void **state)
{
    write_text(*state, "p.csv",
               "name,x_m,y_m,toe_depth_m,section,chainage_m\nA,0,0,9,hat,100\n"
               "B,0.9,0,,,100.9\n");
    struct sg_site site = read_good(*state, LINE, "  pile_table: p.csv\n");
    assert_int_equal(site.npile, 2);
    assert_close(site.pile[0].toe_depth_m, 9.0, 0, 0);
    assert_close(site.pile[1].toe_depth_m, 12.0, 0, 0);
    assert_string_equal(site.pile[1].section, "U");
    assert_close(site.pile[1].chainage_m, 100.9, 0, 0);
    sg_site_release(&site);
}

struct bad_table {
    const char *text;
    const char *piece[6];
};

static const struct bad_table bad_receptors[] = {
    { "", { "r.csv:1", "is empty", "a header line and at least one row" } },
    { "\n\n# only a remark\n", { "r.csv:4", "is empty" } },
    { HEADER, { "r.csv:1:1:", "a header and no rows", "at least one row" } },
    { HEADER ",,,,\n\n", { "r.csv:1:1:", "a header and no rows" } },
    { HEADER "A,nan,25,school,framed\n", { "r.csv:2:3:", "x_m", "'nan'", "not a number", "to 1" } },
    { HEADER "A,inf,25,school,framed\n", { "r.csv:2:3:", "x_m", "'inf'", "not a number" } },
    { HEADER "A,10,\"25,5\",school,framed\n",
      { "r.csv:2:6:", "y_m", "'25,5'", "comma", "a number" } },
    { HEADER "A,10,25,5,school,framed\n", { "r.csv:2:1:", "6 cells", "allowed: 5" } },
    { HEADER "A,10,25,school\n", { "r.csv:2:1:", "4 cells", "allowed: 5" } },
    { HEADER "A,10 m,25,school,framed\n", { "r.csv:2:3:", "'10 m'", "unit stands in the key" } },
    { HEADER "A,10,25,scool,framed\n", { "r.csv:2:9:", "use", "'scool'", "meant: school?" } },
    { HEADER "A,10,25,,framed\n", { "r.csv:2:1:", "use: is missing", "allowed: residential" } },
    { HEADER "A,,25,school,framed\n", { "r.csv:2:1:", "x_m, y_m", "no position", "'A'" } },
    { HEADER "\n\"A\nB\",10,25,school,framed\n", { "r.csv:3:1:", "name", "'A?B'", "line break" } },
    { HEADER "\"A,10,25,school,framed\n", { "r.csv:2:1:", "not closed" } },
    { HEADER "A,10,25,school,framed\nB,1,25,school,framed\nA,1,2,school,framed\n",
      { "r.csv:4:1:", "'A'", "second receptor", "line 2" } },
    { HEADER "A\x1b[31m,10,25,school,framed\n", { "r.csv:2:1:", "control character" } },
    { HEADER "A\xff,10,25,school,framed\n", { "r.csv:2:", "UTF-8" } },
    { HEADER "A,10,9000,school,framed\n",
      { "r.csv:2:1:", "'A'", "farther than 5000 m", "swapped" } },
    { "name,x_m,y_m,use,building_clas\nA,10,25,school,framed\n",
      { "r.csv:1:18:", "'building_clas'", "meant: building_class?", "allowed: " } },
    { "name,x_m,y_m,use\nA,10,25,school\n", { "r.csv:1:1:", "column building_class is missing" } },
    { "name,x_m,x_m,use,building_class\nA,1,2,school,framed\n",
      { "r.csv:1:10:", "'x_m'", "a second time" } },
};

static void test_bad_csv(void **state)
{
    for (size_t i = 0; i < SG_COUNT(bad_receptors); i++) {
        write_text(*state, "r.csv", bad_receptors[i].text);
        read_bad(*state, LIST, "  table: r.csv\n", bad_receptors[i].piece);
    }
}

static void test_csv_with_nul(void **state)
{
    static const char bytes[] = HEADER "A\0,10,25,school,framed\n";
    static const char *const piece[] = { "r.csv:2:", "not text in UTF-8", NULL };
    write_bytes(*state, "r.csv", bytes, sizeof(bytes) - 1);
    read_bad(*state, LIST, "  table: r.csv\n", piece);
}

static void test_bad_pile_table(void **state)
{
    static const struct bad_table row[] = {
        { "name,x_m,y_m,chainage_m\nA,0,0,1\nB,1,0,\n",
          { "1 of 2 piles", "all of them, or none" } },
        { "name,x_m,y_m\nA,0,\n", { "p.csv:2:1:", "y_m: is missing" } },
        { "name,x_m,y_m,section\nA,0,0,Z\n", { "p.csv:2:7:", "section", "'Z'", "Z-single" } },
        { "name,x_m,y_m\nA,0,0\nB,1,0\nA,2,0\n", { "p.csv:4:1:", "second pile", "line 2" } },
        { "name,x_m,y_m,toe_depth_m\nA,0,0,-9\n", { "p.csv:2:7:", "toe_depth_m", "0.1 to 200 m" } },
    };
    for (size_t i = 0; i < SG_COUNT(row); i++) {
        write_text(*state, "p.csv", row[i].text);
        read_bad(*state, LINE, "  pile_table: p.csv\n", row[i].piece);
    }
}

/* Both files are wrong: the site file's messages come first, then the table's, each by line. */
static void test_messages_by_file_and_line(void **state)
{
    struct sg_site site;
    struct sg_errors errors;
    write_text(*state, "r.csv", HEADER "A,x,25,school,framed\nB,1,y,school,framed\n");
    char *text = site_text_with(LIST, "  table: r.csv\n");
    char *energy = strstr(text, "28");
    assert_non_null(energy);
    energy[0] = '-';
    write_text(*state, "s.yaml", text);
    sg_free(text);
    site = SG_SITE_INIT;
    errors = SG_ERRORS_INIT;
    assert_false(sg_ok(sg_site_read(path_in(*state, "s.yaml"), &site, &errors)));
    assert_true(errors.count >= 3);
    assert_non_null(strstr(errors.text[0], "s.yaml:18:16: methods.energy_kJ: '-8'"));
    assert_non_null(strstr(errors.text[1], "r.csv:2:"));
    assert_non_null(strstr(errors.text[errors.count - 1], "r.csv:3:"));
    sg_errors_release(&errors);
}

/* ---- GeoJSON --------------------------------------------------------------------------------- */

#define CRS_MEMBER(n)                                                                              \
    "\"crs\": {\"type\": \"name\", \"properties\": {\"name\": \"urn:ogc:def:crs:EPSG::" n "\"}},"
#define COLLECTION(crs, features)                                                                  \
    "{\"type\": \"FeatureCollection\", " crs " \"features\": [" features "]}"
#define FEATURE(properties, type, coordinates)                                                     \
    "{\"type\": \"Feature\", \"properties\": {" properties "}, \"geometry\": {\"type\": \"" type   \
    "\", \"coordinates\": " coordinates "}}"

/* Site text in a projected CRS, with a line and receptors from layers. */
static struct sg_site read_projected(const struct folder *folder, const char *crs)
{
    char *text = site_text_with(LIST, "  table: r.geojson\n");
    char *at = strstr(text, "crs: local-metre");
    assert_non_null(at);
    struct sg_text whole = SG_TEXT_INIT;
    sg_text_put_bytes(&whole, text, (size_t)(at - text));
    sg_text_printf(&whole, "crs: %s", crs);
    at += strlen("crs: local-metre");
    char *line = strstr(at, LINE);
    assert_non_null(line);
    sg_text_put_bytes(&whole, at, (size_t)(line - at));
    sg_text_put(&whole, "  line: w.geojson\n");
    sg_text_put(&whole, line + strlen(LINE));
    write_text(folder, "s.yaml", sg_text_string(&whole));
    sg_text_release(&whole);
    sg_free(text);

    struct sg_site site = SG_SITE_INIT;
    struct sg_errors errors = SG_ERRORS_INIT;
    sg_status status = sg_site_read(path_in(folder, "s.yaml"), &site, &errors);
    for (size_t i = 0; i < errors.count; i++)
        print_error("%s\n", errors.text[i]);
    assert_int_equal(status, SG_OK);
    sg_errors_release(&errors);
    return site;
}

#define SCHOOL "\"name\": \"A\", \"use\": \"school\", \"building_class\": \"framed\""

/* IOGP Guidance Note 7-2, Transverse Mercator: 50 deg 30' N, 0 deg 30' E on OSGB 1936 is
 * E 577274.99 m, N 69740.50 m of the British National Grid. Printed to the centimetre; the figures
 * are recalled, not checked on paper. */
static void test_national_grid_example(void **state)
{
    write_text(*state, "w.geojson",
               COLLECTION(CRS_MEMBER("27700"),
                          FEATURE("", "LineString", "[[577250, 69700], [577280, 69700]]")));
    write_text(*state, "r.geojson",
               COLLECTION(CRS_MEMBER("4277"), FEATURE(SCHOOL, "Point", "[0.5, 50.5]")));
    struct sg_site site = read_projected(*state, "EPSG:27700");
    assert_close(site.receptor[0].at.x_m, 577274.99, 0, 0.01);
    assert_close(site.receptor[0].at.y_m, 69740.50, 0, 0.01);
    assert_close(site.pile[0].at.x_m, 577250.3, 0, 1e-6);
    assert_int_equal(site.nwarning, 1); /* no limit set for a school, and nothing else */
    sg_site_release(&site);
}

/* Snyder, USGS Professional Paper 1395, Eq. (3-21): meridian arc from the equator; GRS 80 by its
 * a = 6378137 m and 1/f = 298.257222101; UTM scale 0.9996, false easting 500000 m. */
static double meridian_arc_m(double latitude_deg)
{
    const double a = 6378137.0, f = 1.0 / 298.257222101, phi = latitude_deg * SG_PI / 180.0;
    const double e2 = f * (2.0 - f), e4 = e2 * e2, e6 = e4 * e2;
    return a * ((1.0 - e2 / 4.0 - 3.0 * e4 / 64.0 - 5.0 * e6 / 256.0) * phi -
                (3.0 * e2 / 8.0 + 3.0 * e4 / 32.0 + 45.0 * e6 / 1024.0) * sin(2.0 * phi) +
                (15.0 * e4 / 256.0 + 45.0 * e6 / 1024.0) * sin(4.0 * phi) -
                (35.0 * e6 / 3072.0) * sin(6.0 * phi));
}

/* GeoJSON without a "crs" member is WGS 84 in degrees, longitude first (RFC 7946, section 4). */
static void test_degrees_to_utm(void **state)
{
    double north_m = 0.9996 * meridian_arc_m(53.0);
    char line[400];
    snprintf(line, sizeof(line),
             COLLECTION(CRS_MEMBER("25832"),
                        FEATURE("", "LineString", "[[499980, %.3f], [500010, %.3f]]")),
             north_m - 20.0, north_m - 20.0);
    write_text(*state, "w.geojson", line);
    write_text(*state, "r.geojson", COLLECTION("", FEATURE(SCHOOL, "Point", "[9.0, 53.0]")));
    struct sg_site site = read_projected(*state, "EPSG:25832");
    assert_close(site.receptor[0].at.x_m, 500000.0, 0, 0.001);
    assert_close(site.receptor[0].at.y_m, north_m, 0, 0.001);
    size_t nearest = sg_site_nearest_pile(&site, 0);
    assert_close(sg_site_distance_m(&site.receptor[0], site.pile[nearest].at), 20.0, 0, 0.01);
    sg_site_release(&site);
}

static void test_geojson_beyond_degrees(void **state)
{
    write_text(*state, "w.geojson",
               COLLECTION("", FEATURE("", "LineString", "[[570000, 5934000], [570030, 5934000]]")));
    write_text(*state, "r.geojson", COLLECTION("", FEATURE(SCHOOL, "Point", "[570010, 5934025]")));
    struct sg_site site = read_projected(*state, "EPSG:25832");
    assert_close(site.receptor[0].at.y_m, 5934025.0, 0, 0);
    assert_int_equal(site.nwarning, 3); /* two layers, and the school without limits */
    assert_non_null(strstr(site.warning[1], "cannot be degrees"));
    sg_site_release(&site);

    /* Easting and northing both swapped: distances hold, the place does not. */
    write_text(*state, "w.geojson",
               COLLECTION(CRS_MEMBER("25832"),
                          FEATURE("", "LineString", "[[5934000, 570000], [5934030, 570000]]")));
    write_text(*state, "r.geojson",
               COLLECTION(CRS_MEMBER("25832"), FEATURE(SCHOOL, "Point", "[5934010, 570025]")));
    site = read_projected(*state, "EPSG:25832");
    bool said = false;
    for (size_t i = 0; i < site.nwarning; i++)
        said |= strstr(site.warning[i], "easting and northing may be swapped") != NULL;
    assert_true(said);
    sg_site_release(&site);
}

static void test_geojson_in_local_grid(void **state)
{
    static const char *const degrees[] = { "r.geojson: ", "degrees", "local-metre", NULL };
    static const char *const named[] = { "r.geojson: ", "in a CRS", "local-metre", NULL };
    write_text(*state, "r.geojson", COLLECTION("", FEATURE(SCHOOL, "Point", "[9.0, 53.0]")));
    read_bad(*state, LIST, "  table: r.geojson\n", degrees);
    write_text(*state, "r.geojson",
               COLLECTION(CRS_MEMBER("25832"), FEATURE(SCHOOL, "Point", "[9, 53]")));
    read_bad(*state, LIST, "  table: r.geojson\n", named);
    write_text(*state, "r.geojson",
               COLLECTION("", FEATURE(SCHOOL, "Polygon",
                                      "[[[5, 12], [15, 12], [15, 20], [5, 20], [5, 12]]]")));
    struct sg_site site = read_good(*state, LIST, "  table: r.geojson\n");
    assert_int_equal(site.receptor[0].nfootprint, 4);
    assert_close(site.receptor[0].at.y_m, 12.0, 0, 1e-12);
    sg_site_release(&site);
}

static void test_outline_joins_table_row(void **state)
{
    write_text(*state, "r.csv", HEADER "House,,,school,framed\n");
    write_text(
        *state, "b.geojson",
        COLLECTION(
            "",
            FEATURE(
                "\"name\": \"House\"", "Polygon",
                "[[[5, 12], [15, 12], [15, 20], [5, 20], [5, 12]]]") "," FEATURE("\"name\": "
                                                                                 "\"Hall\", "
                                                                                 "\"use\": "
                                                                                 "\"office\", "
                                                                                 "\"building_"
                                                                                 "class\": "
                                                                                 "\"framed\", "
                                                                                 "\"storeys\": 3, "
                                                                                 "\"published_"
                                                                                 "floor\": true, "
                                                                                 "\"limit_sets\": "
                                                                                 "[\"BS7385-2\", "
                                                                                 "\"DIN4150-3-"
                                                                                 "long\"]",
                                                                                 "Polygon",
                                                                                 "[[[5, 40], [15, "
                                                                                 "40], [15, 50], "
                                                                                 "[5, 40]]]")));
    struct sg_site site = read_good(*state, LIST, "  table: r.csv\n  footprints: b.geojson\n");
    assert_int_equal(site.nreceptor, 2);
    assert_int_equal(site.receptor[0].nfootprint, 4);
    assert_string_equal(site.receptor[1].name, "Hall");
    assert_int_equal(site.receptor[1].nfootprint, 3);
    assert_close(site.receptor[1].storeys, 3.0, 0, 0);
    assert_true(site.receptor[1].transfer.use_published_floor);
    assert_int_equal(site.receptor[1].nlimit_set, 2);
    sg_site_release(&site);
}

static void test_bad_geojson(void **state)
{
    static const struct bad_table row[] = {
        { "{", { "s.yaml:14:10:", "'", "not a table or layer", "GeoPackage" } },
        { COLLECTION("", ""), { "no features" } },
        { COLLECTION("", FEATURE("\"name\": \"A\", \"use\": \"school\", \"building_class\": \"?\"",
                                 "Point", "[100, 200]")),
          { "r.geojson: feature 1: building_class: '?'", "allowed: industrial" } },
        { COLLECTION("", FEATURE(SCHOOL, "LineString", "[[1, 100], [2, 200]]")),
          { "feature 1: geometry", "is a line" } },
        { COLLECTION("", FEATURE(SCHOOL, "MultiPoint", "[[1, 100], [2, 200]]")),
          { "feature 1: geometry", "several parts" } },
        { COLLECTION("",
                     FEATURE(SCHOOL, "Point", "[1, 100]") "," FEATURE(SCHOOL, "Point", "[2, 9]")),
          { "feature 2: name: 'A'", "second receptor", "feature 1" } },
    };
    for (size_t i = 0; i < SG_COUNT(row); i++) {
        write_text(*state, "r.geojson", row[i].text);
        read_bad(*state, LIST, "  table: r.geojson\n", row[i].piece);
    }
}

static void test_wall_layers_that_are_no_line(void **state)
{
    static const struct bad_table row[] = {
        { COLLECTION("", FEATURE("", "Point", "[1, 100]")), { "wall.line", "not a line" } },
        { COLLECTION("", FEATURE("", "LineString", "[[0, 100], [30, 100]]") "," FEATURE(
                             "", "LineString", "[[0, 200], [30, 200]]")),
          { "feature 2: wall.line", "second feature", "one line" } },
    };
    for (size_t i = 0; i < SG_COUNT(row); i++) {
        write_text(*state, "w.geojson", row[i].text);
        read_bad(*state, LINE, "  line: w.geojson\n", row[i].piece);
    }
}

/* ---- other containers ------------------------------------------------------------------------ */

/* Writes one receptor, by its geometry and by its columns. */
static void write_layer(const struct folder *folder, const char *driver, const char *name, int epsg)
{
    GDALAllRegister();
    GDALDriverH maker = GDALGetDriverByName(driver);
    assert_non_null(maker);
    GDALDatasetH data = GDALCreate(maker, path_in(folder, name), 0, 0, 0, GDT_Unknown, NULL);
    assert_non_null(data);
    OGRSpatialReferenceH crs = NULL;
    if (epsg > 0) {
        crs = OSRNewSpatialReference(NULL);
        assert_int_equal(OSRImportFromEPSG(crs, epsg), OGRERR_NONE);
        OSRSetAxisMappingStrategy(crs, OAMS_TRADITIONAL_GIS_ORDER);
    }
    bool table = epsg < 0;
    OGRLayerH layer = GDALDatasetCreateLayer(data, "r", crs, table ? wkbNone : wkbPoint, NULL);
    assert_non_null(layer);
    static const char *const column[] = {
        "name", "use", "building_class", "x_m", "y_m", "storeys"
    };
    for (size_t i = 0; i < SG_COUNT(column); i++) {
        OGRFieldDefnH field = OGR_Fld_Create(column[i], i < 3 ? OFTString : OFTReal);
        assert_int_equal(OGR_L_CreateField(layer, field, 1), OGRERR_NONE);
        OGR_Fld_Destroy(field);
    }
    OGRFeatureH feature = OGR_F_Create(OGR_L_GetLayerDefn(layer));
    OGR_F_SetFieldString(feature, 0, "M\xc3\xbchle");
    OGR_F_SetFieldString(feature, 1, "school");
    OGR_F_SetFieldString(feature, 2, "framed");
    OGR_F_SetFieldDouble(feature, 5, 2.0);
    if (table) {
        OGR_F_SetFieldDouble(feature, 3, 10.25);
        OGR_F_SetFieldDouble(feature, 4, 25.0);
    } else {
        OGRGeometryH point = OGR_G_CreateGeometry(wkbPoint);
        OGR_G_SetPoint_2D(point, 0, 10.25, 25.0);
        assert_int_equal(OGR_F_SetGeometryDirectly(feature, point), OGRERR_NONE);
    }
    assert_int_equal(OGR_L_CreateFeature(layer, feature), OGRERR_NONE);
    OGR_F_Destroy(feature);
    if (crs)
        OSRRelease(crs);
    GDALClose(data);
}

static void expect_mill(const struct folder *folder, const char *table)
{
    char to[80];
    snprintf(to, sizeof(to), "  table: %s\n", table);
    struct sg_site site = read_good(folder, LIST, to);
    assert_int_equal(site.nreceptor, 1);
    assert_string_equal(site.receptor[0].name, "M\xc3\xbchle");
    assert_close(site.receptor[0].at.x_m, 10.25, 0, 1e-9);
    assert_close(site.receptor[0].at.y_m, 25.0, 0, 1e-9);
    assert_close(site.receptor[0].storeys, 2.0, 0, 0);
    sg_site_release(&site);
}

static void test_geopackage(void **state)
{
    write_layer(*state, "GPKG", "r.gpkg", 0);
    expect_mill(*state, "r.gpkg");
}

static void test_spreadsheets(void **state)
{
    write_layer(*state, "XLSX", "r.xlsx", -1);
    expect_mill(*state, "r.xlsx");
    write_layer(*state, "ODS", "r.ods", -1);
    expect_mill(*state, "r.ods");
}

/* Column names are cut to ten characters there: building_class is building_c. */
static void test_shapefile(void **state)
{
    write_layer(*state, "ESRI Shapefile", "r.shp", 0);
    expect_mill(*state, "r.shp");
}

/* A layer in degrees, by the CRS that the container names. */
static void test_geopackage_in_degrees(void **state)
{
    static const char *const piece[] = { "r.gpkg: ", "degrees", "local-metre", NULL };
    write_layer(*state, "GPKG", "r.gpkg", 4326);
    read_bad(*state, LIST, "  table: r.gpkg\n", piece);
}

static void test_drawing(void **state)
{
    GDALAllRegister();
    GDALDriverH maker = GDALGetDriverByName("DXF");
    assert_non_null(maker);
    GDALDatasetH data = GDALCreate(maker, path_in(*state, "w.dxf"), 0, 0, 0, GDT_Unknown, NULL);
    assert_non_null(data);
    OGRLayerH layer = GDALDatasetCreateLayer(data, "entities", NULL, wkbUnknown, NULL);
    assert_non_null(layer);
    OGRFeatureH feature = OGR_F_Create(OGR_L_GetLayerDefn(layer));
    OGRGeometryH line = OGR_G_CreateGeometry(wkbLineString);
    OGR_G_AddPoint_2D(line, 0.0, 0.0);
    OGR_G_AddPoint_2D(line, 12.0, 0.0);
    assert_int_equal(OGR_F_SetGeometryDirectly(feature, line), OGRERR_NONE);
    assert_int_equal(OGR_L_CreateFeature(layer, feature), OGRERR_NONE);
    OGR_F_Destroy(feature);
    GDALClose(data);
    struct sg_site site = read_good(*state, LINE, "  line: w.dxf\n");
    assert_int_equal(site.npile, 20);
    assert_close(site.pile[19].at.x_m, 11.7, 1e-12, 0);
    sg_site_release(&site);
}

/* A layer that is cut off in the middle is refused, and nothing of it is kept. */
static void test_broken_container(void **state)
{
    static const char *const piece[] = { "s.yaml:14:10:", "not a table or layer", NULL };
    write_layer(*state, "GPKG", "r.gpkg", 0);
    assert_int_equal(truncate(path_in(*state, "r.gpkg"), 100), 0);
    read_bad(*state, LIST, "  table: r.gpkg\n", piece);
}

/* ---- memory ---------------------------------------------------------------------------------- */

static void test_memory_runs_out(void **state)
{
    write_text(*state, "r.csv", HEADER "A,10,25,school,framed\nB,11,25,school,framed\n");
    write_text(*state, "p.csv", "name,x_m,y_m\nA,0,0\nB,1,0\n");
    size_t n = 1;
    for (; n < 10000; n++) {
        struct sg_site site;
        struct sg_errors errors;
        char *text = site_text_with(LIST, "  table: r.csv\n");
        write_text(*state, "s.yaml", text);
        sg_free(text);
        site = SG_SITE_INIT;
        errors = SG_ERRORS_INIT;
        sg_alloc_fail_at(n);
        sg_status status = sg_site_read(path_in(*state, "s.yaml"), &site, &errors);
        sg_alloc_fail_at(0);
        assert_true(sg_ok(status) ? site.nreceptor == 2 : site.title == NULL);
        sg_site_release(&site);
        sg_errors_release(&errors);
        if (sg_ok(status))
            break;
        assert_int_equal(status, SG_ERR_NOMEM);
    }
    assert_in_range(n, 3, 9999);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(test_csv_receptors, make_folder, remove_folder),
        cmocka_unit_test_setup_teardown(test_list_and_table_together, make_folder, remove_folder),
        cmocka_unit_test_setup_teardown(test_csv_piles, make_folder, remove_folder),
        cmocka_unit_test_setup_teardown(test_bad_csv, make_folder, remove_folder),
        cmocka_unit_test_setup_teardown(test_csv_with_nul, make_folder, remove_folder),
        cmocka_unit_test_setup_teardown(test_bad_pile_table, make_folder, remove_folder),
        cmocka_unit_test_setup_teardown(test_messages_by_file_and_line, make_folder, remove_folder),
        cmocka_unit_test_setup_teardown(test_national_grid_example, make_folder, remove_folder),
        cmocka_unit_test_setup_teardown(test_degrees_to_utm, make_folder, remove_folder),
        cmocka_unit_test_setup_teardown(test_geojson_beyond_degrees, make_folder, remove_folder),
        cmocka_unit_test_setup_teardown(test_geojson_in_local_grid, make_folder, remove_folder),
        cmocka_unit_test_setup_teardown(test_outline_joins_table_row, make_folder, remove_folder),
        cmocka_unit_test_setup_teardown(test_bad_geojson, make_folder, remove_folder),
        cmocka_unit_test_setup_teardown(test_wall_layers_that_are_no_line, make_folder,
                                        remove_folder),
        cmocka_unit_test_setup_teardown(test_geopackage, make_folder, remove_folder),
        cmocka_unit_test_setup_teardown(test_spreadsheets, make_folder, remove_folder),
        cmocka_unit_test_setup_teardown(test_shapefile, make_folder, remove_folder),
        cmocka_unit_test_setup_teardown(test_geopackage_in_degrees, make_folder, remove_folder),
        cmocka_unit_test_setup_teardown(test_drawing, make_folder, remove_folder),
        cmocka_unit_test_setup_teardown(test_broken_container, make_folder, remove_folder),
        cmocka_unit_test_setup_teardown(test_memory_runs_out, make_folder, remove_folder),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
