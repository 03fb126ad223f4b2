/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A mutator that keeps XML well-formed while it breaks what it says: values, order, ids and references. What is no XML, or
 * too long to grow, is left to the fuzzer's own mutations. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "target.h"

size_t LLVMFuzzerMutate(uint8_t *bytes, size_t size, size_t most);
size_t LLVMFuzzerCustomMutator(uint8_t *bytes, size_t size, size_t most, unsigned seed);

enum { PIECES = 4096, BEGIN = 0, END, ALONE, TEXT, OTHER };

/* A tag or what stands between two tags. */
typedef struct piece {
    size_t from, to;
    int kind;
} piece;

static unsigned state;

static size_t below(size_t bound)
{
    state = state * 1664525u + 1013904223u;
    return bound ? (state >> 8) % bound : 0;
}

static const char *const values[] = {
    "", "0", "-0", "-1", "1e309", "1e-320", "nan", "inf", "0x10", "1,5", "00012", "999999999999", "4294967296", "0.21", "1",
    "60", "330.5", "-273.15", "2026-02-30T10:00:00", "2026-05-03T09:00:00+14:00", "1583-01-01", "opencircuit", "closedcircuit",
    "mix", "air", "\xC3\xA9", "&#0;", "&lt;", "10000000", "101325", "20000000", "true", " 12 ",
};

static int kind_of(const uint8_t *bytes, const piece *one)
{
    if (bytes[one->from] != '<')
        return TEXT;
    if (one->from + 1 < one->to && (bytes[one->from + 1] == '!' || bytes[one->from + 1] == '?'))
        return OTHER;
    if (one->from + 1 < one->to && bytes[one->from + 1] == '/')
        return END;
    return one->to - one->from > 2 && bytes[one->to - 2] == '/' ? ALONE : BEGIN;
}

static size_t cut(const uint8_t *bytes, size_t size, piece *list)
{
    size_t count = 0;
    for (size_t at = 0; at < size && count < PIECES;) {
        piece one = {at, at + 1, TEXT};
        const int tag = bytes[at] == '<';
        while (one.to < size && (tag ? bytes[one.to - 1] != '>' : bytes[one.to] != '<'))
            one.to++;
        one.kind = kind_of(bytes, &one);
        at = one.to;
        list[count++] = one;
    }
    return count;
}

/* The piece that ends the element begun at `from`; `from` itself where it has none. */
static size_t end_of(const piece *list, size_t count, size_t from)
{
    size_t depth = 0;
    if (list[from].kind != BEGIN)
        return from;
    for (size_t i = from; i < count; i++) {
        depth += list[i].kind == BEGIN;
        depth -= list[i].kind == END && depth > 0;
        if (depth == 0)
            return i;
    }
    return from;
}

/* Any piece of a kind, or `count`. */
static size_t any(const piece *list, size_t count, int kind)
{
    const size_t start = below(count);
    for (size_t i = 0; i < count; i++)
        if (list[(start + i) % count].kind == kind)
            return (start + i) % count;
    return count;
}

/* Puts `with` in place of bytes [from, to). */
static size_t splice(uint8_t *bytes, size_t size, size_t most, size_t from, size_t to, const uint8_t *with, size_t length)
{
    if (size - (to - from) + length > most)
        return size;
    memmove(bytes + from + length, bytes + to, size - to);
    memcpy(bytes + from, with, length);
    return size - (to - from) + length;
}

static size_t change_value(uint8_t *bytes, size_t size, size_t most, const piece *list, size_t count)
{
    const size_t at = any(list, count, TEXT);
    const char *value = values[below(sizeof values / sizeof *values)];
    char number[32];
    if (at == count)
        return size;
    if (below(2)) {
        snprintf(number, sizeof number, "%d.%d", (int)below(100000) - 1000, (int)below(1000));
        value = number;
    }
    return splice(bytes, size, most, list[at].from, list[at].to, (const uint8_t *)value, strlen(value));
}

/* An attribute's value becomes that of another one: ids and references cross. */
static size_t change_attribute(uint8_t *bytes, size_t size, size_t most, const piece *list, size_t count)
{
    size_t at = any(list, count, below(2) ? ALONE : BEGIN);
    if (at == count)
        return size;
    for (size_t i = list[at].from; i + 1 < list[at].to; i++) {
        if (bytes[i] != '"')
            continue;
        size_t to = i + 1;
        while (to < list[at].to && bytes[to] != '"')
            to++;
        const char *value = values[below(sizeof values / sizeof *values)];
        return strchr(value, '<') ? size : splice(bytes, size, most, i + 1, to, (const uint8_t *)value, strlen(value));
    }
    return size;
}

static size_t drop_element(uint8_t *bytes, size_t size, size_t most, const piece *list, size_t count)
{
    const size_t at = any(list, count, BEGIN);
    if (at == count)
        return size;
    return splice(bytes, size, most, list[at].from, list[end_of(list, count, at)].to, (const uint8_t *)"", 0);
}

/* An element stands a second time, at another place. */
static size_t double_element(uint8_t *bytes, size_t size, size_t most, const piece *list, size_t count)
{
    const size_t at = any(list, count, BEGIN), to = any(list, count, END);
    if (at == count || to == count)
        return size;
    const size_t from = list[at].from, length = list[end_of(list, count, at)].to - from;
    uint8_t *copy = malloc(length ? length : 1);
    if (!copy)
        return size;
    memcpy(copy, bytes + from, length);
    size = splice(bytes, size, most, list[to].to, list[to].to, copy, length);
    free(copy);
    return size;
}

size_t LLVMFuzzerCustomMutator(uint8_t *bytes, size_t size, size_t most, unsigned seed)
{
    static piece list[PIECES];
    static size_t (*const ways[])(uint8_t *, size_t, size_t, const piece *, size_t) = {
        change_value, change_value, change_attribute, drop_element, double_element};
    state = seed;
    const size_t count = cut(bytes, size, list);
    if (below(4) == 0 || count < 3)
        return LLVMFuzzerMutate(bytes, size, most);
    return ways[below(sizeof ways / sizeof *ways)](bytes, size, most, list, count);
}
