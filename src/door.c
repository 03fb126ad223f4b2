/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The door: a whole run is a handful of calls in a row. Read, merge and advance, then for each dive asked for: replay,
 * find, assess, render. */
#include <leadline/leadline.h>

#include <string.h>

#include "assess/debrief.h"
#include "base/settings.h"
#include "report/report.h"
#include "report/words.h"
#include "standard/standard.h"

const char *leadline_version(void)
{
    return ll_version;
}

void leadline_settings(ll_settings *settings)
{
    ll_settings_built_in(settings);
}

/* --- logs and histories ----------------------------------------------------------------------------------------- */

ll_status leadline_log_read(const char *name, leadline_read read, void *context, ll_log **log, ll_error *error)
{
    return ll_log_read(name, read, context, NULL, NULL, log, error);
}

void leadline_log_free(ll_log *log)
{
    ll_log_free(log);
}

const char *leadline_log_owner(const ll_log *log)
{
    return log->owner;
}

size_t leadline_log_dives(const ll_log *log)
{
    return log->dives;
}

ll_status leadline_standard_read(const char *name, leadline_read read, void *context, ll_standard **standard,
                                 ll_error *error)
{
    return ll_standard_read(name, read, context, NULL, standard, error);
}

void leadline_standard_free(ll_standard *standard)
{
    ll_standard_free(standard);
}

const char *leadline_standard_name(const ll_standard *standard)
{
    return standard->name;
}

void leadline_standard_apply(const ll_standard *standard, ll_settings *settings)
{
    ll_standard_apply(standard, settings, NULL);
}

ll_status leadline_merge(ll_log *const *logs, size_t count, const ll_settings *settings, const char *diver,
                         ll_history **history, ll_error *error)
{
    return ll_history_make((const ll_log *const *)logs, count, settings, diver, NULL, history, error);
}

void leadline_history_free(ll_history *history)
{
    ll_history_free(history);
}

size_t leadline_history_dives(const ll_history *history)
{
    return history->count;
}

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

/* Indexes of the chosen dives, in order. */
typedef struct {
    size_t *index;
    size_t count;
} chosen;

static ll_status choose(const ll_history *history, const leadline_selection *selection, ll_arena *arena,
                        chosen *dives, ll_error *error)
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

/* --- rendering -------------------------------------------------------------------------------------------------- */

/* What every rendering needs: the output, arenas for the run and for one dive. */
typedef struct {
    const ll_history *history;
    const leadline_output *output;
    ll_look look;
    ll_text text;
    ll_arena run, scratch;
    chosen dives;
} rendering;

static ll_status open_rendering(rendering *r, const ll_history *history, const leadline_selection *selection,
                                const leadline_output *output, ll_error *error)
{
    *r = (rendering){.history = history, .output = output};
    r->look = (ll_look){output->width > 0 ? output->width : 80, output->colour, output->imperial, (int)output->names,
                        output->one_line};
    ll_text_open(&r->text, NULL, output->write, output->context);
    ll_arena_open(&r->run, NULL);
    ll_arena_open(&r->scratch, NULL);
    return choose(history, selection, &r->run, &r->dives, error);
}

static ll_status close_rendering(rendering *r, ll_status status, ll_error *error)
{
    if (status == LL_OK && !ll_text_flush(&r->text))
        status = r->text.no_memory ? ll_fail_memory(error)
                                   : ll_fail(error, LL_BAD_OUTPUT, 0, "the output could not be written");
    ll_text_close(&r->text);
    ll_arena_close(&r->scratch);
    ll_arena_close(&r->run);
    return status;
}

static void render_head(rendering *r)
{
    if (r->output->format == LEADLINE_TEXT)
        ll_text_head(&r->text, r->history, &r->look);
    else if (r->output->format == LEADLINE_JSON)
        ll_json_head(&r->text, r->history, &r->look);
    else
        ll_csv_findings_head(&r->text);
}

static void render_debrief(rendering *r, const ll_debrief *debrief, bool first)
{
    if (r->output->format == LEADLINE_TEXT)
        ll_text_debrief(&r->text, debrief, &r->look);
    else if (r->output->format == LEADLINE_JSON)
        ll_json_debrief(&r->text, debrief, &r->look, first);
    else
        ll_csv_findings(&r->text, debrief);
}

