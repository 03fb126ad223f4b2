/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Limits that are left out where the diver certainly is not above the ceiling: what is filled has the bits of the replay that
 * fills all, what is left out could not be part of a finding, and the findings are the same. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "close.h"
#include "finding/finding.h"
#include "finding/stretch.h"
#include "replay_world.h"

enum { SAMPLES = 400, DRAWS = 60, BOTTOM = 120 };
static double time_s[SAMPLES], depth_m[SAMPLES];
static hand_log hand;
static ll_profile profile;
static ll_state start;
static ll_track full, sparse;
static const ll_quantities asked = LL_SET(LL_CEILING) | LL_SET(LL_STOP) | LL_SET(LL_GRADIENT) | LL_SET(LL_LEADING);

static double chance(unsigned *seed)
{
    *seed = *seed * 1664525u + 1013904223u;
    return (double)(*seed >> 8) / (1 << 24);
}

static ll_keep keeping(double near_s)
{
    return (ll_keep){.sparse = true, .near_s = near_s};
}

static void replay_both(const ll_keep *keep)
{
    profile = profile_of(&hand);
    ll_state_rest(&start, settings.model, profile.surface_bar);
    full = track_of(&profile, asked);
    assert_int_equal(ll_replay_columns_keeping(&profile, &settings, &start, asked, keep, &arena, &sparse, NULL), LL_OK);
}

/* Twenty minutes at 40 m to 60 m, then up along the ceiling, a little below it or above, a sample every 1 s to 15 s. */
static void draw(unsigned seed)
{
    const double step_s = 1 + floor(15 * chance(&seed)), bottom_m = 40 + 20 * chance(&seed);
    for (size_t i = 1; i < SAMPLES; i++) {
        time_s[i] = i < BOTTOM ? 10.0 * (double)i : time_s[i - 1] + step_s;
        depth_m[i] = i < BOTTOM ? bottom_m : fmax(0, bottom_m - 0.15 * step_s * (double)(i - BOTTOM));
    }
    hand_open(&hand, SAMPLES, time_s, depth_m);
    hand_breathe(&hand, 0, seed % 3 ? HAND_TX1845 : HAND_AIR, LL_OPEN_CIRCUIT, NAN);
    hand_breathe(&hand, BOTTOM + 100, HAND_EAN50, LL_OPEN_CIRCUIT, NAN);
    profile = profile_of(&hand);
    full = track_of(&profile, asked);
    const double *ceiling = full.column[LL_CEILING];
    double off_m = 3;
    for (size_t i = BOTTOM; i + 1 < SAMPLES; i++) {
        if (chance(&seed) < 0.1)
            off_m = 8 * chance(&seed) - 1;
        depth_m[i] = fmax(depth_m[i], isnan(ceiling[i]) ? 0 : floor(10 * fmax(ceiling[i] + off_m, 0)) / 10);
    }
    depth_m[SAMPLES - 1] = 0;
}

static bool is_above(size_t i)
{
    return full.column[LL_CEILING][i] > depth_m[i];
}

/* Whether a finding could hold this sample, or lead to it. */
static bool matters(size_t i, double near_s)
{
    if (is_above(i) || (i + 1 < SAMPLES && is_above(i + 1)))
        return true;
    for (size_t j = i; j > 0; j--)
        if (is_above(j - 1))
            return time_s[i] <= time_s[j] + near_s;
    return false;
}

/* --- columns ---------------------------------------------------------------------------------------------------- */

static size_t hold_against_full(double near_s)
{
    size_t left_out = 0;
    for (size_t i = profile.leaving; i <= profile.surfacing; i++) {
        if (isnan(sparse.column[LL_CEILING][i]) && !isnan(full.column[LL_CEILING][i])) {
            assert_true(isnan(sparse.column[LL_STOP][i]) && isnan(sparse.column[LL_GRADIENT][i]));
            assert_false(matters(i, near_s));
            left_out++;
            continue;
        }
        for (int q = LL_CEILING; q <= LL_LEADING; q++)
            assert_true(sparse.column[q][i] == full.column[q][i] ||
                        (isnan(sparse.column[q][i]) && isnan(full.column[q][i])));
    }
    assert_true(sparse.anchor_at_surfacing_m == full.anchor_at_surfacing_m);
    assert_true(sparse.anchor_at_ascent_start_m == full.anchor_at_ascent_start_m);
    return left_out;
}

static void what_is_left_out_could_not_matter(void **state)
{
    (void)state;
    size_t left_out[LL_MODELS] = {0}, above = 0;
    for (unsigned seed = 0; seed < DRAWS; seed++)
        for (int m = 0; m < LL_MODELS; m++) {
            const double near_s = seed % 2 ? 30 : 0;
            settings.model = (ll_model)m;
            draw(seed);
            const ll_keep keep = keeping(near_s);
            replay_both(&keep);
            left_out[m] += hold_against_full(near_s);
            for (size_t i = 0; m == LL_ZH_L16C && i < SAMPLES; i++)
                above += is_above(i);
        }
    assert_true(left_out[LL_ZH_L16C] > DRAWS * SAMPLES / 4);
    assert_int_equal(left_out[LL_VVAL_18], 0);
    assert_true(above > 10 * DRAWS);
}

