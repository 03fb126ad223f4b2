/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/utf8.h"

/* Rows of RFC 3629: first byte, how many follow, least code point. */
static size_t sequence_size(unsigned char first, uint32_t *bits, uint32_t *least)
{
    if (first >= 0xC2 && first <= 0xDF) {
        *bits = first & 0x1Fu;
        *least = 0x80;
        return 2;
    }
    if ((first & 0xF0) == 0xE0) {
        *bits = first & 0x0Fu;
        *least = 0x800;
        return 3;
    }
    if (first >= 0xF0 && first <= 0xF4) {
        *bits = first & 0x07u;
        *least = 0x10000;
        return 4;
    }
    return 0;
}

size_t ll_utf8_read(const char *text, uint32_t *point)
{
    unsigned char first = (unsigned char)text[0];
    *point = first;
    if (first < 0x80)
        return 1;
    uint32_t least = 0;
    size_t size = sequence_size(first, point, &least);
    for (size_t i = 1; i < size; i++) {
        unsigned char next = (unsigned char)text[i];
        if ((next & 0xC0) != 0x80)
            return 0;
        *point = *point << 6 | (next & 0x3Fu);
    }
    if (*point < least || *point > 0x10FFFF || (*point >= 0xD800 && *point <= 0xDFFF))
        return 0;
    return size;
}

bool ll_utf8_steers(uint32_t point)
{
    static const uint32_t ranges[][2] = {
        {0x00, 0x1F},     {0x7F, 0x9F}, /* controls */
        {0x061C, 0x061C}, {0x200E, 0x200F}, {0x202A, 0x202E}, /* direction of writing */
        {0x2066, 0x2069}, {0x2028, 0x2029}, {0xFEFF, 0xFEFF}, /* line and paragraph separators, byte order mark */
    };
    for (size_t i = 0; i < sizeof ranges / sizeof *ranges; i++)
        if (point >= ranges[i][0] && point <= ranges[i][1])
            return true;
    return false;
}
