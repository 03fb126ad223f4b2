/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Logs merged into one diver's history in time order; advance, then replay: one cheap sequential pass leaves the
 * start state of every dive, and from there dives replay independently, in any order, with the same bits. */
#ifndef LL_REPLAY_HISTORY_H
#define LL_REPLAY_HISTORY_H

#include "replay/replay.h"

typedef struct ll_entry {
    unsigned number; /* in time order, from 1 */
    const ll_log *log;
    const ll_dive *dive;
    double begins_s, ends_s; /* first and last sample on the history's clock; NaN without a usable date and time */
    bool carried;   /* its end state is what later dives start from */
    ll_state start; /* tissues at its first sample, before any descent put before the record */
    ll_doses doses; /* of this dive */
    double cns_24_h_before_percent; /* by earlier dives in the 24 h before the surfacing (else the end) of this one;
                                       one with unknown gas adds nothing and makes it a lower bound */
    bool cns_24_h_lower_bound;
    double otu_day_before; /* by earlier dives that started on the same calendar day; NaN after one with unknown gas */
    ll_notes notes; /* what the history had to assume */
} ll_entry;

typedef struct ll_history {
    ll_arena arena;
    ll_settings settings;
    bool by_zone; /* times compare by zone: every dive with a time has one */
    size_t log_count;
    const ll_log *const *logs;
    size_t count;
    const ll_entry *entry;
    ll_notes notes;
} ll_history;

/* Says, between numbering and advancing, which entries load no tissues and count in no sum: left_out[i]. */
typedef struct ll_history_sieve {
    ll_status (*sort)(void *context, const ll_history *history, bool *left_out, ll_error *error);
    void *context;
} ll_history_sieve;

/* Merges `logs` (kept, not copied; they must outlive the history) and advances through them. `diver` not NULL: only logs
 * of that owner. `sieve` NULL: every dive counts. LL_BAD_USAGE for settings out of range or a diver that no log names. */
ll_status ll_history_make(const ll_log *const *logs, size_t count, const ll_settings *settings, const char *diver,
                          const ll_history_sieve *sieve, const ll_allocator *allocator, ll_history **history,
                          ll_error *error);

void ll_history_free(ll_history *history);

#endif
