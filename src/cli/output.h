/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Where results go: standard output, or a file that is written whole or not at all. */
#ifndef LL_CLI_OUTPUT_H
#define LL_CLI_OUTPUT_H

#include <stdbool.h>
#include <stddef.h>
#include <sys/stat.h>

#include <leadline/status.h>

#include "base/arena.h"

typedef struct ll_output {
    const char *path;   /* as the user typed it; NULL: standard output */
    const char *target; /* the file itself, behind symbolic links; NULL: written in place */
    bool replaces;      /* target exists; `facts` describes it */
    struct stat facts;
    int descriptor; /* -1: not open */
    int reason;     /* error number of the first failed write, else 0 */
    ll_arena arena;
} ll_output;

/* True if `path` (NULL included) names standard output. */
bool ll_output_is_standard(const char *path);

/* The path behind symbolic links, whether a file is there or not. NULL with errno set: a loop, or out of memory. */
const char *ll_output_target(ll_arena *arena, const char *path);

/* Where the new file is made and gets its name: "" for the current folder, else ending in a slash. NULL: out of
 * memory. */
const char *ll_output_folder(ll_arena *arena, const char *target);

/* Opens. A regular or new file is written beside its target under another name; a device or pipe is written in place.
 * On failure LL_BAD_OUTPUT or LL_NO_MEMORY with a sentence (without the path), nothing is left behind and nothing
 * is open. */
ll_status ll_output_open(ll_output *output, const char *path, ll_error *error);

/* A leadline_write; `context` is the ll_output. */
int ll_output_write(void *context, const void *bytes, size_t size);

/* Closes; a file is on the disk and under its name on success, with the permission bits of the file that it replaces.
 * On failure, or if an earlier write failed, LL_BAD_OUTPUT with a sentence, and an existing file is as it was. */
ll_status ll_output_finish(ll_output *output, ll_error *error);

/* Closes and leaves no trace of a file; an existing file is as it was. */
void ll_output_drop(ll_output *output);

#endif
