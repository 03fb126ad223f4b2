/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Pieces of work: each done once and taken in order, whoever does them and in whatever order; the first one without a result
 * decides. */
#include <pthread.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdlib.h>

#include <cmocka.h>

#include "allocator.h"
#include "base/crew.h"
#include "base/error.h"

enum { PIECES = 100, THREADS = 3 };

typedef struct desk {
    unsigned done[PIECES];   /* how often */
    size_t left[PIECES];     /* at its place in the batch: index + 1 */
    size_t batch;            /* places that there may be */
    size_t taken;            /* so far; the next one in order */
    size_t failing, failing_too; /* pieces without a result */
} desk;

static ll_status work(void *context, size_t index, size_t place, ll_arena *scratch, ll_error *error)
{
    desk *d = context;
    d->done[index]++;
    if (place >= d->batch || !ll_arena_alloc(scratch, 100))
        return ll_fail(error, LL_BAD_INPUT, 0, "place %zu", place);
    d->left[place] = index + 1;
    if (index == d->failing || index == d->failing_too)
        return ll_fail(error, LL_BAD_INPUT, (long)index, "piece %zu", index);
    return LL_OK;
}

static void take(void *context, size_t index, size_t place)
{
    desk *d = context;
    assert_int_equal(index, d->taken);
    assert_int_equal(d->left[place], index + 1);
    d->taken++;
}

static void backwards(void *context, size_t jobs, size_t count, ll_work piece, void *piece_context)
{
    (void)context;
    (void)jobs;
    while (count-- > 0)
        piece(piece_context, count);
}

typedef struct gang {
    size_t count, thread;
    ll_work piece;
    void *context;
} gang;

static void *every_third(void *context)
{
    const gang *g = context;
    for (size_t i = g->thread; i < g->count; i += THREADS)
        g->piece(g->context, i);
    return NULL;
}

static void by_threads(void *context, size_t jobs, size_t count, ll_work piece, void *piece_context)
{
    pthread_t threads[THREADS];
    gang gangs[THREADS];
    (void)context;
    assert_int_equal(jobs, THREADS);
    for (size_t i = 0; i < THREADS; i++) {
        gangs[i] = (gang){count, i, piece, piece_context};
        assert_int_equal(pthread_create(&threads[i], NULL, every_third, &gangs[i]), 0);
    }
    for (size_t i = 0; i < THREADS; i++)
        pthread_join(threads[i], NULL);
}

static const ll_crew crews[] = {
    {NULL, NULL, 0}, {NULL, NULL, 8}, {backwards, NULL, 1}, {backwards, NULL, 2}, {by_threads, NULL, THREADS}};

static void test_each_once_in_order(void **state)
{
    (void)state;
    for (size_t c = 0; c < sizeof crews / sizeof *crews; c++)
        for (size_t count = 0; count <= PIECES; count++) {
            desk d = {.batch = ll_crew_batch(&crews[c], count), .failing = PIECES, .failing_too = PIECES};
            ll_error error = {LL_OK, 0, ""};
            assert_int_equal(ll_crew_do(&crews[c], count, &(ll_pieces){work, take, &d}, NULL, &error), LL_OK);
            assert_int_equal(d.taken, count);
            for (size_t i = 0; i < PIECES; i++)
                assert_int_equal(d.done[i], i < count);
        }
}

static void test_batch_is_bounded(void **state)
{
    (void)state;
    assert_int_equal(ll_crew_batch(&crews[0], PIECES), 1);
    assert_int_equal(ll_crew_batch(&crews[1], PIECES), 1);
    assert_int_equal(ll_crew_batch(&crews[2], PIECES), 1);
    assert_int_equal(ll_crew_batch(&crews[3], 1000000), ll_crew_batch(&crews[3], 2000000));
    assert_int_equal(ll_crew_batch(&crews[3], 3), 3);
    assert_int_equal(ll_crew_batch(&crews[3], 0), 0);
}

static void test_first_failure_decides(void **state)
{
    (void)state;
    for (size_t c = 0; c < sizeof crews / sizeof *crews; c++) {
        desk d = {.batch = ll_crew_batch(&crews[c], PIECES), .failing = 41, .failing_too = 40};
        ll_error error = {LL_OK, 0, ""};
        assert_int_equal(ll_crew_do(&crews[c], PIECES, &(ll_pieces){work, take, &d}, NULL, &error), LL_BAD_INPUT);
        assert_int_equal(error.line, 40);
        assert_string_equal(error.text, "piece 40");
        assert_int_equal(d.taken, 40);
        assert_int_equal(d.done[PIECES - 1], 0);
        d.taken = 0;
        assert_int_equal(ll_crew_do(&crews[c], PIECES, &(ll_pieces){work, NULL, &d}, NULL, NULL), LL_BAD_INPUT);
    }
}

static void test_memory_runs_out(void **state)
{
    (void)state;
    test_heap heap;
    desk d = {.batch = 1, .failing = PIECES, .failing_too = PIECES};
    ll_error error;
    test_heap_open(&heap, 1);
    assert_int_equal(ll_crew_do(&crews[0], PIECES, &(ll_pieces){work, take, &d}, &heap.allocator, &error), LL_NO_MEMORY);
    assert_int_equal(d.taken, 0);
    assert_int_equal(heap.live, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_each_once_in_order),
        cmocka_unit_test(test_batch_is_bounded),
        cmocka_unit_test(test_first_failure_decides),
        cmocka_unit_test(test_memory_runs_out),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
