/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Numbers to and from text, without the locale. */
#ifndef LL_BASE_NUMBER_H
#define LL_BASE_NUMBER_H

#include <stdbool.h>
#include <stddef.h>

#include "base/text.h"

/* Reads one decimal real (`-1.25e3`; sign, digits, point, digits, exponent) that fills `text[0..length)` wholly.
 * Exactly rounded to nearest-even (as strtod in the C locale). No hex, no infinities, no NaN, no decimal comma,
 * no white space. A text of no bytes, which may be NULL, is no number. On success writes *value and returns true; a
 * value too large for a double is a failure. */
bool ll_number_read(const char *text, size_t length, double *value);

/* Same for an unsigned whole number of at most 9 digits. */
bool ll_whole_read(const char *text, size_t length, unsigned *value);

/* Appends `value` with 12 significant digits as %.12g prints it in the C locale (correctly rounded);
 * nothing for NaN or an infinity (a missing cell). -0 prints as 0. */
void ll_number_add(ll_text *text, double value);

/* Appends `value` rounded to `decimals` (0..6) fixed places; an en dash (UTF-8) for NaN or an infinity; never "-0.0". */
void ll_fixed_add(ll_text *text, double value, int decimals);

enum { LL_PRINTED = 32 };

/* As ll_number_add, into a buffer, which is returned: a figure as it stands in a sentence. "" for NaN and infinities. */
const char *ll_number_print(char shown[LL_PRINTED], double value);

/* Rounded to a tenth, without a zero behind the point: "12", "4.5". */
const char *ll_tenths_print(char shown[LL_PRINTED], double value);

#endif
