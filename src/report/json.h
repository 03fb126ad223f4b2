/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A small streaming writer of JSON (RFC 8259). It keeps one bit of state, so that a document may be written in several
 * calls; that brackets close what was opened is the caller's care, and the tests'. */
#ifndef LL_REPORT_JSON_H
#define LL_REPORT_JSON_H

#include <stdbool.h>

#include "base/text.h"

typedef struct ll_json {
    ll_text *out;
    bool comma; /* something stands before the next value on its level */
} ll_json;

/* In every call `key` is NULL for a member of an array and for the outermost value. */

/* `bracket` is '{' or '['. */
void ll_json_open(ll_json *json, const char *key, char bracket);
void ll_json_close(ll_json *json, char bracket);

/* Begins a member of an array, which is `first` or not, on a line of its own unless `one_line` asks for none. */
void ll_json_next(ll_json *json, bool first, bool one_line);

/* NULL gives null. Control characters, U+007F, U+2028 and U+2029 are escaped; a byte that is no UTF-8 becomes
 * U+FFFD. */
void ll_json_string(ll_json *json, const char *key, const char *string);

/* The text in `scratch`, which is closed; its loss of memory becomes that of the output. */
void ll_json_scratch(ll_json *json, const char *key, ll_text *scratch);

/* 12 significant digits; null for NaN and infinities. */
void ll_json_number(ll_json *json, const char *key, double value);
void ll_json_whole(ll_json *json, const char *key, unsigned long value);
void ll_json_bool(ll_json *json, const char *key, bool value);
void ll_json_null(ll_json *json, const char *key);

#endif
