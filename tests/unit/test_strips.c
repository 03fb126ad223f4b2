/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The picture of a page: what is in it, that it is well-formed (libxml2), that it stands odd dives. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>
#include <libxml/parser.h>
#include <libxml/xpath.h>

#include "allocator.h"
#include "close.h"
#include "report/strip_scale.h"
#include "report/strips.h"
#include "report_world.h"

enum { LONG = 3 * 3600 + 1 };

/* A world whose track has every column that a strip shows. */
static world w;
static ll_track track;
static double column[LL_QUANTITIES][WORLD_SAMPLES], po2_at_end[3];

static const double po2s[WORLD_SAMPLES] = {0.2, 0.2, 0.9, 1.25, 1.24, 0.7, 1.52, 1.4, 0.95, 1.57, 1.57, 1.56, 1, 1};
static const double densities[WORLD_SAMPLES] = {1, 1, 4, 5.4, 5.4, 3, 3.9, 3.5, 2.4, 2.2, 2.2, 2.2, 1.4, 1.4};
static const double rates[WORLD_SAMPLES] = {0, 0, -13, -3, 0, 19.25, 1, 1, 1, 0, 0, 0, 6, 0};
static const double gradients[WORLD_SAMPLES] = {-9, -9, -60, -80, -70, 20, 40, 30, 50, 60, 40, 30, 104, 104};

static void fill_column(ll_quantity quantity, const double *values)
{
    memcpy(column[quantity], values, sizeof column[quantity]);
    track.column[quantity] = column[quantity];
}

static int open_world(void **state)
{
    (void)state;
    world_open(&w);
    track = w.debrief.track;
    fill_column(LL_PO2, po2s);
    fill_column(LL_DENSITY, densities);
    fill_column(LL_ASCENT_RATE, rates);
    fill_column(LL_GRADIENT, gradients);
    fill_column(LL_END_N2O2, w.depth_m);
    fill_column(LL_END_N2, w.depth_m);
    fill_column(LL_STOP, w.ceiling_m);
    for (size_t i = 0; i < WORLD_SAMPLES; i++) {
        column[LL_END_N2][i] *= 0.6;
        column[LL_STOP][i] = ceil(w.ceiling_m[i] / 3) * 3;
    }
    memcpy(po2_at_end, (const double[]){0.56, 0.92, NAN}, sizeof po2_at_end);
    track.at_span_end[LL_PO2] = po2_at_end;
    return 0;
}

static int close_world(void **state)
{
    (void)state;
    world_close(&w);
    return 0;
}

/* --- looking at the markup --------------------------------------------------------------------------------------- */

static xmlDoc *parsed;
static xmlXPathContext *looked;

static void forget(void)
{
    xmlXPathFreeContext(looked);
    xmlFreeDoc(parsed);
    looked = NULL;
    parsed = NULL;
}

static const char *draw(void)
{
    ll_text_puts(&w.out, "<r>");
    ll_html_strips(&w.out, &w.debrief, &track, &w.look);
    ll_text_puts(&w.out, "</r>");
    const char *text = world_text(&w);
    parsed = xmlReadMemory(text, (int)strlen(text), "strips", "UTF-8", XML_PARSE_NONET);
    assert_non_null(parsed);
    looked = xmlXPathNewContext(parsed);
    return text;
}

/* How many nodes there are. */
static int count(const char *path)
{
    xmlXPathObject *found = xmlXPathEval((const xmlChar *)path, looked);
    assert_non_null(found);
    int nodes = found->nodesetval ? found->nodesetval->nodeNr : 0;
    xmlXPathFreeObject(found);
    return nodes;
}

/* The text or attribute of the first node; the caller frees it with xmlFree. */
static char *value(const char *path)
{
    xmlXPathObject *found = xmlXPathEval((const xmlChar *)path, looked);
    xmlChar *text = xmlXPathCastToString(found);
    xmlXPathFreeObject(found);
    return (char *)text;
}

static void assert_value(const char *path, const char *expected)
{
    char *found = value(path);
    assert_string_equal(found, expected);
    xmlFree(found);
}

static bool is_number_list(const char *text)
{
    return strspn(text, "0123456789.-% Mlhvaz") == strlen(text);
}

