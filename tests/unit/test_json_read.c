/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The reader of JSON against RFC 8259 and against jansson, a general JSON library. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>
#include <jansson.h>

#include "allocator.h"
#include "close.h"
#include "report/json_read.h"

static ll_json_reader reader;
static ll_arena arena;

static int open_arena(void **state)
{
    (void)state;
    ll_arena_open(&arena, NULL);
    return 0;
}

static int close_arena(void **state)
{
    (void)state;
    ll_arena_close(&arena);
    return 0;
}

static void begin(const char *text)
{
    ll_json_read_open(&reader, text, strlen(text));
}

static void assert_next(ll_json_token token)
{
    assert_int_equal(ll_json_read(&reader), token);
    assert_int_equal(reader.token, token);
}

static ll_json_token read_all(const char *bytes, size_t size)
{
    ll_json_read_open(&reader, bytes, size);
    while (ll_json_read(&reader) > LL_JSON_WRONG)
        ;
    return reader.token;
}

static void tokens_come_in_order(void **state)
{
    (void)state;
    begin(" {\"a\" : [1, -2.5e3,true ],\n\"b\":{},\"c\":[ ],\"d\":\"x\",\"e\":null,\"f\":false}\t");
    assert_next(LL_JSON_OBJECT);
    assert_next(LL_JSON_KEY);
    assert_true(ll_json_is(&reader, "a"));
    assert_false(ll_json_is(&reader, "ab"));
    assert_next(LL_JSON_ARRAY);
    assert_int_equal(ll_json_count(&reader), 3);
    assert_next(LL_JSON_NUMBER);
    assert_close(reader.number, 1, 0, 0);
    assert_next(LL_JSON_NUMBER);
    assert_close(reader.number, -2500, 0, 0);
    assert_next(LL_JSON_TRUE);
    assert_next(LL_JSON_ARRAY_END);
    static const ll_json_token rest[] = {
        LL_JSON_KEY, LL_JSON_OBJECT, LL_JSON_OBJECT_END, LL_JSON_KEY, LL_JSON_ARRAY, LL_JSON_ARRAY_END,
        LL_JSON_KEY, LL_JSON_STRING, LL_JSON_KEY,        LL_JSON_NULL, LL_JSON_KEY,  LL_JSON_FALSE,
        LL_JSON_OBJECT_END, LL_JSON_END, LL_JSON_END};
    for (size_t i = 0; i < sizeof rest / sizeof *rest; i++)
        assert_next(rest[i]);
}

static void a_copy_remembers_a_place(void **state)
{
    (void)state;
    begin("[1,[2,[3,{\"a\":4}]],5]");
    assert_next(LL_JSON_ARRAY);
    assert_next(LL_JSON_NUMBER);
    assert_next(LL_JSON_ARRAY);
    ll_json_reader place = reader;
    assert_true(ll_json_skip(&reader));
    assert_int_equal(reader.token, LL_JSON_ARRAY_END);
    assert_next(LL_JSON_NUMBER);
    assert_close(reader.number, 5, 0, 0);
    reader = place;
    assert_int_equal(ll_json_count(&reader), 2);
    assert_next(LL_JSON_NUMBER);
    assert_close(reader.number, 2, 0, 0);
    assert_true(ll_json_skip(&reader)); /* of a scalar: nothing */
    assert_next(LL_JSON_ARRAY);
}

