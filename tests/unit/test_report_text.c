/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Text outputs against golden files (regression: written by this program, read by a person), and what must hold
 * in any. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "allocator.h"
#include "report/page.h"
#include "report/text_figures.h"
#include "report/utf8.h"
#include "report/words.h"
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

static const char *whole_debrief(void)
{
    ll_text_head(&w.out, &w.history, &w.look);
    ll_text_debrief(&w.out, &w.debrief, &w.look);
    ll_text_foot(&w.out, &w.history, &w.look);
    return world_text(&w);
}

/* --- golden --------------------------------------------------------------------------------------------------- */

static void debrief_with_findings(void **state)
{
    (void)state;
    assert_golden("debrief_findings.txt", whole_debrief());
}

static void debrief_imperial_narrow(void **state)
{
    (void)state;
    w.look = (ll_look){.width = 56, .imperial = true, .names = 1};
    assert_golden("debrief_imperial_56.txt", whole_debrief());
}

static void debrief_kept(void **state)
{
    (void)state;
    world_keep_everything(&w);
    assert_golden("debrief_kept.txt", whole_debrief());
}

static void debrief_stated(void **state)
{
    (void)state;
    world_state_only(&w);
    assert_golden("debrief_stated.txt", whole_debrief());
}

static void list_of_two(void **state)
{
    (void)state;
    w.history.log_count = 2;
    w.history.notes = (ll_notes){&w.log_note, 1, 1};
    w.look.names = 2;
    ll_list_head(&w.out, &w.history, LL_LIST_TEXT, &w.look);
    ll_list_row(&w.out, &w.debrief, LL_LIST_TEXT, &w.look, true);
    ll_list_notes(&w.out, &w.debrief, &w.look);
    world_state_only(&w);
    w.entry.number = 3;
    ll_list_row(&w.out, &w.debrief, LL_LIST_TEXT, &w.look, false);
    ll_list_foot(&w.out, &w.history, LL_LIST_TEXT, &w.look);
    assert_golden("list.txt", world_text(&w));
}

/* --- what must hold in any text ------------------------------------------------------------------------------- */

static void assert_within_width(const char *text, size_t width)
{
    while (*text) {
        size_t size = strcspn(text, "\n");
        if (ll_columns(text, size) > width)
            fail_msg("a line of %zu columns, over %zu: %.*s", ll_columns(text, size), width, (int)size, text);
        text += size + (text[size] == '\n');
    }
}

static void lines_stay_within_the_width(void **state)
{
    (void)state;
    static const int widths[] = {40, 47, 60, 80, 132, 300};
    for (size_t i = 0; i < sizeof widths / sizeof *widths; i++) {
        w.look.width = widths[i];
        w.look.imperial = i % 2;
        w.out.size = 0;
        assert_within_width(whole_debrief(), (size_t)widths[i]);
    }
}

static void the_caution_stands_first(void **state)
{
    (void)state;
    assert_int_equal(strncmp(whole_debrief(), "Unwell after this dive", 22), 0);
}

/* CNS of which only a part is known; a sum of OTU that is not. */
static void a_lower_bound_is_told(void **state)
{
    (void)state;
    world_keep_everything(&w);
    w.debrief.cns_lower_bound = true;
    w.debrief.otu_row = NAN;
    const char *text = whole_debrief();
    assert_non_null(strstr(text, "at least 48 % at the"));
    assert_non_null(strstr(text, "the figures are lower"));
    assert_non_null(strstr(text, "OTU of these days is not known"));
}

/* Colour adds nothing but colour: without its sequences the text is the same. */
static void colour_carries_nothing(void **state)
{
    (void)state;
    char plain[32768];
    snprintf(plain, sizeof plain, "%s", whole_debrief());
    w.out.size = 0;
    w.look.colour = true;
    const char *coloured = whole_debrief();
    assert_non_null(strchr(coloured, '\033'));
    char stripped[32768];
    size_t size = 0;
    for (const char *at = coloured; *at; at++) {
        if (*at == '\033')
            at += strcspn(at, "m");
        else
            stripped[size++] = *at;
    }
    stripped[size] = '\0';
    assert_string_equal(stripped, plain);
}

