/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A log that a crew reads is the log that one reader reads: same figures, same notes, same lines, same sentences. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "allocator.h"
#include "log_texts.h"
#include "log_world.h"
#include "same_logs.h"

enum { ROOM = 200000, DIVES = 24, DAMAGES = 1000, WORDS = 24, CREWS = 3 };

/* --- a crew --------------------------------------------------------------------------------------------------------- */

/* Bytes of logs that were asked for while a crew was at work: what is left it leaves to the log's own parser. */
static size_t read_at_work;

/* The last piece comes first: nothing may hang on the order. `from`: where the log comes from. */
static void run_backwards(void *from, size_t jobs, size_t count, ll_work work, void *context)
{
    (void)jobs;
    const size_t before = ((pieces *)from)->next;
    for (size_t i = count; i-- > 0;)
        work(context, i);
    read_at_work += ((pieces *)from)->next - before;
}

static ll_status read_by(const char *text, size_t size, size_t jobs, size_t block_bytes, const ll_allocator *allocator,
                         ll_log **log, ll_error *error)
{
    ll_input_limits limits = ll_input_limits_built_in;
    pieces from = {text, size, 0, 500, 0};
    const ll_crew crew = {run_backwards, &from, jobs};
    limits.block_bytes = block_bytes;
    return ll_log_read_by("test.uddf", read_pieces, NULL, &from, &crew, allocator, &limits, log, error);
}

/* NULL if the text reads the same by crews of several sizes as alone. */
static const char *crew_differs(const char *text, size_t size)
{
    static const size_t jobs[CREWS] = {2, 3, 5}, blocks[CREWS] = {1200, 2000, 5000};
    ll_log *alone, *log;
    ll_error error = {.line = 0}, own = {.line = 0};
    const char *what = NULL;
    const ll_status status = try_bytes(text, size, 0, NULL, NULL, &alone, &error);
    for (size_t i = 0; i < CREWS && !what; i++) {
        const ll_status by_crew = read_by(text, size, jobs[i], blocks[i], NULL, &log, &own);
        if (by_crew != status)
            what = "status";
        else if (status == LL_OK)
            what = logs_differ(alone, log);
        else if (own.line != error.line || strcmp(own.text, error.text) != 0)
            what = "sentence or its line";
        ll_log_free(log);
    }
    ll_log_free(alone);
    return what;
}

static void assert_same_by_crew(const char *text)
{
    const char *what = crew_differs(text, strlen(text));
    if (what)
        fail_msg("%s: not the same: %.200s", what, text);
}

/* --- logs ----------------------------------------------------------------------------------------------------------- */

typedef struct long_text {
    char bytes[ROOM];
    size_t size;
} long_text;

static void put(long_text *to, const char *format, ...) __attribute__((format(printf, 2, 3)));
static void put(long_text *to, const char *format, ...)
{
    va_list values;
    va_start(values, format);
    const int size = vsnprintf(to->bytes + to->size, ROOM - to->size, format, values);
    va_end(values);
    assert_in_range(size, 0, ROOM - to->size - 1);
    to->size += (size_t)size;
}

/* A dive that leaves notes, refers to what is defined behind it, and holds elements that are passed over. */
static void put_dive(long_text *to, int n, const char *extra)
{
    put(to, "<dive id=\"d%d\">\n<informationbeforedive><datetime>2025-06-%02dT10:00:00</datetime>\n"
            "<unheard>of<depth>3</depth></unheard><link ref=\"quarry\"/></informationbeforedive>\n<samples>\n",
        n, 1 + n % 28);
    for (int i = 0; i < 6; i++)
        put(to, "<waypoint><depth>%d%s</depth><divetime>%d</divetime>%s\n<tankpressure ref=\"back\">%d</tankpressure>%s</waypoint>\n",
            i == 0 || i == 5 ? 0 : 10 + n, i == 3 ? ",5" : ".5", i * 30 - (i == 4 ? 40 : 0), i == 2 ? "<switchmix ref=\"late\"/>" : "",
            20000000 - 100000 * i, extra);
    put(to, "</samples><tankdata id=\"back\"><link ref=\"late\"/></tankdata>\n</dive>");
}

static const char *group_spaces = ""; /* that the group of dives declares */

