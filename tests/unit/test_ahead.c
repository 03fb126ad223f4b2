/* SPDX-License-Identifier: GPL-3.0-or-later */
/* An input read ahead gives the bytes, the digest and the failures that reading it plainly gives. */
#include <errno.h>
#include <fcntl.h>
#include <pthread.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <cmocka.h>

#include "cli/ahead.h"

enum { BLOCK = 256 * 1024, ALL = 11 * BLOCK + 12345 };

/* The linker puts this before the C library's (see meson.build). */
int __real_pthread_create(pthread_t *thread, const pthread_attr_t *attributes, void *(*work)(void *), void *context);
int __wrap_pthread_create(pthread_t *thread, const pthread_attr_t *attributes, void *(*work)(void *), void *context);

static bool no_threads;

int __wrap_pthread_create(pthread_t *thread, const pthread_attr_t *attributes, void *(*work)(void *), void *context)
{
    return no_threads ? EAGAIN : __real_pthread_create(thread, attributes, work, context);
}

static unsigned char *all, *seen; /* ALL bytes, and one more in `seen` */
static char path[] = "/tmp/leadline-ahead-XXXXXX";

static int make(void **state)
{
    (void)state;
    uint64_t bits = 88172645463325252u;
    all = malloc(ALL);
    seen = malloc(ALL + 1);
    for (size_t i = 0; i < ALL; i++) {
        bits ^= bits << 13, bits ^= bits >> 7, bits ^= bits << 17; /* Marsaglia 2003, Xorshift RNGs */
        all[i] = (unsigned char)(bits >> 32);
    }
    int descriptor = mkstemp(path);
    return descriptor < 0 || close(descriptor) != 0;
}

static int clear(void **state)
{
    (void)state;
    free(all);
    free(seen);
    return unlink(path);
}

/* The first `size` bytes as a file. */
static void open_file(ll_input *input, size_t size)
{
    int descriptor = open(path, O_WRONLY | O_TRUNC);
    assert_int_equal(write(descriptor, all, size), size);
    close(descriptor);
    assert_int_equal(ll_input_open(input, path, NULL), LL_OK);
    assert_int_equal(input->file_bytes, size);
}

static void assert_digest(ll_ahead *ahead, size_t size)
{
    char actual[LL_DIGEST_TEXT], expected[LL_DIGEST_TEXT];
    ll_digest digest;
    ll_digest_open(&digest);
    ll_digest_add(&digest, all, size);
    ll_digest_close(&digest, expected);
    ll_ahead_hash(ahead, actual);
    assert_string_equal(actual, expected);
}

/* Takes all there is, at most `piece` at a time; returns what came instead of bytes. */
static ptrdiff_t take_all(ll_ahead *ahead, size_t piece, size_t *size)
{
    ptrdiff_t got;
    *size = 0;
    while ((got = ll_ahead_read(ahead, seen + *size, ALL - *size < piece ? ALL - *size + 1 : piece)) > 0)
        *size += (size_t)got;
    return got;
}

static void gives_the_bytes_of_a_file(void **state)
{
    (void)state;
    static const size_t sizes[] = {ALL, 5 * BLOCK, 4 * BLOCK + 1, BLOCK + 1, BLOCK, BLOCK - 1, 2, 1, 0};
    static const size_t pieces[] = {4000, 64 * 1024, BLOCK, 2 * BLOCK, 77777};
    for (size_t s = 0; s < sizeof sizes / sizeof *sizes; s++)
        for (size_t p = 0; p < sizeof pieces / sizeof *pieces; p++) {
            ll_input input;
            size_t size;
            open_file(&input, sizes[s]);
            ll_ahead *ahead = ll_ahead_open(&input);
            assert_non_null(ahead);
            assert_int_equal(take_all(ahead, pieces[p], &size), 0);
            assert_int_equal(size, sizes[s]);
            assert_memory_equal(seen, all, size);
            assert_int_equal(ll_ahead_read(ahead, seen, 1), 0); /* the end stays */
            assert_digest(ahead, size);
            ll_ahead_close(ahead);
            ll_input_close(&input);
        }
}

