/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Plans: each rule at its limit and one past it, and what is refused with which sentence on which line. */
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

#define RUN "expected a run time in minutes such as 12.5 or 12:30, found '"
#define MIX "expected a mix such as air, EAN32, 18/45 or oxygen, found '"

/* --- fields ------------------------------------------------------------------------------------------------------- */

static void no_mixes(void **state)
{
    (void)state;
    static const char *const labels[] = {
        "EAN0",     "EAN101",        "EAN",    "EAN-32", "EAN+32", "EAN32.5", "EAN0x20", "nitrox", "32",   "32%",
        "0/50",     "101/0",         "51/50",  "18/",    "/45",    "/",       "18/45/",  "Tx",     "Tx32", "o",
        "18/45/37", "TxTx18/45",     "airs",   "ai",     "O22",    "oxyge",   "18,45",   "18\\45", "18/4,5",
        "-18/45",   "EAN1000000032",
    };
    for (size_t i = 0; i < sizeof labels / sizeof *labels; i++) {
        char text[64], sentence[128];
        snprintf(text, sizeof text, "0 0 %s", labels[i]);
        snprintf(sentence, sizeof sentence, MIX "%s'", labels[i]);
        assert_line_refused(text, sentence);
    }
    assert_line_refused("0 0 Tx 18/45", MIX "Tx'");
}

static void no_run_times(void **state)
{
    (void)state;
    static const char *const runs[] = {
        "-1",    "+1",      "1e2",     "12,5",  "12:5", "12:60", "12:300", ":30", "12:", ":",  "1:2:03", "-0",  "nan",
        "inf",   "1:02:03", "12.5:30", "12:3.", "0x10", ".",     "1.2.3",  "run", "12'", "1m", "12: 30", "vari",
        "12min", "variants", "1000000000:00",
    };
    for (size_t i = 0; i < sizeof runs / sizeof *runs; i++) {
        char text[64], sentence[128];
        snprintf(text, sizeof text, "%s 9 air", runs[i]);
        snprintf(sentence, sizeof sentence, RUN "%.*s'", (int)strcspn(runs[i], " "), runs[i]);
        assert_line_refused(text, sentence);
    }
    assert_line_refused("10000.0001 9 air", "expected a run time of at most 10000 minutes, found '10000.0001'");
    assert_line_refused("10000:01 9 air", "expected a run time of at most 10000 minutes, found '10000:01'");
}

static void no_depths(void **state)
{
    (void)state;
    static const char *const none[] = {"330.01", "-1", "+1", "1e1", "45m", "45,5", "m", "nan", "9999999999", "."};
    for (size_t i = 0; i < sizeof none / sizeof *none; i++) {
        char text[64], sentence[128];
        snprintf(text, sizeof text, "5 %s air", none[i]);
        snprintf(sentence, sizeof sentence, "expected a depth from 0 to 330 m, found '%s'", none[i]);
        assert_line_refused(text, sentence);
    }
    assert_line_refused("5", "expected a depth from 0 to 330 m, found nothing");
}

static void what_is_missing_or_too_much(void **state)
{
    (void)state;
    assert_line_refused("5 9", "expected a mix on the first line of a variant, found nothing");
    assert_plan_refused("0 0 air\n5 9\nvariant b\n0 0 # as above\n", 4,
                        "expected a mix on the first line of a variant, found nothing");
    assert_line_refused("5 9 air on the line", "expected nothing behind run time, depth and mix, found 'on the line'");
}

/* --- order and variants ------------------------------------------------------------------------------------------- */

static void run_times_do_not_fall(void **state)
{
    (void)state;
    assert_plan_refused("0 0 air\n5 9\n4:59 9\n", 3,
                        "expected a run time that is not earlier than the one above it, found '4:59'");
    assert_plan_refused("0 0 air\n5 9\n4.99999 9\n", 3,
                        "expected a run time that is not earlier than the one above it, found '4.99999'");
    assert_plan_refused("0 0 air\n5 9\n5:00 9.1\n", 3,
                        "expected the depth of the line above, which has the same run time, found '9.1'");
    assert_plan_refused("0 0 air\n5 9\n5:00 8.9 EAN32\n", 3,
                        "expected the depth of the line above, which has the same run time, found '8.9'");
    ll_plan *plan = read_plan("5 9 air\n5:00 9.0 EAN32\n5.0 9\nvariant b\n0 3 air\n0 3 oxygen\n");
    assert_int_equal(plan->variant[0].count, 3);
    assert_int_equal(plan->variant[1].count, 2);
    ll_plan_free(plan);
}

