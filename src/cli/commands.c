/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/commands.h"

#include <fcntl.h>
#include <signal.h>
#include <string.h>

#include "base/arena.h"
#include "cli/answer.h"
#include "cli/audit.h"
#include "cli/debrief.h"
#include "cli/help.h"
#include "cli/list.h"
#include "cli/options.h"
#include "cli/replay.h"
#include "cli/review.h"
#include "cli/say.h"
#include "cli/verify.h"

const ll_command ll_command_table[] = {
    {"debrief", "what happened on this dive", "LOG...", LL_ON_DEBRIEF, LEADLINE_LATEST, LEADLINE_TEXT,
     LL_FORMAT(LEADLINE_TEXT) | LL_FORMAT(LEADLINE_JSON) | LL_FORMAT(LEADLINE_CSV) | LL_FORMAT(LEADLINE_HTML),
     ll_render_debrief, NULL},
    {"review", "how the divers of one dive compare, with each other and with the plan", "[NAME=]LOG[+LOG]...",
     LL_ON_REVIEW, LEADLINE_ALL, LEADLINE_TEXT,
     LL_FORMAT(LEADLINE_TEXT) | LL_FORMAT(LEADLINE_JSON) | LL_FORMAT(LEADLINE_CSV) | LL_FORMAT(LEADLINE_HTML), NULL,
     ll_answer_review},
    {"audit", "whether a history meets a standard's entry requirements", "LOG...", LL_ON_AUDIT, LEADLINE_ALL, LEADLINE_TEXT,
     LL_FORMAT(LEADLINE_TEXT) | LL_FORMAT(LEADLINE_JSON) | LL_FORMAT(LEADLINE_CSV) | LL_FORMAT(LEADLINE_HTML),
     ll_render_audit, NULL},
    {"replay", "the recomputed track, a row a sample", "LOG...", LL_ON_REPLAY, LEADLINE_ALL, LEADLINE_CSV,
     LL_FORMAT(LEADLINE_JSON) | LL_FORMAT(LEADLINE_CSV), ll_render_replay, NULL},
    {"list", "what is in the logs and how good each record is", "LOG...", LL_ON_LIST, LEADLINE_ALL, LEADLINE_TEXT,
     LL_FORMAT(LEADLINE_TEXT) | LL_FORMAT(LEADLINE_JSON) | LL_FORMAT(LEADLINE_CSV), ll_render_list, NULL},
    {"verify", "whether a page belongs to its logs and today's figures are the same", "PAGE LOG...", LL_ON_VERIFY,
     LEADLINE_ALL, LEADLINE_TEXT, LL_FORMAT(LEADLINE_TEXT) | LL_FORMAT(LEADLINE_JSON), NULL, ll_answer_verify},
};
const int ll_commands = (int)(sizeof ll_command_table / sizeof ll_command_table[0]);

const ll_command *ll_command_find(const char *name)
{
    for (int i = 0; i < ll_commands; i++)
        if (strcmp(ll_command_table[i].name, name) == 0)
            return &ll_command_table[i];
    return NULL;
}

/* Where a standard descriptor is closed, puts one in its place that fails (0 and 1) or swallows (2), so that no file
 * opened later takes its number. */
static void fill_standard_descriptors(void)
{
    static const int modes[3] = {O_WRONLY, O_RDONLY, O_RDWR};
    for (int i = 0; i < 3; i++)
        if (fcntl(i, F_GETFD) == -1 && open("/dev/null", modes[i]) != i)
            return;
}

/* A closed pipe and a file grown too large are to be failed writes, which are reported. */
static void ignore_write_signals(void)
{
    signal(SIGPIPE, SIG_IGN);
    signal(SIGXFSZ, SIG_IGN);
}

static int run(const ll_options *options)
{
    if (options->version)
        return ll_help_version(options);
    if (options->help)
        return ll_help(options);
    return ll_answer(options);
}

int ll_main(int argc, char **argv)
{
    fill_standard_descriptors();
    ignore_write_signals();
    ll_arena arena;
    ll_arena_open(&arena, &ll_heap);
    ll_options options;
    ll_error error;
    int code;
    ll_status status = ll_options_read(&options, &arena, argc - 1, argv + 1, &error);
    if (status == LL_OK) {
        code = run(&options);
    } else {
        ll_say("%s", error.text);
        if (status == LL_BAD_USAGE)
            ll_say_hint(options.command ? options.command->name : NULL);
        code = ll_exit_code(status);
    }
    ll_arena_close(&arena);
    return code;
}
