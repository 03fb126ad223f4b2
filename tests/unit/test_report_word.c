/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The recorder's word and further models in text and JSON. The figures are invented; jansson reads the JSON. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>
#include <jansson.h>

#include "close.h"
#include "report/json_word.h"
#include "report/text_parts.h"
#include "report_world.h"

static world w;

static int open_world(void **state)
{
    (void)state;
    world_open(&w);
    w.look.width = 400;
    w.debrief.word = (ll_word){.any = true, .stops = {true, 2000, 4000, 21, 0, NAN, NAN}};
    w.debrief.word.figure[LL_WORD_STOP] =
        (ll_word_figure){LL_STOP, true, true, {true, 1500, 21, 18, 60}, {true, 4000, 3, 3, 240},
                         {true, 2600, 12, 6, 60}};
    w.debrief.word.figure[LL_WORD_CNS] = (ll_word_figure){.quantity = LL_CNS,
                                                          .said = true,
                                                          .ascent = {.known = false},
                                                          .surfacing = {true, 4080, 0.52, 47.9, NAN}};
    w.debrief.models = (ll_models){
        .known = true,
        .count = 3,
        .row = {{LL_ZH_L16C, 50, 80, true, NULL, {3060, 2460, 21}},
                {LL_VVAL_18, NAN, NAN, false, NULL, {240, 0, 0}},
                {LL_MN90, NAN, NAN, false, "air on open circuit only", {NAN, NAN, NAN}}},
        .least_owed_s = 0,
        .greatest_owed_s = 2460,
    };
    return 0;
}

static int close_world(void **state)
{
    (void)state;
    world_close(&w);
    return 0;
}

static const char *text_of(void (*part)(ll_page *, const ll_debrief *))
{
    ll_page page;
    ll_page_open(&page, &w.out, &w.look);
    part(&page, &w.debrief);
    ll_page_close(&page);
    return world_text(&w);
}

static void assert_says(const char *text, const char *words)
{
    if (!strstr(text, words))
        fail_msg("'%s' is not in: %s", words, text ? text : "(nothing)");
}

/* Times are run time: the record's clock less 60 s. */
static void own_stops_stand_first(void **state)
{
    (void)state;
    const char *text = text_of(ll_text_word);
    assert_string_equal(text, "\nThe recorder's word\n"
                              "  It asked for mandatory stops from 32:20 to 65:40, the deepest at 21 m. "
                              "The diver stayed at or below them throughout.\n"
                              "  Stop: at 24:00, the start of the ascent, 21 m for 1 min, the replay 18 m; at 65:40, "
                              "its last before the surfacing, 3 m for 4 min, the replay 3 m; farthest apart at 42:20, "
                              "12 m for 1 min, the replay 6 m.\n"
                              "  CNS as written, fraction or percent is not settled: at 67:00, the surfacing, 0.52, "
                              "the replay 48 %.\n");
}

static void what_was_not_kept_is_told_in_minutes(void **state)
{
    (void)state;
    w.debrief.word.stops.above_s = 130;
    w.debrief.word.stops.above_m = 1.24;
    w.debrief.word.stops.above_at_s = 3060;
    assert_says(text_of(ll_text_word), "The diver was above them for 2 min 10 s in all, by as much as 1.2 m at 50:00, "
                                       "and at or below them for the rest.");
}

/* Half a metre down the recorder's gradient and the replay's agree, and the one at the surface is another. */
static void a_last_gradient_under_water_names_its_depth(void **state)
{
    (void)state;
    ll_word_figure *gradient = &w.debrief.word.figure[LL_WORD_GRADIENT];
    *gradient = (ll_word_figure){.quantity = LL_GRADIENT, .said = true, .compared = true,
                                 .surfacing = {true, 4080, 88, 88, NAN}};
    w.depth_m[w.debrief.profile.surfacing] = 0.5;
    assert_says(text_of(ll_text_word), "at 67:00, the surfacing, still 0.5 m under the surface, 88 %, the replay 88 %.");
    w.depth_m[w.debrief.profile.surfacing] = 0.04;
    w.out.size = 0;
    assert_says(text_of(ll_text_word), "at 67:00, the surfacing, 88 %, the replay 88 %.");
    w.depth_m[w.debrief.profile.surfacing] = 0.5;
    gradient->surfacing.time_s = 4000;
    w.out.size = 0;
    assert_says(text_of(ll_text_word), "at 65:40, its last before the surfacing, 88 %, the replay 88 %.");
}

