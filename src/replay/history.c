/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "replay/history.h"

#include <math.h>

#include "base/number.h"
#include "replay/order.h"

#define HOURS_48_S (48 * 3600.0)
#define HOURS_24_S (24 * 3600.0)
#define SLACK_S 600.0 /* between an interval stated and the clock: the greater of these two */
#define SLACK_FRACTION 0.05

/* The diver's state as the history carries it from dive to dive. */
typedef struct {
    bool any;       /* a dive has been carried */
    double at_s;    /* end of the last carried dive */
    ll_state state; /* at that time */
    bool known;     /* false after unknown gas: the next dive starts at rest, its doses too */
    size_t dives;   /* how many entries, in order, lie within it: the last of them is the last carried dive */
} held;

static const held nothing = {.known = true};

typedef struct {
    ll_history *history;
    ll_entry *entry;
    ll_arena scratch, run; /* of one dive, and of the whole pass */
    const held *now;       /* after the last carried dive */
    const held **from;     /* what each dive started from */
    bool *left_out;        /* dives that are not carried and that nothing overlaps */
    double latest_end_s;   /* of all dives so far, carried or not */
    size_t claimed;        /* the last dive without a profile, or SIZE_MAX */
    ll_error *error;
} advance;

static ll_status note(advance *pass, ll_entry *entry, ll_note_code code, const char *text, unsigned number)
{
    bool added = text ? ll_note_add(&entry->notes, &pass->history->arena, code, entry->dive->line, text)
                      : ll_note_add(&entry->notes, &pass->history->arena, code, entry->dive->line, number);
    return added ? LL_OK : ll_fail_memory(pass->error);
}

static ll_status note_figure(advance *pass, ll_entry *entry, ll_note_code code, double value)
{
    ll_text text;
    ll_text_open(&text, pass->history->arena.allocator, NULL, NULL);
    ll_fixed_add(&text, value, 0);
    const char *figure = ll_text_string(&text);
    ll_status status = figure ? note(pass, entry, code, figure, 0) : ll_fail_memory(pass->error);
    ll_text_close(&text);
    return status;
}

/* --- what a dive starts from ------------------------------------------------------------------------------------ */

/* Expects *start at rest. */
static void start_from(const held *from, const ll_entry *entry, double surface_bar, ll_state *start)
{
    start->cns_lower_bound = from->state.cns_lower_bound;
    if (!from->known)
        return; /* at rest, as it is set already */
    const ll_inert rest = start->tissues;
    *start = from->state;
    ll_state_interval(start, surface_bar, entry->begins_s - from->at_s);
    if (!start->tissues_known)
        start->tissues = rest;
    start->tissues_known = true;
}

/* What the log states and the clock differ by more than rounding and another idea of when a dive ends explain. A dive
 * without a profile in between, or one that this one overlaps, leaves nothing to compare. */
static bool is_other_interval(const advance *pass, const ll_entry *entry, double passed_s)
{
    const ll_dive *dive = entry->dive;
    if (dive->interval != LL_INTERVAL_PASSED || pass->claimed != SIZE_MAX || !entry->carried)
        return false;
    return fabs(dive->interval_s - passed_s) > fmax(SLACK_S, SLACK_FRACTION * passed_s);
}

static ll_status note_intervals(advance *pass, ll_entry *entry, double passed_s)
{
    ll_text stated, passed;
    const ll_allocator *allocator = pass->history->arena.allocator;
    ll_text_open(&stated, allocator, NULL, NULL);
    ll_text_open(&passed, allocator, NULL, NULL);
    ll_fixed_add(&stated, entry->dive->interval_s / 60, 0);
    ll_fixed_add(&passed, passed_s / 60, 0);
    const char *first = ll_text_string(&stated), *second = ll_text_string(&passed);
    bool added = first && second &&
                 ll_note_add(&entry->notes, &pass->history->arena, LL_NOTE_INTERVAL_DIFFERS, entry->dive->line, first,
                             second);
    ll_text_close(&stated);
    ll_text_close(&passed);
    return added ? LL_OK : ll_fail_memory(pass->error);
}

static ll_status note_interval(advance *pass, ll_entry *entry, const held *from)
{
    const ll_dive *dive = entry->dive;
    if (!from->any && dive->interval == LL_INTERVAL_PASSED)
        return note_figure(pass, entry, LL_NOTE_START_UNDERSTATED, dive->interval_s / 60);
    double passed_s = from->any ? entry->begins_s - from->at_s : INFINITY;
    if (is_other_interval(pass, entry, passed_s))
        return note_intervals(pass, entry, passed_s);
    if (dive->interval == LL_INTERVAL_INFINITE && passed_s < HOURS_48_S)
        return note_figure(pass, entry, LL_NOTE_INTERVAL_CONTRADICTED, passed_s / 3600);
    return LL_OK;
}

