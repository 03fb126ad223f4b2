/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Whether two logs say the same, bit by bit. */
#ifndef LL_TESTS_SAME_LOGS_H
#define LL_TESTS_SAME_LOGS_H

#include "log/log.h"

/* NULL if they do; else what differs first. The digests are compared, the names are not. */
const char *logs_differ(const ll_log *a, const ll_log *b);

#endif
