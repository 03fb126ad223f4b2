/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A whole debrief, figures and every format, while memory runs out at each request in turn: LL_NO_MEMORY or a text that
 * says it is not whole, and nothing that is not given back. In sanitizer builds every request of an arena is one of the
 * heap. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "allocator.h"
#include "base/settings.h"
#include "log_world.h"
#include "report/report.h"
#include "standard/standard.h"

#define MIX(id, o2, he) "<mix id=\"" id "\"><name>" id "</name><o2>" o2 "</o2><he>" he "</he></mix>"
#define TANK(tank, mix)                                                                                              \
    "<tankdata><link ref=\"" tank "\"/><link ref=\"" mix "\"/><tankpressurebegin>2e7</tankpressurebegin>"            \
    "<tankpressureend>9e6</tankpressureend></tankdata>"
#define AT(seconds, metres, more)                                                                                    \
    "<waypoint><depth>" metres "</depth><divetime>" seconds "</divetime>" more "</waypoint>\n"
#define TO(mix) "<switchmix ref=\"" mix "\"/>"
#define PRESSURES "<tankpressure ref=\"back\">1.2e7</tankpressure><tankpressure ref=\"side\">1.8e7</tankpressure>"
#define STOP "<decostop kind=\"mandatory\" decodepth=\"6.0\" duration=\"240.0\"/>"

/* Twenty minutes on 18/45 at 58 m, then air at 32 m (a finding), oxygen too deep with a break on air, a descent, and a last
 * stop left early; with the recorder's own figures. And a dive before it. */
static const char logbook[] =
    "<uddf version=\"3.2.1\"><diver><owner id=\"o\"><personal><firstname>Ylva</firstname><lastname>Kvarnsten</lastname>"
    "</personal><equipment><tank id=\"back\"><name>twins</name><tankvolume>0.024</tankvolume></tank>"
    "<tank id=\"side\"><name>stage</name><tankvolume>0.011</tankvolume></tank></equipment></owner></diver>\n"
    "<gasdefinitions>" MIX("air", "0.21", "0.0") MIX("oxygen", "1.0", "0.0") MIX("tx", "0.18", "0.45") "</gasdefinitions>\n"
    "<profiledata><repetitiongroup id=\"g\">\n"
    "<dive id=\"first\"><informationbeforedive><datetime>2026-05-03T08:00:00</datetime></informationbeforedive><samples>\n"
    AT("0", "0", TO("air")) AT("60", "15", "") AT("900", "15", "") AT("1020", "0", "")
    "</samples></dive>\n"
    "<dive id=\"second\"><informationbeforedive><datetime>2026-05-03T10:00:00</datetime></informationbeforedive>"
    TANK("back", "tx") TANK("side", "oxygen") "<samples>\n"
    AT("0", "0", TO("tx") PRESSURES) AT("180", "58", PRESSURES) AT("600", "57.8", STOP) AT("1200", "58", PRESSURES)
    AT("1320", "40", "<cns>9</cns><otu>20</otu><gradientfactor>0.3</gradientfactor>") AT("1380", "32", TO("air"))
    AT("1460", "32.2", STOP PRESSURES) AT("1480", "26", "") AT("1560", "12", STOP) AT("1700", "12.2", STOP)
    AT("1760", "7.2", TO("oxygen")) AT("2000", "7.1", TO("air") PRESSURES) AT("2200", "7.2", TO("oxygen"))
    AT("2260", "3.5", STOP) AT("2330", "3.6", STOP) AT("2380", "7.2", STOP) AT("2440", "7.1", STOP PRESSURES)
    AT("2470", "0", "<cns>30</cns><otu>60</otu>" PRESSURES) AT("2530", "0", PRESSURES)
    "</samples></dive>\n"
    "</repetitiongroup></profiledata></uddf>\n";

