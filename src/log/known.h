/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The elements that the format documents, in any version, where dives and gases are written down. */
#ifndef LL_LOG_KNOWN_H
#define LL_LOG_KNOWN_H

#include "log/reader.h"

/* Notes an element that is passed over inside the open one, unless the format documents one of that name. Elements inside
 * people, equipment, sites and generators are never looked at. */
void ll_look_at_passed(ll_reader *reader, const char *name);

#endif
