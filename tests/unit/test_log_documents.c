/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Whole logs of each layout of UDDF (UDDF documentation 2.2.0, 3.1.0, 3.2.2: pages waypoint, dive, tankdata, mix). The
 * expected figures are read off the texts, means by hand from their straight lines. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "close.h"
#include "log_texts.h"
#include "log_world.h"

static double greatest(const ll_dive *dive)
{
    double most = 0;
    for (size_t i = 0; i < dive->count; i++)
        most = fmax(most, dive->depth_m[i]);
    return most;
}

static double mean(const ll_dive *dive)
{
    double sum = 0;
    for (size_t i = 1; i < dive->count; i++)
        sum += (dive->depth_m[i] + dive->depth_m[i - 1]) / 2 * (dive->time_s[i] - dive->time_s[i - 1]);
    return sum / (dive->time_s[dive->count - 1] - dive->time_s[0]);
}

static void assert_profile(const ll_dive *dive, size_t count, double end_s, double greatest_m, double mean_m)
{
    assert_int_equal(dive->count, count);
    assert_close(dive->time_s[count - 1], end_s, 0, 0);
    assert_close(greatest(dive), greatest_m, 0, 0);
    assert_close(mean(dive), mean_m, 5e-5, 0); /* given with four decimals */
}

static void version_2_2(void **state)
{
    (void)state;
    ll_log *log = read_text(log_text_2_2);
    const ll_dive *dive = &log->dive[0];
    assert_string_equal(log->version, "2.2.0");
    assert_string_equal(log->writer, "Skifer writer");
    assert_string_equal(log->owner, "Torvald Skj\xc3\xa6r");
    assert_true(isnan(log->gf_low_fraction));
    assert_int_equal(log->mixes, 2);
    assert_string_equal(log->mix[1].label, "EAN50");
    assert_close(log->mix[1].maximum_po2_bar, 1.6, 0, 0);
    assert_string_equal(dive->id, "dive one");
    assert_profile(dive, 6, 1740, 24.0, 18.0);
    assert_int_equal(dive->start.local_s, 1215858600); /* 2008-07-12 10:30, date -u */
    assert_true(dive->start.has_time && !dive->start.has_zone);
    assert_int_equal(dive->stated_number, 17);
    assert_int_equal(dive->interval, LL_INTERVAL_INFINITE);
    assert_close(dive->altitude_m, 430, 0, 0);
    assert_close(dive->density_kg_m3, 1000, 0, 0);
    assert_close(dive->stated_lowest_c, 6.55, 1e-9, 0);
    assert_close(dive->temperature_c[0], 18.05, 1e-9, 0);
    assert_true(isnan(dive->temperature_c[2]));
    assert_int_equal(dive->spans, 2);
    assert_span(dive, 0, 0, 3, 0, LL_OPEN_CIRCUIT);
    assert_span(dive, 1, 3, 6, 1, LL_OPEN_CIRCUIT);
    assert_int_equal(dive->tank_uses, 1);
    assert_close(dive->tank_use[0].volume_l, 12, 1e-12, 0);
    assert_close(dive->tank_use[0].begin_bar, 210, 0, 0);
    assert_int_equal(dive->tank_use[0].mix, 0);
    assert_int_equal(dive->tank_use[0].tank, 0);
    assert_int_equal(dive->alarms, 3);
    assert_string_equal(dive->alarm[1].text, "deco");
    assert_int_equal(dive->alarm[1].sample, 2);
    assert_close(dive->own_otu.value[0], 9.5, 0, 0);
    assert_int_equal(dive->own_cns.sample[0], 3);
    assert_int_equal(dive->notes.count + log->notes.count, 0);
    ll_log_free(log);
}

static void version_3_1_on_the_loop(void **state)
{
    (void)state;
    ll_log *log = read_text(log_text_3_1);
    const ll_dive *dive = &log->dive[0];
    assert_close(log->gf_low_fraction, 0.3, 0, 0);
    assert_close(log->gf_high_fraction, 0.8, 0, 0);
    assert_profile(dive, 7, 2640, 45.5, 29.8068);
    assert_int_equal(dive->start.zone_s, 3600);
    assert_string_equal(dive->start_text, "2012-03-04T14:05:30+01:00");
    assert_int_equal(dive->interval, LL_INTERVAL_PASSED);
    assert_close(dive->interval_s, 16200, 0, 0);
    assert_close(dive->density_kg_m3, 1028, 0, 0);
    assert_string_equal(log->site[dive->site].name, "Skiferholt quarry");
    assert_int_equal(dive->spans, 3);
    assert_span(dive, 0, 0, 1, 0, LL_CLOSED_CIRCUIT);
    assert_span(dive, 1, 1, 3, 0, LL_CLOSED_CIRCUIT);
    assert_span(dive, 2, 3, 7, 2, LL_OPEN_CIRCUIT);
    assert_close(dive->span[0].set_point_bar, 0.7, 1e-15, 0);
    assert_close(dive->span[1].set_point_bar, 1.3, 1e-15, 0);
    assert_true(isnan(dive->span[2].set_point_bar));
    assert_int_equal(dive->measured_po2s, 2);
    assert_string_equal(dive->measured_po2[1].ref, "cell_2");
    assert_close(dive->measured_po2[1].value[0], 1.31, 1e-15, 0);
    assert_int_equal(dive->own_stops, 2);
    assert_true(dive->own_stop[0].mandatory);
    assert_close(dive->own_stop[0].depth_m, 9, 0, 0);
    assert_close(dive->own_stop[1].duration_s, 300, 0, 0);
    assert_close(dive->no_stop.value[0], 300, 0, 0);
    assert_close(dive->own_gradient.value[0], 0.62, 0, 0);
    assert_int_equal(dive->tank_uses, 2);
    assert_close(dive->stated_duration_s, 2640, 0, 0);
    assert_int_equal(dive->notes.count, 0);
    ll_log_free(log);
}

