/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A text that grows and, where it has a sink, flows: the one way in which output is made. */
#ifndef LL_BASE_TEXT_H
#define LL_BASE_TEXT_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"

/* Takes `size` bytes; returns 0, or another value if they could not be written. */
typedef int (*ll_write_fn)(void *context, const void *bytes, size_t size);

typedef struct ll_text {
    const ll_allocator *allocator;
    char *bytes; /* not terminated; see ll_text_string */
    size_t size;
    size_t capacity;
    ll_write_fn write; /* NULL: everything stays in memory */
    void *context;
    bool no_memory;  /* sticky: an append was lost */
    bool not_written; /* sticky: the sink refused */
} ll_text;

/* A text in memory (`write` NULL), or one that hands its bytes to a sink whenever some 64 KiB are full. */
void ll_text_open(ll_text *text, const ll_allocator *allocator, ll_write_fn write, void *context);
void ll_text_close(ll_text *text);

/* Appending never fails visibly: after the first failure the rest is dropped and a flag stays set, looked at once
 * at the end. Printing with a format is for words and whole numbers; measured numbers go through base/number.h. */
void ll_text_add(ll_text *text, const char *bytes, size_t size);
void ll_text_puts(ll_text *text, const char *string);
void ll_text_putc(ll_text *text, char c);
void ll_text_fill(ll_text *text, char c, size_t count);
void ll_text_format(ll_text *text, const char *format, ...) __attribute__((format(printf, 2, 3)));

/* Hands what is left to the sink (if there is one). True if every byte so far arrived. */
bool ll_text_flush(ll_text *text);

/* The text in memory as a C string, valid until the next append; NULL if memory ran out. */
const char *ll_text_string(ll_text *text);

#endif
