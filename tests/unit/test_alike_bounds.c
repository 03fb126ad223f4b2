/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What rules out shifts and pairs without a look at them, against brute force over all shifts and all pairs. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "assess/alike_parts.h"
#include "assess/standing_parts.h"
#include "close.h"

enum { MOST = 420, PAIRS = 60, DIVES = 120 };

typedef struct drawn {
    double time_s[MOST], depth_m[MOST];
    size_t count;
    ll_shape shape;
} drawn;

static drawn one, other;
static ll_stretches stretches;

/* --- invented profiles -------------------------------------------------------------------------------------------- */

/* A small generator of its own, so that every machine draws the same. */
static double chance(uint64_t *state)
{
    *state = *state * 6364136223846793005u + 1442695040888963407u;
    return (double)(*state >> 11) / 9007199254740992.0;
}

static void finish(drawn *d)
{
    ll_profile profile = {.time_s = d->time_s, .depth_m = d->depth_m, .count = d->count, .surfacing = d->count - 1};
    profile.run_time_s = d->time_s[d->count - 1] - d->time_s[0];
    profile.interval_s = d->time_s[2] - d->time_s[1];
    for (size_t i = 0; i < d->count; i++)
        profile.greatest_m = fmax(profile.greatest_m, d->depth_m[i]);
    ll_shape_make(&profile, &d->shape);
}

/* Down, along a bottom that wanders, up; some begin or end below the surface, some last longer than blocks are kept. */
static void draw(drawn *d, uint64_t *seed)
{
    const double interval_s = 3 + floor(chance(seed) * 18), deepest_m = 8 + 40 * chance(seed);
    const double rate_m_s = 0.1 + 0.4 * chance(seed), cut_m = chance(seed) < 0.3 ? 3 * chance(seed) : 0;
    double wander_m = 0;
    d->count = 60 + (size_t)(chance(seed) * (MOST - 60));
    for (size_t i = 0; i < d->count; i++) {
        const double from_end_s = fmin((double)i, (double)(d->count - 1 - i)) * interval_s;
        wander_m = 0.95 * wander_m + (chance(seed) - 0.5) * 2;
        d->time_s[i] = 30 + (double)i * interval_s;
        d->depth_m[i] = fmax(fmin(cut_m + from_end_s * rate_m_s, deepest_m + wander_m), 0);
    }
    finish(d);
}

/* The same dive from another recorder: noise, a later start, perhaps without the last sample. */
static void draw_again(drawn *d, const drawn *from, double noise_m, uint64_t *seed)
{
    const double late_s = floor(chance(seed) * 40);
    *d = *from;
    d->count -= (size_t)(chance(seed) * 2);
    for (size_t i = 0; i < d->count; i++) {
        d->time_s[i] += i == 0 ? 0 : late_s;
        d->depth_m[i] = fmax(d->depth_m[i] + (chance(seed) - 0.5) * noise_m, 0);
    }
    finish(d);
}

/* Every third pair has nothing in common; of the others either may have begun later. */
static void draw_pair(uint64_t number)
{
    uint64_t seed = number * 7919 + 1;
    drawn *const first = number % 2 ? &one : &other, *const second = number % 2 ? &other : &one;
    draw(first, &seed);
    if (number % 3 == 0)
        draw(second, &seed);
    else
        draw_again(second, first, 4 * chance(&seed), &seed);
}

static void draw_by_hand(drawn *d, size_t count, const double *time_s, const double *depth_m)
{
    d->count = count;
    for (size_t i = 0; i < count; i++) {
        d->time_s[i] = time_s[i];
        d->depth_m[i] = depth_m[i];
    }
    finish(d);
}

static double brute_force_m(const ll_shape *a, const ll_shape *b, double most_s, double step_s)
{
    double least_m = INFINITY;
    for (double shift_s = -most_s; shift_s <= most_s; shift_s += step_s)
        least_m = fmin(least_m, ll_shapes_difference_m(a, b, shift_s));
    return least_m;
}

/* --- shifts ------------------------------------------------------------------------------------------------------- */

static void no_shift_is_better_than_the_bound_of_its_stretch(void **state)
{
    static const double limit_m[] = {0.3, 1, INFINITY};
    (void)state;
    for (uint64_t number = 0; number < PAIRS; number++) {
        draw_pair(number);
        ll_stretches_look(&one.shape, &other.shape, 120, limit_m[number % 3], &stretches);
        for (double shift_s = -119.9; shift_s <= 120; shift_s += 0.7) {
            const double difference_m = ll_shapes_difference_m(&one.shape, &other.shape, shift_s);
            const double least_m = ll_stretches_least_m(&stretches, shift_s, shift_s);
            assert_true(difference_m >= least_m);
            assert_true(ll_stretches_least_m(&stretches, shift_s - 3, shift_s) <= least_m);
            assert_true(ll_stretches_least_m(&stretches, shift_s, shift_s + 5) <= least_m);
        }
    }
}

