/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Packed samples beside each other: whole numbers, little end first, in base64 (RFC 4648). */
#include <stdint.h>
#include <string.h>

#include "report/compare_parts.h"

/* The bytes of a text in base64, one after the other. */
typedef struct unpacking {
    const char *at, *end;
    uint32_t bits; /* not yet handed out */
    int held;
} unpacking;

/* What a digit stands for, or -1; padding ends the text. */
static int digit(char c)
{
    static const char digits[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    const char *found = c ? strchr(digits, c) : NULL;
    return found ? (int)(found - digits) : -1;
}

static int next_byte(unpacking *in)
{
    while (in->held < 8) {
        int value = in->at < in->end ? digit(*in->at) : -1;
        if (value < 0)
            return -1;
        in->bits = in->bits << 6 | (uint32_t)value;
        in->held += 6;
        in->at++;
    }
    in->held -= 8;
    return (int)(in->bits >> in->held & 0xFF);
}

/* The next number of `bytes` bytes; false at the end. */
static bool next_number(unpacking *in, int bytes, uint64_t *number)
{
    *number = 0;
    for (int i = 0; i < bytes; i++) {
        int byte = next_byte(in);
        if (byte < 0)
            return false;
        *number |= (uint64_t)byte << (8 * i);
    }
    return true;
}

/* As packed; the number that stands for a missing value is the greatest there is, or the least of those with a sign. */
typedef struct packed {
    int bytes;
    bool is_signed;
    uint64_t missing;
} packed;

static int64_t signed_value(const packed *kind, uint64_t number)
{
    const uint64_t sign = (uint64_t)1 << (8 * kind->bytes - 1);
    return kind->is_signed && (number & sign) ? (int64_t)number - (int64_t)(2 * sign) : (int64_t)number;
}

static bool is_within_a_step(const packed *kind, uint64_t one, uint64_t other)
{
    if (one == kind->missing || other == kind->missing)
        return one == other;
    int64_t step = signed_value(kind, one) - signed_value(kind, other);
    return step >= -1 && step <= 1;
}

static const char *shown(ll_comparing *c, const packed *kind, uint64_t number)
{
    if (number == kind->missing)
        return "missing";
    return ll_compare_number(c, (double)signed_value(kind, number) * c->packing.scale + c->packing.offset);
}

/* The first pair that differs. */
typedef struct pair {
    size_t place;
    uint64_t page, today;
} pair;

static const char *length_of(ll_comparing *c, size_t length)
{
    const char *text = ll_arena_format(c->arena, "%zu characters", length);
    c->no_memory = c->no_memory || !text;
    return text;
}

void ll_compare_columns(ll_comparing *c, const ll_json_reader *page, const ll_json_reader *today)
{
    const int bytes = c->packing.bits == 32 ? 4 : c->packing.bits == 16 ? 2 : 1;
    const uint64_t all = ((uint64_t)1 << (8 * bytes)) - 1;
    const packed kind = {bytes, c->packing.is_signed, c->packing.is_signed ? all / 2 + 1 : all};
    unpacking one = {page->text, page->text + page->length, 0, 0};
    unpacking other = {today->text, today->text + today->length, 0, 0};
    pair first = {0, 0, 0}, now = {0, 0, 0};
    size_t differing = 0;
    for (;;) {
        bool has_one = next_number(&one, bytes, &now.page), has_other = next_number(&other, bytes, &now.today);
        if (!has_one && !has_other)
            break;
        now.page = has_one ? now.page : kind.missing;
        now.today = has_other ? now.today : kind.missing;
        now.place++;
        c->result->samples++;
        if (has_one == has_other && is_within_a_step(&kind, now.page, now.today))
            continue;
        if (differing++ == 0)
            first = now;
    }
    if (differing > 0)
        ll_compare_tell(c, shown(c, &kind, first.page), shown(c, &kind, first.today), differing, first.place);
    else if (page->length != today->length)
        ll_compare_tell(c, length_of(c, page->length), length_of(c, today->length), 1, 0);
}
