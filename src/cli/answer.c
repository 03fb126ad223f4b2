/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/answer.h"

#include <sys/stat.h>

#include "base/error.h"
#include "cli/confine.h"
#include "cli/course.h"
#include "cli/each.h"
#include "cli/logs.h"
#include "cli/look.h"
#include "cli/output.h"
#include "cli/say.h"

static bool is_same_file(const char *path, const struct stat *output)
{
    struct stat input;
    return stat(path, &input) == 0 && input.st_dev == output->st_dev && input.st_ino == output->st_ino;
}

/* Refuses to write over one of the inputs: which, or NULL. */
static const char *input_at(const char *path, const ll_options *options)
{
    struct stat output;
    if (ll_output_is_standard(path) || stat(path, &output) != 0 || !S_ISREG(output.st_mode))
        return NULL;
    if (options->standard_path && is_same_file(options->standard_path, &output))
        return "the standard";
    for (size_t i = 0; i < options->log_count; i++)
        if (is_same_file(options->logs[i], &output))
            return i == 0 && options->command->bit == LL_ON_VERIFY ? "the page" : "one of the logs";
    if (options->plan_path && is_same_file(options->plan_path, &output))
        return "the plan";
    return NULL;
}

static int fail(const char *path, const ll_error *error)
{
    ll_say_error(path, error);
    return ll_exit_code(error->status);
}

/* Renders into the output, which exists afterwards only if all of it could be written. */
static int write_history(const ll_logs *logs, const ll_options *options)
{
    ll_output output;
    ll_error error = {LL_OK, 0, ""};
    int worst = 0;
    if (ll_output_open(&output, options->output, &error) != LL_OK)
        return fail(ll_look_output_name(options), &error);
    leadline_output look = ll_look(options, ll_output_write, &output);
    ll_status status = options->command->render(logs->items, logs->count, options, &look, &worst, &error);
    if (status != LL_OK && output.reason == 0) {
        ll_output_drop(&output);
        return fail(NULL, &error);
    }
    if (ll_output_finish(&output, &error) != LL_OK)
        return fail(ll_look_output_name(options), &error);
    return options->fail_on && worst >= options->fail_on ? LL_EXIT_FOUND : LL_EXIT_DONE;
}

static int answer_together(const ll_options *options)
{
    ll_arena arena;
    ll_logs logs;
    ll_arena_open(&arena, &ll_heap);
    int code = ll_logs_read(&logs, options, &arena);
    if (logs.count > 0)
        code = ll_worse(code, write_history(&logs, options));
    ll_logs_free(&logs);
    ll_arena_close(&arena);
    return code;
}

static int answer_logs(const ll_options *options)
{
    if (options->command->answer)
        return options->command->answer(options);
    return options->each ? ll_answer_each(options) : answer_together(options);
}

/* Without its standard nothing is answered: the limits would be others than those asked for. */
static int answer_under_standard(const ll_options *options)
{
    ll_error error = {LL_OK, 0, ""};
    ll_standard *standard;
    ll_status status = ll_course_read(options->standard_path, &standard, &error);
    if (status != LL_OK)
        return fail(options->standard_path, &error);
    ll_options with = *options;
    with.standard = standard;
    leadline_standard_apply(standard, &with.settings);
    int code = answer_logs(&with);
    leadline_standard_free(standard);
    return code;
}

int ll_answer(const ll_options *options)
{
    const char *input = input_at(options->output, options);
    if (input) {
        ll_say("%s: is %s, and is not written over", options->output, input);
        return LL_EXIT_USAGE;
    }
    ll_confine(options);
    return options->standard_path ? answer_under_standard(options) : answer_logs(options);
}
