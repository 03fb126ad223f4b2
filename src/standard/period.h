/* SPDX-License-Identifier: GPL-3.0-or-later */
/* ISO 8601 durations in calendar parts: a month is a month, not thirty days. */
#ifndef LL_STANDARD_PERIOD_H
#define LL_STANDARD_PERIOD_H

#include <stdbool.h>
#include <stddef.h>

typedef struct ll_period {
    unsigned years, months, days; /* weeks count as 7 days */
    unsigned seconds;             /* hours, minutes and seconds */
} ll_period;

/* Reads `P1Y6M10D`, `P2W`, `PT1H30M`, `P1DT12H`: whole numbers of at most 5 digits, each part at most once and in
 * order, weeks alone, at least one part, one part more after a T. False if text[0..length) is not wholly such a text;
 * then *period is all zero. */
bool ll_period_read(const char *text, size_t length, ll_period *period);

#endif
