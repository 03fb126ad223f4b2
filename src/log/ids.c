/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "log/ids.h"

#include <limits.h>
#include <stdint.h>
#include <string.h>

#include "log/log.h"
#include "log/values.h"

enum { MOST_PROBES = 256 };

/* FNV-1a (Fowler, Noll, Vo), 64 bits. */
static size_t hash_of(const char *text, size_t length)
{
    uint64_t hash = 14695981039346656037u;
    for (size_t i = 0; i < length; i++)
        hash = (hash ^ (unsigned char)text[i]) * 1099511628211u;
    return (size_t)(hash ^ hash >> 32);
}

static ll_id *at(const ll_ids *ids, int number)
{
    return (ll_id *)ids->known.items + number;
}

/* The slot where the id stands or would stand; NULL after too many probes. */
static int *slot_of(const ll_ids *ids, const char *text, size_t length, size_t hash)
{
    if (ids->slot_count == 0)
        return NULL;
    for (size_t probe = 0; probe < MOST_PROBES; probe++) {
        int *slot = &ids->slots[(hash + probe) & (ids->slot_count - 1)];
        if (*slot == 0)
            return slot;
        const ll_id *id = at(ids, *slot - 1);
        if (id->hash == hash && id->length == length && memcmp(id->text, text, length) == 0)
            return slot;
    }
    return NULL;
}

static int grow(ll_ids *ids, const ll_allocator *allocator)
{
    size_t count = ids->slot_count ? ids->slot_count * 2 : 64;
    if (count > SIZE_MAX / sizeof *ids->slots)
        return LL_ID_NO_MEMORY;
    int *slots = allocator->resize(allocator->context, NULL, count * sizeof *slots);
    if (!slots)
        return LL_ID_NO_MEMORY;
    memset(slots, 0, count * sizeof *slots);
    if (ids->slots)
        allocator->resize(allocator->context, ids->slots, 0);
    ids->slots = slots;
    ids->slot_count = count;
    for (size_t i = 0; i < ids->known.count; i++) {
        const ll_id *id = at(ids, (int)i);
        int *slot = slot_of(ids, id->text, id->length, id->hash);
        if (!slot)
            return LL_ID_TOO_MANY;
        *slot = (int)i + 1;
    }
    return 0;
}

static int add(ll_ids *ids, ll_arena *arena, int *slot, const char *text, size_t length)
{
    const char *copy = ll_arena_text_n(arena, text, length);
    if (!copy)
        return LL_ID_NO_MEMORY;
    ll_id *id = ll_list_add(&ids->known, arena->allocator, sizeof *id);
    if (!id)
        return LL_ID_NO_MEMORY;
    *id = (ll_id){.text = copy, .length = length, .hash = hash_of(text, length)};
    for (int kind = 0; kind < LL_ID_KINDS; kind++)
        id->named[kind] = id->loose[kind] = LL_NONE;
    *slot = (int)ids->known.count;
    return *slot - 1;
}

int ll_id_number(ll_ids *ids, ll_arena *arena, size_t most, const char *text, size_t length)
{
    size_t hash = hash_of(text, length);
    int *slot = slot_of(ids, text, length, hash);
    if (slot && *slot)
        return *slot - 1;
    if (ids->known.count >= most || ids->known.count >= INT_MAX / 2)
        return LL_ID_TOO_MANY;
    if (ids->known.count * 2 >= ids->slot_count) {
        int grown = grow(ids, arena->allocator);
        if (grown != 0)
            return grown;
        slot = slot_of(ids, text, length, hash);
    }
    return slot ? add(ids, arena, slot, text, length) : LL_ID_TOO_MANY;
}

bool ll_id_is(const ll_ids *ids, int number, const char *text, size_t length)
{
    return number >= 0 && at(ids, number)->length == length && memcmp(at(ids, number)->text, text, length) == 0;
}

int ll_id_known(const ll_ids *ids, const char *text, size_t length)
{
    const int *slot = slot_of(ids, text, length, hash_of(text, length));
    return slot && *slot ? *slot - 1 : LL_NONE;
}

/* The id without white space around it, if the log holds it; else NULL. */
static ll_id *trimmed(const ll_ids *ids, int number)
{
    const char *text = at(ids, number)->text;
    size_t length = at(ids, number)->length;
    ll_trim(&text, &length);
    int known = ll_id_known(ids, text, length);
    return known == LL_NONE ? NULL : at(ids, known);
}

static bool names_nothing(const ll_id *id)
{
    for (int kind = 0; kind < LL_ID_KINDS; kind++)
        if (id->named[kind] != LL_NONE)
            return false;
    return true;
}

bool ll_id_name(ll_ids *ids, int number, ll_id_kind kind, int place)
{
    ll_id *id = at(ids, number);
    ll_id *loose = trimmed(ids, number);
    bool first = names_nothing(id);
    if (loose && loose->loose[kind] == LL_NONE)
        loose->loose[kind] = place;
    if (id->named[kind] == LL_NONE)
        id->named[kind] = place;
    return first;
}

int ll_id_find(const ll_ids *ids, int number, ll_id_kind kind)
{
    if (number < 0)
        return LL_NONE;
    if (at(ids, number)->named[kind] != LL_NONE)
        return at(ids, number)->named[kind];
    const ll_id *id = trimmed(ids, number);
    if (!id)
        return LL_NONE;
    return id->named[kind] != LL_NONE ? id->named[kind] : id->loose[kind];
}

const char *ll_id_text(const ll_ids *ids, int number)
{
    return number < 0 ? NULL : at(ids, number)->text;
}

void ll_ids_forget(ll_ids *ids)
{
    ids->known.count = 0;
    if (ids->slots)
        memset(ids->slots, 0, ids->slot_count * sizeof *ids->slots);
}

void ll_ids_free(ll_ids *ids, const ll_allocator *allocator)
{
    ll_list_free(&ids->known, allocator);
    if (ids->slots)
        allocator->resize(allocator->context, ids->slots, 0);
    ids->slots = NULL;
    ids->slot_count = 0;
}
