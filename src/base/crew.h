/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Pieces of work by a crew, a batch at a time, so that what they leave behind until it is their turn stays bounded. */
#ifndef LL_BASE_CREW_H
#define LL_BASE_CREW_H

#include <stdbool.h>

#include <leadline/crew.h>
#include <leadline/status.h>

#include "base/arena.h"

typedef struct ll_pieces {
    /* Does piece `index`, on any thread. `place` is its place within its batch, under ll_crew_batch; what is left there is
     * what `take` finds. `scratch` is the piece's own, and gone behind it. */
    ll_status (*work)(void *context, size_t index, size_t place, ll_arena *scratch, ll_error *error);
    /* Called for each piece in order, on the calling thread; NULL: nothing is to be taken. */
    void (*take)(void *context, size_t index, size_t place);
    void *context;
} ll_pieces;

/* True if the crew does several pieces at the same time. */
bool ll_crew_is_several(const ll_crew *crew);

/* How many pieces a batch holds, at most `count`; 1 where the crew is one. */
size_t ll_crew_batch(const ll_crew *crew, size_t count);

/* Does `count` pieces, batch by batch. The first piece in order that has no result ends it, and its status and error count:
 * it is not taken, nor is any behind it. LL_NO_MEMORY where `allocator` (NULL: the heap) gives nothing. */
ll_status ll_crew_do(const ll_crew *crew, size_t count, const ll_pieces *pieces, const ll_allocator *allocator,
                     ll_error *error);

#endif
