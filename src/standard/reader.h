/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One pass over the file of a standard: what its parts share. Used inside this layer only. */
#ifndef LL_STANDARD_READER_H
#define LL_STANDARD_READER_H

#include "base/text.h"
#include "standard/standard.h"

/* An attribute as it stands in the file. */
typedef struct ll_given {
    const char *name;  /* with its prefix */
    const char *value; /* ends with a 0 */
    long line;
} ll_given;

/* The start tag that is being read. */
typedef struct ll_tag {
    const char *element;
    long line; /* on which it begins */
    size_t count;
    const ll_given *given;
} ll_tag;

typedef struct ll_standard_reader {
    ll_standard *standard;
    ll_requirement *requirement; /* room for all */
    ll_error error;              /* the first thing that was wrong; status LL_OK: nothing so far */
} ll_standard_reader;

/* Notes what is wrong; only the first counts. Always false, so that a check can end with it. */
bool ll_refuse(ll_standard_reader *reader, long line, const char *format, ...) __attribute__((format(printf, 3, 4)));
bool ll_refuse_no_memory(ll_standard_reader *reader);

/* A text of the file as it may stand in a sentence: cut, without control characters. Returns `buffer`. */
enum { LL_QUOTED = 64 };
const char *ll_quoted(char buffer[LL_QUOTED], const char *text);

/* --- attributes ------------------------------------------------------------------------------------------------- */

typedef enum ll_value_type {
    LL_VALUE_TEXT,   /* const char *, 1 to `most` bytes, white space at its ends dropped */
    LL_VALUE_NUMBER, /* double in [least, most] */
    LL_VALUE_WHOLE,  /* unsigned in [least, most] */
    LL_VALUE_BOOL,   /* bool: the second of two words */
    LL_VALUE_WORD,   /* int: the place in a list of words */
    LL_VALUE_DAYS,   /* ll_period of a day or more: years, months, days */
    LL_VALUE_CLOCK   /* ll_period of a second or more: days, hours, minutes, seconds */
} ll_value_type;

typedef struct ll_attribute_row {
    const char *name;
    ll_value_type type;
    size_t member; /* offset in the target */
    double least, most;
    const char *expects; /* in the sentence about a value that is none */
    const char *const *words; /* NULL at the end */
} ll_attribute_row;

/* Reads every attribute of the tag into `target` by the table; *given gets bit i for row i. False if one is not known
 * or its value is none, which has been noted. */
bool ll_attributes_take(ll_standard_reader *reader, const ll_tag *tag, const ll_attribute_row *rows, size_t count,
                        void *target, unsigned *given);

/* The line of an attribute, or of the tag if it is not there. */
long ll_attribute_line(const ll_tag *tag, const char *name);

extern const char *const ll_yes_words[3]; /* "no", "yes", NULL */

/* --- elements ---------------------------------------------------------------------------------------------------- */

/* Each takes one start tag; false if something is wrong with it, which has been noted. */
bool ll_take_standard_tag(ll_standard_reader *reader, const ll_tag *tag);
bool ll_take_model_tag(ll_standard_reader *reader, const ll_tag *tag);
bool ll_take_limit_tag(ll_standard_reader *reader, const ll_tag *tag);
bool ll_take_requirement_tag(ll_standard_reader *reader, const ll_tag *tag);

/* The text of the requirement that was begun last; white space in it becomes single blanks. */
bool ll_take_requirement_text(ll_standard_reader *reader, const char *text, size_t length);

/* What can be said only of the whole. */
bool ll_check_standard(ll_standard_reader *reader);

/* Runs the parser over the bytes. Afterwards reader->error tells how it ended. */
void ll_standard_parse(ll_standard_reader *reader, const char *bytes, size_t size);

#endif
