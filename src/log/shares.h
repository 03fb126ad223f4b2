/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A long log shared by a crew: behind its first dive the bytes are cut into runs of whole dives, the runs are parsed at the
 * same time, and what they hold is joined in the order of the log. What is left, or strange, is given back to the
 * reader's own parser, so that a log reads the same with any crew.
 *
 * Where a run may end is only guessed, from the end tag of a dive and a line break behind it. The guess holds where the run is
 * well-formed between the tags of the elements that are open there; else the reader parses on alone. */
#ifndef LL_LOG_SHARES_H
#define LL_LOG_SHARES_H

#include "log/part.h"

typedef struct ll_shares ll_shares;

/* NULL where the crew is one, or memory ran out: the reader does all by itself. */
ll_shares *ll_shares_open(const ll_crew *crew, ll_reader *reader);

/* An element begins that may be open around dives: 1 for the log, whose prefix counts, 2, 3. `spaces`: `count` pairs of prefix
 * and name space that it declares. */
void ll_shares_see(ll_shares *shares, size_t depth, const char *prefix, const char *const *spaces, int count);

/* After a dive: takes what the reader's parser has got and not looked at. False if the rest cannot be shared; then nothing was
 * taken. */
bool ll_shares_take(ll_shares *shares, const void *bytes, size_t size);

/* Reads runs and joins them, up to where the reader has to go on alone. How many line breaks are behind it then. */
long ll_shares_go(ll_shares *shares);

/* Bytes that were taken or read and not parsed: 0 where there are none. */
size_t ll_shares_give(ll_shares *shares, void *bytes, size_t capacity);
bool ll_shares_is_empty(ll_shares *shares);

/* What was joined lives on in `arena`. NULL is fine. */
void ll_shares_close(ll_shares *shares, ll_arena *arena);

#endif
