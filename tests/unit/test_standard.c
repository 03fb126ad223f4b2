/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Course standards: what is read, what is refused and where, and which setting comes first. Wrong standards of every
 * kind stand in tests/checks/standards.py; here are the durations, the caps, memory and precedence. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "allocator.h"
#include "close.h"
#include "standard/standard.h"

#define OPEN "<standard xmlns='urn:leadline:standard:1' name=' Course  of\tours '>\n"
#define CLOSE "</standard>"

/* --- reading ---------------------------------------------------------------------------------------------------- */

typedef struct {
    const char *text;
    size_t size, taken, piece;
    bool breaks;
} source;

static ptrdiff_t take(void *context, void *bytes, size_t capacity)
{
    source *from = context;
    size_t size = from->size - from->taken;
    if (size == 0 && from->breaks)
        return -1;
    size = size < capacity ? size : capacity;
    size = size < from->piece ? size : from->piece;
    memcpy(bytes, from->text + from->taken, size);
    from->taken += size;
    return (ptrdiff_t)size;
}

static ll_status try_text(const char *text, size_t piece, const ll_allocator *allocator, ll_standard **standard,
                          ll_error *error)
{
    source from = {text, strlen(text), 0, piece, false};
    return ll_standard_read("course.xml", take, &from, allocator, standard, error);
}

static ll_standard *read_text(const char *text)
{
    ll_standard *standard;
    ll_error error = {LL_OK, 0, ""};
    if (try_text(text, 1000, NULL, &standard, &error) != LL_OK)
        fail_msg("line %ld: %s", error.line, error.text);
    return standard;
}

static void assert_refused(const char *text, long line, const char *sentence)
{
    ll_standard *standard;
    ll_error error = {LL_OK, 0, ""};
    assert_int_equal(try_text(text, 1000, NULL, &standard, &error), LL_BAD_INPUT);
    assert_null(standard);
    assert_string_equal(error.text, sentence);
    assert_int_equal(error.line, line);
    assert_int_equal(error.status, LL_BAD_INPUT);
    assert_int_equal(try_text(text, 1000, NULL, &standard, NULL), LL_BAD_INPUT);
}

static const char whole[] =
    "<?xml version='1.0'?>\n"
    "<!-- a comment --><?and more?>\n" OPEN
    "<entry>\n"
    "<requirement id='all' least='2.5' most='40' count='hours' decompression='yes' owed='P1DT1H2M3S' deepest-from='36'\n"
    "  deepest-to='46.5' within='P1Y6M10D' among-last='20' helium='no' switches='2' circuit='loop' shortest='PT45M'\n"
    "  finding='oxygen-high' severity='caution'> In\n  words &amp;\n <![CDATA[<more>]]> </requirement>\n"
    "<requirement id='few' most='0' circuit='open'>Few</requirement>\n"
    "</entry>\n"
    "<limits>\n"
    "<limit of='density' unit='g/L' caution='5.2'/>\n"
    "<limit of='oxygen-low' unit='atm' note='0.2' serious='0.17'/>\n"
    "<limit of='narcosis' unit='m'/>\n"
    "<limit of='stop-depth' unit='m' note='0.5'/>\n"
    "<limit of='separation' unit='m' serious='10'/>\n"
    "<limit of='reserve' unit='bar' caution='50' serious='30'/>\n"
    "</limits>\n"
    "<model gradient-low='0.55' gradient-high='0.70' narcotic-oxygen='no' last-stop='4.5'/>\n" CLOSE;

