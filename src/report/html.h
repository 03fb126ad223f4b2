/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Pieces of HTML. Whatever comes from a log goes through here and comes out as text. */
#ifndef LL_REPORT_HTML_H
#define LL_REPORT_HTML_H

#include "base/text.h"

/* As text between tags or in a quoted attribute: & < > " ' are escaped; control characters (but blanks, tabs and line
 * ends) and bytes that are no UTF-8 come out as U+FFFD. */
void ll_html_string(ll_text *out, const char *text);

/* A double-quoted attribute behind a tag's name: ` name="value"`. */
void ll_html_attribute(ll_text *out, const char *name, const char *value);
void ll_html_attribute_number(ll_text *out, const char *name, double value);

/* A coordinate, length or time: at most three decimals, none that are 0, no exponent. |value| under 1e12. */
void ll_html_number(ll_text *out, double value);

/* JSON into an element: it may not end that, nor begin a comment in it. */
void ll_html_json(ll_text *out, const ll_text *json);

#endif
