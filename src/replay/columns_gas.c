/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "base/units.h"
#include "model/gas.h"
#include "replay/column.h"
#include "replay/leg.h"

typedef struct {
    double o2, n2, he; /* bar */
} partials;

/* The columns being filled; NULL where not asked for. */
typedef struct {
    double *ambient, *o2, *he, *po2, *end_n2, *end_n2o2, *density;
} gas_columns;

static partials breathed_at(const ll_profile *profile, const ll_breathed *gas, size_t sample)
{
    double ambient = ll_ambient_bar(profile, profile->depth_m[sample]);
    if (!gas->known)
        return (partials){NAN, NAN, NAN};
    if (!gas->loop)
        return (partials){gas->o2 * ambient, gas->n2 * ambient, gas->he * ambient};
    double o2 = ll_po2_bar(gas, ambient, ll_recorded_po2_bar(profile, sample));
    double inert = fmax(ambient - o2, 0), share = gas->n2 + gas->he;
    if (!(share > 0))
        return (partials){o2, 0, 0};
    return (partials){o2, inert * (gas->n2 / share), inert * (gas->he / share)};
}

static partials surface_air(const ll_profile *profile)
{
    return (partials){LL_AIR_O2 * profile->surface_bar, LL_AIR_N2 * profile->surface_bar, 0};
}

static void put(const gas_columns *to, size_t at, const ll_profile *profile, partials p)
{
    bool known = !isnan(p.o2);
    if (to->po2)
        to->po2[at] = p.o2 / LL_BAR_PER_ATM;
    if (to->end_n2)
        to->end_n2[at] = known ? ll_end_n2_m(p.n2, profile->surface_bar, profile->bar_per_m) : NAN;
    if (to->end_n2o2)
        to->end_n2o2[at] = known ? ll_end_n2o2_m(p.n2, p.o2, profile->surface_bar, profile->bar_per_m) : NAN;
    if (to->density)
        to->density[at] = known ? ll_density_g_l(p.o2, p.n2, p.he) : NAN;
}

static void fill_span(const gas_columns *to, const ll_profile *profile, const ll_breathed *gas)
{
    const partials air = surface_air(profile);
    for (size_t i = gas->first; i < gas->end; i++) {
        if (to->ambient)
            to->ambient[i] = ll_ambient_bar(profile, profile->depth_m[i]);
        if (to->o2)
            to->o2[i] = gas->known ? gas->o2 : NAN;
        if (to->he)
            to->he[i] = gas->known ? gas->he : NAN;
        put(to, i, profile, ll_is_surface_row(profile, i) ? air : breathed_at(profile, gas, i));
    }
}

static double *span_ends(ll_track *track, ll_quantity quantity, ll_quantities wanted, ll_arena *arena, bool *no_memory)
{
    if (!(wanted & LL_SET(quantity)))
        return NULL;
    double *ends = ll_arena_array(arena, track->profile->breathed_count, sizeof *ends);
    if (!ends)
        *no_memory = true;
    track->at_span_end[quantity] = ends;
    return ends;
}

static void fill_span_ends(const gas_columns *to, const ll_profile *profile)
{
    for (size_t s = 0; s < profile->breathed_count; s++) {
        const ll_breathed *gas = &profile->breathed[s];
        size_t last = gas->end < profile->count ? gas->end : profile->count - 1;
        put(to, s, profile, ll_is_surface_row(profile, last) ? surface_air(profile) : breathed_at(profile, gas, last));
    }
}

static const ll_quantities of_gas = LL_SET(LL_AMBIENT) | LL_SET(LL_MIX_O2) | LL_SET(LL_MIX_HE) | LL_SET(LL_PO2) |
                                    LL_SET(LL_END_N2) | LL_SET(LL_END_N2O2) | LL_SET(LL_DENSITY);

bool ll_columns_of_gas(ll_track *track, ll_quantities wanted, ll_arena *arena)
{
    const ll_profile *profile = track->profile;
    bool no_memory = false;
    if (!(wanted & of_gas))
        return true;
    gas_columns rows = {
        .ambient = ll_column_new(track, LL_AMBIENT, wanted, arena, &no_memory),
        .o2 = ll_column_new(track, LL_MIX_O2, wanted, arena, &no_memory),
        .he = ll_column_new(track, LL_MIX_HE, wanted, arena, &no_memory),
        .po2 = ll_column_new(track, LL_PO2, wanted, arena, &no_memory),
        .end_n2 = ll_column_new(track, LL_END_N2, wanted, arena, &no_memory),
        .end_n2o2 = ll_column_new(track, LL_END_N2O2, wanted, arena, &no_memory),
        .density = ll_column_new(track, LL_DENSITY, wanted, arena, &no_memory),
    };
    gas_columns ends = {
        .po2 = span_ends(track, LL_PO2, wanted, arena, &no_memory),
        .end_n2 = span_ends(track, LL_END_N2, wanted, arena, &no_memory),
        .end_n2o2 = span_ends(track, LL_END_N2O2, wanted, arena, &no_memory),
        .density = span_ends(track, LL_DENSITY, wanted, arena, &no_memory),
    };
    if (no_memory)
        return false;
    for (size_t s = 0; s < profile->breathed_count; s++)
        fill_span(&rows, profile, &profile->breathed[s]);
    fill_span_ends(&ends, profile);
    return true;
}
