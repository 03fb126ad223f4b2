/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What references name, once the whole log is known. */
#ifndef LL_LOG_REFERENCES_H
#define LL_LOG_REFERENCES_H

#include "log/reader.h"

/* What a reference names, a place in the list of that kind: exactly, or but for white space around it; else, with a note on
 * the dive, the only thing of that kind whose id is alike but for case or a leading '#', else the only mix of that
 * name. LL_NONE if nothing. */
int ll_refer(ll_reader *reader, ll_dive *dive, int id, ll_id_kind kind, long line);

/* The id names something, of whatever kind. */
bool ll_is_defined(const ll_reader *reader, int id);

/* Notes a link that leads nowhere: to nothing, or to what means nothing at its place. */
void ll_note_lost_link(ll_reader *reader, ll_dive *dive, int id, long line);

#endif