/* By half of what moves over one stretch, and what blocks lose of samples that are farther apart than they are long. */
static void where_it_matters_the_bound_is_close(void **state)
{
    (void)state;
    for (uint64_t seed = 1; seed <= PAIRS; seed++) {
        uint64_t draws = seed;
        do
            draw(&one, &draws);
        while (one.shape.interval_s < LL_SHAPE_BLOCK_S || one.shape.run_time_s > 5000);
        draw_again(&other, &one, 0.5, &draws);
        const double least_m = brute_force_m(&one.shape, &other.shape, 120, 0.5);
        const double moved_m = one.shape.climbed_m * LL_STRETCH_S / one.shape.run_time_s;
        ll_stretches_look(&one.shape, &other.shape, 120, INFINITY, &stretches);
        assert_true(ll_stretches_least_m(&stretches, -120, 120) >= least_m - moved_m - 0.1);
        /* Where no shift comes near a limit none is left open. */
        const double limit_m = least_m - moved_m - 0.1;
        ll_stretches_look(&one.shape, &other.shape, 120, limit_m, &stretches);
        assert_true(ll_stretches_least_m(&stretches, -120, 120) >= limit_m);
    }
}

/* What either covers, here without a gap between the two. */
static double whole_ms(double shift_s)
{
    const double end_s = fmax(one.shape.run_time_s, other.shape.run_time_s + shift_s);
    return ll_shapes_difference_m(&one.shape, &other.shape, shift_s) * (end_s - fmin(0, shift_s));
}

static void two_known_shifts_bound_those_between(void **state)
{
    (void)state;
    for (uint64_t number = 0; number < PAIRS; number++) {
        draw_pair(number);
        for (double from_s = -100; from_s < 100; from_s += 39) {
            const double to_s = from_s + 1 + (double)(number % 9) * 4;
            const ll_edge from = {from_s, whole_ms(from_s)}, to = {to_s, whole_ms(to_s)};
            const double bound_m = ll_shapes_between_m(&one.shape, &other.shape, &from, &to);
            for (double shift_s = from_s; shift_s <= to_s; shift_s += 0.5)
                assert_true(ll_shapes_difference_m(&one.shape, &other.shape, shift_s) >= bound_m - 1e-9);
        }
    }
}

/* Above what is known from both sides, closely: over half a second the integral bends by little. */
static void parabolas_bound_those_between_closely(void **state)
{
    (void)state;
    for (uint64_t number = 0; number < PAIRS; number++) {
        draw_pair(number);
        const ll_bends bends = ll_bends_of(&other.shape);
        for (double from_s = -100; from_s < 100; from_s += 17) {
            const double way_s = number % 2 ? 0.5 : 8;
            const ll_tried from = ll_shapes_try(&one.shape, &other.shape, from_s);
            const ll_tried to = ll_shapes_try(&one.shape, &other.shape, from_s + way_s);
            const double bound_m = ll_shapes_parabolas_m(&one.shape, &other.shape, &bends, &from, &to);
            double least_m = INFINITY;
            for (double on_s = 0; on_s <= way_s; on_s += way_s / 32)
                least_m = fmin(least_m, ll_shapes_difference_m(&one.shape, &other.shape, from_s + on_s));
            assert_true(bound_m <= least_m + 1e-9);
            if (way_s < 1)
                assert_true(bound_m >= least_m - (least_m + bends.rate_m_s / 8 + 2 * bends.jumps_m) * way_s / 180);
        }
    }
}

static double bound_between_m(double from_s, double to_s)
{
    const ll_bends bends = ll_bends_of(&other.shape);
    const ll_tried from = ll_shapes_try(&one.shape, &other.shape, from_s);
    const ll_tried to = ll_shapes_try(&one.shape, &other.shape, to_s);
    return ll_shapes_parabolas_m(&one.shape, &other.shape, &bends, &from, &to);
}

/* Down at 0.25 m/s and up again, 10 s after the other: bends of 1 m/s in all. The other is much deeper where it begins
 * and ends, at 0 m around its deepest point and the same for 4 s of the way down: s seconds more or less add s there,
 * and take s^2 / 2 by all the bends. The sum: 18 s at 10 m twice, less the areas, and between from 3 m to 5 m to
 * 2.5 m. */
