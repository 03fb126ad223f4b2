/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/replay.h"

ll_status ll_render_replay(ll_log *const *logs, size_t count, const ll_options *options,
                           const leadline_output *output, int *worst, ll_error *error)
{
    ll_history *history = NULL;
    *worst = 0;
    ll_status status = leadline_merge(logs, count, &options->settings, options->diver, &history, error);
    if (status == LL_OK)
        status = leadline_rows(history, &options->selection, output, error);
    leadline_history_free(history);
    return status;
}
