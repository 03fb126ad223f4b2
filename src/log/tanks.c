/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The links of a dive followed: its site, its tanks with their mixes, and the tank of every pressure. */
#include <math.h>
#include <string.h>

#include "log/values.h"

/* The tank uses of a dive while they are gathered. */
typedef struct use_list {
    size_t count;
    ll_tank_use *use;
    int *id;     /* of each, LL_NONE if none */
    int *shared; /* place among the shared ones, LL_NONE for the dive's own */
} use_list;

static void note_dangling(ll_reader *reader, ll_dive *dive, const ll_link *link)
{
    char shown[LL_SHOWN];
    const char *text = ll_id_text(&reader->ids, link->id);
    LL_NOTE_DIVE(reader, dive, LL_NOTE_LINK_DANGLING, link->line, ll_shown(shown, text, strlen(text)));
}

static ll_tank_use follow(ll_reader *reader, ll_dive *dive, const ll_raw_use *raw)
{
    ll_tank_use use = {ll_id_text(&reader->ids, raw->id), LL_NONE,        LL_NONE,
                       raw->volume_l,                     raw->begin_bar, raw->end_bar};
    for (size_t i = 0; i < raw->links; i++) {
        int mix = ll_id_find(&reader->ids, raw->link[i].id, LL_ID_MIX);
        int tank = ll_id_find(&reader->ids, raw->link[i].id, LL_ID_TANK);
        if (mix == LL_NONE && tank == LL_NONE)
            note_dangling(reader, dive, &raw->link[i]);
        if (use.mix == LL_NONE)
            use.mix = mix;
        if (use.tank == LL_NONE)
            use.tank = tank;
    }
    if (isnan(use.volume_l) && use.tank != LL_NONE)
        use.volume_l = ((const ll_tank *)reader->tanks.items)[use.tank].volume_l;
    return use;
}

static void add(ll_reader *reader, ll_dive *dive, use_list *list, const ll_raw_use *raw, int shared)
{
    list->id[list->count] = raw->id;
    list->shared[list->count] = shared;
    list->use[list->count++] = follow(reader, dive, raw);
}

static bool has_id(const use_list *list, int id)
{
    for (size_t i = 0; i < list->count; i++)
        if (list->id[i] == id)
            return true;
    return false;
}

static bool has_shared(const use_list *list, int shared)
{
    for (size_t i = 0; i < list->count; i++)
        if (list->shared[i] == shared)
            return true;
    return false;
}

static void follow_link(ll_reader *reader, ll_raw_dive *raw, use_list *list, const ll_link *link)
{
    int site = ll_id_find(&reader->ids, link->id, LL_ID_SITE);
    int shared = ll_id_find(&reader->ids, link->id, LL_ID_USE);
    if (raw->dive.site == LL_NONE)
        raw->dive.site = site;
    if (shared != LL_NONE && !has_shared(list, shared))
        add(reader, &raw->dive, list, (const ll_raw_use *)reader->shared_uses.items + shared, shared);
    if ((link->to_use && shared == LL_NONE && !has_id(list, link->id)) ||
        (link->to_mix && ll_id_find(&reader->ids, link->id, LL_ID_MIX) == LL_NONE))
        note_dangling(reader, &raw->dive, link);
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

/* The tank use that a pressure names: by tank, else by tank use, else by a mix that only one tank holds; without a name
 * the only one there is. */
static int use_named(const ll_reader *reader, const use_list *list, int id)
{
    if (id == LL_NONE)
        return list->count == 1 ? 0 : LL_NONE;
    int tank = ll_id_find(&reader->ids, id, LL_ID_TANK);
    for (size_t i = 0; tank != LL_NONE && i < list->count; i++)
        if (list->use[i].tank == tank)
            return (int)i;
    int shared = ll_id_find(&reader->ids, id, LL_ID_USE);
    for (size_t i = 0; i < list->count; i++)
        if (list->id[i] == id || (shared != LL_NONE && list->shared[i] == shared))
            return (int)i;
    int mix = ll_id_find(&reader->ids, id, LL_ID_MIX);
    return mix == LL_NONE ? LL_NONE : only_use_of(list, mix);
}

static bool name_pressures(ll_reader *reader, ll_raw_dive *raw, const use_list *list)
{
    for (size_t i = 0; i < raw->series; i++)
        raw->tank_pressure[i].tank_use = use_named(reader, list, raw->series_id[i]);
    if (!ll_series_merge(reader, raw->tank_pressure, &raw->series))
        return false;
    raw->dive.tank_pressure = raw->tank_pressure;
    raw->dive.tank_pressures = raw->series;
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
