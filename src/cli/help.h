/* SPDX-License-Identifier: GPL-3.0-or-later */
/* --help and --version, on standard output, from the tables. Each returns the exit code. */
#ifndef LL_CLI_HELP_H
#define LL_CLI_HELP_H

#include "cli/options.h"

/* Of the command where one is named, else of the whole tool. */
int ll_help(const ll_options *options);

int ll_help_version(const ll_options *options);

#endif
