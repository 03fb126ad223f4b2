/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The replayed columns: as rows, and for programs that draw their own. */
#include <string.h>

#include "door/parts.h"

/* The quantities named by a comma-separated list of keys. */
static ll_status read_columns(const char *keys, ll_quantities *wanted, ll_error *error)
{
    *wanted = 0;
    for (const char *key = keys; *key;) {
        size_t length = strcspn(key, ",");
        ll_quantity quantity = ll_quantity_find(key, length);
        if (length == 4 && memcmp(key, "dive", 4) == 0)
            *wanted |= LL_SET_DIVE;
        else if (quantity < LL_TISSUES_N2)
            *wanted |= LL_SET(quantity);
        else
            return ll_fail(error, LL_BAD_USAGE, 0, "no column is called '%.*s'", (int)length, key);
        key += length + (key[length] == ',');
    }
    return LL_OK;
}

static ll_status choose_columns(const leadline_output *output, ll_quantities *wanted, ll_error *error)
{
    *wanted = LL_SET_DIVE | (LL_SET_ALL & ~LL_SET_TISSUES);
    ll_status status = output->columns ? read_columns(output->columns, wanted, error) : LL_OK;
    if (output->tissues)
        *wanted |= LL_SET_TISSUES;
    return status;
}

static ll_status replay_entry(const ll_history *history, size_t index, ll_quantities wanted, ll_arena *arena,
                              ll_profile *profile, ll_track *track, ll_error *error)
{
    const ll_entry *entry = &history->entry[index];
    ll_status status = ll_profile_make(entry->log, entry->dive, &history->settings, arena, NULL, profile, error);
    if (status != LL_OK)
        return status;
    return ll_replay_columns(profile, &history->settings, &entry->start, wanted, arena, track, error);
}

/* What all tracks share. */
typedef struct replaying {
    ll_quantities wanted;
    size_t first; /* place of the first dive that can be replayed */
} replaying;

static size_t first_replayable(const ll_rendering *r)
{
    size_t place = 0;
    while (place < r->dives.count && r->history->entry[r->dives.index[place]].dive->count == 0)
        place++;
    return place;
}

static ll_status replay_dive(const ll_rendering *r, void *how, size_t place, ll_part *part)
{
    const replaying *all = how;
    const ll_entry *entry = &r->history->entry[r->dives.index[place]];
    ll_profile profile;
    ll_track track;
    if (entry->dive->count == 0)
        return LL_OK;
    ll_status status = replay_entry(r->history, r->dives.index[place], all->wanted, part->scratch, &profile, &track,
                                    part->error);
    if (status != LL_OK)
        return status;
    if (r->output->format == LEADLINE_JSON)
        ll_json_track(part->text, entry->number, &track, all->wanted, place == all->first);
    else
        ll_csv_track(part->text, entry->number, &track, all->wanted);
    return LL_OK;
}

static ll_status replay_dives(ll_rendering *r, ll_quantities wanted, ll_error *error)
{
    const bool json = r->output->format == LEADLINE_JSON;
    replaying all = {wanted, first_replayable(r)};
    if (json)
        ll_json_track_head(&r->text, r->history, wanted, &r->look);
    else
        ll_csv_track_head(&r->text, wanted);
    ll_status status = ll_render_parts(r, replay_dive, &all, &r->text, NULL, NULL, error);
    if (status == LL_OK && json)
        ll_json_track_foot(&r->text);
    return status;
}

ll_status leadline_rows(const ll_history *history, const leadline_selection *selection, const leadline_output *output,
                        ll_error *error)
{
    ll_quantities wanted;
    ll_rendering r;
    ll_status status = ll_rendering_open(&r, history, selection, output, error);
    if (status == LL_OK)
        status = choose_columns(output, &wanted, error);
    if (status == LL_OK)
        status = replay_dives(&r, wanted, error);
    return ll_rendering_close(&r, status, error);
}

/* --- columns for other programs --------------------------------------------------------------------------------- */

struct ll_replay {
    ll_arena arena;
    ll_profile profile;
    ll_track track;
};

ll_status leadline_replay(const ll_history *history, unsigned number, const char *keys, ll_replay **replay,
                          ll_error *error)
{
    ll_quantities wanted = LL_SET_ALL & ~LL_SET_TISSUES;
    *replay = NULL;
    ll_status status = keys ? read_columns(keys, &wanted, error) : LL_OK;
    if (status != LL_OK)
        return status;
    if (number < 1 || number > history->count || history->entry[number - 1].dive->count == 0)
        return ll_fail(error, LL_BAD_USAGE, 0, "dive %u is none that can be replayed", number);
    ll_arena arena;
    ll_arena_open(&arena, NULL);
    ll_replay *made = ll_arena_alloc(&arena, sizeof *made);
    status = made ? replay_entry(history, number - 1, wanted, &arena, &made->profile, &made->track, error)
                  : ll_fail_memory(error);
    if (status != LL_OK) {
        ll_arena_close(&arena);
        return status;
    }
    made->arena = arena;
    *replay = made;
    return LL_OK;
}

void leadline_replay_free(ll_replay *replay)
{
    if (!replay)
        return;
    ll_arena arena = replay->arena;
    ll_arena_close(&arena);
}

size_t leadline_replay_rows(const ll_replay *replay)
{
    return replay->track.count;
}

const double *leadline_replay_column(const ll_replay *replay, const char *key)
{
    ll_quantity quantity = ll_quantity_find(key, strlen(key));
    return quantity < LL_TISSUES_N2 ? replay->track.column[quantity] : NULL;
}
