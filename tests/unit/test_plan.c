/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Plans: what is read of a slate, each rule at its limit and one past it, what is refused with which sentence on which
 * line, and what is planned at a time. Expected figures are worked out by hand; the digest is what sha256sum prints. */
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
#include "standard/plan.h"

/* --- reading ---------------------------------------------------------------------------------------------------- */

typedef struct {
    const char *text;
    size_t size, taken, piece;
    bool breaks;
} source;

static ptrdiff_t take(void *context, void *bytes, size_t capacity)
{
    source *from = context;
    size_t size = from->size - from->taken;
    if (size == 0 && from->breaks)
        return -1;
    size = size < capacity ? size : capacity;
    size = size < from->piece ? size : from->piece;
    memcpy(bytes, from->text + from->taken, size);
    from->taken += size;
    return (ptrdiff_t)size;
}

static ll_plan *read_bytes(const char *text, size_t size, size_t piece)
{
    source from = {text, size, 0, piece, false};
    ll_plan *plan = NULL;
    ll_error error = {LL_OK, 0, ""};
    if (ll_plan_read("slate.txt", take, &from, NULL, &plan, &error) != LL_OK)
        fail_msg("line %ld: %s", error.line, error.text);
    assert_non_null(plan);
    return plan;
}

static ll_plan *read_text(const char *text)
{
    return read_bytes(text, strlen(text), 1000);
}

static void assert_bytes_refused(const char *text, size_t size, long line, const char *sentence)
{
    source from = {text, size, 0, 1000, false}, again = from;
    ll_plan *plan = (ll_plan *)&from;
    ll_error error = {LL_OK, 0, ""};
    assert_int_equal(ll_plan_read("slate.txt", take, &from, NULL, &plan, &error), LL_BAD_INPUT);
    assert_null(plan);
    assert_string_equal(error.text, sentence);
    assert_int_equal(error.line, line);
    assert_int_equal(error.status, LL_BAD_INPUT);
    assert_int_equal(ll_plan_read("slate.txt", take, &again, NULL, &plan, NULL), LL_BAD_INPUT);
}

static void assert_refused(const char *text, long line, const char *sentence)
{
    assert_bytes_refused(text, strlen(text), line, sentence);
}

/* The line is the first of a slate that is in order but for it. */
static void assert_line_refused(const char *line, const char *sentence)
{
    char text[400];
    snprintf(text, sizeof text, "# a slate\n\n%s\n90 0 air\n", line);
    assert_refused(text, 3, sentence);
}

static void assert_point(const ll_plan_point *point, double run_s, double depth_m, double o2, double he, size_t line)
{
    assert_close(point->run_s, run_s, 0, 0);
    assert_close(point->depth_m, depth_m, 0, 0);
    assert_close(point->o2, o2, 0, 0);
    assert_close(point->he, he, 0, 0);
    assert_int_equal(point->line, line);
}

static const char whole[] = "# The north gallery, two of us\n"
                            "0      0    18/45\n"
                            "3      45          # on the floor\n"
                            "23:30\t45\n"
                            "26     21\n"
                            "26     21   EAN50\n"
                            "\n"
                            "  40.5 6    oxygen\n"
                            "52     0\n"
                            "variant deeper\n"
                            "0 0 18/45\n"
                            "3 48.5\n"
                            "variant  lost \t gas # the stage\n"
                            "0 0 18/45\n"
                            "3 45\n"
                            "23.5 45\n";

