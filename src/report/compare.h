/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a page carries beside what is computed today, value by value. */
#ifndef LL_REPORT_COMPARE_H
#define LL_REPORT_COMPARE_H

#include "report/claims.h"

enum {
    LL_DIFFERENCES_TOLD = 10,
    LL_DIFFERENCES_MOST = 1000 /* after that many nothing more is looked at */
};

/* Values as they are written; NULL where there is none. */
typedef struct ll_difference {
    const char *path; /* "dive 1, surfacing.gradient_percent" */
    const char *page, *today;
    size_t values; /* of a column of samples: how many differ, else 1 */
    size_t sample; /* of a column: the first that differs, from 1; else 0 */
} ll_difference;

typedef struct ll_comparison {
    bool same_version;
    size_t figures, samples; /* values compared */
    size_t count;            /* of differences; a column of samples counts once */
    ll_difference told[LL_DIFFERENCES_TOLD]; /* the first of them */
} ll_comparison;

/* Compares figures with figures and samples with samples. Numbers are equal within 1e-9 of the greater one, samples
 * within one step of their scale. What the page calls built in must be built in. The version is not compared; where it
 * differs, neither are sentences, nor is what the page lacks. Texts live in `arena`. LL_OK or LL_NO_MEMORY. */
ll_status ll_compare(const ll_claims *page, const ll_claims *today, ll_arena *arena, ll_comparison *comparison,
                     ll_error *error);

#endif