static const char course[] =
    "<standard xmlns=\"urn:leadline:standard:1\" name=\"Skiferholt: every limit\">"
    "<model gradient-low=\"0.40\" gradient-high=\"0.75\" last-stop=\"6\"/><limits>"
    "<limit of=\"ascent\" unit=\"m/min\" caution=\"10\" serious=\"15\"/>"
    "<limit of=\"density\" unit=\"g/L\" note=\"5\" caution=\"6\"/>"
    "<limit of=\"depth\" unit=\"m\" caution=\"50\" serious=\"60\"/>"
    "<limit of=\"narcosis\" unit=\"m\" note=\"20\" caution=\"30\"/>"
    "<limit of=\"cns\" unit=\"percent\" note=\"10\" caution=\"80\"/>"
    "<limit of=\"otu\" unit=\"percent\" note=\"1\" caution=\"80\"/>"
    "<limit of=\"stop-depth\" unit=\"m\" note=\"0.1\"/>"
    "<limit of=\"switch-depth\" unit=\"m\" note=\"0.5\"/>"
    "<limit of=\"reserve\" unit=\"bar\" note=\"150\" caution=\"50\"/></limits></standard>";

static ll_log *record;
static ll_standard *standard;
static ll_history *history;
static ll_limits limits;

static int open_history(void **state)
{
    (void)state;
    ll_settings settings;
    pieces from = {.bytes = course, .size = strlen(course)};
    record = read_text(logbook);
    assert_int_equal(ll_standard_read("course.xml", read_pieces, &from, NULL, &standard, NULL), LL_OK);
    ll_settings_built_in(&settings);
    ll_limits_built_in(&limits);
    ll_standard_apply(standard, &settings, &limits);
    const ll_log *logs[] = {record};
    assert_int_equal(ll_history_make(logs, 1, &settings, NULL, NULL, NULL, &history, NULL), LL_OK);
    assert_int_equal(history->count, 2);
    return 0;
}

static int close_history(void **state)
{
    (void)state;
    ll_history_free(history);
    ll_standard_free(standard);
    ll_log_free(record);
    return 0;
}

static ll_status make(ll_arena *arena, ll_debrief *debrief)
{
    ll_error error;
    ll_status status = ll_debrief_make(history, 1, &limits, arena, debrief, &error);
    if (status == LL_OK)
        status = ll_debrief_compare(debrief, arena, &error);
    if (status != LL_OK)
        assert_string_equal(error.text, "memory ran out");
    return status;
}

static bool has(const ll_debrief *debrief, ll_kind kind)
{
    for (size_t i = 0; i < debrief->findings.count; i++)
        if (debrief->findings.items[i].kind == kind)
            return true;
    return false;
}

/* Otherwise the walk would pass by what it is there for. */
static void the_dive_has_everything(void **state)
{
    (void)state;
    static const ll_kind kinds[] = {LL_FINDING_CEILING, LL_FINDING_SURFACED, LL_FINDING_ASCENT, LL_FINDING_OWN_STOP,
                                    LL_FINDING_DEPTH, LL_FINDING_STOP_DEPTH, LL_FINDING_SWITCH_DEPTH,
                                    LL_FINDING_RESERVE, LL_FINDING_OXYGEN_HIGH, LL_FINDING_DENSITY,
                                    LL_FINDING_NARCOSIS, LL_FINDING_COUNTERDIFFUSION, LL_FINDING_CNS, LL_FINDING_OTU};
    ll_arena arena;
    ll_debrief debrief;
    ll_arena_open(&arena, NULL);
    assert_int_equal(make(&arena, &debrief), LL_OK);
    for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++)
        if (!has(&debrief, kinds[i]))
            fail_msg("no finding of kind %d", (int)kinds[i]);
    assert_true(debrief.firmness.replayed);
    assert_true(debrief.levels.count > 2);
    assert_int_equal(debrief.levels.breaks, 1);
    assert_int_equal(debrief.levels.redescents, 1);
    assert_true(debrief.asked.at[debrief.levels.count - 1].short_s > 0);
    assert_int_equal(debrief.switch_count, 4);
    assert_int_equal(debrief.gas.tanks, 2);
    assert_true(debrief.gas.margin.known > 0);
    assert_true(debrief.word.any && debrief.word.stops.asked);
    assert_true(debrief.models.known && debrief.models.count > 4);
    ll_arena_close(&arena);
}

