/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How the answer is to look: options and terminal together. */
#ifndef LL_CLI_LOOK_H
#define LL_CLI_LOOK_H

#include "cli/options.h"

/* For the door, with `write` and `context` as the sink. */
leadline_output ll_look(const ll_options *options, leadline_write write, void *context);

/* Names the output in sentences. */
const char *ll_look_output_name(const ll_options *options);

#endif
