/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Values and their units: what is decided once for a mix, a tank or a file, and what cannot be told. Expected figures
 * follow from the definitions of the units (1 bar = 1e5 Pa, 0 degrees Celsius = 273.15 K, 1 m3 = 1000 L). */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "allocator.h"
#include "close.h"
#include "log_world.h"

#define AT(depth, time, more) "<waypoint><depth>" depth "</depth><divetime>" time "</divetime>" more "</waypoint>\n"
#define AIR "<switchmix ref='air'/>"
#define WARM(value) "<temperature>" value "</temperature>"
#define TANK(value) "<tankpressure>" value "</tankpressure>"
#define COUNT(rows) (sizeof(rows) / sizeof *(rows))

static void assert_value(double value, double expected)
{
    if (isnan(expected))
        assert_true(isnan(value));
    else
        assert_close(value, expected, 1e-12, 1e-12);
}

/* --- numbers ------------------------------------------------------------------------------------------------- */

static void numbers_as_they_are_written(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        double depth_m;
        int comma, unreadable;
    } row[] = {{" \n 18.4\t", 18.4, 0, 0}, {"+18.4", 18.4, 0, 0},   {"1.84E+1", 18.4, 0, 0}, {"18,4", 18.4, 1, 0},
               {"18,4e0", 18.4, 1, 0},     {"1,234", 1.234, 1, 0},  {",4", 9, 0, 1},         {"18,", 9, 0, 1},
               {"1,000,0", 9, 0, 1},       {"1.018,4", 9, 0, 1},    {"18.4 m", 9, 0, 1},     {"0x12", 9, 0, 1},
               {"NaN", 9, 0, 1},           {"INF", 9, 0, 1},        {"-inf", 9, 0, 1},       {"3.0.1", 9, 0, 1},
               {"1e999", 9, 0, 1},         {"18\n.4", 9, 0, 1},     {"1 8", 9, 0, 1},        {" ", 9, 0, 0},
               {"<!-- -->", 9, 0, 0},      {"1<!-- x -->8,<![CDATA[4]]>", 18.4, 1, 0}};
    for (size_t i = 0; i < COUNT(row); i++) {
        char text[400];
        snprintf(text, sizeof text, AT("9", "0", AIR) "<waypoint><divetime>9</divetime><depth>%s</depth></waypoint>"
                 AT("9", "18", ""), row[i].text);
        ll_log *log = read_waypoints(text);
        assert_close(log->dive[0].depth_m[1], row[i].depth_m, 1e-12, 0);
        assert_int_equal(note_text(&log->dive[0].notes, LL_NOTE_DECIMAL_COMMA) != NULL, row[i].comma);
        assert_int_equal(note_text(&log->dive[0].notes, LL_NOTE_VALUE_UNREADABLE) != NULL, row[i].unreadable);
        ll_log_free(log);
    }
}

static void a_comma_is_counted_with_its_line(void **state)
{
    (void)state;
    ll_log *log = read_waypoints(AT("0", "0", AIR) AT("4,5", "9", "") AT("5,5", "18,5", ""));
    const ll_notes *notes = &log->dive[0].notes;
    assert_int_equal(notes->count, 1);
    assert_int_equal(notes->items[0].count, 3);
    assert_int_equal(notes->items[0].line, 7);
    assert_string_equal(notes->items[0].text, "depth '4,5' has a decimal comma; it was read as a point");
    ll_log_free(log);
}

/* --- temperatures: once for the file ------------------------------------------------------------------------- */

static void temperatures(void **state)
{
    (void)state;
    static const struct {
        const char *first, *second;
        double first_c, second_c;
        bool none;
        int unit, unused, zero;
    } row[] = {{"281.15", "200", 8, -73.15, false, 0, 0, 0}, {"8", "-5", 8, -5, false, 1, 0, 0},
               {"45", "0", 45, 0, false, 1, 0, 0},           {"0", "281.15", NAN, 8, false, 0, 0, 1},
               {"0", "0.0", NAN, NAN, true, 0, 0, 2},        {"281.15", "8", NAN, NAN, true, 0, 1, 0},
               {"46.5", "50", NAN, NAN, true, 0, 1, 0},      {"8", "-5.1", NAN, NAN, true, 0, 1, 0},
               {"199", "281.15", NAN, NAN, true, 0, 1, 0},   {"8", "46", NAN, NAN, true, 0, 1, 0}};
    for (size_t i = 0; i < COUNT(row); i++) {
        char text[400];
        snprintf(text, sizeof text, AT("0", "0", AIR WARM("%s")) AT("5", "9", WARM("%s")) AT("0", "18", ""),
                 row[i].first, row[i].second);
        ll_log *log = read_waypoints(text);
        const double *column = log->dive[0].temperature_c;
        assert_int_equal(column == NULL, row[i].none);
        assert_value(column ? column[0] : NAN, row[i].first_c);
        assert_value(column ? column[1] : NAN, row[i].second_c);
        assert_true(!column || isnan(column[2]));
        assert_int_equal(note_text(&log->notes, LL_NOTE_TEMPERATURE_UNIT) != NULL, row[i].unit);
        assert_int_equal(note_text(&log->notes, LL_NOTE_TEMPERATURE_UNUSED) != NULL, row[i].unused);
        assert_int_equal(note_text(&log->notes, LL_NOTE_ZERO_ABSENT) ? log->notes.items[0].count : 0, row[i].zero);
        ll_log_free(log);
    }
}

