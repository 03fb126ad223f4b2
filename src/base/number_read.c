/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A number of up to 19 digits and a small power of ten is one exact product or quotient (Clinger 1990, How to read
 * floating point numbers accurately); everything else goes to strtod as whole digits and an exponent, in which no
 * locale has a say. */
#include "base/number.h"

#include <float.h>
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum {
    EXACT_POWER = 22,     /* 10^22 is the greatest power of ten that a double holds exactly */
    SHORT_SIZE = 16,      /* digits and a point that always fit 64 bits, and whose places EXACT_POWER covers */
    PLAIN_DIGITS = 19,    /* digits that always fit 64 bits */
    DECIDING_DIGITS = 800 /* over 767, the most that a halfway case between two doubles needs */
};

#if defined(__BYTE_ORDER__) && defined(__ORDER_LITTLE_ENDIAN__)
#define IS_LITTLE_ENDIAN (__BYTE_ORDER__ == __ORDER_LITTLE_ENDIAN__)
#else
#define IS_LITTLE_ENDIAN 0
#endif

static const uint64_t greatest_whole = (uint64_t)1 << 53; /* up to here a double holds every whole number */

static const double exact_powers[EXACT_POWER + 1] = {1e0,  1e1,  1e2,  1e3,  1e4,  1e5,  1e6,  1e7,
                                                     1e8,  1e9,  1e10, 1e11, 1e12, 1e13, 1e14, 1e15,
                                                     1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22};

/* digits * 10^exponent; `digits` is whole if no digit was dropped. */
typedef struct decimal {
    bool negative;
    uint64_t digits;
    int kept; /* significant digits seen, stops counting past PLAIN_DIGITS */
    long long exponent;
    const char *first; /* the digits and the point as written */
    const char *end;
} decimal;

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

/* Takes the digits from `at` on, as many as there are. Those behind the point lower the exponent. */
static const char *take_digits(decimal *number, const char *at, const char *end, int behind_point)
{
    for (; at < end && is_digit(*at); at++) {
        if (number->kept >= PLAIN_DIGITS) {
            number->kept = PLAIN_DIGITS + 1;
            number->exponent += !behind_point;
            continue;
        }
        number->digits = number->digits * 10 + (uint64_t)(*at - '0');
        number->kept += number->digits != 0;
        number->exponent -= behind_point;
    }
    return at;
}

/* Takes `e`, a sign and digits; NULL if they are not there. An exponent beyond every double stays beyond. */
static const char *take_exponent(decimal *number, const char *at, const char *end)
{
    const long long beyond = 1000000000000000;
    at++;
    bool negative = at < end && *at == '-';
    if (at < end && (*at == '-' || *at == '+'))
        at++;
    if (at == end || !is_digit(*at))
        return NULL;
    long long exponent = 0;
    for (; at < end && is_digit(*at); at++)
        if (exponent < beyond)
            exponent = exponent * 10 + (*at - '0');
    number->exponent += negative ? -exponent : exponent;
    return at;
}

static bool take_decimal(decimal *number, const char *at, const char *end)
{
    *number = (decimal){0};
    number->negative = at < end && *at == '-';
    if (at < end && (*at == '-' || *at == '+'))
        at++;
    number->first = at;
    at = take_digits(number, at, end, 0);
    bool has_digits = at > number->first;
    if (at < end && *at == '.') {
        const char *behind = at + 1;
        at = take_digits(number, behind, end, 1);
        has_digits = has_digits || at > behind;
    }
    number->end = at;
    if (!has_digits)
        return false;
    if (at < end && (*at == 'e' || *at == 'E'))
        at = take_exponent(number, at, end);
    return at == end;
}

/* One correctly rounded operation on exact operands; false if the number is not of that kind. */
static bool convert_exactly(const decimal *number, double *value)
{
    long long exponent = number->exponent;
    if (FLT_EVAL_METHOD != 0 || number->kept > PLAIN_DIGITS || number->digits > greatest_whole ||
        exponent < -EXACT_POWER)
        return false;
    double digits = (double)number->digits;
    if (exponent < 0) {
        *value = digits / exact_powers[-exponent];
        return true;
    }
    if (exponent > EXACT_POWER) { /* few digits: part of the power goes to them, exactly */
        if (exponent > EXACT_POWER + 15)
            return false;
        digits *= exact_powers[exponent - EXACT_POWER];
        if (digits > (double)greatest_whole)
            return false;
        exponent = EXACT_POWER;
    }
    *value = digits * exact_powers[exponent];
    return true;
}