/* RFC 8259, section 7; the clef of its example is U+1D11E. */
static void escapes_are_resolved(void **state)
{
    (void)state;
    static const char *const rows[][2] = {
        {"\"\"", ""},
        {"\"plain \xC3\xB8\"", "plain \xC3\xB8"},
        {"\"\\\"\\\\\\/\\b\\f\\n\\r\\t\"", "\"\\/\b\f\n\r\t"},
        {"\"\\u003c/script\\u003E\"", "</script>"},
        {"\"\\u00e9\\u20AC\"", "\xC3\xA9\xE2\x82\xAC"},
        {"\"\\uD834\\uDD1E\"", "\xF0\x9D\x84\x9E"},
        {"\"\\uDBFF\\uDFFF\"", "\xF4\x8F\xBF\xBF"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        begin(rows[i][0]);
        assert_next(LL_JSON_STRING);
        const char *text = ll_json_text(&reader, &arena);
        assert_non_null(text);
        assert_string_equal(text, rows[i][1]);
        assert_next(LL_JSON_END);
    }
}

static void what_is_no_json_is_refused(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        size_t at;
        const char *wrong;
    } rows[] = {
        {"", 0, "a value"},
        {"  ", 2, "a value"},
        {"nul", 0, "a value"},
        {"[1 2]", 3, "a comma or a closing bracket"},
        {"[1,]", 3, "a value"},
        {"[1}", 2, "a comma or a closing bracket"},
        {"{\"a\":1,}", 7, "a key in quotes"},
        {"{a:1}", 1, "a key in quotes"},
        {"{\"a\" 1}", 5, "a colon"},
        {"{\"a\":}", 5, "a value"},
        {"1 1", 2, "nothing behind the value"},
        {"01", 0, "a number"},
        {"1.", 0, "a number"},
        {"-", 0, "a number"},
        {"1e+", 0, "a number"},
        {"1e999", 0, "a number"},
        {"+1", 0, "a value"},
        {"NaN", 0, "a value"},
        {"\"open", 5, "a text in quotes"},
        {"\"line\nend\"", 5, "a text in quotes"},
        {"\"\\x\"", 1, "a text in quotes"},
        {"\"\\u12g4\"", 1, "a text in quotes"},
        {"\"\\u0000\"", 1, "a text in quotes"},
        {"\"\\uD834\"", 1, "a text in quotes"},
        {"\"\\uD834\\u0041\"", 1, "a text in quotes"},
        {"\"\\uDD1E\"", 1, "a text in quotes"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        assert_int_equal(read_all(rows[i].text, strlen(rows[i].text)), LL_JSON_WRONG);
        assert_string_equal(reader.wrong, rows[i].wrong);
        assert_int_equal(reader.at, rows[i].at);
        assert_next(LL_JSON_WRONG);
        assert_false(ll_json_skip(&reader));
    }
}

static void brackets_are_bounded(void **state)
{
    (void)state;
    char text[2 * LL_JSON_DEPTH + 3];
    memset(text, '[', LL_JSON_DEPTH);
    memset(text + LL_JSON_DEPTH, ']', LL_JSON_DEPTH);
    assert_int_equal(read_all(text, 2 * LL_JSON_DEPTH), LL_JSON_END);
    memset(text, '[', LL_JSON_DEPTH + 1);
    memset(text + LL_JSON_DEPTH + 1, ']', LL_JSON_DEPTH + 1);
    assert_int_equal(read_all(text, 2 * LL_JSON_DEPTH + 2), LL_JSON_WRONG);
    assert_string_equal(reader.wrong, "fewer open brackets");
}

/* A byte of the document goes, comes or changes; both libraries must say the same of what is left. */
static void jansson_says_the_same(void **state)
{
    (void)state;
    static const char document[] = "{\"a\":[1,-2.5e-3,0,\"x\\u00e9\\ud834\\udd1e\\n\"],"
                                   "\"b\":{\"c\":true,\"d\":[null,[]]}}";
    static const char bytes[] = "{}[]\",:\\u0123456789.eE+-truefalsn dDc ";
    enum { SIZE = sizeof document - 1 };
    uint64_t random = 20260503;
    size_t taken = 0;
    for (int round = 0; round < 20000; round++) {
        char text[SIZE + 1];
        size_t size = SIZE;
        memcpy(text, document, SIZE);
        for (int change = 0; change <= round % 2; change++) {
            random = random * 6364136223846793005u + 1442695040888963407u;
            size_t at = (size_t)(random >> 33) % size;
            char byte = bytes[(random >> 20) % (sizeof bytes - 1)];
            if (random >> 60 < 8) {
                text[at] = byte;
            } else if (size > 1) {
                memmove(text + at, text + at + 1, size - at - 1);
                size--;
            }
        }
        json_t *other = json_loadb(text, size, JSON_DECODE_ANY, NULL);
        bool ours = read_all(text, size) == LL_JSON_END;
        if (ours != (other != NULL))
            fail_msg("%.*s: %s", (int)size, text, ours ? "only ours reads it" : "only jansson reads it");
        taken += ours;
        json_decref(other);
    }
    assert_in_range(taken, 1000, 19000);
}

static void memory_may_run_out(void **state)
{
    (void)state;
    test_heap heap;
    test_heap_open(&heap, 1);
    ll_arena poor;
    ll_arena_open(&poor, &heap.allocator);
    begin("\"text\"");
    assert_next(LL_JSON_STRING);
    assert_null(ll_json_text(&reader, &poor));
    ll_arena_close(&poor);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(tokens_come_in_order), cmocka_unit_test(a_copy_remembers_a_place),
        cmocka_unit_test(escapes_are_resolved), cmocka_unit_test(what_is_no_json_is_refused),
        cmocka_unit_test(brackets_are_bounded), cmocka_unit_test(jansson_says_the_same),
        cmocka_unit_test(memory_may_run_out),
    };
    return cmocka_run_group_tests(tests, open_arena, close_arena);
}