static void render_foot(rendering *r, const ll_limits *limits)
{
    if (r->output->format == LEADLINE_TEXT)
        ll_text_foot(&r->text, r->history, &r->look);
    else if (r->output->format == LEADLINE_JSON)
        ll_json_foot(&r->text, r->history, limits, &r->look);
}

ll_status leadline_debrief(const ll_history *history, const leadline_selection *selection,
                           const leadline_output *output, int *worst, ll_error *error)
{
    rendering r;
    ll_limits limits;
    ll_limits_built_in(&limits);
    if (output->standard)
        ll_standard_apply(output->standard, NULL, &limits);
    int found = 0;
    ll_status status = open_rendering(&r, history, selection, output, error);
    if (status == LL_OK)
        render_head(&r);
    for (size_t i = 0; i < r.dives.count && status == LL_OK; i++) {
        ll_debrief debrief;
        ll_arena_reset(&r.scratch);
        status = ll_debrief_make(history, r.dives.index[i], &limits, &r.scratch, &debrief, error);
        if (status == LL_OK && output->format != LEADLINE_CSV)
            status = ll_debrief_compare(&debrief, &r.scratch, error);
        if (status != LL_OK)
            break;
        found = (int)debrief.findings.worst > found ? (int)debrief.findings.worst : found;
        render_debrief(&r, &debrief, i == 0);
    }
    if (status == LL_OK)
        render_foot(&r, &limits);
    if (worst)
        *worst = found;
    return close_rendering(&r, status, error);
}

ll_status leadline_list(const ll_history *history, const leadline_selection *selection, const leadline_output *output,
                        ll_error *error)
{
    static const ll_list_format formats[] = {
        [LEADLINE_TEXT] = LL_LIST_TEXT, [LEADLINE_JSON] = LL_LIST_JSON, [LEADLINE_CSV] = LL_LIST_CSV};
    const ll_list_format format = formats[output->format];
    rendering r;
    ll_status status = open_rendering(&r, history, selection, output, error);
    if (status == LL_OK)
        ll_list_head(&r.text, history, format, &r.look);
    for (size_t i = 0; i < r.dives.count && status == LL_OK; i++) {
        ll_debrief outline;
        ll_arena_reset(&r.scratch);
        status = ll_outline_make(history, r.dives.index[i], &r.scratch, &outline, error);
        if (status == LL_OK)
            ll_list_row(&r.text, &outline, format, &r.look, i == 0);
        if (status == LL_OK && format == LL_LIST_TEXT && selection->by == LEADLINE_NUMBERS && r.dives.count == 1)
            ll_list_notes(&r.text, &outline, &r.look);
    }
    if (status == LL_OK)
        ll_list_foot(&r.text, history, format, &r.look);
    return close_rendering(&r, status, error);
}

/* --- rows ------------------------------------------------------------------------------------------------------- */

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

ll_status leadline_rows(const ll_history *history, const leadline_selection *selection, const leadline_output *output,
                        ll_error *error)
{
    const bool json = output->format == LEADLINE_JSON;
    ll_quantities wanted;
    rendering r;
    ll_status status = open_rendering(&r, history, selection, output, error);
    if (status == LL_OK)
        status = choose_columns(output, &wanted, error);
    if (status == LL_OK && json)
        ll_json_track_head(&r.text, history, wanted, &r.look);
    else if (status == LL_OK)
        ll_csv_track_head(&r.text, wanted);
    bool first = true;
    for (size_t i = 0; i < r.dives.count && status == LL_OK; i++) {
        const ll_entry *entry = &history->entry[r.dives.index[i]];
        ll_profile profile;
        ll_track track;
        if (entry->dive->count == 0)
            continue;
        ll_arena_reset(&r.scratch);
        status = replay_entry(history, r.dives.index[i], wanted, &r.scratch, &profile, &track, error);
        if (status == LL_OK && json)
            ll_json_track(&r.text, entry->number, &track, wanted, first);
        else if (status == LL_OK)
            ll_csv_track(&r.text, entry->number, &track, wanted);
        first = false;
    }
    if (status == LL_OK && json)
        ll_json_track_foot(&r.text);
    return close_rendering(&r, status, error);
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
