/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What references name, what is passed over, and when a dive began. Expected figures follow by hand from the texts. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "allocator.h"
#include "log_world.h"

#define AT(depth, time, more) "<waypoint><depth>" depth "</depth><divetime>" time "</divetime>" more "</waypoint>\n"
#define SWITCH(ref) "<switchmix ref='" ref "'/>"
#define MIX(id, name, o2) "<mix id='" id "'><name>" name "</name><o2>" o2 "</o2></mix>"
#define TWO AT("9", "0", "") AT("9", "9", "")

/* A log of one dive; `head` stands before its dives, `dive` within it, before its samples. */
static ll_log *read_dive(const char *head, const char *dive, const char *samples)
{
    static const char form[] =
        "<uddf version='3.2.0'>%s<profiledata><repetitiongroup><dive id='d'>%s<samples>%s</samples>"
        "</dive></repetitiongroup></profiledata></uddf>";
    size_t size = sizeof form + strlen(head) + strlen(dive) + strlen(samples);
    char *text = malloc(size);
    assert_non_null(text);
    snprintf(text, size, form, head, dive, samples);
    ll_log *log = read_text(text);
    free(text);
    assert_int_equal(log->dives, 1);
    return log;
}

static void assert_note(const ll_notes *notes, ll_note_code code, const char *sentence)
{
    const char *text = note_text(notes, code);
    if (sentence) {
        assert_non_null(text);
        assert_string_equal(text, sentence);
    } else if (text) {
        fail_msg("a note that should not be: %s", text);
    }
}

/* --- mixes --------------------------------------------------------------------------------------------------- */

