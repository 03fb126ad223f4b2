/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "close.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

bool is_close(double actual, double expected, double absolute, double relative)
{
    if (isinf(actual) || isinf(expected))
        return actual == expected;
    return fabs(actual - expected) <= absolute + relative * fabs(expected);
}

void assert_close_at(double actual, double expected, double absolute, double relative, const char *what,
                     const char *file, int line)
{
    if (is_close(actual, expected, absolute, relative))
        return;
    print_error("%s is %.17g, expected %.17g within %.3g absolute + %.3g relative\n", what, actual, expected, absolute,
                relative);
    _fail(file, line);
}