static void a_slate_is_read(void **state)
{
    (void)state;
    ll_plan *plan = read_text(whole);
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
    ll_plan *plan = read_text(whole);
    assert_string_equal(plan->variant[1].name, "deeper");
    assert_int_equal(plan->variant[1].count, 2);
    assert_close(plan->variant[1].greatest_m, 48.5, 0, 0);
    assert_point(&plan->variant[1].point[1], 180, 48.5, 0.18, 0.45, 12);
    assert_string_equal(plan->variant[2].name, "lost gas");
    assert_int_equal(plan->variant[2].count, 3);
    assert_point(&plan->variant[2].point[0], 0, 0, 0.18, 0.45, 14);
    ll_plan_free(plan);
    plan = read_text("VARIANT As planned\n5 3 air\n6 0\nvariant as planned\n5 4 air\n6 0\n"
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
    ll_plan *plan = read_text("0 0 air\n5 9\n");
    assert_string_equal(plan->sha256, "956ed6d8475d54180627410f773299741e471735cf83c52d35cbfdc06c846cc3");
    ll_plan_free(plan);
    plan = read_text("\xEF\xBB\xBF" "0 0 air\r\n5 9\r\n");
    assert_string_equal(plan->sha256, "6660274439a2518015b74d60bab9668f8d70ce4be98196f91a468dcabf700b65");
    ll_plan_free(plan);
}

static void ends_of_lines_and_marks_say_nothing(void **state)
{
    (void)state;
    static const char *const texts[] = {
        "0 0 air\n5 9 EAN32\n",
        "0 0 air\n5 9 EAN32",
        "0 0 air\r\n5 9 EAN32\r\n",
        "\xEF\xBB\xBF" "0 0 air\n5 9 EAN32\r",
        "\t0\t0\tair\t\n \t5   9 EAN32  #\n#\n   \n\r\n",
        "0 0 air#1 2 3\n5 9 EAN32 # # \xE2\x80\xA6 \x01\x7F",
    };
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++)
        for (size_t piece = 1; piece < 8; piece++) {
            ll_plan *plan = read_bytes(texts[i], strlen(texts[i]), piece);
            assert_int_equal(plan->count, 1);
            assert_int_equal(plan->variant[0].count, 2);
            assert_point(&plan->variant[0].point[0], 0, 0, 0.21, 0, 1);
            assert_point(&plan->variant[0].point[1], 300, 9, 0.32, 0, 2);
            ll_plan_free(plan);
        }
}

#define RUN "expected a run time in minutes such as 12.5 or 12:30, found '"
#define MIX "expected a mix such as air, EAN32, 18/45 or oxygen, found '"

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
        ll_plan *plan = read_text(text);
        assert_point(&plan->variant[0].point[0], 0, 0, rows[i].o2, rows[i].he, 1);
        assert_point(&plan->variant[0].point[1], 540, 9, rows[i].o2, rows[i].he, 2);
        ll_plan_free(plan);
    }
}

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
        {"8.35", 501},     {"0.1", 6},         {"1.1", 66},          {"0.0166666667", 1}, {"33.3333", 1999.998},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char text[64];
        snprintf(text, sizeof text, "%s 0 air\n10000 0\n", rows[i].run);
        ll_plan *plan = read_text(text);
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
        ll_plan *plan = read_text(text);
        assert_close(plan->variant[0].point[0].run_s, s, 0, 0);
        assert_close(plan->variant[0].point[1].run_s, s, 0, 0);
        ll_plan_free(plan);
    }
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

static void depths(void **state)
{
    (void)state;
    ll_plan *plan = read_text("0 0.0 air\n1 330\n2 330.0\n3 .5\n4 45.25\n");
    static const double expected_m[] = {0, 330, 330, 0.5, 45.25};
    for (size_t i = 0; i < 5; i++)
        assert_close(plan->variant[0].point[i].depth_m, expected_m[i], 0, 0);
    assert_close(plan->variant[0].greatest_m, 330, 0, 0);
    ll_plan_free(plan);
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
    assert_refused("0 0 air\n5 9\nvariant b\n0 0 # as above\n", 4,
                   "expected a mix on the first line of a variant, found nothing");
    assert_line_refused("5 9 air on the line", "expected nothing behind run time, depth and mix, found 'on the line'");
}

/* --- order -------------------------------------------------------------------------------------------------------- */

static void run_times_do_not_fall(void **state)
{
    (void)state;
    assert_refused("0 0 air\n5 9\n4:59 9\n", 3,
                   "expected a run time that is not earlier than the one above it, found '4:59'");
    assert_refused("0 0 air\n5 9\n4.99999 9\n", 3,
                   "expected a run time that is not earlier than the one above it, found '4.99999'");
    assert_refused("0 0 air\n5 9\n5:00 9.1\n", 3,
                   "expected the depth of the line above, which has the same run time, found '9.1'");
    assert_refused("0 0 air\n5 9\n5:00 8.9 EAN32\n", 3,
                   "expected the depth of the line above, which has the same run time, found '8.9'");
    ll_plan *plan = read_text("5 9 air\n5:00 9.0 EAN32\n5.0 9\nvariant b\n0 3 air\n0 3 oxygen\n");
    assert_int_equal(plan->variant[0].count, 3);
    assert_int_equal(plan->variant[1].count, 2);
    ll_plan_free(plan);
}

