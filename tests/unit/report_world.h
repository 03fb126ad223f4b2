/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A debrief written by hand for the tests of the report layer. Its figures are invented and consistent enough to read;
 * they were not computed by anything. */
#ifndef LL_TESTS_REPORT_WORLD_H
#define LL_TESTS_REPORT_WORLD_H

#include "report/report.h"

enum { WORLD_SAMPLES = 14, WORLD_FINDINGS = 5 };

/* A dive to 60 m on 18/45 with EAN50 and oxygen, which left the 6 m stop early. */
typedef struct world {
    double ceiling_m[WORLD_SAMPLES];
    double depth_m[WORLD_SAMPLES], time_s[WORLD_SAMPLES];
    double temperature_c[WORLD_SAMPLES];
    double tissue[2 * LL_COMPARTMENTS][WORLD_SAMPLES];
    ll_mix mix[3];
    ll_site site;
    ll_own_stop own_stop;
    ll_breathed breathed[3];
    int breathed_mixes[3];
    ll_switch_shown change[2];
    ll_level level[2];
    ll_level_asked asked[2];
    ll_climb redescent[1];
    ll_oxygen_break rest[1];
    ll_slate_row row[4];
    ll_finding finding[WORLD_FINDINGS];
    ll_note note[3], log_note;
    ll_dive dive;
    ll_log log, other_log;
    const ll_log *logs[2];
    ll_entry entry;
    ll_history history;
    ll_limits limits;
    ll_debrief debrief;
    ll_look look;
    ll_text out;
} world;

/* Fills the world, which must not move afterwards, and opens its output. */
void world_open(world *w);
void world_close(world *w);

/* The dive without findings: everything within limits. */
void world_keep_everything(world *w);

/* The same dive stated without a profile. */
void world_state_only(world *w);

/* What was written so far. */
const char *world_text(world *w);

/* Fails unless `text` equals the file tests/unit/golden/NAME; names the first line that differs, and leaves what came
 * out beside the test as NAME.actual. */
void assert_golden(const char *name, const char *text);

#endif