#define LOWEST(value) "<informationafterdive><lowesttemperature>" value "</lowesttemperature></informationafterdive>"
#define DIVE(more, warm) "<dive>" more "<samples>" AT("5", "0", AIR WARM(warm)) AT("5", "9", "") "</samples></dive>\n"
#define LOG(dives)                                                                                       \
    "<uddf><gasdefinitions><mix id='air'><o2>0.21</o2></mix></gasdefinitions><profiledata><repetitiongroup>\n" dives \
    "</repetitiongroup></profiledata></uddf>"

/* The second dive's 0 is a temperature because the first one's 8 is one; what is stated is decided by itself. */
static void a_file_has_one_unit_of_temperature(void **state)
{
    (void)state;
    ll_log *log = read_text(LOG(DIVE(LOWEST("279.15"), "8") DIVE(LOWEST("0"), "0")));
    assert_close(log->dive[0].temperature_c[0], 8, 0, 0);
    assert_close(log->dive[1].temperature_c[0], 0, 0, 0);
    assert_close(log->dive[0].stated_lowest_c, 6, 1e-12, 0);
    assert_true(isnan(log->dive[1].stated_lowest_c));
    assert_string_equal(note_text(&log->notes, LL_NOTE_TEMPERATURE_UNIT),
                        "temperature 8 cannot be in kelvin; all of the log was read as degrees Celsius");
    assert_int_equal(log->notes.items[0].line, 2);
    assert_string_equal(note_text(&log->notes, LL_NOTE_ZERO_ABSENT),
                        "a lowesttemperature of 0 is no reading; it counts as missing");
    ll_log_free(log);
    log = read_text(LOG(DIVE(LOWEST("43"), "8") DIVE(LOWEST("48"), "281.15")));
    assert_null(log->dive[0].temperature_c);
    assert_null(log->dive[1].temperature_c);
    assert_true(isnan(log->dive[0].stated_lowest_c));
    assert_string_equal(note_text(&log->notes, LL_NOTE_TEMPERATURE_UNUSED),
                        "temperature 8 to 281.15 could be in more than one unit or in none; none of the log was used");
    assert_int_equal(log->notes.items[0].count, 2);
    ll_log_free(log);
}

/* --- tanks: once for each ------------------------------------------------------------------------------------ */

static void tank_pressures(void **state)
{
    (void)state;
    static const struct {
        const char *first, *second;
        double first_bar;
        size_t count;
        int unit, unused, zero;
    } row[] = {{"2e7", "5e4", 200, 2, 0, 0, 0}, {"4.5e7", "1e5", 450, 2, 0, 0, 0}, {"200", "0.4", 200, 2, 1, 0, 0},
               {"450", "1", 450, 2, 1, 0, 0},   {"200", "0", 200, 1, 1, 0, 1},     {"2e7", "0.0", 200, 1, 0, 0, 1},
               {"2e7", "180", 0, 0, 0, 1, 0},   {"2900", "2610", 0, 0, 0, 1, 0},   {"20000", "18000", 0, 0, 0, 1, 0},
               {"451", "440", 0, 0, 0, 1, 0},   {"4.6e7", "2e7", 0, 0, 0, 1, 0},   {"0.9", "0.5", 0, 0, 0, 1, 0}};
    for (size_t i = 0; i < COUNT(row); i++) {
        char text[400];
        snprintf(text, sizeof text, AT("0", "0", AIR TANK("%s")) AT("5", "9", TANK("%s")), row[i].first, row[i].second);
        ll_log *log = read_waypoints(text);
        const ll_dive *dive = &log->dive[0];
        assert_int_equal(dive->tank_pressures, row[i].count > 0);
        if (row[i].count) {
            assert_int_equal(dive->tank_pressure[0].count, row[i].count);
            assert_close(dive->tank_pressure[0].value[0], row[i].first_bar, 0, 0);
        }
        assert_int_equal(note_text(&dive->notes, LL_NOTE_PRESSURE_UNIT) != NULL, row[i].unit);
        assert_int_equal(note_text(&dive->notes, LL_NOTE_PRESSURE_UNUSED) != NULL, row[i].unused);
        assert_int_equal(note_text(&dive->notes, LL_NOTE_ZERO_ABSENT) != NULL, row[i].zero);
        ll_log_free(log);
    }
}

