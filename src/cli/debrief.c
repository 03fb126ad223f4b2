/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/debrief.h"

ll_status ll_render_debrief(const ll_history *history, const ll_options *options, const leadline_output *output,
                            int *worst, ll_error *error)
{
    return leadline_debrief(history, &options->selection, output, worst, error);
}
