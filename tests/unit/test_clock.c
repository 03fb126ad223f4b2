/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The clock of one recorder against another's: planted offsets come back, and figures of short lines done by hand. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include <cmocka.h>

#include "allocator.h"
#include "assess/clock.h"
#include "close.h"

#define NOISE_M 0.3
#define HALF_DAY_S 43200.0

enum { MOST = 8000, CORNERS = 16, SEEDS = 20 };

/* --- dives -------------------------------------------------------------------------------------------------------- */

/* A small generator of its own, so that every machine draws the same. */
static double chance(uint64_t *state)
{
    *state = *state * 6364136223846793005u + 1442695040888963407u;
    return (double)(*state >> 11) / 9007199254740992.0;
}

/* Normal: G. E. P. Box and M. E. Muller, Annals of Mathematical Statistics 29 (1958), 610-611. */
static double normal(uint64_t *state)
{
    const double radius = sqrt(-2 * log(1 - chance(state)));
    return radius * cos(6.283185307179586 * chance(state));
}

/* What the diver did, on the clock that is right: straight between corners, and a wander while below. */
typedef struct dive {
    size_t count;
    double time_s[CORNERS], depth_m[CORNERS];
    double wander_m, phase;
} dive;

/* 45 m for half an hour, stops at 21, 9 and 6 m. */
static const dive deep = {11,
                          {0, 150, 1950, 2110, 2350, 2450, 2750, 2780, 3500, 3560, 3561},
                          {0, 45, 45, 21, 21, 9, 9, 6, 6, 0, 0},
                          0.4,
                          0.3};
/* 18 m for three quarters of an hour, one stop. */
static const dive shallow = {7, {0, 70, 2800, 2890, 3070, 3110, 3111}, {0, 18, 16, 5, 5, 0, 0}, 0.4, 1.1};

static double depth_at(const dive *d, double time_s)
{
    if (time_s <= 0 || time_s >= d->time_s[d->count - 1])
        return 0;
    size_t i = 1;
    while (d->time_s[i] < time_s)
        i++;
    const double share = (time_s - d->time_s[i - 1]) / (d->time_s[i] - d->time_s[i - 1]);
    const double depth = d->depth_m[i - 1] + share * (d->depth_m[i] - d->depth_m[i - 1]);
    const double wander = sin(time_s / 47 + d->phase) + 0.7 * sin(time_s / 131 + 2 * d->phase);
    return fmax(depth + d->wander_m * wander * fmin(depth / 3, 1), 0);
}

/* What one recorder made of it. */
typedef struct record {
    double time_s[MOST], depth_m[MOST];
    ll_depth_line line;
} record;

typedef struct recorder {
    double interval_s;
    double ahead_s;        /* what its clock shows more than the right one */
    double noise_m, scale; /* scale: of its depths */
    double from_s, to_s;   /* on the right clock; 0, 0: the whole dive */
    double gap_s;          /* without samples for two minutes from here on; 0: none */
    uint64_t seed;
} recorder;

static void sample(const dive *d, const recorder *r, record *made)
{
    uint64_t state = r->seed;
    const double to_s = r->to_s > 0 ? r->to_s : d->time_s[d->count - 1] + r->interval_s;
    size_t count = 0;
    for (double t = r->from_s + (r->seed ? chance(&state) * r->interval_s : 0); t < to_s; t += r->interval_s) {
        const double noise = r->noise_m > 0 ? r->noise_m * normal(&state) : 0;
        if (r->gap_s > 0 && t > r->gap_s && t < r->gap_s + 120)
            continue;
        assert_true(count < MOST);
        made->time_s[count] = t + r->ahead_s;
        made->depth_m[count++] = fmax(depth_at(d, t) * r->scale + noise, 0);
    }
    made->line = (ll_depth_line){count, made->time_s, made->depth_m, r->interval_s};
}

static record one, two;

static ll_clock_match compare(const ll_depth_line *first, const ll_depth_line *other, double most_s)
{
    ll_clock_match match = {NAN, NAN, NAN, NAN, -1};
    assert_int_equal(ll_clock_compare(first, other, 0, most_s, &ll_heap, &match, NULL), LL_OK);
    return match;
}

/* --- planted offsets
 * ------------------------------------------------------------------------------------------------ */

typedef struct tally {
    int count, outside;
    double worst_s, widest_s;
} tally;

