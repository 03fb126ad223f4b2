/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Slates in memory: read, or refused. */
#ifndef LL_TESTS_PLAN_WORLD_H
#define LL_TESTS_PLAN_WORLD_H

#include <stdbool.h>
#include <stddef.h>

#include "standard/plan.h"

typedef struct plan_source {
    const char *text;
    size_t size, taken;
    size_t piece; /* at most so much at once */
    bool breaks;  /* fails where it would end */
} plan_source;

/* Of a plan_source; an ll_plan_read_fn. */
ptrdiff_t plan_take(void *context, void *bytes, size_t capacity);

/* Fails the running test, with the sentence, where it is no plan. */
ll_plan *read_plan_bytes(const char *text, size_t size, size_t piece);
ll_plan *read_plan(const char *text);

/* The sentence, with and without a place for it, and no plan. */
void assert_plan_bytes_refused(const char *text, size_t size, long line, const char *sentence);
void assert_plan_refused(const char *text, long line, const char *sentence);

/* The line is the first of a slate that is in order but for it. */
void assert_line_refused(const char *line, const char *sentence);

/* Two switches, comments, and three variants: 16 lines. */
extern const char plan_whole[];
extern const size_t plan_whole_size;

#endif
