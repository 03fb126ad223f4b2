/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Plans: what is read of a slate, and what is planned at a time. Expected figures are worked out by hand; the digests
 * are what sha256sum prints. */
#include <locale.h>
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "allocator.h"
#include "close.h"
#include "plan_world.h"

static void assert_point(const ll_plan_point *point, double run_s, double depth_m, double o2, double he, size_t line)
{
    assert_close(point->run_s, run_s, 0, 0);
    assert_close(point->depth_m, depth_m, 0, 0);
    assert_close(point->o2, o2, 0, 0);
    assert_close(point->he, he, 0, 0);
    assert_int_equal(point->line, line);
}

/* --- the whole ---------------------------------------------------------------------------------------------------- */

static void a_slate_is_read(void **state)
{
    (void)state;
    ll_plan *plan = read_plan(plan_whole);
    assert_string_equal(plan->name, "slate.txt");
    assert_int_equal(plan->count, 3);
    const ll_plan_variant *first = &plan->variant[0];
    assert_string_equal(first->name, "as planned");
    assert_int_equal(first->count, 7);
    assert_close(first->greatest_m, 45, 0, 0);
    assert_point(&first->point[0], 0, 0, 0.18, 0.45, 2);
    assert_point(&first->point[1], 180, 45, 0.18, 0.45, 3);
    assert_point(&first->point[2], 1410, 45, 0.18, 0.45, 4);
    assert_point(&first->point[3], 1560, 21, 0.18, 0.45, 5);
    assert_point(&first->point[4], 1560, 21, 0.5, 0, 6);
    assert_point(&first->point[5], 2430, 6, 1, 0, 8);
    assert_point(&first->point[6], 3120, 0, 1, 0, 9);
    ll_plan_free(plan);
}

static void variants_are_read(void **state)
{
    (void)state;
    ll_plan *plan = read_plan(plan_whole);
    assert_string_equal(plan->variant[1].name, "deeper");
    assert_int_equal(plan->variant[1].count, 2);
    assert_close(plan->variant[1].greatest_m, 48.5, 0, 0);
    assert_point(&plan->variant[1].point[1], 180, 48.5, 0.18, 0.45, 12);
    assert_string_equal(plan->variant[2].name, "lost gas");
    assert_int_equal(plan->variant[2].count, 3);
    assert_point(&plan->variant[2].point[0], 0, 0, 0.18, 0.45, 14);
    ll_plan_free(plan);
    plan = read_plan("VARIANT As planned\n5 3 air\n6 0\nvariant as planned\n5 4 air\n6 0\n"
                     "variant Quarr\xC3\xBD\n1 1 air\n2 2\n");
    assert_int_equal(plan->count, 3);
    assert_string_equal(plan->variant[0].name, "As planned");
    assert_string_equal(plan->variant[1].name, "as planned");
    assert_string_equal(plan->variant[2].name, "Quarr\xC3\xBD");
    ll_plan_free(plan);
}

/* printf '0 0 air\n5 9\n' | sha256sum, and with a byte order mark and CR LF. */
static void the_bytes_are_digested_as_they_are(void **state)
{
    (void)state;
    ll_plan *plan = read_plan("0 0 air\n5 9\n");
    assert_string_equal(plan->sha256, "956ed6d8475d54180627410f773299741e471735cf83c52d35cbfdc06c846cc3");
    ll_plan_free(plan);
    plan = read_plan("\xEF\xBB\xBF" "0 0 air\r\n5 9\r\n");
    assert_string_equal(plan->sha256, "6660274439a2518015b74d60bab9668f8d70ce4be98196f91a468dcabf700b65");
    ll_plan_free(plan);
}

/* The example of docs/plans.md, its first block. */
static void the_example_of_the_manual_is_a_plan(void **state)
{
    (void)state;
    static char text[16 * 1024];
    FILE *file = fopen(LL_PLANS_MD, "rb");
    assert_non_null(file);
    size_t size = fread(text, 1, sizeof text - 1, file);
    fclose(file);
    text[size] = '\0';
    char *begin = strstr(text, "```\n"), *end = begin ? strstr(begin + 4, "```") : NULL;
    assert_non_null(end);
    ll_plan *plan = read_plan_bytes(begin + 4, (size_t)(end - begin - 4), 1000);
    assert_int_equal(plan->count, 3);
    assert_int_equal(plan->variant[0].count, 8);
    assert_string_equal(plan->variant[2].name, "lost gas");
    ll_plan_free(plan);
}

