/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Numbers to and from text, against strtod and snprintf of the C library in the C locale. */
#include <float.h>
#include <inttypes.h>
#include <locale.h>
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/number.h"
#include "close.h"

/* Rounds of reading; more by hand, as the program's argument: test_number 100000000. */
static unsigned long read_rounds = 1000000;

enum { HALFWAY_ROUNDS = 4000, WRITE_ROUNDS = 1500000, FIXED_ROUNDS = 500000 };

/* Marsaglia 2003, Xorshift RNGs: x ^= x << 13, >> 7, << 17. */
static uint64_t random_state = 88172645463325252u;

static uint64_t random_bits(void)
{
    random_state ^= random_state << 13;
    random_state ^= random_state >> 7;
    random_state ^= random_state << 17;
    return random_state;
}

static unsigned random_below(unsigned end)
{
    return (unsigned)((random_bits() >> 32) % end);
}

static bool same_bits(double one, double other)
{
    return memcmp(&one, &other, sizeof one) == 0;
}

/* --- reading -------------------------------------------------------------------------------------------------- */

/* As strtod, except that a value too large for a double is a failure. */
static void check_read(const char *text)
{
    double expected = strtod(text, NULL), actual = NAN;
    bool read = ll_number_read(text, strlen(text), &actual);
    if (read != isfinite(expected) || (read && !same_bits(actual, expected)))
        fail_msg("'%s' reads as %s %.17g, expected %.17g", text, read ? "ok" : "bad", actual, expected);
}

static void random_decimal(char *text)
{
    unsigned digits = 1 + random_below(random_below(4) ? 17 : 40);
    unsigned point = random_below(digits + 2);
    if (random_below(4) == 0)
        *text++ = random_below(2) ? '-' : '+';
    for (unsigned i = 0; i < digits; i++) {
        if (i == point)
            *text++ = '.';
        *text++ = (char)('0' + random_below(random_below(3) ? 10 : 1));
    }
    *text = '\0';
    if (random_below(2))
        snprintf(text, 16, "%c%s%u", random_below(2) ? 'e' : 'E', (const char *[]){"", "+", "-"}[random_below(3)],
                 random_below(random_below(2) ? 30 : 360));
}

static void reads_random_decimals_as_strtod(void **state)
{
    (void)state;
    char text[80];
    for (unsigned long i = 0; i < read_rounds; i++) {
        random_decimal(text);
        check_read(text);
    }
}

/* A whole number with its point set `places` from the right, none for 0. */
static void write_pointed(char *text, uint64_t digits, unsigned places)
{
    char plain[24];
    int size = snprintf(plain, sizeof plain, "%0*" PRIu64, (int)places, digits);
    int before = size - (int)places;
    sprintf(text, "%.*s%s%s", before, plain, places ? "." : "", plain + before);
}

/* As logs write them: up to 18 digits in all, no exponent. */
static void reads_random_readings_as_strtod(void **state)
{
    (void)state;
    uint64_t end[19] = {1};
    char text[32];
    for (int digits = 1; digits < 19; digits++)
        end[digits] = end[digits - 1] * 10;
    for (unsigned long i = 0; i < read_rounds; i++) {
        unsigned size = 1 + random_below(18);
        uint64_t digits = random_bits() % end[size];
        text[0] = '-';
        write_pointed(text + 1, digits, random_below(size + 2));
        check_read(text + random_below(2));
    }
}

/* Around 2^53, where a double no longer holds every whole number, and around the powers of ten, with the point at every
 * place. */
static void reads_ends_of_the_exact_range_as_strtod(void **state)
{
    (void)state;
    char text[40];
    uint64_t middle = (uint64_t)1 << 53;
    for (int step = 0; step < 20; step++, middle = step == 1 ? 1 : middle * 10)
        for (int off = -300; off <= 300; off++)
            for (unsigned places = 0; places <= 20; places++) {
                write_pointed(text, middle + (uint64_t)(int64_t)off, places);
                check_read(text);
            }
}

