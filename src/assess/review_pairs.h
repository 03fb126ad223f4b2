/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Dives of the first log and of the others that may be the same, and how well they agree; used by the files of the review
 * only.
 *
 * A dive of another log speaks for one dive of the first log: that with which it agrees best, and where several agree
 * alike, that for which its clock is the least off. So one dive is not taken for two that look alike, and a log of another
 * dive, which agrees with none, decides nothing. Records of the first log that overlap are one dive here. */
#ifndef LL_ASSESS_REVIEW_PAIRS_H
#define LL_ASSESS_REVIEW_PAIRS_H

#include "assess/review_near.h"
#include "assess/depth_layers.h"

#define LL_PAIRS_MOST 4000000  /* of dives within a day of each other; more are refused */
#define LL_COMPARED_MOST 20000 /* of them compared sample by sample */

/* A dive of another recorder than the first. */
typedef struct ll_other_dive {
    size_t diver, recorder, index; /* the last is its place among the entries */
    ll_clock_by by;
    double seconds; /* as given */
    double start_s; /* with them */
    size_t pairing; /* the first of its pairings; SIZE_MAX: none */
    const ll_layers *layers; /* NULL: not asked for yet */
} ll_other_dive;

typedef enum ll_pairing_known { LL_NOT_COMPARED, LL_RULED_OUT, LL_COMPARED } ll_pairing_known;

/* A dive of the first log and another that may be the same. */
typedef struct ll_pairing {
    size_t first, other, next; /* next: of the same other dive; SIZE_MAX: none */
    ll_pairing_known known;    /* ruled out: by the layers alone, the score is below LL_MATCH_LEAST */
    ll_clock_match match;      /* where it was compared; else zero */
} ll_pairing;

typedef struct ll_pairs {
    const ll_review *review;
    const ll_recorder *first;
    ll_arena *arena;
    ll_arena scratch; /* of one comparison */
    size_t others, count, compared;
    ll_other_dive *other; /* by diver, recorder, index */
    ll_pairing *pairing;  /* by the dive of the first log, then by the other */
    size_t *from;         /* of each dive of the first log, and the end: its pairings */
    const ll_layers **layers; /* of each dive of the first log; NULL: not asked for yet */
} ll_pairs;

/* Everything lives in `arena`; to be closed whatever is returned. LL_BAD_INPUT, here and below: more pairs than the caps. */
ll_status ll_pairs_open(const ll_review *review, ll_arena *arena, ll_pairs *pairs, ll_error *error);
void ll_pairs_close(ll_pairs *pairs);

/* Compares a pair that was not compared yet, if its layers let it be accepted. */
ll_status ll_pair_learn(ll_pairs *pairs, ll_pairing *pairing, ll_error *error);

/* Fills a pairing's match, though the layers rule it out. */
ll_status ll_pair_compare(ll_pairs *pairs, ll_pairing *pairing, ll_error *error);

/* The dive of the first log for which the other of a pairing speaks, where that is another than the pairing's; SIZE_MAX:
 * for none, or one that overlaps the pairing's. */
ll_status ll_pair_elsewhere(ll_pairs *pairs, const ll_pairing *pairing, size_t *elsewhere, ll_error *error);

/* The match is taken for the same dive. */
bool ll_is_accepted(ll_clock_by by, const ll_clock_match *match);

#endif
