/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A comparison at work: where it stands, and how it tells a difference. */
#ifndef LL_REPORT_COMPARE_PARTS_H
#define LL_REPORT_COMPARE_PARTS_H

#include "report/compare.h"
#include "report/json_read.h"

/* A step from the outside in: a member's key, or an item's place. */
typedef struct ll_step {
    const char *key; /* as written; NULL: an item */
    size_t length;
    size_t place;     /* of an item, from 1 */
    const char *name; /* of an item that has a key, kind or number; NULL: none */
    size_t name_length;
} ll_step;

/* How a column of samples is packed, as the members before its data say. */
typedef struct ll_packing {
    double bits, scale, offset;
    bool is_signed;
} ll_packing;

typedef struct ll_comparing {
    ll_comparison *result;
    ll_arena *arena;
    const char *inside; /* before each path: "", or "dive 2, samples" */
    ll_step step[LL_JSON_DEPTH];
    int depth;
    ll_packing packing;
    bool no_memory;
} ll_comparing;

/* Enough has been found. */
bool ll_compare_is_over(const ll_comparing *c);

/* Tells a difference at this place; NULL for a value that is not there. */
void ll_compare_tell(ll_comparing *c, const char *page, const char *today, size_t values, size_t sample);

/* Within 1e-9 of the greater one; false for NaN. */
bool ll_compare_is_near(double one, double other);

/* A number as outputs write it, in the arena; NULL where memory ran out. */
const char *ll_compare_number(ll_comparing *c, double value);

/* Settings and limits of the page with the origin "built-in". */
void ll_compare_built_in(ll_comparing *c, const ll_claims *page);

/* Two texts in base64, the last token of each, with the packing in force. */
void ll_compare_columns(ll_comparing *c, const ll_json_reader *page, const ll_json_reader *today);

#endif