/* Two transmitters of two makers: each has its unit. */
static void each_tank_has_its_unit(void **state)
{
    (void)state;
    ll_log *log = read_waypoints(
        AT("0", "0", AIR "<tankpressure ref='a'>2e7</tankpressure><tankpressure ref='b'>180</tankpressure>"
                         "<tankpressure ref='c'>2900</tankpressure>")
        AT("5", "9", "<tankpressure ref='b'>170</tankpressure><tankpressure ref='a'>1.9e7</tankpressure>"
                     "<tankpressure ref='c'>2800</tankpressure>"));
    const ll_dive *dive = &log->dive[0];
    assert_int_equal(dive->tank_pressures, 2);
    assert_close(dive->tank_pressure[0].value[1], 190, 0, 0);
    assert_close(dive->tank_pressure[1].value[1], 170, 0, 0);
    assert_string_equal(dive->tank_pressure[1].ref, "b");
    assert_string_equal(note_text(&dive->notes, LL_NOTE_PRESSURE_UNIT),
                        "tankpressure 170 to 180 cannot be in pascal; read as bar");
    assert_string_equal(note_text(&dive->notes, LL_NOTE_PRESSURE_UNUSED),
                        "tankpressure 2800 to 2900 could be in more than one unit or in none, perhaps psi; not used");
    ll_log_free(log);
}

static void what_is_stated_of_a_tank(void **state)
{
    (void)state;
    static const struct {
        const char *volume, *begin, *end;
        double volume_l, begin_bar, end_bar;
        ll_note_code note;
    } row[] = {{"0.012", "2e7", "5e6", 12, 200, 50, LL_NOTES},
               {"0.999", "2e7", "", 999, 200, NAN, LL_NOTES},
               {"1", "2e7", "5e6", 1, 200, 50, LL_NOTE_VOLUME_UNIT},
               {"24,0", "2e7", "5e6", 24, 200, 50, LL_NOTE_VOLUME_UNIT},
               {"30", "2e7", "5e6", NAN, 200, 50, LL_NOTE_VOLUME_UNUSED},
               {"0.012", "200", "50", 12, 200, 50, LL_NOTE_PRESSURE_UNIT},
               {"0.012", "200", "0", 12, 200, NAN, LL_NOTE_ZERO_ABSENT},
               {"0", "2e7", "5e6", NAN, 200, 50, LL_NOTE_ZERO_ABSENT},
               {"0.012", "2e7", "50", 12, NAN, NAN, LL_NOTE_PRESSURE_UNUSED},
               {"0.012", "3000", "700", 12, NAN, NAN, LL_NOTE_PRESSURE_UNUSED}};
    for (size_t i = 0; i < COUNT(row); i++) {
        char text[700];
        snprintf(text, sizeof text, LOG("<dive><tankdata><tankvolume>%s</tankvolume><tankpressurebegin>%s"
                 "</tankpressurebegin><tankpressureend>%s</tankpressureend></tankdata><samples>" AT("5", "0", AIR)
                 AT("5", "9", "") "</samples></dive>"), row[i].volume, row[i].begin, row[i].end);
        ll_log *log = read_text(text);
        const ll_tank_use *use = log->dive[0].tank_use;
        assert_value(use->volume_l, row[i].volume_l);
        assert_value(use->begin_bar, row[i].begin_bar);
        assert_value(use->end_bar, row[i].end_bar);
        if (row[i].note == LL_NOTES)
            assert_int_equal(log->dive[0].notes.count, 0);
        else
            assert_non_null(note_text(&log->dive[0].notes, row[i].note));
        ll_log_free(log);
    }
}

/* --- PO2: once for the file, each element by itself ----------------------------------------------------------- */

