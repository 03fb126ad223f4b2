/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "assess/switches.h"

const char *const ll_switch_order_names[LL_SWITCH_ORDERS] = {"unknown", "richer", "leaner", "break", "back"};