static void may_be_left_anywhere(void **state)
{
    (void)state;
    static const size_t taken[] = {0, 1, BLOCK - 1, BLOCK, 3 * BLOCK + 1, 11 * BLOCK, ALL};
    for (int round = 0; round < 20; round++)
        for (size_t t = 0; t < sizeof taken / sizeof *taken; t++) {
            ll_input input;
            open_file(&input, ALL);
            ll_ahead *ahead = ll_ahead_open(&input);
            assert_non_null(ahead);
            for (size_t size = 0; size < taken[t];)
                size += (size_t)ll_ahead_read(ahead, seen, taken[t] - size);
            ll_ahead_close(ahead);
            ll_input_close(&input);
        }
    ll_ahead_close(NULL);
}

/* Short reads, as a file gives them that is still being written. */
static void *write_in_pieces(void *context)
{
    int descriptor = *(int *)context;
    size_t piece = 1, size = 0;
    while (size < ALL) {
        piece = piece % 70000 * 3 + 1;
        ssize_t put = write(descriptor, all + size, ALL - size < piece ? ALL - size : piece);
        if (put < 0)
            break;
        size += (size_t)put;
    }
    close(descriptor);
    return NULL;
}

static void takes_short_reads(void **state)
{
    (void)state;
    int ends[2];
    size_t size;
    pthread_t writer;
    assert_int_equal(pipe(ends), 0);
    ll_input input = {.descriptor = ends[0]};
    ll_ahead *ahead = ll_ahead_open(&input);
    assert_non_null(ahead);
    assert_int_equal(pthread_create(&writer, NULL, write_in_pieces, &ends[1]), 0);
    assert_int_equal(take_all(ahead, 50000, &size), 0);
    assert_int_equal(size, ALL);
    assert_memory_equal(seen, all, ALL);
    assert_digest(ahead, ALL);
    ll_ahead_close(ahead);
    pthread_join(writer, NULL);
    ll_input_close(&input);
}

/* A pipe that is not waited for fails once it is empty, with EAGAIN. */
static void failure_comes_behind_the_bytes_before_it(void **state)
{
    (void)state;
    int ends[2];
    size_t size;
    assert_int_equal(pipe(ends), 0);
    assert_int_equal(fcntl(ends[0], F_SETFL, O_NONBLOCK), 0);
    assert_int_equal(write(ends[1], all, 5000), 5000);
    ll_input input = {.descriptor = ends[0]};
    ll_ahead *ahead = ll_ahead_open(&input);
    assert_non_null(ahead);
    assert_int_equal(take_all(ahead, 1000, &size), -1);
    assert_int_equal(size, 5000);
    assert_memory_equal(seen, all, size);
    assert_int_equal(ll_ahead_read(ahead, seen, 1), -1);
    ll_ahead_close(ahead);
    assert_int_equal(input.reason, EAGAIN);
    ll_input_close(&input);
    close(ends[1]);
}

static void leaves_the_input_alone_without_a_thread(void **state)
{
    (void)state;
    ll_input input;
    open_file(&input, ALL);
    no_threads = true;
    assert_null(ll_ahead_open(&input));
    no_threads = false;
    assert_int_equal(ll_input_read(&input, seen, 1000), 1000);
    assert_memory_equal(seen, all, 1000);
    ll_input_close(&input);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(gives_the_bytes_of_a_file),
        cmocka_unit_test(may_be_left_anywhere),
        cmocka_unit_test(takes_short_reads),
        cmocka_unit_test(failure_comes_behind_the_bytes_before_it),
        cmocka_unit_test(leaves_the_input_alone_without_a_thread),
    };
    return cmocka_run_group_tests_name("ahead", tests, make, clear);
}
