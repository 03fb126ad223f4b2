/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The review: one log a diver. */
#ifndef LL_CLI_REVIEW_H
#define LL_CLI_REVIEW_H

#include "cli/options.h"

/* Returns the exit code. A log that cannot be read is said, and the others still run; without its plan nothing is
 * answered. */
int ll_answer_review(const ll_options *options);

#endif
