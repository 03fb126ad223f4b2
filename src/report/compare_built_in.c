/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a page calls built in, held against what is. */
#include <math.h>
#include <string.h>

#include "base/settings.h"
#include "report/compare_parts.h"

static void push(ll_comparing *c, const char *key)
{
    c->step[c->depth++] = (ll_step){.key = key, .length = strlen(key)};
}

static const char *printed(ll_comparing *c, double value)
{
    return isnan(value) ? "none" : ll_compare_number(c, value);
}

static void compare_built_in(ll_comparing *c, const char *what, double page, double today)
{
    if (ll_compare_is_near(page, today) || (isnan(page) && isnan(today)))
        return;
    push(c, what);
    ll_compare_tell(c, printed(c, page), printed(c, today), 1, 0);
    c->depth--;
}

static void compare_settings(ll_comparing *c, const ll_settings *page)
{
    ll_settings own;
    ll_settings_built_in(&own);
    const struct {
        const char *name;
        ll_origin origin;
        double page, own;
    } rows[] = {
        {"model", page->model_origin, page->model, own.model},
        {"gf_low", page->gf_origin, page->gf_low_percent, own.gf_low_percent},
        {"gf_high", page->gf_origin, page->gf_high_percent, own.gf_high_percent},
        {"water_kg_m3", page->water_origin, page->water_kg_m3, own.water_kg_m3},
        {"surface_bar", page->surface_origin, page->surface_bar, own.surface_bar},
        {"narcotic_oxygen", page->narcotic_origin, page->narcotic_oxygen, own.narcotic_oxygen},
        {"last_stop_m", page->last_stop_origin, page->last_stop_m, own.last_stop_m},
        {"rmv_l_min", page->rmv_origin, page->rmv_l_min, own.rmv_l_min},
    };
    c->inside = "built-in settings, ";
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        if (rows[i].origin == LL_BUILT_IN)
            compare_built_in(c, rows[i].name, rows[i].page, rows[i].own);
}

static void compare_limits(ll_comparing *c, const ll_limits *page)
{
    c->inside = "built-in limits, ";
    for (int kind = 0; kind < LL_FINDING_KINDS; kind++) {
        const ll_limit *limit = &page->of[kind], *own = &ll_kind_table[kind].limit;
        if (limit->origin != LL_BUILT_IN)
            continue;
        push(c, ll_kind_table[kind].key);
        compare_built_in(c, "note", limit->note, own->note);
        compare_built_in(c, "caution", limit->caution, own->caution);
        compare_built_in(c, "serious", limit->serious, own->serious);
        c->depth--;
    }
}

void ll_compare_built_in(ll_comparing *c, const ll_claims *page)
{
    compare_settings(c, &page->settings);
    compare_limits(c, &page->limits);
}