static void two_lines_a_variant(void **state)
{
    (void)state;
    static const char one[] = "expected at least two lines 'run depth mix' in a variant, found one";
    static const char none[] = "expected at least two lines 'run depth mix' in a variant, found none";
    assert_plan_refused("\n5 9 air\n\n", 2, one);
    assert_plan_refused("5 9 air\nvariant b\n5 9 air\n6 0\n", 1, one);
    assert_plan_refused("5 9 air\n6 0\nvariant b\n5 9 air\n\n", 3, one);
    assert_plan_refused("5 9 air\n6 0\nvariant b\n\n", 3, none);
    assert_plan_refused("variant a\nvariant b\n5 9 air\n6 0\n", 1, none);
    assert_plan_refused("", 0, "expected lines 'run depth mix', found none");
    assert_plan_refused("\xEF\xBB\xBF", 0, "expected lines 'run depth mix', found none");
    assert_plan_refused("# 5 9 air\n\n\n", 0, "expected lines 'run depth mix', found none");
}

static void names_of_variants(void **state)
{
    (void)state;
    assert_line_refused("variant", "expected a name behind 'variant', found nothing");
    assert_line_refused("Variant \t # deeper", "expected a name behind 'variant', found nothing");
    assert_plan_refused("5 9 air\n6 0\nvariant  as  planned\n", 3,
                        "expected a name that no variant above has, found 'as planned'");
    assert_plan_refused("variant b\n5 9 air\n6 0\nvariant c\n5 9 air\n6 0\nvariant b \n", 7,
                        "expected a name that no variant above has, found 'b'");
    assert_line_refused("variant de\x1B[31mep", "expected a name without control characters, found 'de[31mep'");
    assert_line_refused("variant c1 \xC2\x85 \xC2\x9F.", "expected a name without control characters, found 'c1  .'");
    assert_line_refused("variant \x7F", "expected a name without control characters, found ''");
    assert_plan_bytes_refused("variant a\0b\n", 12, 1, "expected a name without control characters, found 'ab'");
    ll_plan *plan = read_plan("variant \xC2\xA0\n0 0 air\n1 1\n"); /* the first that is none */
    assert_string_equal(plan->variant[0].name, "\xC2\xA0");
    ll_plan_free(plan);
}

/* --- caps --------------------------------------------------------------------------------------------------------- */

/* `lines` lines in all, the first two of them points. */
static void write_lines(char *text, size_t lines, const char *filling)
{
    size_t size = (size_t)sprintf(text, "0 0 air\n1 9\n");
    for (size_t i = 2; i < lines; i++)
        size += (size_t)sprintf(text + size, "%s\n", filling);
}

static void caps_on_lines(void **state)
{
    (void)state;
    static char text[8 * 1100];
    write_lines(text, 1000, "2 9");
    ll_plan *plan = read_plan(text);
    assert_int_equal(plan->variant[0].count, 1000);
    assert_int_equal(plan->variant[0].point[999].line, 1000);
    ll_plan_free(plan);
    write_lines(text, 1001, "2 9");
    assert_plan_refused(text, 1001, "expected at most 1000 lines, found more");
    write_lines(text, 1001, "#");
    assert_plan_refused(text, 1001, "expected at most 1000 lines, found more");
    write_lines(text, 1000, "");
    strcat(text, " ");
    assert_plan_refused(text, 1001, "expected at most 1000 lines, found more");
}

