/* fuzz_numbers.c - numbers, counts and quantities out of any text: never a NaN or an infinity taken
 * for a number, never a value beyond what was allowed, nothing written on failure.
 */
#include "stillground/base.h"

#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

/* A result must be a finite number after success and untouched after failure. */
static void expect(bool held)
{
    if (!held) {
        abort();
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    static const char *const units[] = { "m", "kJ", "mm/s", "Hz", "min", "kN" };
    char text[256];
    if (size >= sizeof(text)) {
        return 0;
    }
    memcpy(text, data, size);
    text[size] = '\0';

    const char *why = NULL;
    double number = -1.5;
    sg_status status = sg_parse_number(text, &number, &why);
    expect(sg_ok(status) ? number - number >= 0.0 : number <= -1.5 && number >= -1.5);

    size_t count = 77;
    status = sg_parse_count(text, 1000, &count, &why);
    expect(sg_ok(status) ? count <= 1000 : count == 77);

    for (size_t i = 0; i < SG_COUNT(units); i++) {
        double quantity = -1.5;
        status = sg_parse_quantity(text, units[i], &quantity, &why);
        expect(sg_ok(status) ? quantity - quantity >= 0.0 : quantity <= -1.5 && quantity >= -1.5);
    }
    return 0;
}
