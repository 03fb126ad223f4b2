/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A whole review and every format, while memory runs out at each request in turn: LL_NO_MEMORY or a text that is known not
 * to be whole, and nothing that is not given back. In sanitizer builds every request of an arena is one of the heap. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "allocator.h"
#include "base/settings.h"
#include "base/text.h"
#include "log_world.h"
#include "report/review_report.h"

#define AT(seconds, metres) "<waypoint><depth>" metres "</depth><divetime>" seconds "</divetime></waypoint>\n"
#define TO(seconds, metres, mix)                                                                                     \
    "<waypoint><depth>" metres "</depth><divetime>" seconds "</divetime><switchmix ref=\"" mix "\"/></waypoint>\n"

/* Short, deep enough for a ceiling, with a switch and two levels. */
static const char first_points[] =
    TO("0", "0", "tx") AT("60", "24") AT("120", "45") AT("240", "45") AT("360", "45") AT("480", "45") AT("600", "45")
    TO("720", "21", "ean") AT("780", "9") AT("900", "9") AT("930", "6") AT("1110", "6") AT("1170", "0");
/* The same way, later up and 8 m deeper for long enough to be a stretch. */
static const char second_points[] =
    TO("0", "0", "tx") AT("60", "24") AT("120", "53") AT("240", "53") AT("360", "53") AT("480", "53") AT("600", "53")
    TO("740", "21", "ean") AT("800", "9") AT("920", "9") AT("950", "6") AT("1160", "6") AT("1220", "0");
/* What no one's record is like. */
static const char pool_points[] = TO("0", "0", "tx") AT("10", "3") AT("1500", "3") AT("1800", "0");

static const ll_plan_point planned[] = {
    {0, 0, 0.18, 0.45, 1}, {120, 45, 0.18, 0.45, 2}, {600, 45, 0.18, 0.45, 3}, {930, 6, 0.5, 0, 4}, {1200, 0, 0.5, 0, 5}};
static const ll_plan_point deeper[] = {
    {0, 0, 0.18, 0.45, 7}, {150, 53, 0.18, 0.45, 8}, {600, 53, 0.18, 0.45, 9}, {990, 6, 0.5, 0, 10}, {1290, 0, 0.5, 0, 11}};
static const ll_plan_variant variants[] = {{LL_PLAN_FIRST_NAME, 5, planned, 45}, {"deeper", 5, deeper, 53}};
static const ll_plan plan = {.name = "slate.txt", .count = 2, .variant = variants};

static ll_log *logs[4]; /* one, another, a second recorder of the other, a wrong one */
static ll_settings settings;
static ll_limits limits;

static ll_log *read_dive(const char *owner, const char *start, const char *points)
{
    ll_text out;
    ll_text_open(&out, NULL, NULL, NULL);
    ll_text_format(&out, "<uddf version=\"3.2.1\"><diver><owner id=\"o\"><personal><firstname>%s</firstname>"
                         "<lastname>Kvarnsten</lastname></personal></owner></diver><gasdefinitions><mix id=\"tx\">"
                         "<o2>0.18</o2><he>0.45</he></mix><mix id=\"ean\"><o2>0.50</o2><he>0.0</he></mix>"
                         "</gasdefinitions><profiledata><repetitiongroup id=\"g\"><dive id=\"d\">"
                         "<informationbeforedive><datetime>%s</datetime><divenumber>1</divenumber>"
                         "</informationbeforedive><samples>%s</samples><informationafterdive/></dive>"
                         "</repetitiongroup></profiledata></uddf>\n", owner, start, points);
    ll_log *log = read_text(ll_text_string(&out));
    ll_text_close(&out);
    return log;
}

static int open_logs(void **state)
{
    (void)state;
    logs[0] = read_dive("Ylva", "2026-05-03T08:00:00", first_points);
    logs[1] = read_dive("Torvald", "2026-05-03T08:00:20", second_points);
    logs[2] = read_dive("Torvald", "2026-05-03T08:00:20", second_points);
    logs[3] = read_dive("Sunniva", "2026-05-03T11:00:00", pool_points);
    ll_settings_built_in(&settings);
    ll_limits_built_in(&limits);
    return 0;
}

static int close_logs(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof logs / sizeof *logs; i++)
        ll_log_free(logs[i]);
    return 0;
}

/* --- the review ---------------------------------------------------------------------------------------------------- */

static const ll_log *diver_logs[3][2];
static const ll_diver_asked divers[] = {
    {NULL, 1, diver_logs[0]}, {"Torvald", 2, diver_logs[1]}, {NULL, 1, diver_logs[2]}};
static const ll_pair_asked pairs[] = {{"Torvald", "Ylva Kvarnsten"}};

static ll_review_asked ask(bool trust_clocks, size_t count)
{
    diver_logs[0][0] = logs[0];
    diver_logs[1][0] = logs[1];
    diver_logs[1][1] = logs[2];
    diver_logs[2][0] = logs[3];
    return (ll_review_asked){.divers = count, .diver = divers, .settings = &settings, .limits = &limits, .plan = &plan,
                             .trust_clocks = trust_clocks, .pairs = 1, .pair = pairs};
}