static void a_parabola_takes_all_bends(void **state)
{
    static const double down_s[] = {0, 20, 40}, down_m[] = {0, 5, 0};
    static const double steps_s[] = {0, 18, 18 + 1e-6, 22, 22 + 1e-6, 40, 40 + 1e-6, 58};
    static const double steps_m[] = {10, 10, 2, 3, 0, 0, 10, 10};
    (void)state;
    draw_by_hand(&one, 8, steps_s, steps_m);
    draw_by_hand(&other, 3, down_s, down_m);
    assert_close(ll_bends_of(&other.shape).rate_m_s, 1, 1e-12, 0);
    const double sum_ms = (180 - 8) + (3 + 5) / 2.0 * 8 + (5 + 2.5) / 2 * 10 + (180 - 12.5);
    assert_close(whole_ms(10), sum_ms, 1e-4, 0);
    assert_close(whole_ms(8), sum_ms + 2 - 2 * 2 / 2, 1e-4, 0);
    assert_close(whole_ms(11), sum_ms + 1 - 1 * 1 / 2.0, 1e-4, 0);
    assert_close(bound_between_m(8, 11), sum_ms / 58, 1e-5, 0);
}

/* Boxes of 10 and 3 m: a shift adds 3 m at both ends, none of it by a slope. */
static void jumps_take_from_the_slope(void **state)
{
    static const double time_s[] = {0, 20, 40}, ten_m[] = {10, 10, 10}, three_m[] = {3, 3, 3};
    (void)state;
    draw_by_hand(&one, 3, time_s, ten_m);
    draw_by_hand(&other, 3, time_s, three_m);
    assert_close(whole_ms(-2), 7 * 40 + 6 * 2, 1e-9, 0);
    assert_close(bound_between_m(-2, 2), 7 * 40 / 42.0, 1e-9, 0);
}

/* Against the difference of two sums close by. */
static void the_slope_is_that_of_the_sum(void **state)
{
    (void)state;
    for (uint64_t number = 1; number < PAIRS; number++) {
        draw_pair(number);
        if (ll_bends_of(&other.shape).jumps_m > 0)
            continue;
        const double before_ms = whole_ms(20 - 1e-4), behind_ms = whole_ms(20 + 1e-4);
        assert_close(ll_shapes_try(&one.shape, &other.shape, 20).slope_m, (behind_ms - before_ms) / 2e-4, 0.02, 1e-3);
    }
}

/* Further samples on the line, one in every fifth interval: the same profile, but nowhere as many in a row at one
 * interval as are taken together. */
static void draw_uneven(drawn *d, const drawn *from)
{
    d->count = 0;
    for (size_t i = 0; i < from->count; i++) {
        d->time_s[d->count] = from->time_s[i];
        d->depth_m[d->count++] = from->depth_m[i];
        if (i % 5 == 2 && i + 1 < from->count) {
            d->time_s[d->count] = (3 * from->time_s[i] + from->time_s[i + 1]) / 4;
            d->depth_m[d->count++] = (3 * from->depth_m[i] + from->depth_m[i + 1]) / 4;
        }
    }
    finish(d);
}

/* A recorder that paused for so long. */
static void pause_after(drawn *d, size_t sample, double seconds)
{
    for (size_t i = sample + 1; i < d->count; i++)
        d->time_s[i] += seconds;
    finish(d);
}

/* Whole and half intervals apart, and other shifts; each record with a pause of its own somewhere. */
static void samples_at_one_interval_are_no_other_case(void **state)
{
    static drawn uneven;
    (void)state;
    for (uint64_t number = 0; number < PAIRS; number++) {
        uint64_t seed = number + 11;
        do
            draw(&one, &seed);
        while (one.count > MOST * 3 / 4);
        draw_again(&other, &one, 2, &seed);
        const double interval_s = one.shape.interval_s;
        assert_true(other.shape.even <= 1 && other.shape.even_s == interval_s);
        pause_after(&one, number * 5 % one.count, number % 2 ? 3 : 0);
        pause_after(&other, number * 7 % other.count, number % 3 ? 0.5 : 0);
        draw_uneven(&uneven, &other);
        for (double steps = -70; steps <= 70; steps += number % 4 ? 0.7 : 0.5) {
            const ll_tried tried = ll_shapes_try(&one.shape, &other.shape, steps * interval_s);
            const ll_tried same = ll_shapes_try(&one.shape, &uneven.shape, steps * interval_s);
            assert_close(tried.edge.apart_ms, same.edge.apart_ms, 0, 1e-12);
            assert_close(tried.difference_m, same.difference_m, 0, 1e-12);
            assert_close(tried.slope_m, same.slope_m, 1e-9, 0);
        }
    }
}