static void a_mix_is_found_by_what_is_alike(void **state)
{
    (void)state;
    static const char *const cases[][2] = {
        {"bottom", NULL},
        {" bottom ", NULL},
        {"#bottom",
         "nothing in the log has the id '#bottom'; the mix 'bottom' was taken, alike but for case or a leading "
         "# or by its name"},
        {"BOTTOM",
         "nothing in the log has the id 'BOTTOM'; the mix 'bottom' was taken, alike but for case or a leading # "
         "or by its name"},
        {"Back Gas",
         "nothing in the log has the id 'Back Gas'; the mix 'bottom' was taken, alike but for case or a leading "
         "# or by its name"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char samples[256];
        snprintf(samples, sizeof samples, AT("9", "0", SWITCH("%s")) AT("9", "9", ""), cases[i][0]);
        ll_log *log =
            read_dive("<gasdefinitions>" MIX("bottom", "back gas", "0.28") MIX("deco", "50", "0.5") "</gasdefinitions>",
                      "", samples);
        assert_span(&log->dive[0], 0, 0, 2, 0, LL_OPEN_CIRCUIT);
        assert_note(&log->dive[0].notes, LL_NOTE_LINK_NEAR, cases[i][1]);
        assert_note(&log->dive[0].notes, LL_NOTE_MIX_UNDEFINED, NULL);
        ll_log_free(log);
    }
}

/* An id counts before a name, whatever stands first; one of two alike is none. */
static void ids_count_before_names_and_two_alike_are_none(void **state)
{
    (void)state;
    ll_log *log = read_dive("<gasdefinitions>" MIX("x", "deco", "0.28") MIX("DECO", "y", "0.5") "</gasdefinitions>", "",
                            AT("9", "0", SWITCH("Deco")) AT("9", "9", ""));
    assert_span(&log->dive[0], 0, 0, 2, 1, LL_OPEN_CIRCUIT);
    ll_log_free(log);
    log = read_dive("<gasdefinitions>" MIX("x", "EAN", "0.28") MIX("y", "ean", "0.5") "</gasdefinitions>", "",
                    AT("9", "0", SWITCH("Ean")) AT("9", "9", ""));
    assert_span(&log->dive[0], 0, 0, 2, LL_MIX_UNKNOWN, LL_OPEN_CIRCUIT);
    assert_note(&log->dive[0].notes, LL_NOTE_LINK_NEAR, NULL);
    assert_non_null(note_text(&log->dive[0].notes, LL_NOTE_MIX_UNDEFINED));
    ll_log_free(log);
}

static void an_id_of_two_kinds_is_noted_and_each_place_takes_its_own(void **state)
{
    (void)state;
    ll_log *log =
        read_dive("<diver><owner><equipment><tank id='1'><tankvolume>0.01</tankvolume></tank></equipment></owner>"
                  "</diver><gasdefinitions>" MIX("1", "a", "0.28") "</gasdefinitions>",
                  "<tankdata><link ref='1'/></tankdata>", TWO);
    assert_note(&log->notes, LL_NOTE_ID_REPEATED,
                "the id '1' is given more than once; the first of the kind asked for counts");
    assert_int_equal(log->dive[0].tank_use[0].tank, 0);
    assert_int_equal(log->dive[0].tank_use[0].mix, 0);
    ll_log_free(log);
}

/* --- links --------------------------------------------------------------------------------------------------- */

#define TANKS "<diver><owner><equipment><tank id='t'/><tank id='u'/></equipment></owner></diver>"
#define SITES "<divesite><site id='s'><name>quarry</name></site><site id='r'><name>fjord</name></site></divesite>"

static void links_of_other_kinds_and_several(void **state)
{
    (void)state;
    ll_log *log = read_dive(TANKS SITES,
                            "<link ref='s'/><link ref='buddy'/><link ref='s'/>"
                            "<tankdata><link ref='t'/><link ref='s'/></tankdata>",
                            TWO);
    assert_int_equal(log->dive[0].site, 0);
    assert_int_equal(log->dive[0].tank_use[0].tank, 0);
    assert_note(&log->dive[0].notes, LL_NOTE_LINK_SEVERAL, NULL);
    assert_note(&log->dive[0].notes, LL_NOTE_LINK_DANGLING, NULL);
    assert_note(&log->dive[0].notes, LL_NOTE_LINK_OTHER_KIND,
                "a link names 's', which is of a kind that means nothing at that place");
    ll_log_free(log);
    log = read_dive(TANKS SITES, "<link ref='s'/><link ref='r'/>", TWO);
    assert_int_equal(log->dive[0].site, 0);
    assert_note(&log->dive[0].notes, LL_NOTE_LINK_SEVERAL,
                "more than one site is linked at one place; the first counts");
    ll_log_free(log);
    log = read_dive(TANKS, "<tankdata><link ref='u'/><link ref='t'/></tankdata>", TWO);
    assert_int_equal(log->dive[0].tank_use[0].tank, 1);
    assert_note(&log->dive[0].notes, LL_NOTE_LINK_SEVERAL,
                "more than one tank is linked at one place; the first counts");
    ll_log_free(log);
}

#define PRESSURE(ref) "<tankpressure ref='" ref "'>2e7</tankpressure>"

static void pressures_of_no_one_tank_are_kept_apart(void **state)
{
    (void)state;
    static const char two[] = "<tankdata><link ref='t'/></tankdata><tankdata><link ref='u'/></tankdata>";
    ll_log *log =
        read_dive(TANKS, two, AT("9", "0", PRESSURE("left") PRESSURE("right") PRESSURE("T")) AT("9", "9", ""));
    const ll_dive *dive = &log->dive[0];
    assert_int_equal(dive->tank_pressures, 3);
    assert_int_equal(dive->tank_pressure[0].tank_use, LL_NONE);
    assert_int_equal(dive->tank_pressure[1].tank_use, LL_NONE);
    assert_int_equal(dive->tank_pressure[2].tank_use, 0);
    assert_note(
        &dive->notes, LL_NOTE_TANK_ANONYMOUS,
        "tank pressures that name 'left' belong to no one tank of this dive; they are kept as a tank of their own");
    assert_non_null(note_text(&dive->notes, LL_NOTE_LINK_NEAR));
    ll_log_free(log);
    log = read_dive(TANKS, two, AT("9", "0", "<tankpressure>2e7</tankpressure>") AT("9", "9", ""));
    assert_note(
        &log->dive[0].notes, LL_NOTE_TANK_ANONYMOUS,
        "tank pressures that name no tank belong to no one tank of this dive; they are kept as a tank of their own");
    ll_log_free(log);
    log = read_dive(TANKS, "", AT("9", "0", "<tankpressure>2e7</tankpressure>") AT("9", "9", ""));
    assert_note(&log->dive[0].notes, LL_NOTE_TANK_ANONYMOUS, NULL);
    ll_log_free(log);
}

/* --- what is passed over ------------------------------------------------------------------------------------- */

static void unknown_elements_are_counted_once_a_log(void **state)
{
    (void)state;
    ll_log *log = read_dive(
        "<w:shelf xmlns:w='urn:w'/><divetrip/>", "<applicationdata><x/></applicationdata><somethingref ref='x'/>",
        AT("9", "0", "<heading>9</heading><visor>1</visor>") AT("9", "9", "<visor>1</visor><hat/>"));
    assert_note(&log->notes, LL_NOTE_ELEMENTS_UNKNOWN,
                "the log holds elements that the format does not document, the first "
                "of them <visor>; they were passed over");
    assert_int_equal(log->notes.count, 1);
    assert_int_equal(log->notes.items[0].count, 3);
    assert_int_equal(log->dive[0].notes.count, 1); /* air was taken */
    ll_log_free(log);
}

static void two_owners_are_noted_once_named_twice_is_none(void **state)
{
    (void)state;
#define OWNER(first) "<owner><personal><firstname>" first "</firstname></personal></owner>"
    ll_log *log = read_dive("<diver>" OWNER("Ylva") OWNER("Ylva") "</diver>", "", TWO);
    assert_note(&log->notes, LL_NOTE_OWNER_REPEATED, NULL);
    ll_log_free(log);
    log = read_dive("<diver>" OWNER("Ylva") "</diver><diver>" OWNER("Brage") "</diver>", "", TWO);
    assert_string_equal(log->owner, "Ylva");
    assert_non_null(note_text(&log->notes, LL_NOTE_OWNER_REPEATED));
    ll_log_free(log);
}

static void a_single_sample_makes_no_profile(void **state)
{
    (void)state;
    ll_log *log = read_dive("", "<tankdata/>", AT("18", "600", SWITCH("lost") PRESSURE("x") "<alarm>deco</alarm>"));
    const ll_dive *dive = &log->dive[0];
    assert_int_equal(dive->count, 0);
    assert_int_equal(dive->spans + dive->switches + dive->tank_pressures + dive->alarms, 0);
    assert_int_equal(dive->tank_uses, 1);
    assert_non_null(note_text(&dive->notes, LL_NOTE_ONE_SAMPLE));
    assert_non_null(note_text(&dive->notes, LL_NOTE_NO_PROFILE));
    assert_note(&dive->notes, LL_NOTE_MIX_UNDEFINED, NULL);
    ll_log_free(log);
}

/* --- dates --------------------------------------------------------------------------------------------------- */

static void dates_in_forms_of_their_own(void **state)
{
    (void)state;
    /* Seconds of 2026-05-03T00:00 by the calendar of the GNU C library: date -u -d 2026-05-03 +%s */
    const int64_t day = 1777766400;
    static const struct {
        const char *text;
        int64_t second; /* of that day; -1: no date */
        bool has_time, has_zone, repaired;
    } cases[] = {
        {"2026-05-03T09:12:00", 33120, true, false, false},
        {"2026-5-3", 0, false, false, true},
        {"2026/05/03 09:12", 33120, true, false, true},
        {"2026.5.3  9:12:05.25", 33125, true, false, true},
        {"2026-05-03t09:12z", 33120, true, true, true},
        {"2026-05-03T09:12 +02:00", 33120, true, true, true},
        {"2026-05-02T24:00", 0, true, false, true},
        {"2026-05-03T23:59:60", 86400, true, false, true},
        {"2026-05-03T24:01", -1, false, false, false},
        {"2026-05/03", -1, false, false, false},
        {"2026-13-03", -1, false, false, false},
        {"2026-5-3T9", -1, false, false, false},
        {"2026-5-3T9:12 noon", -1, false, false, false},
        {"26-5-3", -1, false, false, false},
        {"3.5.2026", -1, false, false, false},
        {"2026-05", -1, false, false, false},
        {"T09:12", -1, false, false, false},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char facts[128];
        snprintf(facts, sizeof facts, "<datetime>%s</datetime>", cases[i].text);
        ll_log *log = read_dive("", facts, TWO);
        const ll_dive *dive = &log->dive[0];
        assert_int_equal(dive->start.has_date, cases[i].second >= 0);
        assert_int_equal(note_text(&dive->notes, LL_NOTE_DATE_UNUSABLE) != NULL, cases[i].second < 0);
        assert_int_equal(note_text(&dive->notes, LL_NOTE_DATE_REPAIRED) != NULL, cases[i].repaired);
        if (cases[i].second >= 0) {
            assert_int_equal(dive->start.local_s, day + cases[i].second);
            assert_int_equal(dive->start.has_time, cases[i].has_time);
            assert_int_equal(dive->start.has_zone, cases[i].has_zone);
        }
        ll_log_free(log);
    }
}

static void repaired_dates_say_how_they_were_read(void **state)
{
    (void)state;
    ll_log *log = read_dive("", "<datetime>2026-5-3 9:12</datetime>", TWO);
    assert_note(&log->dive[0].notes, LL_NOTE_DATE_REPAIRED,
                "the date '2026-5-3 9:12' has none of the format's forms; it was read as 2026-05-03T09:12:00");
    ll_log_free(log);
}

static void clocks_never_set_are_named(void **state)
{
    (void)state;
    static const char *const days[][2] = {
        {"1970-01-01T00:03", "1970-01-01"}, {"2000-01-01", "2000-01-01"}, {"2000-01-02", NULL}};
    for (size_t i = 0; i < 3; i++) {
        char facts[128], sentence[160];
        snprintf(facts, sizeof facts, "<datetime>%s</datetime>", days[i][0]);
        ll_log *log = read_dive("", facts, TWO);
        snprintf(sentence, sizeof sentence,
                 "the dive is dated %s, where clocks that were never set begin; the date was taken "
                 "as written",
                 days[i][1] ? days[i][1] : "");
        assert_note(&log->dive[0].notes, LL_NOTE_DATE_DEFAULT, days[i][1] ? sentence : NULL);
        assert_true(log->dive[0].start.has_date);
        ll_log_free(log);
    }
}

static void the_first_interval_stated_counts(void **state)
{
    (void)state;
#define INTERVAL(content) "<surfaceintervalbeforedive>" content "</surfaceintervalbeforedive>"
    ll_log *log = read_dive("", INTERVAL("<passedtime>3600</passedtime><infinity/>"), TWO);
    assert_int_equal(log->dive[0].interval, LL_INTERVAL_PASSED);
    assert_non_null(note_text(&log->dive[0].notes, LL_NOTE_INTERVAL_REPEATED));
    ll_log_free(log);
    log = read_dive("", INTERVAL("<passedtime>Infinity</passedtime><infinity/>"), TWO);
    assert_int_equal(log->dive[0].interval, LL_INTERVAL_INFINITE);
    assert_note(&log->dive[0].notes, LL_NOTE_INTERVAL_REPEATED, NULL);
    ll_log_free(log);
}

/* --- memory -------------------------------------------------------------------------------------------------- */

static void memory_may_run_out_anywhere(void **state)
{
    (void)state;
    static const char odd[] = "<uddf><gasdefinitions>" MIX("a", "x", "0.3") MIX("A", "X", "0.4")
        MIX("b", "y", "0.5") "</gasdefinitions>"
                             "<profiledata><repetitiongroup><dive><datetime>2026-5-3</datetime><link "
                             "ref='#s'/><tankdata><link ref='B'/>"
                             "<link ref='#a'/></tankdata><samples>" AT("9", "0", SWITCH("Y") PRESSURE("?"))
                                 AT("9", "9",
                                    SWITCH("x") "<odd/>") "</samples></dive></repetitiongroup></profiledata></uddf>";
    for (size_t refuse = 1;; refuse++) {
        test_heap heap;
        ll_log *log = NULL;
        test_heap_open(&heap, refuse);
        ll_status status = try_bytes(odd, strlen(odd), 0, &heap.allocator, NULL, &log, NULL);
        assert_true(status == LL_OK || status == LL_NO_MEMORY);
        ll_log_free(log);
        assert_int_equal(heap.live, 0);
        if (status == LL_OK)
            break;
    }
}

/* Four links of a tank record are followed, a fifth is not. */
static void links_of_a_tank_record_are_bounded(void **state)
{
    (void)state;
#define NOWHERE "<link ref='x'/><link ref='y'/><link ref='z'/>"
    ll_log *log = read_dive(TANKS, "<tankdata>" NOWHERE "<link ref='t'/></tankdata>", TWO);
    assert_int_equal(log->dive[0].tank_use[0].tank, 0);
    assert_null(note_text(&log->dive[0].notes, LL_NOTE_LINK_SEVERAL));
    ll_log_free(log);
    log = read_dive(TANKS, "<tankdata>" NOWHERE "<link ref='w'/><link ref='t'/></tankdata>", TWO);
    assert_int_equal(log->dive[0].tank_use[0].tank, LL_NONE);
    assert_note(&log->dive[0].notes, LL_NOTE_LINK_SEVERAL,
                "more than one tank or mix is linked at one place; the first counts");
    ll_log_free(log);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_mix_is_found_by_what_is_alike),
        cmocka_unit_test(ids_count_before_names_and_two_alike_are_none),
        cmocka_unit_test(an_id_of_two_kinds_is_noted_and_each_place_takes_its_own),
        cmocka_unit_test(links_of_other_kinds_and_several),
        cmocka_unit_test(pressures_of_no_one_tank_are_kept_apart),
        cmocka_unit_test(unknown_elements_are_counted_once_a_log),
        cmocka_unit_test(two_owners_are_noted_once_named_twice_is_none),
        cmocka_unit_test(a_single_sample_makes_no_profile),
        cmocka_unit_test(dates_in_forms_of_their_own),
        cmocka_unit_test(repaired_dates_say_how_they_were_read),
        cmocka_unit_test(clocks_never_set_are_named),
        cmocka_unit_test(the_first_interval_stated_counts),
        cmocka_unit_test(memory_may_run_out_anywhere),
        cmocka_unit_test(links_of_a_tank_record_are_bounded),
    };
    return cmocka_run_group_tests_name("log_references", tests, NULL, NULL);
}
