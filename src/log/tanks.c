/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The links of a dive followed: its site, its tanks with their mixes, and the tank of every pressure. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "log/references.h"
#include "log/values.h"

/* The tank uses of a dive while they are gathered. */
typedef struct use_list {
    size_t count;
    ll_tank_use *use;
    int *id;     /* of each, LL_NONE if none */
    int *shared; /* place among the shared ones, LL_NONE for the dive's own */
} use_list;

/* Takes what a link names, unless one of its kind was taken before; another one is noted. */
static void take(ll_reader *reader, ll_dive *dive, int *place, int found, const char *what, long line)
{
    if (*place == LL_NONE)
        *place = found;
    else if (found != LL_NONE && found != *place)
        LL_NOTE_DIVE(reader, dive, LL_NOTE_LINK_SEVERAL, line, what);
}

/* What the link of a tank use names; exactly, if it can be, before anything that is only alike. */
static void follow_part(ll_reader *reader, ll_dive *dive, ll_tank_use *use, const ll_link *link)
{
    int mix = ll_id_find(&reader->ids, link->id, LL_ID_MIX), tank = ll_id_find(&reader->ids, link->id, LL_ID_TANK);
    if (mix == LL_NONE && tank == LL_NONE && !ll_is_defined(reader, link->id)) {
        mix = ll_refer(reader, dive, link->id, LL_ID_MIX, link->line);
        tank = mix == LL_NONE ? ll_refer(reader, dive, link->id, LL_ID_TANK, link->line) : LL_NONE;
    }
    if (mix == LL_NONE && tank == LL_NONE)
        ll_note_lost_link(reader, dive, link->id, link->line);
    take(reader, dive, &use->mix, mix, "mix", link->line);
    take(reader, dive, &use->tank, tank, "tank", link->line);
}

static ll_tank_use follow(ll_reader *reader, ll_dive *dive, const ll_raw_use *raw)
{
    ll_tank_use use = {ll_id_text(&reader->ids, raw->id), LL_NONE,        LL_NONE,
                       raw->volume_l,                     raw->begin_bar, raw->end_bar};
    for (size_t i = 0; i < raw->links; i++)
        follow_part(reader, dive, &use, &raw->link[i]);
    if (isnan(use.volume_l) && use.tank != LL_NONE)
        use.volume_l = ((const ll_tank *)reader->tanks.items)[use.tank].volume_l;
    return use;
}

static bool has_id(const use_list *list, int id)
{
    for (size_t i = 0; i < list->count; i++)
        if (list->id[i] == id)
            return true;
    return false;
}

static void add(ll_reader *reader, ll_dive *dive, use_list *list, const ll_raw_use *raw, int shared)
{
    char shown[LL_SHOWN];
    const char *text = ll_id_text(&reader->ids, raw->id);
    if (raw->id != LL_NONE && has_id(list, raw->id))
        LL_NOTE_DIVE(reader, dive, LL_NOTE_ID_REPEATED, raw->line, ll_shown(shown, text, strlen(text)));
    list->id[list->count] = raw->id;
    list->shared[list->count] = shared;
    list->use[list->count++] = follow(reader, dive, raw);
}

static bool has_shared(const use_list *list, int shared)
{
    for (size_t i = 0; i < list->count; i++)
        if (list->shared[i] == shared)
            return true;
    return false;
}

/* A link that may name a buddy or a recorder, which are not read: only a leading '#' gets it a second try. */
static int site_of(ll_reader *reader, ll_dive *dive, const ll_link *link)
{
    if (link->to_use || link->to_mix)
        return LL_NONE;
    return *ll_id_text(&reader->ids, link->id) == '#' ? ll_refer(reader, dive, link->id, LL_ID_SITE, link->line)
                                                      : ll_id_find(&reader->ids, link->id, LL_ID_SITE);
}

static int use_of(ll_reader *reader, ll_dive *dive, const use_list *list, const ll_link *link)
{
    if (!link->to_use || has_id(list, link->id) || ll_is_defined(reader, link->id))
        return ll_id_find(&reader->ids, link->id, LL_ID_USE);
    return ll_refer(reader, dive, link->id, LL_ID_USE, link->line);
}

static void follow_link(ll_reader *reader, ll_raw_dive *raw, use_list *list, const ll_link *link)
{
    ll_dive *dive = &raw->dive;
    int shared = use_of(reader, dive, list, link);
    take(reader, dive, &dive->site, site_of(reader, dive, link), "site", link->line);
    if (shared != LL_NONE && !has_shared(list, shared))
        add(reader, dive, list, (const ll_raw_use *)reader->shared_uses.items + shared, shared);
    if ((link->to_use && shared == LL_NONE && !has_id(list, link->id)) ||
        (link->to_mix && ll_refer(reader, dive, link->id, LL_ID_MIX, link->line) == LL_NONE))
        ll_note_lost_link(reader, dive, link->id, link->line);
}

