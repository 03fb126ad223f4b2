/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which logs make a history, and its dives in time order. Used by history.c only. */
#ifndef LL_REPLAY_ORDER_H
#define LL_REPLAY_ORDER_H

#include "replay/history.h"

/* Keeps the logs of one owner (NULL: all), each once, those with the earlier dives first, and settles whether times compare
 * by zone. LL_BAD_USAGE if none is left. */
ll_status ll_history_choose(ll_history *history, const ll_log *const *logs, size_t count, const char *diver,
                            ll_error *error);

/* Notes owners that differ. */
ll_status ll_history_compare_owners(ll_history *history, ll_error *error);

/* Makes the entries, numbered in time order; dives without a date come last. False if memory ran out. */
bool ll_history_number(ll_history *history, ll_arena *scratch, ll_entry **entries);

/* A date and a time of day are known. */
bool ll_entry_is_timed(const ll_entry *entry);

/* An instant on the history's clock, seconds. */
double ll_history_clock_s(const ll_history *history, const ll_instant *instant);

#endif
