/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a page says of itself, and what is told of two pages that differ. The pages are written by hand. */
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
#include "close.h"
#include "report/compare.h"

#define FIGURES(json) "<script type=\"application/json\" id=\"figures\">" json "</script>\n"
#define SAMPLES(json) "<script type=\"application/json\" class=\"samples\">" json "</script>\n"
#define COLUMN(key, bits, data) \
    "{\"columns\":[{\"key\":\"" key "\",\"scale\":0.01,\"offset\":0,\"bits\":" bits ",\"data\":\"" data "\"}]}"

static const char head[] = "<!DOCTYPE html>\n<html lang=\"en\" data-leadline=\"0.1.0\" data-units=\"imperial\" "
                           "data-names=\"letters\" data-firm=\"no\">\n";
static const char figures[] =
    "{\"schema\":\"leadline-debrief-1\",\"version\":\"0.1.0\",\"settings\":{\"model\":\"zh-l16b\",\"gf_low\":40,"
    "\"gf_high\":85.5,\"water_kg_m3\":1025,\"narcotic_oxygen\":false,\"last_stop_m\":6,\"standard\":\"Fjord course\","
    "\"surface_bar\":0.98,\"gf_from_log\":true,\"water_from_log\":true,\"assume_air\":true,\"rmv_l_min\":22,"
    "\"standard_file\":{\"name\":\"fjord.xml\",\"sha256\":"
    "\"bbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbb\"},\"origins\":{\"model\":\"command line\","
    "\"gf\":\"log\",\"water\":\"log\",\"surface\":\"command line\",\"narcotic_oxygen\":\"standard\","
    "\"last_stop\":\"standard\",\"rmv\":\"command line\"},\"later\":[{\"unknown\":[1,2]}]},"
    "\"inputs\":[{\"name\":\"a \\u003cb\\u003e.uddf\",\"sha256\":\"01\",\"notes\":[]},{\"name\":\"c.uddf\",\"sha256\":"
    "\"02\"}],\"dives\":[{\"number\":2,\"findings\":[{\"kind\":\"ascent\",\"peak\":20.5,\"text\":\"fast\"}]},"
    "{\"number\":7,\"findings\":[]}],"
    "\"limits\":[{\"kind\":\"density\",\"note\":null,\"caution\":5.5,\"serious\":6.5,\"origin\":\"standard\"},"
    "{\"kind\":\"no-such-kind\",\"note\":1}],\"cautions\":[\"one\",\"two\"]}";

static ll_arena arena;
static ll_error error;
static char page_text[2][16384];

static int open_arena(void **state)
{
    (void)state;
    ll_arena_open(&arena, NULL);
    return 0;
}

static int close_arena(void **state)
{
    (void)state;
    ll_arena_close(&arena);
    return 0;
}

/* The figures with `old` replaced by `new` where it first stands, and the samples behind them. */
static const char *page_with(int which, const char *old, const char *new, const char *samples)
{
    const char *at = old ? strstr(figures, old) : figures;
    assert_non_null(at);
    int before = (int)(at - figures);
    snprintf(page_text[which], sizeof page_text[which], "%s" FIGURES("%.*s%s%s") "%s", head, before, figures,
             old ? new : "", at + (old ? strlen(old) : 0), samples);
    return page_text[which];
}

static ll_claims claims, today;

static ll_status read_claims(const char *page)
{
    return ll_claims_read(page, strlen(page), &arena, &claims, &error);
}

/* --- claims ----------------------------------------------------------------------------------------------------- */

