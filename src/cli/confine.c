/* SPDX-License-Identifier: GPL-3.0-or-later */
#define _DEFAULT_SOURCE /* tzset */
#include "cli/confine.h"

#include <time.h>

#if defined __linux__ && !defined LL_CONFINE_OFF
#include <sys/prctl.h>

bool ll_confine_privileges(void)
{
    return prctl(PR_SET_NO_NEW_PRIVS, 1, 0, 0, 0) == 0;
}

#else

bool ll_confine_privileges(void)
{
    return false;
}

#endif

/* The time zone is in a file: an audit asks for today's date when that can no longer be opened. */
void ll_confine(const ll_options *options)
{
    tzset();
    if (!ll_confine_privileges())
        return;
    ll_confine_files(options);
    ll_confine_calls();
}
