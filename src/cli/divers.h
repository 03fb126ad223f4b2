/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The logs of a review as they are named: LOG, NAME=LOG, NAME=LOG+LOG. */
#ifndef LL_CLI_DIVERS_H
#define LL_CLI_DIVERS_H

#include "cli/options.h"

/* Splits options->logs into divers and, flat, their paths. Behind a name a + stands between the recorders of one diver;
 * without one the word is one path, whatever is in it ("=PATH": a path with a = in it). LL_BAD_USAGE, LL_NO_MEMORY. */
ll_status ll_divers_split(ll_options *options, ll_error *error);

#endif
