/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "log/references.h"

#include <string.h>

#include "log/values.h"

enum { SEVERAL = -2 }; /* things are alike: none of them is meant for sure */

static const char *const kind_words[LL_ID_KINDS] = {"mix", "tank", "site", "tank use"};

/* --- the ids of the log, alike ones together ----------------------------------------------------------------- */

/* Without white space around it and a leading '#', in small letters of ASCII; in the scratch arena. */
static char *fold(ll_reader *reader, const char *text, size_t *length)
{
    ll_trim(&text, length);
    if (*length && *text == '#') {
        text++;
        --*length;
    }
    char *folded = ll_arena_alloc(&reader->scratch, *length + 1);
    if (!folded) {
        ll_stop_no_memory(reader);
        return NULL;
    }
    for (size_t i = 0; i < *length; i++)
        folded[i] = (char)(text[i] >= 'A' && text[i] <= 'Z' ? text[i] - 'A' + 'a' : text[i]);
    return folded;
}

static void put(int *slot, int place)
{
    *slot = *slot == LL_NONE || *slot == place ? place : SEVERAL;
}

/* Ids go to `named`, names of mixes to `loose`. Where there are too many, the rest has no second try. */
static void add_alike(ll_reader *reader, const char *text, ll_id_kind kind, int place, bool is_name)
{
    size_t length = text ? strlen(text) : 0;
    char *folded = length ? fold(reader, text, &length) : NULL;
    int number = folded && length
                     ? ll_id_number(&reader->alike, &reader->scratch, 2 * reader->limits->ids, folded, length)
                     : LL_NONE;
    if (number == LL_ID_NO_MEMORY)
        ll_stop_no_memory(reader);
    if (number < 0)
        return;
    ll_id *id = (ll_id *)reader->alike.known.items + number;
    put(is_name ? &id->loose[kind] : &id->named[kind], place);
}

static void gather(ll_reader *reader)
{
    const ll_mix *mix = reader->mixes.items;
    const ll_tank *tank = reader->tanks.items;
    const ll_site *site = reader->sites.items;
    const ll_raw_use *use = reader->shared_uses.items;
    for (size_t i = 0; i < reader->mixes.count; i++) {
        add_alike(reader, mix[i].id, LL_ID_MIX, (int)i, false);
        add_alike(reader, mix[i].name, LL_ID_MIX, (int)i, true);
    }
    for (size_t i = 0; i < reader->tanks.count; i++)
        add_alike(reader, tank[i].id, LL_ID_TANK, (int)i, false);
    for (size_t i = 0; i < reader->sites.count; i++)
        add_alike(reader, site[i].id, LL_ID_SITE, (int)i, false);
    for (size_t i = 0; i < reader->shared_uses.count; i++)
        add_alike(reader, ll_id_text(&reader->ids, use[i].id), LL_ID_USE, (int)i, false);
}

static int find_alike(ll_reader *reader, int id, ll_id_kind kind)
{
    if (!reader->has_alike)
        gather(reader);
    reader->has_alike = true;
    const char *text = ll_id_text(&reader->ids, id);
    size_t length = strlen(text);
    const char *folded = fold(reader, text, &length);
    int known = folded ? ll_id_known(&reader->alike, folded, length) : LL_NONE;
    if (known == LL_NONE)
        return LL_NONE;
    const ll_id *alike = (const ll_id *)reader->alike.known.items + known;
    return alike->named[kind] != LL_NONE ? alike->named[kind] : alike->loose[kind];
}

/* --- following ----------------------------------------------------------------------------------------------- */

static const char *id_of(const ll_reader *reader, ll_id_kind kind, int place)
{
    switch (kind) {
    case LL_ID_MIX: return ((const ll_mix *)reader->mixes.items)[place].id;
    case LL_ID_TANK: return ((const ll_tank *)reader->tanks.items)[place].id;
    case LL_ID_SITE: return ((const ll_site *)reader->sites.items)[place].id;
    default: return ll_id_text(&reader->ids, ((const ll_raw_use *)reader->shared_uses.items)[place].id);
    }
}

int ll_refer(ll_reader *reader, ll_dive *dive, int id, ll_id_kind kind, long line)
{
    char asked[LL_SHOWN], taken[LL_SHOWN];
    int found = ll_id_find(&reader->ids, id, kind);
    if (found != LL_NONE || id == LL_NONE)
        return found;
    found = find_alike(reader, id, kind);
    if (found < 0)
        return LL_NONE;
    const char *text = ll_id_text(&reader->ids, id), *own = id_of(reader, kind, found);
    LL_NOTE_DIVE(reader, dive, LL_NOTE_LINK_NEAR, line, ll_shown(asked, text, strlen(text)), kind_words[kind],
                 ll_shown(taken, own, strlen(own)));
    return found;
}

bool ll_is_defined(const ll_reader *reader, int id)
{
    for (int kind = 0; kind < LL_ID_KINDS; kind++)
        if (ll_id_find(&reader->ids, id, (ll_id_kind)kind) != LL_NONE)
            return true;
    return false;
}

void ll_note_lost_link(ll_reader *reader, ll_dive *dive, int id, long line)
{
    char shown[LL_SHOWN];
    const char *text = ll_id_text(&reader->ids, id);
    ll_note_code code = ll_is_defined(reader, id) ? LL_NOTE_LINK_OTHER_KIND : LL_NOTE_LINK_DANGLING;
    LL_NOTE_DIVE(reader, dive, code, line, ll_shown(shown, text, strlen(text)));
}
