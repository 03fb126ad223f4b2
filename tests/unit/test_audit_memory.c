/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A whole audit, answers and every format, while memory runs out at each request in turn: LL_NO_MEMORY or a text that
 * says it is not whole, and nothing that is not given back. In sanitizer builds every request of an arena is one of the
 * heap. */
#include <math.h>
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
#include "base/text.h"
#include "log_world.h"
#include "report/audit_report.h"
#include "standard/standard.h"

#define AT(seconds, metres) "<waypoint><depth>" metres "</depth><divetime>" seconds "</divetime></waypoint>\n"
#define TO(seconds, metres, mix)                                                                                     \
    "<waypoint><depth>" metres "</depth><divetime>" seconds "</divetime><switchmix ref=\"" mix "\"/></waypoint>\n"

/* Down to 40 m, along a bottom that rises and falls, and up without stops; every 20 s. */
static const char slope[] =
    TO("0", "0", "tx") AT("20", "8") AT("40", "16") AT("60", "24") AT("80", "30") AT("100", "36") AT("120", "40")
    AT("140", "38") AT("160", "36.5") AT("180", "35") AT("200", "34") AT("220", "35") AT("240", "36") AT("260", "37")
    AT("280", "38") AT("300", "39") AT("320", "37") AT("340", "36") AT("360", "35") AT("380", "36") AT("400", "37")
    AT("420", "38") AT("440", "39") AT("460", "37") AT("480", "36") AT("500", "35") AT("520", "36") AT("540", "37")
    AT("560", "38") AT("580", "39") AT("600", "37") AT("620", "36") AT("640", "35") AT("660", "36") AT("680", "37")
    AT("700", "38") AT("720", "39") AT("740", "37") AT("760", "36") AT("780", "35") AT("800", "36") AT("820", "37")
    AT("840", "38") AT("860", "35") AT("880", "30") AT("900", "26") TO("920", "22", "ean") AT("940", "18")
    AT("960", "9") AT("980", "3") AT("1000", "0");
static const char easy[] = TO("0", "0", "tx") AT("60", "15") AT("900", "15") AT("1020", "0");
static const char pool[] = TO("0", "0", "tx") AT("30", "2.5") AT("900", "2.5") AT("930", "0");
static const char jump[] = TO("0", "0", "tx") AT("10", "40") AT("900", "40") AT("1200", "0");

typedef struct outing {
    const char *id, *start;
    unsigned number;
    const char *points; /* NULL: stated only */
    const char *depth, *duration; /* as stated; NULL: not */
} outing;

static const outing first_book[] = {
    {"unset", "2000-01-01T00:10:00", 7, easy, NULL, NULL},
    {"one", "2026-05-03T08:00:00", 1, slope, NULL, NULL},
    {"again", "2026-05-04T09:00:00", 2, slope, NULL, NULL},
    {"hour-off", "2026-05-03T09:00:00", 3, slope, NULL, NULL},
    {"pool", "2026-05-05T09:00:00", 4, pool, NULL, NULL},
    {"says-more", "2026-05-06T09:00:00", 5, slope, "60", NULL},
    {"says-longer", "2026-05-06T12:00:00", 6, slope, NULL, "9000"},
    {"jump", "2026-05-07T12:00:00", 8, jump, NULL, NULL},
    {"after", "2027-05-07T12:00:00", 9, slope, NULL, NULL},
};

static const outing second_book[] = {
    {"worn", "2026-05-03T08:02:00", 1, slope, NULL, NULL},
    {"elsewhere", "2026-05-03T08:12:00", 2, easy, NULL, NULL},
    {"stated", "2026-05-03T08:05:00", 3, NULL, "41", "900"},
    {"claimed", "2026-03-03T08:05:00", 4, NULL, "30", "2400"},
};

