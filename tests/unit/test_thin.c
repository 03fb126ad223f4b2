/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Thinning leaves what can be seen: drawn by hand, then over random walks with a fixed seed. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "close.h"
#include "report/thin.h"

enum { MOST = 20000 };

static ll_point whole[MOST], thinned[MOST];
static bool keep[MOST];

static ll_points copy_of(size_t count)
{
    memcpy(thinned, whole, count * sizeof *whole);
    memset(keep, 0, sizeof keep);
    return (ll_points){count, thinned};
}

static void assert_times(const ll_points *points, const double *times, size_t count)
{
    assert_int_equal(points->count, count);
    for (size_t i = 0; i < count; i++)
        assert_close(points->at[i].time_s, times[i], 0, 0);
}

/* --- by hand -------------------------------------------------------------------------------------------------- */

static void nothing_stays_nothing(void **state)
{
    (void)state;
    const ll_thinning how = {0, 10, 5, 0, NULL};
    ll_points points = copy_of(0);
    ll_points_thin(&points, keep, &how);
    assert_int_equal(points.count, 0);
}

static void first_last_least_greatest_stay(void **state)
{
    (void)state;
    const double values[] = {1, 2, 9, 3, 3.5, -4, 0, 2};
    for (size_t i = 0; i < 8; i++)
        whole[i] = (ll_point){(double)i, values[i]};
    const ll_thinning how = {0, 100, 1, 0, NULL};
    ll_points points = copy_of(8);
    ll_points_thin(&points, keep, &how);
    assert_times(&points, (const double[]){0, 2, 5, 7}, 4);
}

static void both_sides_of_a_crossing_stay(void **state)
{
    (void)state;
    const double values[] = {1, 2, 3, 4, 5, 6, 7}, limit = 4.5;
    for (size_t i = 0; i < 7; i++)
        whole[i] = (ll_point){(double)i, values[i]};
    const ll_thinning how = {0, 100, 1, 1, &limit};
    ll_points points = copy_of(7);
    ll_points_thin(&points, keep, &how);
    assert_times(&points, (const double[]){0, 3, 4, 6}, 4);
}

static void steps_and_gaps_stay(void **state)
{
    (void)state;
    whole[0] = (ll_point){0, 1};
    whole[1] = (ll_point){1, 1};
    whole[2] = (ll_point){1, 1.1};
    whole[3] = (ll_point){2, 1.05};
    whole[4] = (ll_point){3, NAN};
    whole[5] = (ll_point){4, NAN};
    whole[6] = (ll_point){5, 1.02};
    whole[7] = (ll_point){6, 1.03};
    whole[8] = (ll_point){7, 1.03};
    const ll_thinning how = {0, 100, 1, 0, NULL};
    ll_points points = copy_of(9);
    ll_points_thin(&points, keep, &how);
    assert_times(&points, (const double[]){0, 1, 1, 2, 3, 5, 7}, 7);
    assert_true(isnan(points.at[4].value));
}

static void what_was_kept_before_stays(void **state)
{
    (void)state;
    for (size_t i = 0; i < 10; i++)
        whole[i] = (ll_point){(double)i, (double)i};
    const ll_thinning how = {0, 100, 1, 0, NULL};
    ll_points points = copy_of(10);
    keep[4] = true;
    ll_points_thin(&points, keep, &how);
    assert_times(&points, (const double[]){0, 4, 9}, 3);
}

/* --- over random walks ------------------------------------------------------------------------------------------ */

/* Numerical Recipes, 2nd ed. 1992, section 7.1: a quick linear congruence. */
static uint32_t seed;
static double random_share(void)
{
    seed = seed * 1664525u + 1013904223u;
    return (double)(seed >> 8) / (1 << 24);
}

/* Uneven times, steps of height and gaps. */
static size_t walk(size_t count)
{
    double time_s = 0, value = 0;
    for (size_t i = 0; i < count; i++) {
        time_s += random_share() < 0.02 ? 0 : 0.5 + random_share();
        value += random_share() - 0.5;
        whole[i] = (ll_point){time_s, random_share() < 0.01 ? NAN : value};
    }
    return count;
}

static size_t column_of(const ll_thinning *how, double time_s)
{
    double column = floor((time_s - how->from_s) / (how->to_s - how->from_s) * (double)how->columns);
    return column >= (double)how->columns ? how->columns - 1 : (size_t)column;
}