/* The first's clock is right and the other's is `planted_s` late. */
static void try_offset(const recorder *first, recorder other, double planted_s, tally *t)
{
    other.ahead_s = -planted_s;
    sample(&deep, first, &one);
    sample(&deep, &other, &two);
    const ll_clock_match match = compare(&one.line, &two.line, HALF_DAY_S);
    const double off_s = fabs(match.offset_s - planted_s);
    t->count++;
    t->outside += !(off_s <= match.uncertainty_s);
    t->worst_s = fmax(t->worst_s, off_s);
    t->widest_s = fmax(t->widest_s, match.uncertainty_s);
    if (!(off_s <= 2))
        print_error("%g s and %g s, planted %g s, seed %d: off by %g s +- %g\n", first->interval_s, other.interval_s,
                    planted_s, (int)first->seed, match.offset_s - planted_s, match.uncertainty_s);
    assert_true(match.uncertainty_s >= 0.5 && match.uncertainty_s >= fmax(first->interval_s, other.interval_s) / 4);
}

static const double planted[] = {0, 1.3, -7.25, 3600, -1800 + 11, 11.5 * 3600, -11.9 * 3600};
static const double intervals[] = {1, 2, 5, 10, 20};

enum { OFFSETS = sizeof planted / sizeof *planted, INTERVALS = sizeof intervals / sizeof *intervals };

static recorder noisy(double interval_s, uint64_t seed)
{
    return (recorder){.interval_s = interval_s, .noise_m = NOISE_M, .scale = 1, .seed = seed};
}

static void assert_found(const tally *t, const char *what)
{
    print_message("%s: %d comparisons, off by at most %.2f s, uncertainty up to %.2f s, %d outside it\n", what,
                  t->count, t->worst_s, t->widest_s, t->outside);
    assert_true(t->worst_s <= 2);
    assert_true(t->outside * 10 <= t->count);
}

static void planted_offsets_come_back(void **state)
{
    (void)state;
    for (int a = 0; a < INTERVALS; a++) {
        tally t = {0};
        for (int b = 0; b < INTERVALS; b++)
            for (int i = 0; i < OFFSETS; i++) {
                const recorder first = noisy(intervals[a], (uint64_t)(100 + a * 70 + b * 7 + i));
                try_offset(&first, noisy(intervals[b], (uint64_t)(9000 + a * 70 + b * 7 + i)), planted[i], &t);
            }
        assert_found(&t, "intervals");
    }
}

typedef struct damage {
    const char *what;
    double from_s, to_s, gap_s, scale;
} damage;

static const damage damages[] = {
    {"gap on the descent", 0, 0, 20, 1},        {"gap at the bottom", 0, 0, 900, 1},
    {"gap on the ascent", 0, 0, 1980, 1},       {"gap over the surfacing", 0, 0, 3500, 1},
    {"begins on the descent", 75, 0, 0, 1},     {"begins at the bottom", 600, 0, 0, 1},
    {"ends at the bottom", 0, 1500, 0, 1},      {"ends at 21 m", 0, 2200, 0, 1},
    {"ends at 6 m", 0, 3000, 0, 1},             {"begins at the bottom, 3 % deeper", 600, 0, 0, 1.03},
    {"3 % deeper", 0, 0, 0, 1.03},              {"ends at 21 m, 3 % less", 0, 2200, 0, 0.97},
};

static void damaged_records_come_back(void **state)
{
    (void)state;
    for (size_t n = 0; n < sizeof damages / sizeof *damages; n++) {
        const damage *d = &damages[n];
        tally t = {0};
        for (int seed = 1; seed <= SEEDS; seed++) {
            const recorder first = noisy(intervals[seed % INTERVALS], (uint64_t)(5000 + seed));
            recorder other = noisy(intervals[(seed / INTERVALS + seed) % INTERVALS], (uint64_t)(700 + seed));
            other.from_s = d->from_s;
            other.to_s = d->to_s;
            other.gap_s = d->gap_s;
            other.scale = d->scale;
            try_offset(&first, other, planted[seed % OFFSETS], &t);
        }
        assert_found(&t, d->what);
    }
}

