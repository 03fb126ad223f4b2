/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_CLI_LIST_H
#define LL_CLI_LIST_H

#include "cli/options.h"

/* One row a dive selected: what it is and how good its record is. See ll_render. */
ll_status ll_render_list(ll_log *const *logs, size_t count, const ll_options *options,
                         const leadline_output *output, int *worst, ll_error *error);

#endif
