/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A dive as the replay sees it: settings resolved against the log, run time found, gas of every span known. */
#ifndef LL_REPLAY_PROFILE_H
#define LL_REPLAY_PROFILE_H

#include "base/settings.h"
#include "log/log.h"

/* What is breathed over samples [first, end), see ll_span. */
typedef struct ll_breathed {
    size_t first, end;
    bool known;  /* false: gas unknown, everything that depends on it is missing */
    bool loop;
    int mix;     /* index into the log's mixes, or LL_MIX_UNKNOWN (also where air stands in for it) */
    double o2, he, n2; /* fractions; n2 = 1 - o2 - he */
    double set_point_bar; /* NaN: none */
} ll_breathed;

#define LL_BEGINS_BELOW_M 0.5 /* a record whose first sample is deeper begins under water */

typedef struct ll_profile {
    const ll_log *log;
    const ll_dive *dive;
    size_t count;
    const double *time_s;
    const double *depth_m; /* the dive's, or a shifted copy for the firmness question */
    double surface_bar;
    double bar_per_m;
    double water_kg_m3;
    ll_origin surface_origin, water_origin;
    double gf_low, gf_high; /* fractions; 1 where the model has no gradient factors */
    ll_origin gf_origin;
    bool uncovered; /* a gas was breathed that the model does not cover: tissues and what follows from them are missing */

    size_t breathed_count;
    const ll_breathed *breathed;
    /* PO2 recorded on the loop at each sample, bar: median of the sensors, and as calculated by the recorder; linear between
     * the readings of one loop stretch, NaN elsewhere. NULL where the dive has none. */
    const double *measured_bar, *calculated_bar;

    /* Run time (spec: leaving and surfacing, both included). A record that is all surface time has has_run_time false. */
    bool has_run_time;
    bool has_surfacing;
    size_t leaving;
    size_t surfacing; /* the last sample where has_surfacing is false */
    double run_time_s;
    double record_s;
    double greatest_m;    /* over the run time; of the record without one */
    size_t greatest;      /* first sample at it */
    double mean_m;        /* time-weighted over the run time; NaN without one */
    size_t ascent_start;  /* sample; valid with has_run_time */
    double interval_s;    /* median time between samples; NaN below two; filled where notes are asked for */
    size_t bottom_end;    /* sample: the start of the ascent, or an earlier switch to a richer mix after the greatest depth */
} ll_profile;

/* Resolves `dive` (with at least one sample) under `settings`. Results live in `arena`; notes go to `notes`. */
ll_status ll_profile_make(const ll_log *log, const ll_dive *dive, const ll_settings *settings, ll_arena *arena,
                          ll_notes *notes, ll_profile *profile, ll_error *error);

/* Interval i lies between samples i and i + 1; in surface time the diver breathes air at the surface pressure. */
static inline bool ll_is_surface_interval(const ll_profile *profile, size_t interval)
{
    return !profile->has_run_time || interval < profile->leaving ||
           (profile->has_surfacing && interval >= profile->surfacing);
}

static inline bool ll_is_surface_row(const ll_profile *profile, size_t sample)
{
    return !profile->has_run_time || sample < profile->leaving ||
           (profile->has_surfacing && sample > profile->surfacing);
}

/* Ambient pressure, bar. */
static inline double ll_ambient_bar(const ll_profile *profile, double depth_m)
{
    return profile->surface_bar + profile->bar_per_m * depth_m;
}

/* Surface pressure (bar) of a dive by settings, log, altitude, standard, in that order. */
double ll_surface_pressure_bar(const ll_log *log, const ll_dive *dive, const ll_settings *settings, ll_origin *origin);

#endif