/* A hundred pairs of records of a dive, neither clock off; returns the mean width. */
static double try_hundred(const dive *d, double noise_m, tally *t)
{
    double mean_s = 0;
    for (int seed = 1; seed <= 100; seed++) {
        recorder first = noisy(seed % 2 ? 1 : 2, (uint64_t)(300 + seed)), other = noisy(2, (uint64_t)(30 + seed));
        first.noise_m = other.noise_m = noise_m;
        sample(d, &first, &one);
        sample(d, &other, &two);
        const ll_clock_match match = compare(&one.line, &two.line, HALF_DAY_S);
        t->count++;
        t->outside += !(fabs(match.offset_s) <= match.uncertainty_s);
        t->worst_s = fmax(t->worst_s, fabs(match.offset_s));
        t->widest_s = fmax(t->widest_s, match.uncertainty_s);
        mean_s += match.uncertainty_s / 100;
    }
    print_message("noise of %g m: off by at most %.2f s, uncertainty %.2f s in the mean, up to %.2f s, %d of %d outside\n",
                  noise_m, t->worst_s, mean_s, t->widest_s, t->outside, t->count);
    return mean_s;
}

/* So much noise that the width is that of the residuals, not the least there is. */
static void the_width_follows_the_noise(void **state)
{
    (void)state;
    tally t = {0};
    const double mean_s = try_hundred(&deep, 0.9, &t);
    assert_true(mean_s > 0.65);
    assert_true(t.outside * 10 <= t.count);
    assert_true(t.widest_s < 3);
}

/* One slow descent holds the offset nearly alone: what it leaves adds up to nothing at the best offset, and noise pulls
 * as much as the dive does. */
static void a_slow_dive_gets_its_width(void **state)
{
    static const dive slow = {6, {0, 240, 900, 1500, 1900, 2200}, {0, 10, 12, 8, 4, 0}, 0, 0};
    (void)state;
    tally t = {0};
    const double mean_s = try_hundred(&slow, NOISE_M, &t);
    assert_true(t.outside * 20 <= t.count); /* the 95 % that are claimed */
    assert_true(mean_s < 4);
}

/* --- by hand ------------------------------------------------------------------------------------------------------ */

/* Two triangles over 200 s, 10 m and 5 m high, the second 50 s ahead: 500 m s over 1000 m s, 2.5 m in the mean. */
static void triangles_give_the_figures_of_the_hand(void **state)
{
    (void)state;
    const double time_s[] = {1000, 1100, 1200}, ahead_s[] = {1050, 1150, 1250};
    const double high_m[] = {0, 10, 0}, low_m[] = {0, 5, 0};
    const ll_depth_line high = {3, time_s, high_m, 100}, low = {3, ahead_s, low_m, 100};
    const ll_clock_match match = compare(&high, &low, 600);
    assert_close(match.offset_s, -50, 0.01, 0);
    assert_close(match.score, 0.5, 1e-6, 0);
    assert_close(match.difference_m, 2.5, 1e-3, 0);
    assert_true(match.uncertainty_s >= 25);
    assert_int_equal(match.zone_s, 0);
}

/* The same two with no room to move: over 250 s they differ by 10 m * 200 s / 2 + 5 m * 200 s / 2 less twice what
 * they share. The low one rises from 50 s on by 0.05 m/s and meets the high one, 20 - 0.1 t, where 0.05 (t - 50) is
 * that: at t = 150, 5 m, its own peak. So they share 250 m s up to there and 5 m * 50 s / 2 behind, less what lies
 * over the high one: after its peak the low one falls by 0.05 m/s and the high one by 0.1 m/s, so that it is the high
 * one's triangle of 50 s and 5 m, 125 m s, that counts. 375 shared; 1500 - 750 = 750 differ; 1125 is the area under
 * the greater. */
static void a_window_without_room_keeps_its_centre(void **state)
{
    (void)state;
    const double time_s[] = {0, 100, 200}, ahead_s[] = {50, 150, 250};
    const double high_m[] = {0, 10, 0}, low_m[] = {0, 5, 0};
    const ll_depth_line high = {3, time_s, high_m, 100}, low = {3, ahead_s, low_m, 100};
    const ll_clock_match match = compare(&high, &low, 0);
    assert_close(match.offset_s, 0, 0, 0);
    assert_close(match.score, 375.0 / 1125, 1e-12, 0);
    assert_close(match.difference_m, 750.0 / 250, 1e-12, 0);
}