static void limits_are_read(void **state)
{
    (void)state;
    ll_standard *standard = read_text(whole);
    assert_string_equal(standard->name, "Course  of ours"); /* XML makes a blank of a tab in an attribute */
    assert_string_equal(standard->file, "course.xml");
    assert_int_equal(strlen(standard->sha256), 64);
    assert_true(standard->of[LL_FINDING_DENSITY].given);
    assert_true(isnan(standard->of[LL_FINDING_DENSITY].limit.note));
    assert_close(standard->of[LL_FINDING_DENSITY].limit.caution, 5.2, 0, 0);
    assert_close(standard->of[LL_FINDING_OXYGEN_LOW].limit.serious, 0.17, 0, 0);
    assert_true(standard->of[LL_FINDING_NARCOSIS].given);
    assert_true(isnan(standard->of[LL_FINDING_NARCOSIS].limit.caution));
    assert_close(standard->of[LL_FINDING_RESERVE].limit.serious, 30, 0, 0);
    assert_false(standard->of[LL_FINDING_CNS].given);
    assert_close(standard->of[LL_FINDING_STOP_DEPTH].limit.note, 0.5, 0, 0);
    assert_close(standard->kept[LL_LIMIT_SEPARATION].limit.serious, 10, 0, 0);
    ll_standard_free(standard);
}

static void assert_period(ll_period period, unsigned years, unsigned months, unsigned days, unsigned seconds)
{
    assert_int_equal(period.years, years);
    assert_int_equal(period.months, months);
    assert_int_equal(period.days, days);
    assert_int_equal(period.seconds, seconds);
}

static void requirements_are_read(void **state)
{
    (void)state;
    ll_standard *standard = read_text(whole);
    assert_int_equal(standard->requirements, 2);
    const ll_requirement *all = &standard->requirement[0];
    assert_int_equal(all->line, 5);
    assert_int_equal(all->asked, LL_ASKED(LL_ASKED_ATTRIBUTES) - 1);
    assert_string_equal(all->id, "all");
    assert_string_equal(all->text, "In words & <more>");
    assert_close(all->least, 2.5, 0, 0);
    assert_close(all->most, 40, 0, 0);
    assert_int_equal(all->counted_in, LL_COUNTED_HOURS);
    assert_true(all->decompression);
    assert_period(all->owed, 0, 0, 1, 3723);
    assert_close(all->deepest_from_m, 36, 0, 0);
    assert_close(all->deepest_to_m, 46.5, 0, 0);
    assert_period(all->within, 1, 6, 10, 0);
    assert_int_equal(all->among_last, 20);
    assert_false(all->helium);
    assert_int_equal(all->switches, 2);
    assert_true(all->loop);
    assert_period(all->shortest, 0, 0, 0, 2700);
    assert_int_equal(all->finding, LL_FINDING_OXYGEN_HIGH);
    assert_int_equal(all->severity, LL_CAUTION);
    const ll_requirement *few = &standard->requirement[1];
    assert_int_equal(few->asked, LL_ASKED(LL_ASKED_ID) | LL_ASKED(LL_ASKED_MOST) | LL_ASKED(LL_ASKED_CIRCUIT));
    assert_true(isnan(few->least));
    assert_false(few->loop);
    assert_int_equal(few->counted_in, LL_COUNTED_DIVES);
    ll_standard_free(standard);
}

/* Forms of ISO 8601-1:2019, 5.5.2, and what is none of them or is not taken. */
static void durations(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        ll_period period;
    } right[] = {{"P6M", {0, 6, 0, 0}},        {"P1Y", {1, 0, 0, 0}},      {"P2W", {0, 0, 14, 0}},
                 {"P30D", {0, 0, 30, 0}},      {"PT5M", {0, 0, 0, 300}},   {"PT1H30M", {0, 0, 0, 5400}},
                 {"P1DT12H", {0, 0, 1, 43200}}, {"P1Y2M3DT4H5M6S", {1, 2, 3, 14706}}, {"PT99999S", {0, 0, 0, 99999}}};
    static const char *const wrong[] = {"",      "P",     "PT",    "6M",    "P6",     "P6X",   "P1M1Y", "P1Y1Y", "P1W1D",
                                        "P1DT",  "PT1D",  "P1H",   "p6m",   "P-6M",   "P1.5D", "P 6M",  "P6M ",  "PT1M1H",
                                        "P1TT1H", "PW",   "P123456D", "PT1H1", "P1M2W", "P6MT1W"};
    ll_period period;
    for (size_t i = 0; i < sizeof right / sizeof *right; i++) {
        assert_true(ll_period_read(right[i].text, strlen(right[i].text), &period));
        assert_memory_equal(&period, &right[i].period, sizeof period);
    }
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++) {
        if (ll_period_read(wrong[i], strlen(wrong[i]), &period))
            fail_msg("'%s' was taken", wrong[i]);
        assert_period(period, 0, 0, 0, 0);
    }
}

