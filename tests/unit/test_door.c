/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the door gives to programs that are not the tool: counts, names, columns, and a plan read from a log. All
 * expected values stand in the documents below. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include <leadline/leadline.h>

#include "close.h"
#include "standard/plan.h"

#define HEAD "<uddf version=\"3.2.2\"><generator><name>invented writer</name></generator>"
#define MIXES \
    "<gasdefinitions><mix id=\"t\"><o2>0.18</o2><n2>0.37</n2><he>0.45</he></mix>" \
    "<mix id=\"e\"><o2>0.5</o2><n2>0.5</n2><he>0</he></mix></gasdefinitions>"
#define DIVE(at, samples) \
    "<dive><informationbeforedive><datetime>2026-05-20T" at ":00:00</datetime></informationbeforedive>" \
    "<samples>" samples "</samples></dive>"
#define POINT(time, depth, more) \
    "<waypoint><depth>" depth "</depth><divetime>" time "</divetime>" more "</waypoint>"
#define LOG(dives) HEAD MIXES "<profiledata><repetitiongroup>" dives "</repetitiongroup></profiledata></uddf>"

/* 9 h: 10 m without a word on the mix. 11 h: 40 m on trimix, half oxygen from 21 m on. 13 h: no samples. */
#define EARLY DIVE("09", POINT("0", "0", "") POINT("60", "10", "") POINT("600", "0", ""))
#define LATE \
    DIVE("11", POINT("30", "0", "<switchmix ref=\"t\"/>") POINT("150", "40", "") \
         POINT("600", "21", "<switchmix ref=\"e\"/>") POINT("900", "0", ""))
#define EMPTY DIVE("13", "")

/* Gives a few bytes at a time, so that a reader has to ask again. */
typedef struct tape {
    const char *next;
} tape;

static ptrdiff_t play(void *context, void *bytes, size_t capacity)
{
    tape *from = context;
    size_t size = strlen(from->next);
    size = size < capacity ? size : capacity;
    size = size < 100 ? size : 100;
    memcpy(bytes, from->next, size);
    from->next += size;
    return (ptrdiff_t)size;
}

static ptrdiff_t break_down(void *context, void *bytes, size_t capacity)
{
    (void)context, (void)bytes, (void)capacity;
    return -1;
}

static ll_log *read_log(const char *text)
{
    ll_log *log;
    ll_error error = {0};
    assert_int_equal(leadline_log_read("log", play, &(tape){text}, &log, &error), LL_OK);
    return log;
}

static ll_plan *read_plan(const char *text)
{
    ll_plan *plan;
    assert_int_equal(leadline_plan_read("plan", play, &(tape){text}, &plan, NULL), LL_OK);
    return plan;
}

static ll_history *merge(ll_log *log)
{
    ll_history *history;
    ll_settings settings;
    leadline_settings(&settings);
    assert_int_equal(leadline_merge(&log, 1, &settings, NULL, &history, NULL), LL_OK);
    return history;
}

static void test_columns_of_one_dive(void **state)
{
    (void)state;
    ll_log *log = read_log(LOG(EARLY LATE EMPTY));
    ll_history *history = merge(log);
    ll_replay *replay;
    assert_int_equal(leadline_log_dives(log), 3);
    assert_int_equal(leadline_history_dives(history), 3);
    assert_int_equal(leadline_replay(history, 2, "depth_m,mix_he", &replay, NULL), LL_OK);
    assert_int_equal(leadline_replay_rows(replay), 4);
    assert_close(leadline_replay_column(replay, "depth_m")[1], 40, 0, 0);
    assert_close(leadline_replay_column(replay, "mix_he")[1], 0.45, 1e-15, 0);
    assert_null(leadline_replay_column(replay, "po2_atm"));
    assert_null(leadline_replay_column(replay, "n2_1_bar"));
    assert_null(leadline_replay_column(replay, "depth"));
    leadline_replay_free(replay);
    leadline_replay_free(NULL);
    leadline_history_free(history);
    leadline_log_free(log);
}

