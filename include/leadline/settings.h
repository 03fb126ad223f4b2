/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a replay may be told. Part of the door. */
#ifndef LEADLINE_SETTINGS_H
#define LEADLINE_SETTINGS_H

#include <stdbool.h>

#include <leadline/status.h>

#ifdef __cplusplus
extern "C" {
#endif

typedef enum ll_origin { LL_BUILT_IN, LL_COMMAND_LINE, LL_FROM_LOG, LL_FROM_STANDARD } ll_origin;
typedef enum ll_model { LL_ZH_L16A, LL_ZH_L16B, LL_ZH_L16C, LL_VVAL_18, LL_MN90 } ll_model;

/* Density the recorder was set to. */
typedef enum ll_water { LL_WATER_NUMBER, LL_WATER_FROM_LOG } ll_water;

struct ll_standard;

typedef struct ll_settings {
    ll_model model;
    double gf_low_percent; /* 0 < low <= high <= 100; not used with a model that has no gradient factors */
    double gf_high_percent;
    bool gf_from_log; /* the log's factors where it holds usable ones */
    ll_water water;
    double water_kg_m3; /* used with LL_WATER_NUMBER, and where a log gives none */
    double surface_bar; /* NaN: from the log, else from the altitude, else 1.01325 */
    double last_stop_m; /* 3..9 */
    bool narcotic_oxygen; /* which END the narcosis limit looks at */
    bool assume_air;      /* an unknown mix counts as air */
    double rmv_l_min;     /* the gas margin afterwards: of each of two divers, L/min at 1 bar; over 0, at most 300 */
    bool firm;            /* findings carry whether they stand against recorder error */
    const struct ll_standard *standard; /* that was applied to them, or NULL; must outlive all that is made with them */
    ll_origin model_origin, gf_origin, water_origin, surface_origin, last_stop_origin, narcotic_origin, rmv_origin;
} ll_settings;

#ifdef __cplusplus
}
#endif

#endif