/* What never leaves 0 m moves nothing, and all that a shift changes is how long both cover together. */
static void the_bound_knows_the_longest_union(void **state)
{
    static const double time_s[] = {0, 100, 900, 1000}, trapeze_m[] = {0, 20, 20, 0}, nothing_m[] = {0, 0, 0, 0};
    (void)state;
    draw_by_hand(&one, 4, time_s, trapeze_m);
    draw_by_hand(&other, 4, time_s, nothing_m);
    const ll_edge from = {0, whole_ms(0)}, to = {100, whole_ms(100)};
    assert_close(ll_shapes_between_m(&one.shape, &other.shape, &from, &to), 20.0 * 900 / 1100, 1e-9, 0);
    assert_close(ll_shapes_difference_m(&one.shape, &other.shape, 100), 20.0 * 900 / 1100, 1e-9, 0);
}

/* Boxes of 10 and 4 m, 100 s long, the second 50 s later: the first alone, both, the second alone. */
static void records_that_begin_and_end_below_are_cut_off(void **state)
{
    static const double time_s[] = {0, 40, 100}, ten_m[] = {10, 10, 10}, four_m[] = {4, 4, 4};
    (void)state;
    draw_by_hand(&one, 3, time_s, ten_m);
    draw_by_hand(&other, 3, time_s, four_m);
    assert_close(ll_shapes_difference_m(&one.shape, &other.shape, 50), (10 + 6 + 4) / 3.0, 1e-9, 0);
    assert_close(ll_shapes_difference_m(&one.shape, &other.shape, -50), (10 + 6 + 4) / 3.0, 1e-9, 0);
    assert_close(ll_shapes_difference_m(&one.shape, &other.shape, 150), 7, 1e-9, 0);
}

static void the_search_finds_what_brute_force_finds(void **state)
{
    static const double limit_m[] = {0.2, 0.5, 1, 2};
    size_t found = 0, refused = 0;
    (void)state;
    for (uint64_t number = 0; number < PAIRS; number++) {
        draw_pair(number);
        const double limit = limit_m[number % 4], most_s = number % 5 ? 120 : 600;
        const double least_m = brute_force_m(&one.shape, &other.shape, most_s, 0.5);
        const ll_alike alike = ll_shapes_compare(&one.shape, &other.shape, most_s, limit);
        if (isinf(alike.difference_m)) {
            assert_true(least_m >= limit - 1e-3);
            refused++;
            continue;
        }
        assert_true(alike.difference_m < limit && alike.difference_m <= least_m + 1e-3);
        assert_close(ll_shapes_difference_m(&one.shape, &other.shape, alike.shift_s), alike.difference_m, 0, 0);
        found++;
    }
    assert_true(found >= 10 && refused >= 10);
}

static void cheaper_bounds_are_lower(void **state)
{
    (void)state;
    for (uint64_t number = 0; number < PAIRS; number++) {
        draw_pair(number);
        const double areas_m = ll_shapes_areas_apart_m(&one.shape, &other.shape, 120);
        const double layers_m = ll_shapes_apart_m(&one.shape, &other.shape, 120);
        assert_true(areas_m <= layers_m + 1e-9);
        assert_true(layers_m <= brute_force_m(&one.shape, &other.shape, 120, 2) + 1e-9);
    }
}

/* --- pairs -------------------------------------------------------------------------------------------------------- */

static drawn dive[DIVES];
static ll_judged judged[DIVES];
static ll_stand stand[DIVES];

static void count_in(size_t i)
{
    dive[i].shape.constant_bottom = false;
    stand[i] = (ll_stand){.standing = LL_RECORDED, .other = SIZE_MAX};
    judged[i] = (ll_judged){.stand = &stand[i], .has_shape = true, .shape = dive[i].shape,
                            .begins_s = (double)i * 86400};
}

/* The first half anew; the other half repeats a dive before it, or lasts just too long for that. */
static void draw_dives(void)
{
    uint64_t seed = 5;
    for (size_t i = 0; i < DIVES; i++) {
        if (i < DIVES / 2) {
            do
                draw(&dive[i], &seed);
            while (dive[i].shape.run_time_s < 900);
        } else {
            draw_again(&dive[i], &dive[(size_t)(chance(&seed) * (double)i)], 0.2, &seed);
            dive[i].time_s[dive[i].count - 1] += i % 4 ? 0 : 61;
            finish(&dive[i]);
        }
        count_in(i);
    }
}

