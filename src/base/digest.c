/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/digest.h"

void ll_digest_open(ll_digest *digest)
{
    sha256_init(&digest->state);
}

void ll_digest_add(ll_digest *digest, const void *bytes, size_t size)
{
    sha256_update(&digest->state, size, bytes);
}

void ll_digest_close(ll_digest *digest, char hex[LL_DIGEST_TEXT])
{
    static const char digits[] = "0123456789abcdef";
    uint8_t sum[SHA256_DIGEST_SIZE];
    sha256_digest(&digest->state, SHA256_DIGEST_SIZE, sum);
    for (size_t i = 0; i < SHA256_DIGEST_SIZE; i++) {
        hex[2 * i] = digits[sum[i] >> 4];
        hex[2 * i + 1] = digits[sum[i] & 15];
    }
    hex[2 * SHA256_DIGEST_SIZE] = '\0';
}