/* Without keys everything but the tissues is there. */
static void test_all_columns(void **state)
{
    (void)state;
    ll_log *log = read_log(LOG(LATE));
    ll_history *history = merge(log);
    ll_replay *replay;
    assert_int_equal(leadline_replay(history, 1, NULL, &replay, NULL), LL_OK);
    assert_close(leadline_replay_column(replay, "mix_o2")[3], 0.5, 1e-15, 0);
    assert_non_null(leadline_replay_column(replay, "time_to_surface_s"));
    assert_null(leadline_replay_column(replay, "n2_1_bar"));
    leadline_replay_free(replay);
    leadline_history_free(history);
    leadline_log_free(log);
}

static void assert_not_replayed(const ll_history *history, unsigned number, const char *keys, const char *why)
{
    ll_error error = {0};
    ll_replay *replay = (ll_replay *)&error;
    assert_int_equal(leadline_replay(history, number, keys, &replay, &error), LL_BAD_USAGE);
    assert_null(replay);
    assert_string_equal(error.text, why);
}

static void test_no_columns(void **state)
{
    (void)state;
    ll_log *log = read_log(LOG(EARLY LATE EMPTY));
    ll_history *history = merge(log);
    assert_not_replayed(history, 0, NULL, "dive 0 is none that can be replayed");
    assert_not_replayed(history, 3, NULL, "dive 3 is none that can be replayed");
    assert_not_replayed(history, 4, NULL, "dive 4 is none that can be replayed");
    assert_not_replayed(history, 1, "depth_m,n2_1_bar", "no column is called 'n2_1_bar'");
    leadline_history_free(history);
    leadline_log_free(log);
}

/* The latest dive that has samples; run time from its first one; of each point the mix that begins there or before. */
static void test_plan_of_a_log(void **state)
{
    (void)state;
    ll_plan *plan = read_plan(LOG(LATE EARLY EMPTY));
    assert_int_equal(plan->count, 1);
    const ll_plan_variant *variant = plan->variant;
    assert_int_equal(variant->count, 4);
    assert_close(variant->greatest_m, 40, 0, 0);
    assert_close(variant->point[0].run_s, 0, 0, 0);
    assert_close(variant->point[1].run_s, 120, 0, 0);
    assert_close(variant->point[1].o2, 0.18, 1e-15, 0);
    assert_close(variant->point[1].he, 0.45, 1e-15, 0);
    assert_close(variant->point[2].depth_m, 21, 0, 0);
    assert_close(variant->point[2].o2, 0.5, 1e-15, 0);
    assert_close(variant->point[3].o2, 0.5, 1e-15, 0);
    assert_close(variant->point[3].he, 0, 0, 0);
    leadline_plan_free(plan);
}

static void test_plan_without_a_mix_is_on_air(void **state)
{
    (void)state;
    ll_plan *plan = read_plan(LOG(EARLY));
    assert_close(plan->variant->point[1].o2, 0.21, 1e-15, 0);
    assert_close(plan->variant->point[1].he, 0, 0, 0);
    leadline_plan_free(plan);
}

static void assert_no_plan(leadline_read read, const char *text, const char *why)
{
    ll_error error = {0};
    ll_plan *plan = (ll_plan *)&error;
    assert_int_equal(leadline_plan_read("plan", read, &(tape){text}, &plan, &error), LL_BAD_INPUT);
    assert_null(plan);
    assert_string_equal(error.text, why);
}

static void test_no_plan_of_a_log(void **state)
{
    (void)state;
    assert_no_plan(play, LOG(EMPTY), "expected a dive with a profile as the plan, found none");
    assert_no_plan(play, "<uddf", "the log breaks off before its first whole dive");
    assert_no_plan(break_down, "", "the input could not be read");
}

static void test_name_of_a_standard(void **state)
{
    (void)state;
    ll_standard *standard;
    const char *text = "<standard xmlns=\"urn:leadline:standard:1\" name=\"Quarry first\"><limits/></standard>";
    assert_int_equal(leadline_standard_read("s", play, &(tape){text}, &standard, NULL), LL_OK);
    assert_string_equal(leadline_standard_name(standard), "Quarry first");
    leadline_standard_free(standard);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_columns_of_one_dive),
        cmocka_unit_test(test_all_columns),
        cmocka_unit_test(test_no_columns),
        cmocka_unit_test(test_plan_of_a_log),
        cmocka_unit_test(test_plan_without_a_mix_is_on_air),
        cmocka_unit_test(test_no_plan_of_a_log),
        cmocka_unit_test(test_name_of_a_standard),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