/* No judging words and no comfort (words of the house, docs/formats.md). */
static void words_describe(void **state)
{
    (void)state;
    static const char *const never[] = {"violation", "fault", "failed", "fake", "clean", "passed", "safe", "accepted"};
    for (int kept = 0; kept < 2; kept++) {
        if (kept)
            world_keep_everything(&w);
        w.out.size = 0;
        const char *text = whole_debrief();
        for (size_t i = 0; i < sizeof never / sizeof *never; i++)
            if (strstr(text, never[i]))
                fail_msg("the text says '%s'", never[i]);
    }
}

static void log_text_cannot_reach_the_terminal(void **state)
{
    (void)state;
    w.site.name = "Lang\033[31mvik\033]0;title\007 fj\xC2\x9B"
                  "1mord\r\n\x7F\xE2\x80\xAE\xFF";
    w.log.owner = "\033cRagna";
    w.note[1].text = "no mix \033[2Jnamed";
    const char *text = whole_debrief();
    assert_null(strchr(text, '\033'));
    assert_null(strchr(text, '\r'));
    assert_null(strchr(text, '\x7F'));
    assert_non_null(strstr(text, "Ragna, Langvik fjord \xEF\xBF\xBD"));
    assert_non_null(strstr(text, "no mix named"));
}

static void names_are_shortened(void **state)
{
    (void)state;
    static const struct {
        int names;
        const char *text;
        bool hides;
    } rows[] = {{0, "Dive 2, Ragna Lysefjell, ", false}, {1, "Dive 2, R. L., ", true}, {2, "Dive 2, B, ", true}};
    w.logs[0] = &w.other_log;
    w.logs[1] = &w.log;
    w.history.log_count = 2;
    w.history.notes = (ll_notes){&w.log_note, 1, 1};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        w.out.size = 0;
        w.look.names = rows[i].names;
        const char *text = whole_debrief();
        assert_non_null(strstr(text, rows[i].text));
        assert_int_equal(strstr(text, "Lysefjell") == NULL, rows[i].hides);
        assert_int_equal(strstr(text, "Ternholm") == NULL, rows[i].hides);
    }
}

/* Unknown gas, a record that ends below, all surface time: said in words, and no figure is invented. */
static void what_is_missing_is_said(void **state)
{
    (void)state;
    world_keep_everything(&w);
    w.debrief.decompression_known = false;
    w.debrief.profile.has_surfacing = false;
    w.debrief.surfacing = (ll_surfacing){0};
    w.debrief.peak[LL_PO2] = w.debrief.peak[LL_CEILING] = (ll_peak){NAN, NAN};
    w.debrief.cns_end_percent = w.debrief.otu_dive = NAN;
    w.debrief.track.column[LL_CEILING] = NULL;
    w.breathed[0].known = false;
    w.breathed[0].mix = LL_MIX_UNKNOWN;
    w.look.width = 1000;
    const char *text = whole_debrief();
    assert_non_null(strstr(text, "an unknown mix from the start"));
    assert_non_null(strstr(text, "Asked: not known"));
    assert_non_null(strstr(text, "the record ends under water"));
    assert_non_null(strstr(text, "No ceiling can be replayed"));
    assert_null(strstr(text, "nan"));
}

/* A change of circuit is told even where the mix stays. */
static void circuits_are_told(void **state)
{
    (void)state;
    w.look.width = 1000;
    w.breathed[0].loop = w.breathed[1].loop = true;
    w.breathed[1].mix = 0;
    w.breathed[2].mix = 0;
    const char *text = whole_debrief();
    assert_non_null(strstr(text,
                           "Breathed: the loop with diluent 18/45 from the start; 18/45 on open circuit from 52:20 at "
                           "6.1 m (PO2 1.57 atm)."));
}

