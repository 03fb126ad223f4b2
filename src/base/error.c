/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/error.h"

#include <stdarg.h>
#include <stdio.h>

ll_status ll_fail(ll_error *error, ll_status status, long line, const char *format, ...)
{
    if (error) {
        va_list arguments;
        va_start(arguments, format);
        error->status = status;
        error->line = line;
        vsnprintf(error->text, sizeof error->text, format, arguments);
        va_end(arguments);
    }
    return status;
}

ll_status ll_fail_memory(ll_error *error)
{
    return ll_fail(error, LL_NO_MEMORY, 0, "memory ran out");
}
