/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/progress.h"

#include <stdio.h>
#include <time.h>
#include <unistd.h>

enum { CELLS = 32 };
#define SILENT_S 1.0
#define EVERY_S 0.1

static double now_s(void)
{
    struct timespec now;
    if (clock_gettime(CLOCK_MONOTONIC, &now) != 0)
        return 0;
    return (double)now.tv_sec + (double)now.tv_nsec / 1e9;
}

void ll_progress_open(ll_progress_bar *bar, const char *what)
{
    *bar = (ll_progress_bar){.what = what, .began_s = isatty(STDERR_FILENO) ? now_s() : -1};
}

static void draw(const ll_progress_bar *bar, size_t done, size_t total)
{
    char cells[CELLS + 1];
    for (size_t i = 0; i < CELLS; i++)
        cells[i] = i * total < done * CELLS ? '#' : '.';
    cells[CELLS] = '\0';
    fprintf(stderr, "\r%s %zu of %zu %s", cells, done, total, bar->what);
    fflush(stderr);
}

void ll_progress_tell(void *context, size_t done, size_t total)
{
    ll_progress_bar *bar = context;
    if (bar->began_s < 0)
        return;
    double now = now_s();
    if (now - bar->began_s < SILENT_S || now - bar->drawn_s < EVERY_S)
        return;
    draw(bar, done, total);
    bar->drawn_s = now;
    bar->is_drawn = true;
}

void ll_progress_close(ll_progress_bar *bar)
{
    if (!bar->is_drawn)
        return;
    fputs("\r\033[K", stderr);
    fflush(stderr);
    bar->is_drawn = false;
}
