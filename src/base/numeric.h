/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Numerical methods of the GNU Scientific Library behind our own memory and error rules: its default handler ends the
 * process, so every size is checked here first, and none of its own allocations is used. */
#ifndef LL_BASE_NUMERIC_H
#define LL_BASE_NUMERIC_H

#include <stddef.h>

#include "base/arena.h"
#include "base/error.h"

/* Linear cross-correlation of two series, both taken as 0 outside: for every lag from 1 - other_count to
 * first_count - 1
 *     sums[other_count - 1 + lag] = sum over i of first[i + lag] * other[i]
 * so `sums` has room for first_count + other_count - 1 values. Both counts at least 1; finite values.
 *
 * By a real Fourier transform of the power of two that holds all lags: each sum is good to about 1e-15, times the root
 * of the product of both sums of squares, times the logarithm of the length.
 * LL_NO_MEMORY: the allocator refused, or the length does not fit a size_t; `sums` is untouched. */
ll_status ll_correlate(const double *first, size_t first_count, const double *other, size_t other_count, double *sums,
                       const ll_allocator *allocator, ll_error *error);

#endif