/* Midpoints of neighbouring doubles, exact in a wider long double, and their neighbours in the last digit. */
static void reads_halfway_cases_as_strtod(void **state)
{
    (void)state;
    if (LDBL_MANT_DIG <= DBL_MANT_DIG)
        skip();
    for (int i = 0; i < HALFWAY_ROUNDS; i++) {
        char text[1200];
        double low = ldexp((double)(random_bits() >> 11 | (uint64_t)1 << 52), (int)random_below(400) - 250);
        long double middle = ((long double)low + (long double)nextafter(low, INFINITY)) / 2;
        int size = snprintf(text, sizeof text, "%.*Lf", 360, middle);
        check_read(text);
        strcpy(text + size, "00000000000000000001");
        check_read(text);
        memmove(text + size, "e-20", 5);
        check_read(text);
        text[size - 1] = '1';
        check_read(text);
    }
}

/* A case whose value is known, from IEEE 754 binary64's format; hexadecimal constants are exact. */
static const struct {
    const char *text;
    double value;
} known[] = {
    {"0", 0},
    {"-0", -0.0},
    {"0e999999999999999999999", 0},
    {".5", 0.5},
    {"5.", 5},
    {"+1.5E+1", 15},
    {"9007199254740992", 0x1p53},
    {"9007199254740993", 0x1p53},                   /* halfway: to even */
    {"9007199254740993.0000000000000000001", 0x1.0000000000001p53},
    {"9007199254740995", 0x1.0000000000002p53},     /* halfway: to even */
    {"1.00000000000000011102230246251565404236316680908203125", 1}, /* 1 + 2^-53 */
    {"1.00000000000000011102230246251565404236316680908203126", 0x1.0000000000001p0},
    {"1.00000000000000033306690738754696212708950042724609375", 0x1.0000000000002p0}, /* 1 + 3 * 2^-53 */
    {"1e22", 1e22},
    {"123456789012345e37", 123456789012345e37},
    {"4.9e-324", 0x1p-1074},
    {"2.4703282292062327e-324", 0},
    {"2.4703282292062328e-324", 0x1p-1074},
    {"2.2250738585072014e-308", DBL_MIN},
    {"1.7976931348623157e308", DBL_MAX},
    {"1.7976931348623158e308", DBL_MAX},
    {"1e-99999999999999999999", 0},
};

static void reads_known_cases(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof known / sizeof *known; i++) {
        double actual = NAN;
        assert_true(ll_number_read(known[i].text, strlen(known[i].text), &actual));
        if (!same_bits(actual, known[i].value))
            fail_msg("'%s' reads as %a, expected %a", known[i].text, actual, known[i].value);
    }
}

/* Thousands of digits: only the last decides. */
static void reads_beyond_deciding_digits(void **state)
{
    (void)state;
    char text[5000];
    const char middle[] = "9007199254740993.";
    memset(text, '0', sizeof text);
    memcpy(text, middle, sizeof middle - 1);
    double value;
    assert_true(ll_number_read(text, 4999, &value));
    assert_true(same_bits(value, 0x1p53));
    text[4998] = '1';
    assert_true(ll_number_read(text, 4999, &value));
    assert_true(same_bits(value, 0x1.0000000000001p53));
    memset(text, '0', sizeof text);
    memcpy(text, "0.", 2);
    memcpy(text + 4990, "15e4990", 8);
    assert_true(ll_number_read(text, 4997, &value));
    assert_true(same_bits(value, 15));
}

static void refuses_what_is_no_decimal(void **state)
{
    (void)state;
    static const char *const bad[] = {
        "",     " 1",  "1 ",  "\t1", "1\n", ".",   "-",       "+",    "e5",  "1e",    "1e+",   "--1",   "+-1",
        "1,5",  "1.2.3", "0x10", "inf", "nan", "-inf", "INFINITY", "1e5.0", "1f", "1'000", "1_000", "1d3", "1e400",
        "-1e400", "1.7976931348623159e308", "\xc2\xa0" "1", "\xe2\x88\x92" "1",
    };
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        double value = 7;
        if (ll_number_read(bad[i], strlen(bad[i]), &value))
            fail_msg("'%s' was read as %.17g", bad[i], value);
        assert_true(same_bits(value, 7)); /* untouched */
    }
}

