/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The one temporary file that stands for an output until it is whole. SIGINT, SIGTERM, SIGHUP and SIGQUIT remove it
 * before they end the program. At most one at a time; called while no other thread runs. */
#ifndef LL_CLI_PENDING_H
#define LL_CLI_PENDING_H

#include <sys/types.h>

/* Makes a new file in `folder` ("" for the current one, else ending in a slash) with the permission bits `mode` less
 * the umask. Returns its descriptor, open for writing, or -1 with errno set. */
int ll_pending_create(const char *folder, mode_t mode);

/* Gives the temporary file its final name, replacing what is there. 0, or -1 with errno set (the file still stands). */
int ll_pending_rename(const char *target);

/* Removes the temporary file, if there is one. */
void ll_pending_remove(void);

#endif
