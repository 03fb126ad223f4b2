/* SPDX-License-Identifier: GPL-3.0-or-later */
/* An input read ahead of whoever wants its bytes: a second thread reads and hashes them while the first one parses what
 * came before. */
#ifndef LL_CLI_AHEAD_H
#define LL_CLI_AHEAD_H

#include <stddef.h>

#include "base/digest.h"
#include "cli/input.h"

typedef struct ll_ahead ll_ahead;

/* Starts reading. NULL where memory or a thread cannot be had: the input is then as it was and can be read without.
 * Until ll_ahead_close nobody else may touch `input`. Not for inputs that may let a reader wait for ever: closing waits
 * for the read that is under way. */
ll_ahead *ll_ahead_open(ll_input *input);

/* A leadline_read; `context` is the ll_ahead. A failed read comes after the bytes before it. */
ptrdiff_t ll_ahead_read(void *context, void *bytes, size_t capacity);

/* A leadline_hash, once ll_ahead_read gave the end. */
void ll_ahead_hash(void *context, char sha256[LL_DIGEST_TEXT]);

/* Ends the thread, wherever reading stands. NULL is fine. */
void ll_ahead_close(ll_ahead *ahead);

#endif
