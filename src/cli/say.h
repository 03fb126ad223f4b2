/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Sentences on standard error, and the exit code that goes with each kind of failure. */
#ifndef LL_CLI_SAY_H
#define LL_CLI_SAY_H

#include <stddef.h>

#include <leadline/status.h>

enum { LL_EXIT_DONE = 0, LL_EXIT_FOUND = 1, LL_EXIT_USAGE = 2, LL_EXIT_INPUT = 3, LL_EXIT_OUTPUT = 4 };

/* Writes "leadline: ", the sentence and a newline in one piece. Control characters become '?', so that nothing read
 * from a log or an argument steers the terminal. */
void ll_say(const char *format, ...) __attribute__((format(printf, 1, 2)));

/* "PATH:LINE: sentence"; without the line where there is none, and without the path where it is NULL. */
void ll_say_error(const char *path, const ll_error *error);

/* Points to --help, that of a command where `command` is not NULL. */
void ll_say_hint(const char *command);

/* The exit code of a status. */
int ll_exit_code(ll_status status);

/* The weightier of two exit codes. */
int ll_worse(int one, int other);

/* The system's words for an error number, without the locale. Returns `words`. */
const char *ll_reason(int number, char *words, size_t capacity);

#endif