static const char course[] =
    "<standard xmlns=\"urn:leadline:standard:1\" name=\"Skiferholt: asks\"><entry>"
    "<requirement id=\"a\" least=\"2\">logged</requirement>"
    "<requirement id=\"b\" least=\"2\" decompression=\"yes\">staged</requirement>"
    "<requirement id=\"c\" least=\"5\" deepest-from=\"42\">deep</requirement>"
    "<requirement id=\"d\" most=\"0\" finding=\"ceiling\" severity=\"note\" among-last=\"2\">lately</requirement>"
    "<requirement id=\"e\" least=\"9\" among-last=\"1\">the last</requirement>"
    "<requirement id=\"f\" least=\"9\" within=\"P6M\" count=\"days\">days</requirement>"
    "</entry></standard>";

enum { TODAY = 20678 }; /* 2026-08-13 */

static ll_log *logs[2];
static ll_standard *standard;
static ll_settings settings;
static ll_limits limits;

static void add_dive(ll_text *out, const outing *dive)
{
    ll_text_format(out, "<dive id=\"%s\"><informationbeforedive><datetime>%s</datetime><divenumber>%u</divenumber>"
                        "</informationbeforedive>", dive->id, dive->start, dive->number);
    if (dive->points) {
        ll_text_puts(out, "<samples>");
        ll_text_puts(out, dive->points);
        ll_text_puts(out, "</samples>");
    }
    ll_text_puts(out, "<informationafterdive>");
    if (dive->depth)
        ll_text_format(out, "<greatestdepth>%s</greatestdepth>", dive->depth);
    if (dive->duration)
        ll_text_format(out, "<diveduration>%s</diveduration>", dive->duration);
    ll_text_puts(out, "</informationafterdive></dive>\n");
}

static ll_log *read_book(const char *last_name, const outing *dives, size_t count)
{
    ll_text out;
    ll_text_open(&out, NULL, NULL, NULL);
    ll_text_format(&out, "<uddf version=\"3.2.1\"><diver><owner id=\"o\"><personal><firstname>Ylva</firstname><lastname>%s"
                         "</lastname></personal></owner></diver><gasdefinitions><mix id=\"tx\"><o2>0.21</o2><he>0.35</he>"
                         "</mix><mix id=\"ean\"><o2>0.50</o2><he>0.0</he></mix></gasdefinitions><profiledata>"
                         "<repetitiongroup id=\"g\">\n", last_name);
    for (size_t i = 0; i < count; i++)
        add_dive(&out, &dives[i]);
    ll_text_puts(&out, "</repetitiongroup></profiledata></uddf>\n");
    ll_log *log = read_text(ll_text_string(&out));
    ll_text_close(&out);
    return log;
}

static int open_logs(void **state)
{
    (void)state;
    pieces from = {.bytes = course, .size = strlen(course)};
    logs[0] = read_book("Kvarnsten", first_book, sizeof first_book / sizeof *first_book);
    logs[1] = read_book("Kvarnstein", second_book, sizeof second_book / sizeof *second_book);
    assert_int_equal(ll_standard_read("course.xml", read_pieces, &from, NULL, &standard, NULL), LL_OK);
    ll_settings_built_in(&settings);
    ll_limits_built_in(&limits);
    ll_standard_apply(standard, &settings, &limits);
    return 0;
}

static int close_logs(void **state)
{
    (void)state;
    ll_standard_free(standard);
    ll_log_free(logs[0]);
    ll_log_free(logs[1]);
    return 0;
}

static ll_status make(ll_arena *arena, ll_history **history, ll_audit *audit)
{
    ll_error error;
    const ll_log *const given[] = {logs[0], logs[1]};
    *history = NULL;
    ll_status status = ll_audit_make(given, 2, &settings, NULL, standard, &limits, TODAY, &(ll_running){.tell = NULL},
                                     arena, history, audit, &error);
    if (status != LL_OK)
        assert_string_equal(error.text, "memory ran out");
    return status;
}

static bool has_reason(const ll_audit *audit, ll_reason reason)
{
    for (size_t i = 0; i < audit->count; i++)
        if (audit->dive[i].stand.reason == reason)
            return true;
    return false;
}