static void notes_of_several_logs_name_their_log(void **state)
{
    (void)state;
    ll_note cut = {LL_NOTE_LOG_TRUNCATED, 90, 1, "the log breaks off; the dives before that place were kept"};
    w.history.log_count = 2;
    w.other_log.notes = (ll_notes){&cut, 1, 1};
    const char *text = whole_debrief();
    assert_non_null(strstr(text, "Notes on the logs\n  In langvik.uddf.gz:\n  Loss, line 90: the log breaks off"));
}

static void all_surface_time(void **state)
{
    (void)state;
    w.debrief.profile.has_run_time = false;
    const char *text = whole_debrief();
    assert_non_null(strstr(text, "all of it is surface time"));
    assert_null(strstr(text, "Findings"));
}

/* --- figures -------------------------------------------------------------------------------------------------- */

static const char *duration(double seconds)
{
    w.out.size = 0;
    ll_duration(&w.out, seconds);
    return world_text(&w);
}

static const char *clock_of(double seconds)
{
    w.out.size = 0;
    ll_clock(&w.out, seconds);
    return world_text(&w);
}

static void times_in_words(void **state)
{
    (void)state;
    assert_string_equal(duration(2060), "34 min 20 s");
    assert_string_equal(duration(480), "8 min");
    assert_string_equal(duration(44.6), "45 s");
    assert_string_equal(duration(59.6), "1 min");
    assert_string_equal(duration(0), "0 s");
    assert_string_equal(duration(NAN), "\xE2\x80\x93");
    assert_string_equal(clock_of(3730), "62:10");
    assert_string_equal(clock_of(59.7), "1:00");
    assert_string_equal(clock_of(-61), "-1:01");
    assert_string_equal(clock_of(-0.2), "0:00");
    assert_string_equal(clock_of(NAN), "\xE2\x80\x93");
}

static const char *figure(double value, const char *unit, int digits, bool imperial)
{
    w.out.size = 0;
    w.look.imperial = imperial;
    ll_figure(&w.out, value, unit, digits, &w.look);
    return world_text(&w);
}

static const char *difference(double metres, bool imperial)
{
    w.out.size = 0;
    w.look.imperial = imperial;
    ll_difference_figure(&w.out, metres, &w.look);
    return world_text(&w);
}

static const char *limit_figure(double value, const char *unit, bool imperial)
{
    w.out.size = 0;
    w.look.imperial = imperial;
    ll_limit_figure(&w.out, value, unit, &w.look);
    return world_text(&w);
}

/* 1 ft = 0.3048 m exactly (international foot, 1959); Fahrenheit by its definition. */
static void figures_in_units(void **state)
{
    (void)state;
    assert_string_equal(figure(60.2, "m", 1, false), "60.2 m");
    assert_string_equal(figure(30.48, "m", 1, true), "100 ft");
    assert_string_equal(figure(9.144, "m/min", 1, true), "30 ft/min");
    assert_string_equal(figure(4, "C", 1, true), "39.2 \xC2\xB0"
                                                 "F");
    assert_string_equal(figure(4, "C", 1, false), "4.0 \xC2\xB0"
                                                  "C");
    assert_string_equal(figure(5.2, "g/L", 1, true), "5.2 g/L");
    assert_string_equal(figure(12.4, "", 0, true), "12");
    assert_string_equal(limit_figure(1.6, "atm", true), "1.6 atm");
    assert_string_equal(limit_figure(12, "m/min", false), "12 m/min");
    assert_string_equal(limit_figure(0.1699999, "atm", false), "0.17 atm");
    assert_string_equal(limit_figure(12, "m/min", true), "39 ft/min");
    assert_string_equal(limit_figure(0.5, "m", true), "1.6 ft");
    assert_string_equal(limit_figure(30.48, "m", true), "100 ft");
}