/* Every byte that is no part of a number, at every place among digits. */
static void refuses_a_stray_byte(void **state)
{
    (void)state;
    for (int byte = 0; byte < 256; byte++)
        for (size_t place = 0; place < 17; place++) {
            char text[] = "12345678901234567";
            double value = 7;
            text[place] = (char)byte;
            bool may_be = (byte >= '0' && byte <= '9') || byte == '.' || byte == 'e' || byte == 'E' ||
                          (place == 0 && (byte == '+' || byte == '-'));
            for (size_t size = place + 1; size <= 17 && !may_be; size++)
                if (ll_number_read(text, size, &value))
                    fail_msg("byte 0x%02x at %zu of %zu was read as %.17g", byte, place, size, value);
        }
}

static void reads_no_further_than_told(void **state)
{
    (void)state;
    double value;
    char exact[3] = {'1', '2', '3'}; /* no terminator: a sanitizer sees a read past the end */
    assert_true(ll_number_read(exact, 3, &value));
    assert_true(same_bits(value, 123));
    assert_true(ll_number_read("12e5", 2, &value));
    assert_true(same_bits(value, 12));
    assert_false(ll_number_read("12e5", 3, &value));
}

static void reads_whole_numbers(void **state)
{
    (void)state;
    unsigned value = 1;
    assert_true(ll_whole_read("0", 1, &value));
    assert_int_equal(value, 0);
    assert_true(ll_whole_read("000000012", 9, &value));
    assert_int_equal(value, 12);
    assert_true(ll_whole_read("999999999", 9, &value));
    assert_int_equal(value, 999999999);
    static const char *const bad[] = {"", "1234567890", "-1", "+1", "1.0", " 1", "1e3", "a"};
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++)
        assert_false(ll_whole_read(bad[i], strlen(bad[i]), &value));
    assert_int_equal(value, 999999999);
}

/* --- writing -------------------------------------------------------------------------------------------------- */

static void check_written(ll_text *text, double value, const char *expected)
{
    const char *actual = ll_text_string(text);
    if (!actual || strcmp(actual, expected) != 0)
        fail_msg("%.17g (%a) is written '%s', expected '%s'", value, value, actual ? actual : "", expected);
    text->size = 0;
}

static void check_general(ll_text *text, double value)
{
    char expected[64], printed[LL_PRINTED];
    snprintf(expected, sizeof expected, "%.12g", value == 0 ? 0.0 : value);
    ll_number_add(text, value);
    check_written(text, value, expected);
    assert_string_equal(ll_number_print(printed, value), expected);
}

static void check_fixed(ll_text *text, double value, int decimals)
{
    char expected[400];
    snprintf(expected, sizeof expected, "%.*f", decimals, value);
    ll_fixed_add(text, value, decimals);
    const char *shown = expected;
    if (*shown == '-' && strspn(shown + 1, "0.") == strlen(shown + 1))
        shown++; /* never -0.0 */
    check_written(text, value, shown);
}

/* Of many magnitudes; half of them as a log has them. */
static double random_double(void)
{
    double part = (double)(random_bits() >> 11);
    double value;
    switch (random_below(4)) {
    case 0: value = ldexp(part, (int)random_below(2040) - 1074 - 40); break; /* any, denormal too */
    case 1: value = (double)random_below(1000000) / 1000; break;             /* few digits */
    case 2: value = ldexp(part, -(int)random_below(100)); break;             /* the exact range and its ends */
    default: value = ((double)(random_bits() >> 24) + 0.5) / (double)(1 << random_below(4)); /* ties */
    }
    return random_below(3) ? value : -value;
}

static void writes_random_numbers_as_printf(void **state)
{
    (void)state;
    ll_text text;
    ll_text_open(&text, NULL, NULL, NULL);
    for (int i = 0; i < WRITE_ROUNDS; i++)
        check_general(&text, random_double());
    ll_text_close(&text);
}

