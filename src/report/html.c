/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/html.h"

#include <math.h>
#include <stdbool.h>
#include <stdint.h>

#include "report/utf8.h"

static const char *escape_of(uint32_t point)
{
    switch (point) {
    case '&':
        return "&amp;";
    case '<':
        return "&lt;";
    case '>':
        return "&gt;";
    case '"':
        return "&quot;";
    case '\'':
        return "&#39;";
    default:
        return NULL;
    }
}

/* HTML allows no control characters but white space, and no noncharacters. */
static bool is_shown(uint32_t point)
{
    if (point == '\t' || point == '\n')
        return true;
    return point >= 0x20 && !(point >= 0x7F && point <= 0x9F) && (point & 0xFFFE) != 0xFFFE &&
           !(point >= 0xFDD0 && point <= 0xFDEF);
}

void ll_html_string(ll_text *out, const char *text)
{
    while (*text) {
        uint32_t point;
        size_t size = ll_utf8_read(text, &point);
        const char *escape = size ? escape_of(point) : ll_utf8_replacement;
        if (escape)
            ll_text_puts(out, escape);
        else if (is_shown(point))
            ll_text_add(out, text, size);
        else
            ll_text_puts(out, ll_utf8_replacement);
        text += size ? size : 1;
    }
}

void ll_html_attribute(ll_text *out, const char *name, const char *value)
{
    ll_text_format(out, " %s=\"", name);
    ll_html_string(out, value);
    ll_text_putc(out, '"');
}

void ll_html_attribute_number(ll_text *out, const char *name, double value)
{
    ll_text_format(out, " %s=\"", name);
    ll_html_number(out, value);
    ll_text_putc(out, '"');
}

void ll_html_number(ll_text *out, double value)
{
    long long thousandths = llround(value * 1000);
    unsigned long long size = thousandths < 0 ? 0ULL - (unsigned long long)thousandths : (unsigned long long)thousandths;
    int decimals = 3, rest = (int)(size % 1000);
    while (decimals > 0 && rest % 10 == 0) {
        rest /= 10;
        decimals--;
    }
    ll_text_format(out, "%s%llu", thousandths < 0 ? "-" : "", size / 1000);
    if (decimals > 0)
        ll_text_format(out, ".%0*d", decimals, rest);
}

void ll_html_json(ll_text *out, const ll_text *json)
{
    for (size_t i = 0; i < json->size; i++) {
        if (json->bytes[i] == '<')
            ll_text_puts(out, "\\u003c");
        else
            ll_text_putc(out, json->bytes[i]);
    }
}
