/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Well-formed UTF-8: The Unicode Standard, table 3-7. Single bytes: ISO/IEC 8859-1 and -15, and windows-1252 as the
 * WHATWG Encoding Standard indexes it; like there, bytes 0x80 to 0x9f of the ISO sets are those of windows-1252, since
 * no writer means the control characters that stand at these places. */
#include "log/encoding.h"

#include <stdint.h>
#include <string.h>

enum { BLOCK = 240 /* line ends of one fit a byte */, REPLACEMENT = 0xfffd };

const char *const ll_encoding_names[LL_ENCODINGS] = {
    "UTF-8", "UTF-16", "UTF-16", "ISO-8859-1", "ISO-8859-15", "windows-1252", "",
};

const char *const ll_encoding_stand_ins[LL_ENCODINGS] = {
    "windows-1252", "U+FFFD", "U+FFFD", "windows-1252", "windows-1252", "U+FFFD", "",
};

/* --- which encoding ------------------------------------------------------------------------------------------- */

static bool begins_with(const unsigned char *bytes, size_t size, const char *begin, size_t length)
{
    return size >= length && memcmp(bytes, begin, length) == 0;
}

ll_encoding ll_encoding_of_bytes(const unsigned char *bytes, size_t size, size_t *mark)
{
    static const struct {
        const char *begin;
        size_t length, mark;
        ll_encoding encoding;
    } rows[] = {{"\xef\xbb\xbf", 3, 3, LL_UTF_8},  {"\xff\xfe", 2, 2, LL_UTF_16_LE}, {"\xfe\xff", 2, 2, LL_UTF_16_BE},
                {"<\0", 2, 0, LL_UTF_16_LE}, {"\0<", 2, 0, LL_UTF_16_BE}};
    *mark = 0;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        if (begins_with(bytes, size, rows[i].begin, rows[i].length)) {
            *mark = rows[i].mark;
            return rows[i].encoding;
        }
    return LL_UTF_8;
}

static const char *skip_space(const char *text, const char *end)
{
    while (text < end && (*text == ' ' || *text == '\t' || *text == '\r' || *text == '\n'))
        text++;
    return text;
}

/* Behind the first `word` in [text, end), or NULL. */
static const char *behind(const char *text, const char *end, const char *word)
{
    size_t length = strlen(word);
    for (; (size_t)(end - text) >= length; text++)
        if (memcmp(text, word, length) == 0)
            return text + length;
    return NULL;
}

/* Behind `encoding =` in an XML declaration, or NULL. */
static const char *declared_at(const char *text, size_t size, const char **end)
{
    if (!begins_with((const unsigned char *)text, size, "<?xml", 5))
        return NULL;
    *end = behind(text, text + size, "?>");
    const char *value = *end ? behind(text, *end, "encoding") : NULL;
    if (!value)
        return NULL;
    value = skip_space(value, *end);
    return *value == '=' ? skip_space(value + 1, *end) : NULL;
}

void ll_encoding_declared(const char *text, size_t size, char declared[LL_DECLARED])
{
    const char *end;
    const char *value = declared_at(text, size, &end);
    size_t length = 0;
    if (value && (*value == '"' || *value == '\''))
        for (char quote = *value++; value < end && *value != quote && length < LL_DECLARED - 1; value++)
            declared[length++] = *value;
    declared[length] = '\0';
}

static bool same_name(const char *a, const char *b)
{
    for (;; a++, b++) {
        char lower = *a >= 'A' && *a <= 'Z' ? (char)(*a - 'A' + 'a') : *a;
        if (lower != *b)
            return false;
        if (!lower)
            return true;
    }
}

