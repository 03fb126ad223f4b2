/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report_world.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/units.h"

static const double times_s[WORLD_SAMPLES] = {0,    60,   240,  600,  1500, 1680, 2000,
                                              2200, 2600, 3200, 3260, 3800, 4080, 4140};
static const double depths_m[WORLD_SAMPLES] = {0, 0.3, 40, 60.2, 59.8, 30, 21.1, 18, 9, 6.1, 6, 5.9, 0.2, 0};
static const double ceilings_m[WORLD_SAMPLES] = {0, 0, 0, 2, 14, 15, 12.5, 11, 7.5, 5.5, 5.2, 3.4, 2.4, NAN};

static void fill_log(world *w)
{
    w->mix[0] = (ll_mix){.id = "bottom", .label = "18/45", .o2_fraction = 0.18, .he_fraction = 0.45, .usable = true};
    w->mix[1] = (ll_mix){.id = "deco1", .label = "EAN50", .o2_fraction = 0.5, .usable = true};
    w->mix[2] = (ll_mix){.id = "deco2", .label = "oxygen", .o2_fraction = 1, .usable = true};
    w->site = (ll_site){.id = "s1", .name = "Skiferholt quarry", .altitude_m = 240, .density_kg_m3 = NAN};
    w->log = (ll_log){.name = "skiferholt.uddf",
                      .version = "3.2.2",
                      .writer = "hand",
                      .owner = "Ragna Lysefjell",
                      .mixes = 3,
                      .mix = w->mix,
                      .sites = 1,
                      .site = &w->site,
                      .dives = 1,
                      .dive = &w->dive};
    w->other_log = (ll_log){.name = "langvik.uddf.gz", .version = "2.2.0", .owner = "Odd Ternholm"};
    memset(w->log.sha256, 'a', LL_DIGEST_TEXT - 1);
    memset(w->other_log.sha256, '7', LL_DIGEST_TEXT - 1);
    w->logs[0] = &w->log;
    w->logs[1] = &w->other_log;
}

static void fill_dive(world *w)
{
    memcpy(w->time_s, times_s, sizeof times_s);
    memcpy(w->depth_m, depths_m, sizeof depths_m);
    memcpy(w->ceiling_m, ceilings_m, sizeof ceilings_m);
    for (int i = 0; i < WORLD_SAMPLES; i++)
        w->temperature_c[i] = i % 2 ? 4.6 : NAN;
    w->own_stop = (ll_own_stop){.sample = 9, .mandatory = true, .depth_m = 6, .duration_s = 600};
    w->dive = (ll_dive){.id = "d7",
                        .line = 41,
                        .site = 0,
                        .start_text = "2026-05-03T09:12:00+02:00",
                        .count = WORLD_SAMPLES,
                        .time_s = w->time_s,
                        .depth_m = w->depth_m,
                        .temperature_c = w->temperature_c,
                        .own_stops = 1,
                        .own_stop = &w->own_stop,
                        .surface_pressure_bar = NAN,
                        .altitude_m = NAN,
                        .density_kg_m3 = NAN,
                        .stated_greatest_m = 60.4,
                        .stated_average_m = NAN,
                        .stated_duration_s = 4100,
                        .stated_lowest_c = NAN};
    assert_true(ll_instant_read(w->dive.start_text, strlen(w->dive.start_text), &w->dive.start));
}

static void fill_notes(world *w)
{
    w->note[0] = (ll_note){LL_NOTE_DEPTH_NEGATIVE, 77, 3, "a depth of 0.2 m above the surface was read as 0"};
    w->note[1] = (ll_note){LL_NOTE_MIX_ASSUMED_LINKED, 52, 1,
                           "no mix is named at the start of the record; the only one there is (bottom) was taken"};
    w->note[2] =
        (ll_note){LL_NOTE_COARSE_SAMPLING, 0, 1, "a sample every 200 s: the record cannot show that a rate was kept"};
    w->log_note =
        (ll_note){LL_NOTE_OWNERS_DIFFER, 0, 1, "the logs name different owners: Ragna Lysefjell, Odd Ternholm"};
}

