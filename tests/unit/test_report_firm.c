/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How firm things are, in words; levels through which depth moves; lengths in the units asked for. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <math.h>

#include <cmocka.h>

#include "report/text_findings.h"
#include "report/text_levels.h"
#include "report/text_parts.h"
#include "report_world.h"

static world w;

static int open_world(void **state)
{
    (void)state;
    world_open(&w);
    w.look.width = 400;
    w.debrief.firmness = (ll_firmness){true, true, {35.6, 52.4}, {95.4, 107.6}, {2100, 2305}};
    return 0;
}

static int close_world(void **state)
{
    (void)state;
    world_close(&w);
    return 0;
}

/* What a part writes, alone on its page. */
static const char *text_of(void (*part)(ll_page *, const ll_debrief *))
{
    ll_page page;
    ll_text_close(&w.out);
    ll_text_open(&w.out, NULL, NULL, NULL);
    ll_page_open(&page, &w.out, &w.look);
    part(&page, &w.debrief);
    ll_page_end(&page, 0, 0);
    ll_page_close(&page);
    return world_text(&w);
}

static void assert_says(const char *text, const char *words)
{
    if (!strstr(text, words))
        fail_msg("'%s' is not in: %s", words, text);
}

/* --- ranges ------------------------------------------------------------------------------------------------------- */

static void ranges_follow_the_meaning(void **state)
{
    (void)state;
    assert_string_equal(text_of(ll_text_firm_meaning),
                        "  Firm means: stands against recorder error (depth off by 0.3 m and 1 %, set to fresh or sea "
                        "water, steps of 0.1 m, a percentage point of oxygen), nothing more. Marginal means that it "
                        "does not. If depth or water was off by so much: stops owed 35 min to 38 min 25 s, gradient at "
                        "the surfacing 95 to 108 %, CNS 36 to 52 %.\n");
}

static void without_findings_the_error_is_named(void **state)
{
    (void)state;
    w.debrief.findings.count = 0;
    w.debrief.firmness.owed_s = (ll_range){0, 0.2};
    w.debrief.firmness.gradient_percent = (ll_range){NAN, NAN};
    w.debrief.firmness.cns_percent = (ll_range){27.8, 28.2};
    w.debrief.cns_lower_bound = true;
    assert_string_equal(text_of(ll_text_firm_meaning), "  If depth was off by 0.3 m and 1 %, or the recorder set to "
                                                       "fresh or sea water: no stops owed, CNS at least 28 %.\n");
}

static void nothing_known_has_no_range(void **state)
{
    (void)state;
    const ll_range unknown = {NAN, NAN};
    w.debrief.findings.count = 0;
    w.debrief.firmness = (ll_firmness){true, true, unknown, unknown, unknown};
    assert_string_equal(text_of(ll_text_firm_meaning), "");
}

static void accuracy_is_told_in_feet(void **state)
{
    (void)state;
    w.look.imperial = true;
    assert_says(text_of(ll_text_firm_meaning), "(depth off by 1.0 ft and 1 %, set to fresh or sea water, steps of 0.3 ft,");
}

/* --- how short ---------------------------------------------------------------------------------------------------- */

static void shortness_says_how_firm_it_is(void **state)
{
    (void)state;
    ll_finding *surfaced = &w.finding[WORLD_FINDINGS - 1];
    surfaced->firm_severity = LL_SERIOUS;
    assert_says(text_of(ll_short_words),
                "The surface was reached with a gradient of 104 %, 95 to 108 % within recorder error; the finding: "
                "serious, firm.");
    surfaced->firm_severity = LL_CAUTION;
    assert_says(text_of(ll_short_words), "within recorder error; the finding: serious, marginal.");
    w.debrief.firmness = (ll_firmness){.asked = false};
    assert_says(text_of(ll_short_words), "with a gradient of 104 %; the finding: serious.");
}

/* On the way up the ceiling may go away. */
static void short_without_a_finding_says_no_more(void **state)
{
    (void)state;
    w.debrief.findings.count = WORLD_FINDINGS - 1;
    assert_null(strstr(text_of(ll_short_words), "The surface was reached"));
}

/* --- levels ------------------------------------------------------------------------------------------------------- */

static void a_drift_tells_both_ends(void **state)
{
    (void)state;
    w.level[0].first = 6;
    w.level[0].last = 7;
    w.depth_m[6] = 18.6;
    w.depth_m[7] = 17.9;
    assert_says(text_of(ll_text_levels), "spread 0.31 m, from 18.6 m at its beginning to 17.9 m at its end. Asked:");
    w.depth_m[7] = 18.2;
    assert_says(text_of(ll_text_levels), "spread 0.31 m. Asked:");
    w.depth_m[7] = 17.9;
    w.level[0].spread_m = 0.12;
    assert_says(text_of(ll_text_levels), "spread 0.12 m. Asked:");
}

