/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A page and the logs that it may have been made from. */
#ifndef LL_CLI_VERIFY_H
#define LL_CLI_VERIFY_H

#include "cli/options.h"

/* The first of options->logs is the page. Returns the exit code; everything that went wrong has been said on standard
 * error. */
int ll_answer_verify(const ll_options *options);

#endif
