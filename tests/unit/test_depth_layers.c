/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What lies of a line in each layer, by hand; and that no two lines agree better than their shapes allow. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "assess/depth_layers.h"
#include "close.h"

#define LAYER_M 2.0

enum { MOST = 400, PAIRS = 300 };

/* A small generator of its own, so that every machine draws the same. */
static double chance(uint64_t *state)
{
    *state = *state * 6364136223846793005u + 1442695040888963407u;
    return (double)(*state >> 11) / 9007199254740992.0;
}

typedef struct record {
    double time_s[MOST], depth_m[MOST];
    ll_depth_line line;
} record;

static double area_ms(const ll_depth_line *line)
{
    double sum = 0;
    for (size_t i = 1; i < line->count; i++)
        sum += (line->time_s[i] - line->time_s[i - 1]) * (line->depth_m[i] + line->depth_m[i - 1]) / 2;
    return sum;
}

/* Down to 5 m in 100 s and up again: of the layer from 0 to 2 m the line misses two triangles of 2 m by 40 s at either
 * end, of that from 2 to 4 m the same on what is left of 120 s, and above 4 m it is a triangle of 1 m by 40 s. */
static void layers_are_those_by_hand(void **state)
{
    (void)state;
    const double time_s[] = {0, 100, 200}, depth_m[] = {0, 5, 0};
    const ll_depth_line line = {3, time_s, depth_m, 100};
    const ll_layers shape = ll_layers_of(&line);
    assert_close(shape.layer_ms[0], 2 * 200 - 2 * 40, 1e-9, 0);
    assert_close(shape.layer_ms[1], 2 * 120 - 2 * 40, 1e-9, 0);
    assert_close(shape.layer_ms[2], 1 * 40 / 2.0, 1e-9, 0);
    assert_close(shape.layer_ms[3], 0, 0, 0);
}

/* 100 m for 60 s: 2 m in each layer, and what is below the last roof in the last one. */
static void the_last_layer_has_no_floor(void **state)
{
    (void)state;
    const double time_s[] = {0, 60}, depth_m[] = {100, 100};
    const ll_depth_line line = {2, time_s, depth_m, 60};
    const ll_layers shape = ll_layers_of(&line);
    assert_close(shape.layer_ms[0], 120, 1e-9, 0);
    assert_close(shape.layer_ms[LL_LAYERS - 1], 60 * (100 - LAYER_M * (LL_LAYERS - 1)), 1e-9, 0);
}

static void invent(uint64_t *state, record *one)
{
    const size_t count = 5 + (size_t)(chance(state) * 40);
    const double deepest_m = 10 + 70 * chance(state);
    double time_s = 0;
    for (size_t i = 0; i < count; i++) {
        one->time_s[i] = time_s;
        one->depth_m[i] = i == 0 || i + 1 == count ? 0 : deepest_m * chance(state);
        time_s += 5 + 200 * chance(state) * chance(state);
    }
    one->line = (ll_depth_line){count, one->time_s, one->depth_m, 60};
}

/* A copy with noise, so that pairs that agree well are among those tried. */
static void follow(uint64_t *state, const record *one, record *other)
{
    *other = *one;
    for (size_t i = 1; i + 1 < one->line.count; i++)
        other->depth_m[i] = fmax(0, one->depth_m[i] + 4 * (chance(state) - 0.5));
    other->line = (ll_depth_line){one->line.count, other->time_s, other->depth_m, 60};
}

static void layers_make_up_the_area(void **state)
{
    (void)state;
    uint64_t seed = 3;
    for (int i = 0; i < PAIRS; i++) {
        record one;
        invent(&seed, &one);
        const ll_layers shape = ll_layers_of(&one.line);
        double sum_ms = 0;
        for (int k = 0; k < LL_LAYERS; k++)
            sum_ms += shape.layer_ms[k];
        assert_close(sum_ms, area_ms(&one.line), 1e-6, 0);
    }
}

/* The score is computed by the search for the clock, which knows nothing of shapes. */
static void no_score_exceeds_the_bound(void **state)
{
    (void)state;
    uint64_t seed = 11;
    int close = 0;
    for (int i = 0; i < PAIRS; i++) {
        record one, other;
        ll_clock_match match;
        ll_error error;
        invent(&seed, &one);
        if (i % 2)
            invent(&seed, &other);
        else
            follow(&seed, &one, &other);
        const ll_layers a = ll_layers_of(&one.line), b = ll_layers_of(&other.line);
        const double bound = ll_layers_bound(&a, &b);
        assert_int_equal(ll_clock_compare(&one.line, &other.line, 0, 43200, &ll_heap, &match, &error), LL_OK);
        assert_true(match.score <= bound + 1e-9);
        assert_true(bound <= 1);
        close += match.score > bound - 0.05;
    }
    assert_true(close > PAIRS / 4); /* it is worth something */
}

static void nothing_agrees_with_nothing(void **state)
{
    (void)state;
    const ll_layers none = {{0}};
    assert_close(ll_layers_bound(&none, &none), 0, 0, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(layers_are_those_by_hand),  cmocka_unit_test(the_last_layer_has_no_floor),
        cmocka_unit_test(layers_make_up_the_area),   cmocka_unit_test(no_score_exceeds_the_bound),
        cmocka_unit_test(nothing_agrees_with_nothing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