/* A comment of 200 bytes on every line, CR LF and a byte order mark: the longest file there is. */
static void caps_on_the_length_of_a_line(void **state)
{
    (void)state;
    static char text[203 * 1001], filling[256];
    memset(filling, '#', 200);
    strcpy(filling + 200, "\r");
    size_t size = (size_t)sprintf(text, "\xEF\xBB\xBF");
    for (unsigned i = 0; i < 1000; i++)
        size += i == 0 || i == 999 ? (size_t)sprintf(text + size, "%u 5 air%.*s\r\n", i % 10, 200 - 7, filling)
                                   : (size_t)sprintf(text + size, "%s\n", filling);
    assert_int_equal(size, 3 + 1000 * 202);
    ll_plan *plan = read_plan_bytes(text, size, 100000);
    assert_int_equal(plan->variant[0].count, 2);
    assert_int_equal(plan->variant[0].point[1].line, 1000);
    ll_plan_free(plan);
    strcpy(text + size, "\n");
    assert_plan_refused(text, 1001, "expected at most 1000 lines, found more");
    strcpy(filling + 200, "#\r\n1 5 air\n2 5");
    assert_plan_refused(filling, 1, "expected at most 200 bytes in a line, found more");
    strcpy(filling + 200, "\r\r\n1 5 air\n2 5"); /* one CR belongs to the end of a line */
    assert_plan_refused(filling, 1, "expected at most 200 bytes in a line, found more");
    strcpy(filling + 200, "\n1 5 air\n2 5");
    ll_plan_free(read_plan(filling));
}

static void write_variants(char *text, size_t count)
{
    size_t size = (size_t)sprintf(text, "0 0 air\n1 9\n");
    for (size_t i = 1; i < count; i++)
        size += (size_t)sprintf(text + size, "variant number %zu\n0 0 air\n1 %zu\n", i, i);
}

static void caps_on_variants(void **state)
{
    (void)state;
    static char text[40 * 40];
    write_variants(text, 32);
    ll_plan *plan = read_plan(text);
    assert_int_equal(plan->count, 32);
    assert_string_equal(plan->variant[31].name, "number 31");
    assert_close(plan->variant[31].greatest_m, 31, 0, 0);
    ll_plan_free(plan);
    write_variants(text, 33);
    assert_plan_refused(text, 96, "expected at most 32 variants, found 'number 32'");
}

static ptrdiff_t take_for_ever(void *context, void *bytes, size_t capacity)
{
    const char *line = context;
    size_t length = strlen(line);
    for (size_t at = 0; at < capacity; at++)
        ((char *)bytes)[at] = line[at % length];
    return (ptrdiff_t)(capacity / length * length);
}

static void a_file_without_an_end(void **state)
{
    (void)state;
    static char digits[] = "1", points[] = "5 9 air\n";
    ll_plan *plan;
    ll_error error;
    assert_int_equal(ll_plan_read("a", take_for_ever, digits, NULL, &plan, &error), LL_BAD_INPUT);
    assert_int_equal(error.line, 1);
    assert_int_equal(ll_plan_read("a", take_for_ever, points, NULL, &plan, &error), LL_BAD_INPUT);
    assert_string_equal(error.text, "expected at most 1000 lines, found more");
    assert_int_equal(error.line, 1001);
    test_heap heap;
    for (size_t from = 1; from < 20; from++) { /* nor does it hang where memory ends */
        test_heap_open(&heap, from);
        assert_int_not_equal(ll_plan_read("a", take_for_ever, points, &heap.allocator, &plan, &error), LL_OK);
        assert_null(plan);
        assert_int_equal(heap.live, 0);
    }
}

/* --- bytes -------------------------------------------------------------------------------------------------------- */

static void bytes_that_are_no_utf_8(void **state)
{
    (void)state;
    assert_line_refused("5 9 air # \xDC" "bung", "expected UTF-8 text, found the byte 0xDC");
    assert_line_refused("variant Mi\xE9", "expected UTF-8 text, found the byte 0xE9");
    assert_line_refused("\xC3", "expected UTF-8 text, found the byte 0xC3");           /* cut short by the line */
    assert_line_refused("5 9 \xC0\xAF", "expected UTF-8 text, found the byte 0xC0");   /* overlong */
    assert_line_refused("\xED\xA0\x80", "expected UTF-8 text, found the byte 0xED");   /* a surrogate */
    assert_line_refused("\xEF\xBB\xBF" "1 2 air", RUN "\xEF\xBB\xBF" "1'"); /* no mark but at the beginning */
    assert_plan_refused("0 0 air\n5 9\n# \xE2\x80", 3, "expected UTF-8 text, found the byte 0xE2"); /* by the file */
    assert_plan_bytes_refused("\xFF\xFE" "0\0 \0", 6, 1, "expected UTF-8 text, found the byte 0xFF");
    assert_plan_bytes_refused("0 0 air\n5\0 9\n", 13, 2, RUN "5'");
}

#define TEN "abcdefghij"

