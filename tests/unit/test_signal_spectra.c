/* test_signal_spectra.c - windows, densities, amplitudes, spectrograms against ISO 18431-2 and
 * Parseval's theorem. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "stillground/signal.h"
#include "../support/close.h"
#include "../support/golden.h"

enum { LENGTH = 4096 };

/* Gains and noise bandwidths; scallop loss of a tone half a bin off. */
static void windows(void **state)
{
    (void)state;
    struct golden *table = golden_read("windows.csv", 8);
    const struct {
        enum sg_taper window;
        size_t row;
    } row[] = { { SG_TAPER_RECTANGULAR, 0 }, { SG_TAPER_HANN, 1 }, { SG_TAPER_FLAT_TOP, 6 } };
    static double w[LENGTH], x[LENGTH];
    for (size_t i = 0; i < SG_COUNT(row); i++) {
        double coherent, enbw, largest = 0.0;
        struct sg_spectrum spectrum;
        sg_taper_fill(row[i].window, w, LENGTH, &coherent, &enbw);
        assert_close(coherent, golden_number(table, row[i].row, "coherent_gain"), 0.0, 1e-6);
        assert_close(enbw, golden_number(table, row[i].row, "enbw_bins"), 0.0, 1e-6);
        for (size_t k = 0; k < LENGTH; k++)
            x[k] = 2.0 * sin(2.0 * SG_PI * 500.5 * (double)k / LENGTH);
        assert_int_equal(sg_spectrum_amplitude(x, LENGTH, LENGTH, row[i].window, &spectrum), SG_OK);
        for (size_t k = 0; k < spectrum.count; k++)
            largest = fmax(largest, spectrum.value[k]);
        assert_close(20.0 * log10(largest / 2.0), golden_number(table, row[i].row, "scallop_db"),
                     0.0, 0.005);
        assert_close(spectrum.enbw_hz, enbw, 1e-12, 0.0);
        sg_spectrum_release(&spectrum);
    }
    /* ISO 18431-2:2004/Cor.1:2008: peak of the flat-top 4.63867187 */
    double coherent, enbw;
    sg_taper_fill(SG_TAPER_FLAT_TOP, w, LENGTH, &coherent, &enbw);
    assert_close(w[LENGTH / 2], 4.63867187, 1e-8, 0.0);
    free(table);
}

static double random_at(uint32_t *seed)
{
    *seed = *seed * 1664525u + 1013904223u;
    return (double)*seed / 4294967296.0 - 0.5;
}

/* Parseval: the sum of a density times its step is the mean square of what went in. */
static void parseval(void **state)
{
    (void)state;
    for (size_t length = 1000; length <= 1001; length++) { /* even and odd */
        static double x[1001];
        uint32_t seed = 5;
        double mean = 0.0, square = 0.0, sum = 0.0;
        struct sg_spectrum density;
        for (size_t k = 0; k < length; k++) {
            x[k] = random_at(&seed);
            mean += x[k] / (double)length;
        }
        for (size_t k = 0; k < length; k++)
            square += (x[k] - mean) * (x[k] - mean) / (double)length;
        assert_int_equal(
            sg_spectrum_density(x, length, 250.0, length, SG_TAPER_RECTANGULAR, &density), SG_OK);
        for (size_t k = 0; k < density.count; k++)
            sum += density.value[k] * density.step_hz;
        assert_close(sum, square, 1e-12, 0.0);
        assert_int_equal(density.averages, 1);
        sg_spectrum_release(&density);
    }
}

/* White noise of known variance: level of the density; a tone's power by density times ENBW. */
static void welch_levels(void **state)
{
    (void)state;
    enum { COUNT = 1 << 18 };
    double *x = malloc(COUNT * sizeof *x), mean = 0.0;
    assert_non_null(x);
    uint32_t seed = 9;
    for (size_t k = 0; k < COUNT; k++)
        x[k] = random_at(&seed); /* variance 1/12 over 500 Hz */
    struct sg_spectrum density;
    assert_int_equal(sg_spectrum_density(x, COUNT, 1000.0, 1024, SG_TAPER_HANN, &density), SG_OK);
    assert_int_equal(density.averages, 2 * COUNT / 1024 - 1);
    for (size_t k = 5; k < density.count - 5; k++)
        mean += density.value[k] / (double)(density.count - 10);
    assert_close(mean, 1.0 / 12.0 / 500.0, 0.01, 0.0);
    sg_spectrum_release(&density);
    for (size_t k = 0; k < COUNT; k++)
        x[k] = 3.0 * cos(2.0 * SG_PI * 125.0 * (double)k / 1000.0);
    assert_int_equal(sg_spectrum_density(x, COUNT, 1000.0, 1024, SG_TAPER_HANN, &density), SG_OK);
    assert_close(density.value[128] * density.enbw_hz, 4.5, 1e-9, 0.0);
    sg_spectrum_release(&density);
    free(x);
}

