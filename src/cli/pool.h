/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Independent pieces of work on several threads. */
#ifndef LL_CLI_POOL_H
#define LL_CLI_POOL_H

#include <leadline/crew.h>

/* Does pieces 0 to count - 1, each once, on up to `jobs` threads, the calling one included, and returns when all are
 * done. Where a thread cannot be had the others do its share. */
void ll_pool_run(size_t jobs, size_t count, ll_work work, void *context);

/* The same as a crew for the door. */
ll_crew ll_pool_crew(size_t jobs);

/* How many jobs make sense here: the processors, from 1 to LL_JOBS_MOST. */
unsigned ll_pool_jobs(void);

#endif
