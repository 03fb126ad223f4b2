/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A fuzz target: bytes in, nothing out. By clang's libFuzzer (run.sh), or over files by any compiler (replay.c). */
#ifndef LL_FUZZ_TARGET_H
#define LL_FUZZ_TARGET_H

#include <stddef.h>
#include <stdint.h>

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t size);

/* A read callback over bytes, in pieces of an odd size, so that their borders lie everywhere. */
typedef struct fuzz_bytes {
    const uint8_t *bytes;
    size_t size, at;
} fuzz_bytes;

ptrdiff_t fuzz_read(void *context, void *bytes, size_t capacity);

/* Ends the process: what was promised does not hold. */
void fuzz_check(int holds, const char *promise);

#endif
