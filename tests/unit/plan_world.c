/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "plan_world.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

ptrdiff_t plan_take(void *context, void *bytes, size_t capacity)
{
    plan_source *from = context;
    size_t size = from->size - from->taken;
    if (size == 0 && from->breaks)
        return -1;
    size = size < capacity ? size : capacity;
    size = size < from->piece ? size : from->piece;
    memcpy(bytes, from->text + from->taken, size);
    from->taken += size;
    return (ptrdiff_t)size;
}

ll_plan *read_plan_bytes(const char *text, size_t size, size_t piece)
{
    plan_source from = {text, size, 0, piece, false};
    ll_plan *plan = NULL;
    ll_error error = {LL_OK, 0, ""};
    if (ll_plan_read("slate.txt", plan_take, &from, NULL, &plan, &error) != LL_OK)
        fail_msg("line %ld: %s", error.line, error.text);
    assert_non_null(plan);
    return plan;
}

ll_plan *read_plan(const char *text)
{
    return read_plan_bytes(text, strlen(text), 1000);
}

void assert_plan_bytes_refused(const char *text, size_t size, long line, const char *sentence)
{
    plan_source from = {text, size, 0, 1000, false}, again = from;
    ll_plan *plan = (ll_plan *)&from;
    ll_error error = {LL_OK, 0, ""};
    assert_int_equal(ll_plan_read("slate.txt", plan_take, &from, NULL, &plan, &error), LL_BAD_INPUT);
    assert_null(plan);
    assert_string_equal(error.text, sentence);
    assert_int_equal(error.line, line);
    assert_int_equal(error.status, LL_BAD_INPUT);
    assert_int_equal(ll_plan_read("slate.txt", plan_take, &again, NULL, &plan, NULL), LL_BAD_INPUT);
}

void assert_plan_refused(const char *text, long line, const char *sentence)
{
    assert_plan_bytes_refused(text, strlen(text), line, sentence);
}

void assert_line_refused(const char *line, const char *sentence)
{
    char text[400];
    snprintf(text, sizeof text, "# a slate\n\n%s\n90 0 air\n", line);
    assert_plan_refused(text, 3, sentence);
}

const char plan_whole[] = "# The north gallery, two of us\n"
                          "0      0    18/45\n"
                          "3      45          # on the floor\n"
                          "23:30\t45\n"
                          "26     21\n"
                          "26     21   EAN50\n"
                          "\n"
                          "  40.5 6    oxygen\n"
                          "52     0\n"
                          "variant deeper\n"
                          "0 0 18/45\n"
                          "3 48.5\n"
                          "variant  lost \t gas # the stage\n"
                          "0 0 18/45\n"
                          "3 45\n"
                          "23.5 45\n";

const size_t plan_whole_size = sizeof plan_whole - 1;