#define SET(value) "<setpo2 setby='user'>" value "</setpo2>"
#define CELL(value) "<measuredpo2 ref='cell'>" value "</measuredpo2>"
#define CALCULATED(value) "<calculatedpo2>" value "</calculatedpo2>"
#define CC "<divemode type='closedcircuit'/>"

static void po2(void **state)
{
    (void)state;
    static const struct {
        const char *set, *cell, *calculated;
        double set_bar, cell_bar, calculated_bar;
        int units, unused;
    } row[] = {{"130000", "128000", "129000", 1.3, 1.28, 1.29, 0, 0}, {"1.3", "1.28", "1.29", 1.3, 1.28, 1.29, 3, 0},
               {"1.3", "128000", "129000", 1.3, 1.28, 1.29, 1, 0},    {"1.3e5", "128", "129000", 1.3, NAN, 1.29, 0, 1},
               {"10", "9.9", "1000", NAN, 9.9, 0.01, 1, 1},           {"1e8", "1e7", "999", NAN, 100, NAN, 0, 2}};
    for (size_t i = 0; i < COUNT(row); i++) {
        char text[400];
        snprintf(text, sizeof text, AT("5", "0", AIR CC SET("%s") CELL("%s") CALCULATED("%s")) AT("5", "9", ""),
                 row[i].set, row[i].cell, row[i].calculated);
        ll_log *log = read_waypoints(text);
        const ll_dive *dive = &log->dive[0];
        assert_value(dive->span[0].set_point_bar, row[i].set_bar);
        assert_value(dive->measured_po2s ? dive->measured_po2[0].value[0] : NAN, row[i].cell_bar);
        assert_value(dive->calculated_po2.count ? dive->calculated_po2.value[0] : NAN, row[i].calculated_bar);
        int units = 0, unused = 0;
        for (size_t n = 0; n < log->notes.count; n++) {
            units += log->notes.items[n].code == LL_NOTE_PO2_UNIT ? (int)log->notes.items[n].count : 0;
            unused += log->notes.items[n].code == LL_NOTE_PO2_UNUSED ? (int)log->notes.items[n].count : 0;
        }
        assert_int_equal(units, row[i].units);
        assert_int_equal(unused, row[i].unused);
        ll_log_free(log);
    }
}

/* Two cells, two dives: one that is in another unit than the rest spoils the decision for all cells of the file. */
static void a_file_has_one_unit_of_measured_po2(void **state)
{
    (void)state;
    ll_log *log = read_text(LOG("<dive><samples>" AT("5", "0", AIR CC CELL("1.1")) AT("5", "9", "") "</samples></dive>"
                                "<dive><samples>"
                                AT("5", "0", AIR CC CELL("1.2e5") "<measuredpo2 ref='other'>1.1e5</measuredpo2>")
                                AT("5", "9", CELL("0")) "</samples></dive>"));
    assert_int_equal(log->dive[0].measured_po2s, 0);
    assert_int_equal(log->dive[1].measured_po2s, 0);
    assert_string_equal(note_text(&log->notes, LL_NOTE_PO2_UNUSED),
                        "measuredpo2 1.1 to 120000 could be in more than one unit or in none; none of the log was "
                        "used");
    ll_log_free(log);
}

/* --- fractions ----------------------------------------------------------------------------------------------- */

static void gradients_and_cns(void **state)
{
    (void)state;
    ll_log *log = read_waypoints(AT("5", "0", AIR "<gradientfactor>0.5</gradientfactor><cns>0.9</cns>")
                                 AT("5", "9", "<gradientfactor>62</gradientfactor><cns>12</cns>"));
    assert_close(log->dive[0].own_gradient.value[0], 0.005, 1e-15, 0);
    assert_close(log->dive[0].own_gradient.value[1], 0.62, 1e-15, 0);
    assert_close(log->dive[0].own_cns.value[0], 0.9, 0, 0);
    assert_close(log->dive[0].own_cns.value[1], 12, 0, 0);
    assert_string_equal(note_text(&log->notes, LL_NOTE_FRACTION_UNIT),
                        "gradientfactor 0.5 to 62 cannot be a fraction; read as percent");
    ll_log_free(log);
    log = read_waypoints(AT("5", "0", AIR "<gradientfactor>1.5</gradientfactor>") AT("5", "9", ""));
    assert_close(log->dive[0].own_gradient.value[0], 1.5, 0, 0);
    assert_int_equal(log->notes.count + log->dive[0].notes.count, 0);
    ll_log_free(log);
}

