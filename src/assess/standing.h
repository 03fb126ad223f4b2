/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What an audit does with each dive of a history: recorded, claimed, merged or set aside, each dive in exactly one of
 * these, with a reason in words that accuse nobody. Nothing here needs tissues. */
#ifndef LL_ASSESS_STANDING_H
#define LL_ASSESS_STANDING_H

#include "assess/alike.h"
#include "base/crew.h"
#include "replay/history.h"

typedef enum ll_standing { LL_RECORDED, LL_CLAIMED, LL_MERGED, LL_SET_ASIDE, LL_STANDINGS } ll_standing;
extern const char *const ll_standing_names[LL_STANDINGS]; /* "recorded", "claimed", "merged", "set-aside" */
extern const char *const ll_standing_words[LL_STANDINGS]; /* as in a sentence: "set aside" */

/* Why a dive is merged or set aside; what is set aside in the order of the tests. */
typedef enum ll_reason {
    LL_REASON_NONE,
    LL_REASON_AFTER_DAY,   /* lies after the day of the audit */
    LL_REASON_DEPTH,       /* stated and recorded greatest depth contradict each other */
    LL_REASON_DURATION,    /* stated duration against both run time and length of the record */
    LL_REASON_NOT_POSITIVE, /* a depth or duration stated that is not positive */
    LL_REASON_RATE,        /* a rate over 120 m/min kept for 5 s */
    LL_REASON_TOO_DEEP,    /* over 330 m */
    LL_REASON_NO_DIVE,     /* never deeper than 3 m for 3 min in all */
    LL_REASON_SAME,        /* merged: a second recorder of the same dive */
    LL_REASON_SAME_STATED, /* merged: the log states a dive that another one recorded */
    LL_REASON_OVERLAPS,
    LL_REASON_REPEATS,     /* another dive's profile under another date */
    LL_REASONS
} ll_reason;
extern const char *const ll_reason_keys[LL_REASONS]; /* "after-day", "depth-contradicts", ... */

/* One dive's. */
typedef struct ll_stand {
    ll_standing standing;
    ll_reason reason;
    size_t other;        /* index of the dive that counts instead, that it overlaps or repeats; SIZE_MAX without one */
    ll_alike alike;      /* with LL_REASON_SAME and LL_REASON_REPEATS */
    double stated, recorded; /* what contradict each other: m or s; with LL_REASON_RATE recorded is m/min */
    const char *why;     /* one clause in words; NULL without a reason */
} ll_stand;

/* Judges every entry of a numbered history; `stand` has room for all. `today`: the day of the audit, days since
 * 1970-01-01; dives on it count. What needs one dive only, and the search for repeats, is done by the crew. Words live
 * in `arena`. LL_OK or LL_NO_MEMORY. */
ll_status ll_stands_make(const ll_history *history, int64_t today, const ll_crew *crew, ll_arena *arena, ll_stand *stand,
                         ll_error *error);

/* The whole hours that two starts lie apart, as where a clock was set to another zone; 0 where they lie apart otherwise. */
int ll_whole_hours(double seconds);

#endif
