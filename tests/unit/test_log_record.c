/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One record: samples put in order, spikes, spans of mix, mode and set point, mixes, tanks, values. Expected figures
 * follow by hand from the waypoints. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "close.h"
#include "log_world.h"

#define AT(depth, time, more) "<waypoint><depth>" depth "</depth><divetime>" time "</divetime>" more "</waypoint>\n"
#define AIR "<switchmix ref='air'/>"
#define EAN "<switchmix ref='ean50'/>"
#define TX "<switchmix ref='tx'/>"
#define MODE(type) "<divemode type='" type "'/>"
#define SET(by, pascal) "<setpo2 setby='" by "'>" pascal "</setpo2>"

static void assert_column(const double *column, size_t count, const double *expected)
{
    for (size_t i = 0; i < count; i++)
        assert_close(column[i], expected[i], 1e-12, 0);
}

/* --- samples ------------------------------------------------------------------------------------------------- */

static void negative_depths_become_0(void **state)
{
    (void)state;
    ll_log *log = read_waypoints(AT("-0.1", "0", AIR) AT("-1", "10", "") AT("-0.0", "20", ""));
    const double depth[] = {0, 0, 0};
    assert_column(log->dive[0].depth_m, 3, depth);
    assert_string_equal(note_text(&log->dive[0].notes, LL_NOTE_DEPTH_NEGATIVE),
                        "a depth of 0.1 m above the surface was read as 0");
    assert_int_equal(log->dive[0].notes.items[0].count, 2);
    ll_log_free(log);
}

static void missing_depths_are_interpolated_in_time(void **state)
{
    (void)state;
    ll_log *log = read_waypoints("<waypoint><depth/><divetime>0</divetime>" AIR "</waypoint>" AT("4", "10", "")
                                 "<waypoint><divetime>20</divetime></waypoint>" AT("10", "40", "")
                                 "<waypoint><divetime>50</divetime><alarm>deco</alarm></waypoint>");
    const double depth[] = {4, 4, 6, 10, 10};
    assert_int_equal(log->dive[0].count, 5);
    assert_column(log->dive[0].depth_m, 5, depth);
    assert_int_equal(log->dive[0].alarm[0].sample, 4);
    assert_string_equal(note_text(&log->dive[0].notes, LL_NOTE_DEPTH_MISSING),
                        "a sample without a depth at 0 s; its depth was interpolated");
    ll_log_free(log);
}

static void what_a_sample_without_time_says_holds_from_the_next(void **state)
{
    (void)state;
    ll_log *log = read_waypoints(AT("0", "0", AIR) "<waypoint><depth>3</depth><divetime> </divetime>" EAN
                                 "<tankpressure>2e7</tankpressure></waypoint>" AT("6", "20", ""));
    const ll_dive *dive = &log->dive[0];
    assert_int_equal(dive->count, 2);
    assert_span(dive, 1, 1, 2, 1, LL_OPEN_CIRCUIT);
    assert_int_equal(dive->tank_pressures, 0);
    assert_non_null(note_text(&dive->notes, LL_NOTE_TIME_MISSING));
    ll_log_free(log);
}

static void of_two_samples_at_one_time_the_later_counts(void **state)
{
    (void)state;
    ll_log *log = read_waypoints(AT("0", "0", AIR) AT("5", "10", "<temperature>280.15</temperature>" TX)
                                 AT("7", "10", EAN) "<waypoint><divetime>10</divetime></waypoint>" AT("8", "20", ""));
    const ll_dive *dive = &log->dive[0];
    const double time[] = {0, 10, 20}, depth[] = {0, 7, 8};
    assert_int_equal(dive->count, 3);
    assert_column(dive->time_s, 3, time);
    assert_column(dive->depth_m, 3, depth);
    assert_close(dive->temperature_c[1], 7, 1e-12, 0);
    assert_int_equal(dive->switches, 2);
    assert_int_equal(dive->change[1].mix, 1);
    assert_string_equal(note_text(&dive->notes, LL_NOTE_TIME_REPEATED), "two samples at 10 s differ; the later one counts");
    assert_int_equal(dive->notes.count, 3); /* and time-shared, mix-twice */
    ll_log_free(log);
}