static void the_same_line_is_itself(void **state)
{
    (void)state;
    const recorder r = noisy(5, 77);
    sample(&deep, &r, &one);
    const ll_clock_match match = compare(&one.line, &one.line, HALF_DAY_S);
    assert_close(match.offset_s, 0, 1e-3, 0);
    assert_close(match.score, 1, 1e-4, 0);
    assert_close(match.difference_m, 0, 1e-3, 0);
    assert_close(match.uncertainty_s, 1.25, 1e-12, 0);
    assert_int_equal(match.zone_s, 0);
}

static void lines_without_depth_leave_the_centre(void **state)
{
    (void)state;
    const double time_s[] = {0, 10, 20}, zero_m[] = {0, 0, 0}, deep_m[] = {0, 12, 0};
    const ll_depth_line none = {0, NULL, NULL, NAN}, single = {1, time_s, deep_m + 1, NAN};
    const ll_depth_line zero = {3, time_s, zero_m, 10}, tooth = {3, time_s, deep_m, 10};
    const ll_depth_line *lines[] = {&none, &single, &zero, &tooth};
    for (int a = 0; a < 4; a++)
        for (int b = 0; b < 4; b++) {
            ll_clock_match match = {NAN, NAN, NAN, NAN, -1};
            if (a == 3 && b == 3)
                continue;
            assert_int_equal(ll_clock_compare(lines[a], lines[b], 3600, 900, &ll_heap, &match, NULL), LL_OK);
            assert_close(match.offset_s, 3600, 0, 0);
            assert_close(match.score, 0, 0, 0);
            assert_close(match.uncertainty_s, 900, 0, 0);
            assert_int_equal(match.zone_s, 0);
            assert_true(match.difference_m >= 0 && match.difference_m <= 6);
        }
}

/* Nothing within the window brings the two together. */
static void lines_that_never_meet_leave_the_centre(void **state)
{
    (void)state;
    const double early_s[] = {0, 10, 20}, late_s[] = {5000, 5010, 5020}, depth_m[] = {0, 12, 0};
    const ll_depth_line early = {3, early_s, depth_m, 10}, late = {3, late_s, depth_m, 10};
    ll_clock_match match = compare(&early, &late, 600);
    assert_close(match.offset_s, 0, 0, 0);
    assert_close(match.score, 0, 0, 0);
    assert_close(match.uncertainty_s, 600, 0, 0);
    assert_close(match.difference_m, 6, 1e-12, 0); /* by hand: 120 m s twice over 20 s twice */
    match = compare(&early, &late, 6000);
    assert_close(match.offset_s, -5000, 0.01, 0);
}

/* --- what the figures tell ---------------------------------------------------------------------------------------- */

static void zones_are_named(void **state)
{
    (void)state;
    static const struct {
        double offset_s;
        int zone_s;
    } cases[] = {{3600, 3600}, {-1789, -1800},  {7200 + 290, 7200}, {7200 + 310, 0},
                 {-310, 0},    {-12600 + 45, -12600}, {900, 0},          {200, 0}};
    const recorder first = noisy(2, 5);
    sample(&deep, &first, &one);
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        recorder other = noisy(5, 6 + i);
        other.ahead_s = -cases[i].offset_s;
        sample(&deep, &other, &two);
        assert_int_equal(compare(&one.line, &two.line, HALF_DAY_S).zone_s, cases[i].zone_s);
    }
}

static void the_window_is_kept(void **state)
{
    (void)state;
    const recorder first = noisy(5, 8);
    recorder other = noisy(10, 9);
    other.ahead_s = -400;
    sample(&deep, &first, &one);
    sample(&deep, &other, &two);
    ll_clock_match match = compare(&one.line, &two.line, 300);
    assert_close(match.offset_s, 300, 0, 0);
    assert_int_equal(ll_clock_compare(&one.line, &two.line, 350, 60, &ll_heap, &match, NULL), LL_OK);
    assert_close(match.offset_s, 400, 2, 0);
}

/* Exchanged lines give the offset with the other sign; the factor between depths is the only thing that is not even. */
static void exchanged_lines_agree(void **state)
{
    (void)state;
    const recorder first = noisy(2, 15);
    recorder other = noisy(20, 16);
    other.ahead_s = 1234.5;
    sample(&deep, &first, &one);
    sample(&deep, &other, &two);
    const ll_clock_match there = compare(&one.line, &two.line, 7200), back = compare(&two.line, &one.line, 7200);
    assert_close(back.offset_s, -there.offset_s, 0.2, 0);
    assert_close(back.score, there.score, 1e-3, 0);
}