/* Dives with `behind` each, and `between` in the middle of them. */
static void make_lines(long_text *to, const char *root, const char *behind, const char *between, const char *extra)
{
    to->size = 0;
    put(to, "<?xml version=\"1.0\"?>\n<%s>\n<profiledata>\n<repetitiongroup id=\"g\"%s>\n", root, group_spaces);
    for (int n = 0; n < DIVES; n++) {
        put_dive(to, n, extra);
        put(to, "%s", n == DIVES / 2 ? between : behind);
    }
    put(to, "</repetitiongroup></profiledata>\n<divesite><site id=\"quarry\"><name>Slate quarry</name></site></divesite>\n"
            "<gasdefinitions><mix id=\"late\"><o2>0.5</o2></mix></gasdefinitions></%.*s>\n",
        (int)strcspn(root, " "), root);
}

static void make(long_text *to, const char *root, const char *between, const char *extra)
{
    make_lines(to, root, "\n", between, extra);
}

static void a_crew_reads_the_same(void **state)
{
    (void)state;
    long_text text;
    make(&text, "uddf version=\"3.2.0\"", "\n", "");
    read_at_work = 0;
    assert_same_by_crew(text.bytes);
    assert_true(read_at_work > CREWS * (text.size / 2)); /* and it did most of it */
}

/* Whatever may stand between two dives, around them and in them. */
static void wherever_pieces_end(void **state)
{
    (void)state;
    static const char *const roots[] = {"uddf version=\"3.2.0\"", "uddf xmlns=\"urn:uddf\" version=\"3.2.0\"",
                                        "uddf xmlns='urn:a\" xmlns:q=\"urn:a' version=\"3.2.0\"",
                                        "uddf xmlns=\"urn:uddf\" xmlns:o=\"urn:o\" version=\"3.2.0\"", "uddf xmlns:o=\"urn:o\" version=\"3.2.0\""};
    static const char *const betweens[] = {
        "\n</repetitiongroup>\n<repetitiongroup id=\"h\">\n",
        "\n</repetitiongroup></profiledata><gasdefinitions><mix id=\"two\"><o2>0.32</o2></mix></gasdefinitions><profiledata><repetitiongroup>\n",
        "\n<!-- </dive>\n<dive> -->\n",
        "\n<![CDATA[</dive>\n]]>\n",
        "\n<?other </dive>\n?>\n",
        "\r\n\r\n",
        "",
        "\n<applicationdata><dive>\n</dive>\n</applicationdata>\n",
        "\n</repetitiongroup><repetitiongroup xmlns=\"urn:other\">\n",
        "\n</repetitiongroup></profiledata></uddf>\n<uddf><profiledata><repetitiongroup>\n",
        "\n</dive>\n",
        "\n<dive>\n",
        "\n&nbsp;\n",
        "\n<dive id=\"e\"/>\n<dive id=\"f\"></dive>\n",
        "\n<dive id='\n</dive>\n'></dive>\n",
        "\n</profiledata>\n",
        "\n<dive><a><a><a><a><a><a><a><a></a></a></a></a></a></a></a></a></dive>\n",
    };
    static const char *const extras[] = {"", "&amp;", "<x:strange xmlns:x=\"urn:x\"/>", "<o:other o:depth=\"3\">1</o:other>",
                                         "&deg;", "<alarm>a<b/>c</alarm>", "<depth>nine</depth>",
                                         "<tankpressure o:ref=\"late\">1</tankpressure>", "<q:depth>9</q:depth>",
                                         "<o:depth>9</o:depth>", "<alarm>&#x41;]]&gt;</alarm>"};
    static const char *const spaces[] = {"", " xmlns:o=\"urn:uddf\""};
    long_text text;
    for (size_t r = 0; r < 2 * (sizeof roots / sizeof *roots); r++)
        for (size_t b = 0; b < sizeof betweens / sizeof *betweens; b++)
            for (size_t e = (r + b) % 2; e < sizeof extras / sizeof *extras; e += 2) { /* each with half of the others */
                group_spaces = spaces[r % 2];
                make(&text, roots[r / 2], betweens[b], extras[e]);
                assert_same_by_crew(text.bytes);
            }
    group_spaces = "";
}

/* A group of dives that a piece held does not end as it should. */
static void an_end_that_is_missing(void **state)
{
    (void)state;
    long_text text, two;
    make(&text, "uddf version=\"3.2.0\"", "\n</repetitiongroup>\n<repetitiongroup>\n", "");
    char *end = strstr(text.bytes, "</repetitiongroup></profiledata>");
    assert_non_null(end);
    two = text;
    memset(end, ' ', strlen("</repetitiongroup>"));
    assert_same_by_crew(text.bytes);
    two.bytes[end - text.bytes] = '\0';
    assert_same_by_crew(two.bytes);
}