static void small_steps_back_are_sorted(void **state)
{
    (void)state;
    ll_log *log = read_waypoints(AT("0", "0", AIR) AT("9", "30", EAN "<tankpressure>1.8e7</tankpressure>")
                                 AT("6", "20", "<tankpressure>1.9e7</tankpressure>") AT("12", "40", ""));
    const ll_dive *dive = &log->dive[0];
    const double time[] = {0, 20, 30, 40}, depth[] = {0, 6, 9, 12}, pressure[] = {190, 180};
    assert_column(dive->time_s, 4, time);
    assert_column(dive->depth_m, 4, depth);
    assert_column(dive->tank_pressure[0].value, 2, pressure);
    assert_int_equal(dive->tank_pressure[0].sample[1], 2);
    assert_span(dive, 1, 2, 4, 1, LL_OPEN_CIRCUIT);
    assert_non_null(note_text(&dive->notes, LL_NOTE_TIME_BACK));
    ll_log_free(log);
}

static void a_second_record_joined_on_is_left_out(void **state)
{
    (void)state;
    ll_log *log = read_waypoints(AT("0", "0", AIR) AT("9", "900", "") AT("0", "1000", "") AT("0", "0", EAN)
                                 AT("5", "60", ""));
    assert_int_equal(log->dive[0].count, 3);
    assert_int_equal(log->dive[0].spans, 1);
    assert_string_equal(note_text(&log->dive[0].notes, LL_NOTE_TIME_RESET),
                        "times fall back from 1000 s to 0 s, as if a second record followed; what comes after was left "
                        "out");
    ll_log_free(log);
}

static void without_depth_or_time_there_is_no_profile(void **state)
{
    (void)state;
    const char *const records[] = {"", "<waypoint/>", "<waypoint><divetime>0</divetime>" AIR "</waypoint>",
                                   "<waypoint><depth>3</depth>" AIR "</waypoint>"};
    for (size_t i = 0; i < 4; i++) {
        ll_log *log = read_waypoints(records[i]);
        assert_int_equal(log->dive[0].count, 0);
        assert_int_equal(log->dive[0].spans, 0);
        assert_non_null(note_text(&log->dive[0].notes, LL_NOTE_NO_PROFILE));
        ll_log_free(log);
    }
}

static void unreadable_values_are_missing(void **state)
{
    (void)state;
    ll_log *log = read_waypoints(AT("0", "0", AIR "<temperature>NaN</temperature>")
                                 AT("3 m", "10", "<tankpressure>1e999</tankpressure>")
                                 AT("4", "20", "<temperature>0</temperature><setpo2>-1</setpo2>"));
    const ll_dive *dive = &log->dive[0];
    assert_null(dive->temperature_c);
    assert_close(dive->depth_m[1], 2, 1e-12, 0);
    assert_int_equal(dive->tank_pressures, 0);
    assert_string_equal(note_text(&dive->notes, LL_NOTE_VALUE_UNREADABLE),
                        "temperature 'NaN' is no number this program can use; it counts as missing");
    assert_int_equal(dive->notes.items[0].count, 4);
    assert_int_equal(dive->notes.items[0].line, 6);
    assert_non_null(note_text(&log->notes, LL_NOTE_ZERO_ABSENT));
    ll_log_free(log);
}

/* --- spikes (over 120 m/min in and out, one to five samples) ------------------------------------------------- */

static void spikes_are_bridged(void **state)
{
    (void)state;
    ll_log *log = read_waypoints(AT("10", "0", AIR) AT("10", "1", "") AT("13", "2", "") AT("10.4", "3", "")
                                 AT("10.4", "13", "") AT("0", "15", "") AT("0", "20", "") AT("10.6", "23", ""));
    const double depth[] = {10, 10, 10.2, 10.4, 10.4, 10.44, 10.54, 10.6};
    assert_column(log->dive[0].depth_m, 8, depth);
    assert_string_equal(note_text(&log->dive[0].notes, LL_NOTE_SPIKE),
                        "the record leaves its line and returns (samples between: 1), both at over 120 m/min, around 2 s; the depths there were bridged");
    assert_int_equal(log->dive[0].notes.items[0].count, 2);
    ll_log_free(log);
}

