/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How much pulmonary oxygen dose is allowed for over several days of diving in a row. */
#ifndef LL_STANDARD_REPEX_H
#define LL_STANDARD_REPEX_H

#include <stdbool.h>

#define LL_REPEX_SOURCE \
    "REPEX: Hamilton, Kenyon and Peterson, NOAA NURP TR 88-1B, 1988 (the rows of 2 to 10 days from memory)"

/* The allowance over `days` days in a row, at least 1: days times the average of a day, OTU. */
double ll_repex_allowance(unsigned days);

/* Whether the row of so many days was read where it is quoted; else it is from memory. */
bool ll_repex_is_published(unsigned days);

#endif