/* Otherwise the walk would pass by what it is there for. */
static void the_audit_has_everything(void **state)
{
    (void)state;
    static const ll_reason reasons[] = {LL_REASON_AFTER_DAY, LL_REASON_DEPTH, LL_REASON_DURATION, LL_REASON_RATE,
                                        LL_REASON_NO_DIVE, LL_REASON_SAME, LL_REASON_SAME_STATED, LL_REASON_OVERLAPS,
                                        LL_REASON_REPEATS};
    ll_arena arena;
    ll_history *history;
    ll_audit audit;
    ll_arena_open(&arena, NULL);
    assert_int_equal(make(&arena, &history, &audit), LL_OK);
    for (size_t i = 0; i < sizeof reasons / sizeof *reasons; i++)
        if (!has_reason(&audit, reasons[i]))
            fail_msg("no dive with reason %s", ll_reason_keys[reasons[i]]);
    assert_int_equal(audit.notes.count, 3);
    assert_int_equal(history->notes.count, 1);
    for (size_t i = 1; i < 5; i++)
        assert_true(i == 3 || audit.answer[i].shorts > 0);
    assert_true(audit.answer[3].recorded > 0);
    assert_true(audit.overview.months > 0 && audit.overview.gaps > 0);
    ll_history_free(history);
    ll_arena_close(&arena);
}

static void answers_run_out_of_memory(void **state)
{
    (void)state;
    ll_status status = LL_NO_MEMORY;
    for (size_t refuse_from = 1; status != LL_OK; refuse_from++) {
        test_heap heap;
        ll_arena arena;
        ll_history *history;
        ll_audit audit;
        test_heap_open(&heap, refuse_from);
        ll_arena_open(&arena, &heap.allocator);
        status = make(&arena, &history, &audit);
        assert_int_equal(status, heap.calls < refuse_from ? LL_OK : LL_NO_MEMORY);
        ll_history_free(history);
        ll_arena_close(&arena);
        assert_int_equal(heap.live, 0);
    }
}

/* --- formats ------------------------------------------------------------------------------------------------------ */

static const ll_look look = {.width = 60, .imperial = true};
static const ll_look line = {.width = 60, .one_line = true};

static void json(ll_text *out, const ll_audit *audit)
{
    ll_audit_json(out, audit, &line);
}

static void text(ll_text *out, const ll_audit *audit)
{
    ll_audit_text(out, audit, &look);
}

static void html(ll_text *out, const ll_audit *audit)
{
    ll_audit_html(out, audit, &look);
}

static bool is_whole(void (*format)(ll_text *, const ll_audit *), const ll_audit *audit, const ll_allocator *allocator)
{
    ll_text out;
    ll_text_open(&out, allocator, NULL, NULL);
    format(&out, audit);
    bool whole = ll_text_flush(&out);
    ll_text_close(&out);
    return whole;
}

static void format_runs_out_of_memory(const char *name, void (*format)(ll_text *, const ll_audit *), const ll_audit *audit)
{
    bool whole = false;
    for (size_t refuse_from = 1; !whole; refuse_from++) {
        test_heap heap;
        test_heap_open(&heap, refuse_from);
        whole = is_whole(format, audit, &heap.allocator);
        if (whole != (heap.calls < refuse_from) || heap.live != 0)
            fail_msg("%s: request %zu refused: %s, %zu blocks kept", name, refuse_from,
                     whole ? "said to be whole" : "said not to be whole", heap.live);
    }
}

static void formats_run_out_of_memory(void **state)
{
    (void)state;
    ll_arena arena;
    ll_history *history;
    ll_audit audit;
    ll_arena_open(&arena, NULL);
    assert_int_equal(make(&arena, &history, &audit), LL_OK);
    format_runs_out_of_memory("text", text, &audit);
    format_runs_out_of_memory("json", json, &audit);
    format_runs_out_of_memory("csv", ll_audit_csv, &audit);
    format_runs_out_of_memory("html", html, &audit);
    ll_history_free(history);
    ll_arena_close(&arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_audit_has_everything),
        cmocka_unit_test(answers_run_out_of_memory),
        cmocka_unit_test(formats_run_out_of_memory),
    };
    return cmocka_run_group_tests(tests, open_logs, close_logs);
}