static void backwards(void *context, size_t jobs, size_t count, ll_work piece, void *piece_context)
{
    (void)context;
    (void)jobs;
    while (count-- > 0)
        piece(piece_context, count);
}

static void by_two(void *context, size_t jobs, size_t count, ll_work piece, void *piece_context)
{
    (void)context;
    (void)jobs;
    for (size_t begin = 0; begin < 2; begin++)
        for (size_t i = begin; i < count; i += 2)
            piece(piece_context, i);
}

/* One by one, in batches of different sizes, all in one batch; the pieces of a batch backwards or every other one. */
static const ll_crew crews[] = {
    {NULL, NULL, 0}, {backwards, NULL, 2}, {by_two, NULL, 3}, {by_two, NULL, 5}, {backwards, NULL, 99}};
enum { CREWS = sizeof crews / sizeof *crews };

static void find_repeats(size_t count, const ll_crew *crew)
{
    ll_arena arena;
    ll_arena_open(&arena, NULL);
    assert_int_equal(ll_stand_repeated(judged, count, crew, &arena, NULL), LL_OK);
    ll_arena_close(&arena);
}

/* The first dive that counts before this one and has its profile; DIVES without one. */
static size_t first_repeated(size_t this, const bool *counts)
{
    const ll_shape *shape = &dive[this].shape;
    for (size_t i = 0; i < this; i++)
        if (counts[i] && fabs(dive[i].shape.run_time_s - shape->run_time_s) < 60 && dive[i].shape.interval_s <= 20 &&
            ll_shapes_compare(&dive[i].shape, shape, 120, INFINITY).difference_m < 0.3)
            return i;
    return DIVES;
}

/* What each dive repeats; DIVES where it does not. */
static void look_at_all_pairs(size_t *repeated)
{
    bool counts[DIVES];
    for (size_t i = 0; i < DIVES; i++) {
        repeated[i] = dive[i].shape.interval_s <= 20 ? first_repeated(i, counts) : DIVES;
        counts[i] = repeated[i] == DIVES;
    }
}

static void expect_found_by(const ll_crew *crew, const size_t *repeated)
{
    for (size_t i = 0; i < DIVES; i++)
        count_in(i);
    find_repeats(DIVES, crew);
    for (size_t i = 0; i < DIVES; i++) {
        const bool stands = repeated[i] == DIVES;
        assert_int_equal(stand[i].standing, stands ? LL_RECORDED : LL_SET_ASIDE);
        assert_int_equal(stand[i].other, stands ? SIZE_MAX : repeated[i]);
        if (!stands) {
            const ll_alike alike = ll_shapes_compare(&dive[repeated[i]].shape, &dive[i].shape, 120, 0.3);
            assert_close(stand[i].alike.difference_m, alike.difference_m, 0, 0);
            assert_close(stand[i].alike.shift_s, alike.shift_s, 0, 0);
        }
    }
}

static void repeats_are_those_of_a_look_at_all_pairs(void **state)
{
    size_t repeated[DIVES], found = 0, beside = 0;
    (void)state;
    draw_dives();
    look_at_all_pairs(repeated);
    for (size_t i = 0; i < DIVES; i++) {
        if (repeated[i] == DIVES)
            continue;
        found++;
        beside += floor(dive[i].shape.run_time_s / 60) != floor(dive[repeated[i]].shape.run_time_s / 60);
    }
    assert_true(found >= 40 && found < DIVES / 2 && beside >= 10);
    for (size_t c = 0; c < CREWS; c++)
        expect_found_by(&crews[c], repeated);
}

/* The same dive, deeper by so much in the mean. */
static void draw_deeper(drawn *d, const drawn *from, double deeper_m)
{
    const double mean_m = from->shape.area_ms / from->shape.run_time_s;
    *d = *from;
    for (size_t i = 0; i < d->count; i++)
        d->depth_m[i] *= 1 + deeper_m / mean_m;
    finish(d);
}

/* Runs of six dives. By 0.2 m deeper, the second repeats the first; the third would repeat the second, which does not
 * stand, so it stands itself, and the fourth repeats it. The last one lies between the third and the fifth, and the
 * earlier counts; that of some runs is the very first dive once more. */