/* The only use of a mix, LL_NONE if it has none or several. */
static int only_use_of(const use_list *list, int mix)
{
    int found = LL_NONE;
    for (size_t i = 0; i < list->count; i++)
        if (list->use[i].mix == mix) {
            if (found != LL_NONE)
                return LL_NONE;
            found = (int)i;
        }
    return found;
}

static int use_of_tank(const use_list *list, int tank)
{
    for (size_t i = 0; tank != LL_NONE && i < list->count; i++)
        if (list->use[i].tank == tank)
            return (int)i;
    return LL_NONE;
}

static int use_with_id(const ll_reader *reader, const use_list *list, int id)
{
    int shared = ll_id_find(&reader->ids, id, LL_ID_USE);
    for (size_t i = 0; i < list->count; i++)
        if (list->id[i] == id || (shared != LL_NONE && list->shared[i] == shared))
            return (int)i;
    return LL_NONE;
}

/* The tank use that a pressure names: by tank, else by tank use, else by a mix that only one tank holds; without a name
 * the only one there is. An id that names nothing else may be alike to that of a tank. */
static int use_named(ll_reader *reader, ll_dive *dive, const use_list *list, int id)
{
    if (id == LL_NONE)
        return list->count == 1 ? 0 : LL_NONE;
    int found = use_of_tank(list, ll_id_find(&reader->ids, id, LL_ID_TANK));
    if (found == LL_NONE)
        found = use_with_id(reader, list, id);
    int mix = ll_id_find(&reader->ids, id, LL_ID_MIX);
    if (found == LL_NONE && mix != LL_NONE)
        found = only_use_of(list, mix);
    if (found == LL_NONE && !ll_is_defined(reader, id))
        found = use_of_tank(list, ll_refer(reader, dive, id, LL_ID_TANK, dive->line));
    return found;
}

/* Pressures of a tank that the log holds, or of the only one that breathes unnamed, stand for themselves. */
static void note_anonymous(ll_reader *reader, ll_raw_dive *raw, const use_list *list, int id)
{
    char words[LL_SHOWN + 2] = "no tank", shown[LL_SHOWN];
    if (id == LL_NONE ? list->count + raw->pressure.count < 2 : ll_id_find(&reader->ids, id, LL_ID_TANK) != LL_NONE)
        return;
    if (id != LL_NONE) {
        const char *text = ll_id_text(&reader->ids, id);
        snprintf(words, sizeof words, "'%s'", ll_shown(shown, text, strlen(text)));
    }
    LL_NOTE_DIVE(reader, &raw->dive, LL_NOTE_TANK_ANONYMOUS, raw->dive.line, words);
}

static void name_pressure(ll_reader *reader, ll_raw_dive *raw, const use_list *list, size_t series)
{
    int id = raw->pressure.id[series];
    int use = use_named(reader, &raw->dive, list, id);
    if (use == LL_NONE)
        note_anonymous(reader, raw, list, id);
    raw->pressure.series[series].tank_use = use;
}

static bool name_pressures(ll_reader *reader, ll_raw_dive *raw, const use_list *list)
{
    ll_made_series *made = &raw->pressure;
    for (size_t i = 0; i < made->count; i++)
        name_pressure(reader, raw, list, i);
    if (!ll_series_merge(reader, made->series, &made->count))
        return false;
    raw->dive.tank_pressure = made->series;
    raw->dive.tank_pressures = made->count;
    return true;
}

bool ll_resolve_tanks(ll_reader *reader, ll_raw_dive *raw)
{
    size_t most = raw->uses + raw->links;
    use_list list = {0, ll_arena_array(&reader->arena, most, sizeof *list.use),
                     ll_arena_array(&reader->scratch, most, sizeof *list.id),
                     ll_arena_array(&reader->scratch, most, sizeof *list.shared)};
    if (!list.use || !list.id || !list.shared)
        return false;
    for (size_t i = 0; i < raw->uses; i++)
        add(reader, &raw->dive, &list, &raw->use[i], LL_NONE);
    for (size_t i = 0; i < raw->links; i++)
        follow_link(reader, raw, &list, &raw->link[i]);
    raw->dive.tank_use = list.use;
    raw->dive.tank_uses = list.count;
    return name_pressures(reader, raw, &list);
}