/* Names in lower case, as IANA registers them and as writers write them. */
static ll_encoding named(const char *declared)
{
    static const struct {
        const char *name;
        ll_encoding encoding;
    } rows[] = {{"", LL_UTF_8},
                {"utf-8", LL_UTF_8},
                {"utf8", LL_UTF_8},
                {"us-ascii", LL_UTF_8},
                {"ascii", LL_UTF_8},
                {"utf-16", LL_UTF_16_LE},
                {"utf-16le", LL_UTF_16_LE},
                {"utf-16be", LL_UTF_16_BE},
                {"utf16", LL_UTF_16_LE},
                {"ucs-2", LL_UTF_16_LE},
                {"iso-10646-ucs-2", LL_UTF_16_LE},
                {"iso-8859-1", LL_ISO_8859_1},
                {"iso_8859-1", LL_ISO_8859_1},
                {"iso8859-1", LL_ISO_8859_1},
                {"latin1", LL_ISO_8859_1},
                {"latin-1", LL_ISO_8859_1},
                {"iso-8859-15", LL_ISO_8859_15},
                {"iso_8859-15", LL_ISO_8859_15},
                {"iso8859-15", LL_ISO_8859_15},
                {"latin-9", LL_ISO_8859_15},
                {"latin9", LL_ISO_8859_15},
                {"windows-1252", LL_WINDOWS_1252},
                {"cp1252", LL_WINDOWS_1252}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        if (same_name(declared, rows[i].name))
            return rows[i].encoding;
    return LL_ENCODING_OTHER;
}

static bool is_utf_16(ll_encoding encoding)
{
    return encoding == LL_UTF_16_LE || encoding == LL_UTF_16_BE;
}

ll_encoding ll_encoding_choose(ll_encoding of_bytes, bool marked, const char *declared, bool *contradicted)
{
    ll_encoding told = *declared ? named(declared) : of_bytes;
    bool bytes_win = marked || is_utf_16(of_bytes) || is_utf_16(told);
    *contradicted = bytes_win && told != of_bytes && !(is_utf_16(told) && is_utf_16(of_bytes));
    return bytes_win ? of_bytes : told;
}

/* --- UTF-8 that is UTF-8 -------------------------------------------------------------------------------------- */

/* Lead bytes, and what may follow at once; every byte behind that is 0x80 to 0xbf. */
typedef struct lead {
    unsigned char first, last, least, most, size;
} lead;

static const lead leads[] = {
    {0x01, 0x7f, 0x00, 0x00, 1}, {0xc2, 0xdf, 0x80, 0xbf, 2}, {0xe0, 0xe0, 0xa0, 0xbf, 3}, {0xe1, 0xec, 0x80, 0xbf, 3},
    {0xed, 0xed, 0x80, 0x9f, 3}, {0xee, 0xef, 0x80, 0xbf, 3}, {0xf0, 0xf0, 0x90, 0xbf, 4}, {0xf1, 0xf3, 0x80, 0xbf, 4},
    {0xf4, 0xf4, 0x80, 0x8f, 4},
};

/* Bytes of the character at `bytes`, 0 if there is none; *is_part tells that it may go on behind the end. */
static size_t character(const unsigned char *bytes, size_t left, bool *is_part)
{
    const lead *row = leads, *end = leads + sizeof leads / sizeof *leads;
    *is_part = false;
    while (row < end && (bytes[0] < row->first || bytes[0] > row->last))
        row++;
    if (row == end)
        return 0;
    for (size_t i = 1; i < row->size; i++) {
        *is_part = i == left;
        if (*is_part || bytes[i] < (i == 1 ? row->least : 0x80) || bytes[i] > (i == 1 ? row->most : 0xbf))
            return 0;
    }
    return row->size;
}

/* True for ASCII without NUL; *lines gets its line ends. Written so that compilers vectorise it. */
static bool is_plain(const unsigned char *bytes, size_t size, unsigned char *lines)
{
    unsigned char odd = 0, ends = 0;
    for (size_t i = 0; i < size; i++) {
        odd |= (unsigned char)(bytes[i] | (bytes[i] - 1));
        ends = (unsigned char)(ends + (bytes[i] == '\n'));
    }
    *lines = ends;
    return !(odd & 0x80);
}

bool ll_decoder_is_straight(const ll_decoder *decoder)
{
    return decoder->encoding == LL_ENCODING_OTHER || (decoder->encoding == LL_UTF_8 && !decoder->held_nul);
}

size_t ll_decoder_straight(ll_decoder *decoder, const unsigned char *bytes, size_t size)
{
    size_t done = 0, length;
    bool is_part;
    if (decoder->encoding == LL_ENCODING_OTHER)
        return size;
    while (done < size) {
        size_t end = size - done > BLOCK ? done + BLOCK : size;
        unsigned char lines;
        if (is_plain(bytes + done, end - done, &lines)) {
            decoder->line += lines;
            done = end;
            continue;
        }
        for (; done < end; done += length) {
            length = character(bytes + done, size - done, &is_part);
            if (length == 0)
                return done;
            decoder->line += bytes[done] == '\n';
        }
    }
    return done;
}

/* --- everything else ------------------------------------------------------------------------------------------ */

static uint32_t repaired(ll_decoder *decoder, uint32_t point)
{
    if (decoder->repaired++ == 0)
        decoder->repaired_line = decoder->line;
    return point;
}

/* windows-1252 from 0x80 to 0x9f; five places are empty. */
static const uint16_t windows[32] = {
    0x20ac, REPLACEMENT, 0x201a, 0x0192, 0x201e, 0x2026, 0x2020, 0x2021, 0x02c6, 0x2030, 0x0160,
    0x2039, 0x0152, REPLACEMENT, 0x017d, REPLACEMENT, REPLACEMENT, 0x2018, 0x2019, 0x201c, 0x201d, 0x2022,
    0x2013, 0x2014, 0x02dc, 0x2122, 0x0161, 0x203a, 0x0153, REPLACEMENT, 0x017e, 0x0178,
};

static uint32_t of_windows(unsigned char byte)
{
    return byte >= 0x80 && byte < 0xa0 ? windows[byte - 0x80] : byte;
}

/* Where ISO-8859-15 differs from ISO-8859-1. */
static uint32_t of_latin_9(unsigned char byte)
{
    static const struct {
        unsigned char byte;
        uint16_t point;
    } rows[] = {{0xa4, 0x20ac}, {0xa6, 0x0160}, {0xa8, 0x0161}, {0xb4, 0x017d},
                {0xb8, 0x017e}, {0xbc, 0x0152}, {0xbd, 0x0153}, {0xbe, 0x0178}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        if (rows[i].byte == byte)
            return rows[i].point;
    return byte;
}

static size_t take_byte(ll_decoder *decoder, const unsigned char *bytes, uint32_t *point)
{
    uint32_t other = of_windows(*bytes);
    bool is_unknown = decoder->encoding == LL_WINDOWS_1252 ? other == REPLACEMENT : *bytes >= 0x80 && *bytes < 0xa0;
    *point = is_unknown ? repaired(decoder, other) : decoder->encoding == LL_ISO_8859_15 ? of_latin_9(*bytes) : other;
    return 1;
}

static size_t take_utf_8(ll_decoder *decoder, const unsigned char *bytes, size_t left, uint32_t *point)
{
    static const unsigned char bits[5] = {0, 0x7f, 0x1f, 0x0f, 0x07};
    bool is_part;
    size_t size = character(bytes, left, &is_part);
    if (is_part)
        return 0;
    *point = bytes[0] & bits[size];
    for (size_t i = 1; i < size; i++)
        *point = *point << 6 | (bytes[i] & 0x3f);
    if (size == 0 && bytes[0])
        *point = repaired(decoder, of_windows(bytes[0]));
    return size ? size : 1;
}

static uint32_t unit(const ll_decoder *decoder, const unsigned char *bytes)
{
    unsigned low = bytes[decoder->encoding == LL_UTF_16_BE], high = bytes[decoder->encoding == LL_UTF_16_LE];
    return high << 8 | low;
}

static size_t take_utf_16(ll_decoder *decoder, const unsigned char *bytes, size_t left, uint32_t *point)
{
    if (left < 2)
        return 0;
    *point = unit(decoder, bytes);
    if (*point < 0xd800 || *point > 0xdfff)
        return 2;
    bool is_first = *point < 0xdc00;
    if (is_first && left < 4)
        return 0;
    uint32_t second = is_first ? unit(decoder, bytes + 2) : 0;
    if (second < 0xdc00 || second > 0xdfff) {
        *point = repaired(decoder, REPLACEMENT);
        return 2;
    }
    *point = 0x10000 + ((*point & 0x3ff) << 10 | (second & 0x3ff));
    return 4;
}

/* The next character; returns its bytes, 0 if the rest may be its beginning. */
static size_t take(ll_decoder *decoder, const unsigned char *bytes, size_t left, uint32_t *point)
{
    if (decoder->encoding == LL_UTF_8)
        return take_utf_8(decoder, bytes, left, point);
    if (is_utf_16(decoder->encoding))
        return take_utf_16(decoder, bytes, left, point);
    return take_byte(decoder, bytes, point);
}

static size_t write_utf_8(uint32_t point, unsigned char *to)
{
    static const unsigned char marks[5] = {0, 0, 0xc0, 0xe0, 0xf0};
    size_t size = point < 0x80 ? 1 : point < 0x800 ? 2 : point < 0x10000 ? 3 : 4;
    for (size_t i = size - 1; i > 0; i--, point >>= 6)
        to[i] = (unsigned char)(0x80 | (point & 0x3f));
    to[0] = (unsigned char)(marks[size] | point);
    return size;
}

static size_t put(ll_decoder *decoder, uint32_t point, unsigned char *to)
{
    size_t size = 0;
    if (point == 0) {
        decoder->held_nul = true;
        return 0;
    }
    if (decoder->held_nul)
        to[size++] = 0;
    decoder->held_nul = false;
    decoder->line += point == '\n';
    return size + write_utf_8(point, to + size);
}

size_t ll_decode(ll_decoder *decoder, const unsigned char **from, const unsigned char *end, unsigned char *to,
                 size_t room)
{
    size_t used = 0, taken = 1;
    while (taken > 0 && *from < end && room - used >= LL_DECODER_ROOM) {
        size_t left = (size_t)(end - *from), fits = left < room - used ? left : room - used;
        taken = ll_decoder_is_straight(decoder) ? ll_decoder_straight(decoder, *from, fits) : 0;
        if (taken > 0) {
            memcpy(to + used, *from, taken);
            used += taken;
        } else {
            uint32_t point;
            taken = take(decoder, *from, left, &point);
            used += taken > 0 ? put(decoder, point, to + used) : 0;
        }
        *from += taken;
    }
    return used;
}
