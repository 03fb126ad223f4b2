/* SPDX-License-Identifier: GPL-3.0-or-later */
/* CSV outputs: cells by RFC 4180, the promised header, rows under it. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "report/csv.h"
#include "report_world.h"

static world w;

static int open_world(void **state)
{
    (void)state;
    world_open(&w);
    return 0;
}

static int close_world(void **state)
{
    (void)state;
    world_close(&w);
    return 0;
}

/* RFC 4180, section 2, rules 5 to 7; and no cell that a spreadsheet takes for a formula. */
static void cells_of_text(void **state)
{
    (void)state;
    static const char *const rows[][2] = {
        {"plain", "plain"},
        {"a,b", "\"a,b\""},
        {"say \"no\"", "\"say \"\"no\"\"\""},
        {"two\nlines", "\"two\nlines\""},
        {"=1+1", "'=1+1"},
        {"+47 555", "'+47 555"},
        {"-a", "'-a"},
        {"@sum", "'@sum"},
        {"\tx", "'\tx"},
        {"=a,\"b\"", "\"'=a,\"\"b\"\"\""},
        {"", ""},
        {" x", "\" x\""},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        w.out.size = 0;
        ll_csv_text(&w.out, rows[i][0]);
        assert_string_equal(world_text(&w), rows[i][1]);
    }
    w.out.size = 0;
    ll_csv_text(&w.out, NULL);
    assert_string_equal(world_text(&w), "");
}

/* The header as promised (docs/formats.md). */
static void header_of_the_track(void **state)
{
    (void)state;
    ll_csv_track_head(&w.out, LL_SET_ALL & ~LL_SET_TISSUES);
    assert_string_equal(world_text(&w),
                        "dive,time_s,depth_m,ambient_bar,mix_o2,mix_he,po2_atm,end_n2_m,end_n2o2_m,density_g_l,"
                        "ascent_rate_m_min,ceiling_m,stop_m,gradient_percent,leading_compartment,no_stop_s,"
                        "time_to_surface_s,cns_percent,otu,temperature_c\n");
    w.out.size = 0;
    ll_csv_track_head(&w.out, LL_SET(LL_DEPTH) | LL_SET_TISSUES);
    assert_string_equal(
        world_text(&w),
        "dive,depth_m,n2_1_bar,n2_2_bar,n2_3_bar,n2_4_bar,n2_5_bar,n2_6_bar,n2_7_bar,n2_8_bar,n2_9_bar,"
        "n2_10_bar,n2_11_bar,n2_12_bar,n2_13_bar,n2_14_bar,n2_15_bar,n2_16_bar,he_1_bar,he_2_bar,he_3_bar,"
        "he_4_bar,he_5_bar,he_6_bar,he_7_bar,he_8_bar,he_9_bar,he_10_bar,he_11_bar,he_12_bar,he_13_bar,"
        "he_14_bar,he_15_bar,he_16_bar\n");
}

static void rows_of_the_track(void **state)
{
    (void)state;
    w.debrief.track.count = 3;
    w.time_s[1] = 1.0 / 3;
    ll_csv_track(&w.out, 12, &w.debrief.track,
                 LL_SET(LL_TIME) | LL_SET(LL_DEPTH) | LL_SET(LL_NO_STOP) | LL_SET(LL_TEMPERATURE));
    assert_string_equal(world_text(&w), "12,0,0,,\n12,0.333333333333,0.3,,4.6\n12,240,40,,\n");
    w.out.size = 0;
    w.debrief.track.count = 1;
    ll_csv_track(&w.out, 1, &w.debrief.track, LL_SET(LL_TISSUES_HE));
    assert_string_equal(world_text(&w),
                        "1,16.75,17.75,18.75,19.75,20.75,21.75,22.75,23.75,24.75,25.75,26.75,27.75,28.75,"
                        "29.75,30.75,31.75\n");
}

static void rows_of_findings(void **state)
{
    (void)state;
    ll_csv_findings_head(&w.out);
    ll_csv_findings(&w.out, &w.debrief);
    assert_golden("findings.csv", world_text(&w));
}

static void rows_of_the_list(void **state)
{
    (void)state;
    w.site.name = "=Skiferholt, \"north\" wall";
    ll_list_head(&w.out, &w.history, LL_LIST_CSV, &w.look);
    ll_list_row(&w.out, &w.debrief, LL_LIST_CSV, &w.look, true);
    world_state_only(&w);
    ll_list_row(&w.out, &w.debrief, LL_LIST_CSV, &w.look, false);
    ll_list_foot(&w.out, &w.history, LL_LIST_CSV, &w.look);
    assert_golden("list.csv", world_text(&w));
}

int main(void)
{
#define ONE(test) cmocka_unit_test_setup_teardown(test, open_world, close_world)
    const struct CMUnitTest tests[] = {
        ONE(cells_of_text),    ONE(header_of_the_track), ONE(rows_of_the_track),
        ONE(rows_of_findings), ONE(rows_of_the_list),
    };
#undef ONE
    return cmocka_run_group_tests(tests, NULL, NULL);
}
