/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/debrief.h"

ll_status ll_render_debrief(ll_log *const *logs, size_t count, const ll_options *options,
                            const leadline_output *output, int *worst, ll_error *error)
{
    ll_history *history = NULL;
    ll_status status = leadline_merge(logs, count, &options->settings, options->diver, &history, error);
    if (status == LL_OK)
        status = leadline_debrief(history, &options->selection, output, worst, error);
    leadline_history_free(history);
    return status;
}
