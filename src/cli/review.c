/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/review.h"

#include "base/error.h"
#include "cli/input.h"
#include "cli/logs.h"
#include "cli/look.h"
#include "cli/output.h"
#include "cli/say.h"

static int fail(const char *path, const ll_error *error)
{
    ll_say_error(path, error);
    return ll_exit_code(error->status);
}

/* Divers with at least one log that could be read; logs stand side by side in place. */
static size_t gather(ll_log **log, const ll_options *options, leadline_diver *diver)
{
    size_t count = 0;
    for (size_t d = 0; d < options->divers; d++) {
        const ll_diver_paths *paths = &options->diver_paths[d];
        size_t kept = 0;
        for (size_t i = paths->first; i < paths->first + paths->count; i++)
            if (log[i]) {
                ll_log *usable = log[i];
                log[i] = NULL;
                log[paths->first + kept++] = usable;
            }
        if (kept > 0)
            diver[count++] = (leadline_diver){paths->name, kept, log + paths->first};
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

static int answer(ll_log **log, const ll_options *options, const ll_plan *plan, ll_arena *arena)
{
    leadline_diver *diver = ll_arena_array(arena, options->divers, sizeof *diver);
    ll_error error;
    if (!diver) {
        ll_fail_memory(&error);
        return fail(NULL, &error);
    }
    int code = ll_logs_read_places(log, options, arena);
    const leadline_review_asked asked = {
        .divers = gather(log, options, diver), .diver = diver, .dive = options->selection, .plan = plan,
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
    ll_log **log = ll_arena_array(&arena, options->log_count, sizeof *log);
    ll_status status = log ? LL_OK : ll_fail_memory(&error);
    if (status == LL_OK && options->plan_path)
        status = read_plan(options->plan_path, &plan, &error);
    int code = status == LL_OK ? answer(log, options, plan, &arena) : fail(options->plan_path, &error);
    for (size_t i = 0; log && i < options->log_count; i++)
        leadline_log_free(log[i]);
    leadline_plan_free(plan);
    ll_arena_close(&arena);
    return code;
}
