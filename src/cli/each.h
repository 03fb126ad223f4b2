/* SPDX-License-Identifier: GPL-3.0-or-later */
/* --each: every log is a history of its own. */
#ifndef LL_CLI_EACH_H
#define LL_CLI_EACH_H

#include "cli/options.h"

/* Answers for each log, up to options->jobs at the same time, and writes the answers in the order given.
 * Returns the exit code; everything that went wrong has been said on standard error. */
int ll_answer_each(const ll_options *options);

#endif
