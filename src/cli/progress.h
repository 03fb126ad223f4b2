/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How far the work is, on a terminal, once it has lasted longer than a second. */
#ifndef LL_CLI_PROGRESS_H
#define LL_CLI_PROGRESS_H

#include <stdbool.h>
#include <stddef.h>

typedef struct ll_progress_bar {
    const char *what; /* "dives" */
    double began_s, drawn_s;
    bool is_drawn;
} ll_progress_bar;

/* Nothing is ever drawn where standard error is no terminal. */
void ll_progress_open(ll_progress_bar *bar, const char *what);

/* For leadline_output.progress; the context is the bar. */
void ll_progress_tell(void *bar, size_t done, size_t total);

/* Wipes the bar away. */
void ll_progress_close(ll_progress_bar *bar);

#endif