static void what_is_no_spike_stays(void **state)
{
    (void)state;
    const char *const records[] = {
        AT("10", "0", AIR) AT("12", "1", "") AT("10", "2", ""),                     /* 120 m/min, not over */
        AT("0", "0", AIR) AT("9", "1", "") AT("18", "2", "") AT("18", "3", ""),     /* the same direction */
        AT("0", "0", AIR) AT("9", "1", "") AT("9", "2", "") AT("9", "3", "") AT("9", "4", "") AT("9", "5", "")
            AT("9", "6", "") AT("0", "7", ""),                                      /* six samples */
        AT("9", "0", AIR) AT("0", "1", "") AT("0", "2", ""),                        /* never left */
    };
    for (size_t i = 0; i < 4; i++) {
        ll_log *log = read_waypoints(records[i]);
        assert_null(note_text(&log->dive[0].notes, LL_NOTE_SPIKE));
        ll_log_free(log);
    }
    ll_log *log = read_waypoints(AT("0", "0", AIR) AT("9", "1", "") AT("9", "2", "") AT("9", "3", "") AT("9", "4", "")
                                 AT("9", "5", "") AT("0", "6", ""));
    assert_close(log->dive[0].depth_m[3], 0, 0, 0); /* five samples */
    ll_log_free(log);
}

/* --- spans --------------------------------------------------------------------------------------------------- */

static void naming_the_mix_in_use_is_no_switch(void **state)
{
    (void)state;
    ll_log *log = read_waypoints(AT("0", "0", AIR) AT("9", "60", AIR) AT("9", "90", EAN AIR) AT("8", "120", TX EAN)
                                 AT("6", "150", EAN));
    const ll_dive *dive = &log->dive[0];
    assert_int_equal(dive->switches, 2);
    assert_int_equal(dive->change[1].sample, 3);
    assert_int_equal(dive->spans, 2);
    assert_span(dive, 0, 0, 3, 0, LL_OPEN_CIRCUIT);
    assert_span(dive, 1, 3, 5, 1, LL_OPEN_CIRCUIT);
    ll_log_free(log);
}

static void a_switch_to_an_undefined_mix_is_unknown(void **state)
{
    (void)state;
    ll_log *log = read_waypoints(AT("0", "0", AIR) AT("9", "60", "<switchmix ref='mix_&#10;7'/>") AT("5", "90.5", EAN));
    const ll_dive *dive = &log->dive[0];
    assert_int_equal(dive->spans, 3);
    assert_span(dive, 1, 1, 2, LL_MIX_UNKNOWN, LL_OPEN_CIRCUIT);
    assert_span(dive, 2, 2, 3, 1, LL_OPEN_CIRCUIT);
    assert_int_equal(dive->change[1].mix, LL_MIX_UNKNOWN);
    assert_string_equal(note_text(&dive->notes, LL_NOTE_MIX_UNDEFINED),
                        "the switch at 60 s names the mix 'mix_?7', which the log does not define; the gas is unknown "
                        "from there on");
    ll_log_free(log);
}

static void set_points_have_two_tracks(void **state)
{
    (void)state;
    ll_log *log = read_waypoints(
        AT("0", "0", TX MODE("closedCircuit") SET("computer", "0.7e5")) AT("9", "60", SET("user", "1.2e5"))
        AT("9", "70", SET("computer", "1.3e5")) AT("9", "80", SET("user", "0")) AT("9", "90", MODE("opencircuit"))
        AT("9", "100", MODE("semiclosedcircuit")) AT("9", "110", "<setpo2>1.1e5</setpo2>")
        AT("9", "120", MODE("apnea")) AT("0", "130", MODE("upside down")));
    const ll_dive *dive = &log->dive[0];
    const ll_circuit circuit[] = {LL_CLOSED_CIRCUIT, LL_CLOSED_CIRCUIT,     LL_CLOSED_CIRCUIT,    LL_OPEN_CIRCUIT,
                                  LL_SEMICLOSED_CIRCUIT, LL_SEMICLOSED_CIRCUIT, LL_APNOE};
    const size_t first[] = {0, 1, 3, 4, 5, 6, 7, 9};
    const double bar[] = {0.7, 1.2, 1.3, NAN, 1.3, 1.1, NAN};
    assert_int_equal(dive->spans, 7);
    for (size_t i = 0; i < 7; i++) {
        assert_span(dive, i, first[i], first[i + 1], 2, circuit[i]);
        if (isnan(bar[i]))
            assert_true(isnan(dive->span[i].set_point_bar));
        else
            assert_close(dive->span[i].set_point_bar, bar[i], 1e-12, 0);
    }
    assert_string_equal(note_text(&dive->notes, LL_NOTE_KEYWORD_UNKNOWN),
                        "unknown divemode 'upside down' was passed over");
    ll_log_free(log);
}

