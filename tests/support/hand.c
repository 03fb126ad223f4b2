/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "hand.h"

#include <math.h>
#include <string.h>

void hand_open(hand_log *hand, size_t count, const double *time_s, const double *depth_m)
{
    memset(hand, 0, sizeof *hand);
    hand->mix[HAND_AIR] = (ll_mix){"air", NULL, "air", 0.21, 0, NAN, NAN, true};
    hand->mix[HAND_TX1845] = (ll_mix){"tx", NULL, "18/45", 0.18, 0.45, NAN, NAN, true};
    hand->mix[HAND_EAN50] = (ll_mix){"ean50", NULL, "EAN50", 0.5, 0, NAN, NAN, true};
    hand->mix[HAND_OXYGEN] = (ll_mix){"o2", NULL, "oxygen", 1, 0, NAN, NAN, true};
    hand->span[0] = (ll_span){0, count, HAND_AIR, LL_OPEN_CIRCUIT, NAN};
    hand->dive = (ll_dive){.id = "hand",
                           .site = LL_NONE,
                           .count = count,
                           .time_s = time_s,
                           .depth_m = depth_m,
                           .spans = 1,
                           .span = hand->span,
                           .measured_po2 = hand->measured,
                           .interval_s = NAN,
                           .surface_pressure_bar = NAN,
                           .altitude_m = NAN,
                           .density_kg_m3 = NAN,
                           .stated_duration_s = NAN,
                           .stated_greatest_m = NAN,
                           .stated_average_m = NAN,
                           .stated_lowest_c = NAN};
    hand->log = (ll_log){.name = "hand.uddf",
                         .gf_low_fraction = NAN,
                         .gf_high_fraction = NAN,
                         .mixes = HAND_MIXES,
                         .mix = hand->mix,
                         .dives = 1,
                         .dive = &hand->dive};
    hand->dive.spans = 0;
    hand_breathe(hand, 0, HAND_AIR, LL_OPEN_CIRCUIT, NAN);
}

void hand_breathe(hand_log *hand, size_t sample, int mix, ll_circuit circuit, double set_point_bar)
{
    size_t at = sample == 0 ? 0 : hand->dive.spans;
    if (at > 0)
        hand->span[at - 1].end = sample;
    hand->span[at] = (ll_span){sample, hand->dive.count, mix, circuit, set_point_bar};
    hand->dive.spans = at + 1;
}

void hand_start_at(hand_log *hand, int hour)
{
    ll_instant_from_parts(2026, 5, 3, &hand->dive.start);
    ll_instant_set_clock(&hand->dive.start, hour, 0, 0);
}
