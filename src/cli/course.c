/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/course.h"

#include "base/error.h"
#include "cli/input.h"
#include "cli/say.h"

ll_status ll_course_read(const char *path, ll_standard **standard, ll_error *error)
{
    ll_input input;
    char words[128];
    *standard = NULL;
    ll_status status = ll_input_open(&input, path, error);
    if (status != LL_OK)
        return status;
    status = leadline_standard_read(ll_input_name(path), ll_input_read, &input, standard, error);
    if (status == LL_BAD_INPUT && input.reason != 0)
        ll_fail(error, LL_BAD_INPUT, 0, "cannot be read: %s", ll_reason(input.reason, words, sizeof words));
    ll_input_close(&input);
    return status;
}