/* A parser bounds the names that it meets: when many are strange it is left alone with them. */
static void strange_names(void **state)
{
    (void)state;
    long_text text;
    char name[3000], extra[4000];
    size_t read_of[2];
    for (int strange = 0; strange < 2; strange++) {
        text.size = 0;
        put(&text, "<uddf><profiledata><repetitiongroup>\n");
        for (int n = 0; n < 40; n++) {
            memset(name, 'a' + n % 26, sizeof name - 1);
            name[sizeof name - 1] = '\0';
            name[0] = (char)('a' + n / 26);
            snprintf(extra, sizeof extra, strange ? "<x%s/>" : "<x/><!--%s-->", name);
            put(&text, "<dive>%s</dive>\n", extra);
        }
        put(&text, "</repetitiongroup></profiledata></uddf>");
        read_at_work = 0;
        assert_same_by_crew(text.bytes);
        read_of[strange] = read_at_work;
    }
    assert_true(read_of[1] < read_of[0]);
}

/* Columns are told too, so a piece does not end within a line. */
static void without_lines(void **state)
{
    (void)state;
    static const char *const behinds[] = {"", "<!-- -->", "\n", "\r\n", "\r", " "};
    static const char *const betweens[] = {"", "&nbsp;", "<a></b>", "<dive></dive>\n<dive></dive><a></b>"};
    long_text text;
    for (size_t i = 0; i < sizeof behinds / sizeof *behinds; i++)
        for (size_t b = 0; b < sizeof betweens / sizeof *betweens; b++) {
            make_lines(&text, "uddf version=\"3.2.0\"", behinds[i], betweens[b], "");
            assert_same_by_crew(text.bytes);
        }
}

/* What stands behind the end is read as far by one as by many. */
static void what_stands_behind_the_end(void **state)
{
    (void)state;
    static const char *const behinds[] = {"\xff\xfe", "<uddf>\xff", " \n", "<!-- \xe4 -->\n", "&"};
    long_text text;
    for (size_t i = 0; i < sizeof behinds / sizeof *behinds; i++) {
        make(&text, "uddf version=\"3.2.0\"", "\n", "");
        for (int times = 0; times < 3000; times++) {
            if (times % 600 == 0)
                assert_same_by_crew(text.bytes);
            put(&text, "%s", behinds[i]);
        }
    }
}

static void the_texts_of_other_tests(void **state)
{
    (void)state;
    assert_same_by_crew(log_text_2_2);
    assert_same_by_crew(log_text_3_1);
    assert_same_by_crew(log_text_3_2);
}

/* --- damage --------------------------------------------------------------------------------------------------------- */

/* A small generator of its own, so that every machine draws the same. */
static size_t draw(uint64_t *state, size_t below)
{
    *state = *state * 6364136223846793005u + 1442695040888963407u;
    return (size_t)(*state >> 33) % below;
}

static void damage(long_text *text, uint64_t *state)
{
    static const char *const words[WORDS] = {"<", ">", "/", "\"", "&", "</dive>", "</dive>\n", "<dive>", "<!--", "-->", "<![CDATA[",
                                             "]]>", "\n", "\r", "</samples>", "<?", "xmlns=\"a\"", "</repetitiongroup>", "<uddf>",
                                             "&#10;", "\xff", "<depth>", "&x;", "]]"};
    const size_t at = draw(state, text->size), length = draw(state, 300);
    const char *word = words[draw(state, WORDS)];
    switch (draw(state, 4)) {
    case 0: /* a byte */
        text->bytes[at] = (char)(1 + draw(state, 255));
        break;
    case 1: /* the end is gone */
        text->size = at;
        break;
    case 2: /* a piece is gone */
        if (at + length < text->size) {
            memmove(text->bytes + at, text->bytes + at + length, text->size - at - length);
            text->size -= length;
        }
        break;
    default: /* a word too much */
        memmove(text->bytes + at + strlen(word), text->bytes + at, text->size - at);
        memcpy(text->bytes + at, word, strlen(word));
        text->size += strlen(word);
    }
    text->bytes[text->size] = '\0';
}

static void damaged_logs_read_the_same(void **state)
{
    (void)state;
    uint64_t seed = 7;
    long_text whole, text;
    make(&whole, "uddf version=\"3.2.0\"", "\n</repetitiongroup>\n<repetitiongroup>\n", "<alarm>a</alarm>");
    read_at_work = 0;
    for (int i = 0; i < DAMAGES; i++) {
        text = whole;
        for (size_t times = 1 + draw(&seed, 3); times > 0 && text.size > 0; times--)
            damage(&text, &seed);
        const char *what = crew_differs(text.bytes, text.size);
        if (what)
            fail_msg("%s: damage %d", what, i);
    }
    assert_true(read_at_work > DAMAGES * (whole.size / 2));
}

