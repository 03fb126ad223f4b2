/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "assess/audit.h"

#include <math.h>

#include "assess/audit_parts.h"

typedef struct making {
    ll_audit *audit;
    ll_audit_dive *dive;
    const ll_running *running;
    ll_arena *arena;
    ll_error *error;
} making;

/* --- which dives carry on ----------------------------------------------------------------------------------------- */

/* Merged ones and those set aside load no tissues. */
static ll_status sort(void *context, const ll_history *history, bool *left_out, ll_error *error)
{
    making *m = context;
    ll_stand *stand = ll_arena_array(m->arena, history->count, sizeof *stand);
    m->dive = ll_arena_array(m->arena, history->count, sizeof *m->dive);
    if (!stand || !m->dive)
        return ll_fail_memory(error);
    ll_status status = ll_stands_make(history, m->audit->today, &m->running->crew, m->arena, stand, error);
    for (size_t i = 0; i < history->count && status == LL_OK; i++) {
        m->dive[i].stand = stand[i];
        m->audit->in[stand[i].standing]++;
        left_out[i] = stand[i].standing == LL_MERGED || stand[i].standing == LL_SET_ASIDE;
    }
    return status;
}

/* --- replays ------------------------------------------------------------------------------------------------------ */

/* Conduct is always asked for, the rest where a requirement does. */
static ll_kinds asked_kinds(const ll_standard *standard)
{
    ll_kinds kinds = ll_kinds_of(LL_CONDUCT);
    for (size_t i = 0; i < standard->requirements; i++)
        if (standard->requirement[i].asked & LL_ASKED(LL_ASKED_FINDING))
            kinds |= LL_KIND(standard->requirement[i].finding);
    return kinds;
}

typedef struct replaying {
    making *m;
    ll_kinds kinds;
} replaying;

static ll_status replay_dive(void *context, size_t index, size_t place, ll_arena *scratch, ll_error *error)
{
    const replaying *all = context;
    (void)place;
    return ll_audit_dive_make(all->m->audit, index, all->kinds, scratch, &all->m->dive[index], error);
}

static void tell(void *context, size_t index, size_t place)
{
    const replaying *all = context;
    const ll_running *running = all->m->running;
    (void)place;
    if (running->tell)
        running->tell(running->context, index + 1, all->m->audit->count);
}

static ll_status replay_all(making *m)
{
    replaying all = {m, asked_kinds(m->audit->standard)};
    return ll_crew_do(&m->running->crew, m->audit->count, &(ll_pieces){replay_dive, tell, &all}, m->arena->allocator,
                      m->error);
}

/* What a second recorder of the same dive shows too. */
static void add_witnesses(making *m)
{
    for (size_t i = 0; i < m->audit->history->count; i++) {
        const ll_audit_dive *witness = &m->dive[i];
        if (witness->stand.reason != LL_REASON_SAME)
            continue;
        ll_audit_dive *dive = &m->dive[witness->stand.other];
        dive->witnesses++;
        for (int kind = 0; kind < LL_FINDING_KINDS; kind++)
            if (witness->worst[kind] > LL_NO_FINDING && dive->worst[kind] > LL_NO_FINDING)
                dive->witnessed |= LL_KIND(kind);
    }
}

ll_status ll_audit_make(const ll_log *const *logs, size_t count, const ll_settings *settings, const char *diver,
                        const ll_standard *standard, const ll_limits *limits, int64_t today, const ll_running *running,
                        ll_arena *arena, ll_history **history, ll_audit *audit, ll_error *error)
{
    *audit = (ll_audit){.standard = standard, .limits = limits, .today = today};
    making m = {.audit = audit, .running = running, .arena = arena, .error = error};
    const ll_history_sieve sieve = {sort, &m};
    ll_status status = ll_history_make(logs, count, settings, diver, &sieve, arena->allocator, history, error);
    if (status != LL_OK)
        return status;
    audit->history = *history;
    audit->count = (*history)->count;
    audit->dive = m.dive;
    status = replay_all(&m);
    if (status != LL_OK)
        return status;
    add_witnesses(&m);
    bool made = ll_audit_answer(audit, arena) && ll_audit_overview(audit, arena) && ll_audit_doubts(audit, arena);
    return made ? LL_OK : ll_fail_memory(error);
}
