/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "standard/standard.h"

#include <math.h>

void ll_standard_free(ll_standard *standard)
{
    if (!standard)
        return;
    ll_arena arena = standard->arena; /* the standard itself lives in it */
    ll_arena_close(&arena);
}

/* Fractions of at most eight decimals give their percentages exactly as one would write them. */
static double percent_of(double fraction)
{
    return round(fraction * 1e8) / 1e6;
}

static void apply_gradients(const ll_standard_model *model, ll_settings *settings)
{
    if (!model->has_gradients || (settings->gf_origin != LL_BUILT_IN && !settings->gf_from_log))
        return;
    settings->gf_low_percent = percent_of(model->gradient_low);
    settings->gf_high_percent = percent_of(model->gradient_high);
    settings->gf_from_log = false;
    settings->gf_origin = LL_FROM_STANDARD;
}

static void apply_model(const ll_standard_model *model, ll_settings *settings)
{
    apply_gradients(model, settings);
    if (model->has_narcotic_oxygen && settings->narcotic_origin == LL_BUILT_IN) {
        settings->narcotic_oxygen = model->narcotic_oxygen;
        settings->narcotic_origin = LL_FROM_STANDARD;
    }
    if (model->has_last_stop && settings->last_stop_origin == LL_BUILT_IN) {
        settings->last_stop_m = model->last_stop_m;
        settings->last_stop_origin = LL_FROM_STANDARD;
    }
}

void ll_standard_apply(const ll_standard *standard, ll_settings *settings, ll_limits *limits)
{
    if (settings) {
        apply_model(&standard->model, settings);
        settings->standard = standard;
    }
    for (int kind = 0; limits && kind < LL_FINDING_KINDS; kind++)
        if (standard->of[kind].given)
            limits->of[kind] = standard->of[kind].limit;
}
