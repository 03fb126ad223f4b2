/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/numeric.h"

#include <assert.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_fft_halfcomplex.h>
#include <gsl/gsl_fft_real.h>
#include <stdint.h>
#include <string.h>

/* The least power of two that holds all lags; 0 if two arrays of it could not be addressed. */
static size_t padded_length(size_t first_count, size_t other_count)
{
    const size_t most = SIZE_MAX / 8 / sizeof(double);
    if (first_count > most || other_count > most)
        return 0;
    size_t length = 1;
    while (length < first_count + other_count - 1)
        length *= 2;
    return length;
}

/* first * conjugate(other), both half complex: the real part of term k at k, the imaginary part at length - k. */
static void multiply(double *first, const double *other, size_t length)
{
    first[0] *= other[0];
    for (size_t k = 1; k < length - k; k++) {
        const double real = first[k], imaginary = first[length - k];
        first[k] = real * other[k] + imaginary * other[length - k];
        first[length - k] = imaginary * other[k] - real * other[length - k];
    }
    if (length > 1)
        first[length / 2] *= other[length / 2];
}

/* Of a power of two: neither call allocates nor has anything else to refuse. */
static void correlate(double *first, double *other, size_t length)
{
    int status = gsl_fft_real_radix2_transform(first, 1, length);
    status |= gsl_fft_real_radix2_transform(other, 1, length);
    multiply(first, other, length);
    status |= gsl_fft_halfcomplex_radix2_inverse(first, 1, length);
    assert(status == GSL_SUCCESS);
    (void)status;
}

ll_status ll_correlate(const double *first, size_t first_count, const double *other, size_t other_count, double *sums,
                       const ll_allocator *allocator, ll_error *error)
{
    assert(first_count > 0 && other_count > 0);
    const size_t length = padded_length(first_count, other_count);
    ll_arena arena;
    ll_arena_open(&arena, allocator);
    double *a = length ? ll_arena_array(&arena, length, sizeof *a) : NULL;
    double *b = a ? ll_arena_array(&arena, length, sizeof *b) : NULL;
    if (b) {
        memcpy(a, first, first_count * sizeof *a);
        memcpy(b, other, other_count * sizeof *b);
        correlate(a, b, length);
        /* The lags below 0 stand at the end of the cycle. */
        memcpy(sums, a + length - (other_count - 1), (other_count - 1) * sizeof *sums);
        memcpy(sums + other_count - 1, a, first_count * sizeof *sums);
    }
    ll_arena_close(&arena);
    return b ? LL_OK : ll_fail_memory(error);
}
