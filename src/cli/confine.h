/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the tool gives up before it looks at the first byte of an input, so that a log which got the better of a parser
 * gains little: the files that are none of its inputs or its output, the network, other programs. On Linux only, with
 * what its kernel has; anywhere else nothing is given up and nothing is said. */
#ifndef LL_CLI_CONFINE_H
#define LL_CLI_CONFINE_H

#include <stdbool.h>

#include "cli/options.h"

/* A sanitizer opens files of its own, and so does the end of a run that counts lines (meson says LL_CONFINE_OFF). */
#if defined __SANITIZE_ADDRESS__ || defined __SANITIZE_THREAD__
#define LL_CONFINE_OFF 1
#elif defined __has_feature
#if __has_feature(address_sanitizer) || __has_feature(thread_sanitizer) || __has_feature(memory_sanitizer)
#define LL_CONFINE_OFF 1
#endif
#endif

/* Gives up what a run with these options does not need, for good. While no other thread runs, and before any input is
 * opened. What cannot be given up here stays. */
void ll_confine(const ll_options *options);

/* The two parts, each true if it holds from here on.
 *
 * Files by name: left are reading the logs, the standard and the plan that `options` name and the character sets of
 * the C library, and writing where the output goes: its folder with all below, or the device that it is. Needs
 * ll_confine_privileges. */
bool ll_confine_files(const ll_options *options);

/* System calls: sockets, programs, processes and what else no run needs fail with EPERM, and calls that are newer than
 * this list with ENOSYS. Threads can be had. Needs ll_confine_privileges. */
bool ll_confine_calls(void);

/* No program started from here on has more rights than this one. */
bool ll_confine_privileges(void);

#endif
