/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The replay of one dive: advance (state after it, cheap) and columns (the quantities asked for, one double a sample). */
#ifndef LL_REPLAY_REPLAY_H
#define LL_REPLAY_REPLAY_H

#include "base/quantity.h"
#include "replay/inert.h"

/* What a dive starts from, and what it leaves. */
typedef struct ll_state {
    ll_inert tissues;
    bool tissues_known;  /* false after an unknown gas, and on a dive that the model does not cover */
    double cns_percent;  /* single exposure, with decay */
    bool cns_lower_bound;
    /* Set by the history, left as it is by the replay of a dive: calendar days in a row with dives, up to the day on which the
     * dive starts (0 counts as 1), and the OTU of the earlier dives on them; NaN after one with unknown gas. */
    unsigned days_in_row;
    double otu_in_row;
} ll_state;

/* What one dive adds to doses. Where part of the gas is unknown `complete` is false and the rest was counted. */
typedef struct ll_doses {
    bool complete;
    double cns_24_h_percent; /* against the 24-hour column, without decay */
    double otu;
} ll_doses;

/* At rest at a surface pressure by a model: saturated with air, no CNS. */
void ll_state_rest(ll_state *state, ll_model model, double surface_bar);

/* Seconds on air at a surface pressure between dives. */
void ll_state_interval(ll_state *state, double surface_bar, double seconds);

/* The state after the last sample of a dive. */
void ll_replay_advance(const ll_profile *profile, ll_state *state, ll_doses *doses);

/* The 24-hour dose of that part of a dive which lies at or after `from_s` on the dive's own clock, percent. A descent put
 * before the record is not in it. */
double ll_replay_dose_24_h(const ll_profile *profile, double from_s);

/* The quantities asked for; a column not asked for is NULL. Values missing for a sample are NaN. */
typedef struct ll_track {
    const ll_profile *profile;
    size_t count;
    const double *column[LL_QUANTITIES];                   /* LL_TISSUES_*: use n2 and he below */
    const double *n2[LL_COMPARTMENTS], *he[LL_COMPARTMENTS]; /* with LL_TISSUES_N2, LL_TISSUES_HE */
    /* With LL_SET_HEADROOM: how far each compartment's load lies below what the replay allows at the present depth, bar:
     * negative where this one puts the depth above the ceiling. NULL for compartments that the model does not have. */
    const double *headroom[LL_COMPARTMENTS];
    /* At the end of each breathed span the value that the span's own gas gives at the sample where it ends (the last
     * sample for the last span). Indexed [quantity][span]; for LL_PO2, LL_END_N2, LL_END_N2O2, LL_DENSITY where asked for. */
    const double *at_span_end[LL_QUANTITIES];
    ll_state end;     /* after the last sample */
    ll_doses doses;   /* of this dive */
    bool cns_above_table; /* some time above 1.6 atm */
    /* Tissues and anchor at the two samples that a debrief asks about; filled with any tissue quantity. */
    ll_inert at_ascent_start, at_surfacing;
    bool tissues_at_ascent_start, tissues_at_surfacing; /* known there */
    double anchor_at_ascent_start_m, anchor_at_surfacing_m;
    double cns_at_surfacing_percent; /* else at the end of the record */
    const struct ll_levels *levels; /* of the profile, where who replays it has found them and puts them here; else NULL */
} ll_track;

/* What the walk through a dive leaves at a sample. */
typedef struct ll_kept {
    ll_inert tissues;
    bool known;      /* the tissues are */
    double anchor_m; /* with any of the quantities that limits give: ceiling, stop, gradient ... */
} ll_kept;

/* Samples that are asked for, and where what is found there goes. */
typedef struct ll_keep {
    size_t count;
    const size_t *sample; /* rising */
    ll_kept *at;          /* NULL: nowhere */
    /* Ceiling, stop, gradient and leading compartment are asked for at these samples alone, and where the diver may stand
     * above the ceiling: there, at the sample before, and until `near_s` after the first sample at which he certainly stands
     * no higher again. Elsewhere they may be NaN, and so they are in surface time. Not with other quantities of limits. Nor
     * are doses asked for where neither CNS nor OTU is: the track does not know them then. */
    bool sparse;
    double near_s;
} ll_keep;

/* As below, and with any tissue quantity fills `keep`. */
ll_status ll_replay_columns_keeping(const ll_profile *profile, const ll_settings *settings, const ll_state *start,
                                    ll_quantities wanted, const ll_keep *keep, ll_arena *arena, ll_track *track,
                                    ll_error *error);

/* Replays from `start`. Results live in `arena`. */
ll_status ll_replay_columns(const ll_profile *profile, const ll_settings *settings, const ll_state *start,
                            ll_quantities wanted, ll_arena *arena, ll_track *track, ll_error *error);

#endif
