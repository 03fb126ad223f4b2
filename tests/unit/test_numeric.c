/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Numerical methods, against direct sums and small cases done by hand. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "allocator.h"
#include "base/numeric.h"
#include "close.h"

enum { MOST = 700 };

/* A small generator of its own, so that every machine draws the same. */
static double chance(uint64_t *state)
{
    *state = *state * 6364136223846793005u + 1442695040888963407u;
    return (double)(*state >> 11) / 9007199254740992.0;
}

static void draw(double *values, size_t count, uint64_t seed)
{
    for (size_t i = 0; i < count; i++)
        values[i] = 100 * chance(&seed) - 20;
}

/* The definition, term by term. */
static double direct_sum(const double *first, size_t first_count, const double *other, size_t other_count, long lag)
{
    double sum = 0;
    for (size_t i = 0; i < other_count; i++) {
        const long at = (long)i + lag;
        if (at >= 0 && at < (long)first_count)
            sum += first[at] * other[i];
    }
    return sum;
}

static double square_sum(const double *values, size_t count)
{
    return direct_sum(values, count, values, count, 0);
}

/* By hand: 1 2 3 against 4 5. Lag -1: 1*5. Lag 0: 1*4 + 2*5. Lag 1: 2*4 + 3*5. Lag 2: 3*4. */
static void hand_values_come_out(void **state)
{
    (void)state;
    const double first[] = {1, 2, 3}, other[] = {4, 5}, expected[] = {5, 14, 23, 12};
    double sums[4];
    assert_int_equal(ll_correlate(first, 3, other, 2, sums, &ll_heap, NULL), LL_OK);
    for (int i = 0; i < 4; i++)
        assert_close(sums[i], expected[i], 1e-13, 0);
}

/* By hand: 6 against 7; and 6 against 7 0 2, where only the order of the lags is left to see. */
static void short_series_come_out(void **state)
{
    (void)state;
    const double first[] = {6}, other[] = {7, 0, 2}, expected[] = {12, 0, 42};
    double sums[3];
    assert_int_equal(ll_correlate(first, 1, other, 1, sums, &ll_heap, NULL), LL_OK);
    assert_close(sums[0], 42, 1e-13, 0);
    assert_int_equal(ll_correlate(first, 1, other, 3, sums, &ll_heap, NULL), LL_OK);
    for (int i = 0; i < 3; i++)
        assert_close(sums[i], expected[i], 1e-13, 0);
}

/* Lengths about powers of two, where padding that is one too short would wrap around. */
static void sums_equal_the_direct_ones(void **state)
{
    (void)state;
    static const size_t counts[][2] = {{2, 2},   {3, 2},   {4, 5},     {5, 5},     {16, 17},
                                       {64, 1},  {1, 64},  {129, 128}, {128, 129}, {500, 13},
                                       {13, 500}, {700, 325}, {350, 350}};
    static double first[MOST], other[MOST], sums[2 * MOST];
    for (size_t n = 0; n < sizeof counts / sizeof *counts; n++) {
        const size_t a = counts[n][0], b = counts[n][1];
        draw(first, a, 11 + n);
        draw(other, b, 977 + n);
        const double size = sqrt(square_sum(first, a) * square_sum(other, b));
        sums[a + b - 1] = 4711;
        assert_int_equal(ll_correlate(first, a, other, b, sums, &ll_heap, NULL), LL_OK);
        for (size_t i = 0; i < a + b - 1; i++)
            assert_close(sums[i], direct_sum(first, a, other, b, (long)i - (long)(b - 1)), 1e-14 * size, 0);
        assert_true(sums[a + b - 1] == 4711);
    }
}

static void refused_memory_is_reported(void **state)
{
    (void)state;
    const double first[] = {1, 2, 3}, other[] = {4, 5};
    ll_status status = LL_NO_MEMORY;
    size_t refused = 0;
    for (size_t from = 1; status == LL_NO_MEMORY; from++, refused++) {
        double sums[4] = {-1, -1, -1, -1};
        ll_error error = {0};
        test_heap heap;
        test_heap_open(&heap, from);
        status = ll_correlate(first, 3, other, 2, sums, &heap.allocator, &error);
        assert_int_equal(heap.live, 0);
        assert_int_equal(error.status, status);
        assert_true(status == LL_OK || sums[0] == -1);
    }
    assert_int_equal(status, LL_OK);
    assert_true(refused > 1);
}

static void lengths_past_all_memory_are_refused(void **state)
{
    (void)state;
    const double value = 1;
    double sum = -1;
    assert_int_equal(ll_correlate(&value, SIZE_MAX / 2, &value, 1, &sum, &ll_heap, NULL), LL_NO_MEMORY);
    assert_int_equal(ll_correlate(&value, 1, &value, SIZE_MAX, &sum, &ll_heap, NULL), LL_NO_MEMORY);
    assert_true(sum == -1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(hand_values_come_out),
        cmocka_unit_test(short_series_come_out),
        cmocka_unit_test(sums_equal_the_direct_ones),
        cmocka_unit_test(refused_memory_is_reported),
        cmocka_unit_test(lengths_past_all_memory_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
