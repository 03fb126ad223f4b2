/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A heap that refuses, to be loaded before a program (LD_PRELOAD). It counts what the whole process asks for - the program,
 * its libraries, the C library, all threads - from 1 on, once the libraries are there. It answers NULL
 *   to the requests LEADLINE_REFUSE to LEADLINE_REFUSE_TO (that one alone, if the latter is not set),
 *   and writes how many there were to the descriptor LEADLINE_REFUSE_TELL as the program ends.
 * The heap below is that of the GNU C library, by the names that are its own. That splits a block that was given back, or
 * keeps a small one for the thread's malloc; so what a thread gave back just before it can have again. */
#include <errno.h>
#include <malloc.h>
#include <stdatomic.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>

void *__libc_malloc(size_t size);
void *__libc_calloc(size_t count, size_t size);
void *__libc_realloc(void *old, size_t size);
void *__libc_memalign(size_t alignment, size_t size);
void __libc_free(void *bytes);

static atomic_ulong asked;
static unsigned long refuse, refuse_to; /* 0: nothing is refused */

enum { KEPT_MOST = 1032 }; /* bytes of a block that is kept for the thread */

/* Of the block that this thread gave back, if it has asked for nothing since; else 0. */
static _Thread_local size_t given_back __attribute__((tls_model("initial-exec")));

static unsigned long number(const char *name)
{
    const char *text = getenv(name);
    return text ? strtoul(text, NULL, 10) : 0;
}

__attribute__((constructor)) static void begin(void)
{
    unsigned long last = number("LEADLINE_REFUSE_TO");
    refuse = number("LEADLINE_REFUSE");
    refuse_to = last ? last : refuse;
    asked = 0;
}

__attribute__((destructor)) static void end(void)
{
    if (getenv("LEADLINE_REFUSE_TELL"))
        dprintf((int)number("LEADLINE_REFUSE_TELL"), "%lu", (unsigned long)asked);
}

static bool is_refused(size_t size)
{
    unsigned long now = ++asked;
    bool is_there = size <= given_back;
    given_back = 0;
    if (now < refuse || now > refuse_to || is_there)
        return false;
    errno = ENOMEM;
    return true;
}

void free(void *bytes)
{
    given_back = bytes ? malloc_usable_size(bytes) : given_back;
    __libc_free(bytes);
}

void *malloc(size_t size)
{
    return is_refused(size) ? NULL : __libc_malloc(size);
}

void *calloc(size_t count, size_t size)
{
    given_back = given_back > KEPT_MOST ? given_back : 0;
    return is_refused(count * size) ? NULL : __libc_calloc(count, size);
}

void *realloc(void *old, size_t size)
{
    return is_refused(old ? SIZE_MAX : size) ? NULL : __libc_realloc(old, size);
}

void *aligned_alloc(size_t alignment, size_t size)
{
    return is_refused(SIZE_MAX) ? NULL : __libc_memalign(alignment, size);
}

int posix_memalign(void **bytes, size_t alignment, size_t size)
{
    *bytes = aligned_alloc(alignment, size);
    return *bytes ? 0 : ENOMEM;
}
