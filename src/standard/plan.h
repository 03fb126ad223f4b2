/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A plan: what stands on a diver's slate, in one or more variants. It is compared with a dive, never replayed. The
 * format is described in docs/plans.md. */
#ifndef LL_STANDARD_PLAN_H
#define LL_STANDARD_PLAN_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"
#include "base/digest.h"
#include "base/error.h"

/* A line of the slate. Fractions of the mix that is breathed from here on; the rest is nitrogen. */
typedef struct ll_plan_point {
    double run_s;   /* from leaving the surface, 0 or later, never before the point above it; whole milliseconds */
    double depth_m; /* 0..LL_PLAN_DEEPEST_M; the same as that of a point at the same run time */
    double o2, he;
    size_t line; /* of the file, from 1 */
} ll_plan_point;

typedef struct ll_plan_variant {
    const char *name; /* unlike all others */
    size_t count;     /* at least 2 */
    const ll_plan_point *point;
    double greatest_m;
} ll_plan_variant;

typedef struct ll_plan {
    ll_arena arena;
    const char *name; /* of the file, as given by the caller */
    char sha256[LL_DIGEST_TEXT];
    size_t count; /* at least 1 */
    const ll_plan_variant *variant; /* in the order of the file */
} ll_plan;

/* The name of the lines that stand before the first that begins a variant. */
#define LL_PLAN_FIRST_NAME "as planned"

/* Caps on hostile input, named in docs/plans.md. */
enum {
    LL_PLAN_MOST_LINES = 1000,     /* of the file, comments and empty ones too */
    LL_PLAN_MOST_LINE = 200,       /* bytes of a line without its end */
    LL_PLAN_MOST_VARIANTS = 32,
    LL_PLAN_MOST_MINUTES = 10000,  /* of run time: a week */
    LL_PLAN_DEEPEST_M = 330
};

/* Gives up to `capacity` bytes; returns how many, 0 at the end, -1 on failure. */
typedef ptrdiff_t (*ll_plan_read_fn)(void *context, void *bytes, size_t capacity);

/* Reads a plan. On success *plan is new, to be freed by ll_plan_free. On failure it is NULL, and `error` holds the line
 * (0: the file as a whole) and one sentence: LL_BAD_INPUT (a line that docs/plans.md does not know, a value out of
 * range, over a cap, no UTF-8, `read` failed) or LL_NO_MEMORY. No more is read than the caps allow and one piece on
 * top. `name` (of the file) is copied; `allocator` NULL: the heap. */
ll_status ll_plan_read(const char *name, ll_plan_read_fn read, void *context, const ll_allocator *allocator,
                       ll_plan **plan, ll_error *error);

/* NULL is fine. */
void ll_plan_free(ll_plan *plan);

/* Whether a file that begins with these bytes is a log rather than a slate: markup (behind a byte order mark and white
 * space, in UTF-8 or UTF-16) or gzip. A few hundred bytes are enough; false for none. */
bool ll_plan_looks_like_log(const void *bytes, size_t size);

/* Planned depth in metres at a run time in seconds, linear between the points; 0 before the first point and after the
 * last, and for NaN. */
double ll_plan_depth_m(const ll_plan_variant *variant, double run_s);

/* The point whose mix is planned to be breathed at a run time: the last that is not later, so of several at one time
 * the last. NULL before the first point, and for NaN. After the last point that one holds on. */
const ll_plan_point *ll_plan_at(const ll_plan_variant *variant, double run_s);

#endif