static void writes_random_numbers_with_fixed_places_as_printf(void **state)
{
    (void)state;
    ll_text text;
    ll_text_open(&text, NULL, NULL, NULL);
    for (int i = 0; i < FIXED_ROUNDS; i++)
        check_fixed(&text, random_double(), (int)random_below(7));
    ll_text_close(&text);
}

/* Powers of ten, their neighbours, and what rounds up into one. */
static void writes_powers_of_ten_as_printf(void **state)
{
    (void)state;
    ll_text text;
    ll_text_open(&text, NULL, NULL, NULL);
    for (int power = -323; power <= 307; power++) {
        char written[16];
        snprintf(written, sizeof written, "1e%d", power);
        double value = strtod(written, NULL);
        double near[] = {value, nextafter(value, 0), nextafter(value, INFINITY), value * 0.9999999999995,
                         value * 0.99999999999949, value * 1.5, value * 9.9999999999995};
        for (size_t i = 0; i < sizeof near / sizeof *near; i++) {
            check_general(&text, near[i]);
            check_general(&text, -near[i]);
            check_fixed(&text, near[i], power & 3);
        }
    }
    ll_text_close(&text);
}

static const struct {
    double value;
    const char *text;
} general[] = {
    {0, "0"}, {-0.0, "0"}, {1, "1"}, {-1, "-1"}, {100, "100"}, {12.5, "12.5"}, {0.1, "0.1"}, {1e-4, "0.0001"},
    {1e-5, "1e-05"}, {1e21, "1e+21"}, {123456789012, "123456789012"}, {1e12, "1e+12"}, {999999999999.5, "1e+12"},
    {9.9999999999995, "10"}, {9.9999999999949, "9.99999999999"}, {0x1p-1074, "4.94065645841e-324"},
    {DBL_MAX, "1.79769313486e+308"}, {100000000000.5, "100000000000"}, {100000000001.5, "100000000002"},
    {1.0 / 3, "0.333333333333"}, {2.0 / 3, "0.666666666667"},
};

static void writes_edges(void **state)
{
    (void)state;
    ll_text text;
    ll_text_open(&text, NULL, NULL, NULL);
    for (size_t i = 0; i < sizeof general / sizeof *general; i++) {
        ll_number_add(&text, general[i].value);
        check_written(&text, general[i].value, general[i].text);
        check_general(&text, general[i].value);
    }
    static const double missing[] = {NAN, INFINITY, -INFINITY};
    for (size_t i = 0; i < 3; i++) {
        char printed[LL_PRINTED];
        ll_number_add(&text, missing[i]);
        check_written(&text, missing[i], "");
        assert_string_equal(ll_number_print(printed, missing[i]), "");
        ll_fixed_add(&text, missing[i], 1);
        check_written(&text, missing[i], "\xe2\x80\x93");
    }
    ll_text_close(&text);
}

static void prints_tenths_without_a_zero(void **state)
{
    (void)state;
    char printed[LL_PRINTED];
    assert_string_equal(ll_tenths_print(printed, 12), "12");
    assert_string_equal(ll_tenths_print(printed, 4.46), "4.5");
    assert_string_equal(ll_tenths_print(printed, 29.96), "30");
    assert_string_equal(ll_tenths_print(printed, -0.25), "-0.3");
    assert_string_equal(ll_tenths_print(printed, 0.04), "0");
    assert_string_equal(ll_tenths_print(printed, NAN), "");
}

static const struct {
    double value;
    int decimals;
    const char *text;
} fixed[] = {
    {0, 0, "0"}, {-0.0, 1, "0.0"}, {-0.04, 1, "0.0"}, {-0.06, 1, "-0.1"}, {0.5, 0, "0"}, {1.5, 0, "2"},
    {2.5, 0, "2"}, {0.25, 1, "0.2"}, {0.35, 1, "0.3"}, {0.05, 2, "0.05"}, {9.95, 1, "9.9"}, {99.95, 1, "100.0"},
    {1e-300, 6, "0.000000"}, {1e12, 1, "1000000000000.0"}, {999999999999.96, 1, "1000000000000.0"},
    {1e21, 2, "1000000000000000000000.00"}, {-1e15, 0, "-1000000000000000"},
};

