/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The table of elements and the tables of what they leave behind. */
#ifndef LL_LOG_ELEMENTS_H
#define LL_LOG_ELEMENTS_H

#include <stdbool.h>
#include <stdint.h>

struct ll_reader;

typedef void (*ll_element_fn)(struct ll_reader *reader);

typedef enum ll_row {
    LL_ROW_NOWHERE,
#define BRANCH(row, parent, name, begin, end) LL_ROW_##row,
#define LEAF(row, parent, name, begin, end) LL_ROW_##row,
#define NUMBER(row, parent, name, fact) LL_ROW_##row,
#define WORD(row, parent, name, word) LL_ROW_##row,
#include "log/elements.def"
#undef BRANCH
#undef LEAF
#undef NUMBER
#undef WORD
    LL_ROWS
} ll_row;

typedef enum ll_fact {
#define FACT(name, least, most, divisor) LL_FACT_##name,
#include "log/facts.def"
#undef FACT
    LL_FACTS
} ll_fact;

typedef enum ll_word { LL_WORD_NAME, LL_WORD_FIRST_NAME, LL_WORD_LAST_NAME, LL_WORD_WRITER, LL_WORDS } ll_word;

/* Attributes that are looked at. */
typedef enum ll_attribute {
    LL_ATTRIBUTE_ID,
    LL_ATTRIBUTE_REF,
    LL_ATTRIBUTE_TANKREF,
    LL_ATTRIBUTE_SETBY,
    LL_ATTRIBUTE_TYPE,
    LL_ATTRIBUTE_KIND,
    LL_ATTRIBUTE_DECODEPTH,
    LL_ATTRIBUTE_DURATION,
    LL_ATTRIBUTE_VERSION,
    LL_ATTRIBUTE_UDCF,
    LL_ATTRIBUTES
} ll_attribute;

typedef struct ll_element_row {
    const char *name;
    uint8_t parent;
    bool gathers; /* its text is wanted */
    uint8_t kept; /* the fact or word */
    ll_element_fn begin, end;
} ll_element_row;

typedef struct ll_fact_row {
    double least, most, divisor;
} ll_fact_row;

extern const ll_element_row ll_element_table[LL_ROWS];
extern const ll_fact_row ll_fact_table[LL_FACTS];
extern const char *const ll_attribute_names[LL_ATTRIBUTES];

#endif