/* Every coordinate is a number, and nothing is there that a strict policy would stop. */
static void assert_plain_attributes(const xmlNode *node)
{
    static const char *const numeric[] = {"x", "y", "x1", "x2", "y1", "y2", "d", "r", "width", "height", "viewBox"};
    for (; node; node = node->next) {
        for (const xmlAttr *a = node->type == XML_ELEMENT_NODE ? node->properties : NULL; a; a = a->next) {
            const char *name = (const char *)a->name;
            assert_true(strcmp(name, "style") != 0 && strncmp(name, "on", 2) != 0);
            for (size_t i = 0; i < sizeof numeric / sizeof *numeric; i++)
                if (strcmp(name, numeric[i]) == 0 && !is_number_list((const char *)a->children->content))
                    fail_msg("%s=\"%s\"", name, (const char *)a->children->content);
        }
        assert_plain_attributes(node->children);
    }
}

#define FIGURE "//figure[@class='strip "

/* --- a dive ------------------------------------------------------------------------------------------------------ */

static void every_quantity_has_a_strip(void **state)
{
    (void)state;
    draw();
    static const char *const keys[] = {"depth", "gradient", "narcosis", "po2", "density", "rate"};
    assert_int_equal(count("//figure"), 6);
    for (size_t i = 0; i < 6; i++) {
        ll_text path;
        ll_text_open(&path, NULL, NULL, NULL);
        ll_text_format(&path, "//figure[%zu][@class='strip %s']", i + 1, keys[i]);
        assert_int_equal(count(ll_text_string(&path)), 1);
        ll_text_close(&path);
    }
    assert_int_equal(count("/r/div[@class='strip axis']/following-sibling::figure"), 6);
    assert_int_equal(count("//svg[@class='field'][@role='img'][string-length(@aria-label) > 20]"), 7);
    assert_int_equal(count("//figure/details/table/thead"), 6);
    assert_plain_attributes(xmlDocGetRootElement(parsed));
    forget();
}

static void every_finding_is_numbered(void **state)
{
    (void)state;
    draw();
    assert_int_equal(count("//div[@class='strip axis']//svg[@class='number']"), 4); /* surfaced is told with the ceiling */
    assert_int_equal(count("//svg[@class='letter']"), 2);
    assert_value(FIGURE "density']//svg[@class='number']/text", "1");
    assert_value(FIGURE "po2']//svg[@class='number']/text", "2");
    assert_value(FIGURE "rate']//svg[@class='number']/text", "3");
    assert_value(FIGURE "depth']//svg[@class='number']/text", "4");
    assert_int_equal(count("//svg[@class='number marginal']"), 0);
    forget();
}

static void marginal_findings_are_in_brackets(void **state)
{
    (void)state;
    w.debrief.firmness.asked = true;
    for (size_t i = 0; i < WORLD_FINDINGS; i++)
        w.finding[i].firm_severity = w.finding[i].severity;
    w.finding[0].firm_severity = LL_NO_FINDING;
    draw();
    assert_value(FIGURE "density']//svg[@class='number marginal']/text", "(1)");
    assert_int_equal(count(FIGURE "density']//path[@class='beyond marginal']"), 1);
    assert_int_equal(count("//div[@class='strip axis']//svg[@class='number marginal']"), 1);
    assert_int_equal(count("//div[@class='strip axis']//svg[@class='number']"), 3);
    forget();
}

/* The density rises from 4 at 240 s to 5.4 at 600 s and passes 5.2 at 548.6 s, run time 488.6 of 4020 s: 1215 of 10000. */
static void what_is_beyond_begins_at_the_crossing(void **state)
{
    (void)state;
    draw();
    char *path = value(FIGURE "density']//path[@class='beyond']/@d");
    assert_int_equal(path[0], 'M');
    assert_close((double)strtol(path + 1, NULL, 10), 1215, 1, 0);
    xmlFree(path);
    assert_int_equal(count("//clipPath[@id='d2-density-beyond']"), 1);
    assert_value(FIGURE "density']//rect[@class='hatch']/@clip-path", "url(#d2-density-beyond)");
    assert_int_equal(count("//pattern[@id='d2-hatch']"), 1);
    assert_int_equal(count(FIGURE "density']//tr[contains(td[2], 'begin of finding 1')][th = '8:09']"), 1);
    assert_int_equal(count(FIGURE "density']//tr[contains(td[2], 'note 5.2 g/L')][th = '8:09']"), 1);
    forget();
}

/* At 2000 s the old mix gives 0.56 and the new one 1.52: 4826 of 10000 across, straight up. */
static void a_switch_is_a_step(void **state)
{
    (void)state;
    draw();
    char *path = value(FIGURE "po2']//path[@class='curve']/@d");
    assert_non_null(strstr(path, "v-"));
    xmlFree(path);
    assert_int_equal(count(FIGURE "po2']//line[@class='switch']"), 2);
    forget();
}

