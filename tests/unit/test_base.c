/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The ground that every layer stands on: arena, text, notes, digest, errors, settings, the table of quantities. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "allocator.h"
#include "base/arena.h"
#include "base/digest.h"
#include "base/error.h"
#include "base/extreme.h"
#include "base/note.h"
#include "base/quantity.h"
#include "base/settings.h"
#include "base/text.h"

/* --- arena ---------------------------------------------------------------------------------------------------- */

static bool is_filled(const char *bytes, size_t size, char with)
{
    for (size_t i = 0; i < size; i++)
        if (bytes[i] != with)
            return false;
    return true;
}

static void arena_gives_zeroed_aligned_bytes(void **state)
{
    (void)state;
    ll_arena arena;
    ll_arena_open(&arena, NULL);
    for (int round = 0; round < 3; round++) {
        char *previous = NULL;
        for (size_t size = 1; size < 200000; size = size * 3 + 1) {
            char *bytes = ll_arena_alloc(&arena, size);
            assert_non_null(bytes);
            assert_int_equal((uintptr_t)bytes % _Alignof(max_align_t), 0);
            assert_true(is_filled(bytes, size, 0));
            memset(bytes, 'x', size);
            assert_true(!previous || *previous == 'x');
            previous = bytes;
        }
        ll_arena_reset(&arena);
    }
    assert_non_null(ll_arena_alloc(&arena, 0));
    ll_arena_close(&arena);
    assert_non_null(ll_arena_alloc(&arena, 1)); /* may be used again */
    ll_arena_close(&arena);
}

static void arena_refuses_sizes_that_overflow(void **state)
{
    (void)state;
    ll_arena arena;
    ll_arena_open(&arena, NULL);
    assert_null(ll_arena_array(&arena, SIZE_MAX / 2, 3));
    assert_null(ll_arena_array(&arena, SIZE_MAX, SIZE_MAX));
    assert_null(ll_arena_alloc(&arena, SIZE_MAX));
    assert_non_null(ll_arena_array(&arena, SIZE_MAX, 0));
    ll_arena_close(&arena);
}

static void arena_copies_texts(void **state)
{
    (void)state;
    ll_arena arena;
    ll_arena_open(&arena, NULL);
    assert_string_equal(ll_arena_text(&arena, "Langvik fjord"), "Langvik fjord");
    assert_string_equal(ll_arena_text_n(&arena, "Langvik fjord", 7), "Langvik");
    assert_string_equal(ll_arena_text_n(&arena, "", 0), "");
    assert_string_equal(ll_arena_format(&arena, "%s %d", "dive", 12), "dive 12");
    const int numbers[3] = {1, 2, 3};
    assert_memory_equal(ll_arena_copy(&arena, numbers, sizeof numbers), numbers, sizeof numbers);
    ll_arena_close(&arena);
}

static bool use_arena(ll_arena *arena)
{
    return ll_arena_alloc(arena, 100) && ll_arena_alloc(arena, 100000) && ll_arena_text(arena, "text") &&
           ll_arena_format(arena, "%d", 7) && ll_arena_array(arena, 10000, 8);
}

static void arena_gives_everything_back(void **state)
{
    (void)state;
    bool done = false;
    for (size_t refused = 1; !done; refused++) {
        test_heap heap;
        ll_arena arena;
        test_heap_open(&heap, refused);
        ll_arena_open(&arena, &heap.allocator);
        done = use_arena(&arena);
        ll_arena_reset(&arena);
        assert_true(heap.live <= 1); /* the newest block may stay */
        ll_arena_close(&arena);
        assert_int_equal(heap.live, 0);
        assert_true(refused < 10);
        assert_int_equal(done, heap.calls < refused);
    }
}

/* --- text ----------------------------------------------------------------------------------------------------- */

typedef struct sink {
    size_t bytes, calls, refuse_from;
    char last;
} sink;

static int take(void *context, const void *bytes, size_t size)
{
    sink *into = context;
    into->calls++;
    if (into->refuse_from && into->calls >= into->refuse_from)
        return -1;
    into->bytes += size;
    into->last = ((const char *)bytes)[size - 1];
    return 0;
}

