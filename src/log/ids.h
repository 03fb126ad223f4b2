/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One name space for all ids of a log. An id or a reference becomes a number as soon as it is read; what it names
 * is asked once the whole log is known, so that references may point forwards. Ids are opaque byte strings. */
#ifndef LL_LOG_IDS_H
#define LL_LOG_IDS_H

#include "log/list.h"

typedef enum ll_id_kind { LL_ID_MIX, LL_ID_TANK, LL_ID_SITE, LL_ID_USE, LL_ID_KINDS } ll_id_kind;

typedef struct ll_id {
    const char *text;
    size_t length;
    size_t hash;
    int named[LL_ID_KINDS]; /* what the id names, a place in the list of that kind; LL_NONE if nothing */
    int loose[LL_ID_KINDS]; /* what an id that equals this one but for white space around it names */
} ll_id;

typedef struct ll_ids {
    ll_list known; /* of ll_id */
    int *slots;    /* numbers + 1; 0 is free */
    size_t slot_count;
} ll_ids;

enum { LL_ID_NO_MEMORY = -2, LL_ID_TOO_MANY = -3 };

/* The number of an id, made if it is new (its bytes are copied to `arena`); LL_ID_NO_MEMORY; LL_ID_TOO_MANY beyond
 * `most` ids, or where the ids were chosen to collide. */
int ll_id_number(ll_ids *ids, ll_arena *arena, size_t most, const char *text, size_t length);

/* True if the id of this number is written so; false for LL_NONE. */
bool ll_id_is(const ll_ids *ids, int number, const char *text, size_t length);

/* The number of an id that is known already; LL_NONE. */
int ll_id_known(const ll_ids *ids, const char *text, size_t length);

/* Lets an id name something; the first of a kind stays. True if it named nothing, of any kind, before. */
bool ll_id_name(ll_ids *ids, int number, ll_id_kind kind, int place);

/* What an id names: exactly, else where white space around either is left out; LL_NONE if nothing of that kind. */
int ll_id_find(const ll_ids *ids, int number, ll_id_kind kind);

const char *ll_id_text(const ll_ids *ids, int number);

/* Forgets all ids; their texts stay in their arena. */
void ll_ids_forget(ll_ids *ids);

void ll_ids_free(ll_ids *ids, const ll_allocator *allocator);

#endif
