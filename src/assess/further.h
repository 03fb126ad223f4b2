/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Models other than the replay's own, each with its own tissues and its own rule for stops. Used inside this layer
 * only. */
#ifndef LL_ASSESS_FURTHER_H
#define LL_ASSESS_FURTHER_H

#include "model/linear.h"
#include "model/ratio.h"
#include "replay/passage.h"
#include "replay/surface.h"

typedef union ll_further_tissues {
    ll_linear linear;
    ll_ratio ratio;
} ll_further_tissues;

typedef struct ll_further_model {
    const char *key, *name, *covers; /* covers: the words behind "covers" */
    bool (*is_covered)(const ll_breathed *gas);
    void (*rest)(ll_further_tissues *tissues, double surface_bar);
    void (*step)(ll_further_tissues *tissues, double minutes, const double ambient_bar[2], const double po2_bar[2]);
    double (*wait_min)(const ll_further_tissues *tissues, double ambient_bar, double po2_bar, double level_bar);
    double (*step_bar)(const ll_profile *profile); /* between two stops */
} ll_further_model;

enum { LL_FURTHER_MODELS = 2 };
extern const ll_further_model ll_further_models[LL_FURTHER_MODELS];

/* True if the model covers every known gas breathed within the run time. */
bool ll_further_is_covered(const ll_further_model *model, const ll_profile *profile);

void ll_further_breathe(const ll_further_model *model, ll_further_tissues *tissues, const ll_passage_leg *legs,
                        int count);

/* From an instant to the surface by the model's own stops; `po2_bar` as for ll_way_up_from. */
ll_way_up ll_further_way_up(const ll_further_model *model, const ll_profile *profile, const ll_gas_choice *choice,
                            const ll_breathed *now, double po2_bar, const ll_further_tissues *tissues, double depth_m);

#endif
