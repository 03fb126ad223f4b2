/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How far the reading of all inputs is, on a terminal, once it has lasted longer than a second. */
#ifndef LL_CLI_READING_H
#define LL_CLI_READING_H

#include "base/lock.h"
#include "cli/progress.h"

typedef struct ll_reading_bar {
    ll_progress_bar bar;
    size_t total; /* bytes of those that are files; 0 where nothing is drawn */
    ll_lock lock; /* guards the bar from here on, and what follows */
    size_t done;
} ll_reading_bar;

/* Nothing of the paths is opened; those that are no files count nothing. */
void ll_reading_open(ll_reading_bar *reading, const char *const *paths, size_t count);

/* So many bytes more were read; on any thread. */
void ll_reading_add(ll_reading_bar *reading, size_t bytes);

/* Wipes the bar away. */
void ll_reading_close(ll_reading_bar *reading);

#endif