/* A tenth of a metre is a third of a foot: no "0 ft" for what is not nothing. */
static void differences_in_units(void **state)
{
    (void)state;
    assert_string_equal(difference(0.1, false), "0.1 m");
    assert_string_equal(difference(0.1, true), "0.3 ft");
    assert_string_equal(difference(2.9, true), "9.5 ft");
    assert_string_equal(difference(60.96, true), "200 ft");
    assert_string_equal(difference(0, true), "0 ft");
}

/* --- wrapping ------------------------------------------------------------------------------------------------- */

static const char *wrapped(const char *words, int width, int first, int rest)
{
    w.out.size = 0;
    w.look.width = width;
    ll_page page;
    ll_page_open(&page, &w.out, &w.look);
    ll_text_puts(&page.words, words);
    ll_page_end(&page, first, rest);
    ll_page_close(&page);
    return world_text(&w);
}

static void words_wrap(void **state)
{
    (void)state;
    /*                                  1234567890123456789012345678901234567890 */
    assert_string_equal(wrapped("", 40, 2, 2), "");
    assert_string_equal(wrapped("one two", 40, 2, 4), "  one two\n");
    assert_string_equal(wrapped("a figure stays beside its unit here: 12.5 m and so on", 40, 0, 2),
                        "a figure stays beside its unit here:\n  12.5 m and so on\n");
    assert_string_equal(
        wrapped("a word that is far too long abcdefghijklmnopqrstuvwxyzabcdefghijklmnopqrstuvwxyz", 40, 0, 2),
        "a word that is far too long\n  abcdefghijklmnopqrstuvwxyzabcdefghijkl\n  mnopqrstuvwxyz\n");
    assert_string_equal(
        wrapped("sj\xC3\xB8\xC3\xB8\xC3\xB8\xC3\xB8\xC3\xB8\xC3\xB8\xC3\xB8\xC3\xB8 og fjell og enda litt mer vann", 40,
                0, 0),
        "sj\xC3\xB8\xC3\xB8\xC3\xB8\xC3\xB8\xC3\xB8\xC3\xB8\xC3\xB8\xC3\xB8 og fjell og enda litt mer\nvann\n");
}

/* --- memory --------------------------------------------------------------------------------------------------- */

static void refused_memory_is_told(void **state)
{
    (void)state;
    for (size_t refuse_from = 1; refuse_from < 400; refuse_from++) {
        test_heap heap;
        test_heap_open(&heap, refuse_from);
        ll_text_close(&w.out);
        ll_text_open(&w.out, &heap.allocator, NULL, NULL);
        ll_text_head(&w.out, &w.history, &w.look);
        ll_text_debrief(&w.out, &w.debrief, &w.look);
        ll_text_foot(&w.out, &w.history, &w.look);
        bool whole = ll_text_flush(&w.out);
        assert_int_equal(whole, heap.calls < refuse_from);
        ll_text_close(&w.out);
        assert_int_equal(heap.live, 0);
        ll_text_open(&w.out, NULL, NULL, NULL);
        if (whole)
            return;
    }
    fail_msg("more requests for memory than expected");
}

int main(void)
{
#define ONE(test) cmocka_unit_test_setup_teardown(test, open_world, close_world)
    const struct CMUnitTest tests[] = {
        ONE(debrief_with_findings),
        ONE(debrief_imperial_narrow),
        ONE(debrief_kept),
        ONE(debrief_stated),
        ONE(list_of_two),
        ONE(lines_stay_within_the_width),
        ONE(the_caution_stands_first),
        ONE(a_lower_bound_is_told),
        ONE(colour_carries_nothing),
        ONE(words_describe),
        ONE(log_text_cannot_reach_the_terminal),
        ONE(names_are_shortened),
        ONE(what_is_missing_is_said),
        ONE(circuits_are_told),
        ONE(notes_of_several_logs_name_their_log),
        ONE(all_surface_time),
        ONE(times_in_words),
        ONE(figures_in_units),
        ONE(differences_in_units),
        ONE(words_wrap),
        ONE(refused_memory_is_told),
    };
#undef ONE
    return cmocka_run_group_tests(tests, NULL, NULL);
}
