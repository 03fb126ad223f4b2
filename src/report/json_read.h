/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A pull reader of JSON (RFC 8259) in memory: a token a call, checked as it goes, nothing allocated. A reader is plain
 * data: a copy of it remembers a place. */
#ifndef LL_REPORT_JSON_READ_H
#define LL_REPORT_JSON_READ_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"

enum { LL_JSON_DEPTH = 32 }; /* open brackets at most */

typedef enum ll_json_token {
    LL_JSON_END, /* the whole document has been read */
    LL_JSON_WRONG,
    LL_JSON_OBJECT,
    LL_JSON_OBJECT_END,
    LL_JSON_ARRAY,
    LL_JSON_ARRAY_END,
    LL_JSON_KEY, /* its value comes next */
    LL_JSON_STRING,
    LL_JSON_NUMBER,
    LL_JSON_TRUE,
    LL_JSON_FALSE,
    LL_JSON_NULL
} ll_json_token;

typedef struct ll_json_reader {
    const char *bytes;
    size_t size, at;
    int depth;
    char open[LL_JSON_DEPTH];
    int expects;
    ll_json_token token; /* the last one read */
    const char *text;    /* of a key, string or number, as written; a key's or string's without its quotes */
    size_t length;
    double number;
    const char *wrong; /* after LL_JSON_WRONG: what was expected at byte `at`, in a few words */
} ll_json_reader;

/* `bytes` must outlive the reader. */
void ll_json_read_open(ll_json_reader *reader, const char *bytes, size_t size);

/* The next token. After LL_JSON_END or LL_JSON_WRONG the same one again. Wrong are, beside bad syntax: more open
 * brackets than LL_JSON_DEPTH, a number beyond every double, a character 0, half a surrogate pair, anything behind the
 * value. */
ll_json_token ll_json_read(ll_json_reader *reader);

/* Reads on to the end of the value that the last token begins. False if something is wrong. */
bool ll_json_skip(ll_json_reader *reader);

/* Members of the array that the last token, LL_JSON_ARRAY, has opened; those before something wrong. Takes time for all
 * of it. */
size_t ll_json_count(const ll_json_reader *reader);

/* Whether the last key or string, as written, is `word`. */
bool ll_json_is(const ll_json_reader *reader, const char *word);

/* The last key or string with its escapes resolved; NULL if memory ran out. */
char *ll_json_text(const ll_json_reader *reader, ll_arena *arena);

#endif