static void a_stop_below_the_level_is_named_so(void **state)
{
    (void)state;
    assert_says(text_of(ll_text_levels), "Asked: a stop at 6 m, 20 min here");
    w.asked[1].stop_m = 9;
    assert_says(text_of(ll_text_levels), "Asked: a stop at 9 m (deeper than here), 20 min here");
}

/* --- kept, by a standard ------------------------------------------------------------------------------------------ */

static void conduct_kept(ll_page *page, const ll_debrief *debrief)
{
    ll_text_kept(page, debrief, LL_CONDUCT);
}

/* The world's two levels begin at samples 7 and 9; its switches are 1.5 m above and 0.1 m below the greatest depth. */
static void depths_kept_within_a_standard(void **state)
{
    (void)state;
    static double stop_m[WORLD_SAMPLES];
    w.debrief.track.column[LL_STOP] = stop_m;
    assert_null(strstr(text_of(conduct_kept), "Levels kept"));
    w.limits.of[LL_FINDING_STOP_DEPTH].note = 0.5;
    w.limits.of[LL_FINDING_SWITCH_DEPTH].serious = 1;
    assert_says(text_of(conduct_kept), "No level was kept while a stop was asked. No switch lay deeper than the greatest depth "
                                       "of its mix by more than 1 m.");
    stop_m[9] = 6;
    assert_says(text_of(conduct_kept), "Levels kept while a stop was asked were held within 0.5 m.");
    w.limits.of[LL_FINDING_SWITCH_DEPTH].serious = 0;
    assert_says(text_of(conduct_kept), "No switch lay deeper than the greatest depth of its mix.");
    w.change[0].mod.depth_m = w.change[1].mod.depth_m = NAN;
    assert_null(strstr(text_of(conduct_kept), "No switch"));
    w.debrief.peak[LL_CEILING].value = NAN;
    assert_says(text_of(conduct_kept), "How stops were held is not known, because ");
    w.finding[0].kind = LL_FINDING_STOP_DEPTH;
    assert_null(strstr(text_of(conduct_kept), "How stops were held"));
}

static const char *limit_of(ll_kind kind)
{
    ll_text_close(&w.out);
    ll_text_open(&w.out, NULL, NULL, NULL);
    ll_limit_sentence(&w.out, &w.debrief, kind, &w.look);
    return world_text(&w);
}

static void limits_of_a_standard_in_words(void **state)
{
    (void)state;
    w.limits.of[LL_FINDING_STOP_DEPTH] = (ll_limit){0.5, 1, NAN, LL_FROM_STANDARD, "course"};
    assert_string_equal(limit_of(LL_FINDING_STOP_DEPTH),
                        "Off a level that was kept while a stop was asked: note over 0.5 m, caution over 1 m, for 10 s "
                        "unbroken (standard).");
}

/* --- lengths and gaps --------------------------------------------------------------------------------------------- */

/* 30 m are 98.4 ft, half a metre is 1.64 ft. */
static void limits_follow_the_units(void **state)
{
    (void)state;
    assert_says(limit_of(LL_FINDING_COUNTERDIFFUSION), "where it is deeper than 30 m (built-in");
    assert_says(limit_of(LL_FINDING_CEILING), "caution over 0.5 m for 60 s");
    w.look.imperial = true;
    assert_says(limit_of(LL_FINDING_COUNTERDIFFUSION), "where it is deeper than 98 ft (built-in");
    assert_says(limit_of(LL_FINDING_CEILING), "note over 0 ft, caution over 1.6 ft for 60 s");
}

static void unknown_gas_is_said_at_a_switch(void **state)
{
    (void)state;
    w.change[0].mix = LL_MIX_UNKNOWN;
    w.change[0].po2_atm = NAN;
    assert_says(text_of(ll_text_switches), "To an unknown mix at 32:20, at 21.1 m: PO2 0.55 atm before, not known after;");
}

int main(void)
{
#define ONE(test) cmocka_unit_test_setup_teardown(test, open_world, close_world)
    const struct CMUnitTest tests[] = {
        ONE(ranges_follow_the_meaning),
        ONE(without_findings_the_error_is_named),
        ONE(nothing_known_has_no_range),
        ONE(accuracy_is_told_in_feet),
        ONE(shortness_says_how_firm_it_is),
        ONE(short_without_a_finding_says_no_more),
        ONE(a_drift_tells_both_ends),
        ONE(a_stop_below_the_level_is_named_so),
        ONE(depths_kept_within_a_standard),
        ONE(limits_of_a_standard_in_words),
        ONE(limits_follow_the_units),
        ONE(unknown_gas_is_said_at_a_switch),
    };
#undef ONE
    return cmocka_run_group_tests(tests, NULL, NULL);
}