/* --- the mix at the start ------------------------------------------------------------------------------------ */

static ll_log *read_dive(const char *gases, const char *dive)
{
    char text[2000];
    snprintf(text, sizeof text,
             "<uddf><profiledata><repetitiongroup><dive id='d'>%s<samples>" AT("9", "0", "") AT("5", "60", "%s")
             "</samples></dive></repetitiongroup></profiledata><gasdefinitions>%s</gasdefinitions></uddf>",
             dive, "<switchmix ref='b'/>", gases);
    return read_text(text);
}

#define A "<mix id='a'><o2>0.32</o2></mix>"
#define B "<mix id='b'><o2>0.5</o2></mix>"
#define BAD "<mix id='bad'><o2>0</o2></mix>"

static void the_only_mix_linked_is_taken_at_the_start(void **state)
{
    (void)state;
    ll_log *log = read_dive(B A, "<tankdata><link ref='a'/></tankdata><tankdata><link ref=' a '/></tankdata>");
    assert_span(&log->dive[0], 0, 0, 1, 1, LL_OPEN_CIRCUIT);
    assert_int_equal(log->dive[0].switches, 1);
    assert_int_equal(log->dive[0].change[0].sample, 1);
    assert_string_equal(note_text(&log->dive[0].notes, LL_NOTE_MIX_ASSUMED_LINKED),
                        "no mix is named at the start of the record; the only one there is (EAN32) was taken");
    ll_log_free(log);
    log = read_dive(B A, "<mixref ref='a'/>");
    assert_span(&log->dive[0], 0, 0, 1, 1, LL_OPEN_CIRCUIT);
    ll_log_free(log);
}

static void else_the_only_mix_defined(void **state)
{
    (void)state;
    ll_log *log = read_dive(B, "");
    assert_int_equal(log->dive[0].spans, 1);
    assert_span(&log->dive[0], 0, 0, 2, 0, LL_OPEN_CIRCUIT);
    assert_int_equal(log->dive[0].switches, 0);
    ll_log_free(log);
}

static void else_air(void **state)
{
    (void)state;
    const char *const links[] = {"", "<tankdata><link ref='a'/></tankdata><tankdata><link ref='b'/></tankdata>"};
    for (size_t i = 0; i < 2; i++) {
        ll_log *log = read_dive(A B, links[i]);
        assert_int_equal(log->mixes, 3);
        assert_span(&log->dive[0], 0, 0, 1, 2, LL_OPEN_CIRCUIT);
        assert_close(log->mix[2].o2_fraction, 0.21, 0, 0);
        assert_non_null(note_text(&log->dive[0].notes, LL_NOTE_MIX_ASSUMED_AIR));
        ll_log_free(log);
    }
}

static void a_mix_that_cannot_be_breathed_is_unknown(void **state)
{
    (void)state;
    ll_log *log = read_dive(B BAD, "<tankdata><link ref='bad'/></tankdata>");
    assert_span(&log->dive[0], 0, 0, 1, LL_MIX_UNKNOWN, LL_OPEN_CIRCUIT);
    assert_non_null(note_text(&log->dive[0].notes, LL_NOTE_MIX_UNUSABLE));
    ll_log_free(log);
}

/* --- mixes --------------------------------------------------------------------------------------------------- */

static void labels(void **state)
{
    (void)state;
    static const struct {
        double o2, he;
        const char *label;
    } row[] = {{0.21, 0, "air"},    {0.209, 0, "EAN21"}, {0.32, 0, "EAN32"},    {0.18, 0.45, "18/45"},
               {1, 0, "oxygen"},    {0.995, 0, "oxygen"}, {0.994, 0, "EAN99"},  {0.125, 0.6, "13/60"},
               {0.21, 0.35, "21/35"}};
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        char label[16];
        ll_mix_label(row[i].o2, row[i].he, label, sizeof label);
        assert_string_equal(label, row[i].label);
    }
}

