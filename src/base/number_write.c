/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The scaled value is an exact 128-bit whole number and a binary shift, so that rounding looks at the whole remainder;
 * what is too great or too small for that goes to snprintf, from which only digits are taken. */
#include "base/number.h"

#include <assert.h>
#include <float.h>
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>

__extension__ typedef unsigned __int128 wide;

enum { SIGNIFICANT = 12, MOST_DECIMALS = 6, GREATEST_SCALE = 22 };

static const uint64_t powers[GREATEST_SCALE / 2 + 1] = {1,       10,       100,       1000,       10000,       100000,
                                                        1000000, 10000000, 100000000, 1000000000, 10000000000, 100000000000};

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

/* magnitude * 10^power rounded to the nearest whole number, ties to even, from its exact value.
 * For 0 < magnitude < 1e12, power 0..22, and a result below 2^63. */
static uint64_t scale(double magnitude, int power)
{
    int exponent;
    wide exact = (wide)ldexp(frexp(magnitude, &exponent), DBL_MANT_DIG);
    exact *= powers[power / 2];
    exact *= powers[power - power / 2];
    int shift = DBL_MANT_DIG - exponent; /* over 0, as magnitude < 2^53 */
    if (shift > 127)
        return 0;
    wide whole = exact >> shift;
    wide rest = exact - (whole << shift);
    wide half = (wide)1 << (shift - 1);
    bool up = rest > half || (rest == half && (whole & 1));
    return (uint64_t)whole + up;
}

/* A value as 12 digits: d.ddddddddddd * 10^exponent. */
typedef struct digits12 {
    uint64_t digits;
    int exponent;
} digits12;

/* For 1e-11 <= magnitude < 1e12. */
static digits12 round_exactly(double magnitude)
{
    static const double decades[] = {1e-11, 1e-10, 1e-9, 1e-8, 1e-7, 1e-6, 1e-5, 1e-4, 1e-3, 1e-2, 1e-1, 1e0,
                                     1e1,   1e2,   1e3,  1e4,  1e5,  1e6,  1e7,  1e8,  1e9,  1e10, 1e11, 1e12};
    int binary;
    frexp(magnitude, &binary);
    /* floor((binary - 1) log10 2) is the decimal exponent or one less. The powers below 1 are no doubles: a magnitude
     * between a power and its double has the same 12 digits with either exponent. */
    int exponent = ((binary - 1) * 30103 + 12 * 100000) / 100000 - 12;
    exponent += magnitude >= decades[exponent + 12];
    digits12 rounded = {scale(magnitude, SIGNIFICANT - 1 - exponent), exponent};
    if (rounded.digits == 1000000000000)
        rounded = (digits12){100000000000, exponent + 1};
    return rounded;
}

static digits12 round_by_printing(double magnitude)
{
    char text[64];
    snprintf(text, sizeof text, "%.*e", SIGNIFICANT - 1, magnitude);
    const char *at = text;
    digits12 rounded = {0, 0};
    for (; *at != 'e'; at++) /* whatever stands between the digits is the locale's point */
        if (is_digit(*at))
            rounded.digits = rounded.digits * 10 + (uint64_t)(*at - '0');
    rounded.exponent = (int)strtol(at + 1, NULL, 10);
    return rounded;
}

static size_t write_zeros(char *text, size_t size, int count)
{
    while (count-- > 0)
        text[size++] = '0';
    return size;
}

/* `all` digits of which the first `before` stand before the point. */
static size_t write_pointed(char *text, size_t size, const char *digits, int all, int before)
{
    for (int i = 0; i < all; i++) {
        if (i == before)
            text[size++] = '.';
        text[size++] = digits[i];
    }
    return size;
}

static size_t write_exponent(char *text, size_t size, int exponent)
{
    return size + (size_t)snprintf(text + size, 8, "e%c%02d", exponent < 0 ? '-' : '+', abs(exponent));
}

/* As %g: plain from 1e-4 up to the 12th digit, else with an exponent; no zeros at the end of a fraction. */
static size_t write_general(char *text, size_t size, digits12 rounded)
{
    char digits[SIGNIFICANT];
    int all = SIGNIFICANT;
    for (int i = SIGNIFICANT; i-- > 0; rounded.digits /= 10)
        digits[i] = (char)('0' + rounded.digits % 10);
    while (all > 1 && digits[all - 1] == '0')
        all--;
    int exponent = rounded.exponent;
    if (exponent < -4 || exponent >= SIGNIFICANT)
        return write_exponent(text, write_pointed(text, size, digits, all, 1), exponent);
    if (exponent >= 0)
        return write_zeros(text, write_pointed(text, size, digits, all, exponent + 1), exponent + 1 - all);
    text[size++] = '0';
    text[size++] = '.';
    return write_pointed(text, write_zeros(text, size, -exponent - 1), digits, all, all);
}

/* At most LL_PRINTED - 1 characters: a sign, 12 digits, a point, five zeros, or an exponent of three digits. */
static size_t write_number(char *text, double value)
{
    size_t size = 0;
    double magnitude = fabs(value);
    if (!isfinite(value))
        return 0;
    if (magnitude == 0) {
        text[size++] = '0';
        return size;
    }
    bool usual = magnitude >= 1e-11 && magnitude < 1e12;
    if (value < 0)
        text[size++] = '-';
    return write_general(text, size, usual ? round_exactly(magnitude) : round_by_printing(magnitude));
}

void ll_number_add(ll_text *text, double value)
{
    char written[LL_PRINTED];
    ll_text_add(text, written, write_number(written, value));
}

const char *ll_number_print(char shown[LL_PRINTED], double value)
{
    shown[write_number(shown, value)] = '\0';
    return shown;
}

const char *ll_tenths_print(char shown[LL_PRINTED], double value)
{
    return ll_number_print(shown, round(value * 10) / 10);
}

/* Appends `scaled` / 10^decimals. */
static void add_scaled(ll_text *text, bool negative, uint64_t scaled, int decimals)
{
    char written[40];
    char *at = written + sizeof written;
    negative = negative && scaled;
    for (int place = 0; scaled || place <= decimals; place++, scaled /= 10) {
        if (place == decimals && decimals)
            *--at = '.';
        *--at = (char)('0' + scaled % 10);
    }
    if (negative)
        *--at = '-';
    ll_text_add(text, at, (size_t)(written + sizeof written - at));
}

/* Appends a great value as printed, with whatever the locale puts for the point replaced. */
static void add_printed(ll_text *text, double value, int decimals)
{
    char written[DBL_MAX_10_EXP + MOST_DECIMALS + 40];
    size_t size = (size_t)snprintf(written, sizeof written, "%.*f", decimals, value);
    size_t whole = 1;
    while (whole < size && is_digit(written[whole]))
        whole++;
    ll_text_add(text, written, whole);
    if (decimals) {
        ll_text_putc(text, '.');
        ll_text_add(text, written + size - decimals, (size_t)decimals);
    }
}

void ll_fixed_add(ll_text *text, double value, int decimals)
{
    double magnitude = fabs(value);
    assert(decimals >= 0 && decimals <= MOST_DECIMALS);
    if (!isfinite(value))
        ll_text_puts(text, "\xe2\x80\x93"); /* en dash */
    else if (magnitude >= 1e12)
        add_printed(text, value, decimals);
    else
        add_scaled(text, value < 0, magnitude > 0 ? scale(magnitude, decimals) : 0, decimals);
}