static void ends_of_lines_and_marks_say_nothing(void **state)
{
    (void)state;
    static const char *const texts[] = {
        "0 0 air\n5 9 EAN32\n",
        "0 0 air\n5 9 EAN32",
        "0 0 air\r\n5 9 EAN32\r\n",
        ("\xEF\xBB\xBF" "0 0 air\n5 9 EAN32\r"),
        "\t0\t0\tair\t\n \t5   9 EAN32  #\n#\n   \n\r\n",
        "0 0 air#1 2 3\n5 9 EAN32 # # \xE2\x80\xA6 \x01\x7F",
    };
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++)
        for (size_t piece = 1; piece < 8; piece++) {
            ll_plan *plan = read_plan_bytes(texts[i], strlen(texts[i]), piece);
            assert_int_equal(plan->count, 1);
            assert_int_equal(plan->variant[0].count, 2);
            assert_point(&plan->variant[0].point[0], 0, 0, 0.21, 0, 1);
            assert_point(&plan->variant[0].point[1], 300, 9, 0.32, 0, 2);
            ll_plan_free(plan);
        }
}

static void memory_may_run_out_anywhere(void **state)
{
    (void)state;
    test_heap heap;
    ll_plan *plan = NULL;
    ll_error error;
    size_t from = 0;
    do {
        plan_source text = {plan_whole, plan_whole_size, 0, 100, false};
        test_heap_open(&heap, ++from);
        ll_status status = ll_plan_read("slate.txt", plan_take, &text, &heap.allocator, &plan, &error);
        if (status == LL_OK)
            break;
        assert_int_equal(status, LL_NO_MEMORY);
        assert_int_equal(error.status, LL_NO_MEMORY);
        assert_string_equal(error.text, "memory ran out");
        assert_int_equal(error.line, 0);
        assert_null(plan);
        assert_int_equal(heap.live, 0);
    } while (from < 100);
    assert_non_null(plan);
    assert_true(from > 2);
    assert_int_equal(heap.calls, from - 1);
    assert_int_equal(plan->count, 3);
    ll_plan_free(plan);
    assert_int_equal(heap.live, 0);
    ll_plan_free(NULL);
}

/* --- fields ------------------------------------------------------------------------------------------------------- */

static void mixes(void **state)
{
    (void)state;
    static const struct {
        const char *label;
        double o2, he;
    } rows[] = {
        {"air", 0.21, 0},        {"AIR", 0.21, 0},       {"oxygen", 1, 0},         {"Oxygen", 1, 0},
        {"O2", 1, 0},            {"o2", 1, 0},           {"EAN32", 0.32, 0},       {"ean32", 0.32, 0},
        {"Ean050", 0.5, 0},      {"EAN1", 0.01, 0},      {"EAN100", 1, 0},         {"18/45", 0.18, 0.45},
        {"Tx18/45", 0.18, 0.45}, {"tx10/70", 0.1, 0.7},  {"TX1/99", 0.01, 0.99},   {"100/0", 1, 0},
        {"32/0", 0.32, 0},       {"8/60", 0.08, 0.6},    {"50/50", 0.5, 0.5},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char text[64];
        snprintf(text, sizeof text, "0 0 %s\n9 9\n", rows[i].label);
        ll_plan *plan = read_plan(text);
        assert_point(&plan->variant[0].point[0], 0, 0, rows[i].o2, rows[i].he, 1);
        assert_point(&plan->variant[0].point[1], 540, 9, rows[i].o2, rows[i].he, 2);
        ll_plan_free(plan);
    }
}

static void run_times(void **state)
{
    (void)state;
    static const struct {
        const char *run;
        double run_s;
    } rows[] = {
        {"0", 0},          {"0:00", 0},        {"0.5", 30},          {".5", 30},         {"5.", 300},
        {"12:30", 750},    {"12.5", 750},      {"0:59", 59},         {"007", 420},       {"90", 5400},
        {"119:01", 7141},  {"10000", 600000},  {"10000:00", 600000}, {"9999:59", 599999}, {"0.00001", 0.001},
        {"2.05", 123},     {"0.1", 6},         {"1.1", 66},          {"0.0166666667", 1}, {"33.3333", 1999.998},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char text[64];
        snprintf(text, sizeof text, "%s 0 air\n10000 0\n", rows[i].run);
        ll_plan *plan = read_plan(text);
        assert_point(&plan->variant[0].point[0], rows[i].run_s, 0, 0.21, 0, 1);
        ll_plan_free(plan);
    }
}

