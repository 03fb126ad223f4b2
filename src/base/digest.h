/* SPDX-License-Identifier: GPL-3.0-or-later */
/* SHA-256 (FIPS 180-4) of bytes as they pass. The only files that see the hashing library are these two. */
#ifndef LL_BASE_DIGEST_H
#define LL_BASE_DIGEST_H

#include <stddef.h>

#include <nettle/sha2.h>

typedef struct ll_digest {
    struct sha256_ctx state;
} ll_digest;

enum { LL_DIGEST_TEXT = 65 }; /* 64 lower-case hex digits and the terminator */

void ll_digest_open(ll_digest *digest);
void ll_digest_add(ll_digest *digest, const void *bytes, size_t size);
void ll_digest_close(ll_digest *digest, char hex[LL_DIGEST_TEXT]);

#endif