static void ranges_of(const ll_point *at, size_t count, const ll_thinning *how, double *least, double *greatest)
{
    for (size_t c = 0; c < how->columns; c++)
        least[c] = greatest[c] = NAN;
    for (size_t i = 0; i < count; i++) {
        size_t c = column_of(how, at[i].time_s);
        least[c] = fmin(least[c], at[i].value);
        greatest[c] = fmax(greatest[c], at[i].value);
    }
}

static void assert_same_ranges(size_t count, const ll_points *points, const ll_thinning *how)
{
    static double least[2][1000], greatest[2][1000];
    ranges_of(whole, count, how, least[0], greatest[0]);
    ranges_of(points->at, points->count, how, least[1], greatest[1]);
    for (size_t c = 0; c < how->columns; c++) {
        assert_int_equal(isnan(least[0][c]), isnan(least[1][c]));
        if (isnan(least[0][c]))
            continue;
        assert_close(least[1][c], least[0][c], 0, 0);
        assert_close(greatest[1][c], greatest[0][c], 0, 0);
    }
}

/* Times at which a curve passes a limit. */
static size_t crossings(const ll_point *at, size_t count, double limit, double *time_s)
{
    size_t found = 0;
    for (size_t i = 0; i + 1 < count; i++)
        if (!isnan(at[i].value) && !isnan(at[i + 1].value) && (at[i].value > limit) != (at[i + 1].value > limit))
            time_s[found++] = at[i].time_s + (at[i + 1].time_s - at[i].time_s) * (limit - at[i].value) /
                                                 (at[i + 1].value - at[i].value);
    return found;
}

static size_t assert_same_crossings(size_t count, const ll_points *points, double limit)
{
    static double before[MOST], after[MOST];
    size_t found = crossings(whole, count, limit, before);
    assert_int_equal(crossings(points->at, points->count, limit, after), found);
    for (size_t i = 0; i < found; i++)
        assert_close(after[i], before[i], 1e-9, 0);
    return found;
}

static size_t count_steps(size_t count)
{
    size_t found = 0;
    for (size_t i = 0; i + 1 < count; i++)
        found += whole[i].time_s == whole[i + 1].time_s;
    return found;
}

static size_t count_gaps(const ll_point *at, size_t count)
{
    size_t found = 0;
    for (size_t i = 0; i < count; i++)
        found += isnan(at[i].value) && (i == 0 || !isnan(at[i - 1].value));
    return found;
}

static void random_walks_look_the_same(void **state)
{
    (void)state;
    size_t all_crossings = 0, all_gaps = 0;
    for (seed = 1; seed <= 40; seed++) {
        const uint32_t begun = seed;
        size_t count = walk(200 + (size_t)(random_share() * (MOST - 200)));
        const double limits[] = {-1.3, 0, 2.7};
        const ll_thinning how = {0, whole[count - 1].time_s, 100 + (size_t)(random_share() * 800), 3, limits};
        ll_points points = copy_of(count);
        ll_points_thin(&points, keep, &how);
        assert_same_ranges(count, &points, &how);
        size_t found = 0;
        for (size_t i = 0; i < 3; i++)
            found += assert_same_crossings(count, &points, limits[i]);
        assert_int_equal(count_gaps(points.at, points.count), count_gaps(whole, count));
        assert_true(points.count <=
                    4 * how.columns + 2 * found + 2 * count_steps(count) + 3 * count_gaps(whole, count));
        all_crossings += found;
        all_gaps += count_gaps(whole, count);
        seed = begun;
    }
    assert_true(all_crossings > 1000 && all_gaps > 1000); /* else nothing was looked at */
}

/* Without crossings, steps and gaps four a column are left at most, and long walks do become shorter. */
static void long_walks_become_short(void **state)
{
    (void)state;
    seed = 7;
    for (size_t i = 0; i < MOST; i++)
        whole[i] = (ll_point){(double)i, random_share()};
    const ll_thinning how = {0, MOST - 1, 800, 0, NULL};
    ll_points points = copy_of(MOST);
    ll_points_thin(&points, keep, &how);
    assert_true(points.count <= 4 * 800);
    assert_true(points.count > 3 * 800);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(nothing_stays_nothing),
        cmocka_unit_test(first_last_least_greatest_stay),
        cmocka_unit_test(both_sides_of_a_crossing_stay),
        cmocka_unit_test(steps_and_gaps_stay),
        cmocka_unit_test(what_was_kept_before_stays),
        cmocka_unit_test(random_walks_look_the_same),
        cmocka_unit_test(long_walks_become_short),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
