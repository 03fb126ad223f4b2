/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/logs.h"

#include <string.h>

#include "base/error.h"
#include "cli/ahead.h"
#include "cli/input.h"
#include "cli/pool.h"
#include "cli/say.h"

enum { AHEAD_BYTES = 1024 * 1024 }; /* a shorter log is read before a second thread would gain anything */

typedef struct readings {
    const char *const *paths;
    size_t jobs; /* for each of them */
    ll_log **log;
    ll_error *error;
    ll_reading_bar bar;
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

ll_status ll_logs_read_one(const char *path, size_t jobs, ll_reading_bar *bar, ll_log **log, ll_error *error)
{
    ll_input input;
    char words[128];
    *log = NULL;
    ll_status status = ll_input_open(&input, path, error);
    if (status != LL_OK)
        return status;
    input.bar = bar;
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
    all->error[index].status =
        ll_logs_read_one(all->paths[index], all->jobs, &all->bar, &all->log[index], &all->error[index]);
}

static int say_failures(const readings *all, size_t count)
{
    int code = LL_EXIT_DONE;
    for (size_t i = 0; i < count; i++) {
        code = ll_worse(code, ll_exit_code(all->error[i].status));
        if (!all->log[i])
            ll_say_error(all->paths[i], &all->error[i]);
    }
    return code;
}

int ll_logs_read_places(ll_log **log, const ll_options *options, ll_arena *arena)
{
    const size_t count = options->log_count;
    readings all = {.paths = options->logs, .jobs = count > 0 ? options->jobs / count : 1, .log = log,
                    .error = ll_arena_array(arena, count, sizeof *all.error)};
    if (!log || !all.error) {
        ll_error error;
        ll_status status = ll_fail_memory(&error);
        ll_say_error(NULL, &error);
        return ll_exit_code(status);
    }
    ll_reading_open(&all.bar, options->logs, count);
    ll_pool_run(options->jobs, count, read_piece, &all);
    ll_reading_close(&all.bar);
    return say_failures(&all, count);
}

int ll_logs_read(ll_logs *logs, const ll_options *options, ll_arena *arena)
{
    *logs = (ll_logs){ll_arena_array(arena, options->log_count, sizeof *logs->items), 0};
    int code = ll_logs_read_places(logs->items, options, arena);
    for (size_t i = 0; logs->items && i < options->log_count; i++)
        if (logs->items[i])
            logs->items[logs->count++] = logs->items[i];
    return code;
}

void ll_logs_free(ll_logs *logs)
{
    for (size_t i = 0; i < logs->count; i++)
        leadline_log_free(logs->items[i]);
    logs->count = 0;
}
