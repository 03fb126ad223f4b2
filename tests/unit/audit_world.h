/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Histories and standards made by hand for audits. */
#ifndef LL_TESTS_AUDIT_WORLD_H
#define LL_TESTS_AUDIT_WORLD_H

#include "assess/audit.h"

enum { WORLD_DIVES = 60, WORLD_SAMPLES = 500, WORLD_REQUIREMENTS = 20 };

/* One log of one diver; air, a sample every `interval_s`. */
typedef struct audit_world {
    ll_log log;
    ll_mix mix[2]; /* air, 18/45 */
    ll_dive dive[WORLD_DIVES];
    ll_span span[WORLD_DIVES];
    ll_tank_use use[WORLD_DIVES];
    double time_s[WORLD_DIVES][WORLD_SAMPLES], depth_m[WORLD_DIVES][WORLD_SAMPLES];
    ll_standard standard;
    ll_requirement requirement[WORLD_REQUIREMENTS];
    ll_limits limits;
    ll_settings settings;
    ll_arena arena;
    ll_history *history;
    ll_audit audit;
} audit_world;

void world_open(audit_world *world);
void world_close(audit_world *world);

/* A dive with a record: down at 20 m/min, along a bottom that waves by `wave_m` with a period that depends on `seed`, up
 * at 9 m/min; back at the surface after `minutes`. Returns it; date 2026-MM-DD, at so many minutes of the day. */
ll_dive *world_record(audit_world *world, int month, int day, int minute, double deepest_m, double minutes,
                      double interval_s, double wave_m, int seed);

/* A dive that is stated only. */
ll_dive *world_claim(audit_world *world, int month, int day, int minute, double deepest_m, double minutes);

/* Moves a dive to another date. */
void world_date(ll_dive *dive, int year, int month, int day, int minute);

/* A requirement with these attributes; `least` or `most` NaN where not given. To be filled further by the test. */
ll_requirement *world_ask(audit_world *world, double least, double most, unsigned asked);

/* As of 2026-11-25. */
void world_audit(audit_world *world);

/* The dive of the audit that was made from this one. */
const ll_audit_dive *world_found(const audit_world *world, const ll_dive *dive);

#endif