/* --- caps and memory ------------------------------------------------------------------------------------------------ */

/* NULL if crew and reader agree under these caps. */
static const char *capped_differs(const long_text *text, const ll_input_limits *limits, size_t fail_at)
{
    ll_log *alone, *log;
    ll_error error = {.line = 0}, own = {.line = 0};
    pieces from = {text->bytes, text->size, 0, 7, fail_at}, again = from;
    const ll_crew crew = {run_backwards, &again, 3};
    const ll_status status = ll_log_read("test.uddf", read_pieces, &from, NULL, limits, &alone, &error);
    const ll_status by_crew = ll_log_read_by("test.uddf", read_pieces, NULL, &again, &crew, NULL, limits, &log, &own);
    const char *what = by_crew != status ? "status" : NULL;
    if (!what && status == LL_OK)
        what = logs_differ(alone, log);
    if (!what && status != LL_OK && (own.line != error.line || strcmp(own.text, error.text) != 0))
        what = "sentence or its line";
    ll_log_free(alone);
    ll_log_free(log);
    return what;
}

static void assert_same_at_cap(const long_text *text, size_t which, size_t most)
{
    ll_input_limits limits = ll_input_limits_built_in;
    size_t *const caps[] = {&limits.nesting, &limits.text_bytes, &limits.dives, &limits.samples, &limits.total_samples,
                            &limits.total_bytes, &limits.ids};
    limits.block_bytes = 1900;
    *caps[which] = most;
    const char *what = capped_differs(text, &limits, 0);
    if (what)
        fail_msg("%s: cap %zu at %zu", what, which, most);
}

/* Nesting, text and samples beyond a cap stand in the middle of the log, in what the crew reads. */
static void caps_hold(void **state)
{
    (void)state;
    static const char between[] = "\n<dive><samples><waypoint><alarm>0123456789012345678<b/>\n0123456789\n012345678901\n2345678901234\n5678"
                                  "</alarm><a><a><a><a><a><a/></a></a></a></a></a></waypoint><waypoint/><waypoint/><waypoint/><waypoint/>"
                                  "<waypoint/><waypoint/><waypoint/></samples></dive>\n";
    long_text text;
    make(&text, "uddf version=\"3.2.0\"", between, "");
    for (size_t most = 1; most < 30; most++) {
        assert_same_at_cap(&text, 0, most);
        assert_same_at_cap(&text, 1, 40 + most);
        assert_same_at_cap(&text, 2, most);
        assert_same_at_cap(&text, 3, most);
        assert_same_at_cap(&text, 4, 5 * most);
        assert_same_at_cap(&text, 5, 800 * most);
        assert_same_at_cap(&text, 6, 3 * most);
    }
}

static void reading_may_fail(void **state)
{
    (void)state;
    long_text text;
    ll_input_limits limits = ll_input_limits_built_in;
    limits.block_bytes = 1900;
    make(&text, "uddf version=\"3.2.0\"", "\n", "");
    for (size_t at = 1; at < text.size; at += 23) {
        const char *what = capped_differs(&text, &limits, at);
        if (what)
            fail_msg("%s: fails at %zu", what, at);
    }
}

/* Where memory runs out on the way, the log is whole or there is a sentence. */
static void memory_may_run_out(void **state)
{
    (void)state;
    long_text text;
    make(&text, "uddf version=\"3.2.0\"", "\n", "");
    ll_log *alone = read_text(text.bytes);
    bool done = false;
    for (size_t n = 1; !done; n++) {
        test_heap heap;
        test_heap_open(&heap, n);
        ll_log *log;
        ll_error error = {.line = 0};
        const ll_status status = read_by(text.bytes, text.size, 3, 900, &heap.allocator, &log, &error);
        if (status == LL_OK)
            assert_null(logs_differ(alone, log));
        else
            assert_int_equal(status, LL_NO_MEMORY);
        done = heap.calls < n;
        ll_log_free(log);
        assert_int_equal(heap.live, 0);
    }
    ll_log_free(alone);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_crew_reads_the_same),      cmocka_unit_test(wherever_pieces_end),
        cmocka_unit_test(an_end_that_is_missing),     cmocka_unit_test(strange_names),
        cmocka_unit_test(what_stands_behind_the_end), cmocka_unit_test(without_lines),
        cmocka_unit_test(reading_may_fail),
        cmocka_unit_test(the_texts_of_other_tests),   cmocka_unit_test(damaged_logs_read_the_same),
        cmocka_unit_test(caps_hold),                  cmocka_unit_test(memory_may_run_out),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
