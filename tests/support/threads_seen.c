/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The locks of <threads.h> over those of POSIX, as the C library itself has them, but by calls that ThreadSanitizer
 * knows. It takes no notice of the former, and would report every access that they guard. Linked by tests/tsan.sh
 * alone, which sees to it that every function of <threads.h> that the sources call stands here. */
#include <assert.h>
#include <pthread.h>
#include <stdalign.h>
#include <threads.h>

static_assert(sizeof(mtx_t) == sizeof(pthread_mutex_t) && alignof(mtx_t) >= alignof(pthread_mutex_t),
              "a lock of one kind has room for the other");
static_assert(sizeof(once_flag) == sizeof(pthread_once_t), "a flag of one kind has room for the other");

static int outcome(int error)
{
    return error == 0 ? thrd_success : thrd_error;
}

int mtx_init(mtx_t *lock, int kind)
{
    return kind == mtx_plain ? outcome(pthread_mutex_init((pthread_mutex_t *)lock, NULL)) : thrd_error;
}

int mtx_lock(mtx_t *lock)
{
    return outcome(pthread_mutex_lock((pthread_mutex_t *)lock));
}

int mtx_unlock(mtx_t *lock)
{
    return outcome(pthread_mutex_unlock((pthread_mutex_t *)lock));
}

void call_once(once_flag *flag, void (*work)(void))
{
    pthread_once((pthread_once_t *)flag, work);
}
