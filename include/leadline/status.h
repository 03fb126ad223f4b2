/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How a call ended. Shared by the door and every layer. */
#ifndef LEADLINE_STATUS_H
#define LEADLINE_STATUS_H

#ifdef __cplusplus
extern "C" {
#endif

/* LL_OK is 0; every other value means "no result". */
typedef enum ll_status {
    LL_OK = 0,
    LL_BAD_USAGE,  /* an argument or option that makes no sense */
    LL_BAD_INPUT,  /* an input that could not be used */
    LL_BAD_OUTPUT, /* an output that could not be written */
    LL_NO_MEMORY   /* the allocator returned NULL */
} ll_status;

/* One piece of bad news: what kind, where, and one short sentence.
 * Owned by the caller; every function that takes one accepts NULL. */
typedef struct ll_error {
    ll_status status;
    long line; /* line of the input, from 1; 0 where there is none */
    char text[256];
} ll_error;

#ifdef __cplusplus
}
#endif

#endif
