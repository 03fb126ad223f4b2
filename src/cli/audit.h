/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_CLI_AUDIT_H
#define LL_CLI_AUDIT_H

#include "cli/options.h"

/* Whether a history meets the entry requirements of a standard. See ll_render. */
ll_status ll_render_audit(ll_log *const *logs, size_t count, const ll_options *options, const leadline_output *output,
                          int *worst, ll_error *error);

/* The day that it is here, days since 1970-01-01. */
int64_t ll_today(void);

#endif
