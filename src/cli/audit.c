/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/audit.h"

#include <time.h>

#include "base/time.h"
#include "cli/progress.h"

enum { NOT_REACHED = 3 }; /* as heavy as a finding can be */

int64_t ll_today(void)
{
    struct tm here;
    time_t now = time(NULL);
    if (!localtime_r(&now, &here))
        return (int64_t)now / 86400;
    return ll_date_day((ll_date){here.tm_year + 1900, here.tm_mon + 1, here.tm_mday});
}

ll_status ll_render_audit(ll_log *const *logs, size_t count, const ll_options *options, const leadline_output *output,
                          int *worst, ll_error *error)
{
    bool met = false;
    ll_progress_bar bar;
    leadline_output with = *output;
    ll_progress_open(&bar, "dives");
    with.progress = options->each ? NULL : ll_progress_tell;
    with.progress_context = &bar;
    ll_status status = leadline_audit(logs, count, &options->settings, options->diver,
                                      options->has_as_of ? options->as_of : ll_today(), &with, &met, error);
    ll_progress_close(&bar);
    *worst = met ? 0 : NOT_REACHED;
    return status;
}
