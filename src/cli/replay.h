/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_CLI_REPLAY_H
#define LL_CLI_REPLAY_H

#include "cli/options.h"

/* The recomputed track of each dive selected, a row a sample. See ll_render. */
ll_status ll_render_replay(ll_log *const *logs, size_t count, const ll_options *options,
                           const leadline_output *output, int *worst, ll_error *error);

#endif