static ll_status note_claimed(advance *pass, ll_entry *entry)
{
    if (pass->claimed == SIZE_MAX)
        return LL_OK;
    const ll_entry *claimed = &pass->entry[pass->claimed];
    double stated_s = claimed->dive->stated_duration_s;
    double end_s = ll_history_clock_s(pass->history, &claimed->dive->start) + (stated_s > 0 ? stated_s : 0);
    pass->claimed = SIZE_MAX;
    return entry->begins_s - end_s < HOURS_48_S ? note(pass, entry, LL_NOTE_AFTER_CLAIMED, NULL, claimed->number)
                                               : LL_OK;
}

/* The first earlier dive, carried or not, that has not ended when this one begins; NULL if there is none. */
static const ll_entry *overlapped_by(const advance *pass, const ll_entry *entry)
{
    if (!(entry->begins_s < pass->latest_end_s))
        return NULL;
    for (const ll_entry *earlier = pass->entry; earlier < entry; earlier++)
        if (earlier->ends_s > entry->begins_s && !pass->left_out[earlier - pass->entry])
            return earlier;
    return NULL;
}

/* A dive that overlaps another starts from what the history held before both. */
static ll_status choose_held(advance *pass, ll_entry *entry, const held **from)
{
    const ll_entry *overlapped = overlapped_by(pass, entry);
    const bool left_out = pass->left_out[entry - pass->entry];
    entry->carried = !overlapped && !left_out;
    *from = overlapped ? pass->from[overlapped - pass->entry] : pass->now;
    pass->from[entry - pass->entry] = *from;
    if (!left_out)
        pass->latest_end_s = fmax(pass->latest_end_s, entry->ends_s);
    return overlapped ? note(pass, entry, LL_NOTE_OVERLAPS, NULL, overlapped->number) : LL_OK;
}

/* Sets the start state of a dive with date and time; *from gets what it starts from. */
static ll_status set_start(advance *pass, ll_entry *entry, double surface_bar, const held **from)
{
    ll_status status = choose_held(pass, entry, from);
    if (status == LL_OK)
        status = note_interval(pass, entry, *from);
    if (status == LL_OK)
        status = note_claimed(pass, entry);
    if (!(*from)->any)
        return status;
    start_from(*from, entry, surface_bar, &entry->start);
    if (!(*from)->known && status == LL_OK)
        status = note(pass, entry, LL_NOTE_START_AFTER_UNKNOWN, NULL, 0);
    else if (!(*from)->state.tissues_known && status == LL_OK)
        status = note(pass, entry, LL_NOTE_START_AFTER_UNCOVERED, NULL, 0);
    return status;
}

/* --- doses of earlier dives ------------------------------------------------------------------------------------- */

static ll_status add_earlier_cns(advance *pass, ll_entry *entry, const ll_entry *earlier, double window_s)
{
    if (!earlier->doses.complete) {
        entry->cns_24_h_lower_bound = true;
        return LL_OK;
    }
    if (earlier->begins_s >= window_s) {
        entry->cns_24_h_before_percent += earlier->doses.cns_24_h_percent;
        return LL_OK;
    }
    ll_profile profile;
    ll_status status = ll_profile_make(earlier->log, earlier->dive, &pass->history->settings, &pass->scratch, NULL,
                                       &profile, pass->error);
    if (status == LL_OK) {
        double from_s = window_s - (earlier->begins_s - earlier->dive->time_s[0]);
        entry->cns_24_h_before_percent += ll_replay_dose_24_h(&profile, from_s);
    }
    return status;
}

/* Days on which dives start, in a row, up to this dive's; a dive that starts on the same day or the next one continues the
 * row of the dive before it. */
static void continue_row(const advance *pass, ll_entry *entry, const held *from)
{
    ll_state *start = &entry->start;
    start->days_in_row = 1;
    start->otu_in_row = 0;
    if (from->dives == 0)
        return;
    const ll_entry *last = &pass->entry[from->dives - 1];
    int64_t passed = ll_instant_day(&entry->dive->start) - ll_instant_day(&last->dive->start);
    if (passed > 1)
        return;
    start->days_in_row = last->start.days_in_row + (passed == 1);
    start->otu_in_row = last->start.otu_in_row + (last->doses.complete ? last->doses.otu : NAN);
}

/* Sums over the carried dives of what this one starts from. */
static ll_status add_earlier(advance *pass, ll_entry *entry, const held *from, double surfaced_s)
{
    const double window_s = surfaced_s - HOURS_24_S;
    const int64_t day = ll_instant_day(&entry->dive->start);
    for (size_t i = from->dives; i-- > 0;) {
        const ll_entry *earlier = &pass->entry[i];
        if (!earlier->carried)
            continue;
        bool same_day = ll_instant_day(&earlier->dive->start) == day;
        if (earlier->ends_s <= window_s && entry->begins_s - earlier->ends_s > 3 * HOURS_24_S)
            break; /* sorted by start: nothing before it can reach into the window or the day */
        if (same_day)
            entry->otu_day_before += earlier->doses.complete ? earlier->doses.otu : NAN;
        if (earlier->ends_s > window_s) {
            ll_status status = add_earlier_cns(pass, entry, earlier, window_s);
            if (status != LL_OK)
                return status;
        }
    }
    return LL_OK;
}

/* --- the pass --------------------------------------------------------------------------------------------------- */