static void settings_come_back(void **state)
{
    (void)state;
    assert_int_equal(read_claims(page_with(0, NULL, NULL, "")), LL_OK);
    const ll_settings *settings = &claims.settings;
    assert_int_equal(settings->model, LL_ZH_L16B);
    assert_close(settings->gf_low_percent, 40, 0, 0);
    assert_close(settings->gf_high_percent, 85.5, 0, 0);
    assert_close(settings->water_kg_m3, 1025, 0, 0);
    assert_close(settings->surface_bar, 0.98, 0, 0);
    assert_close(settings->last_stop_m, 6, 0, 0);
    assert_close(settings->rmv_l_min, 22, 0, 0);
    assert_int_equal(settings->water, LL_WATER_FROM_LOG);
    assert_true(settings->gf_from_log && settings->assume_air);
    assert_false(settings->narcotic_oxygen || settings->firm);
    static const ll_origin expected[] = {LL_COMMAND_LINE,  LL_FROM_LOG,      LL_FROM_LOG,    LL_COMMAND_LINE,
                                         LL_FROM_STANDARD, LL_FROM_STANDARD, LL_COMMAND_LINE};
    const ll_origin origins[] = {settings->model_origin,     settings->gf_origin,       settings->water_origin,
                                 settings->surface_origin,   settings->last_stop_origin, settings->narcotic_origin,
                                 settings->rmv_origin};
    assert_memory_equal(origins, expected, sizeof expected);
}

static void everything_else_comes_back(void **state)
{
    (void)state;
    assert_int_equal(read_claims(page_with(0, NULL, NULL, SAMPLES("{}") SAMPLES("[]"))), LL_OK);
    assert_string_equal(claims.version, "0.1.0");
    assert_true(claims.imperial);
    assert_int_equal(claims.names, 2);
    assert_ptr_equal(claims.settings.standard, &claims.standard);
    assert_string_equal(claims.standard.name, "Fjord course");
    assert_string_equal(claims.standard.file, "fjord.xml");
    assert_int_equal(strlen(claims.standard.sha256), 64);
    assert_int_equal(claims.inputs, 2);
    assert_string_equal(claims.input[0].name, "a <b>.uddf");
    assert_string_equal(claims.input[1].sha256, "02");
    assert_int_equal(claims.dives, 2);
    assert_int_equal(claims.dive[0], 2);
    assert_int_equal(claims.dive[1], 7);
    assert_int_equal(claims.samples, 2);
    assert_int_equal(claims.sample[1].size, 2);
}

static void limits_come_back(void **state)
{
    (void)state;
    assert_int_equal(read_claims(page_with(0, NULL, NULL, "")), LL_OK);
    const ll_limit *density = &claims.limits.of[LL_FINDING_DENSITY];
    assert_true(isnan(density->note));
    assert_close(density->caution, 5.5, 0, 0);
    assert_close(density->serious, 6.5, 0, 0);
    assert_int_equal(density->origin, LL_FROM_STANDARD);
    assert_string_equal(density->source, "Fjord course");
    assert_close(claims.limits.of[LL_FINDING_CNS].caution, 80, 0, 0);
}

/* Outputs have 12 digits; the density behind "10 m are 1 bar" has more. */
static void built_in_values_keep_their_digits(void **state)
{
    (void)state;
    assert_int_equal(read_claims(page_with(0, "\"water_kg_m3\":1025", "\"water_kg_m3\":1019.71621298", "")), LL_OK);
    ll_settings own;
    ll_settings_built_in(&own);
    assert_true(fabs(own.water_kg_m3 - 1019.71621298) > 1e-10);
    assert_close(claims.settings.water_kg_m3, own.water_kg_m3, 0, 0);
}

static void assert_refused(const char *page, const char *words)
{
    error.text[0] = '\0';
    assert_int_equal(read_claims(page), LL_BAD_INPUT);
    if (!strstr(error.text, words))
        fail_msg("'%s' lacks '%s'", error.text, words);
}