static void mixes(void **state)
{
    (void)state;
    static const struct {
        const char *parts, *label; /* "unknown": not usable */
        ll_note_code note;
    } row[] = {{"<o2>0.18</o2><n2>0.37</n2><he>0.45</he>", "18/45", LL_NOTES},
               {"<o2>18</o2><n2>37</n2><he>45</he>", "18/45", LL_NOTE_MIX_PERCENT},
               {"<o2>1.0</o2>", "oxygen", LL_NOTES},
               {"<o2>100</o2><n2>0</n2>", "oxygen", LL_NOTE_MIX_PERCENT},
               {"<o2>0.32</o2><n2>0.66</n2>", "EAN32", LL_NOTES},
               {"<o2>0.32</o2><n2>0.659</n2>", "EAN32", LL_NOTE_MIX_SUM},
               {"<o2>0.32</o2><n2>0.70</n2>", "EAN32", LL_NOTES},
               {"<o2>0.32</o2><n2>0.701</n2>", "EAN32", LL_NOTE_MIX_SUM},
               {"<o2>0.32</o2>", "EAN32", LL_NOTES},
               {"<o2>0.56</o2><he>0.45</he>", "56/44", LL_NOTE_MIX_SUM},
               {"<o2>0.6</o2><he>0.45</he>", "unknown", LL_NOTE_MIX_UNUSABLE},
               {"<o2>0</o2><n2>0</n2><he>0</he>", "unknown", LL_NOTE_MIX_UNUSABLE},
               {"<o2>0</o2><he>1</he>", "unknown", LL_NOTE_MIX_UNUSABLE},
               {"<o2>1.01</o2>", "unknown", LL_NOTE_MIX_UNUSABLE},
               {"<o2>101</o2>", "unknown", LL_NOTE_MIX_UNUSABLE},
               {"<n2>0.79</n2>", "unknown", LL_NOTE_MIX_UNUSABLE}};
    for (size_t i = 0; i < COUNT(row); i++) {
        char text[400];
        snprintf(text, sizeof text, "<uddf><gasdefinitions><mix id='m'>%s</mix></gasdefinitions></uddf>", row[i].parts);
        ll_log *log = read_text(text);
        assert_string_equal(log->mix[0].label, row[i].label);
        assert_int_equal(log->mix[0].usable, strcmp(row[i].label, "unknown") != 0);
        if (row[i].note == LL_NOTES)
            assert_int_equal(log->notes.count, 0);
        else
            assert_non_null(note_text(&log->notes, row[i].note));
        ll_log_free(log);
    }
}

/* --- words --------------------------------------------------------------------------------------------------- */

static void modes(void **state)
{
    (void)state;
    static const struct {
        const char *word;
        ll_circuit circuit;
        const char *spelling; /* the note's sentence */
    } row[] = {{" closedcircuit\n", LL_CLOSED_CIRCUIT, NULL},
               {"ClosedCircuit", LL_CLOSED_CIRCUIT, "divemode 'ClosedCircuit' was read as 'closedcircuit'"},
               {"apnoe", LL_APNOE, NULL},
               {"apnea", LL_APNOE, "divemode 'apnea' was read as 'apnoe'"},
               {"Apnea", LL_APNOE, "divemode 'Apnea' was read as 'apnoe'"}};
    for (size_t i = 0; i < COUNT(row); i++) {
        char text[300];
        snprintf(text, sizeof text, AT("5", "0", AIR "<divemode type='%s'/>") AT("5", "9", ""), row[i].word);
        ll_log *log = read_waypoints(text);
        const char *said = note_text(&log->dive[0].notes, LL_NOTE_KEYWORD_SPELLING);
        assert_span(&log->dive[0], 0, 0, 2, 0, row[i].circuit);
        assert_int_equal(said == NULL, row[i].spelling == NULL);
        if (said)
            assert_string_equal(said, row[i].spelling);
        ll_log_free(log);
    }
}

