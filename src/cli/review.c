/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/review.h"

#include "base/error.h"
#include "cli/input.h"
#include "cli/logs.h"
#include "cli/look.h"
#include "cli/output.h"
#include "cli/pool.h"
#include "cli/say.h"

/* All logs by their place among the paths; NULL where one could not be read. */
typedef struct readings {
    const ll_options *options;
    ll_log **log;
    ll_error *error;
} readings;

static int fail(const char *path, const ll_error *error)
{
    ll_say_error(path, error);
    return ll_exit_code(error->status);
}

static void read_piece(void *context, size_t index)
{
    readings *all = context;
    all->error[index].status = ll_logs_read_one(all->options->logs[index], 1, &all->log[index], &all->error[index]);
}

static int say_failures(const readings *all)
{
    int code = LL_EXIT_DONE;
    for (size_t i = 0; i < all->options->log_count; i++)
        if (!all->log[i])
            code = ll_worse(code, fail(all->options->logs[i], &all->error[i]));
    return code;
}

/* Divers with at least one log that could be read; logs stand side by side in place. */
static size_t gather(const readings *all, leadline_diver *diver)
{
    size_t count = 0;
    for (size_t d = 0; d < all->options->divers; d++) {
        const ll_diver_paths *paths = &all->options->diver_paths[d];
        size_t kept = 0;
        for (size_t i = paths->first; i < paths->first + paths->count; i++)
            if (all->log[i]) {
                ll_log *log = all->log[i];
                all->log[i] = NULL;
                all->log[paths->first + kept++] = log;
            }
        if (kept > 0)
            diver[count++] = (leadline_diver){paths->name, kept, all->log + paths->first};
    }
    return count;
}

static int write_review(const leadline_review_asked *asked, const ll_options *options)
{
    ll_output output;
    ll_error error = {LL_OK, 0, ""};
    int worst = 0;
    if (ll_output_open(&output, options->output, &error) != LL_OK)
        return fail(ll_look_output_name(options), &error);
    leadline_output look = ll_look(options, ll_output_write, &output);
    ll_status status = leadline_review(asked, &options->settings, &look, &worst, &error);
    if (status != LL_OK && output.reason == 0) {
        ll_output_drop(&output);
        return fail(NULL, &error);
    }
    if (ll_output_finish(&output, &error) != LL_OK)
        return fail(ll_look_output_name(options), &error);
    return options->fail_on && worst >= options->fail_on ? LL_EXIT_FOUND : LL_EXIT_DONE;
}

static ll_status read_plan(const char *path, ll_plan **plan, ll_error *error)
{
    ll_input input;
    char words[128];
    ll_status status = ll_input_open(&input, path, error);
    if (status != LL_OK)
        return status;
    status = leadline_plan_read(ll_input_name(path), ll_input_read, &input, plan, error);
    if (status == LL_BAD_INPUT && input.reason != 0)
        ll_fail(error, LL_BAD_INPUT, 0, "cannot be read: %s", ll_reason(input.reason, words, sizeof words));
    ll_input_close(&input);
    return status;
}

static int answer(readings *all, const ll_plan *plan, ll_arena *arena)
{
    const ll_options *options = all->options;
    leadline_diver *diver = ll_arena_array(arena, options->divers, sizeof *diver);
    ll_error error;
    if (!diver) {
        ll_fail_memory(&error);
        return fail(NULL, &error);
    }
    ll_pool_run(options->jobs, options->log_count, read_piece, all);
    int code = say_failures(all);
    const leadline_review_asked asked = {
        .divers = gather(all, diver), .diver = diver, .dive = options->selection, .plan = plan,
        .trust_clocks = options->trust_clocks, .clocks = options->clocks, .clock = options->clock,
        .waters = options->waters, .water = options->water, .pairs = options->pairs, .pair = options->pair,
        .lead = options->lead, .extract = options->extract};
    return asked.divers > 0 ? ll_worse(code, write_review(&asked, options)) : code;
}

int ll_answer_review(const ll_options *options)
{
    ll_arena arena;
    ll_plan *plan = NULL;
    ll_error error = {LL_OK, 0, ""};
    ll_arena_open(&arena, &ll_heap);
    readings all = {options, ll_arena_array(&arena, options->log_count, sizeof(ll_log *)),
                    ll_arena_array(&arena, options->log_count, sizeof(ll_error))};
    ll_status status = all.log && all.error ? LL_OK : ll_fail_memory(&error);
    if (status == LL_OK && options->plan_path)
        status = read_plan(options->plan_path, &plan, &error);
    int code = status == LL_OK ? answer(&all, plan, &arena) : fail(options->plan_path, &error);
    for (size_t i = 0; all.log && i < options->log_count; i++)
        leadline_log_free(all.log[i]);
    leadline_plan_free(plan);
    ll_arena_close(&arena);
    return code;
}
