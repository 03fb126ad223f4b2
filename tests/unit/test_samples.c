/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The samples that a page carries, taken apart by jansson (JSON) and nettle (base64), against the columns they came
 * from; figures printed from them against figures printed from the columns, by the C library. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>
#include <jansson.h>
#include <nettle/base64.h>

#include "close.h"
#include "report/samples.h"
#include "report_world.h"

enum { FIRST = 1, COUNT = 12 };

static world w;
static ll_track track;
static double column[LL_QUANTITIES][WORLD_SAMPLES], headroom[LL_COMPARTMENTS][WORLD_SAMPLES];
static json_t *read_back;

static int open_world(void **state)
{
    (void)state;
    world_open(&w);
    track = w.debrief.track;
    for (int q = LL_DEPTH; q < LL_TISSUES_N2; q++) {
        for (int i = 0; i < WORLD_SAMPLES; i++)
            column[q][i] = 0.30123 + 0.77711 * i;
        track.column[q] = column[q];
    }
    for (int c = 0; c < LL_COMPARTMENTS; c++) {
        for (int i = 0; i < WORLD_SAMPLES; i++)
            headroom[c][i] = 0.01234 * i * c - 0.5;
        track.headroom[c] = headroom[c];
    }
    return 0;
}

static int close_world(void **state)
{
    (void)state;
    json_decref(read_back);
    read_back = NULL;
    world_close(&w);
    return 0;
}

/* --- taking apart ------------------------------------------------------------------------------------------------ */

static const char *write_samples(void)
{
    w.out.size = 0;
    ll_html_samples(&w.out, &w.debrief, &track);
    return world_text(&w);
}

static json_t *samples(void)
{
    static const char tag[] = "<script type=\"application/json\" class=\"samples\">";
    const char *text = write_samples();
    assert_memory_equal(text, tag, sizeof tag - 1);
    json_error_t error;
    json_decref(read_back);
    read_back = json_loads(text + sizeof tag - 1, JSON_REJECT_DUPLICATES | JSON_DISABLE_EOF_CHECK, &error);
    if (!read_back)
        fail_msg("jansson, at %d: %s", error.position, error.text);
    assert_string_equal(text + sizeof tag - 1 + (size_t)error.position, "</script>\n");
    return read_back;
}

typedef struct values {
    size_t count;
    double step, value[64];
} values;

static double number_at(const json_t *of, const char *key)
{
    const json_t *number = json_object_get(of, key);
    assert_true(json_is_number(number));
    return json_number_value(number);
}

/* Little end first; the greatest number, or with a sign the least, means missing. */
static double value_of(const json_t *as, const uint8_t *bytes, int size)
{
    const bool is_signed = json_is_true(json_object_get(as, "signed"));
    const double range = ldexp(1, 8 * size);
    double number = 0;
    for (int i = size - 1; i >= 0; i--)
        number = 256 * number + bytes[i];
    if (is_signed && number >= range / 2)
        number -= range;
    if (number == (is_signed ? -range / 2 : range - 1))
        return NAN;
    return number * number_at(as, "scale") + number_at(as, "offset");
}

static values unpack(const json_t *as)
{
    const json_t *data = json_object_get(as, "data");
    const int size = (int)number_at(as, "bits") / 8;
    uint8_t bytes[1024];
    size_t length = sizeof bytes;
    struct base64_decode_ctx context;
    values found = {0};
    assert_true(json_is_string(data));
    base64_decode_init(&context);
    assert_true(base64_decode_update(&context, &length, bytes, json_string_length(data), json_string_value(data)));
    assert_true(base64_decode_final(&context));
    assert_int_equal(length % (size_t)size, 0);
    found.count = length / (size_t)size;
    found.step = number_at(as, "scale");
    assert_true(found.count <= 64);
    for (size_t i = 0; i < found.count; i++)
        found.value[i] = value_of(as, bytes + i * (size_t)size, size);
    return found;
}

