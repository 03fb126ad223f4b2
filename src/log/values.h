/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Small things that every handler needs: text to values, attributes, ids, notes. */
#ifndef LL_LOG_VALUES_H
#define LL_LOG_VALUES_H

#include "log/reader.h"

/* XML white space off both ends. */
void ll_trim(const char **text, size_t *length);

enum { LL_SHOWN = 64 };

/* A text of the file as it may stand in a sentence: no control characters or line breaks, cut at `size` bytes. */
const char *ll_clean(char *buffer, size_t size, const char *text, size_t length);

/* The same, shortened: a text of the file as it may stand in a sentence among other words. */
const char *ll_shown(char buffer[LL_SHOWN], const char *text, size_t length);

/* The text of the open element without white space around it; length 0 if it is empty. */
const char *ll_gathered(const ll_reader *reader, size_t *length);

/* Reads a number; a decimal comma is one too, with a note. Where there is none (empty) or none that can be read (with a
 * note naming `what`) *value is NaN. False outside [least, most] too. */
#define LL_ANY_NUMBER 1e12 /* nothing that a recorder measures comes near it */
bool ll_value(ll_reader *reader, const char *text, size_t length, double least, double most, const char *what,
              double *value);

/* The number that the open element holds; false if it holds none that is not negative. */
bool ll_number_here(ll_reader *reader, double *value);

/* The sample that is open, in file order. */
static inline uint32_t ll_sample_here(const ll_reader *reader)
{
    return (uint32_t)reader->samples.count;
}

/* An attribute of the element that begins; NULL if it has none of that name. */
const char *ll_attribute_of(const ll_reader *reader, ll_attribute attribute, size_t *length);

/* The number of the id in an attribute; LL_NONE if there is none or it is empty. */
int ll_attribute_id(ll_reader *reader, ll_attribute attribute);
/* The same, sooner if it is `likely` (LL_NONE: not known). */
int ll_attribute_likely_id(ll_reader *reader, ll_attribute attribute, int likely);

/* Lets the id name something, with a note where it already names another of that kind. LL_NONE names nothing. */
void ll_define(ll_reader *reader, int id, ll_id_kind kind, int place);

/* True if the text is this lower-case word, in any case if so asked. */
bool ll_same_word(const char *word, const char *text, size_t length, bool any_case);

/* The place of a keyword in a list that ends with NULL: exactly, else without regard to case; LL_NONE. */
int ll_keyword(const char *const *words, const char *text, size_t length);

/* Forgets facts [first, last]. */
void ll_forget_facts(ll_reader *reader, ll_fact first, ll_fact last);
/* The fact, NaN if it is missing. */
double ll_fact_of(const ll_reader *reader, ll_fact fact);

/* How good the place of the open element is for a fact of a dive: the higher wins. */
uint8_t ll_rank_here(const ll_reader *reader);
/* Notes that the open element was given before; the first counts. */
void ll_note_repeated(ll_reader *reader);

/* Where a note of now belongs: the open dive, else the log. */
ll_notes *ll_notes_here(ll_reader *reader);

/* Adds a note; memory running out stops the reader. */
#define LL_NOTE_HERE(reader, ...) ll_noted((reader), ll_note_add(ll_notes_here(reader), &(reader)->arena, __VA_ARGS__))
#define LL_NOTE_DIVE(reader, dive, ...) ll_noted((reader), ll_note_add(&(dive)->notes, &(reader)->arena, __VA_ARGS__))
bool ll_noted(ll_reader *reader, bool added);

#endif
