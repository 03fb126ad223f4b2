/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The answer of `verify`: whether a page belongs to logs, and whether today's figures are the same. */
#ifndef LL_REPORT_VERDICT_H
#define LL_REPORT_VERDICT_H

#include "report/compare.h"

/* A log that was given. */
typedef struct ll_given_log {
    const char *name, *sha256;
    const ll_claimed_input *named; /* by the page, with this SHA-256; or NULL */
} ll_given_log;

typedef struct ll_verdict {
    const char *page, *sha256; /* name of its file, and digest of its bytes */
    const ll_claims *claims;
    size_t logs;
    const ll_given_log *log;
    bool belongs; /* every log is named, and every log that is named was given */
    const ll_comparison *comparison; /* NULL where the page does not belong to the logs */
    bool is_whole; /* the page is byte for byte what is written today */
} ll_verdict;

/* Whether every figure and sample was the same. */
bool ll_verdict_same(const ll_verdict *verdict);

/* Whether a log that the page names was given. */
bool ll_verdict_is_given(const ll_verdict *verdict, const ll_claimed_input *input);

void ll_text_verdict(ll_text *out, const ll_verdict *verdict, const ll_look *look);

/* Schema leadline-verify-1. */
void ll_json_verdict(ll_text *out, const ll_verdict *verdict, const ll_look *look);

#endif
