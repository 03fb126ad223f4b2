/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Logs written inside tests: texts of the invented dive school, read in pieces of any size. */
#ifndef LL_TESTS_LOG_WORLD_H
#define LL_TESTS_LOG_WORLD_H

#include "log/log.h"

typedef struct pieces {
    const char *bytes;
    size_t size, next;
    size_t piece;    /* at most so many at a time; 0: as many as asked for */
    size_t fail_at;  /* reading fails from this byte on; 0: never */
} pieces;

ptrdiff_t read_pieces(void *context, void *bytes, size_t capacity);

ll_status try_bytes(const char *bytes, size_t size, size_t piece, const ll_allocator *allocator,
                    const ll_input_limits *limits, ll_log **log, ll_error *error);

/* Reads a text that must be a log. */
ll_log *read_text(const char *text);

/* Reads a text that must be refused with this line and sentence. */
void assert_refused(const char *text, long line, const char *sentence);

/* A whole log around the waypoints of one dive, with the mixes `air`, `ean50`, `tx` (18/45). To be freed by free(). */
char *log_around(const char *waypoints);

/* Reads that log. */
ll_log *read_waypoints(const char *waypoints);

/* The text of the note, or NULL. */
const char *note_text(const ll_notes *notes, ll_note_code code);

/* The span must be this one. */
void assert_span(const ll_dive *dive, size_t which, size_t first, size_t end, int mix, ll_circuit circuit);

/* Every figure of two logs is the same, bit by bit. */
void assert_same_logs(const ll_log *a, const ll_log *b);

/* gzip of a text, to be freed by free(). */
char *zipped(const char *text, size_t *size);

#endif
