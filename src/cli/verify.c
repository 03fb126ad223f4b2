/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/verify.h"

#include "base/error.h"
#include "base/text.h"
#include "cli/input.h"
#include "cli/logs.h"
#include "cli/look.h"
#include "cli/output.h"
#include "cli/say.h"

enum { PIECE = 64 * 1024, MOST_BYTES = 512 * 1024 * 1024 };

static int fail(const char *path, const ll_error *error)
{
    ll_say_error(path, error);
    return ll_exit_code(error->status);
}

/* One byte over the cap is enough for the door to refuse it. */
static ll_status read_all(ll_input *input, ll_text *page, ll_error *error)
{
    char piece[PIECE], words[128];
    ptrdiff_t size;
    while ((size = ll_input_read(input, piece, sizeof piece)) > 0 && page->size <= MOST_BYTES)
        ll_text_add(page, piece, (size_t)size);
    if (size < 0)
        return ll_fail(error, LL_BAD_INPUT, 0, "cannot be read: %s", ll_reason(input->reason, words, sizeof words));
    return page->no_memory ? ll_fail_memory(error) : LL_OK;
}

static ll_status read_page(const char *path, ll_text *page, ll_error *error)
{
    ll_input input;
    ll_status status = ll_input_open(&input, path, error);
    if (status != LL_OK)
        return status;
    status = read_all(&input, page, error);
    ll_input_close(&input);
    return status;
}

static int write_verdict(const ll_options *options, const ll_text *page, const ll_logs *logs)
{
    const char *path = options->logs[0];
    ll_output output;
    ll_error error = {LL_OK, 0, ""};
    bool holds = false;
    if (ll_output_open(&output, options->output, &error) != LL_OK)
        return fail(ll_look_output_name(options), &error);
    leadline_output look = ll_look(options, ll_output_write, &output);
    ll_status status = leadline_verify(ll_input_name(path), page->bytes, page->size, logs->items, logs->count, &look,
                                       &holds, &error);
    if (status != LL_OK && output.reason == 0) {
        ll_output_drop(&output);
        return fail(status == LL_BAD_INPUT ? path : NULL, &error);
    }
    if (ll_output_finish(&output, &error) != LL_OK)
        return fail(ll_look_output_name(options), &error);
    return holds ? LL_EXIT_DONE : LL_EXIT_FOUND;
}

/* Without all of its logs nothing is said of a page: it would seem not to belong to them. */
static int answer_with_page(const ll_options *options, const ll_text *page, ll_arena *arena)
{
    ll_logs logs;
    ll_options of_logs = *options;
    of_logs.logs++;
    of_logs.log_count--;
    int code = ll_logs_read(&logs, &of_logs, arena);
    if (code == LL_EXIT_DONE)
        code = write_verdict(options, page, &logs);
    ll_logs_free(&logs);
    return code;
}

int ll_answer_verify(const ll_options *options)
{
    ll_arena arena;
    ll_text page;
    ll_error error = {LL_OK, 0, ""};
    ll_arena_open(&arena, &ll_heap);
    ll_text_open(&page, &ll_heap, NULL, NULL);
    ll_status status = read_page(options->logs[0], &page, &error);
    int code = status == LL_OK ? answer_with_page(options, &page, &arena) : fail(options->logs[0], &error);
    ll_text_close(&page);
    ll_arena_close(&arena);
    return code;
}
