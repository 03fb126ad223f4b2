/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Text from a log is data: what of it may reach a terminal, how wide it stands there. */
#ifndef LL_REPORT_UTF8_H
#define LL_REPORT_UTF8_H

#include <stddef.h>

#include "base/text.h"
#include "base/utf8.h"

/* The degree sign. */
#define LL_DEGREES "\xC2\xB0"

/* The character that stands for a byte that is none, U+FFFD. */
extern const char ll_utf8_replacement[4];

/* Appends text from a log for people: line ends and tabs become blanks; control characters, terminal escapes (whole
 * sequences) and marks that turn the direction of writing are dropped; bytes that are no UTF-8 become U+FFFD. */
void ll_show(ll_text *out, const char *text);

/* Columns that `size` bytes of UTF-8 take: combining marks 0, wide East Asian characters 2, our own colour
 * sequences 0, everything else 1. */
size_t ll_columns(const char *text, size_t size);

/* Bytes of the longest beginning of text[0..size) that takes at most `columns` columns; at least one character. */
size_t ll_columns_fit(const char *text, size_t size, size_t columns);

#endif
