/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Inputs as bytes: a file, or "-" for standard input. */
#ifndef LL_CLI_INPUT_H
#define LL_CLI_INPUT_H

#include <stddef.h>

#include <leadline/status.h>

struct ll_reading_bar;

typedef struct ll_input {
    int descriptor;
    int reason;        /* error number of a failed read, else 0 */
    size_t file_bytes; /* size of a regular file when it was opened; else 0 */
    struct ll_reading_bar *bar; /* is told what is read; NULL once opened */
} ll_input;

/* LL_BAD_INPUT with a sentence (without the path) where there is no such file, it is a directory, or it may
 * not be read. */
ll_status ll_input_open(ll_input *input, const char *path, ll_error *error);

/* A leadline_read; `context` is the ll_input. */
ptrdiff_t ll_input_read(void *context, void *bytes, size_t capacity);

/* Closes what ll_input_open opened; standard input stays open. */
void ll_input_close(ll_input *input);

/* The name that outputs carry: the path's last part. */
const char *ll_input_name(const char *path);

#endif
