/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/divers.h"

#include <string.h>

#include "base/error.h"

static size_t count_paths(const char *word)
{
    size_t count = 1;
    for (const char *at = strchr(word, '='); at && *at; at++)
        count += *at == '+';
    return count;
}

/* Adds the paths behind a name. */
static ll_status add_paths(ll_options *options, const char *paths, const char **flat, ll_diver_paths *diver,
                           ll_error *error)
{
    for (const char *from = paths, *end; from; from = *end ? end + 1 : NULL) {
        end = from + strcspn(from, diver->name ? "+" : "");
        const char *path = ll_arena_text_n(options->arena, from, (size_t)(end - from));
        if (!path)
            return ll_fail_memory(error);
        if (!*path)
            return ll_fail(error, LL_BAD_USAGE, 0, "review: expected NAME=LOG or NAME=LOG+LOG, found a name without a log");
        flat[diver->first + diver->count++] = path;
        if (!*end)
            return LL_OK;
    }
    return LL_OK;
}

static ll_status add_diver(ll_options *options, const char *word, const char **flat, size_t first, ll_error *error)
{
    ll_diver_paths *diver = &options->diver_paths[options->divers++];
    const char *equals = strchr(word, '=');
    diver->first = first;
    if (equals && equals > word) {
        diver->name = ll_arena_text_n(options->arena, word, (size_t)(equals - word));
        if (!diver->name)
            return ll_fail_memory(error);
    }
    return add_paths(options, equals ? equals + 1 : word, flat, diver, error);
}

ll_status ll_divers_split(ll_options *options, ll_error *error)
{
    size_t most = 0, used = 0;
    for (size_t i = 0; i < options->log_count; i++)
        most += count_paths(options->logs[i]);
    const char **flat = ll_arena_array(options->arena, most, sizeof *flat);
    options->diver_paths = ll_arena_array(options->arena, options->log_count, sizeof *options->diver_paths);
    if (!flat || !options->diver_paths)
        return ll_fail_memory(error);
    ll_status status = LL_OK;
    for (size_t i = 0; i < options->log_count && status == LL_OK; i++) {
        status = add_diver(options, options->logs[i], flat, used, error);
        used += options->diver_paths[i].count;
    }
    options->logs = flat;
    options->log_count = used;
    return status;
}