static void limits_are_drawn_where_they_count(void **state)
{
    (void)state;
    draw();
    assert_int_equal(count(FIGURE "density']//line[@class='limit note']"), 1);
    assert_int_equal(count(FIGURE "density']//line[@class='limit caution']"), 1);
    assert_value(FIGURE "density']//svg[@class='names']/text[1]", "caution 6.2 g/L");
    /* The bottom phase ends at 1500 s: 1440 of 4020 s. */
    assert_value(FIGURE "po2']//line[@class='limit caution'][@x2='35.82%']/@x1", "0%");
    assert_int_equal(count(FIGURE "po2']//text[. = 'bottom phase: caution 1.4 atm']"), 1);
    forget();
}

/* A limit far above what the dive reached is left out. */
static void far_limits_are_left_out(void **state)
{
    (void)state;
    for (size_t i = 0; i < WORLD_SAMPLES; i++)
        column[LL_DENSITY][i] = 2.5 + 0.04 * (double)i;
    w.debrief.findings.count = 0;
    draw();
    assert_int_equal(count(FIGURE "density']//line[starts-with(@class, 'limit')]"), 0);
    forget();
    w.out.size = 0;
    column[LL_DENSITY][5] = 3.2; /* 62 percent of 5.2 */
    draw();
    assert_int_equal(count(FIGURE "density']//line[@class='limit note']"), 1);
    forget();
}

static void imperial_units_have_round_steps_of_their_own(void **state)
{
    (void)state;
    w.look.imperial = true;
    draw();
    assert_value(FIGURE "depth']//span[@class='unit']", "ft");
    assert_value(FIGURE "depth']//span[@class='peak']", "greatest 198 ft at 9:00");
    assert_value(FIGURE "depth']//svg[@class='scale']/text[2]", "50");
    assert_value(FIGURE "rate']//span[@class='unit']", "ft/min");
    forget();
}

/* --- tanks and names from a log ---------------------------------------------------------------------------------- */

static void a_tank_is_named_as_text(void **state)
{
    (void)state;
    static const uint32_t samples[] = {1, 4, 12};
    static const double pressures[] = {210, 120, 60};
    ll_tank tank = {.id = "t", .name = "</text><img onerror=\"x\">", .volume_l = NAN};
    ll_tank_use use = {.tank = 0, .mix = 0, .volume_l = NAN, .begin_bar = NAN, .end_bar = NAN};
    ll_series readings = {.ref = "t", .tank_use = 0, .count = 3, .sample = samples, .value = pressures};
    w.log.tank = &tank;
    w.log.tanks = 1;
    w.dive.tank_use = &use;
    w.dive.tank_uses = 1;
    w.dive.tank_pressure = &readings;
    w.dive.tank_pressures = 1;
    const char *text = draw();
    assert_null(strstr(text, "<img"));
    assert_int_equal(count("//img"), 0);
    assert_int_equal(count(FIGURE "tanks']//text[@class='name'][starts-with(., '</text><img onerror')]"), 1);
    assert_int_equal(count(FIGURE "tanks']//tr[th = '0:00'][td[1] = '210']"), 1);
    forget();
}

/* --- odd dives --------------------------------------------------------------------------------------------------- */

static void unknown_gas_leaves_the_depth(void **state)
{
    (void)state;
    for (int q = LL_PO2; q <= LL_GRADIENT; q++)
        for (size_t i = 0; i < WORLD_SAMPLES; i++)
            column[q][i] = NAN;
    for (size_t i = 0; i < WORLD_SAMPLES; i++)
        w.ceiling_m[i] = NAN;
    w.debrief.findings.count = 0;
    po2_at_end[0] = po2_at_end[1] = NAN;
    draw();
    assert_int_equal(count("//figure"), 1);
    assert_int_equal(count(FIGURE "depth']//path[@class='curve']"), 1);
    assert_int_equal(count(FIGURE "depth']//path"), 1);
    assert_plain_attributes(xmlDocGetRootElement(parsed));
    forget();
}

static void gaps_break_the_line(void **state)
{
    (void)state;
    column[LL_DENSITY][7] = NAN;
    draw();
    char *path = value(FIGURE "density']//path[@class='curve']/@d");
    const char *again = strchr(path + 1, 'M');
    assert_non_null(again);
    assert_null(strchr(again + 1, 'M'));
    xmlFree(path);
    forget();
}

static void record_of(size_t leaving, size_t surfacing, bool has_surfacing)
{
    w.debrief.profile.leaving = leaving;
    w.debrief.profile.surfacing = surfacing;
    w.debrief.profile.has_surfacing = has_surfacing;
    w.debrief.profile.count = surfacing + 1;
    w.debrief.profile.bottom_end = leaving;
    w.debrief.profile.greatest = leaving;
    w.debrief.findings.count = w.debrief.switch_count = 0;
    w.debrief.profile.breathed_count = 1;
    w.breathed[0].end = surfacing + 1;
}