/* --- refusals --------------------------------------------------------------------------------------------------- */

static void not_xml_or_not_ours(void **state)
{
    (void)state;
    assert_refused("", 0, "the file is empty");
    assert_refused("words", 1, "no well-formed XML in column 1: Start tag expected, '<' not found");
    assert_refused("<standard/>", 1,
                   "root element is <standard>, expected <standard xmlns=\"urn:leadline:standard:1\">");
    assert_refused(OPEN CLOSE "<more/>", 2, "no well-formed XML in column 12: Extra content at the end of the document");
    assert_refused(OPEN "<limits>&what;</limits>" CLOSE, 2, "no well-formed XML in column 15: Entity 'what' not defined");
    assert_refused(OPEN "<x:limits/>" CLOSE, 2, "no well-formed XML in column 10: Namespace prefix x on limits is not defined");
    assert_refused(OPEN "<limits xml:lang='en'/>" CLOSE, 2, "<limits> takes no attribute 'xml:lang'");
}

static void a_doctype_is_refused_before_anything_is_expanded(void **state)
{
    (void)state;
    static const char sentence[] = "a document type declaration is refused";
    assert_refused("<?xml version='1.0'?>\n<!DOCTYPE standard SYSTEM 'http://127.0.0.1:9/s.dtd'>\n" OPEN CLOSE, 2, sentence);
    assert_refused("<!DOCTYPE standard [<!ENTITY a 'aa'><!ENTITY b '&a;&a;'>]>" OPEN "&b;" CLOSE, 1, sentence);
}

/* Lines are those of the attribute, even where a value holds what looks like one. */
static void lines(void **state)
{
    (void)state;
    assert_refused(OPEN "<entry>\n<requirement\n  id='most=\"x\" least='\n  least='1'\n  most = 'x'>A</requirement></entry>" CLOSE,
                   6, "most=\"x\": expected a number from 0 to 100000");
    assert_refused(OPEN "<entry>\n<requirement\n  id='a'\n  text='1'\n>A</requirement></entry>" CLOSE, 5,
                   "<requirement> takes no attribute 'text'");
    assert_refused(OPEN "<limits>\n<limit\n of='cns'\n unit='percent' note='90'\n caution='80'/></limits>" CLOSE, 6,
                   "limits of 'cns' contradict each other: caution lies below note");
}

static void names_of_the_file_are_shown_tamely(void **state)
{
    (void)state;
    assert_refused(OPEN "<limits><limit of='&#10;&#x85;\xc3\xb8' unit='m'/></limits>" CLOSE, 2,
                   "nothing that has a limit is called '??\xc3\xb8'");
    assert_refused(OPEN "<aaaaaaaaaabbbbbbbbbbaaaaaaaaaabbbbbbbbbbaaaaaaaaaabbbbbbbbbbaaaaaaaaaa/>" CLOSE, 2,
                   "<aaaaaaaaaabbbbbbbbbbaaaaaaaaaabbbbbbbbbbaaaaaaaaaabbbbbbbbbb...> is not known in <standard>");
}

static void a_read_that_fails_is_told(void **state)
{
    (void)state;
    source from = {whole, sizeof whole - 1, 0, 7, true};
    ll_standard *standard;
    ll_error error;
    assert_int_equal(ll_standard_read("x", take, &from, NULL, &standard, &error), LL_BAD_INPUT);
    assert_string_equal(error.text, "the input could not be read");
    assert_null(standard);
}

/* --- caps ------------------------------------------------------------------------------------------------------- */

static char long_text[LL_STANDARD_MOST_BYTES + 1000];

