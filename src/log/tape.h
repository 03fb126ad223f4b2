/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a parser finds in a run of whole dives, written down, so that several runs can be parsed at the same time and their
 * elements handled one after the other afterwards, in the order of the log, as if one parser had found them. */
#ifndef LL_LOG_TAPE_H
#define LL_LOG_TAPE_H

#include "log/reader.h"

enum { LL_SHARED_DEPTH = 3 }; /* elements open around dives: the log, its profiles, a group of dives */

/* A run of bytes between the end of a dive and the end of another, and what has to stand around it. */
typedef struct ll_run {
    const char *before, *behind; /* start tags of the elements that are open there, without line breaks; their end tags */
    const void *bytes;
    size_t size;
    size_t text_most, nesting_most; /* caps: a run beyond them is left to the reader */
} ll_run;

typedef struct ll_tape {
    const ll_allocator *allocator;
    unsigned char *events;
    size_t size, capacity;
    long lines;     /* line breaks in the run */
    size_t strange; /* bytes of names that the table of elements does not have */
    bool good;      /* nothing in the run needs the reader's own parser */
} ll_tape;

/* Parses a run; forgets what the tape held. May be called on any thread. Not good: no well-formed XML, an entity that XML does
 * not define, a name space of its own, a cap, no memory. */
void ll_tape_record(ll_tape *tape, const ll_run *run);

/* Handles the elements of a good tape, that begins on a line of the log. */
void ll_tape_play(const ll_tape *tape, long first_line, ll_reader *reader);

void ll_tape_free(ll_tape *tape);

#endif
