/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/reading.h"

#include <sys/stat.h>

enum { A_MEGABYTE = 1000000 };

static size_t size_of(const char *path)
{
    struct stat facts;
    return stat(path, &facts) == 0 && S_ISREG(facts.st_mode) ? (size_t)facts.st_size : 0;
}

void ll_reading_open(ll_reading_bar *reading, const char *const *paths, size_t count)
{
    reading->done = reading->total = 0;
    ll_lock_open(&reading->lock);
    ll_progress_open(&reading->bar, "MB read");
    for (size_t i = 0; reading->bar.began_s >= 0 && i < count; i++)
        reading->total += size_of(paths[i]);
}

void ll_reading_add(ll_reading_bar *reading, size_t bytes)
{
    if (reading->total < A_MEGABYTE)
        return;
    ll_lock_take(&reading->lock);
    reading->done = bytes < reading->total - reading->done ? reading->done + bytes : reading->total;
    ll_progress_tell(&reading->bar, reading->done / A_MEGABYTE, reading->total / A_MEGABYTE);
    ll_lock_leave(&reading->lock);
}

void ll_reading_close(ll_reading_bar *reading)
{
    ll_progress_close(&reading->bar);
    ll_lock_close(&reading->lock);
}
