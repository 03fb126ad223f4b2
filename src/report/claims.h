/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a debrief page says of itself: how it was made, of which logs, and where its figures and samples stand. A page
 * may come from anywhere; nothing of it is believed, and all of it is bounded by its size. */
#ifndef LL_REPORT_CLAIMS_H
#define LL_REPORT_CLAIMS_H

#include "report/report.h"
#include "standard/standard.h"

/* Bytes, not terminated. */
typedef struct ll_slice {
    const char *bytes;
    size_t size;
} ll_slice;

typedef struct ll_claimed_input {
    const char *name, *sha256;
} ll_claimed_input;

typedef struct ll_claims {
    const char *version; /* of the program that made it */
    int names;           /* as in ll_look */
    bool imperial;
    ll_settings settings; /* in range; its standard, if it has one, is the one below */
    ll_standard standard; /* its names and digest; its limits are those of the page */
    ll_limits limits;
    size_t inputs, dives, samples;
    const ll_claimed_input *input;
    const unsigned *dive;   /* numbers */
    ll_slice figures;       /* well-formed JSON */
    const ll_slice *sample; /* one a dive with a profile, in the order of the dives: well-formed JSON */
} ll_claims;

enum { LL_PAGE_MOST_BYTES = 512 * 1024 * 1024 };

/* Reads a page. `claims` must not move afterwards; results live in `arena`, texts in `bytes`. LL_BAD_INPUT with one
 * sentence: over the cap, no figures in it or twice, cut short, JSON that is not well-formed, a schema, model, setting
 * or limit that this program does not know. */
ll_status ll_claims_read(const char *bytes, size_t size, ll_arena *arena, ll_claims *claims, ll_error *error);

/* The part of it in claims_figures.c: fills everything that the figures say. */
ll_status ll_claims_figures(ll_claims *claims, ll_arena *arena, ll_error *error);

#endif
