/* number.c - the one way in which text becomes a number. */
#include "stillground/base.h"

#include <ctype.h>
#include <errno.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

bool sg_is_set(double value)
{
    return !isnan(value);
}

static sg_status refuse(const char **why, const char *reason)
{
    if (why)
        *why = reason;
    return SG_ERR_INPUT;
}

static const char *skip_digits(const char *c)
{
    while (*c >= '0' && *c <= '9')
        c++;
    return c;
}

/* End of the decimal number at the start of the string, or NULL when there is none. strtod alone
 * would also take hexadecimal, "nan", "inf" and, under another locale, a decimal comma. */
static const char *number_end(const char *string)
{
    const char *c = string;
    if (*c == '+' || *c == '-')
        c++;
    const char *whole = c;
    c = skip_digits(c);
    size_t digits = (size_t)(c - whole);
    if (*c == '.') {
        const char *fraction = ++c;
        c = skip_digits(c);
        digits += (size_t)(c - fraction);
    }
    if (digits == 0)
        return NULL;
    if (*c == 'e' || *c == 'E') {
        const char *exponent = c + 1;
        if (*exponent == '+' || *exponent == '-')
            exponent++;
        if (skip_digits(exponent) != exponent)
            c = skip_digits(exponent);
    }
    return c;
}

static const char *reason_for(const char *string, const char *end)
{
    if (string[0] == '\0')
        return "is empty";
    if (end && *end == ',' && end[1] >= '0' && end[1] <= '9')
        return "has a comma; the decimal mark is '.' and thousands are not separated";
    if (end && end != string)
        return "has text after the number";
    return "is not a number";
}

static bool only_spaces(const char *c)
{
    while (*c == ' ' || *c == '\t')
        c++;
    return *c == '\0';
}

/* Parses the number at the start; *end is what follows it. */
static sg_status parse_prefix(const char *string, double *out, const char **end, const char **why)
{
    while (*string == ' ' || *string == '\t')
        string++;
    *end = number_end(string);
    if (!*end)
        return refuse(why, reason_for(string, NULL));
    errno = 0;
    double value = strtod(string, NULL);
    if (!isfinite(value))
        return refuse(why, "is too large");
    *out = value;
    return SG_OK;
}

sg_status sg_parse_number(const char *string, double *out, const char **why)
{
    double value;
    const char *end;
    sg_status status = parse_prefix(string, &value, &end, why);
    if (status != SG_OK)
        return status;
    if (!only_spaces(end))
        return refuse(why, reason_for(string, end));
    *out = value;
    return SG_OK;
}

sg_status sg_parse_count(const char *string, size_t max, size_t *out, const char **why)
{
    double value;
    sg_status status = sg_parse_number(string, &value, why);
    if (status != SG_OK)
        return status;
    if (value < 0 || value > floor(value))
        return refuse(why, "is not a whole number from 0 up");
    if (value > (double)max || value > 9007199254740992.0)
        return refuse(why, "is larger than allowed");
    *out = (size_t)value;
    return SG_OK;
}

sg_status sg_parse_quantity(const char *string, const char *unit, double *out, const char **why)
{
    double value, factor = 1.0;
    const char *end;
    char name[16];
    sg_status status = parse_prefix(string, &value, &end, why);
    if (status != SG_OK)
        return status;
    while (*end == ' ')
        end++;
    size_t length = strlen(end);
    while (length > 0 && end[length - 1] == ' ')
        length--;
    if (length > 0) {
        if (length >= sizeof(name))
            return refuse(why, "has text after the number that is not a unit");
        memcpy(name, end, length);
        name[length] = '\0';
        status = sg_unit_factor(name, unit, &factor);
        if (status == SG_ERR_UNKNOWN)
            return refuse(why, reason_for(string, end));
        if (status != SG_OK)
            return refuse(why, "has a unit that measures something else");
    }
    if (!isfinite(value * factor))
        return refuse(why, "is too large");
    *out = value * factor;
    return SG_OK;
}