/* At most 40 bytes, whole characters, no control characters. */
static void what_was_found_is_shown_tamely(void **state)
{
    (void)state;
    assert_line_refused(TEN TEN TEN TEN, RUN TEN TEN TEN TEN "'");
    assert_line_refused(TEN TEN TEN TEN "k", RUN TEN TEN TEN "abcdefg...'");
    assert_line_refused(TEN TEN TEN "abcdef\xC3\x9F" "ijk", RUN TEN TEN TEN "abcdef...'"); /* bytes 37, 38 */
    assert_line_refused(TEN TEN TEN "abcde\xC3\x9F" "hijk", RUN TEN TEN TEN "abcde\xC3\x9F...'");
    assert_line_refused(TEN TEN TEN "abcdefg\xF0\x9F\xA4\xBF", RUN TEN TEN TEN "abcdefg...'"); /* 41 bytes */
    assert_line_refused(TEN TEN TEN "abcdef\xF0\x9F\xA4\xBF", RUN TEN TEN TEN "abcdef\xF0\x9F\xA4\xBF'");
    assert_line_refused("a\x1B]0;b\x07\rc\xC2\x9B" "d\x7F", RUN "a]0;bcd'");
    assert_line_refused(TEN TEN "\x01\x02\x03\x04\x05\x06\x07\x08" TEN TEN "\x0B", RUN TEN TEN TEN TEN "'");
    assert_line_refused("\x01", RUN "'");
}

static void a_read_that_fails_is_told(void **state)
{
    (void)state;
    plan_source from = {"0 0 air\n5 9\n", 12, 0, 5, true};
    ll_plan *plan;
    ll_error error = {LL_OK, 7, ""};
    assert_int_equal(ll_plan_read("slate.txt", plan_take, &from, NULL, &plan, &error), LL_BAD_INPUT);
    assert_null(plan);
    assert_string_equal(error.text, "the input could not be read");
    assert_int_equal(error.line, 0);
}

/* True if it is a plan; else there was one sentence on a line of it. */
static bool ends_in_order(const char *text, size_t size)
{
    plan_source from = {text, size, 0, 64, false};
    ll_plan *plan;
    ll_error error = {LL_OK, 0, ""};
    if (ll_plan_read("slate.txt", plan_take, &from, NULL, &plan, &error) == LL_OK) {
        for (size_t i = 0; i < plan->count; i++)
            assert_true(plan->variant[i].count >= 2);
        ll_plan_free(plan);
        return true;
    }
    assert_null(plan);
    assert_int_equal(error.status, LL_BAD_INPUT);
    assert_in_range(error.line, 0, 17); /* a byte may become the end of a line */
    assert_memory_equal(error.text, "expected ", 9);
    for (const char *c = error.text; *c; c++)
        assert_true((unsigned char)*c >= 0x20 && *c != 0x7F);
    return false;
}

/* A slate cut anywhere, and with any byte of it replaced. */
static void broken_slates_end_in_order(void **state)
{
    (void)state;
    static const char others[] = "\0\n\r\t #:/.9-evEV\x1B\x7F\x80\xC3\xFF";
    size_t tries = 0, plans = 0;
    for (size_t at = 0; at < plan_whole_size; at++) {
        plans += ends_in_order(plan_whole, at);
        for (size_t with = 0; with < sizeof others - 1; with++) {
            char text[512];
            assert_true(plan_whole_size <= sizeof text);
            memcpy(text, plan_whole, plan_whole_size);
            text[at] = others[with];
            plans += ends_in_order(text, plan_whole_size);
        }
        tries += sizeof others;
    }
    assert_in_range(plans, tries / 5, tries * 4 / 5); /* both ends are met */
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(no_mixes),
        cmocka_unit_test(no_run_times),
        cmocka_unit_test(no_depths),
        cmocka_unit_test(what_is_missing_or_too_much),
        cmocka_unit_test(run_times_do_not_fall),
        cmocka_unit_test(two_lines_a_variant),
        cmocka_unit_test(names_of_variants),
        cmocka_unit_test(caps_on_lines),
        cmocka_unit_test(caps_on_the_length_of_a_line),
        cmocka_unit_test(caps_on_variants),
        cmocka_unit_test(a_file_without_an_end),
        cmocka_unit_test(bytes_that_are_no_utf_8),
        cmocka_unit_test(what_was_found_is_shown_tamely),
        cmocka_unit_test(a_read_that_fails_is_told),
        cmocka_unit_test(broken_slates_end_in_order),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
