/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The parts of ll_stands_make; used by the files of standing only. */
#ifndef LL_ASSESS_STANDING_PARTS_H
#define LL_ASSESS_STANDING_PARTS_H

#include "assess/standing.h"

/* A dive while it is judged. */
typedef struct ll_judged {
    const ll_entry *entry;
    ll_stand *stand;
    bool has_shape; /* there is a run time */
    ll_shape shape;
    double begins_s, ends_s; /* of the record, else of what is stated; NaN without date and time */
    double greatest_m;       /* recorded, else stated */
    size_t next;             /* ll_stand_repeated: the next one of its chain */
} ll_judged;

/* What a dive's own record and statements say against it; in the order of the tests. `profile` NULL: the log only
 * states the dive. */
void ll_stand_alone(const ll_profile *profile, int64_t today, ll_judged *judged);

/* What can be said only of two dives: the same one, an overlap, a repeat. `judged` in time order, undated ones last. */
void ll_stand_same(ll_judged *judged, size_t count);
void ll_stand_overlapping(ll_judged *judged, size_t count);

/* The same whoever the crew is. What it needs for that lives in `arena`. LL_OK or LL_NO_MEMORY. */
ll_status ll_stand_repeated(ll_judged *judged, size_t count, const ll_crew *crew, ll_arena *arena, ll_error *error);

/* The clause for a stand; false if memory ran out. */
bool ll_stand_words(const ll_history *history, const ll_entry *entry, ll_arena *arena, ll_stand *stand);

#endif
