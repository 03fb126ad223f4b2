/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Words that every report shares: the version, people's names, places and the sentences of notes. */
#ifndef LL_REPORT_WORDS_H
#define LL_REPORT_WORDS_H

#include "report/report.h"

/* "0.1.0" */
extern const char *const ll_version;

/* Appends the owner of a log as `look->names` asks: whole, as initials, or as a letter (the same one for the same name
 * throughout a history; the first name is A), or `look->called` in its place. Returns false, and appends nothing, where the log names nobody. */
bool ll_owner_add(ll_text *out, const ll_history *history, const ll_log *log, const ll_look *look);

/* "R. H." of a name; "A" to "Z", then "A2" of a place among people. */
void ll_initials_add(ll_text *out, const char *name);
void ll_letter_add(ll_text *out, size_t rank);

/* The name of the dive's site, or NULL. */
const char *ll_site_name(const ll_log *log, const ll_dive *dive);

/* Appends a note's sentence; one that lists people shows them as `look->names` asks. */
void ll_note_sentence(ll_text *out, const ll_history *history, const ll_note *note, const ll_look *look);

/* How many notes of this weight; a note that stands for several places counts once. */
size_t ll_notes_of_weight(const ll_notes *notes, ll_weight weight);

/* Appends with the first letter, if it is a small one of ASCII, as a capital. */
void ll_capital_add(ll_text *out, const char *text);

/* "1 doubt", "2 doubts" */
void ll_counted(ll_text *out, size_t count, const char *noun);

#endif
