/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/crew.h"

#include "base/error.h"

enum { PIECES_A_JOB = 8 }; /* so that one long piece leaves the others little to wait for */

/* How a piece ended. */
typedef struct outcome {
    ll_status status;
    ll_error error;
} outcome;

typedef struct batch {
    const ll_pieces *pieces;
    const ll_allocator *allocator;
    size_t first;
    outcome *outcomes;
} batch;

bool ll_crew_is_several(const ll_crew *crew)
{
    return crew->run && crew->jobs > 1;
}

size_t ll_crew_batch(const ll_crew *crew, size_t count)
{
    size_t most = ll_crew_is_several(crew) ? crew->jobs * PIECES_A_JOB : 1;
    return count < most ? count : most;
}

static void do_piece(void *context, size_t place)
{
    const batch *now = context;
    outcome *mine = &now->outcomes[place];
    ll_arena scratch;
    ll_arena_open(&scratch, now->allocator);
    mine->status = now->pieces->work(now->pieces->context, now->first + place, place, &scratch, &mine->error);
    ll_arena_close(&scratch);
}

static void do_batch(const ll_crew *crew, size_t count, batch *now)
{
    if (ll_crew_is_several(crew) && count > 1)
        crew->run(crew->crew_context, crew->jobs, count, do_piece, now);
    else
        for (size_t place = 0; place < count; place++)
            do_piece(now, place);
}

static ll_status take_batch(size_t count, const batch *now, ll_error *error)
{
    for (size_t place = 0; place < count; place++) {
        const outcome *made = &now->outcomes[place];
        if (made->status != LL_OK) {
            if (error)
                *error = made->error;
            return made->status;
        }
        if (now->pieces->take)
            now->pieces->take(now->pieces->context, now->first + place, place);
    }
    return LL_OK;
}

ll_status ll_crew_do(const ll_crew *crew, size_t count, const ll_pieces *pieces, const ll_allocator *allocator,
                     ll_error *error)
{
    ll_arena arena;
    ll_status status = LL_OK;
    ll_arena_open(&arena, allocator);
    batch now = {.pieces = pieces, .allocator = allocator};
    now.outcomes = ll_arena_array(&arena, ll_crew_batch(crew, count), sizeof *now.outcomes);
    if (!now.outcomes)
        status = ll_fail_memory(error);
    for (size_t size; now.first < count && status == LL_OK; now.first += size) {
        size = ll_crew_batch(crew, count - now.first);
        do_batch(crew, size, &now);
        status = take_batch(size, &now, error);
    }
    ll_arena_close(&arena);
    return status;
}