static void writes_fixed_edges(void **state)
{
    (void)state;
    ll_text text;
    ll_text_open(&text, NULL, NULL, NULL);
    for (size_t i = 0; i < sizeof fixed / sizeof *fixed; i++) {
        ll_fixed_add(&text, fixed[i].value, fixed[i].decimals);
        check_written(&text, fixed[i].value, fixed[i].text);
        check_fixed(&text, fixed[i].value, fixed[i].decimals);
    }
    check_fixed(&text, DBL_MAX, 6);
    ll_text_close(&text);
}

/* 12 digits read back and written again are the same 12 digits. */
static void comes_back(void **state)
{
    (void)state;
    ll_text text;
    ll_text_open(&text, NULL, NULL, NULL);
    for (int i = 0; i < 100000; i++) {
        double value = random_double(), back;
        char first[64];
        ll_number_add(&text, value);
        snprintf(first, sizeof first, "%s", ll_text_string(&text));
        assert_true(ll_number_read(text.bytes, text.size, &back));
        assert_close(back, value, 0x1p-1074, 5.1e-12);
        text.size = 0;
        ll_number_add(&text, back);
        check_written(&text, back, first);
    }
    ll_text_close(&text);
}

/* --- the locale ----------------------------------------------------------------------------------------------- */

static bool take_comma_locale(void)
{
    static const char *const names[] = {"de_DE.UTF-8", "nb_NO.UTF-8", "fr_FR.UTF-8", "da_DK.UTF-8"};
    for (size_t i = 0; i < sizeof names / sizeof *names; i++)
        if (setlocale(LC_ALL, names[i]) && strcmp(localeconv()->decimal_point, ",") == 0)
            return true;
    setlocale(LC_ALL, "C");
    return false;
}

static void ignores_the_locale(void **state)
{
    (void)state;
    if (!take_comma_locale())
        skip();
    ll_text text;
    double value;
    ll_text_open(&text, NULL, NULL, NULL);
    for (size_t i = 0; i < sizeof known / sizeof *known; i++)
        assert_true(ll_number_read(known[i].text, strlen(known[i].text), &value) && value == known[i].value);
    assert_false(ll_number_read("1,5", 3, &value));
    for (size_t i = 0; i < sizeof general / sizeof *general; i++) {
        ll_number_add(&text, general[i].value);
        check_written(&text, general[i].value, general[i].text);
    }
    for (size_t i = 0; i < sizeof fixed / sizeof *fixed; i++) {
        ll_fixed_add(&text, fixed[i].value, fixed[i].decimals);
        check_written(&text, fixed[i].value, fixed[i].text);
    }
    ll_text_close(&text);
    setlocale(LC_ALL, "C");
}

int main(int argc, char **argv)
{
    if (argc > 1)
        read_rounds = strtoul(argv[1], NULL, 10);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(reads_random_decimals_as_strtod),
        cmocka_unit_test(reads_random_readings_as_strtod),
        cmocka_unit_test(reads_ends_of_the_exact_range_as_strtod),
        cmocka_unit_test(reads_halfway_cases_as_strtod),
        cmocka_unit_test(reads_known_cases),
        cmocka_unit_test(reads_beyond_deciding_digits),
        cmocka_unit_test(refuses_what_is_no_decimal),
        cmocka_unit_test(refuses_a_stray_byte),
        cmocka_unit_test(reads_no_further_than_told),
        cmocka_unit_test(reads_whole_numbers),
        cmocka_unit_test(writes_random_numbers_as_printf),
        cmocka_unit_test(writes_random_numbers_with_fixed_places_as_printf),
        cmocka_unit_test(writes_powers_of_ten_as_printf),
        cmocka_unit_test(writes_edges),
        cmocka_unit_test(prints_tenths_without_a_zero),
        cmocka_unit_test(writes_fixed_edges),
        cmocka_unit_test(comes_back),
        cmocka_unit_test(ignores_the_locale),
    };
    return cmocka_run_group_tests_name("number", tests, NULL, NULL);
}