static void another_dive_scores_lower(void **state)
{
    (void)state;
    double least = 1, most = 0;
    for (int seed = 1; seed <= SEEDS; seed++) {
        const recorder first = noisy(intervals[seed % INTERVALS], (uint64_t)(40 + seed));
        recorder other = noisy(10, (uint64_t)(400 + seed));
        other.ahead_s = 500;
        sample(&deep, &first, &one);
        sample(&deep, &other, &two);
        least = fmin(least, compare(&one.line, &two.line, HALF_DAY_S).score);
        sample(&shallow, &other, &two);
        most = fmax(most, compare(&one.line, &two.line, HALF_DAY_S).score);
    }
    print_message("score of the same dive at least %.3f, of another at most %.3f\n", least, most);
    assert_true(least > 0.95);
    assert_true(most < 0.75);
}

/* All corners from this one on come later. */
static dive late_dive(size_t from_corner, double late_s)
{
    dive late = deep;
    for (size_t i = from_corner; i < late.count; i++)
        late.time_s[i] += late_s;
    return late;
}

static double moved_by(size_t from_corner, double late_s, int seed, double *uncertainty_s)
{
    const recorder first = noisy(2, (uint64_t)(60 + seed)), other = noisy(5, (uint64_t)(600 + seed));
    const dive late = late_dive(from_corner, late_s);
    sample(&deep, &first, &one);
    sample(&late, &other, &two);
    const ll_clock_match match = compare(&one.line, &two.line, HALF_DAY_S);
    *uncertainty_s = match.uncertainty_s;
    return fabs(match.offset_s);
}

/* 90 s late from the stop at 21 m on; and from the bottom on, where as much of the dive speaks for one offset as for
 * the other, and the width has to say so. */
static void a_late_ascent_moves_the_offset_little(void **state)
{
    (void)state;
    double part_s = 0, whole_s = 0;
    for (int seed = 1; seed <= SEEDS; seed++) {
        double uncertainty_s = 0;
        part_s = fmax(part_s, moved_by(4, 90, seed, &uncertainty_s));
        const double moved_s = moved_by(2, 90, seed, &uncertainty_s);
        whole_s = fmax(whole_s, moved_s);
        assert_true(moved_s <= uncertainty_s);
    }
    print_message("90 s late from 21 m on: moved by at most %.2f s; from the bottom on: %.2f s\n", part_s, whole_s);
    assert_true(part_s < 3);
    assert_true(whole_s < 15);
}

/* --- memory ------------------------------------------------------------------------------------------------------- */

static void refused_memory_is_reported(void **state)
{
    (void)state;
    const recorder r = noisy(1, 3);
    sample(&deep, &r, &one);
    ll_status status = LL_NO_MEMORY;
    size_t refused = 0;
    for (size_t from = 1; status == LL_NO_MEMORY; from++, refused++) {
        ll_clock_match match = {.score = -1};
        ll_error error = {0};
        test_heap heap;
        test_heap_open(&heap, from);
        status = ll_clock_compare(&one.line, &one.line, 0, 3600, &heap.allocator, &match, &error);
        assert_int_equal(heap.live, 0);
        assert_int_equal(error.status, status);
        assert_true(status == LL_OK ? match.score > 0 : match.score == -1);
    }
    assert_int_equal(status, LL_OK);
    assert_true(refused > 4);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(planted_offsets_come_back),
        cmocka_unit_test(damaged_records_come_back),
        cmocka_unit_test(the_width_follows_the_noise),
        cmocka_unit_test(a_slow_dive_gets_its_width),
        cmocka_unit_test(triangles_give_the_figures_of_the_hand),
        cmocka_unit_test(a_window_without_room_keeps_its_centre),
        cmocka_unit_test(the_same_line_is_itself),
        cmocka_unit_test(lines_without_depth_leave_the_centre),
        cmocka_unit_test(lines_that_never_meet_leave_the_centre),
        cmocka_unit_test(zones_are_named),
        cmocka_unit_test(the_window_is_kept),
        cmocka_unit_test(exchanged_lines_agree),
        cmocka_unit_test(another_dive_scores_lower),
        cmocka_unit_test(a_late_ascent_moves_the_offset_little),
        cmocka_unit_test(refused_memory_is_reported),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
