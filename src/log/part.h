/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A part of a log: a run of whole dives, handled by a reader of its own, so that several runs are read at the same time, and
 * joined to the log afterwards, in its order, as if one reader had read them. */
#ifndef LL_LOG_PART_H
#define LL_LOG_PART_H

#include "log/reader.h"

enum { LL_SHARED_DEPTH = 3 }; /* elements open around dives: the log, its profiles, a group of dives */

typedef struct ll_part {
    ll_reader reader;
    long lines;     /* line breaks that the parser saw */
    size_t strange; /* bytes of names that the table of elements does not have */
    bool good;      /* the run was read, and nothing in it needs the log's own parser */
} ll_part;

void ll_part_open(ll_part *part, const ll_allocator *allocator, const ll_input_limits *limits);

/* Reads a run that begins on a line of the log; forgets the one before. `text` has the start tags of the
 * elements that are open around the run in front of it, without line breaks, and their end tags behind it. May be called on
 * any thread. Not good: no well-formed XML, an entity that XML does not define, a name space of its own, something that is
 * no dive, a cap, no memory. */
void ll_part_read(ll_part *part, const char *text, long line);

/* Joins a good part to the log behind what that holds. False if it cannot be: then the log is as it was, but for ids that it
 * knows sooner, or its reader ran out of memory. */
bool ll_part_join(ll_part *part, ll_reader *log);

/* What was joined lives on in `arena`. */
void ll_part_close(ll_part *part, ll_arena *arena);

#endif
