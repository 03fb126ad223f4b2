/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Where the bytes come from: the caller's read callback, hashed as they pass, inflated where they are gzip,
 * counted, and looked at before the parser sees them. */
#ifndef LL_LOG_SOURCE_H
#define LL_LOG_SOURCE_H

#include "base/digest.h"
#include "base/error.h"
#include "log/log.h"

typedef struct ll_source ll_source;

/* Opens a source and looks at its first bytes. LL_BAD_INPUT with a sentence: empty, an HTML page, a zip archive, no
 * XML, `read` failed, damaged gzip; LL_NO_MEMORY. On failure *source is NULL. `total_bytes` caps what
 * ll_source_take gives. */
ll_status ll_source_open(ll_read_fn read, void *context, const ll_allocator *allocator, size_t total_bytes,
                         ll_source **source, ll_error *error);

/* Up to `capacity` plain bytes; 0 at the end; -1 on failure, told by ll_source_status from then on. */
ptrdiff_t ll_source_take(ll_source *source, void *bytes, size_t capacity);

/* LL_OK while nothing failed, else the failure with its sentence (line 0). `error` may be NULL. */
ll_status ll_source_status(const ll_source *source, ll_error *error);

/* True once every byte was taken. */
bool ll_source_is_spent(const ll_source *source);

/* True if gzip data broke off before its end mark; what came before was given. */
bool ll_source_is_cut(const ll_source *source);

/* Reads what is left, so that the digest covers the whole input, and writes it. */
ll_status ll_source_finish(ll_source *source, char sha256[LL_DIGEST_TEXT], ll_error *error);

/* NULL is fine. */
void ll_source_close(ll_source *source);

#endif