static void version_3_2_prefixed_and_forward(void **state)
{
    (void)state;
    ll_log *log = read_text(log_text_3_2);
    assert_string_equal(log->owner, "Ylva Kvarnsten");
    assert_string_equal(log->site[0].name, "Langvik & fjord \xc3\xa5");
    assert_int_equal(log->dives, 2);
    const ll_dive *dive = &log->dive[0];
    assert_profile(dive, 7, 2340, 39.0, 28.1474);
    assert_close(dive->surface_pressure_bar, 1.013, 1e-15, 0);
    assert_close(dive->temperature_c[1], 6.5, 1e-9, 0);
    assert_int_equal(dive->stated_number, 300);
    assert_int_equal(dive->switches, 2);
    assert_string_equal(dive->change[1].ref, "ean50");
    assert_int_equal(dive->change[1].mix, 1);
    assert_int_equal(dive->tank_pressures, 2);
    const ll_series *stage = &dive->tank_pressure[1];
    assert_string_equal(stage->ref, "t_stage");
    assert_int_equal(stage->tank_use, 1);
    assert_int_equal(stage->count, 3);
    assert_int_equal(stage->sample[1], 4);
    assert_close(stage->value[1], 170, 0, 0);
    assert_close(dive->tank_use[1].volume_l, 11.1, 1e-12, 0);
    assert_int_equal(dive->notes.count, 0);
    ll_log_free(log);
}

/* UDDF 3.1.0, page samples: without a switch the gas is air; two mixes are defined, so none of them is taken. */
static void without_a_switch_it_is_air(void **state)
{
    (void)state;
    ll_log *log = read_text(log_text_3_2);
    const ll_dive *dive = &log->dive[1];
    assert_profile(dive, 4, 1980, 12.0, 11.4545);
    assert_int_equal(dive->start.local_s, 1628948400); /* 2021-08-14 13:40, date -u */
    assert_int_equal(log->mixes, 3);
    assert_span(dive, 0, 0, 4, 2, LL_OPEN_CIRCUIT);
    assert_string_equal(log->mix[2].id, "");
    assert_string_equal(log->mix[2].label, "air");
    assert_int_equal(dive->switches, 0);
    assert_null(dive->temperature_c);
    assert_non_null(note_text(&dive->notes, LL_NOTE_MIX_ASSUMED_AIR));
    ll_log_free(log);
}

static void pieces_of_any_size_give_the_same_log(void **state)
{
    (void)state;
    const char *const texts[] = {log_text_2_2, log_text_3_1, log_text_3_2};
    const size_t sizes[] = {1, 7, 4096};
    for (size_t t = 0; t < 3; t++) {
        ll_log *whole = read_text(texts[t]);
        for (size_t s = 0; s < 3; s++) {
            ll_log *log;
            assert_int_equal(try_bytes(texts[t], strlen(texts[t]), sizes[s], NULL, NULL, &log, NULL), LL_OK);
            assert_same_logs(log, whole);
            ll_log_free(log);
        }
        ll_log_free(whole);
    }
}

/* Expected: GNU coreutils' sha256sum of the same bytes. */
static void digest_is_of_the_bytes_given(void **state)
{
    (void)state;
    ll_log *log = read_text("<uddf version='3.2.0'></uddf>\n\n");
    assert_string_equal(log->sha256, "c3ad050f27438e95bdbeb4faed7e736ecf204801aa6fabf541457cef67207ca3");
    assert_int_equal(log->dives, 0);
    ll_log_free(log);
}

/* A caller's own digest: how often it was asked for, and where reading stood. */
typedef struct hasher {
    pieces from; /* first, so that it is a context of read_pieces too */
    int asked;
    size_t stood;
} hasher;

static void hash_nothing(void *context, char sha256[LL_DIGEST_TEXT])
{
    hasher *own = context;
    own->asked++;
    own->stood = own->from.next;
    strcpy(sha256, "what the caller says");
}

static ll_status read_hashed(hasher *own, ll_log **log)
{
    return ll_log_read_by("test.uddf", read_pieces, hash_nothing, own, NULL, NULL, NULL, log, NULL);
}