static void set_points_make_no_loop(void **state)
{
    (void)state;
    ll_log *log = read_waypoints(AT("5", "0", AIR) AT("5", "9", "<setpo2>0</setpo2><setpo2>1.3e5</setpo2>"));
    assert_span(&log->dive[0], 0, 0, 2, 0, LL_OPEN_CIRCUIT);
    assert_non_null(note_text(&log->dive[0].notes, LL_NOTE_LOOP_NOT_NAMED));
    assert_int_equal(log->dive[0].notes.items[0].line, 7);
    ll_log_free(log);
    log = read_waypoints(AT("5", "0", AIR CELL("0.7e5")) AT("5", "9", ""));
    assert_non_null(note_text(&log->dive[0].notes, LL_NOTE_LOOP_NOT_NAMED));
    ll_log_free(log);
    log = read_waypoints(AT("5", "0", AIR "<divemode type='opencircuit'/>" SET("0.7e5")) AT("5", "9", SET("0"))
                         AT("5", "18", CC));
    assert_string_equal(note_text(&log->dive[0].notes, LL_NOTE_SET_POINT_OFF_LOOP),
                        "the set point at 0 s was recorded on open circuit; it holds on a loop only");
    assert_int_equal(log->dive[0].notes.count, 1);
    assert_int_equal(log->dive[0].notes.items[0].count, 1);
    ll_log_free(log);
}

static void stops_and_alarms_are_kept_as_written(void **state)
{
    (void)state;
    ll_log *log = read_waypoints(
        AT("5", "0", AIR "<decostop kind='mandatory' decodepth='0' duration='0'/><nodecotime>5940</nodecotime>")
        AT("5", "9", "<decostop kind='Safety' decodepth='5' duration=''/><decostop kind='deep' decodepth='9'/>"
                     "<decostop kind='mandatory' duration='60'/><alarm> Slow Down </alarm><alarm>ASCENT deco</alarm>"
                     "<alarm/>"));
    const ll_dive *dive = &log->dive[0];
    assert_int_equal(dive->own_stops, 3);
    assert_true(dive->own_stop[0].mandatory);
    assert_close(dive->own_stop[0].depth_m, 0, 0, 0);
    assert_close(dive->own_stop[0].duration_s, 0, 0, 0);
    assert_true(isnan(dive->own_stop[1].duration_s));
    assert_false(dive->own_stop[1].mandatory || dive->own_stop[2].mandatory);
    assert_close(dive->no_stop.value[0], 5940, 0, 0);
    assert_int_equal(dive->alarms, 2);
    assert_string_equal(dive->alarm[0].text, "Slow Down");
    assert_string_equal(dive->alarm[1].text, "ASCENT deco");
    assert_non_null(note_text(&dive->notes, LL_NOTE_STOP_WITHOUT_DEPTH));
    assert_non_null(note_text(&dive->notes, LL_NOTE_KEYWORD_UNKNOWN));
    assert_non_null(note_text(&dive->notes, LL_NOTE_KEYWORD_SPELLING));
    ll_log_free(log);
}

/* --- memory -------------------------------------------------------------------------------------------------- */

static void memory_may_run_out_anywhere(void **state)
{
    (void)state;
    static const char text[] =
        LOG("<dive><tankdata><tankvolume>12</tankvolume><tankpressurebegin>3000</tankpressurebegin></tankdata>"
            LOWEST("50") "<samples>" AT("5,5", "0", AIR WARM("8") SET("1.3") CELL("110") TANK("200"))
            AT("5", "9", WARM("0") "<divemode type='apnea'/><decostop/><gradientfactor>80</gradientfactor>" TANK("0"))
            "</samples></dive>");
    for (size_t refuse = 1;; refuse++) {
        test_heap heap;
        ll_log *log;
        ll_error error;
        test_heap_open(&heap, refuse);
        ll_status status = try_bytes(text, sizeof text - 1, 0, &heap.allocator, NULL, &log, &error);
        if (status == LL_OK) {
            assert_true(refuse > 10);
            ll_log_free(log);
            assert_int_equal(heap.live, 0);
            return;
        }
        assert_int_equal(status, LL_NO_MEMORY);
        assert_int_equal(heap.live, 0);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(numbers_as_they_are_written),
        cmocka_unit_test(a_comma_is_counted_with_its_line),
        cmocka_unit_test(temperatures),
        cmocka_unit_test(a_file_has_one_unit_of_temperature),
        cmocka_unit_test(tank_pressures),
        cmocka_unit_test(each_tank_has_its_unit),
        cmocka_unit_test(what_is_stated_of_a_tank),
        cmocka_unit_test(po2),
        cmocka_unit_test(a_file_has_one_unit_of_measured_po2),
        cmocka_unit_test(gradients_and_cns),
        cmocka_unit_test(mixes),
        cmocka_unit_test(modes),
        cmocka_unit_test(set_points_make_no_loop),
        cmocka_unit_test(stops_and_alarms_are_kept_as_written),
        cmocka_unit_test(memory_may_run_out_anywhere),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
