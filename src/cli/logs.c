/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/logs.h"

#include <string.h>

#include "base/error.h"
#include "cli/ahead.h"
#include "cli/input.h"
#include "cli/pool.h"
#include "cli/reading.h"
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
    ll_reading_bar bar;
} readings;

/* --- one log -------------------------------------------------------------------------------------------------------- */

/* An input whose bytes are counted on a bar. */
typedef struct counted {
    ll_input *input;
    ll_ahead *ahead;     /* or NULL */
    ll_reading_bar *bar; /* or NULL */
} counted;

static ptrdiff_t read_counted(void *context, void *bytes, size_t capacity)
{
    const counted *from = context;
    const ptrdiff_t got =
        from->ahead ? ll_ahead_read(from->ahead, bytes, capacity) : ll_input_read(from->input, bytes, capacity);
    if (from->bar && got > 0)
        ll_reading_add(from->bar, (size_t)got);
    return got;
}

static void hash_ahead(void *context, char sha256[LL_DIGEST_TEXT])
{
    ll_ahead_hash(((const counted *)context)->ahead, sha256);
}

static ll_status read_input(const char *name, ll_input *input, size_t jobs, ll_reading_bar *bar, ll_log **log,
                            ll_error *error)
{
    const ll_crew crew = ll_pool_crew(jobs);
    counted from = {input, input->file_bytes >= AHEAD_BYTES ? ll_ahead_open(input) : NULL, bar};
    if (!from.ahead)
        return leadline_log_read(name, read_counted, &from, log, error);
    ll_status status = leadline_log_read_by(name, read_counted, hash_ahead, &from, &crew, log, error);
    ll_ahead_close(from.ahead);
    return status;
}

static ll_status read_one(const char *path, size_t jobs, ll_reading_bar *bar, ll_log **log, ll_error *error)
{
    ll_input input;
    char words[128];
    *log = NULL;
    ll_status status = ll_input_open(&input, path, error);
    if (status != LL_OK)
        return status;
    status = read_input(ll_input_name(path), &input, jobs, bar, log, error);
    if (status == LL_BAD_INPUT && input.reason != 0)
        ll_fail(error, LL_BAD_INPUT, 0, "cannot be read: %s", ll_reason(input.reason, words, sizeof words));
    ll_input_close(&input);
    return status;
}

ll_status ll_logs_read_one(const char *path, size_t jobs, ll_log **log, ll_error *error)
{
    return read_one(path, jobs, NULL, log, error);
}

/* --- all of them ---------------------------------------------------------------------------------------------------- */

bool ll_logs_is_asked(const ll_log *log, const char *diver)
{
    const char *owner = leadline_log_owner(log);
    return !diver || (owner && strcmp(owner, diver) == 0);
}

static void read_piece(void *context, size_t index)
{
    readings *all = context;
    reading *item = &all->items[index];
    item->error.status = read_one(all->paths[index], all->jobs, &all->bar, &item->log, &item->error);
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
    readings all = {.paths = options->logs, .jobs = count > 0 ? options->jobs / count : 1,
                    .items = ll_arena_array(arena, count, sizeof(reading))};
    *logs = (ll_logs){ll_arena_array(arena, count, sizeof(ll_log *)), 0};
    if (!all.items || !logs->items) {
        ll_error error;
        ll_status status = ll_fail_memory(&error);
        ll_say_error(NULL, &error);
        return ll_exit_code(status);
    }
    ll_reading_open(&all.bar, options->logs, count);
    ll_pool_run(options->jobs, count, read_piece, &all);
    ll_reading_close(&all.bar);
    return collect(logs, &all, count);
}

void ll_logs_free(ll_logs *logs)
{
    for (size_t i = 0; i < logs->count; i++)
        leadline_log_free(logs->items[i]);
    logs->count = 0;
}
