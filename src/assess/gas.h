/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Gas use and gas margin afterwards: what the tanks of a dive gave, and what was left when. Everything describes the
 * past dive; nothing is corrected and nothing is planned. Litres are litres at 1 bar as an ideal gas, pressures of
 * tanks are gauge as recorded, times are on the record's clock. What is not known is NaN. */
#ifndef LL_ASSESS_GAS_H
#define LL_ASSESS_GAS_H

#include "replay/replay.h"

/* Why a rate or a margin is missing, or what is to be known about it. */
typedef enum ll_gas_remark {
    LL_GAS_PLAIN,
    LL_GAS_NO_PRESSURE, /* neither recorded nor stated at both ends */
    LL_GAS_NO_MIX, /* no known mix belongs to the tank */
    LL_GAS_NO_VOLUME,
    LL_GAS_LOOP, /* the mix was breathed on a loop: litres, but no rate */
    LL_GAS_NOT_BREATHED,
    LL_GAS_ROSE, /* more in it at the end than at the start */
    LL_GAS_SHARED, /* several tanks of one mix: the rate is that of the mix */
    LL_GAS_SHARED_UNKNOWN, /* and one of them is not known */
    LL_GAS_NO_TANK, /* of the margin: the mix in use has no tank */
    LL_GAS_NOT_READ, /* or no pressure at that minute */
    LL_GAS_BEYOND, /* the way up is longer than 24 h, or tissues or gas are not known */
    LL_GAS_REMARKS
} ll_gas_remark;

extern const char *const ll_gas_remark_texts[LL_GAS_REMARKS]; /* a clause without a full stop; NULL for the first */

/* One phase of the run time, as far as readings of the tank cover it. */
typedef struct ll_gas_phase {
    double from_s, to_s;
    double used_l, rmv_l_min;
} ll_gas_phase;

/* What a tank held at one instant: nothing is known before its first and after its last reading. */
typedef struct ll_gas_left {
    double bar, content_l;
} ll_gas_left;

typedef struct ll_gas_tank {
    const char *name; /* the tank's name, else its id, else that of its use; NULL if it has none */
    int mix; /* index into the log's mixes, or LL_NONE */
    double volume_l;
    bool recorded; /* pressures are of the record, else as stated */
    double start_s, end_s; /* of the two readings; those of the run time where stated */
    double start_bar,
        end_bar; /* the last reading up to the leaving, the first from the surfacing on; else first and last */
    double used_l;
    double rmv_l_min; /* over the time in which the mix was breathed on open circuit between the readings */
    double mean_bar; /* ambient, over that time */
    double breathed_min;
    ll_gas_remark remark;
    ll_gas_phase bottom,
        ascent; /* to the start of the ascent or an earlier switch to a richer mix; from the start of the ascent */
    const ll_gas_left *left; /* one an instant */
} ll_gas_tank;

typedef enum ll_gas_moment { LL_AT_ASCENT_START, LL_AT_SWITCH, LL_AT_SURFACING } ll_gas_moment;
extern const char *const ll_gas_moment_names[3]; /* "ascent-start", "switch", "surfacing" */

typedef struct ll_gas_instant {
    ll_gas_moment moment;
    double time_s, depth_m;
    int mix; /* breathed from there on; LL_MIX_UNKNOWN where unknown */
} ll_gas_instant;

/* One minute of the bottom phase: what was in the tanks of the mix in use, and what two divers would have needed to
 * reach the next mix or the surface. */
typedef struct ll_gas_minute {
    double time_s, depth_m;
    int mix;
    double recorded_l, needed_l, margin_l;
    double to_m; /* where the next mix was to be had; 0: the surface */
    int next_mix; /* LL_NONE: none, up to the surface */
    ll_gas_remark remark; /* why it is not known */
} ll_gas_minute;

typedef struct ll_gas_margin {
    size_t count; /* 0: no pressures are recorded */
    const ll_gas_minute *minute;
    size_t known; /* minutes with a margin */
    size_t least; /* the minute with the smallest one; valid where any is known */
} ll_gas_margin;

typedef struct ll_gas_use {
    size_t tanks; /* in the order of the log */
    const ll_gas_tank *tank;
    size_t instants; /* in order of time */
    const ll_gas_instant *instant;
    ll_gas_margin margin;
} ll_gas_use;

enum { LL_MARGIN_DIVERS = 2 };

/* Gas use of one dive with a run time; empty without one. used_l = V (p1/Z1 - p2/Z2) / 1 bar, p absolute; Z at the
 * temperature recorded at the sample, else 293.15 K. `start`: what the dive's replay starts from. Doubts about the
 * pressures go to `notes`. LL_OK or LL_NO_MEMORY. */
ll_status ll_gas_use_make(const ll_profile *profile, const ll_settings *settings, const ll_state *start,
                          ll_arena *arena, ll_notes *notes, ll_gas_use *use, ll_error *error);

/* What a tank is called: by its name, else its id, else that of its use; NULL if there is none. */
const char *ll_tank_use_name(const ll_log *log, const ll_tank_use *use);

/* The same of a dive's readings, which may name a tank themselves where they are linked to none. */
const char *ll_tank_name(const ll_log *log, const ll_dive *dive, const ll_series *readings);

#endif
