/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Members of JSON objects into structs, by tables. Each ll_take_claim_... takes the value that the last token begins
 * into *(target + row->offset), and fails where it is of another kind. */
#ifndef LL_REPORT_CLAIMS_MEMBERS_H
#define LL_REPORT_CLAIMS_MEMBERS_H

#include "report/claims.h"
#include "report/json_read.h"

typedef struct ll_claim_reading {
    ll_json_reader json; /* well-formed throughout */
    ll_arena *arena;
    ll_error *error;
    ll_claims *claims;
} ll_claim_reading;

typedef struct ll_claim_member {
    const char *key;
    ll_status (*take)(ll_claim_reading *in, const struct ll_claim_member *row, char *target);
    size_t offset;
    const struct ll_claim_member *inside; /* members of an object; ends with a key NULL */
} ll_claim_member;

/* LL_BAD_INPUT with the place, the key and what was expected. */
ll_status ll_claim_fail(ll_claim_reading *in, const ll_claim_member *row, const char *expected);

/* Whether the last token is the text `word`. */
bool ll_claim_is(const ll_claim_reading *in, const char *word);

/* A double: null leaves what is there, and so does the same number with fewer digits: what is there is built in. */
ll_status ll_take_claim_number(ll_claim_reading *in, const ll_claim_member *row, char *target);
ll_status ll_take_claim_bool(ll_claim_reading *in, const ll_claim_member *row, char *target);
/* A const char *, in the arena; null leaves what is there. */
ll_status ll_take_claim_text(ll_claim_reading *in, const ll_claim_member *row, char *target);
/* A char[LL_DIGEST_TEXT] that holds zeros. */
ll_status ll_take_claim_digest(ll_claim_reading *in, const ll_claim_member *row, char *target);
ll_status ll_take_claim_origin(ll_claim_reading *in, const ll_claim_member *row, char *target);
ll_status ll_take_claim_model(ll_claim_reading *in, const ll_claim_member *row, char *target);
/* Whether it is from the log, as ll_water. */
ll_status ll_take_claim_water(ll_claim_reading *in, const ll_claim_member *row, char *target);
/* An unsigned. */
ll_status ll_take_claim_whole(ll_claim_reading *in, const ll_claim_member *row, char *target);
/* An object with the members row->inside, others are passed over; null is one without members. */
ll_status ll_take_claim_object(ll_claim_reading *in, const ll_claim_member *row, char *target);
/* A list of such objects: *items gets *count items of `size` bytes, in the arena. */
ll_status ll_take_claim_list(ll_claim_reading *in, const ll_claim_member *row, size_t size, char **items,
                             size_t *count);

#endif