static ll_status carry(advance *pass, const ll_entry *entry, const ll_state *end)
{
    held *after = ll_arena_alloc(&pass->run, sizeof *after);
    if (!after)
        return ll_fail_memory(pass->error);
    *after = (held){true, entry->ends_s, *end, entry->doses.complete, (size_t)(entry - pass->entry) + 1};
    pass->now = after;
    return LL_OK;
}

static ll_status advance_dated(advance *pass, ll_entry *entry, const ll_profile *profile)
{
    const held *from;
    ll_status status = set_start(pass, entry, profile->surface_bar, &from);
    if (status != LL_OK)
        return status;
    continue_row(pass, entry, from);
    ll_state end = entry->start;
    ll_replay_advance(profile, &end, &entry->doses);
    size_t last = profile->has_run_time ? profile->surfacing : profile->count - 1;
    status = add_earlier(pass, entry, from, entry->begins_s + profile->time_s[last] - profile->time_s[0]);
    return status == LL_OK && entry->carried ? carry(pass, entry, &end) : status;
}

static ll_status advance_through(advance *pass, ll_entry *entry)
{
    ll_profile profile;
    ll_arena_reset(&pass->scratch);
    ll_status status = ll_profile_make(entry->log, entry->dive, &pass->history->settings, &pass->scratch, NULL,
                                       &profile, pass->error);
    if (status != LL_OK)
        return status;
    ll_state_rest(&entry->start, pass->history->settings.model, profile.surface_bar);
    if (ll_entry_is_timed(entry))
        return advance_dated(pass, entry, &profile);
    ll_state end = entry->start;
    ll_replay_advance(&profile, &end, &entry->doses);
    return note(pass, entry, LL_NOTE_START_NO_DATE, NULL, 0);
}

static ll_status advance_through_all(advance *pass)
{
    ll_status status = LL_OK;
    pass->from = ll_arena_array(&pass->run, pass->history->count, sizeof *pass->from);
    if (!pass->from)
        return ll_fail_memory(pass->error);
    for (size_t i = 0; i < pass->history->count && status == LL_OK; i++) {
        if (pass->entry[i].dive->count)
            status = advance_through(pass, &pass->entry[i]);
        else if (ll_entry_is_timed(&pass->entry[i]) && !pass->left_out[i])
            pass->claimed = i;
    }
    return status;
}

static ll_status sort(advance *pass, const ll_history_sieve *sieve)
{
    pass->left_out = ll_arena_array(&pass->run, pass->history->count, sizeof *pass->left_out);
    if (!pass->left_out)
        return ll_fail_memory(pass->error);
    return sieve ? sieve->sort(sieve->context, pass->history, pass->left_out, pass->error) : LL_OK;
}

static ll_status advance_all(ll_history *history, ll_entry *entry, const ll_history_sieve *sieve, ll_error *error)
{
    advance pass = {.history = history,
                    .entry = entry,
                    .now = &nothing,
                    .latest_end_s = -INFINITY,
                    .claimed = SIZE_MAX,
                    .error = error};
    ll_arena_open(&pass.scratch, history->arena.allocator);
    ll_arena_open(&pass.run, history->arena.allocator);
    ll_status status = sort(&pass, sieve);
    if (status == LL_OK)
        status = advance_through_all(&pass);
    ll_arena_close(&pass.run);
    ll_arena_close(&pass.scratch);
    return status;
}

static ll_status fill(ll_history *history, const ll_log *const *logs, size_t count, const char *diver,
                      const ll_history_sieve *sieve, ll_error *error)
{
    ll_status status = ll_settings_check(&history->settings, error);
    if (status == LL_OK)
        status = ll_history_choose(history, logs, count, diver, error);
    if (status == LL_OK)
        status = ll_history_compare_owners(history, error);
    if (status != LL_OK)
        return status;
    ll_arena scratch;
    ll_arena_open(&scratch, history->arena.allocator);
    ll_entry *entry = NULL;
    bool numbered = ll_history_number(history, &scratch, &entry);
    ll_arena_close(&scratch);
    return numbered ? advance_all(history, entry, sieve, error) : ll_fail_memory(error);
}

ll_status ll_history_make(const ll_log *const *logs, size_t count, const ll_settings *settings, const char *diver,
                          const ll_history_sieve *sieve, const ll_allocator *allocator, ll_history **history,
                          ll_error *error)
{
    *history = NULL;
    const ll_allocator *from = allocator ? allocator : &ll_heap;
    ll_history *made = from->resize(from->context, NULL, sizeof *made);
    if (!made)
        return ll_fail_memory(error);
    *made = (ll_history){.settings = *settings};
    ll_arena_open(&made->arena, from);
    ll_status status = fill(made, logs, count, diver, sieve, error);
    if (status != LL_OK) {
        ll_history_free(made);
        return status;
    }
    *history = made;
    return LL_OK;
}

void ll_history_free(ll_history *history)
{
    if (!history)
        return;
    const ll_allocator *allocator = history->arena.allocator;
    ll_arena_close(&history->arena);
    allocator->resize(allocator->context, history, 0);
}