static void two_samples_are_enough(void **state)
{
    (void)state;
    record_of(3, 4, false);
    draw();
    assert_int_equal(count("//figure[@class='strip depth']"), 1);
    assert_plain_attributes(xmlDocGetRootElement(parsed));
    forget();
}

static void one_sample_has_no_picture(void **state)
{
    (void)state;
    record_of(3, 3, false);
    draw();
    assert_int_equal(count("/r/*"), 0);
    forget();
    w.out.size = 0;
    w.debrief.profile.has_run_time = false;
    draw();
    assert_int_equal(count("/r/*"), 0);
    forget();
}

static void a_record_that_ends_below_runs_to_its_end(void **state)
{
    (void)state;
    record_of(1, 9, false);
    w.debrief.profile.bottom_end = 4;
    draw();
    assert_value("//figure[1]//table/tbody/tr[last()]/th", "52:20");
    forget();
}

/* Wherever memory runs out, the output says so and everything is given back. */
static void memory_may_run_out(void **state)
{
    (void)state;
    bool lost = true;
    for (size_t refuse_from = 1; lost; refuse_from++) {
        test_heap heap;
        ll_text out;
        test_heap_open(&heap, refuse_from);
        ll_text_open(&out, &heap.allocator, NULL, NULL);
        ll_html_strips(&out, &w.debrief, &track, &w.look);
        lost = heap.calls >= refuse_from;
        assert_int_equal(out.no_memory, lost);
        ll_text_close(&out);
        assert_int_equal(heap.live, 0);
        assert_true(refuse_from < 10000);
    }
}

/* --- a long dive ------------------------------------------------------------------------------------------------- */

static double long_time_s[LONG], long_column[LL_QUANTITIES][LONG];

/* Numerical Recipes, 2nd ed. 1992, section 7.1: a quick linear congruence. */
static double random_share(void)
{
    static uint32_t seed = 11;
    seed = seed * 1664525u + 1013904223u;
    return (double)(seed >> 8) / (1 << 24);
}

static void fill_long_dive(void)
{
    double wander_m = 0;
    for (size_t i = 0; i < LONG; i++) {
        double share = (double)i / (LONG - 1);
        double plan_m = share < 0.02 ? 3000 * share : share < 0.2 ? 60 : 60 * (1 - share) / 0.8;
        wander_m = 0.98 * wander_m + 0.2 * (random_share() - 0.5);
        double depth_m = i == 0 || i + 1 == LONG ? 0 : fmax(0, plan_m + wander_m);
        long_time_s[i] = (double)i;
        long_column[LL_DEPTH][i] = depth_m;
        long_column[LL_CEILING][i] = share < 0.05 ? 0 : fmax(0, 24 * (1 - share));
        long_column[LL_STOP][i] = 3 * ceil(long_column[LL_CEILING][i] / 3);
        long_column[LL_GRADIENT][i] = 40 + 5 * wander_m;
        long_column[LL_PO2][i] = 0.18 * (1 + depth_m / 10);
        long_column[LL_END_N2][i] = 0.5 * depth_m;
        long_column[LL_END_N2O2][i] = 0.6 * depth_m;
        long_column[LL_DENSITY][i] = 0.8 * (1 + depth_m / 10);
        long_column[LL_ASCENT_RATE][i] = 30 * (random_share() - 0.5);
    }
}

/* Three hours at one second with noise on it: all drawings in 120 kB. */
static void a_long_dive_stays_small(void **state)
{
    (void)state;
    fill_long_dive();
    record_of(0, LONG - 1, true);
    w.debrief.profile.time_s = long_time_s;
    w.debrief.profile.depth_m = long_column[LL_DEPTH];
    memset(&track.at_span_end, 0, sizeof track.at_span_end);
    for (int q = 0; q < LL_QUANTITIES; q++)
        track.column[q] = long_column[q];
    const char *text = draw();
    assert_int_equal(count("//figure"), 6);
    size_t bytes = 0;
    for (const char *at = text; (at = strstr(at, "<div class=\"plot\">")) != NULL;) {
        const char *end = strstr(at, "</div>");
        assert_non_null(end);
        bytes += (size_t)(end - at);
        at = end;
    }
    assert_true(bytes > 20000);
    assert_true(bytes < 120000);
    forget();
}

/* --- scales ------------------------------------------------------------------------------------------------------ */

