/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "replay/column.h"

#include <math.h>

double *ll_column_new(ll_track *track, ll_quantity quantity, ll_quantities wanted, ll_arena *arena, bool *no_memory)
{
    if (!(wanted & LL_SET(quantity)))
        return NULL;
    double *column = ll_arena_array(arena, track->count, sizeof *column);
    if (!column)
        *no_memory = true;
    track->column[quantity] = column;
    return column;
}

double ll_recorded_po2_bar(const ll_profile *profile, size_t sample)
{
    if (profile->measured_bar && !isnan(profile->measured_bar[sample]))
        return profile->measured_bar[sample];
    return profile->calculated_bar ? profile->calculated_bar[sample] : NAN;
}
