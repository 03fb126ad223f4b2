/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Logs from files and standard input. */
#ifndef LL_CLI_LOGS_H
#define LL_CLI_LOGS_H

#include "base/arena.h"
#include "cli/options.h"
#include "cli/reading.h"

typedef struct ll_logs {
    ll_log **items; /* the usable ones, in the order given */
    size_t count;
} ll_logs;

/* Reads one log, a long one with up to `jobs` threads; `bar` is told what is read, or NULL. On failure *log is NULL and the sentence does not name the path. */
ll_status ll_logs_read_one(const char *path, size_t jobs, ll_reading_bar *bar, ll_log **log, ll_error *error);

/* True if the log counts under --diver. */
bool ll_logs_is_asked(const ll_log *log, const char *diver);

/* Reads all logs given, up to options->jobs at the same time, each into its place among the paths: `log` has room for all,
 * zeroed (NULL: memory ran out, which is said). A log that cannot be read stays NULL; each failure is said on standard error, in
 * the order given, and the others still run. Returns the exit code so far. */
int ll_logs_read_places(ll_log **log, const ll_options *options, ll_arena *arena);

/* The same, the usable ones side by side. `logs` is to be freed whatever the exit code is. */
int ll_logs_read(ll_logs *logs, const ll_options *options, ll_arena *arena);

void ll_logs_free(ll_logs *logs);

#endif
