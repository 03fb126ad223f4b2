/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_CLI_DEBRIEF_H
#define LL_CLI_DEBRIEF_H

#include "cli/options.h"

/* What happened on each dive selected. See ll_render. */
ll_status ll_render_debrief(ll_log *const *logs, size_t count, const ll_options *options,
                            const leadline_output *output, int *worst, ll_error *error);

#endif
