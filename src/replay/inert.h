/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The inert gas in a diver by the model that a replay goes by: one state for all of them, one row a model. Limits are asked
 * for with the factors, surface and water of a dive; factors and anchor count with ZH-L16 only. */
#ifndef LL_REPLAY_INERT_H
#define LL_REPLAY_INERT_H

#include "model/limit.h"
#include "model/linear.h"
#include "model/ratio.h"
#include "replay/leg.h"

typedef struct ll_inert {
    ll_model model; /* tells which of these holds */
    union {
        ll_tissues zh_l16;
        ll_linear linear;
        ll_ratio ratio;
    };
} ll_inert;

/* What limits come to at one instant; filled as far as it was asked for. */
typedef struct ll_bounds {
    double ceiling_m; /* shallowest depth >= 0 at which every compartment is within limits; below 0.01 m it is 0 */
    double gradient_percent; /* largest 100 (Pt - P)/(L - P), L being what a compartment may have at ambient P */
    int leading;             /* the compartment that gives it, from 1 */
    double headroom_bar[LL_COMPARTMENTS]; /* what each may have here, less what it has */
} ll_bounds;

typedef struct ll_inert_row {
    int compartments;
    const char *covers; /* in words, behind "covers"; NULL: every mix */
    bool (*is_covered)(const ll_breathed *gas); /* NULL like that */
    void (*rest)(ll_inert *inert, double surface_bar);
    void (*breathe)(ll_inert *inert, const ll_leg *leg, ll_decays *decays);
    void (*look)(const ll_inert *inert, ll_factors *factors, double depth_m, ll_quantities wanted, ll_bounds *bounds);
    void (*raise)(const ll_inert *inert, ll_factors *factors, ll_floor *floor); /* NULL: factors do not apply */
    bool (*is_clear)(const ll_inert *inert, const ll_factors *factors, double depth_m); /* NULL: never told */
    double (*anchor_m)(const ll_inert *inert, const ll_factors *factors);       /* NULL as for raise */
    double (*wait_s)(const ll_inert *inert, const ll_factors *factors, const ll_leg *here, double level_m);
    double (*no_stop_s)(const ll_inert *inert, const ll_factors *factors, const ll_leg *here);
    double (*step_m)(double bar_per_m);
    double (*n2_bar)(const ll_inert *inert, int compartment); /* from 0 */
    double (*he_bar)(const ll_inert *inert, int compartment); /* NULL: no helium */
} ll_inert_row;

extern const ll_inert_row *const ll_inert_table[LL_MODELS];

/* The first mix breathed in the run time (or on the descent put before a record) that a model does not cover; NULL: none.
 * Unknown gas is not looked at. */
const ll_breathed *ll_inert_uncovered(ll_model model, const ll_profile *profile);

/* At rest at a surface pressure (bar): saturated with air. */
void ll_inert_rest(ll_inert *inert, ll_model model, double surface_bar);

/* One leg on a gas that the model covers. `decays` NULL: its length will hardly come again, nothing is kept. */
static inline void ll_inert_breathe(ll_inert *inert, const ll_leg *leg, ll_decays *decays)
{
    ll_inert_table[inert->model]->breathe(inert, leg, decays);
}

/* Raises the anchor to what the present tissues ask for, then fills what is wanted out of ceiling or stop, gradient or
 * leading compartment, and LL_SET_HEADROOM. In surface time depth_m is 0. */
static inline void ll_inert_look(const ll_inert *inert, ll_factors *factors, double depth_m, ll_quantities wanted,
                                 ll_bounds *bounds)
{
    ll_inert_table[inert->model]->look(inert, factors, depth_m, wanted, bounds);
}

/* Raises the anchor as ll_inert_look does, and fills nothing. `floor` belongs to one run of a dive, all zero at first. */
static inline void ll_inert_raise(const ll_inert *inert, ll_factors *factors, ll_floor *floor)
{
    if (ll_inert_table[inert->model]->raise)
        ll_inert_table[inert->model]->raise(inert, factors, floor);
}

/* True only where the ceiling certainly lies at this depth (m) or above it, the anchor being raised already. Cheap; false says
 * nothing. */
static inline bool ll_inert_is_clear(const ll_inert *inert, const ll_factors *factors, double depth_m)
{
    const ll_inert_row *row = ll_inert_table[inert->model];
    return row->is_clear && row->is_clear(inert, factors, depth_m);
}

/* The anchor that the present tissues ask for, m, may be negative; 0 where the model has none. */
double ll_inert_anchor_m(const ll_inert *inert, const ll_factors *factors);

/* Raises the running anchor of ZH-L16 where any compartment asks for more than it; what it asks for is computed only then. */
void ll_anchor_raise(ll_factors *factors, const ll_load *load);

/* Seconds of staying (`here`: both its ends alike) until level_m may be entered; 0: now; NaN beyond 24 h. */
double ll_inert_wait_s(const ll_inert *inert, const ll_factors *factors, const ll_leg *here, double level_m);

/* Seconds of staying until the surface may no longer be entered; 0: not now; NaN beyond 24 h. */
double ll_inert_no_stop_s(const ll_inert *inert, const ll_factors *factors, const ll_leg *here);

/* Between two stops, m, in water of bar_per_m. The last one is at least as deep. */
double ll_inert_step_m(ll_model model, double bar_per_m);

/* Nitrogen and helium in a compartment, from 0; bar; NaN where the model has no such compartment, or no helium. */
double ll_inert_n2_bar(const ll_inert *inert, int compartment);
double ll_inert_he_bar(const ll_inert *inert, int compartment);

#endif
