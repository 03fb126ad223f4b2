/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Errors are values: a code, a place, one short sentence. */
#ifndef LL_BASE_ERROR_H
#define LL_BASE_ERROR_H

#include <leadline/status.h>

/* Fills `error` (may be NULL) with status, line and a printf-style sentence, and returns `status`,
 * so that a stage can end with `return ll_fail(error, LL_BAD_INPUT, line, "...")`.
 * A sentence longer than the field is cut at the end. */
ll_status ll_fail(ll_error *error, ll_status status, long line, const char *format, ...)
    __attribute__((format(printf, 4, 5)));

/* The one sentence for exhausted memory. Returns LL_NO_MEMORY. */
ll_status ll_fail_memory(ll_error *error);

#endif
