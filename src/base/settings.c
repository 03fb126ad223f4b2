/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/settings.h"

#include <math.h>

#include "base/error.h"
#include "base/units.h"

const char *const ll_origin_names[4] = {"built-in", "command line", "log", "standard"};

const ll_model_words ll_model_table[LL_MODELS] = {
    [LL_ZH_L16A] = {"zh-l16a", "ZH-L16A", "ZH-L16A", true},
    [LL_ZH_L16B] = {"zh-l16b", "ZH-L16B", "ZH-L16B", true},
    [LL_ZH_L16C] = {"zh-l16c", "ZH-L16C", "ZH-L16C", true},
    [LL_VVAL_18] = {"vval-18", "VVal-18", "Exponential-linear (VVal-18)", false},
    [LL_MN90] = {"mn90", "MN90", "MN90", false},
};

void ll_settings_built_in(ll_settings *settings)
{
    *settings = (ll_settings){
        .model = LL_ZH_L16C,
        .gf_low_percent = 50, /* 50/80: a common choice, no source */
        .gf_high_percent = 80,
        .water = LL_WATER_NUMBER,
        .water_kg_m3 = LL_WATER_EN13319_KG_M3,
        .surface_bar = NAN,
        .last_stop_m = 3,
        .narcotic_oxygen = true,
        .rmv_l_min = 30, /* common practice, no source */
        .firm = true,
    };
}

ll_status ll_settings_check(const ll_settings *settings, ll_error *error)
{
    const ll_model_words *model = &ll_model_table[settings->model];
    if (!model->has_factors && (settings->gf_origin == LL_COMMAND_LINE || settings->gf_from_log))
        return ll_fail(error, LL_BAD_USAGE, 0, "gradient factors do not go with %s, which has none", model->name);
    if (!(settings->gf_low_percent > 0 && settings->gf_low_percent <= settings->gf_high_percent &&
          settings->gf_high_percent <= 100))
        return ll_fail(error, LL_BAD_USAGE, 0, "gradient factors: expected 0 < LOW <= HIGH <= 100 percent");
    if (!(settings->last_stop_m >= 3 && settings->last_stop_m <= 9))
        return ll_fail(error, LL_BAD_USAGE, 0, "last stop: expected 3 to 9 m");
    if (!(settings->water_kg_m3 >= 900 && settings->water_kg_m3 <= 1300))
        return ll_fail(error, LL_BAD_USAGE, 0, "water density: expected 900 to 1300 kg/m3");
    if (!isnan(settings->surface_bar) && !(settings->surface_bar >= 0.5 && settings->surface_bar <= 1.1))
        return ll_fail(error, LL_BAD_USAGE, 0, "surface pressure: expected 0.5 to 1.1 bar");
    if (!(settings->rmv_l_min > 0 && settings->rmv_l_min <= 300))
        return ll_fail(error, LL_BAD_USAGE, 0, "rate of breathing: expected over 0 and at most 300 L/min");
    return LL_OK;
}
