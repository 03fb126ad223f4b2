/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a replay may be told, and where each value came from. Public through the door. */
#ifndef LL_BASE_SETTINGS_H
#define LL_BASE_SETTINGS_H

#include <leadline/settings.h>

/* "built-in", "command line", "log", "standard". */
extern const char *const ll_origin_names[4];

typedef struct ll_model_words {
    const char *key;   /* in options and JSON: "zh-l16a" */
    const char *name;  /* "ZH-L16A" */
    const char *title; /* the name, or more of it */
    bool has_factors;  /* gradient factors apply */
} ll_model_words;

enum { LL_MODELS = LL_MN90 + 1 };
extern const ll_model_words ll_model_table[LL_MODELS];

/* ZH-L16C, 50/80, 1019.716 kg/m3 (10 m = 1 bar), surface from the log, last stop 3 m, oxygen narcotic. */
void ll_settings_built_in(ll_settings *settings);

/* LL_OK, or LL_BAD_USAGE with a sentence: factors 0 < low <= high <= 100, and none asked for with a model that has none,
 * last stop 3..9 m, density 900..1300 kg/m3 where given as a number, surface 0.5..1.1 bar. */
ll_status ll_settings_check(const ll_settings *settings, ll_error *error);

#endif
