/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which dive of the first log is the shared one; used by the files of the review only.
 *
 * A dive of another log speaks for one dive of the first log: that with which it agrees best, and where several agree
 * alike, that for which its clock is the least off. So one dive is not taken for two that look alike, and a log of another
 * dive, which agrees with none, decides nothing. Records of the first log that overlap are one dive here. */
#ifndef LL_ASSESS_REVIEW_CHOOSE_H
#define LL_ASSESS_REVIEW_CHOOSE_H

#include "assess/review_near.h"

/* A dive of another recorder than the first. */
typedef struct ll_other_dive {
    size_t diver, recorder, index; /* the last is its place among the entries */
    ll_clock_by by;
    double seconds; /* as given */
    size_t pairing; /* the first of its pairings; SIZE_MAX: none */
} ll_other_dive;

/* A dive of the first log and another that may be the same. */
typedef struct ll_pairing {
    size_t first, other, next; /* next: of the same other dive; SIZE_MAX: none */
    bool known;
    ll_clock_match match; /* where it is known; score 0 where the shapes alone rule out that they agree */
} ll_pairing;

typedef struct ll_choice {
    const ll_review *review;
    const ll_recorder *first;
    ll_arena *arena;
    ll_arena scratch; /* of one comparison */
    size_t others, pairings;
    ll_other_dive *other; /* by diver, recorder, index */
    ll_pairing *pairing;  /* by the dive of the first log, then by the other */
    size_t *from;         /* of each dive of the first log, and the end: its pairings */
} ll_choice;

/* Everything lives in `arena`; to be closed whatever is returned. */
ll_status ll_choice_open(const ll_review *review, ll_arena *arena, ll_choice *choice, ll_error *error);
void ll_choice_close(ll_choice *choice);

/* The shared dive among the first log's entries: that for which most divers' dives speak, of those that agree alike the
 * latest; SIZE_MAX: the log has no dive that can be compared, of those asked for. */
ll_status ll_choice_make(ll_choice *choice, size_t *first, ll_error *error);

/* The dive of the first log for which another speaks; SIZE_MAX: for none, or one that overlaps `first`. */
ll_status ll_choice_elsewhere(ll_choice *choice, size_t first, const ll_recorder *recorder, size_t index,
                              size_t *elsewhere, ll_error *error);

/* The match is taken for the same dive. */
bool ll_is_accepted(ll_clock_by by, const ll_clock_match *match);

#endif