static void fill_history(world *w)
{
    w->entry = (ll_entry){.number = 2, .log = &w->log, .dive = &w->dive, .carried = true};
    w->history = (ll_history){.log_count = 1, .logs = w->logs, .count = 3, .entry = &w->entry};
    ll_settings_built_in(&w->history.settings);
}

static void fill_profile(world *w)
{
    w->breathed[0] = (ll_breathed){.first = 0, .end = 6, .known = true, .mix = 0, .o2 = 0.18, .he = 0.45, .n2 = 0.37};
    w->breathed[1] = (ll_breathed){.first = 6, .end = 9, .known = true, .mix = 1, .o2 = 0.5, .n2 = 0.5};
    w->breathed[2] = (ll_breathed){.first = 9, .end = WORLD_SAMPLES, .known = true, .mix = 2, .o2 = 1};
    w->debrief.profile = (ll_profile){.log = &w->log,
                                      .dive = &w->dive,
                                      .count = WORLD_SAMPLES,
                                      .time_s = w->time_s,
                                      .depth_m = w->depth_m,
                                      .surface_bar = 0.9847,
                                      .bar_per_m = 0.1,
                                      .water_kg_m3 = LL_WATER_EN13319_KG_M3,
                                      .surface_origin = LL_FROM_LOG,
                                      .gf_low = 0.5,
                                      .gf_high = 0.8,
                                      .breathed_count = 3,
                                      .breathed = w->breathed,
                                      .has_run_time = true,
                                      .has_surfacing = true,
                                      .leaving = 1,
                                      .surfacing = 12,
                                      .run_time_s = 4020,
                                      .record_s = 4140,
                                      .greatest_m = 60.2,
                                      .greatest = 3,
                                      .mean_m = 26.48,
                                      .ascent_start = 4,
                                      .bottom_end = 4,
                                      .interval_s = 200};
}

static void fill_track(world *w)
{
    ll_track *track = &w->debrief.track;
    track->profile = &w->debrief.profile;
    track->count = WORLD_SAMPLES;
    track->column[LL_TIME] = w->time_s;
    track->column[LL_DEPTH] = w->depth_m;
    track->column[LL_CEILING] = w->ceiling_m;
    track->column[LL_TEMPERATURE] = w->temperature_c;
    for (int c = 0; c < 2 * LL_COMPARTMENTS; c++)
        for (int i = 0; i < WORLD_SAMPLES; i++)
            w->tissue[c][i] = 0.75 + c + i / 64.0;
    for (int c = 0; c < LL_COMPARTMENTS; c++) {
        track->n2[c] = w->tissue[c];
        track->he[c] = w->tissue[LL_COMPARTMENTS + c];
    }
}

static void fill_figures(world *w)
{
    ll_debrief *d = &w->debrief;
    for (int q = 0; q < LL_QUANTITIES; q++)
        d->peak[q] = (ll_peak){NAN, NAN};
    d->peak[LL_PO2] = (ll_peak){1.5672, 3200};
    d->peak[LL_END_N2] = (ll_peak){23.04, 600};
    d->peak[LL_END_N2O2] = (ll_peak){28.6, 600};
    d->peak[LL_DENSITY] = (ll_peak){5.4321, 600};
    d->peak[LL_ASCENT_RATE] = (ll_peak){19.25, 1600};
    d->peak[LL_CEILING] = (ll_peak){15, 1680};
    d->peak[LL_GRADIENT] = (ll_peak){104.4, 4080};
    d->decompression_known = d->required = true;
    d->ascent_start_s = 1500;
    d->ascent_start_depth_m = 59.8;
    d->owed_s = 2460;
    d->time_to_surface_s = 3060;
    d->deepest_stop_m = 21;
    d->surfacing = (ll_surfacing){true, 4080, 104.4, 5, 2.4};
    d->cns_start_percent = 12.2;
    d->cns_end_percent = 47.9;
    d->cns_24_h_percent = 41.5;
    d->otu_dive = 83.2;
    d->otu_day = 121.7;
    d->days_in_row = 2;
    d->otu_row = 205.4;
    d->otu_allowance = 1400;
}

