/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How alike two profiles are, against sums over a fine grid of instants. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "assess/alike.h"
#include "close.h"

enum { MOST = 400 };

typedef struct drawn {
    double time_s[MOST], depth_m[MOST];
    ll_profile profile;
    ll_shape shape;
} drawn;

static drawn one, other;

static void finish(drawn *d, size_t count)
{
    d->profile = (ll_profile){.time_s = d->time_s, .depth_m = d->depth_m, .count = count, .surfacing = count - 1};
    d->profile.run_time_s = d->time_s[count - 1] - d->time_s[0];
    d->profile.interval_s = count > 1 ? d->time_s[1] - d->time_s[0] : NAN;
    d->profile.greatest_m = 0;
    for (size_t i = 0; i < count; i++)
        d->profile.greatest_m = fmax(d->profile.greatest_m, d->depth_m[i]);
    ll_shape_make(&d->profile, &d->shape);
}

static void draw(drawn *d, size_t count, const double *time_s, const double *depth_m)
{
    memcpy(d->time_s, time_s, count * sizeof *time_s);
    memcpy(d->depth_m, depth_m, count * sizeof *depth_m);
    finish(d, count);
}

/* A small generator of its own, so that every machine draws the same. */
static double chance(uint64_t *state)
{
    *state = *state * 6364136223846793005u + 1442695040888963407u;
    return (double)(*state >> 11) / 9007199254740992.0;
}

static void draw_wandering(drawn *d, size_t count, double interval_s, double deepest_m, uint64_t seed)
{
    double depth = 0;
    for (size_t i = 0; i < count; i++) {
        d->time_s[i] = (double)i * interval_s;
        depth = fmin(fmax(depth + (chance(&seed) - 0.45) * interval_s * 0.4, 0), deepest_m);
        d->depth_m[i] = i == 0 || i + 1 == count ? 0 : depth;
    }
    finish(d, count);
}

/* --- by hand ------------------------------------------------------------------------------------------------------ */

static double depth_at(const drawn *d, double time_s)
{
    size_t count = d->shape.count;
    if (time_s < 0 || time_s > d->shape.run_time_s)
        return 0;
    size_t i = 1;
    while (i + 1 < count && d->time_s[i] - d->time_s[0] < time_s)
        i++;
    double from = d->time_s[i - 1] - d->time_s[0], to = d->time_s[i] - d->time_s[0];
    return d->depth_m[i - 1] + (d->depth_m[i] - d->depth_m[i - 1]) * (time_s - from) / (to - from);
}

static double summed_m(const drawn *a, const drawn *b, double shift_s)
{
    const double step = 0.25, from = fmin(0, shift_s);
    const double to = fmax(a->shape.run_time_s, b->shape.run_time_s + shift_s);
    double sum = 0, covered = 0;
    for (double t = from + step / 2; t < to; t += step) {
        bool within = (t >= 0 && t <= a->shape.run_time_s) || (t >= shift_s && t <= shift_s + b->shape.run_time_s);
        sum += within ? fabs(depth_at(a, t) - depth_at(b, t - shift_s)) * step : 0;
        covered += within ? step : 0;
    }
    return sum / covered;
}

/* --- tests -------------------------------------------------------------------------------------------------------- */

static const double trapeze_s[] = {100, 220, 1300, 1600}, trapeze_m[] = {0, 30, 30, 0};

static void layers_add_up_to_the_area(void **state)
{
    (void)state;
    draw(&one, 4, trapeze_s, trapeze_m);
    double sum = 0;
    for (int i = 0; i < LL_LAYERS; i++)
        sum += one.shape.layer_ms[i];
    /* The area of a trapeze: 30 m times the mean of its two parallel sides. */
    assert_close(sum, 30.0 * (1500 + 1080) / 2, 1e-6, 0);
    /* Deeper than 27 m on the last tenth of the way down and the first of the way up: 3 m high, 1080 and 1122 s wide. */
    assert_close(one.shape.layer_ms[9], 3.0 * (1080 + 1122) / 2, 1e-6, 0);
    assert_close(one.shape.layer_ms[10], 0, 1e-9, 0);
}

static void a_profile_is_like_itself(void **state)
{
    (void)state;
    draw(&one, 4, trapeze_s, trapeze_m);
    draw(&other, 4, trapeze_s, trapeze_m);
    ll_alike alike = ll_shapes_compare(&one.shape, &other.shape, 120, INFINITY);
    assert_close(alike.difference_m, 0, 1e-9, 0);
    assert_close(alike.shift_s, 0, 1e-9, 0);
    assert_int_equal(alike.samples, 4);
}

static void a_late_start_is_shifted_back(void **state)
{
    (void)state;
    const double late_s[] = {0, 45, 165, 1245, 1545}, late_m[] = {0, 0, 30, 30, 0};
    draw(&one, 4, trapeze_s, trapeze_m);
    draw(&other, 5, late_s, late_m);
    ll_alike alike = ll_shapes_compare(&one.shape, &other.shape, 120, INFINITY);
    assert_close(alike.difference_m, 0, 1e-3, 0);
    assert_close(alike.shift_s, -45, 0.1, 0);
    /* Without a shift: the two slopes lie 45 s apart, 30 m high each, over the union of 1545 s. */
    assert_close(ll_shapes_difference_m(&one.shape, &other.shape, 0), 2 * 45 * 30.0 / 1545, 1e-9, 0);
}

