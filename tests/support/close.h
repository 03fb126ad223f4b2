/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Comparing numbers in tests: prints 17 digits, fails on NaN. */
#ifndef LL_TESTS_CLOSE_H
#define LL_TESTS_CLOSE_H

#include <stdbool.h>

/* True if |actual - expected| <= absolute + relative |expected|; false if either is NaN or an infinity that the other
 * is not. */
bool is_close(double actual, double expected, double absolute, double relative);

/* Fails the running cmocka test, with the figures, unless is_close. */
#define assert_close(actual, expected, absolute, relative) \
    assert_close_at((actual), (expected), (absolute), (relative), #actual, __FILE__, __LINE__)

void assert_close_at(double actual, double expected, double absolute, double relative, const char *what,
                     const char *file, int line);

#endif