/* --- variants ----------------------------------------------------------------------------------------------------- */

static void two_lines_a_variant(void **state)
{
    (void)state;
    static const char one[] = "expected at least two lines 'run depth mix' in a variant, found one";
    static const char none[] = "expected at least two lines 'run depth mix' in a variant, found none";
    assert_refused("\n5 9 air\n\n", 2, one);
    assert_refused("5 9 air\nvariant b\n5 9 air\n6 0\n", 1, one);
    assert_refused("5 9 air\n6 0\nvariant b\n5 9 air\n\n", 3, one);
    assert_refused("5 9 air\n6 0\nvariant b\n\n", 3, none);
    assert_refused("variant a\nvariant b\n5 9 air\n6 0\n", 1, none);
    assert_refused("", 0, "expected lines 'run depth mix', found none");
    assert_refused("\xEF\xBB\xBF", 0, "expected lines 'run depth mix', found none");
    assert_refused("# 5 9 air\n\n\n", 0, "expected lines 'run depth mix', found none");
}

static void names_of_variants(void **state)
{
    (void)state;
    assert_line_refused("variant", "expected a name behind 'variant', found nothing");
    assert_line_refused("Variant \t # deeper", "expected a name behind 'variant', found nothing");
    assert_refused("5 9 air\n6 0\nvariant  as  planned\n", 3,
                   "expected a name that no variant above has, found 'as planned'");
    assert_refused("variant b\n5 9 air\n6 0\nvariant c\n5 9 air\n6 0\nvariant b \n", 7,
                   "expected a name that no variant above has, found 'b'");
    assert_line_refused("variant de\x1B[31mep", "expected a name without control characters, found 'de[31mep'");
    assert_line_refused("variant c1 \xC2\x85 \xC2\x9F.", "expected a name without control characters, found 'c1  .'");
    assert_line_refused("variant \x7F", "expected a name without control characters, found ''");
    assert_bytes_refused("variant a\0b\n", 12, 1, "expected a name without control characters, found 'ab'");
    ll_plan *plan = read_text("variant \xC2\xA0\n0 0 air\n1 1\n"); /* the first that is none */
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
    ll_plan *plan = read_text(text);
    assert_int_equal(plan->variant[0].count, 1000);
    assert_int_equal(plan->variant[0].point[999].line, 1000);
    ll_plan_free(plan);
    write_lines(text, 1001, "2 9");
    assert_refused(text, 1001, "expected at most 1000 lines, found more");
    write_lines(text, 1001, "#");
    assert_refused(text, 1001, "expected at most 1000 lines, found more");
    write_lines(text, 1000, "");
    strcat(text, " ");
    assert_refused(text, 1001, "expected at most 1000 lines, found more");
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
    ll_plan *plan = read_bytes(text, size, 100000);
    assert_int_equal(plan->variant[0].count, 2);
    assert_int_equal(plan->variant[0].point[1].line, 1000);
    ll_plan_free(plan);
    strcpy(text + size, "\n");
    assert_refused(text, 1001, "expected at most 1000 lines, found more");
    strcpy(filling + 200, "#\r\n1 5 air\n2 5");
    assert_refused(filling, 1, "expected at most 200 bytes in a line, found more");
    strcpy(filling + 200, "\r\r\n1 5 air\n2 5"); /* one CR belongs to the end of a line */
    assert_refused(filling, 1, "expected at most 200 bytes in a line, found more");
    strcpy(filling + 200, "\n1 5 air\n2 5");
    ll_plan_free(read_text(filling));
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
    ll_plan *plan = read_text(text);
    assert_int_equal(plan->count, 32);
    assert_string_equal(plan->variant[31].name, "number 31");
    assert_close(plan->variant[31].greatest_m, 31, 0, 0);
    ll_plan_free(plan);
    write_variants(text, 33);
    assert_refused(text, 96, "expected at most 32 variants, found 'number 32'");
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
    assert_refused("0 0 air\n5 9\n# \xE2\x80", 3, "expected UTF-8 text, found the byte 0xE2"); /* by the file */
    assert_bytes_refused("\xFF\xFE" "0\0 \0", 6, 1, "expected UTF-8 text, found the byte 0xFF");
    assert_bytes_refused("0 0 air\n5\0 9\n", 13, 2, RUN "5'");
}

