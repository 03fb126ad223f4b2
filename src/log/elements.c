/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "log/elements.h"

#include <math.h>
#include <stddef.h>

#include "log/reader.h"
#include "log/values.h"

const ll_element_row ll_element_table[LL_ROWS] = {
    [LL_ROW_NOWHERE] = {"", LL_ROW_NOWHERE, false, 0, NULL, NULL},
#define BRANCH(row, parent, name, begin, end) [LL_ROW_##row] = {name, LL_ROW_##parent, false, 0, begin, end},
#define LEAF(row, parent, name, begin, end) [LL_ROW_##row] = {name, LL_ROW_##parent, true, 0, begin, end},
#define NUMBER(row, parent, name, fact) \
    [LL_ROW_##row] = {name, LL_ROW_##parent, true, LL_FACT_##fact, NULL, ll_end_number},
#define WORD(row, parent, name, word) \
    [LL_ROW_##row] = {name, LL_ROW_##parent, true, LL_WORD_##word, NULL, ll_end_word},
#include "log/elements.def"
#undef BRANCH
#undef LEAF
#undef NUMBER
#undef WORD
};
_Static_assert(LL_ROWS <= UINT8_MAX, "a row fits in a byte");

const ll_fact_row ll_fact_table[LL_FACTS] = {
#define FACT(name, least, most, divisor) {least, most, divisor},
#include "log/facts.def"
#undef FACT
};

const char *const ll_attribute_names[LL_ATTRIBUTES] = {"id",   "ref",      "tankref",  "setby",   "type",
                                                       "kind", "decodepth", "duration", "version", "udcf"};
