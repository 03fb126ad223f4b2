/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/note.h"

#include <stdarg.h>
#include <stdio.h>

const ll_note_row ll_note_table[LL_NOTES] = {
#define NOTE(name, code, weight, format) {code, weight, format},
#include "base/notes.def"
#undef NOTE
};

const char *const ll_weight_names[3] = {"remark", "doubt", "loss"};

static ll_note *find(const ll_notes *notes, ll_note_code code)
{
    for (size_t i = 0; i < notes->count; i++)
        if (notes->items[i].code == code)
            return &notes->items[i];
    return NULL;
}

static bool make_room(ll_notes *notes, ll_arena *arena)
{
    if (notes->count < notes->capacity)
        return true;
    size_t capacity = notes->capacity ? notes->capacity * 2 : 4;
    ll_note *items = ll_arena_array(arena, capacity, sizeof *items);
    if (!items)
        return false;
    for (size_t i = 0; i < notes->count; i++)
        items[i] = notes->items[i];
    notes->items = items;
    notes->capacity = capacity;
    return true;
}

bool ll_note_add(ll_notes *notes, ll_arena *arena, ll_note_code code, long line, ...)
{
    ll_note *known = find(notes, code);
    if (known) {
        known->count++;
        return true;
    }
    char sentence[512];
    va_list values;
    va_start(values, line);
    vsnprintf(sentence, sizeof sentence, ll_note_table[code].format, values);
    va_end(values);
    const char *text = ll_arena_text(arena, sentence);
    if (!text || !make_room(notes, arena))
        return false;
    notes->items[notes->count++] = (ll_note){code, line, 1, text};
    return true;
}

bool ll_notes_join(ll_notes *notes, ll_arena *arena, const ll_notes *more)
{
    for (size_t i = 0; i < more->count; i++) {
        ll_note *known = find(notes, more->items[i].code);
        if (known)
            known->count += more->items[i].count;
        else if (make_room(notes, arena))
            notes->items[notes->count++] = more->items[i];
        else
            return false;
    }
    return true;
}

bool ll_has_note(const ll_notes *notes, ll_note_code code)
{
    return find(notes, code) != NULL;
}
