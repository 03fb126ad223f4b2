/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Pieces of a line of a plan, and what stands in its fields. Used inside this layer only. */
#ifndef LL_STANDARD_PLAN_FIELD_H
#define LL_STANDARD_PLAN_FIELD_H

#include <stdbool.h>
#include <stddef.h>

/* A part of a line that is UTF-8. Not terminated, but what it is a part of is. */
typedef struct ll_piece {
    const char *bytes;
    size_t size;
} ll_piece;

/* Without the blanks and tabs at its ends. */
ll_piece ll_piece_trim(ll_piece text);

/* Takes the first field off a trimmed text, and the blanks behind it; empty if there is none. */
ll_piece ll_piece_field(ll_piece *text);

/* Splits at the first `c`; false, with outputs untouched, if there is none. */
bool ll_piece_split(ll_piece text, char c, ll_piece *before, ll_piece *behind);

/* Whether it is `word` (lower case) in whatever case. */
bool ll_piece_is_word(ll_piece text, const char *word);

/* Whether no control character (U+0000..U+001F, U+007F..U+009F) is in it. */
bool ll_piece_is_plain(ll_piece text);

/* Its first characters as they may stand in a sentence, without control characters: at most 40 bytes, the last three of
 * them dots if not all fits. Returns `buffer`. */
enum { LL_PIECE_QUOTED = 41 };
const char *ll_piece_quote(char buffer[LL_PIECE_QUOTED], ll_piece text);

/* Each reads a field that is one thing wholly; false, with outputs as they were or half filled, if it is not. */

/* Digits with a point: no sign, no exponent, no comma. */
bool ll_piece_number(ll_piece text, double *value);

/* A run time in minutes ("12.5") or in minutes and two digits of seconds ("12:30"), as seconds. In whole milliseconds,
 * so that both ways of writing a time agree. */
bool ll_piece_run(ll_piece text, double *run_s);

/* A mix as the trade writes it, in whatever case: "air", "oxygen", "O2", "EAN32", "18/45", "Tx18/45"; oxygen 1 to 100
 * percent, whole, with helium 100 at most. Fractions. */
bool ll_piece_mix(ll_piece text, double *o2, double *he);

#endif
