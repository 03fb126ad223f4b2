/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "scenario.h"

ll_tissues saturated(double n2_fraction, double surface_bar)
{
    ll_tissues tissues = {0};
    for (int i = 0; i < LL_COMPARTMENTS; i++)
        tissues.n2[i] = n2_fraction * (surface_bar - LL_WATER_VAPOUR_BAR);
    return tissues;
}

void breathe(ll_tissues *tissues, double n2_fraction, double he_fraction, double from_bar, double to_bar,
             double minutes)
{
    double from = from_bar - LL_WATER_VAPOUR_BAR, to = to_bar - LL_WATER_VAPOUR_BAR;
    ll_decay decay;
    ll_decay_make(&decay, minutes);
    ll_tissues_step(tissues, &decay, n2_fraction * from, n2_fraction * to, he_fraction * from, he_fraction * to);
}

ll_tissues tissues_after(const double *given)
{
    double surface = given[0], bottom = surface + given[4] / 10.0;
    ll_tissues tissues = saturated(given[1], surface);
    breathe(&tissues, given[2], given[3], surface, bottom, given[5]);
    breathe(&tissues, given[2], given[3], bottom, bottom, given[6]);
    breathe(&tissues, given[2], given[3], bottom, surface, given[7]);
    return tissues;
}

void keep_compartment(ll_load *load, int kept)
{
    for (int i = 0; i < LL_COMPARTMENTS; i++)
        if (i != kept)
            load->total_bar[i] = 0.0;
}