static void an_offset_in_depth_stays(void **state)
{
    (void)state;
    const double deeper_m[] = {0, 30.5, 30.5, 0};
    draw(&one, 4, trapeze_s, trapeze_m);
    draw(&other, 4, trapeze_s, deeper_m);
    /* Half a metre at the bottom, its half on the average of the slopes: the area between two trapezes. */
    assert_close(ll_shapes_difference_m(&one.shape, &other.shape, 0), 0.5 * (1500 + 1080) / 2 / 1500, 1e-9, 0);
}

static void differences_agree_with_sums_over_a_grid(void **state)
{
    (void)state;
    for (uint64_t seed = 1; seed <= 12; seed++) {
        draw_wandering(&one, 150, 7, 40, seed);
        draw_wandering(&other, 120, 9, 40, seed + 100);
        for (double shift_s = -130; shift_s <= 130; shift_s += 65)
            assert_close(ll_shapes_difference_m(&one.shape, &other.shape, shift_s), summed_m(&one, &other, shift_s),
                         2e-3, 0);
    }
}

static void nothing_on_the_grid_is_better(void **state)
{
    (void)state;
    for (uint64_t seed = 1; seed <= 12; seed++) {
        draw_wandering(&one, 150, 7, 40, seed);
        draw_wandering(&other, 150, 7, 40, seed % 3 ? seed : seed + 50);
        for (size_t i = 1; i + 1 < 150; i++)
            other.depth_m[i] = fmax(other.depth_m[i] + (i % 2 ? 0.1 : -0.1), 0);
        finish(&other, 150);
        ll_alike alike = ll_shapes_compare(&one.shape, &other.shape, 120, INFINITY);
        double least = INFINITY;
        for (double shift_s = -120; shift_s <= 120; shift_s += 0.5)
            least = fmin(least, ll_shapes_difference_m(&one.shape, &other.shape, shift_s));
        assert_true(alike.difference_m <= least + 1e-3);
        assert_true(fabs(alike.shift_s) <= 120);
        assert_true(ll_shapes_apart_m(&one.shape, &other.shape, 120) <= alike.difference_m + 1e-9);
        assert_true(ll_shapes_blocks_apart_m(&one.shape, &other.shape, 120) <= alike.difference_m);
    }
}

/* A block has the mean of what lies within it; slopes of 30 m in 120 s: 2 m in the first 16 s, 6 m in the next. */
static void blocks_hold_means(void **state)
{
    (void)state;
    draw(&one, 4, trapeze_s, trapeze_m);
    assert_int_equal(one.shape.blocks, 94); /* 1500 s */
    assert_close(one.shape.block_m[0], 2, 1e-5, 0);
    assert_close(one.shape.block_m[1], 6, 1e-5, 0);
    assert_close(one.shape.block_m[20], 30, 1e-5, 0);
    double sum_ms = 0;
    for (size_t i = 0; i < one.shape.blocks; i++)
        sum_ms += one.shape.block_m[i] * LL_SHAPE_BLOCK_S;
    assert_close(sum_ms, 30.0 * (1500 + 1080) / 2, 0.1, 0);
}

/* Two records far apart are told apart by their blocks alone, whatever the shift; equal ones never. */
static void blocks_tell_what_no_shift_can_mend(void **state)
{
    (void)state;
    const double shorter_s[] = {0, 120, 900, 1500};
    draw(&one, 4, trapeze_s, trapeze_m);
    draw(&other, 4, trapeze_s, trapeze_m);
    assert_true(ll_shapes_blocks_apart_m(&one.shape, &other.shape, 120) == 0);
    draw(&other, 4, shorter_s, trapeze_m);
    const double apart_m = ll_shapes_blocks_apart_m(&one.shape, &other.shape, 120);
    assert_true(apart_m > 1);
    const double exact_m = ll_shapes_compare(&one.shape, &other.shape, 120, INFINITY).difference_m;
    assert_true(apart_m <= exact_m);
    assert_true(isinf(ll_shapes_compare(&one.shape, &other.shape, 120, exact_m - 0.01).difference_m));
    assert_close(ll_shapes_compare(&one.shape, &other.shape, 120, exact_m + 0.01).difference_m, exact_m, 1e-3, 0);
}

static void a_constant_bottom_is_seen(void **state)
{
    (void)state;
    draw(&one, 4, trapeze_s, trapeze_m);
    assert_true(one.shape.constant_bottom);
    const double wavy_m[] = {0, 30, 29.6, 0};
    draw(&other, 4, trapeze_s, wavy_m);
    assert_false(other.shape.constant_bottom);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(layers_add_up_to_the_area),
        cmocka_unit_test(a_profile_is_like_itself),
        cmocka_unit_test(a_late_start_is_shifted_back),
        cmocka_unit_test(an_offset_in_depth_stays),
        cmocka_unit_test(differences_agree_with_sums_over_a_grid),
        cmocka_unit_test(nothing_on_the_grid_is_better),
        cmocka_unit_test(blocks_hold_means),
        cmocka_unit_test(blocks_tell_what_no_shift_can_mend),
        cmocka_unit_test(a_constant_bottom_is_seen),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
