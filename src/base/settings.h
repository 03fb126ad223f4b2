/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a replay may be told, and where each value came from. Public through the door. */
#ifndef LL_BASE_SETTINGS_H
#define LL_BASE_SETTINGS_H

#include <leadline/settings.h>

/* "built-in", "command line", "log", "standard". */
extern const char *const ll_origin_names[4];
extern const char *const ll_model_names[3]; /* "zh-l16a" ... */

/* ZH-L16C, 50/80, 1019.716 kg/m3 (10 m = 1 bar), surface from the log, last stop 3 m, oxygen narcotic. */
void ll_settings_built_in(ll_settings *settings);

/* LL_OK, or LL_BAD_USAGE with a sentence: factors 0 < low <= high <= 100, last stop 3..9 m, density 900..1300 kg/m3
 * where given as a number, surface 0.5..1.1 bar. */
ll_status ll_settings_check(const ll_settings *settings, ll_error *error);

#endif