static void draw_chains(void)
{
    enum { RUN = 6 };
    static const double deeper_m[RUN] = {0, 0.2, 0.4, 0.6, 0.8, 0.6};
    uint64_t seed = 23;
    for (size_t i = 0; i < DIVES; i++) {
        const size_t first = i / RUN * RUN;
        if (i % 18 == 17)
            dive[i] = dive[0];
        else if (i > first)
            draw_deeper(&dive[i], &dive[first], deeper_m[i - first]);
        else
            do
                draw(&dive[i], &seed);
            while (dive[i].shape.run_time_s < 900);
    }
}

static void a_crew_finds_the_repeats_that_one_finds(void **state)
{
    size_t repeated[DIVES], before = 0, of_first = 0;
    (void)state;
    draw_chains();
    look_at_all_pairs(repeated);
    for (size_t i = 1; i < DIVES; i++) {
        before += repeated[i] == i - 1;
        of_first += repeated[i] == 0;
    }
    assert_true(before >= DIVES / 4 && of_first >= 1 + DIVES / 18);
    assert_true(repeated[6] == DIVES && repeated[7] == 6 && repeated[8] == DIVES && repeated[9] == 8);
    assert_true(repeated[10] == DIVES && repeated[11] == 8);
    for (size_t c = 0; c < CREWS; c++)
        expect_found_by(&crews[c], repeated);
}

/* The third dive has the profile of both before it, which are too far apart to be the same: 0.5 m. The second one has
 * the shorter run time. */
static void of_two_the_earlier_is_repeated(void **state)
{
    static const double deepest_m[] = {20.5, 20, 20.25}, last_s[] = {1204, 1196, 1200};
    (void)state;
    for (size_t i = 0; i < 3; i++) {
        const double time_s[] = {0, 20, 1150, last_s[i]}, depth_m[] = {0, deepest_m[i], deepest_m[i], 0};
        draw_by_hand(&dive[i], 4, time_s, depth_m);
        dive[i].shape.interval_s = 10;
        count_in(i);
    }
    find_repeats(3, &crews[0]);
    assert_int_equal(stand[0].standing, LL_RECORDED);
    assert_int_equal(stand[1].standing, LL_RECORDED);
    assert_int_equal(stand[2].standing, LL_SET_ASIDE);
    assert_int_equal(stand[2].other, 0);
    stand[0].standing = LL_MERGED;
    count_in(2);
    find_repeats(3, &crews[0]);
    assert_int_equal(stand[2].other, 1);
}

/* A dive with a date and no time of day stands between two records of one dive. */
static void an_untimed_dive_between_hides_no_second_record(void **state)
{
    (void)state;
    uint64_t seed = 3;
    draw(&dive[0], &seed);
    draw(&dive[1], &seed);
    draw_again(&dive[2], &dive[0], 0.2, &seed);
    for (size_t i = 0; i < 3; i++) {
        count_in(i);
        judged[i].begins_s = i == 1 ? NAN : 30.0 * (double)i;
        judged[i].ends_s = judged[i].begins_s + dive[i].shape.run_time_s;
    }
    ll_stand_same(judged, 3);
    assert_int_equal(stand[0].standing, LL_RECORDED);
    assert_int_equal(stand[1].standing, LL_RECORDED);
    assert_int_equal(stand[2].standing, LL_MERGED);
    assert_int_equal(stand[2].other, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(no_shift_is_better_than_the_bound_of_its_stretch),
        cmocka_unit_test(where_it_matters_the_bound_is_close),
        cmocka_unit_test(two_known_shifts_bound_those_between),
        cmocka_unit_test(parabolas_bound_those_between_closely),
        cmocka_unit_test(a_parabola_takes_all_bends),
        cmocka_unit_test(jumps_take_from_the_slope),
        cmocka_unit_test(the_slope_is_that_of_the_sum),
        cmocka_unit_test(samples_at_one_interval_are_no_other_case),
        cmocka_unit_test(the_bound_knows_the_longest_union),
        cmocka_unit_test(records_that_begin_and_end_below_are_cut_off),
        cmocka_unit_test(the_search_finds_what_brute_force_finds),
        cmocka_unit_test(cheaper_bounds_are_lower),
        cmocka_unit_test(repeats_are_those_of_a_look_at_all_pairs),
        cmocka_unit_test(a_crew_finds_the_repeats_that_one_finds),
        cmocka_unit_test(of_two_the_earlier_is_repeated),
        cmocka_unit_test(an_untimed_dive_between_hides_no_second_record),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
