/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The arguments: one table of options, read into one struct. */
#ifndef LL_CLI_OPTIONS_H
#define LL_CLI_OPTIONS_H

#include <stdbool.h>
#include <stddef.h>

#include <leadline/leadline.h>

#include "base/arena.h"
#include "cli/commands.h"

enum { LL_JOBS_MOST = 256 };

/* What was asked for. Texts belong to the arguments or the arena. */
typedef struct ll_options {
    const ll_command *command; /* NULL: none named */
    bool help;
    bool version;
    ll_settings settings;
    leadline_selection selection;
    leadline_format format;
    const char *output; /* NULL: standard output */
    bool imperial;
    leadline_names names;
    const char *columns; /* NULL: the promised ones */
    bool tissues;
    bool each;
    const char *diver; /* NULL: all */
    const char *standard_path;   /* NULL: none */
    const ll_standard *standard; /* read from it */
    const char *plan_path; /* of a review; NULL: none */
    bool trust_clocks;
    size_t clocks, waters, pairs, divers; /* of a review */
    leadline_clock *clock;
    leadline_diver_water *water;
    leadline_pair *pair;
    struct ll_diver_paths *diver_paths;
    const char *lead, *extract;
    bool has_as_of;
    int64_t as_of;     /* of an audit: days since 1970-01-01 */
    int fail_on;       /* severity from which the exit code is 1; 0: never */
    unsigned jobs;     /* 1 or more */
    const char **logs;
    size_t log_count;
    /* while reading */
    ll_arena *arena;
    bool has_selection, has_format;
    unsigned long long used; /* bit i: row i of the table was given */
} ll_options;

/* A diver of a review: paths are logs[first] to logs[first + count - 1]. */
typedef struct ll_diver_paths {
    const char *name; /* NULL: not given */
    size_t first, count;
} ll_diver_paths;

typedef struct ll_option {
    const char *name;     /* without its dashes */
    char letter;          /* of the short form, 0: none */
    const char *argument; /* as --help shows it; NULL: the option takes none */
    const char *help;
    unsigned commands; /* set of LL_ON_... */
    const char *expects; /* in the sentence about a value that makes no sense */
    /* Takes the value (NULL if there is none); false if it makes no sense. */
    bool (*take)(ll_options *options, const char *value);
} ll_option;

extern const ll_option ll_option_table[];
extern const int ll_options_count;

/* Reads the arguments after the program's name, wherever the options stand; "--" ends them. LL_OK, or LL_BAD_USAGE or
 * LL_NO_MEMORY with a sentence; then only options->command means anything. With --help or --version nothing else is
 * asked for. */
ll_status ll_options_read(ll_options *options, ll_arena *arena, int count, char *const *arguments, ll_error *error);

#endif