static const json_t *column_of(const json_t *all, const char *key)
{
    size_t i;
    const json_t *one;
    json_array_foreach(json_object_get(all, "columns"), i,
                       one) if (strcmp(json_string_value(json_object_get(one, "key")), key) == 0) return one;
    fail_msg("no column %s", key);
    return NULL;
}

static void assert_same(values found, const double *expected, size_t count)
{
    assert_int_equal(found.count, count);
    for (size_t i = 0; i < count; i++) {
        if (isnan(expected[i]))
            assert_true(isnan(found.value[i]));
        else
            assert_close(found.value[i], expected[i], found.step * 0.500001, 0);
    }
}

/* What stands in the read-out is what stands in the words: the same digits from the stored value and from the column.
 */
static void assert_printed_alike(ll_quantity quantity, values found, const double *expected)
{
    for (size_t i = 0; i < found.count; i++) {
        char stored[64], computed[64];
        const int digits = ll_quantity_table[quantity].digits;
        snprintf(stored, sizeof stored, "%.*f", digits, round(found.value[i] / found.step) / round(1 / found.step));
        snprintf(computed, sizeof computed, "%.*f", digits, expected[i]);
        assert_string_equal(stored, computed);
        assert_close(found.value[i], expected[i], found.step * 1.000001, 0);
    }
}

/* --- tests ------------------------------------------------------------------------------------------------------- */

static const ll_quantity shown[] = {LL_DEPTH,   LL_PO2,  LL_END_N2,   LL_END_N2O2,        LL_DENSITY, LL_ASCENT_RATE,
                                    LL_CEILING, LL_STOP, LL_GRADIENT, LL_TIME_TO_SURFACE, LL_CNS,     LL_OTU};

static void every_column_comes_back(void **state)
{
    (void)state;
    const json_t *all = samples();
    assert_int_equal(json_array_size(json_object_get(all, "columns")), 1 + sizeof shown / sizeof *shown);
    assert_close(number_at(all, "count"), COUNT, 0, 0);
    assert_close(number_at(all, "from_s"), 60, 0, 0);
    assert_close(number_at(all, "to_s"), 4080, 0, 0);
    assert_same(unpack(column_of(all, "time_s")), w.time_s + FIRST, COUNT);
    for (size_t i = 0; i < sizeof shown / sizeof *shown; i++) {
        const json_t *as = column_of(all, ll_quantity_table[shown[i]].key);
        assert_string_equal(json_string_value(json_object_get(as, "unit")), ll_quantity_table[shown[i]].unit);
        assert_printed_alike(shown[i], unpack(as), column[shown[i]] + FIRST);
        assert_true(unpack(as).step <= 0.2 * pow(10, -ll_quantity_table[shown[i]].digits) ||
                    shown[i] == LL_TIME_TO_SURFACE);
    }
}

static void compartments_come_back(void **state)
{
    (void)state;
    const json_t *all = samples();
    const json_t *rows = json_object_get(all, "headroom"), *helium = json_object_get(all, "helium");
    assert_int_equal(json_array_size(rows), LL_COMPARTMENTS);
    assert_int_equal(json_array_size(helium), LL_COMPARTMENTS);
    assert_close(number_at(all, "helium_every"), 1, 0, 0);
    for (size_t c = 0; c < LL_COMPARTMENTS; c++) {
        double share[COUNT];
        for (size_t i = 0; i < COUNT; i++)
            share[i] = track.he[c][FIRST + i] / (track.n2[c][FIRST + i] + track.he[c][FIRST + i]);
        values found = unpack(json_array_get(rows, c));
        for (size_t i = 0; i < COUNT; i++)
            assert_close(found.value[i], headroom[c][FIRST + i], found.step * 1.000001, 0);
        assert_same(unpack(json_array_get(helium, c)), share, COUNT);
    }
}

static void fewer_compartments_have_fewer_rows(void **state)
{
    (void)state;
    for (int c = 9; c < LL_COMPARTMENTS; c++)
        track.headroom[c] = NULL;
    assert_int_equal(json_array_size(json_object_get(samples(), "headroom")), 9);
    track.headroom[0] = NULL;
    assert_int_equal(json_array_size(json_object_get(samples(), "headroom")), 0);
}