static void fractions(void **state)
{
    (void)state;
    ll_log *log = read_text("<uddf><gasdefinitions>"
                            "<mix id='percent'><o2>21</o2><he>35.0</he><n2>44</n2></mix>"
                            "<mix id='argon'><o2>0.21</o2><n2>0.78</n2><ar>0.01</ar></mix>"
                            "<mix id='sum'><o2>0.32</o2><n2>0.6</n2></mix>"
                            "<mix id='none'><name>air</name></mix>"
                            "<mix id='over'><o2>0.6</o2><he>0.6</he></mix>"
                            "<mix id='argon'><o2>1.0</o2></mix>"
                            "</gasdefinitions></uddf>");
    assert_close(log->mix[0].o2_fraction, 0.21, 0, 0);
    assert_close(log->mix[0].he_fraction, 0.35, 0, 0);
    assert_string_equal(log->mix[2].label, "EAN32");
    assert_true(log->mix[0].usable && log->mix[1].usable && log->mix[2].usable && log->mix[5].usable);
    assert_false(log->mix[3].usable || log->mix[4].usable);
    assert_string_equal(log->mix[5].label, "oxygen");
    assert_non_null(note_text(&log->notes, LL_NOTE_MIX_PERCENT));
    assert_string_equal(note_text(&log->notes, LL_NOTE_MIX_OTHER_GAS),
                        "mix 'argon' holds argon or hydrogen, which counts as nitrogen here");
    assert_non_null(note_text(&log->notes, LL_NOTE_MIX_SUM));
    assert_non_null(note_text(&log->notes, LL_NOTE_MIX_UNUSABLE));
    assert_non_null(note_text(&log->notes, LL_NOTE_ID_REPEATED));
    ll_log_free(log);
}

/* --- tanks --------------------------------------------------------------------------------------------------- */

#define PRESSURE(ref, pascal) "<tankpressure ref='" ref "'>" pascal "</tankpressure>"

static void pressures_find_their_tank(void **state)
{
    (void)state;
    ll_log *log = read_text(
        "<uddf><diver><owner><equipment><tank id='t'><tankvolume>0.01</tankvolume></tank></equipment></owner></diver>"
        "<gasdefinitions>" A B "</gasdefinitions><profiledata><repetitiongroup><dive>"
        "<tankdata id='u0'><link ref='t'/><link ref='gone'/></tankdata><tankdata id='u1'><link ref='a'/></tankdata>"
        "<tankdata id='u2'><link ref='b'/><tankvolume>0.007</tankvolume></tankdata>"
        "<samples>" AT("9", "0", PRESSURE("t", "2e7") PRESSURE("u1", "1.9e7") PRESSURE("b", "1.8e7")
                       PRESSURE("?", "1e7"))
        AT("9", "9", PRESSURE("u0", "1.7e7") PRESSURE("a", "1.6e7") PRESSURE("", "1.5e7") PRESSURE("t", "0"))
        "</samples></dive></repetitiongroup></profiledata></uddf>");
    const ll_dive *dive = &log->dive[0];
    const int use[] = {0, 1, 2, LL_NONE, LL_NONE};
    const size_t count[] = {2, 2, 1, 1, 1};
    assert_int_equal(dive->tank_uses, 3);
    assert_close(dive->tank_use[0].volume_l, 10, 1e-12, 0);
    assert_close(dive->tank_use[2].volume_l, 7, 1e-12, 0);
    assert_int_equal(dive->tank_pressures, 5);
    for (size_t i = 0; i < 5; i++) {
        assert_int_equal(dive->tank_pressure[i].tank_use, use[i]);
        assert_int_equal(dive->tank_pressure[i].count, count[i]);
    }
    assert_close(dive->tank_pressure[0].value[1], 170, 0, 0);
    assert_null(dive->tank_pressure[4].ref);
    assert_string_equal(note_text(&dive->notes, LL_NOTE_LINK_DANGLING),
                        "a link names 'gone', which the log does not hold");
    ll_log_free(log);
}

static void a_pressure_without_a_name_is_the_only_tank_s(void **state)
{
    (void)state;
    ll_log *log = read_text("<uddf><gasdefinitions>" A "<tankdata id='s'><mixref ref='a'/></tankdata></gasdefinitions>"
                            "<profiledata><repetitiongroup><dive><equipmentused><tankdataref ref='s'/></equipmentused>"
                            "<samples>" AT("9", "0", "<tankpressure>2e7</tankpressure>") AT("9", "9", "")
                            "</samples></dive></repetitiongroup></profiledata></uddf>");
    assert_int_equal(log->dive[0].tank_uses, 1);
    assert_string_equal(log->dive[0].tank_use[0].id, "s");
    assert_int_equal(log->dive[0].tank_pressure[0].tank_use, 0);
    ll_log_free(log);
}