static void samples_asked_for_are_filled(void **state)
{
    (void)state;
    static const size_t sample[] = {1, 60, 61, 300};
    ll_keep keep = keeping(30);
    keep.count = sizeof sample / sizeof *sample;
    keep.sample = sample;
    draw(7);
    replay_both(&keep);
    for (size_t k = 0; k < keep.count; k++)
        assert_true(sparse.column[LL_STOP][sample[k]] == full.column[LL_STOP][sample[k]]);
    assert_true(isnan(sparse.column[LL_STOP][62]));
    hold_against_full(30);
}

/* --- the edge --------------------------------------------------------------------------------------------------- */

static double least_headroom_bar(const ll_inert *tissues, const ll_factors *factors, double depth)
{
    ll_factors raised = *factors;
    ll_bounds bounds;
    double least = INFINITY;
    ll_inert_look(tissues, &raised, depth, LL_SET_HEADROOM, &bounds);
    for (int c = 0; c < LL_COMPARTMENTS; c++)
        least = fmin(least, bounds.headroom_bar[c]);
    return least;
}

static bool is_clear_at(const ll_inert *tissues, const ll_factors *factors, double depth)
{
    return ll_inert_is_clear(tissues, factors, depth);
}

/* On air what nitrogen may have is what there may be: clear begins with a headroom of a millionth of a bar. */
static void clear_begins_at_a_millionth_of_a_bar(void **state)
{
    (void)state;
    size_t looked_at = 0, clear = 0;
    draw(3);
    hand_open(&hand, SAMPLES, time_s, depth_m);
    const ll_keep keep = keeping(0);
    replay_both(&keep);
    const ll_track tissues = track_of(&profile, LL_SET_TISSUES | LL_SET_INSTANTS);
    ll_factors factors = {profile.gf_low, profile.gf_high, 0, profile.surface_bar, profile.bar_per_m};
    ll_inert here = start.tissues;
    for (size_t i = 0; i < SAMPLES; i++) {
        const double ceiling_m = full.column[LL_CEILING][i];
        ll_bounds bounds;
        for (int c = 0; c < LL_COMPARTMENTS; c++)
            here.zh_l16.n2[c] = tissues.n2[c][i];
        ll_inert_look(&here, &factors, depth_m[i], asked, &bounds);
        assert_true(bounds.ceiling_m == ceiling_m);
        assert_true(is_clear_at(&here, &factors, factors.anchor_m));
        assert_false(is_clear_at(&here, &factors, -0.1));
        assert_false(is_clear_at(&here, &factors, NAN));
        if (ceiling_m <= 0 || ceiling_m >= factors.anchor_m - 1e-3)
            continue;
        assert_false(is_clear_at(&here, &factors, ceiling_m - 1e-6));
        assert_false(is_clear_at(&here, &factors, ceiling_m));
        for (double depth = ceiling_m; depth < ceiling_m + 1e-4; depth += 1e-6) {
            const double headroom_bar = least_headroom_bar(&here, &factors, depth);
            if (fabs(headroom_bar - 1e-6) > 1e-12)
                assert_int_equal(is_clear_at(&here, &factors, depth), headroom_bar > 1e-6);
            clear += headroom_bar > 1e-6;
        }
        looked_at++;
    }
    assert_true(looked_at > 50 && clear > 50 * looked_at);
}

/* With helium clear begins deeper, and never above the ceiling. */
static void clear_is_never_above_the_ceiling(void **state)
{
    (void)state;
    size_t clear = 0;
    for (unsigned seed = 0; seed < DRAWS; seed++) {
        draw(seed);
        profile = profile_of(&hand);
        const ll_track tissues = track_of(&profile, LL_SET_TISSUES);
        ll_factors factors = {profile.gf_low, profile.gf_high, 0, profile.surface_bar, profile.bar_per_m};
        ll_inert here;
        ll_inert_rest(&here, settings.model, profile.surface_bar);
        for (size_t i = 0; i < SAMPLES; i++) {
            ll_bounds bounds;
            for (int c = 0; c < LL_COMPARTMENTS; c++) {
                here.zh_l16.n2[c] = tissues.n2[c][i];
                here.zh_l16.he[c] = tissues.he[c][i];
            }
            ll_inert_look(&here, &factors, 0, asked, &bounds);
            for (double depth = 0; depth < bounds.ceiling_m; depth += 0.5)
                assert_false(is_clear_at(&here, &factors, depth));
            clear += is_clear_at(&here, &factors, bounds.ceiling_m + 2) && bounds.ceiling_m + 2 < factors.anchor_m;
        }
    }
    assert_true(clear > DRAWS * 20);
}

/* --- doses ------------------------------------------------------------------------------------------------------- */

static void same_doses(const ll_track *track, const ll_track *other)
{
    assert_true(track->doses.complete && other->doses.complete);
    assert_true(track->doses.otu == other->doses.otu);
    assert_true(track->doses.cns_24_h_percent == other->doses.cns_24_h_percent);
    assert_true(track->end.cns_percent == other->end.cns_percent);
    assert_true(track->cns_at_surfacing_percent == other->cns_at_surfacing_percent);
}