static void text_grows(void **state)
{
    (void)state;
    ll_text text;
    char expected[1001];
    ll_text_open(&text, NULL, NULL, NULL);
    ll_text_puts(&text, "depth");
    ll_text_putc(&text, ' ');
    ll_text_fill(&text, '-', 3);
    ll_text_format(&text, " %s %d", "dive", 12);
    ll_text_add(&text, "m and more", 1);
    assert_string_equal(ll_text_string(&text), "depth --- dive 12m");
    text.size = 0;
    memset(expected, 'x', 1000);
    expected[1000] = '\0';
    ll_text_format(&text, "%s", expected); /* longer than what is formatted on the stack */
    assert_string_equal(ll_text_string(&text), expected);
    ll_text_fill(&text, 'y', 100000);
    assert_int_equal(text.size, 101000);
    assert_true(ll_text_flush(&text));
    ll_text_close(&text);
}

static void text_flows_into_its_sink(void **state)
{
    (void)state;
    ll_text text;
    sink into = {0};
    ll_text_open(&text, NULL, take, &into);
    for (int i = 0; i < 50000; i++)
        ll_text_puts(&text, "0123456789");
    assert_true(into.calls >= 5);
    assert_true(text.capacity < 200000); /* bounded, however much flows */
    ll_text_putc(&text, '!');
    assert_true(ll_text_flush(&text));
    assert_int_equal(into.bytes, 500001);
    assert_int_equal(into.last, '!');
    ll_text_close(&text);
}

static void text_remembers_that_the_sink_refused(void **state)
{
    (void)state;
    ll_text text;
    sink into = {.refuse_from = 2};
    ll_text_open(&text, NULL, take, &into);
    for (int i = 0; i < 50000; i++)
        ll_text_puts(&text, "0123456789");
    assert_false(ll_text_flush(&text));
    assert_true(text.not_written);
    assert_int_equal(into.calls, 2); /* and is not asked again */
    ll_text_close(&text);
}

static void text_remembers_that_memory_ran_out(void **state)
{
    (void)state;
    for (size_t refused = 1; refused <= 3; refused++) {
        test_heap heap;
        ll_text text;
        test_heap_open(&heap, refused);
        ll_text_open(&text, &heap.allocator, NULL, NULL);
        ll_text_fill(&text, 'x', 20000);
        ll_text_format(&text, "%600d", 1);
        assert_false(ll_text_flush(&text));
        assert_true(text.no_memory);
        assert_null(ll_text_string(&text));
        ll_text_close(&text);
        assert_int_equal(heap.live, 0);
    }
}

/* --- notes ---------------------------------------------------------------------------------------------------- */

static void notes_are_counted_by_code(void **state)
{
    (void)state;
    ll_arena arena;
    ll_notes notes = {0};
    ll_arena_open(&arena, NULL);
    assert_false(ll_has_note(&notes, LL_NOTE_TIME_BACK));
    assert_true(ll_note_add(&notes, &arena, LL_NOTE_TIME_BACK, 17, "120"));
    assert_true(ll_note_add(&notes, &arena, LL_NOTE_OVERLAPS, 0, 4u));
    assert_true(ll_note_add(&notes, &arena, LL_NOTE_TIME_BACK, 99, "300"));
    assert_int_equal(notes.count, 2);
    assert_int_equal(notes.items[0].code, LL_NOTE_TIME_BACK);
    assert_int_equal(notes.items[0].count, 2);
    assert_int_equal(notes.items[0].line, 17);
    assert_string_equal(notes.items[0].text, "times step back at 120 s; the samples were put in order");
    assert_non_null(strstr(notes.items[1].text, "overlaps dive 4;"));
    assert_true(ll_has_note(&notes, LL_NOTE_OVERLAPS));
    ll_arena_close(&arena);
}

