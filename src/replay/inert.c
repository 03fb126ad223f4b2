/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "replay/inert.h"

#include <math.h>

#include "model/ascent.h"
#include "replay/inert_rows.h"

#define SHALLOWEST_CEILING_M 0.01 /* below it there is none */

const ll_inert_row *const ll_inert_table[LL_MODELS] = {
    [LL_ZH_L16A] = &ll_inert_zh_l16, [LL_ZH_L16B] = &ll_inert_zh_l16, [LL_ZH_L16C] = &ll_inert_zh_l16,
    [LL_VVAL_18] = &ll_inert_linear, [LL_MN90] = &ll_inert_ratio,
};

/* --- shared by the rows --------------------------------------------------------------------------------------- */

double ll_inert_ceiling_m(double tolerated_bar, const ll_factors *factors)
{
    double ceiling_m = (tolerated_bar - factors->surface_bar) / factors->bar_per_m;
    return ceiling_m < SHALLOWEST_CEILING_M ? 0 : ceiling_m;
}

double ll_inert_seconds(double minutes)
{
    double seconds = minutes * 60;
    return seconds <= LL_LONGEST_S ? seconds : NAN;
}

/* --- by the model's row --------------------------------------------------------------------------------------- */

const ll_breathed *ll_inert_uncovered(ll_model model, const ll_profile *profile)
{
    const ll_inert_row *row = ll_inert_table[model];
    for (size_t s = 0; s < profile->breathed_count && row->covers; s++) {
        const ll_breathed *gas = &profile->breathed[s];
        bool within = profile->has_run_time && gas->end > profile->leaving && gas->first < profile->surfacing;
        bool before = s == 0 && profile->depth_m[0] > LL_BEGINS_BELOW_M;
        if ((within || before) && gas->known && !row->is_covered(gas))
            return gas;
    }
    return NULL;
}

void ll_inert_rest(ll_inert *inert, ll_model model, double surface_bar)
{
    inert->model = model;
    ll_inert_table[model]->rest(inert, surface_bar);
}

double ll_inert_anchor_m(const ll_inert *inert, const ll_factors *factors)
{
    const ll_inert_row *row = ll_inert_table[inert->model];
    return row->anchor_m ? row->anchor_m(inert, factors) : 0;
}

double ll_inert_wait_s(const ll_inert *inert, const ll_factors *factors, const ll_leg *here, double level_m)
{
    return ll_inert_table[inert->model]->wait_s(inert, factors, here, level_m);
}

double ll_inert_no_stop_s(const ll_inert *inert, const ll_factors *factors, const ll_leg *here)
{
    return ll_inert_table[inert->model]->no_stop_s(inert, factors, here);
}

double ll_inert_step_m(ll_model model, double bar_per_m)
{
    return ll_inert_table[model]->step_m(bar_per_m);
}

double ll_inert_n2_bar(const ll_inert *inert, int compartment)
{
    const ll_inert_row *row = ll_inert_table[inert->model];
    return compartment < row->compartments ? row->n2_bar(inert, compartment) : NAN;
}

double ll_inert_he_bar(const ll_inert *inert, int compartment)
{
    const ll_inert_row *row = ll_inert_table[inert->model];
    return row->he_bar && compartment < row->compartments ? row->he_bar(inert, compartment) : NAN;
}
