/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Where the bytes come from: the caller's read callback, hashed as they pass (unless the caller does that), inflated
 * where they are gzip, counted, looked at before the parser sees them, and turned into UTF-8. */
#ifndef LL_LOG_SOURCE_H
#define LL_LOG_SOURCE_H

#include "base/digest.h"
#include "base/error.h"
#include "log/encoding.h"
#include "log/log.h"

typedef struct ll_source ll_source;

/* Opens a source and looks at its first bytes. LL_BAD_INPUT with a sentence: empty, an HTML page, a zip archive, no
 * XML, `read` failed, damaged gzip; LL_NO_MEMORY. On failure *source is NULL. `total_bytes` caps what
 * ll_source_take gives. `hash` NULL: the source hashes; else it is asked at the end. */
ll_status ll_source_open(ll_read_fn read, ll_hash_fn hash, void *context, const ll_allocator *allocator,
                         size_t total_bytes, ll_source **source, ll_error *error);

enum { LL_SOURCE_LEAST = LL_DECODER_ROOM };

/* Up to `capacity` bytes of UTF-8 without a byte order mark; 0 at the end; -1 on failure, told by ll_source_status from
 * then on, and where `capacity` is under LL_SOURCE_LEAST. */
ptrdiff_t ll_source_take(ll_source *source, void *bytes, size_t capacity);

/* LL_OK while nothing failed, else the failure with its sentence (line 0). `error` may be NULL. */
ll_status ll_source_status(const ll_source *source, ll_error *error);

/* True once every byte was taken. */
bool ll_source_is_spent(const ll_source *source);

/* True if gzip data broke off before its end mark; what came before was given. */
bool ll_source_is_cut(const ll_source *source);

/* True if the bytes end with what is no text: NUL characters, a piece of a character, or bytes behind the gzip data. */
bool ll_source_is_padded(const ll_source *source);

/* How the bytes were read, and what had to be repaired so far. LL_ENCODING_OTHER: they are given as they are. */
const ll_decoder *ll_source_decoder(const ll_source *source);

/* The encoding that the log declares, if its bytes plainly are in another and were read as that; else NULL. */
const char *ll_source_contradicted(const ll_source *source);

/* Reads what is left, so that the digest covers the whole input, and writes it. */
ll_status ll_source_finish(ll_source *source, char sha256[LL_DIGEST_TEXT], ll_error *error);

/* NULL is fine. */
void ll_source_close(ll_source *source);

#endif