/* A tenth of a minute is six seconds, however it is written: neither line comes before the other. */
static void both_ways_to_write_a_time_agree(void **state)
{
    (void)state;
    for (unsigned s = 0; s < 60 * 200; s += 3) {
        char text[128];
        unsigned hundredths = s % 60 * 100 / 60;
        snprintf(text, sizeof text, "%u.%02u 9 air\n%u:%02u 9 EAN32\n%u.%02u 9 air\n", s / 60, hundredths, s / 60,
                 s % 60, s / 60, hundredths);
        ll_plan *plan = read_plan(text);
        assert_close(plan->variant[0].point[0].run_s, s, 0, 0);
        assert_close(plan->variant[0].point[1].run_s, s, 0, 0);
        ll_plan_free(plan);
    }
}

static void depths(void **state)
{
    (void)state;
    ll_plan *plan = read_plan("0 0.0 air\n1 330\n2 330.0\n3 .5\n4 45.25\n");
    static const double expected_m[] = {0, 330, 330, 0.5, 45.25};
    for (size_t i = 0; i < 5; i++)
        assert_close(plan->variant[0].point[i].depth_m, expected_m[i], 0, 0);
    assert_close(plan->variant[0].greatest_m, 330, 0, 0);
    ll_plan_free(plan);
}

static void the_locale_has_no_say(void **state)
{
    (void)state;
    static const char *const names[] = {"de_DE.UTF-8", "de_DE.utf8", "fr_FR.UTF-8", "tr_TR.UTF-8"};
    size_t tried = 0;
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        if (!setlocale(LC_ALL, names[i]))
            continue;
        tried++;
        ll_plan *plan = read_plan("0.5 0.25 AIR\n7.75 9.5 OXYGEN\n");
        assert_point(&plan->variant[0].point[0], 30, 0.25, 0.21, 0, 1);
        assert_point(&plan->variant[0].point[1], 465, 9.5, 1, 0, 2);
        ll_plan_free(plan);
        assert_line_refused("0,5 9 air", "expected a run time in minutes such as 12.5 or 12:30, found '0,5'");
    }
    setlocale(LC_ALL, "C");
    if (tried == 0)
        skip();
}

/* --- a slate or a log --------------------------------------------------------------------------------------------- */

#define BYTES(text) text, sizeof text - 1

