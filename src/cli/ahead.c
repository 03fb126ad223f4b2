/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/ahead.h"

#include <pthread.h>
#include <stdbool.h>
#include <string.h>

#include "base/arena.h"
#include "base/lock.h"

enum { BLOCKS = 4, BLOCK_BYTES = 256 * 1024 };

/* Belongs to the fetching thread until it is given, then to the parsing one until it is done with. */
typedef struct block {
    ptrdiff_t size; /* 0: the end, below: reading failed; no block comes after that */
    unsigned char bytes[BLOCK_BYTES];
} block;

struct ll_ahead {
    ll_input *input; /* of the fetching thread, like the digest */
    ll_digest digest;
    pthread_t thread;

    ll_lock lock;       /* guards the three below */
    size_t given, done; /* blocks since the beginning: given <= done + BLOCKS */
    bool is_left;       /* nobody takes any more */

    size_t next; /* byte of the block that is being taken */
    block blocks[BLOCKS];
};

/* --- the fetching thread -------------------------------------------------------------------------------------- */

/* The next block to fill, once it is free; NULL if nobody wants it. */
static block *free_block(ll_ahead *ahead)
{
    ll_lock_take(&ahead->lock);
    while (ahead->given == ahead->done + BLOCKS && !ahead->is_left)
        ll_lock_wait(&ahead->lock);
    block *next = ahead->is_left ? NULL : &ahead->blocks[ahead->given % BLOCKS];
    ll_lock_leave(&ahead->lock);
    return next;
}

static void give(ll_ahead *ahead)
{
    ll_lock_take(&ahead->lock);
    ahead->given++;
    ll_lock_tell(&ahead->lock);
    ll_lock_leave(&ahead->lock);
}

/* A block that was given is only read, by both threads, until this one fills it again. */
static void *fetch(void *context)
{
    ll_ahead *ahead = context;
    block *next;
    ptrdiff_t size = 1;
    while (size > 0 && (next = free_block(ahead))) {
        size = next->size = ll_input_read(ahead->input, next->bytes, BLOCK_BYTES);
        give(ahead);
        if (size > 0)
            ll_digest_add(&ahead->digest, next->bytes, (size_t)size);
    }
    return NULL;
}

/* --- the parsing thread --------------------------------------------------------------------------------------- */

static const block *given_block(ll_ahead *ahead)
{
    ll_lock_take(&ahead->lock);
    while (ahead->given == ahead->done)
        ll_lock_wait(&ahead->lock);
    const block *next = &ahead->blocks[ahead->done % BLOCKS];
    ll_lock_leave(&ahead->lock);
    return next;
}

static void end_block(ll_ahead *ahead)
{
    ll_lock_take(&ahead->lock);
    ahead->done++;
    ll_lock_tell(&ahead->lock);
    ll_lock_leave(&ahead->lock);
    ahead->next = 0;
}

ptrdiff_t ll_ahead_read(void *context, void *bytes, size_t capacity)
{
    ll_ahead *ahead = context;
    const block *from = given_block(ahead);
    if (from->size <= 0)
        return from->size;
    size_t size = (size_t)from->size - ahead->next;
    if (size > capacity)
        size = capacity;
    memcpy(bytes, from->bytes + ahead->next, size);
    ahead->next += size;
    if (ahead->next == (size_t)from->size)
        end_block(ahead);
    return (ptrdiff_t)size;
}

/* The end was given after everything was hashed. */
void ll_ahead_hash(void *context, char sha256[LL_DIGEST_TEXT])
{
    ll_ahead *ahead = context;
    ll_digest_close(&ahead->digest, sha256);
}

static void release(ll_ahead *ahead)
{
    ll_lock_close(&ahead->lock);
    ll_heap.resize(ll_heap.context, ahead, 0);
}

ll_ahead *ll_ahead_open(ll_input *input)
{
    ll_ahead *ahead = ll_heap.resize(ll_heap.context, NULL, sizeof *ahead);
    if (!ahead)
        return NULL;
    ahead->input = input;
    ahead->given = ahead->done = ahead->next = 0;
    ahead->is_left = false;
    ll_digest_open(&ahead->digest);
    ll_lock_open(&ahead->lock);
    if (pthread_create(&ahead->thread, NULL, fetch, ahead) == 0)
        return ahead;
    release(ahead);
    return NULL;
}

void ll_ahead_close(ll_ahead *ahead)
{
    if (!ahead)
        return;
    ll_lock_take(&ahead->lock);
    ahead->is_left = true;
    ll_lock_tell(&ahead->lock);
    ll_lock_leave(&ahead->lock);
    pthread_join(ahead->thread, NULL);
    release(ahead);
}
