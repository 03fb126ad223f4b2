/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The debrief of one dive: every figure the reports show, computed once, read-only from then on. */
#ifndef LL_ASSESS_DEBRIEF_H
#define LL_ASSESS_DEBRIEF_H

#include "assess/gas.h"
#include "assess/levels.h"
#include "assess/models.h"
#include "assess/switches.h"
#include "assess/word.h"
#include "finding/firm.h"
#include "replay/history.h"

typedef struct ll_peak {
    double value, time_s; /* NaN if missing */
} ll_peak;

typedef struct ll_debrief {
    const ll_history *history;
    const ll_entry *entry;
    const ll_limits *limits; /* that the findings were held against; NULL in an outline */
    bool has_profile; /* without one only what the log states is known, and the rest is empty */
    ll_profile profile;
    ll_track track;

    size_t mix_count; /* breathed within the run time, in order of first use; LL_MIX_UNKNOWN left out */
    const int *mixes;
    size_t switch_count; /* recorded changes of mix after the leaving, within the run time */
    const ll_switch_shown *switches;

    ll_peak peak[LL_QUANTITIES]; /* PO2, both ENDs, density, ascent rate, ceiling, gradient (with the surfacing) */

    bool decompression_known;
    bool required;          /* a decompression dive: a minute or more was owed */
    double ascent_start_s, ascent_start_depth_m;
    double owed_s, time_to_surface_s, deepest_stop_m;
    ll_surfacing surfacing;

    double cns_start_percent, cns_end_percent, cns_24_h_percent;
    bool cns_lower_bound;
    double otu_dive, otu_day;
    unsigned days_in_row; /* calendar days with dives, up to this one's */
    double otu_row, otu_allowance; /* on these days so far; allowed for that many */

    ll_findings findings;
    ll_firmness firmness;
    ll_levels levels;
    ll_levels_asked asked; /* at each of them, with ll_debrief_compare */
    ll_gas_use gas;
    ll_word word;     /* with ll_debrief_compare */
    ll_models models; /* with ll_debrief_compare */
    ll_notes notes; /* of the log's dive, the history and the replay */
} ll_debrief;

/* The quantities whose peaks a debrief shows. */
extern const ll_quantities ll_debrief_peaks;

/* Only what needs no replay: profile, mixes, switches, notes. For lists. */
ll_status ll_outline_make(const ll_history *history, size_t index, ll_arena *arena, ll_debrief *debrief,
                          ll_error *error);

/* Debriefs entry `index` of a history. Results live in `arena`. */
ll_status ll_debrief_make(const ll_history *history, size_t index, const ll_limits *limits, ll_arena *arena,
                          ll_debrief *debrief, ll_error *error);

/* Adds what the recorder itself said and what other models would have asked for, to a debrief made before with
 * `arena`. For reports that show them. */
ll_status ll_debrief_compare(ll_debrief *debrief, ll_arena *arena, ll_error *error);

#endif