/* --- facts --------------------------------------------------------------------------------------------------- */

static void facts_are_looked_for_before_after_and_flat(void **state)
{
    (void)state;
    ll_log *log = read_text(
        "<uddf><profiledata><repetitiongroup><dive><greatestdepth>1</greatestdepth><altitude>700</altitude>"
        "<datetime>2026-02-30T09:00</datetime><informationafterdive><greatestdepth>2</greatestdepth>"
        "</informationafterdive><informationbeforedive><greatestdepth>3</greatestdepth>"
        "<greatestdepth>4</greatestdepth></informationbeforedive><surfaceintervalbeforedive>"
        "<passedtime>infinity</passedtime></surfaceintervalbeforedive></dive></repetitiongroup></profiledata></uddf>");
    const ll_dive *dive = &log->dive[0];
    assert_close(dive->stated_greatest_m, 3, 0, 0);
    assert_close(dive->altitude_m, 700, 0, 0);
    assert_int_equal(dive->interval, LL_INTERVAL_INFINITE);
    assert_false(dive->start.has_date);
    assert_string_equal(dive->start_text, "2026-02-30T09:00");
    assert_string_equal(note_text(&dive->notes, LL_NOTE_DATE_UNUSABLE),
                        "the date '2026-02-30T09:00' is none this program reads");
    assert_string_equal(note_text(&dive->notes, LL_NOTE_VALUE_REPEATED),
                        "<greatestdepth> is given more than once at one place; the first counts");
    ll_log_free(log);
}

#define PAIR(low, high) \
    "<buehlmann><gradientfactorlow>" low "</gradientfactorlow><gradientfactorhigh>" high "</gradientfactorhigh>" \
    "</buehlmann>"

static void gradient_factors_of_the_log(void **state)
{
    (void)state;
    static const struct {
        const char *pairs;
        double low;
    } row[] = {{PAIR("0.3", "0.8"), 0.3},
               {PAIR("30", "80"), 0.3},
               {PAIR("0.3", "0.8") PAIR("0.3", "0.8"), 0.3},
               {PAIR("0.9", "0.8") PAIR("0.4", "0.8"), 0.4},
               {PAIR("0.3", "0.8") PAIR("0.4", "0.8"), NAN},
               {PAIR("0", "0.8"), NAN},
               {"<buehlmann><gradientfactorhigh>0.8</gradientfactorhigh></buehlmann>", NAN}};
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        char text[600];
        snprintf(text, sizeof text, "<uddf><decomodel>%s</decomodel></uddf>", row[i].pairs);
        ll_log *log = read_text(text);
        if (isnan(row[i].low))
            assert_true(isnan(log->gf_low_fraction) && isnan(log->gf_high_fraction));
        else
            assert_close(log->gf_low_fraction, row[i].low, 0, 0);
        ll_log_free(log);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(negative_depths_become_0),
        cmocka_unit_test(missing_depths_are_interpolated_in_time),
        cmocka_unit_test(what_a_sample_without_time_says_holds_from_the_next),
        cmocka_unit_test(of_two_samples_at_one_time_the_later_counts),
        cmocka_unit_test(small_steps_back_are_sorted),
        cmocka_unit_test(a_second_record_joined_on_is_left_out),
        cmocka_unit_test(without_depth_or_time_there_is_no_profile),
        cmocka_unit_test(unreadable_values_are_missing),
        cmocka_unit_test(spikes_are_bridged),
        cmocka_unit_test(what_is_no_spike_stays),
        cmocka_unit_test(naming_the_mix_in_use_is_no_switch),
        cmocka_unit_test(a_switch_to_an_undefined_mix_is_unknown),
        cmocka_unit_test(set_points_have_two_tracks),
        cmocka_unit_test(the_only_mix_linked_is_taken_at_the_start),
        cmocka_unit_test(else_the_only_mix_defined),
        cmocka_unit_test(else_air),
        cmocka_unit_test(a_mix_that_cannot_be_breathed_is_unknown),
        cmocka_unit_test(labels),
        cmocka_unit_test(fractions),
        cmocka_unit_test(pressures_find_their_tank),
        cmocka_unit_test(a_pressure_without_a_name_is_the_only_tank_s),
        cmocka_unit_test(facts_are_looked_for_before_after_and_flat),
        cmocka_unit_test(gradient_factors_of_the_log),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