static void logs_are_told_from_slates(void **state)
{
    (void)state;
    static const struct {
        const char *bytes;
        size_t size;
        bool log;
    } rows[] = {
        {BYTES("<"), true},
        {BYTES("<?xml version='1.0'?>"), true},
        {BYTES("\xEF\xBB\xBF<uddf"), true},
        {BYTES(" \r\n\t<uddf"), true},
        {BYTES("\xFF\xFE<\0?\0"), true},
        {BYTES("\xFE\xFF\0<\0?"), true},
        {BYTES("\0<\0?"), true},
        {BYTES("\x1F\x8B"), true},
        {BYTES("\x1F\x8B\x08\0"), true},
        {BYTES(""), false},
        {BYTES("\x1F"), false},
        {BYTES("\x1F\x8C"), false},
        {BYTES(" \x1F\x8B"), false},
        {BYTES("0 0 air\n"), false},
        {BYTES("# <uddf\n"), false},
        {BYTES("0 < 1\n"), false},
        {BYTES("\xEF\xBB\xBF" "0 0 air\n"), false},
        {BYTES("variant <b>\n"), false},
        {BYTES("\xEF\xBB\xBF \n"), false},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        assert_int_equal(ll_plan_looks_like_log(rows[i].bytes, rows[i].size), rows[i].log);
    assert_false(ll_plan_looks_like_log("<", 0));
    assert_false(ll_plan_looks_like_log("\x1F\x8B", 1));
    assert_false(ll_plan_looks_like_log("  <", 2));
    assert_false(ll_plan_looks_like_log(NULL, 0));
}

/* --- at a time ---------------------------------------------------------------------------------------------------- */

/* By hand: from 0 to 45 m in 180 s a quarter of a metre a second; from 45 m at 1410 s to 21 m at 1560 s 0.16 m/s; from
 * 21 m at 1560 s to 6 m at 2430 s 15/870 m/s; from 6 m to 0 in 690 s. */
static void depth_is_linear_between_lines(void **state)
{
    (void)state;
    ll_plan *plan = read_plan(plan_whole);
    static const struct {
        double run_s, depth_m;
    } rows[] = {
        {-1, 0},      {0, 0},       {60, 15},     {90, 22.5},    {179, 44.75}, {180, 45}, {181, 45},      {1000, 45},
        {1410, 45},   {1485, 33},   {1435, 41},   {1560, 21},    {1995, 13.5}, {1618, 20}, {2430, 6},     {2545, 5},
        {3097, 0.2},  {3120, 0},    {3121, 0},    {1e300, 0},    {NAN, 0},     {INFINITY, 0}, {-INFINITY, 0},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) /* a rounding or two of depths below 64 m */
        assert_close(ll_plan_depth_m(&plan->variant[0], rows[i].run_s), rows[i].depth_m, 3e-14, 0);
    ll_plan_free(plan);
}

static void a_plan_may_begin_and_end_below(void **state)
{
    (void)state;
    ll_plan *plan = read_plan("3 45 air\n5 45\n9 3\n");
    const ll_plan_variant *variant = plan->variant;
    assert_close(ll_plan_depth_m(variant, 179.999), 0, 0, 0);
    assert_close(ll_plan_depth_m(variant, 180), 45, 0, 0);
    assert_close(ll_plan_depth_m(variant, 540), 3, 0, 0);
    assert_close(ll_plan_depth_m(variant, 540.001), 0, 0, 0);
    assert_null(ll_plan_at(variant, 179.999));
    assert_ptr_equal(ll_plan_at(variant, 180), &variant->point[0]);
    assert_ptr_equal(ll_plan_at(variant, 1e9), &variant->point[2]);
    ll_plan_free(plan);
}

static void the_mix_holds_from_its_line_on(void **state)
{
    (void)state;
    ll_plan *plan = read_plan(plan_whole);
    const ll_plan_variant *variant = plan->variant;
    assert_null(ll_plan_at(variant, -0.001));
    assert_null(ll_plan_at(variant, NAN));
    assert_ptr_equal(ll_plan_at(variant, 0), &variant->point[0]);
    assert_ptr_equal(ll_plan_at(variant, 179.9), &variant->point[0]);
    assert_ptr_equal(ll_plan_at(variant, 180), &variant->point[1]);
    assert_ptr_equal(ll_plan_at(variant, 1559.9), &variant->point[2]);
    assert_ptr_equal(ll_plan_at(variant, 1560), &variant->point[4]);
    assert_ptr_equal(ll_plan_at(variant, 2429.9), &variant->point[4]);
    assert_ptr_equal(ll_plan_at(variant, 2430), &variant->point[5]);
    assert_ptr_equal(ll_plan_at(variant, INFINITY), &variant->point[6]);
    ll_plan_free(plan);
}

static void all_lines_at_one_time(void **state)
{
    (void)state;
    ll_plan *plan = read_plan("5 9 air\n5 9 EAN32\n5 9 oxygen\n");
    const ll_plan_variant *variant = plan->variant;
    assert_close(ll_plan_depth_m(variant, 299), 0, 0, 0);
    assert_close(ll_plan_depth_m(variant, 300), 9, 0, 0);
    assert_close(ll_plan_depth_m(variant, 301), 0, 0, 0);
    assert_ptr_equal(ll_plan_at(variant, 300), &variant->point[2]);
    ll_plan_free(plan);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_slate_is_read),
        cmocka_unit_test(variants_are_read),
        cmocka_unit_test(the_bytes_are_digested_as_they_are),
        cmocka_unit_test(the_example_of_the_manual_is_a_plan),
        cmocka_unit_test(ends_of_lines_and_marks_say_nothing),
        cmocka_unit_test(memory_may_run_out_anywhere),
        cmocka_unit_test(mixes),
        cmocka_unit_test(run_times),
        cmocka_unit_test(both_ways_to_write_a_time_agree),
        cmocka_unit_test(depths),
        cmocka_unit_test(the_locale_has_no_say),
        cmocka_unit_test(logs_are_told_from_slates),
        cmocka_unit_test(depth_is_linear_between_lines),
        cmocka_unit_test(a_plan_may_begin_and_end_below),
        cmocka_unit_test(the_mix_holds_from_its_line_on),
        cmocka_unit_test(all_lines_at_one_time),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