static void digest_is_the_one_that_the_caller_says(void **state)
{
    (void)state;
    const char text[] = "<uddf version='3.2.0'></uddf>\n\n\0\0<uddf> and what else stands behind it";
    hasher own = {.from = {text, sizeof text - 1, 0, 3, 0}};
    ll_log *log;
    assert_int_equal(read_hashed(&own, &log), LL_OK);
    assert_string_equal(log->sha256, "what the caller says");
    assert_int_equal(own.asked, 1);
    assert_int_equal(own.stood, sizeof text - 1);
    ll_log_free(log);
}

static void hashed_bytes_make_the_same_log(void **state)
{
    (void)state;
    static const size_t piece[] = {1, 7, 1000, 0};
    size_t size;
    char *bytes = zipped(log_text_3_2, &size);
    ll_log *plain = read_text(log_text_3_2), *log;
    for (size_t i = 0; i < 8; i++) {
        hasher own = {.from = {log_text_3_2, strlen(log_text_3_2), 0, piece[i / 2], 0}};
        if (i % 2)
            own.from = (pieces){bytes, size, 0, piece[i / 2], 0};
        assert_int_equal(read_hashed(&own, &log), LL_OK);
        assert_string_equal(log->sha256, "what the caller says");
        memcpy(log->sha256, plain->sha256, sizeof plain->sha256);
        assert_same_logs(log, plain);
        ll_log_free(log);
    }
    ll_log_free(plain);
    free(bytes);
}

static void digest_is_not_asked_for_where_reading_fails(void **state)
{
    (void)state;
    static const char text[] = "<uddf version='3.2.0'></uddf>\n<!-- as far as it goes -->\n";
    static const size_t fail_at[] = {1, 20, 40};
    ll_log *log;
    for (size_t i = 0; i < 3; i++) {
        hasher own = {.from = {text, sizeof text - 1, 0, 1, fail_at[i]}};
        assert_int_equal(read_hashed(&own, &log), LL_BAD_INPUT);
        assert_int_equal(own.asked, 0);
    }
    hasher own = {.from = {"<html></html>", 13, 0, 0, 0}};
    assert_int_equal(read_hashed(&own, &log), LL_BAD_INPUT);
    assert_int_equal(own.asked, 0);
}

static void gzip_gives_the_same_dives(void **state)
{
    (void)state;
    size_t size;
    char *bytes = zipped(log_text_3_2, &size);
    ll_log *plain = read_text(log_text_3_2), *log;
    for (size_t piece = 1; piece < 9000; piece = piece * 8 + 1) {
        assert_int_equal(try_bytes(bytes, size, piece, NULL, NULL, &log, NULL), LL_OK);
        assert_string_not_equal(log->sha256, plain->sha256);
        memcpy(log->sha256, plain->sha256, sizeof plain->sha256);
        assert_same_logs(log, plain);
        ll_log_free(log);
    }
    ll_log_free(plain);
    free(bytes);
}

/* Two gzip members one after the other are one file (RFC 1952, 2.2). */
static void gzip_members_are_joined(void **state)
{
    (void)state;
    size_t first, second;
    char *a = zipped("<uddf version='3.2.0'>", &first), *b = zipped("</uddf>", &second);
    char *both = malloc(first + second);
    assert_non_null(both);
    memcpy(both, a, first);
    memcpy(both + first, b, second);
    ll_log *log;
    assert_int_equal(try_bytes(both, first + second, 0, NULL, NULL, &log, NULL), LL_OK);
    assert_string_equal(log->version, "3.2.0");
    ll_log_free(log);
    free(a);
    free(b);
    free(both);
}

static void utf_16_is_read(void **state)
{
    (void)state;
    static const char text[] = "<uddf version='3.2.0'><generator><name>Skifer</name></generator></uddf>";
    char wide[2 * sizeof text + 2] = {(char)0xff, (char)0xfe};
    for (size_t i = 0; i + 1 < sizeof text; i++)
        wide[2 + 2 * i] = text[i];
    ll_log *log;
    assert_int_equal(try_bytes(wide, 2 * sizeof text, 0, NULL, NULL, &log, NULL), LL_OK);
    assert_string_equal(log->writer, "Skifer");
    ll_log_free(log);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(version_2_2),
        cmocka_unit_test(version_3_1_on_the_loop),
        cmocka_unit_test(version_3_2_prefixed_and_forward),
        cmocka_unit_test(without_a_switch_it_is_air),
        cmocka_unit_test(pieces_of_any_size_give_the_same_log),
        cmocka_unit_test(digest_is_of_the_bytes_given),
        cmocka_unit_test(digest_is_the_one_that_the_caller_says),
        cmocka_unit_test(hashed_bytes_make_the_same_log),
        cmocka_unit_test(digest_is_not_asked_for_where_reading_fails),
        cmocka_unit_test(gzip_gives_the_same_dives),
        cmocka_unit_test(gzip_members_are_joined),
        cmocka_unit_test(utf_16_is_read),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