/* On open circuit and on a loop: by either column of a dose the doses are known, without one they are not, and the tissues
 * do not change. */
static void doses_are_known_where_they_are_asked_for(void **state)
{
    (void)state;
    const ll_keep keep = keeping(30);
    draw(5);
    for (int loop = 0; loop < 2; loop++) {
        hand_open(&hand, SAMPLES, time_s, depth_m);
        if (loop)
            hand_breathe(&hand, 0, HAND_TX1845, LL_CLOSED_CIRCUIT, 1.2);
        replay_both(&keep);
        assert_false(sparse.doses.complete);
        assert_true(isnan(sparse.doses.otu) && isnan(sparse.doses.cns_24_h_percent));
        assert_true(isnan(sparse.end.cns_percent) && isnan(sparse.cns_at_surfacing_percent));
        hold_against_full(30);
        for (int q = LL_CNS; q <= LL_OTU; q++) {
            const ll_quantities wanted = asked | LL_SET(q);
            full = track_of(&profile, wanted);
            assert_true(full.doses.otu > 10);
            assert_int_equal(ll_replay_columns_keeping(&profile, &settings, &start, wanted, &keep, &arena, &sparse, NULL),
                             LL_OK);
            same_doses(&sparse, &full);
            for (size_t i = 0; i < SAMPLES; i++)
                assert_true(sparse.column[q][i] == full.column[q][i]);
        }
    }
}

/* --- findings --------------------------------------------------------------------------------------------------- */

static const ll_kinds kinds =
    LL_KIND(LL_FINDING_CEILING) | LL_KIND(LL_FINDING_SURFACED) | LL_KIND(LL_FINDING_STOP_DEPTH);

static ll_findings findings_of(const ll_track *track, const ll_limits *limits)
{
    ll_findings found;
    ll_surfacing surfacing = ll_surfacing_of(track);
    assert_int_equal(ll_findings_make(track, &settings, limits, &surfacing, kinds, &arena, &found, NULL), LL_OK);
    return found;
}

static size_t same_findings(const ll_limits *limits)
{
    profile = profile_of(&hand);
    ll_state_rest(&start, settings.model, profile.surface_bar);
    full = track_of(&profile, ll_finding_quantities(kinds));
    assert_int_equal(ll_findings_replay(&profile, &settings, limits, &start, kinds, 0, NULL, &arena, &sparse, NULL),
                     LL_OK);
    for (size_t i = profile.leaving; i <= profile.surfacing; i++) /* stretches so near each other are joined */
        assert_true(!matters(i, LL_JOINED_BELOW_S) || sparse.column[LL_CEILING][i] == full.column[LL_CEILING][i]);
    const ll_findings all = findings_of(&full, limits), few = findings_of(&sparse, limits);
    assert_int_equal(few.count, all.count);
    for (size_t i = 0; i < all.count; i++) {
        const ll_finding *a = &all.items[i], *b = &few.items[i];
        assert_int_equal(b->kind, a->kind);
        assert_int_equal(b->severity, a->severity);
        assert_true(b->from_s == a->from_s && b->to_s == a->to_s && b->beyond_s == a->beyond_s);
        assert_true(b->peak == a->peak && b->peak_s == a->peak_s);
        assert_true(b->gradient_percent == a->gradient_percent || isnan(a->gradient_percent));
        assert_int_equal(isnan(b->gradient_percent), isnan(a->gradient_percent));
    }
    return all.count;
}

static void findings_are_those_of_the_whole_replay(void **state)
{
    (void)state;
    ll_limits limits;
    ll_limits_built_in(&limits);
    limits.of[LL_FINDING_STOP_DEPTH] = (ll_limit){0.2, 0.5, NAN, LL_FROM_STANDARD, "course"};
    size_t found = 0;
    for (unsigned seed = 0; seed < DRAWS; seed++) {
        draw(seed);
        found += same_findings(&limits);
    }
    assert_true(found > 3 * DRAWS);
}

/* A line below the ceiling is crossed where the diver is not above the ceiling. */
static void a_limit_below_the_ceiling_asks_for_all(void **state)
{
    (void)state;
    ll_limits limits;
    ll_limits_built_in(&limits);
    limits.of[LL_FINDING_CEILING].note = -1;
    for (unsigned seed = 0; seed < DRAWS; seed++) {
        draw(seed);
        assert_true(same_findings(&limits) > 0);
    }
}

#define CASE(name) cmocka_unit_test_setup_teardown(name, open_arena, close_arena)

int main(void)
{
    const struct CMUnitTest tests[] = {
        CASE(what_is_left_out_could_not_matter),      CASE(samples_asked_for_are_filled),
        CASE(clear_begins_at_a_millionth_of_a_bar),  CASE(clear_is_never_above_the_ceiling),
        CASE(doses_are_known_where_they_are_asked_for),
        CASE(findings_are_those_of_the_whole_replay), CASE(a_limit_below_the_ceiling_asks_for_all),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
