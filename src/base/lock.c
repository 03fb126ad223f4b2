/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/lock.h"

void ll_lock_open(ll_lock *lock)
{
    pthread_mutex_init(&lock->mutex, NULL);
    pthread_cond_init(&lock->change, NULL);
}

void ll_lock_close(ll_lock *lock)
{
    pthread_cond_destroy(&lock->change);
    pthread_mutex_destroy(&lock->mutex);
}

void ll_lock_take(ll_lock *lock)
{
    pthread_mutex_lock(&lock->mutex);
}

void ll_lock_leave(ll_lock *lock)
{
    pthread_mutex_unlock(&lock->mutex);
}

void ll_lock_wait(ll_lock *lock)
{
    pthread_cond_wait(&lock->change, &lock->mutex);
}

void ll_lock_tell(ll_lock *lock)
{
    pthread_cond_broadcast(&lock->change);
}
