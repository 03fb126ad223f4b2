/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/replay.h"

ll_status ll_render_replay(const ll_history *history, const ll_options *options, const leadline_output *output,
                           int *worst, ll_error *error)
{
    *worst = 0;
    return leadline_rows(history, &options->selection, output, error);
}
