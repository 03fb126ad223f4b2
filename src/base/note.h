/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Notes: results with a doubt about the record. One table of codes; the sentence carries the values. */
#ifndef LL_BASE_NOTE_H
#define LL_BASE_NOTE_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"

typedef enum ll_weight {
    LL_REMARK, /* good to know; the figures stand */
    LL_DOUBT,  /* something was assumed or repaired; the figures hang on it */
    LL_LOSS    /* something is missing from the result */
} ll_weight;

typedef enum ll_note_code {
#define NOTE(name, code, weight, format) LL_NOTE_##name,
#include "base/notes.def"
#undef NOTE
    LL_NOTES
} ll_note_code;

typedef struct ll_note_row {
    const char *code; /* stable, in outputs */
    ll_weight weight;
    const char *format; /* printf format of the sentence */
} ll_note_row;

extern const ll_note_row ll_note_table[LL_NOTES];
extern const char *const ll_weight_names[3];

typedef struct ll_note {
    ll_note_code code;
    long line;    /* first place in the log, 0 if none */
    size_t count; /* how often; repeated notes are counted, not repeated */
    const char *text;
} ll_note;

/* A list of notes in an arena. Zero-initialise. */
typedef struct ll_notes {
    ll_note *items;
    size_t count;
    size_t capacity;
} ll_notes;

/* Adds a note, or counts it where the list already holds one of this code (the first sentence and line stay).
 * The values after `line` are those of the code's format. False if memory ran out. */
bool ll_note_add(ll_notes *notes, ll_arena *arena, ll_note_code code, long line, ...);

/* Adds the notes of `more`, as if they were added one by one behind those there are; their texts stay where they are. False if
 * memory ran out. */
bool ll_notes_join(ll_notes *notes, ll_arena *arena, const ll_notes *more);

bool ll_has_note(const ll_notes *notes, ll_note_code code);

#endif
