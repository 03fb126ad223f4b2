/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Gas use and margin in text and JSON. The figures are invented; jansson reads the JSON. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>
#include <jansson.h>

#include "close.h"
#include "report/json_gas.h"
#include "report/text_parts.h"
#include "report_world.h"

static world w;
static ll_gas_tank tank[2];
static ll_gas_left left[2][2];
static ll_gas_instant instant[2];
static ll_gas_minute minute[2];

static int open_world(void **state)
{
    (void)state;
    world_open(&w);
    for (int t = 0; t < 2; t++)
        for (int i = 0; i < 2; i++)
            left[t][i] = t ? (ll_gas_left){NAN, NAN} : (ll_gas_left){110, 2500};
    instant[0] = (ll_gas_instant){LL_AT_ASCENT_START, 1500, 59.8, 0};
    instant[1] = (ll_gas_instant){LL_AT_SWITCH, 2000, 21.1, 1};
    tank[0] = (ll_gas_tank){.name = "twins",
                            .mix = 0,
                            .volume_l = 24,
                            .recorded = true,
                            .start_s = 0,
                            .end_s = 4080,
                            .start_bar = 220,
                            .end_bar = 60,
                            .used_l = 3300.4,
                            .rmv_l_min = 14.54,
                            .mean_bar = 5.9,
                            .breathed_min = 38.5,
                            .bottom = {0, 1500, 2300, 15.1},
                            .ascent = {1500, 4080, 1000, 13.2},
                            .left = left[0]};
    tank[1] = (ll_gas_tank){.mix = LL_NONE,
                            .volume_l = NAN,
                            .start_bar = NAN,
                            .end_bar = NAN,
                            .used_l = NAN,
                            .rmv_l_min = NAN,
                            .remark = LL_GAS_NO_PRESSURE,
                            .left = left[1]};
    minute[0] = (ll_gas_minute){60, 40, 0, 4000, 1200, 2800, 21, 1, LL_GAS_PLAIN};
    minute[1] = (ll_gas_minute){1500, 59.8, 0, 1800, 2050, -250, 21, 1, LL_GAS_PLAIN};
    w.debrief.gas = (ll_gas_use){2, tank, 2, instant, {2, minute, 2, 1}};
    return 0;
}

static int close_world(void **state)
{
    (void)state;
    world_close(&w);
    return 0;
}

static const char *gas_text(void)
{
    ll_page page;
    ll_page_open(&page, &w.out, &w.look);
    ll_text_gas(&page, &w.debrief);
    ll_page_close(&page);
    return world_text(&w);
}

static void text_tells_use_and_margin(void **state)
{
    (void)state;
    assert_golden("gas.txt", gas_text());
}

static void a_margin_that_is_not_known_says_why(void **state)
{
    (void)state;
    w.debrief.gas.margin.known = 0;
    minute[0].remark = LL_GAS_LOOP;
    assert_non_null(strstr(gas_text(), "Margin, looking back: not known (on a loop"));
}

static void without_tanks_nothing_is_said(void **state)
{
    (void)state;
    w.debrief.gas = (ll_gas_use){0};
    assert_string_equal(gas_text(), "");
}

static json_t *gas_json(void)
{
    ll_json json = {&w.out, false};
    ll_json_open(&json, NULL, '{');
    ll_json_gas(&json, &w.debrief);
    ll_json_close(&json, '}');
    json_t *root = json_loads(world_text(&w), 0, NULL);
    assert_non_null(root);
    return root;
}

/* The promised keys come first, in this order. */
static void json_keeps_the_promised_keys(void **state)
{
    (void)state;
    static const char *const promised[] = {"tank", "mix", "start_bar", "end_bar", "used_l", "rmv_l_min"};
    json_t *root = gas_json(), *first = json_array_get(json_object_get(root, "gas"), 0);
    void *member = json_object_iter(first);
    for (size_t i = 0; i < sizeof promised / sizeof *promised; i++) {
        assert_string_equal(json_object_iter_key(member), promised[i]);
        member = json_object_iter_next(first, member);
    }
    assert_string_equal(json_string_value(json_object_get(first, "mix")), "bottom");
    assert_close(json_number_value(json_object_get(first, "rmv_l_min")), 14.54, 0, 0);
    json_t *second = json_array_get(json_object_get(root, "gas"), 1);
    assert_true(json_is_null(json_object_get(second, "tank")) && json_is_null(json_object_get(second, "rmv_l_min")));
    json_t *margin = json_object_get(root, "gas_margin"), *least = json_object_get(margin, "least");
    assert_close(json_number_value(json_object_get(margin, "rmv_l_min")), 30, 0, 0);
    assert_close(json_number_value(json_object_get(least, "margin_l")), -250, 0, 0);
    assert_int_equal(json_array_size(json_object_get(margin, "minutes")), 2);
    json_decref(root);
}

static void json_without_pressures_has_no_margin(void **state)
{
    (void)state;
    w.debrief.gas = (ll_gas_use){0};
    json_t *root = gas_json();
    assert_int_equal(json_array_size(json_object_get(root, "gas")), 0);
    assert_true(json_is_null(json_object_get(root, "gas_margin")));
    json_decref(root);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
#define TEST(name) cmocka_unit_test_setup_teardown(name, open_world, close_world)
        TEST(text_tells_use_and_margin),
        TEST(a_margin_that_is_not_known_says_why),
        TEST(without_tanks_nothing_is_said),
        TEST(json_keeps_the_promised_keys),
        TEST(json_without_pressures_has_no_margin),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