/* OPEN, `before`, `count` times `c`, `after`, CLOSE. */
static const char *filled(const char *before, char c, size_t count, const char *after)
{
    int start = snprintf(long_text, 500, "%s%s", OPEN, before);
    memset(long_text + start, c, count);
    snprintf(long_text + start + count, 400, "%s%s", after, CLOSE);
    return long_text;
}

static void caps_on_texts(void **state)
{
    (void)state;
    static const char before[] = "<entry><requirement id='a' least='1'>", after[] = "</requirement></entry>";
    ll_standard_free(read_text(filled(before, 'w', LL_STANDARD_MOST_TEXT, after)));
    assert_refused(filled(before, 'w', LL_STANDARD_MOST_TEXT + 1, after), 2,
                   "more than 1000 bytes of text in <requirement>");
    static const char id[] = "<entry><requirement least='1' id='", end[] = "'>A</requirement></entry>";
    ll_standard_free(read_text(filled(id, 'i', 64, end)));
    assert_refused(filled(id, 'i', 65, end), 2,
                   "id=\"iiiiiiiiiiiiiiiiiiiiiiiiiiiiiiiiiiiiiiiiiiiiiiiiiiiiiiiiiiii...\": "
                   "expected a name of 1 to 64 bytes");
}

static void caps_on_the_name(void **state)
{
    (void)state;
    char text[400];
    for (int extra = 0; extra < 2; extra++) {
        snprintf(text, sizeof text, "<standard xmlns='urn:leadline:standard:1' name='%0*d'/>",
                 200 + extra, 0);
        if (extra)
            assert_refused(text, 1, "name=\"000000000000000000000000000000000000000000000000000000000000...\": "
                                    "expected a name of 1 to 200 bytes");
        else
            ll_standard_free(read_text(text));
    }
}

static void caps_on_bytes_and_nesting(void **state)
{
    (void)state;
    size_t frame = strlen(OPEN) + strlen(CLOSE);
    ll_standard_free(read_text(filled("", '\n', LL_STANDARD_MOST_BYTES - frame, "")));
    assert_refused(filled("", '\n', LL_STANDARD_MOST_BYTES + 1 - frame, ""), 0, "larger than 1048576 bytes");
    assert_refused(OPEN "<limits><limit of='cns' unit='percent'><a><a><a><a></a></a></a></a></limit></limits>" CLOSE, 2,
                   "<a> is not known in <limit>");
}

static void caps_on_requirements(void **state)
{
    (void)state;
    for (unsigned extra = 0; extra < 2; extra++) {
        size_t size = (size_t)snprintf(long_text, sizeof long_text, "%s<entry>\n", OPEN);
        for (unsigned i = 0; i < LL_STANDARD_MOST_REQUIREMENTS + extra; i++)
            size += (size_t)snprintf(long_text + size, 100, "<requirement id='%u' least='1'>A</requirement>\n", i);
        snprintf(long_text + size, 100, "</entry>%s", CLOSE);
        if (extra)
            assert_refused(long_text, 2 + LL_STANDARD_MOST_REQUIREMENTS + 1, "more than 1000 requirements");
        else
            ll_standard_free(read_text(long_text));
    }
}

/* --- memory ------------------------------------------------------------------------------------------------------ */

static void memory_may_run_out_anywhere(void **state)
{
    (void)state;
    size_t refuse_from = 1;
    for (;; refuse_from++) {
        test_heap heap;
        test_heap_open(&heap, refuse_from);
        ll_standard *standard;
        ll_error error = {LL_OK, 0, ""};
        ll_status status = try_text(whole, 100, &heap.allocator, &standard, &error);
        ll_standard_free(standard);
        assert_int_equal(heap.live, 0);
        if (status == LL_OK)
            break;
        assert_int_equal(status, LL_NO_MEMORY);
        assert_string_equal(error.text, "memory ran out");
    }
    assert_true(refuse_from > 3);
}

/* --- what comes first --------------------------------------------------------------------------------------------- */