/* Block by block the same density comes out as from the whole. */
static void density_by_blocks(void **state)
{
    (void)state;
    enum { COUNT = 20011 };
    static double x[COUNT];
    uint32_t seed = 21;
    for (size_t k = 0; k < COUNT; k++)
        x[k] = random_at(&seed);
    for (size_t length = 512; length <= 513; length++) {
        struct sg_spectrum whole, parts = { .value = NULL };
        struct sg_density *density = NULL;
        assert_int_equal(sg_spectrum_density(x, COUNT, 100.0, length, SG_TAPER_HANN, &whole),
                         SG_OK);
        assert_int_equal(sg_density_new(100.0, length, SG_TAPER_HANN, &density), SG_OK);
        assert_int_equal(sg_density_take(density, &parts), SG_ERR_MISSING);
        for (size_t at = 0; at < COUNT; at += 97)
            sg_density_run(density, x + at, COUNT - at < 97 ? COUNT - at : 97);
        assert_int_equal(sg_density_take(density, &parts), SG_OK);
        assert_int_equal(parts.averages, whole.averages);
        assert_int_equal(parts.count, whole.count);
        for (size_t k = 0; k < whole.count; k++)
            assert_close(parts.value[k], whole.value[k], 1e-12, 1e-18);
        assert_int_equal(sg_density_take(density, &parts), SG_ERR_MISSING);
        sg_density_free(density);
        sg_spectrum_release(&parts);
        sg_spectrum_release(&whole);
    }
}

struct columns {
    size_t count;
    double first_s, last_s, hz;
};

static void take_column(double time_s, const double *density, size_t count, double step_hz,
                        void *payload)
{
    struct columns *columns = payload;
    size_t best = 0;
    for (size_t k = 1; k < count; k++)
        best = density[k] > density[best] ? k : best;
    columns->first_s = columns->count == 0 ? time_s : columns->first_s;
    columns->last_s = time_s;
    columns->hz = (double)best * step_hz;
    columns->count++;
}

static void spectrogram_and_refusals(void **state)
{
    (void)state;
    static double x[LENGTH];
    struct columns columns = { 0, 0.0, 0.0, 0.0 };
    struct sg_spectrum spectrum;
    for (size_t k = 0; k < LENGTH; k++)
        x[k] = sin(2.0 * SG_PI * 50.0 * (double)k / 1024.0);
    assert_int_equal(sg_spectrogram(x, LENGTH, 1024.0, 1024, take_column, &columns), SG_OK);
    assert_int_equal(columns.count, 13);
    assert_close(columns.first_s, 0.5, 1e-12, 0.0);
    assert_close(columns.last_s, 3.5, 1e-12, 0.0);
    assert_close(columns.hz, 50.0, 1e-12, 0.0);
    assert_int_equal(sg_spectrogram(x, 100, 1024.0, 1024, take_column, &columns), SG_ERR_DOMAIN);
    assert_int_equal(sg_spectrum_density(x, 100, 1024.0, 1024, SG_TAPER_HANN, &spectrum),
                     SG_ERR_DOMAIN);
    assert_int_equal(sg_spectrum_density(x, 100, 0.0, 10, SG_TAPER_HANN, &spectrum), SG_ERR_DOMAIN);
}

int main(void)
{
    const struct CMUnitTest test[] = {
        cmocka_unit_test(windows),
        cmocka_unit_test(parseval),
        cmocka_unit_test(welch_levels),
        cmocka_unit_test(density_by_blocks),
        cmocka_unit_test(spectrogram_and_refusals),
    };
    return cmocka_run_group_tests(test, NULL, NULL);
}
