/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Independent pieces of work on several threads. */
#ifndef LL_CLI_POOL_H
#define LL_CLI_POOL_H

#include <stddef.h>

/* Does piece `index`; pieces share nothing but what `context` offers to read. */
typedef void (*ll_work)(void *context, size_t index);

/* Does pieces 0 to count - 1, each once, on up to `jobs` threads, the calling one included, and returns when all are
 * done. Where a thread cannot be had the others do its share. */
void ll_pool_run(size_t jobs, size_t count, ll_work work, void *context);

#endif