static void notes_hold_every_code_once(void **state)
{
    (void)state;
    ll_arena arena;
    ll_notes notes = {0};
    ll_arena_open(&arena, NULL);
    for (int code = 0; code < LL_NOTES; code++) {
        assert_true(ll_note_table[code].code[0] != '\0');
        for (int other = 0; other < code; other++)
            assert_string_not_equal(ll_note_table[code].code, ll_note_table[other].code);
        assert_true(ll_note_table[code].weight >= LL_REMARK && ll_note_table[code].weight <= LL_LOSS);
        if (!strchr(ll_note_table[code].format, '%'))
            assert_true(ll_note_add(&notes, &arena, (ll_note_code)code, 1));
    }
    assert_true(notes.count > 5); /* over its first capacity */
    assert_string_equal(ll_weight_names[LL_LOSS], "loss");
    ll_arena_close(&arena);
}

static void notes_fail_when_memory_runs_out(void **state)
{
    (void)state;
    test_heap heap;
    ll_arena arena;
    ll_notes notes = {0};
    test_heap_open(&heap, 1);
    ll_arena_open(&arena, &heap.allocator);
    assert_false(ll_note_add(&notes, &arena, LL_NOTE_NO_PROFILE, 0));
    assert_int_equal(notes.count, 0);
    ll_arena_close(&arena);
}

/* --- digest ---------------------------------------------------------------------------------------------------- */

static void assert_digest(const char *bytes, size_t size, size_t times, const char *expected)
{
    ll_digest digest;
    char hex[LL_DIGEST_TEXT];
    ll_digest_open(&digest);
    while (times--)
        ll_digest_add(&digest, bytes, size);
    ll_digest_close(&digest, hex);
    assert_string_equal(hex, expected);
}

/* NIST, Secure Hash Standard, FIPS 180-4 (examples of 180-2, appendix B.1 to B.3: one block, two blocks, a million
 * times "a"), and the empty message of the NIST test vectors SHA256ShortMsg. */
