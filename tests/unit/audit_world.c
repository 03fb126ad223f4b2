/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "audit_world.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#define DOWN_M_S (20.0 / 60)
#define UP_M_S (9.0 / 60)

void world_open(audit_world *world)
{
    memset(world, 0, sizeof *world);
    world->mix[0] = (ll_mix){"air", NULL, "air", 0.21, 0, NAN, NAN, true};
    world->mix[1] = (ll_mix){"tx", NULL, "18/45", 0.18, 0.45, NAN, NAN, true};
    world->log = (ll_log){.name = "world.uddf", .owner = "Ylva Kvarnsten", .gf_low_fraction = NAN,
                          .gf_high_fraction = NAN, .mixes = 2, .mix = world->mix, .dive = world->dive};
    world->standard = (ll_standard){.name = "By hand", .file = "hand.xml", .requirement = world->requirement};
    ll_limits_built_in(&world->limits);
    ll_settings_built_in(&world->settings);
    world->settings.surface_bar = 1;
    ll_arena_open(&world->arena, NULL);
}

void world_close(audit_world *world)
{
    ll_history_free(world->history);
    ll_arena_close(&world->arena);
}

void world_date(ll_dive *dive, int year, int month, int day, int minute)
{
    assert_true(ll_instant_from_parts(year, month, day, &dive->start));
    assert_true(ll_instant_set_clock(&dive->start, minute / 60, minute % 60, 0));
}

static ll_dive *add_dive(audit_world *world, int month, int day, int minute)
{
    size_t at = world->log.dives++;
    assert_true(at < WORLD_DIVES);
    world->dive[at] = (ll_dive){.id = "hand", .site = LL_NONE, .interval_s = NAN, .surface_pressure_bar = NAN,
                                .altitude_m = NAN, .density_kg_m3 = NAN, .stated_greatest_m = NAN,
                                .stated_average_m = NAN, .stated_duration_s = NAN, .stated_lowest_c = NAN};
    world_date(&world->dive[at], 2026, month, day, minute);
    return &world->dive[at];
}

ll_dive *world_record(audit_world *world, int month, int day, int minute, double deepest_m, double minutes,
                      double interval_s, double wave_m, int seed)
{
    ll_dive *dive = add_dive(world, month, day, minute);
    size_t at = (size_t)(dive - world->dive);
    double *time_s = world->time_s[at], *depth_m = world->depth_m[at];
    size_t count = (size_t)round(minutes * 60 / interval_s) + 1;
    assert_true(count <= WORLD_SAMPLES);
    for (size_t i = 0; i < count; i++) {
        double t = (double)i * interval_s, left = minutes * 60 - t;
        double bottom = deepest_m - wave_m * (0.5 + 0.5 * cos(t * (1 + seed % 7) / 90.0 + seed));
        time_s[i] = t;
        depth_m[i] = fmin(fmin(t * DOWN_M_S, left * UP_M_S), bottom);
        depth_m[i] = round(depth_m[i] * 10) / 10;
    }
    world->span[at] = (ll_span){0, count, 0, LL_OPEN_CIRCUIT, NAN};
    dive->count = count;
    dive->time_s = time_s;
    dive->depth_m = depth_m;
    dive->spans = 1;
    dive->span = &world->span[at];
    return dive;
}

ll_dive *world_claim(audit_world *world, int month, int day, int minute, double deepest_m, double minutes)
{
    ll_dive *dive = add_dive(world, month, day, minute);
    dive->stated_greatest_m = deepest_m;
    dive->stated_duration_s = minutes * 60;
    return dive;
}

ll_requirement *world_ask(audit_world *world, double least, double most, unsigned asked)
{
    ll_requirement *one = &world->requirement[world->standard.requirements++];
    *one = (ll_requirement){.id = "asked", .text = "Asked", .least = least, .most = most, .asked = asked};
    return one;
}

void world_audit(audit_world *world)
{
    static const char day[] = "2026-11-25";
    const ll_log *logs[] = {&world->log};
    int64_t today;
    ll_error error = {LL_OK, 0, ""};
    assert_true(ll_day_read(day, strlen(day), &today));
    ll_history_free(world->history);
    ll_status status = ll_audit_make(logs, 1, &world->settings, NULL, &world->standard, &world->limits, today,
                                     &(ll_running){.tell = NULL}, &world->arena, &world->history, &world->audit, &error);
    assert_string_equal(error.text, "");
    assert_int_equal(status, LL_OK);
    size_t sum = 0;
    for (int standing = 0; standing < LL_STANDINGS; standing++)
        sum += world->audit.in[standing];
    assert_int_equal(sum, world->audit.count);
}

const ll_audit_dive *world_found(const audit_world *world, const ll_dive *dive)
{
    for (size_t i = 0; i < world->audit.count; i++)
        if (world->audit.dive[i].entry->dive == dive)
            return &world->audit.dive[i];
    fail();
    return NULL;
}
