/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Three whole logs of the invented dive school, one for each layout of UDDF. Names, places and dives are made up. */
#ifndef LL_TESTS_LOG_TEXTS_H
#define LL_TESTS_LOG_TEXTS_H

/* UDDF 2.2: date and time in parts, flat dive, shared tank uses, ids with a blank and with a leading digit. */
extern const char log_text_2_2[];

/* UDDF 3.1: a loop dive, exponents, zone, set points, sensors that the log does not define, a recorder's ladder. */
extern const char log_text_3_1[];

/* UDDF 3.2 in a prefixed name space: two tanks, forward references, a plan and application data to be passed over. */
extern const char log_text_3_2[];

#endif