/* Writes the significant digits without their point; all beyond those that decide count as one 1. */
static size_t copy_digits(const decimal *number, char *text, long long *dropped)
{
    size_t size = 0;
    bool more = false;
    for (const char *at = number->first; at < number->end; at++) {
        if (*at == '.' || (size == 0 && *at == '0'))
            continue;
        if (size < DECIDING_DIGITS) {
            text[size++] = *at;
            continue;
        }
        more = more || *at != '0';
        ++*dropped;
    }
    if (more) {
        text[size++] = '1';
        --*dropped;
    }
    return size;
}

static bool convert_slowly(const decimal *number, double *value)
{
    char text[DECIDING_DIGITS + 32];
    long long dropped = 0;
    size_t size = copy_digits(number, text, &dropped);
    /* number->exponent counts the digits beyond the plain ones as dropped; here only `dropped` are. */
    long long all = (long long)size + dropped;
    long long exponent = number->exponent - (all > PLAIN_DIGITS ? all - PLAIN_DIGITS : 0) + dropped;
    const long long limit = 100000;
    exponent = exponent > limit ? limit : exponent < -limit ? -limit : exponent;
    snprintf(text + size, sizeof text - size, "e%d", (int)exponent);
    *value = strtod(text, NULL);
    return isfinite(*value);
}

/* Eight digits in one word, the first in its lowest byte: pairs become numbers, then pairs of pairs, then all. False,
 * with nothing taken, if they are not all digits: the high half of a digit's byte is 3, and stays 3 if 6 is added. */
static bool take_eight(const char *at, uint64_t *digits)
{
    const uint64_t halves = 0xf0f0f0f0f0f0f0f0, threes = 0x3030303030303030, sixes = 0x0606060606060606;
    uint64_t word;
    memcpy(&word, at, sizeof word);
    if (!IS_LITTLE_ENDIAN || (word & halves) != threes || ((word + sixes) & halves) != threes)
        return false;
    word = (word & 0x0f0f0f0f0f0f0f0f) * ((10 << 8) + 1) >> 8;
    word = (word & 0x00ff00ff00ff00ff) * ((100 << 16) + 1) >> 16;
    *digits = (word & 0x0000ffff0000ffff) * ((10000ull << 32) + 1) >> 32;
    return true;
}

static const char *take_few(const char *at, const char *end, uint64_t *digits)
{
    for (; at < end && is_digit(*at); at++)
        *digits = *digits * 10 + (uint64_t)(*at - '0');
    return at;
}

/* The shape that nearly every number of a log has: perhaps a minus, at most 16 digits and a point, no exponent. One
 * exactly rounded quotient; false, with nothing said of the number, for every other shape. */
static bool read_short(const char *text, size_t length, double *value)
{
    const char *end = text + length, *at = text, *behind_point = end;
    uint64_t digits = 0;
    bool negative = *text == '-';
    at += negative;
    size_t size = (size_t)(end - at), points = 0;
    if (FLT_EVAL_METHOD != 0 || size > SHORT_SIZE)
        return false;
    if (size >= 8 && take_eight(at, &digits))
        at += 8;
    at = take_few(at, end, &digits);
    if (at < end && *at == '.') {
        behind_point = at + 1;
        points = 1;
        at = take_few(behind_point, end, &digits);
    }
    if (at < end || size == points || digits > greatest_whole)
        return false;
    double result = (double)digits;
    if (behind_point < end)
        result /= exact_powers[end - behind_point];
    *value = negative ? -result : result;
    return true;
}

/* Not inline: its frame would cost the short way. */
__attribute__((noinline)) static bool read_long(const char *text, size_t length, double *value)
{
    decimal number;
    double result = 0;
    if (!take_decimal(&number, text, text + length))
        return false;
    if (number.digits && !convert_exactly(&number, &result) && !convert_slowly(&number, &result))
        return false;
    *value = number.negative ? -result : result;
    return true;
}

bool ll_number_read(const char *text, size_t length, double *value)
{
    if (length == 0)
        return false;
    return read_short(text, length, value) || read_long(text, length, value);
}

bool ll_whole_read(const char *text, size_t length, unsigned *value)
{
    unsigned result = 0;
    if (length < 1 || length > 9)
        return false;
    for (size_t i = 0; i < length; i++) {
        if (!is_digit(text[i]))
            return false;
        result = result * 10 + (unsigned)(text[i] - '0');
    }
    *value = result;
    return true;
}