static void assert_scale(double least, double greatest, const char *unit, bool imperial, double step, const char *last)
{
    const ll_look look = {.width = 80, .imperial = imperial};
    ll_scale scale = ll_scale_make(least, greatest, unit, &look, 120, false);
    assert_close(scale.step * scale.factor, step, 1e-9, 0);
    assert_true(scale.least <= least && scale.greatest >= greatest);
    assert_true(scale.lines >= 2 && scale.lines <= 8);
    assert_close(ll_scale_line(&scale, scale.lines - 1), scale.greatest, 1e-9, 0);
    assert_close(ll_scale_y_px(&scale, scale.greatest), LL_STRIP_PAD_PX, 1e-9, 0);
    assert_close(ll_scale_y_px(&scale, scale.least), 120 - LL_STRIP_PAD_PX, 1e-9, 0);
    w.out.size = 0;
    ll_scale_label(&w.out, &scale, scale.lines - 1);
    assert_string_equal(world_text(&w), last);
}

static void scales_have_round_steps(void **state)
{
    (void)state;
    assert_scale(0, 60.2, "m", false, 20, "80");
    assert_scale(0, 60, "m", false, 20, "60");
    assert_scale(0, 60.2, "m", true, 50, "200");
    assert_scale(-21.4, 19, "m/min", false, 20, "20");
    assert_scale(0, 1.7, "atm", false, 0.5, "2.0");
    assert_scale(0, 0.03, "atm", false, 0.01, "0.03");
    assert_scale(0, 0, "m", false, 0.5, "1.0");
    assert_scale(0, 250, "bar", true, 1000, "4000");
}

/* --- season ------------------------------------------------------------------------------------------------------ */

static void a_season_shows_each_dive(void **state)
{
    (void)state;
    ll_dive undated = w.dive;
    undated.start = (ll_instant){0};
    ll_entry other = w.entry;
    other.number = 7;
    other.dive = &undated;
    const ll_html_dive dives[] = {{&w.entry, true, 60.2, LL_SERIOUS, -1}, {&other, false, NAN, LL_NO_FINDING, -1}};
    ll_html_season(&w.out, dives, 2, &w.look);
    const char *text = world_text(&w);
    parsed = xmlReadMemory(text, (int)strlen(text), "season", "UTF-8", XML_PARSE_NONET);
    assert_non_null(parsed);
    looked = xmlXPathNewContext(parsed);
    assert_int_equal(count("//svg[@class='field']/a"), 1);
    assert_value("//svg[@class='field']/a/@href", "#dive-2");
    assert_value("//svg[@class='field']/a/title", "Dive 2, 2026-05-03, 60.2 m, heaviest finding: serious");
    assert_int_equal(count("//svg[@class='field']/a/svg[@class='dive serious'][circle][path]"), 1);
    assert_value("//ol/li[2]/a", "Dive 7, stated without a profile");
    assert_plain_attributes(xmlDocGetRootElement(parsed));
    forget();
}

static void a_season_may_be_empty_or_undated(void **state)
{
    (void)state;
    ll_html_season(&w.out, NULL, 0, &w.look);
    assert_int_equal(w.out.size, 0);
    w.dive.start = (ll_instant){0};
    const ll_html_dive dive = {&w.entry, true, 60.2, LL_NOTE, -1};
    ll_html_season(&w.out, &dive, 1, &w.look);
    assert_null(strstr(world_text(&w), "<svg class=\"field\""));
    assert_non_null(strstr(world_text(&w), "href=\"#dive-2\""));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
#define CASE(name) cmocka_unit_test_setup_teardown(name, open_world, close_world)
        CASE(every_quantity_has_a_strip),
        CASE(every_finding_is_numbered),
        CASE(marginal_findings_are_in_brackets),
        CASE(what_is_beyond_begins_at_the_crossing),
        CASE(a_switch_is_a_step),
        CASE(limits_are_drawn_where_they_count),
        CASE(far_limits_are_left_out),
        CASE(imperial_units_have_round_steps_of_their_own),
        CASE(a_tank_is_named_as_text),
        CASE(unknown_gas_leaves_the_depth),
        CASE(gaps_break_the_line),
        CASE(two_samples_are_enough),
        CASE(one_sample_has_no_picture),
        CASE(a_record_that_ends_below_runs_to_its_end),
        CASE(memory_may_run_out),
        CASE(a_long_dive_stays_small),
        CASE(scales_have_round_steps),
        CASE(a_season_shows_each_dive),
        CASE(a_season_may_be_empty_or_undated),
    };
    int failed = cmocka_run_group_tests(tests, NULL, NULL);
    xmlCleanupParser();
    return failed;
}