static void digest_agrees_with_the_published_examples(void **state)
{
    (void)state;
    const char two_blocks[] = "abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq";
    assert_digest("abc", 3, 1, "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    assert_digest(two_blocks, sizeof two_blocks - 1, 1,
                  "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
    assert_digest("aaaaaaaaaa", 10, 100000, "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0");
    assert_digest("", 0, 0, "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
}

/* --- errors, settings, quantities -------------------------------------------------------------------------------- */

static void errors_are_values(void **state)
{
    (void)state;
    ll_error error;
    char sentence[400];
    assert_int_equal(ll_fail(&error, LL_BAD_INPUT, 12, "no %s here", "log"), LL_BAD_INPUT);
    assert_int_equal(error.status, LL_BAD_INPUT);
    assert_int_equal(error.line, 12);
    assert_string_equal(error.text, "no log here");
    assert_int_equal(ll_fail(NULL, LL_BAD_OUTPUT, 0, "unheard"), LL_BAD_OUTPUT);
    memset(sentence, 'x', sizeof sentence - 1);
    sentence[sizeof sentence - 1] = '\0';
    ll_fail(&error, LL_BAD_USAGE, 0, "%s", sentence);
    assert_int_equal(strlen(error.text), sizeof error.text - 1);
    assert_int_equal(ll_fail_memory(&error), LL_NO_MEMORY);
}

static ll_status check_with(double low, double high, double stop, double water, double surface)
{
    ll_settings settings;
    ll_settings_built_in(&settings);
    settings.gf_low_percent = low;
    settings.gf_high_percent = high;
    settings.last_stop_m = stop;
    settings.water_kg_m3 = water;
    settings.surface_bar = surface;
    return ll_settings_check(&settings, NULL);
}

static void settings_are_checked(void **state)
{
    (void)state;
    ll_settings settings;
    ll_error error;
    ll_settings_built_in(&settings);
    assert_int_equal(ll_settings_check(&settings, NULL), LL_OK);
    assert_true(isnan(settings.surface_bar));
    assert_int_equal(check_with(1, 100, 9, 900, 0.5), LL_OK);
    assert_int_equal(check_with(100, 100, 3, 1300, 1.1), LL_OK);
    assert_int_equal(check_with(0, 80, 3, 1000, 1), LL_BAD_USAGE);
    assert_int_equal(check_with(81, 80, 3, 1000, 1), LL_BAD_USAGE);
    assert_int_equal(check_with(50, 101, 3, 1000, 1), LL_BAD_USAGE);
    assert_int_equal(check_with(NAN, 80, 3, 1000, 1), LL_BAD_USAGE);
    assert_int_equal(check_with(50, NAN, 3, 1000, 1), LL_BAD_USAGE);
    assert_int_equal(check_with(50, 80, 2.9, 1000, 1), LL_BAD_USAGE);
    assert_int_equal(check_with(50, 80, NAN, 1000, 1), LL_BAD_USAGE);
    assert_int_equal(check_with(50, 80, 3, 1301, 1), LL_BAD_USAGE);
    assert_int_equal(check_with(50, 80, 3, NAN, 1), LL_BAD_USAGE);
    assert_int_equal(check_with(50, 80, 3, 1000, 0.49), LL_BAD_USAGE);
    assert_int_equal(check_with(50, 80, 3, 1000, INFINITY), LL_BAD_USAGE);
    settings.last_stop_m = 20;
    ll_settings_check(&settings, &error);
    assert_non_null(strstr(error.text, "last stop"));
}

/* The promised header of `replay --format csv`, less `dive`, which counts dives. */
static void quantities_stand_in_the_promised_order(void **state)
{
    (void)state;
    static const char *const promised[] = {
        "time_s", "depth_m", "ambient_bar", "mix_o2", "mix_he", "po2_atm", "end_n2_m", "end_n2o2_m", "density_g_l",
        "ascent_rate_m_min", "ceiling_m", "stop_m", "gradient_percent", "leading_compartment", "no_stop_s",
        "time_to_surface_s", "cns_percent", "otu", "temperature_c", "n2_%d_bar", "he_%d_bar",
    };
    assert_int_equal(sizeof promised / sizeof *promised, LL_QUANTITIES);
    for (size_t q = 0; q < LL_QUANTITIES; q++) {
        assert_string_equal(ll_quantity_table[q].key, promised[q]);
        assert_int_equal(ll_quantity_find(promised[q], strlen(promised[q])), q);
        assert_true(ll_quantity_table[q].label[0] && ll_quantity_table[q].source[0]);
    }
    assert_int_equal(ll_quantity_find("depth", 5), LL_QUANTITIES);
    assert_int_equal(ll_quantity_find("depth_m,", 8), LL_QUANTITIES);
    assert_int_equal(ll_quantity_find("", 0), LL_QUANTITIES);
}

/* Held against fmax and fmin of the C library. */
static void extremes_are_those_of_the_library(void **state)
{
    (void)state;
    static const double some[] = {-INFINITY, -2, -1, -1e-300, 0, 1e-300, 1, 1.0000000000000002, 2, 1e300, INFINITY};
    for (size_t i = 0; i < sizeof some / sizeof *some; i++)
        for (size_t k = 0; k < sizeof some / sizeof *some; k++) {
            assert_true(ll_greater(some[i], some[k]) == fmax(some[i], some[k]));
            assert_true(ll_lesser(some[i], some[k]) == fmin(some[i], some[k]));
        }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(arena_gives_zeroed_aligned_bytes),
        cmocka_unit_test(arena_refuses_sizes_that_overflow),
        cmocka_unit_test(arena_copies_texts),
        cmocka_unit_test(arena_gives_everything_back),
        cmocka_unit_test(text_grows),
        cmocka_unit_test(text_flows_into_its_sink),
        cmocka_unit_test(text_remembers_that_the_sink_refused),
        cmocka_unit_test(text_remembers_that_memory_ran_out),
        cmocka_unit_test(notes_are_counted_by_code),
        cmocka_unit_test(notes_hold_every_code_once),
        cmocka_unit_test(notes_fail_when_memory_runs_out),
        cmocka_unit_test(digest_agrees_with_the_published_examples),
        cmocka_unit_test(errors_are_values),
        cmocka_unit_test(settings_are_checked),
        cmocka_unit_test(extremes_are_those_of_the_library),
        cmocka_unit_test(quantities_stand_in_the_promised_order),
    };
    return cmocka_run_group_tests_name("base", tests, NULL, NULL);
}
