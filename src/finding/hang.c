/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "finding/finding.h"

const char *const ll_hang_names[LL_HANGS] = {"depth", "water", "rate-resolution", "mix"};
