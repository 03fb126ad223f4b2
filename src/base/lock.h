/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A lock for threads that share more than `const`. */
#ifndef LL_BASE_LOCK_H
#define LL_BASE_LOCK_H

#include <pthread.h>

typedef struct ll_lock {
    pthread_mutex_t mutex;
    pthread_cond_t change;
} ll_lock;

void ll_lock_open(ll_lock *lock);
void ll_lock_close(ll_lock *lock);

void ll_lock_take(ll_lock *lock);
void ll_lock_leave(ll_lock *lock);

/* Leaves the lock until another thread tells of a change, and takes it again. May come back without one. */
void ll_lock_wait(ll_lock *lock);
/* Tells all that wait. */
void ll_lock_tell(ll_lock *lock);

#endif