static void what_is_no_page_is_refused(void **state)
{
    (void)state;
    static const char *const rows[][2] = {
        {"", "no figures"},
        {"<html><script type=\"application/json\" id=\"Figures\">{}</script>", "no figures"},
        {"<script type=\"application/json\" id=\"figures\">{", "cut short"},
        {"<script type=\"application/json\" id=\"figures\">{}</scrip", "cut short"},
        {"<script type=\"application/json\" id=\"figures\">{}</script", "does not name the version"},
        {FIGURES("{} {}"), "the page's figures, byte 3: expected nothing behind the value"},
        {FIGURES("{}") FIGURES("{}"), "twice"},
        {FIGURES("{}") SAMPLES("[1,"), "the page's samples, byte 3: expected a value"},
        {FIGURES("{}") "<script type=\"application/json\" class=\"samples\">", "cut short"},
        {FIGURES("{\"schema\":\"leadline-list-1\"}"), "schema: expected leadline-debrief-1"},
        {FIGURES("{\"dives\":{}}"), "dives: expected a list"},
        {FIGURES("{\"dives\":[1]}"), "dives: expected an object"},
        {FIGURES("{\"dives\":[{\"number\":1.5}]}"), "number: expected a whole number"},
        {FIGURES("{\"inputs\":[{}]}"), "inputs: expected the name and SHA-256 of each log"},
        {FIGURES("{\"settings\":[]}"), "settings: expected an object"},
        {FIGURES("{\"settings\":{\"model\":3}}"), "model: expected a model"},
        {FIGURES("{\"settings\":{\"gf_from_log\":1}}"), "gf_from_log: expected true or false"},
        {FIGURES("{\"settings\":{\"origins\":{\"gf\":\"dream\"}}}"), "gf: expected an origin"},
        {FIGURES("{\"settings\":{\"standard_file\":{\"sha256\":\"b\"}}}"), "sha256: expected a SHA-256"},
        {FIGURES("{\"limits\":[{\"caution\":\"1\"}]}"), "caution: expected a number"},
        {FIGURES("{\"limits\":[{\"kind\":\"density\",\"caution\":1e9}]}"), "limits: expected values from 0"},
        {FIGURES("{\"limits\":[{\"kind\":\"density\",\"note\":-1}]}"), "limits: expected values from 0"},
        {FIGURES("{\"limits\":[{\"kind\":\"density\",\"note\":5,\"serious\":4}]}"), "at or beyond the one before"},
        {FIGURES("{\"limits\":[{\"kind\":\"reserve\",\"note\":5,\"serious\":6}]}"), "at or beyond the one before"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        assert_refused(rows[i][0], rows[i][1]);
    assert_refused(page_with(0, "\"gf_low\":40", "\"gf_low\":90", ""), "the page's settings: gradient factors");
}

/* A cut at every byte, in a block that ends there: the sanitizer sees what is read behind it. */
static void nothing_is_read_beyond_the_page(void **state)
{
    (void)state;
    const char *page = page_with(0, NULL, NULL, SAMPLES("{}"));
    const size_t whole = strlen(page);
    const char *end = strstr(page, "</script");
    const size_t figures_end = (size_t)(end - page) + strlen("</script");
    for (size_t size = 0; size < whole; size++) {
        char *cut = test_malloc(size + 1);
        memcpy(cut + 1, page, size);
        ll_status status = ll_claims_read(cut + 1, size, &arena, &claims, &error);
        if (size < figures_end)
            assert_int_equal(status, LL_BAD_INPUT);
        if (size > whole - 2)
            assert_int_equal(status, LL_OK);
        test_free(cut);
    }
}

/* A page with as many zeros behind it as may be, and one more. */
static void a_page_is_bounded(void **state)
{
    (void)state;
    const char *page = page_with(0, NULL, NULL, SAMPLES("{}"));
    char *padded = calloc(LL_PAGE_MOST_BYTES + (size_t)1, 1);
    assert_non_null(padded);
    memcpy(padded, page, strlen(page));
    assert_int_equal(ll_claims_read(padded, LL_PAGE_MOST_BYTES, &arena, &claims, &error), LL_OK);
    assert_int_equal(claims.samples, 1);
    assert_int_equal(ll_claims_read(padded, LL_PAGE_MOST_BYTES + (size_t)1, &arena, &claims, &error), LL_BAD_INPUT);
    assert_string_equal(error.text, "the page is larger than 512 MiB");
    free(padded);
}

/* --- comparison ------------------------------------------------------------------------------------------------- */

static ll_comparison result;

static void compare(const char *page, const char *other)
{
    assert_int_equal(ll_claims_read(page, strlen(page), &arena, &claims, &error), LL_OK);
    assert_int_equal(ll_claims_read(other, strlen(other), &arena, &today, &error), LL_OK);
    assert_int_equal(ll_compare(&claims, &today, &arena, &result, &error), LL_OK);
}

/* One change of the figures, made in the page, told as `path`; NULL: nothing is told. */
static void assert_told(const char *old, const char *new, const char *path, const char *page, const char *other)
{
    compare(page_with(0, old, new, ""), page_with(1, NULL, NULL, ""));
    if (!path) {
        if (result.count > 0)
            fail_msg("%s was told", result.told[0].path);
        return;
    }
    assert_int_equal(result.count, 1);
    assert_string_equal(result.told[0].path, path);
    const char *const values[] = {result.told[0].page, page, result.told[0].today, other};
    for (int i = 0; i < 4; i += 2) {
        assert_int_equal(values[i] == NULL, values[i + 1] == NULL);
        if (values[i])
            assert_string_equal(values[i], values[i + 1]);
    }
}

static void the_same_is_the_same(void **state)
{
    (void)state;
    compare(page_with(0, NULL, NULL, SAMPLES("{\"count\":3}")), page_with(1, NULL, NULL, SAMPLES("{\"count\":3}")));
    assert_int_equal(result.count, 0);
    assert_true(result.same_version);
    /* 1 schema; 12 plain settings, 2 of the standard's file, 7 origins, 2 unknown; 4 of inputs; 5 of dives; 5 and 2 of
     * limits; 2 cautions; 1 of the samples. The version is none. */
    assert_int_equal(result.figures, 1 + 12 + 2 + 7 + 2 + 4 + 5 + 5 + 2 + 2 + 1);
}

static void each_difference_is_told(void **state)
{
    (void)state;
    static const char *const rows[][5] = {
        {"20.5", "20.6", "dive 2, findings[1 ascent].peak", "20.6", "20.5"},
        {"20.5", "20.50000003", "dive 2, findings[1 ascent].peak", "20.50000003", "20.5"},
        {"20.5", "20.50000001", NULL, NULL, NULL},
        {"20.5", "2.05e1", NULL, NULL, NULL},
        {"20.5", "null", "dive 2, findings[1 ascent].peak", "null", "20.5"},
        {"\"fast\"", "\"f\\u0061st\"", NULL, NULL, NULL},
        {"\"fast\"", "\"slow\"", "dive 2, findings[1 ascent].text", "slow", "fast"},
        {"\"fast\"", "[\"fast\"]", "dive 2, findings[1 ascent].text", "1 member", "fast"},
        {",\"peak\":20.5", "", "dive 2, findings[1 ascent].peak", NULL, "20.5"},
        {",\"peak\":20.5", ",\"peak\":20.5,\"more\":{}", "dive 2, findings[1 ascent].more", "an object", NULL},
        {"\"findings\":[]", "\"findings\":[1,2]", "dive 7, findings", "2 members", "0 members"},
        {"[1,2]", "[1,3]", "settings.later[1].unknown[2]", "3", "2"},
        {"\"one\"", "\"none\"", "cautions[1]", "none", "one"},
        {"\"assume_air\":true", "\"assume_air\":false", "settings.assume_air", "false", "true"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        assert_told(rows[i][0], rows[i][1], rows[i][2], rows[i][3], rows[i][4]);
}

/* Another order is told as what is there and not there, on both sides. */
/* The page's cautions, each of them another one than today's. */
static const char *with_cautions(int which, size_t count, char caution)
{
    static char list[8192];
    size_t size = (size_t)snprintf(list, sizeof list, "\"cautions\":[");
    for (size_t i = 0; i < count; i++)
        size += (size_t)snprintf(list + size, sizeof list - size, "%s\"%c\"", i ? "," : "", caution);
    snprintf(list + size, sizeof list - size, "]");
    return page_with(which, "\"cautions\":[\"one\",\"two\"]", list, "");
}

/* After so many differences nothing more is looked at. */
static void differences_are_bounded(void **state)
{
    (void)state;
    static const size_t differ[] = {999, 1000, 1001};
    size_t looked_at[3];
    for (int i = 0; i < 3; i++) {
        compare(with_cautions(0, differ[i], 'a'), with_cautions(1, differ[i], 'b'));
        looked_at[i] = result.figures;
        assert_int_equal(result.count, differ[i] < 1000 ? differ[i] : 1000);
    }
    assert_int_equal(looked_at[1], looked_at[0] + 1);
    assert_int_equal(looked_at[2], looked_at[1]);
}

static void members_keep_their_order(void **state)
{
    (void)state;
    static const char one[] = "\"narcotic_oxygen\":false,\"last_stop_m\":6";
    static const char other[] = "\"last_stop_m\":6,\"narcotic_oxygen\":false";
    compare(page_with(0, one, other, ""), page_with(1, NULL, NULL, ""));
    assert_int_equal(result.count, 2);
    assert_string_equal(result.told[0].path, "settings.narcotic_oxygen");
    assert_null(result.told[0].page);
    assert_string_equal(result.told[1].path, "settings.narcotic_oxygen");
    assert_null(result.told[1].today);
}

static void what_is_called_built_in_is_built_in(void **state)
{
    (void)state;
    compare(page_with(0, "\"gf\":\"log\"", "\"gf\":\"built-in\"", ""),
            page_with(1, "\"gf\":\"log\"", "\"gf\":\"built-in\"", ""));
    assert_int_equal(result.count, 2);
    assert_string_equal(result.told[0].path, "built-in settings, gf_low");
    assert_string_equal(result.told[0].page, "40");
    assert_string_equal(result.told[0].today, "50");
    static const char limit[] = "6.5,\"origin\":\"standard\"", called[] = "6.5,\"origin\":\"built-in\"";
    compare(page_with(0, limit, called, ""), page_with(1, limit, called, ""));
    assert_int_equal(result.count, 3);
    assert_string_equal(result.told[2].path, "built-in limits, density.serious");
    assert_string_equal(result.told[2].today, "none");
}

static void another_version_may_say_it_otherwise(void **state)
{
    (void)state;
    static const char old[] = "\"0.1.0\"";
    compare(page_with(0, old, "\"0.0.9\"", ""), page_with(1, "\"fast\"", "\"very fast\",\"new\":1", ""));
    assert_int_equal(result.count, 0);
    assert_false(result.same_version);
    compare(page_with(0, old, "\"0.0.9\"", ""), page_with(1, "20.5", "20.6", ""));
    assert_int_equal(result.count, 1);
}

/* 16 bits, little end first: 1, 2, 513, missing; 2, 2, 513, missing; 3, 2, 513, 65534; one fewer. */
static void samples_are_equal_within_a_step(void **state)
{
    (void)state;
    static const char *const data[] = {"AQACAAEC//8=", "AgACAAEC//8=", "AwACAAEC/v8=", "AQACAAEC"};
    static const size_t differing[] = {0, 0, 2, 1}, first[] = {0, 0, 1, 4};
    static const char *const page[] = {NULL, NULL, "0.03", "missing"};
    for (int i = 0; i < 4; i++) {
        char samples[2][256];
        snprintf(samples[0], sizeof samples[0], SAMPLES(COLUMN("depth_m", "16", "%s")), data[i]);
        snprintf(samples[1], sizeof samples[1], SAMPLES(COLUMN("depth_m", "16", "%s")), data[0]);
        compare(page_with(0, NULL, NULL, samples[0]), page_with(1, NULL, NULL, samples[1]));
        assert_int_equal(result.samples, 4);
        assert_int_equal(result.count, differing[i] > 0);
        if (!result.count)
            continue;
        assert_string_equal(result.told[0].path, "samples 1, columns[1 depth_m].data");
        assert_int_equal(result.told[0].values, differing[i]);
        assert_int_equal(result.told[0].sample, first[i]);
        assert_string_equal(result.told[0].page, page[i]);
    }
}

static void samples_have_signs_and_widths(void **state)
{
    (void)state;
#define SIGNED(data) SAMPLES("{\"key\":\"h\",\"signed\":true,\"bits\":16,\"data\":\"" data "\"}")
    compare(page_with(0, NULL, NULL, SIGNED("AAD//w==")), page_with(1, NULL, NULL, SIGNED("//8AAA==")));
    assert_int_equal(result.count, 0); /* 0 and -1, either way */
    compare(page_with(0, NULL, NULL, SIGNED("AIA=")), page_with(1, NULL, NULL, SIGNED("AYA=")));
    assert_int_equal(result.count, 1); /* missing, and the least there is */
    assert_string_equal(result.told[0].page, "missing");
    assert_string_equal(result.told[0].today, "-32767");
#undef SIGNED
    compare(page_with(0, NULL, NULL, SAMPLES(COLUMN("time_s", "32", "AAABAA=="))),
            page_with(1, NULL, NULL, SAMPLES(COLUMN("time_s", "32", "AQABAA=="))));
    assert_int_equal(result.samples, 1);
    assert_int_equal(result.count, 0);
    compare(page_with(0, NULL, NULL, SAMPLES(COLUMN("mix", "8", "AAEC"))),
            page_with(1, NULL, NULL, SAMPLES(COLUMN("mix", "8", "AAED!"))));
    assert_int_equal(result.samples, 3);
    assert_int_equal(result.count, 1); /* the values are within a step, the texts are not as long */
}

static void samples_that_are_missing_are_told(void **state)
{
    (void)state;
    compare(page_with(0, NULL, NULL, ""), page_with(1, NULL, NULL, SAMPLES("{}")));
    assert_int_equal(result.count, 1);
    assert_string_equal(result.told[0].path, "samples");
}

/* --- memory ----------------------------------------------------------------------------------------------------- */

static void memory_may_run_out(void **state)
{
    (void)state;
    const char *page = page_with(0, "\"fast\"", "\"slow\"", SAMPLES("{}"));
    const char *other = page_with(1, NULL, NULL, SAMPLES("{}"));
    size_t refused = 0;
    for (size_t from = 1;; from++) {
        test_heap heap;
        test_heap_open(&heap, from);
        ll_arena poor;
        ll_arena_open(&poor, &heap.allocator);
        ll_status status = ll_claims_read(page, strlen(page), &poor, &claims, &error);
        if (status == LL_OK)
            status = ll_claims_read(other, strlen(other), &poor, &today, &error);
        if (status == LL_OK)
            status = ll_compare(&claims, &today, &poor, &result, &error);
        ll_arena_close(&poor);
        assert_int_equal(heap.live, 0);
        if (status == LL_OK)
            break;
        assert_int_equal(status, LL_NO_MEMORY);
        refused++;
    }
    assert_true(refused > 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(settings_come_back),
        cmocka_unit_test(everything_else_comes_back),
        cmocka_unit_test(limits_come_back),
        cmocka_unit_test(built_in_values_keep_their_digits),
        cmocka_unit_test(what_is_no_page_is_refused),
        cmocka_unit_test(nothing_is_read_beyond_the_page),
        cmocka_unit_test(a_page_is_bounded),
        cmocka_unit_test(the_same_is_the_same),
        cmocka_unit_test(each_difference_is_told),
        cmocka_unit_test(differences_are_bounded),
        cmocka_unit_test(members_keep_their_order),
        cmocka_unit_test(what_is_called_built_in_is_built_in),
        cmocka_unit_test(another_version_may_say_it_otherwise),
        cmocka_unit_test(samples_are_equal_within_a_step),
        cmocka_unit_test(samples_have_signs_and_widths),
        cmocka_unit_test(samples_that_are_missing_are_told),
        cmocka_unit_test(memory_may_run_out),
    };
    return cmocka_run_group_tests(tests, open_arena, close_arena);
}
