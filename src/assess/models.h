/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What other models and other factors would have asked for at the start of the ascent: how much of what was owed
 * hangs on the choice of a model. */
#ifndef LL_ASSESS_MODELS_H
#define LL_ASSESS_MODELS_H

#include "replay/instants.h"

enum { LL_FACTOR_SETS = 4, LL_FURTHER_MODELS = 2, LL_MODEL_ROWS = LL_FACTOR_SETS + 1 + LL_FURTHER_MODELS };

typedef struct ll_model_row {
    ll_model model;
    double gf_low_percent, gf_high_percent; /* NaN where the model has none */
    bool as_replayed;   /* what the debrief itself was made with */
    const char *covers; /* NULL; or the model covers something else than what was breathed, in words */
    ll_way_up way;      /* NaN where it is not covered, or beyond 24 h */
} ll_model_row;

typedef struct ll_models {
    bool known; /* what was owed is known; else the rest is empty */
    size_t count;
    ll_model_row row[LL_MODEL_ROWS];
    double least_owed_s, greatest_owed_s; /* over the rows that are covered; NaN beyond 24 h */
} ll_models;

/* ZH-L16 with the replay's factors and with 30/70, 50/80, 85/95, 100/100, each with its own anchor; then the models without
 * factors. The replay's own model goes on from the tissues that the replay has at the start of the ascent, the others from
 * rest at the surface pressure over this record alone; where the replay's is no ZH-L16, set C stands for it. All go up at
 * 9 m/min with the mixes of this dive. `owed` is that of the track. False if memory ran out. */
bool ll_models_make(const ll_track *track, const ll_settings *settings, const ll_state *start, bool owed_known,
                    const ll_way_up *owed, ll_arena *arena, ll_models *models);

#endif