static void helium_is_stored_every_four_seconds(void **state)
{
    (void)state;
    w.debrief.profile.interval_s = 1;
    const json_t *all = samples();
    assert_close(number_at(all, "helium_every"), 4, 0, 0);
    values found = unpack(json_array_get(json_object_get(all, "helium"), 3));
    assert_int_equal(found.count, COUNT / 4);
    for (size_t i = 0; i < found.count; i++) {
        const size_t at = FIRST + 4 * i;
        assert_close(found.value[i], track.he[3][at] / (track.n2[3][at] + track.he[3][at]), found.step * 0.500001, 0);
    }
}

/* Padding of one, two and no places. */
static void any_number_of_samples_comes_back(void **state)
{
    (void)state;
    for (size_t count = 2; count <= COUNT; count++) {
        w.debrief.profile.surfacing = FIRST + count - 1;
        const json_t *all = samples(), *helium = json_array_get(json_object_get(all, "helium"), 0);
        assert_same(unpack(column_of(all, "time_s")), w.time_s + FIRST, count);
        assert_int_equal(unpack(helium).count, count);
        assert_int_equal(json_string_length(json_object_get(helium, "data")) % 4, 0);
    }
}

static void without_helium_none_is_stored(void **state)
{
    (void)state;
    static const double none[WORLD_SAMPLES];
    for (int c = 0; c < LL_COMPARTMENTS; c++)
        track.he[c] = none;
    assert_int_equal(unpack(json_array_get(json_object_get(samples(), "helium"), 0)).count, 0);
}

static void missing_values_are_missing(void **state)
{
    (void)state;
    column[LL_PO2][4] = column[LL_CNS][1] = column[LL_GRADIENT][12] = headroom[2][5] = NAN;
    column[LL_TIME_TO_SURFACE][7] = INFINITY;
    const json_t *all = samples();
    assert_true(isnan(unpack(column_of(all, "po2_atm")).value[4 - FIRST]));
    assert_true(isnan(unpack(column_of(all, "cns_percent")).value[0]));
    assert_true(isnan(unpack(column_of(all, "gradient_percent")).value[12 - FIRST]));
    assert_true(isnan(unpack(column_of(all, "time_to_surface_s")).value[7 - FIRST]));
    assert_true(isnan(unpack(json_array_get(json_object_get(all, "headroom"), 2)).value[5 - FIRST]));
    assert_false(isnan(unpack(column_of(all, "po2_atm")).value[5 - FIRST]));
}

/* 28.5499 m is 28.5 m in the words; stored to the hundredth it would read 28.6. */
static void no_figure_is_rounded_twice(void **state)
{
    (void)state;
    static const double near[COUNT] = {28.5499, 28.5501, 0.0499, 0.0501, 1.0499999, 1.0500001,
                                       12.35,   59.95,   0.35,   2.2499, 7.55,      30.05};
    static const ll_quantity one_digit[] = {LL_DEPTH, LL_END_N2, LL_END_N2O2, LL_DENSITY, LL_CEILING, LL_ASCENT_RATE};
    for (size_t q = 0; q < sizeof one_digit / sizeof *one_digit; q++)
        memcpy(column[one_digit[q]] + FIRST, near, sizeof near);
    for (size_t i = 0; i < COUNT; i++)
        column[LL_ASCENT_RATE][FIRST + i] = -near[i];
    const json_t *all = samples();
    for (size_t q = 0; q < sizeof one_digit / sizeof *one_digit; q++)
        assert_printed_alike(one_digit[q], unpack(column_of(all, ll_quantity_table[one_digit[q]].key)),
                             column[one_digit[q]] + FIRST);
}

