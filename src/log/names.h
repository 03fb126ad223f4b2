/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The names of the table of elements as one parser keeps them: equal names are equal pointers. Used by the files that see
 * the parser. */
#ifndef LL_LOG_NAMES_H
#define LL_LOG_NAMES_H

#include "log/elements.h"

typedef struct ll_names {
    const void *element[LL_ROWS];
    uint8_t first_child[LL_ROWS], next_sibling[LL_ROWS];
    const void *attribute[LL_ATTRIBUTES];
    const void *root_space, *root_prefix; /* of the root element, once it began */
} ll_names;

/* The parser's own copies of our names; `dictionary` is its xmlDict. False if memory ran out. */
bool ll_names_make(ll_names *names, void *dictionary);

/* Two name spaces of one spelling. */
bool ll_is_same_space(const void *space, const void *other);

/* Not in the name space of the root. An element without a name space is ours. */
static inline bool ll_is_foreign(const ll_names *names, const void *prefix, const void *space)
{
    if (!space)
        return prefix && prefix != names->root_prefix;
    return space != names->root_space && !ll_is_same_space(space, names->root_space);
}

/* The row of an element within that of its parent; LL_ROW_NOWHERE: none. */
static inline ll_row ll_row_of(const ll_names *names, ll_row parent, const void *name)
{
    uint8_t row = names->first_child[parent];
    while (row != LL_ROW_NOWHERE && names->element[row] != name)
        row = names->next_sibling[row];
    return row;
}

#endif
