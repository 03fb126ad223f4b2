/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/pool.h"

#include <pthread.h>
#include <unistd.h>

#include "base/lock.h"
#include "cli/options.h"

typedef struct pool {
    ll_lock lock;
    size_t next;
    size_t count;
    ll_work work;
    void *context;
} pool;

static size_t take(pool *shared)
{
    ll_lock_take(&shared->lock);
    size_t index = shared->next < shared->count ? shared->next++ : shared->count;
    ll_lock_leave(&shared->lock);
    return index;
}

static void *labour(void *context)
{
    pool *shared = context;
    for (size_t index = take(shared); index < shared->count; index = take(shared))
        shared->work(shared->context, index);
    return NULL;
}

void ll_pool_run(size_t jobs, size_t count, ll_work work, void *context)
{
    pool shared = {.count = count, .work = work, .context = context};
    pthread_t threads[LL_JOBS_MOST];
    size_t started = 0;
    ll_lock_open(&shared.lock);
    while (started + 1 < jobs && started + 1 < count && started < LL_JOBS_MOST &&
           pthread_create(&threads[started], NULL, labour, &shared) == 0)
        started++;
    labour(&shared);
    for (size_t i = 0; i < started; i++)
        pthread_join(threads[i], NULL);
    ll_lock_close(&shared.lock);
}

static void run_crew(void *nothing, size_t jobs, size_t count, ll_work work, void *context)
{
    (void)nothing;
    ll_pool_run(jobs, count, work, context);
}

ll_crew ll_pool_crew(size_t jobs)
{
    return (ll_crew){run_crew, NULL, jobs};
}

unsigned ll_pool_jobs(void)
{
    long processors = sysconf(_SC_NPROCESSORS_ONLN);
    if (processors < 1)
        return 1;
    return processors < LL_JOBS_MOST ? (unsigned)processors : LL_JOBS_MOST;
}