static void fill_findings(world *w)
{
    w->finding[0] = (ll_finding){.kind = LL_FINDING_DENSITY,
                                 .severity = LL_NOTE,
                                 .from_s = 520,
                                 .to_s = 1540,
                                 .beyond_s = 990,
                                 .peak = 5.4321,
                                 .peak_s = 600,
                                 .limit = 5.2,
                                 .gradient_percent = NAN,
                                 .counted = true};
    w->finding[1] = (ll_finding){.kind = LL_FINDING_OXYGEN_HIGH,
                                 .severity = LL_CAUTION,
                                 .from_s = 900,
                                 .to_s = 1000,
                                 .beyond_s = 100,
                                 .peak = 1.43,
                                 .peak_s = 950,
                                 .limit = 1.4,
                                 .gradient_percent = NAN,
                                 .counted = true};
    w->finding[2] = (ll_finding){.kind = LL_FINDING_ASCENT,
                                 .severity = LL_SERIOUS,
                                 .from_s = 1560.4,
                                 .to_s = 1625,
                                 .beyond_s = 64.6,
                                 .peak = 19.25,
                                 .peak_s = 1600,
                                 .limit = 12,
                                 .gradient_percent = NAN,
                                 .counted = true};
    w->finding[3] = (ll_finding){.kind = LL_FINDING_CEILING,
                                 .severity = LL_CAUTION,
                                 .from_s = 3930,
                                 .to_s = 4080,
                                 .beyond_s = 150,
                                 .peak = 2.2,
                                 .peak_s = 4080,
                                 .limit = 0,
                                 .gradient_percent = 99.7,
                                 .told_with_surfaced = true};
    w->finding[4] = (ll_finding){.kind = LL_FINDING_SURFACED,
                                 .severity = LL_SERIOUS,
                                 .from_s = 4080,
                                 .to_s = 4080,
                                 .peak = 2.4,
                                 .peak_s = 4080,
                                 .limit = 0,
                                 .gradient_percent = 104.4,
                                 .counted = true};
    w->debrief.findings = (ll_findings){.count = WORLD_FINDINGS, .items = w->finding, .worst = LL_SERIOUS};
    w->debrief.findings.by_class[LL_CONDUCT][LL_SERIOUS] = 2;
    w->debrief.findings.by_class[LL_GAS][LL_NOTE] = 1;
    w->debrief.findings.by_class[LL_GAS][LL_CAUTION] = 1;
}

static void fill_levels(world *w)
{
    w->level[0] = (ll_level){7, 7, 2180, 2500, 18.1, 0.31, 17.6, 18.7, 18, 1, false};
    w->level[1] = (ll_level){9, 11, 3190, 3800, 6.02, 0.08, 5.9, 6.1, 6, 2, false};
    w->asked[0] = (ll_level_asked){18, 240, 0, 32};
    w->asked[1] = (ll_level_asked){6, 1200, 90, 690};
    w->redescent[0] = (ll_climb){2520, 2600, 5.5, 9, -2.625};
    w->rest[0] = (ll_oxygen_break){3260, 3500, 6, 1};
    w->row[0] = (ll_slate_row){60.2, 300, 1500, 0, true};
    w->row[1] = (ll_slate_row){18, 2180, 2500, 1, false};
    w->row[2] = (ll_slate_row){6, 3190, 3800, LL_MIX_UNKNOWN, false};
    w->row[3] = (ll_slate_row){0, 4080, NAN, LL_MIX_UNKNOWN, false};
    w->debrief.levels = (ll_levels){.made = true,
                                    .count = 2,
                                    .level = w->level,
                                    .to_first = {1500, 2180, 59.8, 18.7, 3.6265},
                                    .last_six = {3800, 4080, 5.9, 0.2, 1.2214},
                                    .redescents = 1,
                                    .redescent = w->redescent,
                                    .breaks = 1,
                                    .oxygen_break = w->rest,
                                    .rows = 4,
                                    .row = w->row};
    w->debrief.asked = (ll_levels_asked){.at = w->asked, .still_owed_s = 655};
}