static void a_silent_recorder_has_no_section(void **state)
{
    (void)state;
    w.debrief.word = (ll_word){.any = false};
    assert_string_equal(text_of(ll_text_word), "");
}

static void every_model_has_its_line(void **state)
{
    (void)state;
    const char *text = text_of(ll_text_models);
    assert_says(text, "  ZH-L16C 50/80, as replayed: 41 min at stops, the deepest at 21 m; 51 min to the surface.\n");
    assert_says(text, "  Exponential-linear (VVal-18): no stops; 4 min to the surface.\n");
    assert_says(text, "  MN90 covers air on open circuit only, and this dive breathed something else.\n");
    assert_says(text, "  By these, what was owed lies between nothing and 41 min.\n");
    assert_says(text, "start this record at rest, without earlier dives");
}

static void unknown_gas_leaves_no_appendix(void **state)
{
    (void)state;
    w.debrief.models = (ll_models){.known = false};
    assert_string_equal(text_of(ll_text_models), "");
}

static json_t *document(void)
{
    ll_json json = {&w.out, false};
    ll_json_open(&json, NULL, '{');
    ll_json_word(&json, &w.debrief);
    ll_json_models(&json, &w.debrief);
    ll_json_close(&json, '}');
    json_t *root = json_loads(world_text(&w), 0, NULL);
    assert_non_null(root);
    return root;
}

static void the_json_carries_every_figure(void **state)
{
    (void)state;
    json_t *root = document(), *recorder = json_object_get(root, "recorder"), *models = json_object_get(root, "models");
    json_t *cns = json_array_get(json_object_get(recorder, "figures"), 1);
    assert_close(json_number_value(json_object_get(json_object_get(recorder, "stops"), "above_s")), 0, 0, 0);
    assert_true(json_is_null(json_object_get(json_object_get(recorder, "stops"), "above_m")));
    assert_int_equal(json_array_size(json_object_get(recorder, "figures")), 2);
    assert_true(json_is_false(json_object_get(cns, "compared")));
    assert_true(json_is_null(json_object_get(cns, "ascent_start")));
    assert_close(json_number_value(json_object_get(json_object_get(cns, "surfacing"), "recorder")), 0.52, 0, 0);
    json_t *ratio = json_array_get(json_object_get(models, "rows"), 2);
    assert_true(json_is_false(json_object_get(ratio, "covered")));
    assert_true(json_is_null(json_object_get(ratio, "owed_s")));
    assert_string_equal(json_string_value(json_object_get(ratio, "covers")), "air on open circuit only");
    json_decref(root);
}

static void nothing_is_null(void **state)
{
    (void)state;
    w.debrief.word.any = w.debrief.models.known = false;
    json_t *root = document();
    assert_true(json_is_null(json_object_get(root, "recorder")));
    assert_true(json_is_null(json_object_get(root, "models")));
    json_decref(root);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(own_stops_stand_first, open_world, close_world),
        cmocka_unit_test_setup_teardown(what_was_not_kept_is_told_in_minutes, open_world, close_world),
        cmocka_unit_test_setup_teardown(a_last_gradient_under_water_names_its_depth, open_world, close_world),
        cmocka_unit_test_setup_teardown(a_silent_recorder_has_no_section, open_world, close_world),
        cmocka_unit_test_setup_teardown(every_model_has_its_line, open_world, close_world),
        cmocka_unit_test_setup_teardown(unknown_gas_leaves_no_appendix, open_world, close_world),
        cmocka_unit_test_setup_teardown(the_json_carries_every_figure, open_world, close_world),
        cmocka_unit_test_setup_teardown(nothing_is_null, open_world, close_world),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
