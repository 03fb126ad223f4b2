/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "standard/plan_field.h"

#include <math.h>
#include <string.h>

#include "base/number.h"
#include "base/utf8.h"

/* --- fields ------------------------------------------------------------------------------------------------------- */

static bool is_blank(char c)
{
    return c == ' ' || c == '\t';
}

ll_piece ll_piece_trim(ll_piece text)
{
    for (; text.size && is_blank(*text.bytes); text.size--)
        text.bytes++;
    while (text.size && is_blank(text.bytes[text.size - 1]))
        text.size--;
    return text;
}

ll_piece ll_piece_field(ll_piece *text)
{
    ll_piece field = {text->bytes, 0};
    while (field.size < text->size && !is_blank(field.bytes[field.size]))
        field.size++;
    *text = ll_piece_trim((ll_piece){text->bytes + field.size, text->size - field.size});
    return field;
}

static char lower(char c)
{
    return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
}

/* Takes `word` (lower case) off the beginning in whatever case. */
static bool take_word(ll_piece *text, const char *word)
{
    size_t length = strlen(word);
    for (size_t i = 0; i < length; i++)
        if (i == text->size || lower(text->bytes[i]) != word[i])
            return false;
    *text = (ll_piece){text->bytes + length, text->size - length};
    return true;
}

bool ll_piece_is_word(ll_piece text, const char *word)
{
    return take_word(&text, word) && text.size == 0;
}

bool ll_piece_number(ll_piece text, double *value)
{
    for (size_t i = 0; i < text.size; i++)
        if (text.bytes[i] != '.' && (text.bytes[i] < '0' || text.bytes[i] > '9'))
            return false;
    return ll_number_read(text.bytes, text.size, value);
}

bool ll_piece_split(ll_piece text, char c, ll_piece *before, ll_piece *behind)
{
    const char *at = memchr(text.bytes, c, text.size);
    if (!at)
        return false;
    *before = (ll_piece){text.bytes, (size_t)(at - text.bytes)};
    *behind = (ll_piece){at + 1, text.size - before->size - 1};
    return true;
}

bool ll_piece_run(ll_piece text, double *run_s)
{
    ll_piece before, behind;
    unsigned minutes, seconds;
    double decimal;
    if (ll_piece_split(text, ':', &before, &behind)) {
        if (behind.size != 2 || !ll_whole_read(before.bytes, before.size, &minutes) ||
            !ll_whole_read(behind.bytes, behind.size, &seconds) || seconds > 59)
            return false;
        *run_s = minutes * 60.0 + seconds;
        return true;
    }
    if (!ll_piece_number(text, &decimal))
        return false;
    *run_s = round(decimal * 60000) / 1000;
    return true;
}

static bool read_percent(ll_piece text, unsigned least, unsigned *percent)
{
    return ll_whole_read(text.bytes, text.size, percent) && *percent >= least && *percent <= 100;
}

bool ll_piece_mix(ll_piece text, double *o2, double *he)
{
    unsigned o2_percent, he_percent = 0;
    ll_piece before, behind;
    if (ll_piece_is_word(text, "air"))
        o2_percent = 21;
    else if (ll_piece_is_word(text, "oxygen") || ll_piece_is_word(text, "o2"))
        o2_percent = 100;
    else if (take_word(&text, "ean")) {
        if (!read_percent(text, 1, &o2_percent))
            return false;
    } else {
        take_word(&text, "tx");
        if (!ll_piece_split(text, '/', &before, &behind) || !read_percent(before, 1, &o2_percent) ||
            !read_percent(behind, 0, &he_percent) || o2_percent + he_percent > 100)
            return false;
    }
    *o2 = o2_percent / 100.0;
    *he = he_percent / 100.0;
    return true;
}

/* --- words of people ---------------------------------------------------------------------------------------------- */

static bool is_control(uint32_t point)
{
    return point < 0x20 || (point >= 0x7F && point < 0xA0);
}

bool ll_piece_is_plain(ll_piece text)
{
    uint32_t point = ' ';
    for (size_t at = 0; at < text.size && !is_control(point);)
        at += ll_utf8_read(text.bytes + at, &point);
    return !is_control(point);
}

const char *ll_piece_quote(char buffer[LL_PIECE_QUOTED], ll_piece text)
{
    static const char dots[] = "...";
    const size_t most = LL_PIECE_QUOTED - 1;
    size_t kept = 0, with_dots = 0, size;
    uint32_t point;
    for (size_t at = 0; at < text.size; at += size) {
        size = ll_utf8_read(text.bytes + at, &point);
        if (is_control(point))
            continue;
        if (kept + size > most) {
            strcpy(buffer + with_dots, dots);
            return buffer;
        }
        memcpy(buffer + kept, text.bytes + at, size);
        kept += size;
        with_dots = kept + strlen(dots) <= most ? kept : with_dots;
    }
    buffer[kept] = '\0';
    return buffer;
}
