/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "door/rendering.h"

/* --- which dives ------------------------------------------------------------------------------------------------ */

/* The last dive in time that can be replayed; without one, the last there is. */
static size_t latest(const ll_history *history)
{
    size_t found = 0;
    bool dated = false;
    for (size_t i = 0; i < history->count; i++) {
        const ll_dive *dive = history->entry[i].dive;
        bool replayable = dive->count > 0;
        if (!dated && (replayable || !history->entry[found].dive->count))
            found = i;
        if (replayable && dive->start.has_date) {
            found = i;
            dated = true;
        }
    }
    return found;
}

static bool is_selected(const ll_entry *entry, const leadline_selection *selection, unsigned latest_number)
{
    switch (selection->by) {
    case LEADLINE_LATEST:
        return entry->number == latest_number;
    case LEADLINE_NUMBERS:
        return entry->number >= selection->first && entry->number <= selection->last;
    case LEADLINE_DAY:
        return entry->dive->start.has_date && ll_instant_day(&entry->dive->start) == selection->day;
    case LEADLINE_ALL:
        break;
    }
    return true;
}

static ll_status choose(const ll_history *history, const leadline_selection *selection, ll_arena *arena,
                        ll_chosen *dives, ll_error *error)
{
    dives->count = 0;
    dives->index = ll_arena_array(arena, history->count, sizeof *dives->index);
    if (!dives->index)
        return ll_fail_memory(error);
    unsigned latest_number = (unsigned)latest(history) + 1;
    for (size_t i = 0; i < history->count; i++)
        if (is_selected(&history->entry[i], selection, latest_number))
            dives->index[dives->count++] = i;
    if (dives->count == 0 && (selection->by == LEADLINE_NUMBERS || selection->by == LEADLINE_DAY))
        return ll_fail(error, LL_BAD_USAGE, 0, "no such dive: the logs hold %zu dive%s", history->count,
                       history->count == 1 ? "" : "s");
    return LL_OK;
}

/* --- the rendering ---------------------------------------------------------------------------------------------- */

ll_look ll_look_of(const leadline_output *output)
{
    return (ll_look){.width = output->width > 0 ? output->width : 80,
                     .colour = output->colour,
                     .imperial = output->imperial,
                     .names = (int)output->names,
                     .one_line = output->one_line};
}

ll_status ll_rendering_open(ll_rendering *r, const ll_history *history, const leadline_selection *selection,
                                const leadline_output *output, ll_error *error)
{
    *r = (ll_rendering){.history = history, .output = output};
    r->look = ll_look_of(output);
    ll_text_open(&r->text, NULL, output->write, output->context);
    ll_arena_open(&r->run, NULL);
    return choose(history, selection, &r->run, &r->dives, error);
}

ll_status ll_rendering_close(ll_rendering *r, ll_status status, ll_error *error)
{
    if (status == LL_OK && !ll_text_flush(&r->text))
        status = r->text.no_memory ? ll_fail_memory(error)
                                   : ll_fail(error, LL_BAD_OUTPUT, 0, "the output could not be written");
    ll_text_close(&r->text);
    ll_arena_close(&r->run);
    return status;
}