static void great_values_take_more_room(void **state)
{
    (void)state;
    column[LL_DEPTH][3] = 1234.56;
    column[LL_GRADIENT][3] = -98765.4;
    column[LL_TIME_TO_SURFACE][3] = 86399;
    headroom[1][4] = -123.456;
    const json_t *all = samples();
    assert_close(unpack(column_of(all, "depth_m")).value[2], 1234.56, 0.005, 0);
    assert_close(unpack(column_of(all, "gradient_percent")).value[2], -98765.4, 0.05, 0);
    assert_close(unpack(column_of(all, "time_to_surface_s")).value[2], 86399, 0, 0);
    assert_close(unpack(json_array_get(json_object_get(all, "headroom"), 1)).value[3], -123.456, 0.0005, 0);
    assert_close(number_at(column_of(all, "depth_m"), "bits"), 32, 0, 0);
    assert_close(number_at(column_of(all, "cns_percent"), "bits"), 16, 0, 0);
}

static void times_are_exact(void **state)
{
    (void)state;
    assert_close(number_at(column_of(samples(), "time_s"), "bits"), 16, 0, 0);
    w.time_s[5] = 1680.125;
    w.time_s[12] = 90000.5;
    const json_t *all = samples();
    values found = unpack(column_of(all, "time_s"));
    for (size_t i = 0; i < COUNT; i++)
        assert_close(found.value[i], w.time_s[FIRST + i], 1e-9, 0);
}

/* --- words of the log -------------------------------------------------------------------------------------------- */

#define HOSTILE "</script><!--<script>\"\\\x01 & 'x'"

static void words_of_the_log_stay_in_the_element(void **state)
{
    (void)state;
    static const uint32_t at[] = {0, 3, 13};
    static const double bar[] = {210, 180.55, 60};
    const ll_series pressure = {HOSTILE, LL_NONE, 3, at, bar};
    w.dive.tank_pressures = 1;
    w.dive.tank_pressure = &pressure;
    w.mix[1].label = HOSTILE;
    const char *text = write_samples();
    assert_null(strstr(text + 8, "<script"));
    assert_null(strstr(text, "<!--"));
    assert_ptr_equal(strstr(text, "</script"), text + strlen(text) - strlen("</script>\n"));
    const json_t *all = samples(), *tank = json_array_get(json_object_get(all, "tanks"), 0);
    assert_string_equal(json_string_value(json_object_get(tank, "name")), HOSTILE);
    const json_t *columns = json_object_get(tank, "columns");
    assert_same(unpack(json_array_get(columns, 0)), (const double[]){0, 600, 4140}, 3);
    assert_same(unpack(json_array_get(columns, 1)), bar, 3);
}

static void each_gas_begins_when_it_was_breathed(void **state)
{
    (void)state;
    w.breathed[1].loop = true;
    const json_t *gases = json_object_get(samples(), "gases");
    static const struct {
        double from_s;
        const char *words;
    } expected[] = {{0, "18/45"}, {2000, "loop, diluent EAN50"}, {3200, "oxygen"}};
    assert_int_equal(json_array_size(gases), 3);
    for (size_t i = 0; i < 3; i++) {
        const json_t *gas = json_array_get(gases, i);
        assert_close(number_at(gas, "from_s"), expected[i].from_s, 0, 0);
        assert_string_equal(json_string_value(json_object_get(gas, "words")), expected[i].words);
    }
}

static void without_a_run_time_there_is_nothing(void **state)
{
    (void)state;
    w.debrief.profile.has_run_time = false;
    assert_string_equal(write_samples(), "");
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, open_world, close_world)
    const struct CMUnitTest tests[] = {
        TEST(every_column_comes_back),
        TEST(compartments_come_back),
        TEST(fewer_compartments_have_fewer_rows),
        TEST(helium_is_stored_every_four_seconds),
        TEST(any_number_of_samples_comes_back),
        TEST(without_helium_none_is_stored),
        TEST(missing_values_are_missing),
        TEST(no_figure_is_rounded_twice),
        TEST(great_values_take_more_room),
        TEST(times_are_exact),
        TEST(words_of_the_log_stay_in_the_element),
        TEST(each_gas_begins_when_it_was_breathed),
        TEST(without_a_run_time_there_is_nothing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
