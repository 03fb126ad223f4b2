/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/logs.h"

#include <string.h>

#include "base/error.h"
#include "cli/ahead.h"
#include "cli/input.h"
#include "cli/pool.h"
#include "cli/say.h"

enum { AHEAD_BYTES = 1024 * 1024 }; /* a shorter log is read before a second thread would gain anything */

typedef struct reading {
    ll_log *log;
    ll_error error;
} reading;

typedef struct readings {
    const char *const *paths;
    size_t jobs; /* for each of them */
    reading *items;
} readings;

static ll_status read_input(const char *name, ll_input *input, size_t jobs, ll_log **log, ll_error *error)
{
    const ll_crew crew = ll_pool_crew(jobs);
    ll_ahead *ahead = input->file_bytes >= AHEAD_BYTES ? ll_ahead_open(input) : NULL;
    if (!ahead)
        return leadline_log_read(name, ll_input_read, input, log, error);
    ll_status status = leadline_log_read_by(name, ll_ahead_read, ll_ahead_hash, ahead, &crew, log, error);
    ll_ahead_close(ahead);
    return status;
}

ll_status ll_logs_read_one(const char *path, size_t jobs, ll_log **log, ll_error *error)
{
    ll_input input;
    char words[128];
    *log = NULL;
    ll_status status = ll_input_open(&input, path, error);
    if (status != LL_OK)
        return status;
    status = read_input(ll_input_name(path), &input, jobs, log, error);
    if (status == LL_BAD_INPUT && input.reason != 0)
        ll_fail(error, LL_BAD_INPUT, 0, "cannot be read: %s", ll_reason(input.reason, words, sizeof words));
    ll_input_close(&input);
    return status;
}

bool ll_logs_is_asked(const ll_log *log, const char *diver)
{
    const char *owner = leadline_log_owner(log);
    return !diver || (owner && strcmp(owner, diver) == 0);
}

static void read_piece(void *context, size_t index)
{
    readings *all = context;
    reading *item = &all->items[index];
    item->error.status = ll_logs_read_one(all->paths[index], all->jobs, &item->log, &item->error);
}

/* Keeps what could be read and says what could not. Returns the worst exit code. */
static int collect(ll_logs *logs, const readings *all, size_t count)
{
    int code = LL_EXIT_DONE;
    for (size_t i = 0; i < count; i++) {
        const reading *item = &all->items[i];
        code = ll_worse(code, ll_exit_code(item->error.status));
        if (item->log)
            logs->items[logs->count++] = item->log;
        else
            ll_say_error(all->paths[i], &item->error);
    }
    return code;
}

int ll_logs_read(ll_logs *logs, const ll_options *options, ll_arena *arena)
{
    size_t count = options->log_count;
    readings all = {options->logs, count > 0 ? options->jobs / count : 1, ll_arena_array(arena, count, sizeof(reading))};
    *logs = (ll_logs){ll_arena_array(arena, count, sizeof(ll_log *)), 0};
    if (!all.items || !logs->items) {
        ll_error error;
        ll_status status = ll_fail_memory(&error);
        ll_say_error(NULL, &error);
        return ll_exit_code(status);
    }
    ll_pool_run(options->jobs, count, read_piece, &all);
    return collect(logs, &all, count);
}

void ll_logs_free(ll_logs *logs)
{
    for (size_t i = 0; i < logs->count; i++)
        leadline_log_free(logs->items[i]);
    logs->count = 0;
}
