/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "log/names.h"

#include <libxml/parser.h>

bool ll_names_make(ll_names *names, void *dictionary)
{
    uint8_t last_child[LL_ROWS] = {0};
    for (int row = 1; row < LL_ROWS; row++) {
        uint8_t parent = ll_element_table[row].parent;
        names->element[row] = xmlDictLookup(dictionary, (const xmlChar *)ll_element_table[row].name, -1);
        if (!names->element[row])
            return false;
        if (last_child[parent])
            names->next_sibling[last_child[parent]] = (uint8_t)row;
        else
            names->first_child[parent] = (uint8_t)row;
        last_child[parent] = (uint8_t)row;
    }
    for (int i = 0; i < LL_ATTRIBUTES; i++) {
        names->attribute[i] = xmlDictLookup(dictionary, (const xmlChar *)ll_attribute_names[i], -1);
        if (!names->attribute[i])
            return false;
    }
    return true;
}

bool ll_is_same_space(const void *space, const void *other)
{
    return xmlStrEqual(space, other);
}
