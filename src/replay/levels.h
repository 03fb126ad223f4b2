/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The levels at which a diver stayed on the way up, and what lies between them: all that depth and mixes alone tell. Times are
 * on the record's clock; what is not known is NaN. */
#ifndef LL_REPLAY_LEVELS_H
#define LL_REPLAY_LEVELS_H

#include "replay/profile.h"

#define LL_LEVEL_BAND_M 1.5  /* a diver who stays swings within this; stops lie 3 m apart (this program's own choice) */
#define LL_LEVEL_LEAST_S 60.0

/* A stretch of a minute or more, from the start of the ascent to the surfacing, in which greatest and least depth lie no
 * more than 1.5 m apart; counted from its first to its last sample within 0.5 m of its mean depth, so that the way to it
 * and the way from it are not part of it. */
typedef struct ll_level {
    size_t first, last; /* samples */
    double from_s, to_s;
    double mean_m, spread_m; /* mean and standard deviation, each sample counting for the time it stands for */
    double least_m, greatest_m;
    double nominal_m; /* the mean to the nearest metre */
    int mix;          /* breathed for the longest unbroken time within; LL_MIX_UNKNOWN where that is unknown */
    bool loop;
} ll_level;

/* A way up or down between two instants. */
typedef struct ll_climb {
    double from_s, to_s, from_m, to_m;
    double rate_m_min; /* mean, positive upwards */
} ll_climb;

/* Off oxygen (95 % and more) to a leaner mix for up to 10 min at one level, and back. */
typedef struct ll_oxygen_break {
    double from_s, to_s, depth_m;
    int mix;
} ll_oxygen_break;

/* One row of the run time table as it is written on a slate. */
typedef struct ll_slate_row {
    double depth_m; /* the greatest, then the levels' nominal ones, then 0 */
    double arrival_s, leaving_s; /* leaving NaN at the surface */
    int mix;  /* LL_MIX_UNKNOWN where unknown, and at the surface */
    bool loop;
} ll_slate_row;

typedef struct ll_levels {
    bool made; /* there is a run time */
    size_t count;
    ll_level *level;
    ll_climb to_first; /* from the start of the ascent to the first level, else to the surfacing */
    ll_climb last_six; /* to the surfacing, from the last time at 6 m or the leaving of the last level, whichever is later */
    size_t redescents;
    const ll_climb *redescent; /* of 3 m or more, on the ascent */
    size_t breaks;
    const ll_oxygen_break *oxygen_break;
    size_t rows;
    const ll_slate_row *row; /* bottom, levels, surface */
} ll_levels;

/* Only the levels themselves; what lies between them, and the slate, stay empty. Results live in `arena`. False if memory ran
 * out. */
bool ll_levels_alone(const ll_profile *profile, ll_arena *arena, ll_levels *levels);

/* The same with all that lies between them. */
bool ll_levels_find(const ll_profile *profile, ll_arena *arena, ll_levels *levels);

#endif
