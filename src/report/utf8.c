/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/utf8.h"

#include <string.h>

enum { ESCAPE = 0x1B, BELL = 0x07, CONTROL_SEQUENCE = 0x9B };

const char ll_utf8_replacement[4] = "\xEF\xBF\xBD";

/* Behind the introducer of a control sequence: parameters, then one final byte. */
static const char *skip_control_sequence(const char *at)
{
    while (*at >= 0x20 && *at <= 0x3F)
        at++;
    return *at >= 0x40 && *at <= 0x7E ? at + 1 : at;
}

/* Behind the introducer of a string for the terminal: up to its end, or the end of the text. */
static const char *skip_terminal_string(const char *at)
{
    while (*at && *at != BELL && *at != ESCAPE)
        at++;
    if (*at == ESCAPE && at[1] == '\\')
        at++;
    return *at ? at + 1 : at;
}

/* From an escape character on (ECMA-48, 5th ed. 1991, section 5). */
static const char *skip_escape(const char *at)
{
    at++;
    if (*at == '[')
        return skip_control_sequence(at + 1);
    if (*at && strchr("]PX^_", *at))
        return skip_terminal_string(at + 1);
    while (*at >= 0x20 && *at <= 0x2F)
        at++;
    return *at >= 0x30 && *at <= 0x7E ? at + 1 : at;
}

void ll_show(ll_text *out, const char *text)
{
    const char *at = text;
    while (*at) {
        uint32_t point;
        size_t size = ll_utf8_read(at, &point);
        if (size == 0)
            ll_text_puts(out, ll_utf8_replacement);
        else if (point == '\n' || point == '\r' || point == '\t')
            ll_text_putc(out, ' ');
        else if (!ll_utf8_steers(point))
            ll_text_add(out, at, size);
        if (size && point == ESCAPE)
            at = skip_escape(at);
        else if (size && point == CONTROL_SEQUENCE)
            at = skip_control_sequence(at + size);
        else
            at += size ? size : 1;
    }
}

static size_t point_columns(uint32_t point)
{
    if ((point >= 0x0300 && point <= 0x036F) || (point >= 0x200B && point <= 0x200D) ||
        (point >= 0xFE00 && point <= 0xFE0F))
        return 0;
    bool wide = (point >= 0x1100 && point <= 0x115F) || (point >= 0x2E80 && point <= 0xA4CF) ||
                (point >= 0xAC00 && point <= 0xD7A3) || (point >= 0xF900 && point <= 0xFAFF) ||
                (point >= 0xFF01 && point <= 0xFF60) || (point >= 0x1F300 && point <= 0x1FAFF) ||
                (point >= 0x20000 && point <= 0x3FFFD);
    return wide ? 2 : 1;
}

/* One character, or one of our own colour sequences, at `text` (`size` bytes are left). */
static size_t step(const char *text, size_t size, size_t *columns)
{
    if (*text == ESCAPE) {
        const char *end = memchr(text, 'm', size);
        *columns = 0;
        return end ? (size_t)(end - text) + 1 : size;
    }
    char whole[5] = {0};
    memcpy(whole, text, size < 4 ? size : 4);
    uint32_t point;
    size_t bytes = ll_utf8_read(whole, &point);
    *columns = bytes ? point_columns(point) : 1;
    return bytes ? bytes : 1;
}

size_t ll_columns(const char *text, size_t size)
{
    size_t sum = 0;
    for (size_t at = 0; at < size;) {
        size_t columns;
        at += step(text + at, size - at, &columns);
        sum += columns;
    }
    return sum;
}

size_t ll_columns_fit(const char *text, size_t size, size_t columns)
{
    size_t sum = 0, at = 0;
    while (at < size) {
        size_t taken;
        size_t bytes = step(text + at, size - at, &taken);
        sum += taken;
        if (at > 0 && sum > columns)
            break;
        at += bytes;
    }
    return at;
}
