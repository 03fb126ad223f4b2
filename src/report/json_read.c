/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/json_read.h"

#include <stdint.h>
#include <string.h>

#include "base/number.h"

/* What may come next. */
enum { A_VALUE, A_VALUE_OR_END, A_KEY_OR_END, A_COMMA_OR_END, NOTHING };

void ll_json_read_open(ll_json_reader *reader, const char *bytes, size_t size)
{
    *reader = (ll_json_reader){.bytes = bytes, .size = size, .expects = A_VALUE, .token = LL_JSON_NULL};
}

static ll_json_token refuse(ll_json_reader *reader, const char *wrong)
{
    reader->wrong = wrong;
    return LL_JSON_WRONG;
}

static int peek(const ll_json_reader *reader)
{
    return reader->at < reader->size ? (unsigned char)reader->bytes[reader->at] : -1;
}

static void skip_blanks(ll_json_reader *reader)
{
    for (int c = peek(reader); c == ' ' || c == '\t' || c == '\n' || c == '\r'; c = peek(reader))
        reader->at++;
}

static ll_json_token settle(ll_json_reader *reader, ll_json_token token)
{
    reader->expects = reader->depth == 0 ? NOTHING : A_COMMA_OR_END;
    return token;
}

/* --- strings ---------------------------------------------------------------------------------------------------- */

static int hex_digit(int c)
{
    if (c >= '0' && c <= '9')
        return c - '0';
    c |= 0x20;
    return c >= 'a' && c <= 'f' ? c - 'a' + 10 : -1;
}

/* The four digits behind "\u" at `at`; -1 if they are not there. */
static int32_t read_unit(const char *at, const char *end)
{
    int32_t unit = 0;
    if (end - at < 6 || at[0] != '\\' || at[1] != 'u')
        return -1;
    for (int i = 2; i < 6; i++) {
        int digit = hex_digit((unsigned char)at[i]);
        if (digit < 0)
            return -1;
        unit = unit * 16 + digit;
    }
    return unit;
}

/* The character of an escape, and how many bytes it takes; 0 bytes if it is none. */
static size_t read_escape(const char *at, const char *end, uint32_t *point)
{
    static const char names[] = "\"\\/bfnrt", meanings[] = "\"\\/\b\f\n\r\t";
    const char *name = end - at < 2 || at[1] == '\0' ? NULL : strchr(names, at[1]);
    if (name) {
        *point = (unsigned char)meanings[name - names];
        return 2;
    }
    int32_t unit = read_unit(at, end);
    if (unit <= 0 || (unit >= 0xDC00 && unit <= 0xDFFF))
        return 0;
    *point = (uint32_t)unit;
    if (unit < 0xD800 || unit > 0xDBFF)
        return 6;
    int32_t low = read_unit(at + 6, end);
    *point = 0x10000 + ((uint32_t)(unit - 0xD800) << 10) + (uint32_t)(low - 0xDC00);
    return low >= 0xDC00 && low <= 0xDFFF ? 12 : 0;
}

/* Reads on behind the closing quote. */
static bool read_string(ll_json_reader *reader)
{
    const char *end = reader->bytes + reader->size;
    const char *at = reader->bytes + reader->at + 1;
    uint32_t point;
    reader->text = at;
    while (at < end && *at != '"' && (unsigned char)*at >= 0x20) {
        size_t bytes = *at == '\\' ? read_escape(at, end, &point) : 1;
        if (bytes == 0)
            break;
        at += bytes;
    }
    reader->length = (size_t)(at - reader->text);
    reader->at = (size_t)(at - reader->bytes);
    if (at == end || *at != '"')
        return false;
    reader->at++;
    return true;
}

static char *put_point(char *out, uint32_t point)
{
    if (point < 0x80) {
        *out++ = (char)point;
    } else if (point < 0x800) {
        *out++ = (char)(0xC0 | point >> 6);
        *out++ = (char)(0x80 | (point & 0x3F));
    } else {
        if (point < 0x10000) {
            *out++ = (char)(0xE0 | point >> 12);
        } else {
            *out++ = (char)(0xF0 | point >> 18);
            *out++ = (char)(0x80 | (point >> 12 & 0x3F));
        }
        *out++ = (char)(0x80 | (point >> 6 & 0x3F));
        *out++ = (char)(0x80 | (point & 0x3F));
    }
    return out;
}

/* No escape is shorter than what it stands for. */
char *ll_json_text(const ll_json_reader *reader, ll_arena *arena)
{
    const char *at = reader->text, *end = at + reader->length;
    char *text = ll_arena_alloc(arena, reader->length + 1);
    char *out = text;
    while (text && at < end) {
        uint32_t point;
        size_t bytes = *at == '\\' ? read_escape(at, end, &point) : 0;
        if (bytes)
            out = put_point(out, point);
        else
            *out++ = *at;
        at += bytes ? bytes : 1;
    }
    return text;
}

/* --- numbers and words ------------------------------------------------------------------------------------------ */

static size_t digits(const ll_json_reader *reader, size_t at)
{
    size_t count = 0;
    while (at + count < reader->size && reader->bytes[at + count] >= '0' && reader->bytes[at + count] <= '9')
        count++;
    return count;
}

