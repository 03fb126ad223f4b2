/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/each.h"

#include "base/error.h"
#include "base/text.h"
#include "cli/logs.h"
#include "cli/look.h"
#include "cli/output.h"
#include "cli/pool.h"
#include "cli/progress.h"
#include "cli/say.h"

enum { SHARES_A_JOB = 4 };

/* One log's answer, in memory until it is its turn. */
typedef struct share {
    ll_text text;
    ll_error error; /* status LL_OK: the text is whole */
    bool left_out;  /* another owner's log */
    int worst;
} share;

/* Some logs at a time, so that memory does not grow with their number. */
typedef struct batch {
    const ll_options *options;
    const char *const *paths;
    share *shares;
} batch;

/* What has been written so far. */
typedef struct answer {
    const ll_options *options;
    ll_output output;
    bool is_open;
    bool is_broken; /* nothing more can be written */
    size_t left_out;
    int code;
} answer;

static int keep(void *context, const void *bytes, size_t size)
{
    ll_text *text = context;
    ll_text_add(text, bytes, size);
    return text->no_memory;
}

static ll_status render(ll_log *log, const ll_options *options, share *mine)
{
    leadline_output look = ll_look(options, keep, &mine->text);
    ll_status status = options->command->render(&log, 1, options, &look, &mine->worst, &mine->error);
    return mine->text.no_memory ? ll_fail_memory(&mine->error) : status;
}

static void do_share(void *context, size_t index)
{
    const batch *all = context;
    share *mine = &all->shares[index];
    ll_log *log;
    *mine = (share){.worst = 0};
    ll_text_open(&mine->text, &ll_heap, NULL, NULL);
    ll_status status = ll_logs_read_one(all->paths[index], 1, NULL, &log, &mine->error);
    mine->left_out = status == LL_OK && !ll_logs_is_asked(log, all->options->diver);
    if (status == LL_OK && !mine->left_out)
        status = render(log, all->options, mine);
    leadline_log_free(log);
    mine->error.status = status;
}

/* Ends all writing. */
static void break_off(answer *so_far, const ll_error *error)
{
    so_far->is_broken = true;
    so_far->code = ll_worse(so_far->code, ll_exit_code(error->status));
    ll_say_error(ll_look_output_name(so_far->options), error);
}

/* Opens the output for the first share; texts have an empty line between them. */
static void write_share(answer *so_far, const share *mine)
{
    ll_error error;
    if (!so_far->is_open && ll_output_open(&so_far->output, so_far->options->output, &error) != LL_OK) {
        break_off(so_far, &error);
        return;
    }
    if (so_far->is_open && so_far->options->format == LEADLINE_TEXT)
        ll_output_write(&so_far->output, "\n", 1);
    so_far->is_open = true;
    if (ll_output_write(&so_far->output, mine->text.bytes, mine->text.size) == 0)
        return;
    ll_output_finish(&so_far->output, &error);
    so_far->is_open = false;
    break_off(so_far, &error);
}

static void add_share(answer *so_far, const char *path, const share *mine)
{
    int fail_on = so_far->options->fail_on;
    if (mine->left_out) {
        so_far->left_out++;
    } else if (mine->error.status != LL_OK) {
        ll_say_error(path, &mine->error);
        so_far->code = ll_worse(so_far->code, ll_exit_code(mine->error.status));
    } else {
        write_share(so_far, mine);
        so_far->code = ll_worse(so_far->code, fail_on && mine->worst >= fail_on ? LL_EXIT_FOUND : LL_EXIT_DONE);
    }
}

/* Answers for `count` logs from `first` on. */
static void do_batch(answer *so_far, share *shares, size_t first, size_t count)
{
    batch all = {so_far->options, so_far->options->logs + first, shares};
    ll_pool_run(so_far->options->jobs, count, do_share, &all);
    for (size_t i = 0; i < count; i++) {
        if (!so_far->is_broken)
            add_share(so_far, all.paths[i], &shares[i]);
        ll_text_close(&shares[i].text);
    }
}

static void finish(answer *so_far)
{
    ll_error error;
    if (so_far->is_open && ll_output_finish(&so_far->output, &error) != LL_OK)
        break_off(so_far, &error);
    if (so_far->left_out == so_far->options->log_count) {
        ll_say("no log names '%s' as its owner", so_far->options->diver);
        so_far->code = ll_worse(so_far->code, LL_EXIT_USAGE);
    }
}

static void do_all(answer *so_far, share *shares, size_t capacity)
{
    size_t count = so_far->options->log_count;
    ll_progress_bar bar;
    ll_progress_open(&bar, "logs");
    for (size_t first = 0; first < count && !so_far->is_broken; first += capacity) {
        ll_progress_tell(&bar, first, count);
        do_batch(so_far, shares, first, count - first < capacity ? count - first : capacity);
        ll_progress_close(&bar);
    }
    finish(so_far);
}

int ll_answer_each(const ll_options *options)
{
    answer so_far = {.options = options};
    size_t capacity = (size_t)options->jobs * SHARES_A_JOB;
    ll_arena arena;
    ll_arena_open(&arena, &ll_heap);
    share *shares = ll_arena_array(&arena, capacity, sizeof *shares);
    if (shares) {
        do_all(&so_far, shares, capacity);
    } else {
        ll_say("memory ran out");
        so_far.code = LL_EXIT_OUTPUT;
    }
    ll_arena_close(&arena);
    return so_far.code;
}