static void the_standard_replaces_what_is_built_in(void **state)
{
    (void)state;
    ll_standard *standard = read_text(whole);
    ll_settings settings;
    ll_limits limits;
    ll_settings_built_in(&settings);
    ll_limits_built_in(&limits);
    ll_standard_apply(standard, &settings, &limits);
    assert_close(settings.gf_low_percent, 55, 0, 0);
    assert_close(settings.gf_high_percent, 70, 0, 0);
    assert_int_equal(settings.gf_origin, LL_FROM_STANDARD);
    assert_false(settings.narcotic_oxygen);
    assert_int_equal(settings.narcotic_origin, LL_FROM_STANDARD);
    assert_close(settings.last_stop_m, 4.5, 0, 0);
    assert_int_equal(settings.last_stop_origin, LL_FROM_STANDARD);
    assert_int_equal(settings.model_origin, LL_BUILT_IN);
    assert_ptr_equal(settings.standard, standard);
    assert_int_equal(ll_settings_check(&settings, NULL), LL_OK);
    assert_true(isnan(limits.of[LL_FINDING_DENSITY].note)); /* missing means none */
    assert_close(limits.of[LL_FINDING_DENSITY].caution, 5.2, 0, 0);
    assert_int_equal(limits.of[LL_FINDING_DENSITY].origin, LL_FROM_STANDARD);
    assert_string_equal(limits.of[LL_FINDING_DENSITY].source, standard->name);
    assert_int_equal(limits.of[LL_FINDING_CNS].origin, LL_BUILT_IN);
    assert_close(limits.bottom_oxygen.caution, 1.4, 0, 0);
    ll_standard_free(standard);
}

static void the_command_line_comes_before_the_standard(void **state)
{
    (void)state;
    ll_standard *standard = read_text(whole);
    ll_settings settings;
    ll_settings_built_in(&settings);
    settings.gf_low_percent = 20;
    settings.gf_origin = settings.narcotic_origin = settings.last_stop_origin = LL_COMMAND_LINE;
    ll_standard_apply(standard, &settings, NULL);
    assert_close(settings.gf_low_percent, 20, 0, 0);
    assert_true(settings.narcotic_oxygen);
    assert_close(settings.last_stop_m, 3, 0, 0);
    assert_int_equal(settings.gf_origin, LL_COMMAND_LINE);
    ll_standard_free(standard);
}

/* --gf log asks for the log's factors where the standard has none. */
static void the_standard_comes_before_the_log(void **state)
{
    (void)state;
    static const char *const texts[] = {whole, OPEN "<model last-stop='6'/>" CLOSE};
    for (int i = 0; i < 2; i++) {
        ll_standard *standard = read_text(texts[i]);
        ll_settings settings;
        ll_settings_built_in(&settings);
        settings.gf_from_log = true;
        settings.gf_origin = LL_COMMAND_LINE;
        ll_standard_apply(standard, &settings, NULL);
        assert_int_equal(settings.gf_from_log, i == 1);
        assert_close(settings.gf_low_percent, i == 1 ? 50 : 55, 0, 0);
        assert_int_equal(settings.gf_origin, i == 1 ? LL_COMMAND_LINE : LL_FROM_STANDARD);
        ll_standard_free(standard);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(limits_are_read),
        cmocka_unit_test(requirements_are_read),
        cmocka_unit_test(durations),
        cmocka_unit_test(not_xml_or_not_ours),
        cmocka_unit_test(a_doctype_is_refused_before_anything_is_expanded),
        cmocka_unit_test(lines),
        cmocka_unit_test(names_of_the_file_are_shown_tamely),
        cmocka_unit_test(a_read_that_fails_is_told),
        cmocka_unit_test(caps_on_texts),
        cmocka_unit_test(caps_on_the_name),
        cmocka_unit_test(caps_on_bytes_and_nesting),
        cmocka_unit_test(caps_on_requirements),
        cmocka_unit_test(memory_may_run_out_anywhere),
        cmocka_unit_test(the_standard_replaces_what_is_built_in),
        cmocka_unit_test(the_command_line_comes_before_the_standard),
        cmocka_unit_test(the_standard_comes_before_the_log),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
