/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Cells of comma-separated values (RFC 4180, LF line ends): quoted where need be, empty where missing. */
#ifndef LL_REPORT_CSV_H
#define LL_REPORT_CSV_H

#include "base/text.h"

/* A cell of text. NULL: empty. One that begins with = + - @, a tab or a carriage return gets a leading apostrophe, so
 * that no spreadsheet takes it for a formula. */
void ll_csv_text(ll_text *out, const char *text);

/* The text in `scratch`, which is closed; its loss of memory becomes that of the output. */
void ll_csv_scratch(ll_text *out, ll_text *scratch);

#endif