static void figures_run_out_of_memory(void **state)
{
    (void)state;
    ll_status status = LL_NO_MEMORY;
    for (size_t refuse_from = 1; status != LL_OK; refuse_from++) {
        test_heap heap;
        ll_arena arena;
        ll_debrief debrief;
        test_heap_open(&heap, refuse_from);
        ll_arena_open(&arena, &heap.allocator);
        status = make(&arena, &debrief);
        assert_int_equal(status, heap.calls < refuse_from ? LL_OK : LL_NO_MEMORY);
        ll_arena_close(&arena);
        assert_int_equal(heap.live, 0);
    }
}

/* --- formats ------------------------------------------------------------------------------------------------------ */

static const ll_look look = {.width = 60, .imperial = true};
static const ll_look line = {.width = 60, .one_line = true};
static ll_debrief shown;
static ll_track track;

static bool text(const ll_allocator *allocator)
{
    ll_text out;
    ll_text_open(&out, allocator, NULL, NULL);
    ll_text_head(&out, history, &look);
    ll_text_debrief(&out, &shown, &look);
    ll_text_foot(&out, history, &look);
    bool whole = ll_text_flush(&out);
    ll_text_close(&out);
    return whole;
}

static void add_json(ll_text *out)
{
    ll_json_head(out, history, &line);
    ll_json_debrief(out, &shown, &line, true);
    ll_json_foot(out, history, &limits, &line);
}

static bool json(const ll_allocator *allocator)
{
    ll_text out;
    ll_text_open(&out, allocator, NULL, NULL);
    add_json(&out);
    bool whole = ll_text_flush(&out);
    ll_text_close(&out);
    return whole;
}

static bool csv(const ll_allocator *allocator)
{
    ll_text out;
    ll_text_open(&out, allocator, NULL, NULL);
    ll_csv_findings_head(&out);
    ll_csv_findings(&out, &shown);
    bool whole = ll_text_flush(&out);
    ll_text_close(&out);
    return whole;
}

static bool html(const ll_allocator *allocator)
{
    ll_text out, articles, figures;
    const ll_html_dive dive = {shown.entry, true, shown.profile.greatest_m, shown.findings.worst, -1};
    const ll_html_content content = {1, &dive, &articles, &figures};
    ll_text_open(&out, allocator, NULL, NULL);
    ll_text_open(&articles, allocator, NULL, NULL);
    ll_text_open(&figures, allocator, NULL, NULL);
    ll_html_debrief(&articles, &shown, &track, &look, true);
    add_json(&figures);
    out.no_memory = articles.no_memory || figures.no_memory;
    ll_html_page(&out, history, &content, &look);
    bool whole = ll_text_flush(&out);
    ll_text_close(&figures);
    ll_text_close(&articles);
    ll_text_close(&out);
    return whole;
}

static void format_runs_out_of_memory(const char *name, bool (*format)(const ll_allocator *allocator))
{
    bool whole = false;
    for (size_t refuse_from = 1; !whole; refuse_from++) {
        test_heap heap;
        test_heap_open(&heap, refuse_from);
        whole = format(&heap.allocator);
        if (whole != (heap.calls < refuse_from) || heap.live != 0)
            fail_msg("%s: request %zu refused: %s, %zu blocks kept", name, refuse_from,
                     whole ? "said to be whole" : "said not to be whole", heap.live);
    }
}

static void formats_run_out_of_memory(void **state)
{
    (void)state;
    ll_arena arena;
    ll_arena_open(&arena, NULL);
    assert_int_equal(make(&arena, &shown), LL_OK);
    assert_int_equal(ll_replay_columns(&shown.profile, &history->settings, &shown.entry->start,
                                       LL_SET_ALL | LL_SET_HEADROOM, &arena, &track, NULL), LL_OK);
    format_runs_out_of_memory("text", text);
    format_runs_out_of_memory("json", json);
    format_runs_out_of_memory("csv", csv);
    format_runs_out_of_memory("html", html);
    ll_arena_close(&arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_dive_has_everything),
        cmocka_unit_test(figures_run_out_of_memory),
        cmocka_unit_test(formats_run_out_of_memory),
    };
    return cmocka_run_group_tests(tests, open_history, close_history);
}
