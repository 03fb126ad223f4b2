/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One run of a command: read the logs, merge them, render, write. */
#ifndef LL_CLI_ANSWER_H
#define LL_CLI_ANSWER_H

#include "cli/options.h"

/* Returns the exit code; everything that went wrong has been said on standard error. */
int ll_answer(const ll_options *options);

#endif
