/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/json.h"

#include <math.h>

#include "base/number.h"
#include "report/utf8.h"

static void add_escaped(ll_text *out, uint32_t point)
{
    static const struct {
        uint32_t point;
        const char *text;
    } shorts[] = {{'"', "\\\""}, {'\\', "\\\\"}, {'\n', "\\n"}, {'\r', "\\r"}, {'\t', "\\t"}};
    for (size_t i = 0; i < sizeof shorts / sizeof *shorts; i++)
        if (shorts[i].point == point) {
            ll_text_puts(out, shorts[i].text);
            return;
        }
    ll_text_format(out, "\\u%04x", (unsigned)point);
}

static bool is_escaped(uint32_t point)
{
    return point < 0x20 || point == '"' || point == '\\' || point == 0x7F || point == 0x2028 || point == 0x2029;
}

/* Appends runs of plain bytes in one go. */
static void add_string(ll_text *out, const char *string)
{
    const char *plain = string, *at = string;
    ll_text_putc(out, '"');
    while (*at) {
        uint32_t point;
        size_t size = ll_utf8_read(at, &point);
        if (size && !is_escaped(point)) {
            at += size;
            continue;
        }
        ll_text_add(out, plain, (size_t)(at - plain));
        if (size)
            add_escaped(out, point);
        else
            ll_text_puts(out, ll_utf8_replacement);
        at += size ? size : 1;
        plain = at;
    }
    ll_text_add(out, plain, (size_t)(at - plain));
    ll_text_putc(out, '"');
}

static void begin(ll_json *json, const char *key)
{
    if (json->comma)
        ll_text_putc(json->out, ',');
    json->comma = true;
    if (key) {
        add_string(json->out, key);
        ll_text_putc(json->out, ':');
    }
}

void ll_json_open(ll_json *json, const char *key, char bracket)
{
    begin(json, key);
    ll_text_putc(json->out, bracket);
    json->comma = false;
}

void ll_json_close(ll_json *json, char bracket)
{
    ll_text_putc(json->out, bracket == '{' || bracket == '}' ? '}' : ']');
    json->comma = true;
}

void ll_json_next(ll_json *json, bool first, bool one_line)
{
    if (!first)
        ll_text_putc(json->out, ',');
    if (!one_line)
        ll_text_putc(json->out, '\n');
    json->comma = false;
}

void ll_json_string(ll_json *json, const char *key, const char *string)
{
    begin(json, key);
    if (string)
        add_string(json->out, string);
    else
        ll_text_puts(json->out, "null");
}

void ll_json_scratch(ll_json *json, const char *key, ll_text *scratch)
{
    const char *string = ll_text_string(scratch);
    json->out->no_memory = json->out->no_memory || scratch->no_memory;
    ll_json_string(json, key, string);
    ll_text_close(scratch);
}

void ll_json_number(ll_json *json, const char *key, double value)
{
    begin(json, key);
    if (isfinite(value))
        ll_number_add(json->out, value);
    else
        ll_text_puts(json->out, "null");
}

void ll_json_whole(ll_json *json, const char *key, unsigned long value)
{
    begin(json, key);
    ll_text_format(json->out, "%lu", value);
}

void ll_json_bool(ll_json *json, const char *key, bool value)
{
    begin(json, key);
    ll_text_puts(json->out, value ? "true" : "false");
}

void ll_json_null(ll_json *json, const char *key)
{
    ll_json_string(json, key, NULL);
}