static ll_status make(const ll_review_asked *asked, ll_arena *arena, ll_review *review)
{
    ll_error error;
    ll_status status = ll_review_make(asked, arena, review, &error);
    if (status != LL_OK)
        assert_string_equal(error.text, "memory ran out");
    return status;
}

/* Otherwise the walk would pass by what it is there for. */
static void the_review_has_everything(void **state)
{
    (void)state;
    ll_arena arena;
    ll_review review;
    const ll_review_asked asked = ask(false, 3);
    ll_arena_open(&arena, NULL);
    assert_int_equal(make(&asked, &arena, &review), LL_OK);
    assert_int_equal(review.taken, 2);
    assert_int_equal(review.diver[2].main, SIZE_MAX);
    assert_non_null(review.diver[2].recorder[0].why_not);
    assert_int_equal(review.team.pairs, 1);
    assert_true(review.team.pair[0].buddies && review.team.pair[0].count > 0);
    assert_true(review.team.levels > 0 && review.team.switches > 0 && review.differences > 0);
    assert_true(review.team.ceiling_peak_m > 0);
    assert_non_null(review.diver[1].plan.line);
    ll_review_close(&review);
    ll_arena_close(&arena);
}

static void walk(bool trust_clocks, size_t count)
{
    const ll_review_asked asked = ask(trust_clocks, count);
    ll_status status = LL_NO_MEMORY;
    for (size_t refuse_from = 1; status != LL_OK; refuse_from++) {
        test_heap heap;
        ll_arena arena;
        ll_review review;
        test_heap_open(&heap, refuse_from);
        ll_arena_open(&arena, &heap.allocator);
        status = make(&asked, &arena, &review);
        assert_int_equal(status, heap.calls < refuse_from ? LL_OK : LL_NO_MEMORY);
        ll_review_close(&review);
        ll_arena_close(&arena);
        assert_int_equal(heap.live, 0);
    }
}

static void a_review_runs_out_of_memory(void **state)
{
    (void)state;
    walk(true, 2);
}

static void matching_runs_out_of_memory(void **state)
{
    (void)state;
    walk(false, 3);
}

/* --- formats ------------------------------------------------------------------------------------------------------- */

static const ll_look look = {.width = 60, .imperial = true};
static const ll_track *tracks[3];

static void html(ll_text *out, const ll_review *review, const ll_look *asked)
{
    ll_review_html(out, review, tracks, asked);
}

typedef void (*format)(ll_text *out, const ll_review *review, const ll_look *look);

static bool is_whole(format set, const ll_review *review, const ll_allocator *allocator)
{
    ll_text out;
    ll_text_open(&out, allocator, NULL, NULL);
    set(&out, review, &look);
    bool whole = ll_text_flush(&out);
    ll_text_close(&out);
    return whole;
}

static void format_runs_out_of_memory(const char *name, format set, const ll_review *review)
{
    bool whole = false;
    for (size_t refuse_from = 1; !whole; refuse_from++) {
        test_heap heap;
        test_heap_open(&heap, refuse_from);
        whole = is_whole(set, review, &heap.allocator);
        if (whole != (heap.calls < refuse_from) || heap.live != 0)
            fail_msg("%s: request %zu refused: %s, %zu blocks kept", name, refuse_from,
                     whole ? "said to be whole" : "said not to be whole", heap.live);
    }
}

/* Every column of each diver that has the dive. */
static void make_tracks(const ll_review *review, ll_arena *arena)
{
    for (size_t i = 0; i < review->count; i++) {
        const ll_debrief *debrief = &review->diver[i].debrief;
        ll_track *track = ll_arena_alloc(arena, sizeof *track);
        tracks[i] = NULL;
        if (!ll_review_has(review, i))
            continue;
        assert_non_null(track);
        assert_int_equal(ll_replay_columns(&debrief->profile, &debrief->history->settings, &debrief->entry->start,
                                           LL_SET_ALL | LL_SET_HEADROOM, arena, track, NULL), LL_OK);
        tracks[i] = track;
    }
}

static void set_all(const char *extract)
{
    ll_arena arena;
    ll_review review;
    ll_review_asked asked = ask(true, 3);
    asked.extract = extract;
    ll_arena_open(&arena, NULL);
    assert_int_equal(make(&asked, &arena, &review), LL_OK);
    make_tracks(&review, &arena);
    format_runs_out_of_memory("text", ll_review_text, &review);
    format_runs_out_of_memory("json", ll_review_json, &review);
    format_runs_out_of_memory("csv", ll_review_csv, &review);
    format_runs_out_of_memory("html", html, &review);
    ll_review_close(&review);
    ll_arena_close(&arena);
}

static void formats_run_out_of_memory(void **state)
{
    (void)state;
    set_all(NULL);
}

static void extracts_run_out_of_memory(void **state)
{
    (void)state;
    set_all("Torvald");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_review_has_everything), cmocka_unit_test(a_review_runs_out_of_memory),
        cmocka_unit_test(matching_runs_out_of_memory), cmocka_unit_test(formats_run_out_of_memory),
        cmocka_unit_test(extracts_run_out_of_memory),
    };
    return cmocka_run_group_tests(tests, open_logs, close_logs);
}
