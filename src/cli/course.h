/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The course standard from its file. */
#ifndef LL_CLI_COURSE_H
#define LL_CLI_COURSE_H

#include <leadline/leadline.h>

/* On failure *standard is NULL and the sentence does not name the path. */
ll_status ll_course_read(const char *path, ll_standard **standard, ll_error *error);

#endif