/* At most 40 bytes, whole characters, no control characters. */
static void what_was_found_is_shown_tamely(void **state)
{
    (void)state;
#define TEN "abcdefghij"
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
    source from = {"0 0 air\n5 9\n", 12, 0, 5, true};
    ll_plan *plan;
    ll_error error = {LL_OK, 7, ""};
    assert_int_equal(ll_plan_read("slate.txt", take, &from, NULL, &plan, &error), LL_BAD_INPUT);
    assert_null(plan);
    assert_string_equal(error.text, "the input could not be read");
    assert_int_equal(error.line, 0);
}

/* True if it is a plan; else there was one sentence on a line of it. */
static bool ends_in_order(const char *text, size_t size)
{
    source from = {text, size, 0, 64, false};
    ll_plan *plan;
    ll_error error = {LL_OK, 0, ""};
    if (ll_plan_read("slate.txt", take, &from, NULL, &plan, &error) == LL_OK) {
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
    for (size_t at = 0; at < sizeof whole - 1; at++) {
        plans += ends_in_order(whole, at);
        for (size_t with = 0; with < sizeof others - 1; with++) {
            char text[sizeof whole];
            memcpy(text, whole, sizeof whole);
            text[at] = others[with];
            plans += ends_in_order(text, sizeof whole - 1);
        }
        tries += sizeof others;
    }
    assert_in_range(plans, tries / 5, tries * 4 / 5); /* both ends are met */
}

static void memory_may_run_out_anywhere(void **state)
{
    (void)state;
    test_heap heap;
    ll_plan *plan = NULL;
    ll_error error;
    size_t from = 0;
    do {
        source text = {whole, sizeof whole - 1, 0, 100, false};
        test_heap_open(&heap, ++from);
        ll_status status = ll_plan_read("slate.txt", take, &text, &heap.allocator, &plan, &error);
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

static void the_locale_has_no_say(void **state)
{
    (void)state;
    static const char *const names[] = {"de_DE.UTF-8", "de_DE.utf8", "fr_FR.UTF-8", "tr_TR.UTF-8"};
    size_t tried = 0;
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        if (!setlocale(LC_ALL, names[i]))
            continue;
        tried++;
        ll_plan *plan = read_text("0.5 0.25 AIR\n7.75 9.5 OXYGEN\n");
        assert_point(&plan->variant[0].point[0], 30, 0.25, 0.21, 0, 1);
        assert_point(&plan->variant[0].point[1], 465, 9.5, 1, 0, 2);
        ll_plan_free(plan);
        assert_line_refused("0,5 9 air", RUN "0,5'");
    }
    setlocale(LC_ALL, "C");
    if (tried == 0)
        skip();
}

/* --- a slate or a log --------------------------------------------------------------------------------------------- */

static void logs_are_told_from_slates(void **state)
{
    (void)state;
#define BYTES(text) text, sizeof text - 1
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
    ll_plan *plan = read_text(whole);
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
    ll_plan *plan = read_text("3 45 air\n5 45\n9 3\n");
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
    ll_plan *plan = read_text(whole);
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
    ll_plan *plan = read_text("5 9 air\n5 9 EAN32\n5 9 oxygen\n");
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
        cmocka_unit_test(ends_of_lines_and_marks_say_nothing),
        cmocka_unit_test(mixes),
        cmocka_unit_test(no_mixes),
        cmocka_unit_test(run_times),
        cmocka_unit_test(both_ways_to_write_a_time_agree),
        cmocka_unit_test(no_run_times),
        cmocka_unit_test(depths),
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
        cmocka_unit_test(memory_may_run_out_anywhere),
        cmocka_unit_test(the_locale_has_no_say),
        cmocka_unit_test(logs_are_told_from_slates),
        cmocka_unit_test(depth_is_linear_between_lines),
        cmocka_unit_test(a_plan_may_begin_and_end_below),
        cmocka_unit_test(the_mix_holds_from_its_line_on),
        cmocka_unit_test(all_lines_at_one_time),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