void world_open(world *w)
{
    memset(w, 0, sizeof *w);
    fill_log(w);
    fill_dive(w);
    fill_notes(w);
    fill_history(w);
    fill_profile(w);
    fill_track(w);
    fill_figures(w);
    fill_findings(w);
    fill_levels(w);
    for (int i = 0; i < 3; i++)
        w->breathed_mixes[i] = i;
    w->change[0] = (ll_switch_shown){2000, 21.1, 1, "deco1", 1.5204, 0.5473, {22.57, LL_MOD_BUILT_IN},
                                     0.4,  true, true, LL_SWITCH_RICHER};
    w->change[1] = (ll_switch_shown){3200, 6.1, 2, "deco2", 1.5672, 0.7836, {6, LL_MOD_STATED_DEPTH},
                                     1.5,  false, true, LL_SWITCH_RICHER};
    w->debrief.history = &w->history;
    ll_limits_built_in(&w->limits);
    w->debrief.limits = &w->limits;
    w->debrief.entry = &w->entry;
    w->debrief.has_profile = true;
    w->debrief.mix_count = 3;
    w->debrief.mixes = w->breathed_mixes;
    w->debrief.switch_count = 2;
    w->debrief.switches = w->change;
    w->debrief.notes = (ll_notes){w->note, 3, 3};
    w->look = (ll_look){.width = 80};
    ll_text_open(&w->out, NULL, NULL, NULL);
}

void world_close(world *w)
{
    ll_text_close(&w->out);
}

void world_keep_everything(world *w)
{
    memset(&w->debrief.findings, 0, sizeof w->debrief.findings);
    w->debrief.notes.count = 0;
    w->debrief.peak[LL_ASCENT_RATE].value = 9.4;
    w->debrief.peak[LL_GRADIENT].value = w->debrief.surfacing.gradient_percent = 71.6;
    w->debrief.surfacing.ceiling_m = 0;
    w->asked[1].short_s = 0;
    w->ceiling_m[11] = w->ceiling_m[12] = 0;
}

void world_state_only(world *w)
{
    w->dive.count = 0;
    w->dive.time_s = w->dive.depth_m = w->dive.temperature_c = NULL;
    w->dive.own_stops = 0;
    ll_debrief stated = {.history = &w->history, .entry = &w->entry};
    for (int q = 0; q < LL_QUANTITIES; q++)
        stated.peak[q] = (ll_peak){NAN, NAN};
    w->debrief = stated;
}

const char *world_text(world *w)
{
    const char *text = ll_text_string(&w->out);
    assert_non_null(text);
    return text;
}

/* --- golden files --------------------------------------------------------------------------------------------- */

static char *read_golden(const char *name)
{
    char path[512];
    snprintf(path, sizeof path, "%s/%s", LL_GOLDEN_FOLDER, name);
    FILE *file = fopen(path, "rb");
    if (!file)
        return NULL;
    char *text = calloc(1, 65536);
    assert_non_null(text);
    size_t size = fread(text, 1, 65535, file);
    assert_true(size < 65535);
    fclose(file);
    return text;
}

static void write_actual(const char *name, const char *text)
{
    char path[512];
    snprintf(path, sizeof path, "%s.actual", name);
    FILE *file = fopen(path, "wb");
    if (!file)
        return;
    fputs(text, file);
    fclose(file);
}

static int first_line_that_differs(const char *actual, const char *expected)
{
    int line = 1;
    for (; *actual && *actual == *expected; actual++, expected++)
        line += *actual == '\n';
    return line;
}

void assert_golden(const char *name, const char *text)
{
    char *expected = read_golden(name);
    if (!expected) {
        write_actual(name, text);
        fail_msg("no golden file %s; what came out is in %s.actual", name, name);
    }
    bool same = strcmp(text, expected) == 0;
    int line = first_line_that_differs(text, expected);
    free(expected);
    if (same)
        return;
    write_actual(name, text);
    fail_msg("%s differs from line %d on; what came out is in %s.actual", name, line, name);
}
