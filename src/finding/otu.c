/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Pulmonary oxygen dose over the diving days in a row. */
#include <math.h>

#include "finding/search.h"
#include "standard/repex.h"

/* The sum of these days so far, in percent of what is allowed for that many. */
static double *percent_of_allowance(const ll_search *s)
{
    const ll_state *state = &s->track->end; /* what a dive does not change of it */
    const double allowance = ll_repex_allowance(state->days_in_row);
    double *percent = ll_arena_array(s->arena, s->track->count, sizeof *percent);
    for (size_t i = 0; percent && i < s->track->count; i++)
        percent[i] = 100 * (state->otu_in_row + s->track->column[LL_OTU][i]) / allowance;
    return percent;
}

bool ll_find_otu(ll_search *s)
{
    const ll_limit *limit = &s->limits->of[LL_FINDING_OTU];
    if (isnan(ll_limit_lowest(limit)))
        return true;
    ll_curve curve = {s->profile, percent_of_allowance(s), NULL, -1};
    return curve.value && ll_find_on_curve(s, LL_FINDING_OTU, limit, &curve);
}