/* Bytes of a number by the grammar of JSON; 0 if there is none. */
static size_t number_length(const ll_json_reader *reader)
{
    const char *bytes = reader->bytes;
    size_t at = reader->at + (peek(reader) == '-');
    size_t whole = digits(reader, at);
    if (whole == 0 || (whole > 1 && bytes[at] == '0'))
        return 0;
    at += whole;
    if (at < reader->size && bytes[at] == '.') {
        size_t behind = digits(reader, at + 1);
        if (behind == 0)
            return 0;
        at += 1 + behind;
    }
    if (at < reader->size && (bytes[at] == 'e' || bytes[at] == 'E')) {
        at++;
        at += at < reader->size && (bytes[at] == '-' || bytes[at] == '+');
        size_t exponent = digits(reader, at);
        if (exponent == 0)
            return 0;
        at += exponent;
    }
    return at - reader->at;
}

static ll_json_token read_number(ll_json_reader *reader)
{
    reader->text = reader->bytes + reader->at;
    reader->length = number_length(reader);
    if (reader->length == 0 || !ll_number_read(reader->text, reader->length, &reader->number))
        return refuse(reader, "a number");
    reader->at += reader->length;
    return settle(reader, LL_JSON_NUMBER);
}

static ll_json_token read_word(ll_json_reader *reader)
{
    static const struct {
        const char *word;
        ll_json_token token;
    } words[] = {{"true", LL_JSON_TRUE}, {"false", LL_JSON_FALSE}, {"null", LL_JSON_NULL}};
    for (size_t i = 0; i < sizeof words / sizeof *words; i++) {
        size_t length = strlen(words[i].word);
        if (reader->size - reader->at < length || memcmp(reader->bytes + reader->at, words[i].word, length) != 0)
            continue;
        reader->at += length;
        return settle(reader, words[i].token);
    }
    return refuse(reader, "a value");
}

/* --- structure -------------------------------------------------------------------------------------------------- */

static ll_json_token open_bracket(ll_json_reader *reader, char bracket)
{
    if (reader->depth == LL_JSON_DEPTH)
        return refuse(reader, "fewer open brackets");
    reader->at++;
    reader->open[reader->depth++] = bracket;
    reader->expects = bracket == '{' ? A_KEY_OR_END : A_VALUE_OR_END;
    return bracket == '{' ? LL_JSON_OBJECT : LL_JSON_ARRAY;
}

static ll_json_token close_bracket(ll_json_reader *reader)
{
    reader->at++;
    char bracket = reader->open[--reader->depth];
    return settle(reader, bracket == '{' ? LL_JSON_OBJECT_END : LL_JSON_ARRAY_END);
}

static ll_json_token read_key(ll_json_reader *reader)
{
    if (peek(reader) != '"' || !read_string(reader))
        return refuse(reader, "a key in quotes");
    skip_blanks(reader);
    if (peek(reader) != ':')
        return refuse(reader, "a colon");
    reader->at++;
    reader->expects = A_VALUE;
    return LL_JSON_KEY;
}

static ll_json_token read_value(ll_json_reader *reader)
{
    int c = peek(reader);
    if (c == '{' || c == '[')
        return open_bracket(reader, (char)c);
    if (c == '"')
        return read_string(reader) ? settle(reader, LL_JSON_STRING) : refuse(reader, "a text in quotes");
    return c == '-' || (c >= '0' && c <= '9') ? read_number(reader) : read_word(reader);
}

/* Behind a member: its bracket closes, or a comma leads to the next. */
static ll_json_token read_on(ll_json_reader *reader)
{
    char bracket = reader->open[reader->depth - 1];
    int c = peek(reader);
    if (c == (bracket == '{' ? '}' : ']'))
        return close_bracket(reader);
    if (c != ',')
        return refuse(reader, "a comma or a closing bracket");
    reader->at++;
    skip_blanks(reader);
    return bracket == '{' ? read_key(reader) : read_value(reader);
}

static ll_json_token read_next(ll_json_reader *reader)
{
    skip_blanks(reader);
    int c = peek(reader);
    switch (reader->expects) {
    case A_VALUE_OR_END:
        return c == ']' ? close_bracket(reader) : read_value(reader);
    case A_KEY_OR_END:
        return c == '}' ? close_bracket(reader) : read_key(reader);
    case A_COMMA_OR_END:
        return read_on(reader);
    case NOTHING:
        return c == -1 ? LL_JSON_END : refuse(reader, "nothing behind the value");
    default:
        return read_value(reader);
    }
}

ll_json_token ll_json_read(ll_json_reader *reader)
{
    if (reader->token != LL_JSON_WRONG)
        reader->token = read_next(reader);
    return reader->token;
}

bool ll_json_skip(ll_json_reader *reader)
{
    if (reader->token != LL_JSON_OBJECT && reader->token != LL_JSON_ARRAY)
        return reader->token != LL_JSON_WRONG;
    int outside = reader->depth - 1;
    while (reader->depth > outside)
        if (ll_json_read(reader) == LL_JSON_WRONG)
            return false;
    return true;
}

size_t ll_json_count(const ll_json_reader *reader)
{
    ll_json_reader on = *reader;
    size_t count = 0;
    while (ll_json_read(&on) != LL_JSON_ARRAY_END && ll_json_skip(&on))
        count++;
    return count;
}

bool ll_json_is(const ll_json_reader *reader, const char *word)
{
    return strlen(word) == reader->length && memcmp(word, reader->text, reader->length) == 0;
}
