/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The table of commands, and the whole run: read the arguments, answer, say how it ended. */
#ifndef LL_CLI_COMMANDS_H
#define LL_CLI_COMMANDS_H

#include <leadline/leadline.h>

struct ll_options;

/* Sets of commands, for the table of options. LL_ON_ALL: those that replay logs. */
enum {
    LL_ON_DEBRIEF = 1,
    LL_ON_REPLAY = 2,
    LL_ON_LIST = 4,
    LL_ON_AUDIT = 8,
    LL_ON_VERIFY = 16,
    LL_ON_REVIEW = 32,
    LL_ON_ALL = LL_ON_DEBRIEF | LL_ON_REPLAY | LL_ON_LIST | LL_ON_AUDIT | LL_ON_REVIEW
};

/* Sets of formats, and their names as --format takes them, by leadline_format, NULL at the end. */
enum { LL_FORMATS = LEADLINE_HTML + 1 };
extern const char *const ll_format_words[LL_FORMATS + 1];
#define LL_FORMAT(format) (1U << (format))

/* Renders the history of some logs through `output`. *worst is the severity of the worst finding rendered, of an audit 3
 * where a count is not reached; 0 where a command has none. */
typedef ll_status (*ll_render)(ll_log *const *logs, size_t count, const struct ll_options *options,
                               const leadline_output *output, int *worst, ll_error *error);

typedef struct ll_command {
    const char *name;
    const char *answers;    /* the question that it answers, in one line */
    const char *inputs;     /* what stands behind the options */
    unsigned bit;           /* LL_ON_... */
    leadline_by by;         /* which dives, without --dive */
    leadline_format format; /* without --format */
    unsigned formats;       /* set of LL_FORMAT(...) */
    ll_render render;       /* of a history; NULL: the inputs are no history, and `answer` is asked */
    int (*answer)(const struct ll_options *options); /* returns the exit code; NULL: `render` */
} ll_command;

extern const ll_command ll_command_table[];
extern const int ll_commands;

/* The row of a name, or NULL. */
const ll_command *ll_command_find(const char *name);

/* The whole program. Returns the exit code:
 * 0 done; 1 done, and --fail-on asks for it; 2 wrong usage; 3 an input could not be used;
 * 4 an output could not be written or memory ran out. */
int ll_main(int argc, char **argv);

#endif
