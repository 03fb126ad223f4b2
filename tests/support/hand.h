/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Logs and dives made by hand, without a file. */
#ifndef LL_TESTS_HAND_H
#define LL_TESTS_HAND_H

#include "base/settings.h"
#include "log/log.h"

enum { HAND_AIR, HAND_TX1845, HAND_EAN50, HAND_OXYGEN, HAND_MIXES };

/* A log with the four mixes above and one dive of `count` samples on air; spans and the rest are the test's to set. */
typedef struct hand_log {
    ll_log log;
    ll_mix mix[HAND_MIXES];
    ll_dive dive;
    ll_span span[8];
    ll_series measured[3];
} hand_log;

void hand_open(hand_log *hand, size_t count, const double *time_s, const double *depth_m);

/* From this sample on: this mix, on this circuit, with this set point (NaN: none). Spans must be added in order; the first one
 * replaces the air of hand_open and starts at 0. */
void hand_breathe(hand_log *hand, size_t sample, int mix, ll_circuit circuit, double set_point_bar);

/* 2026-05-03 at this hour of the day. */
void hand_start_at(hand_log *hand, int hour);

#endif
