/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Figures in running text: rounded, with their unit, metric or imperial. */
#ifndef LL_REPORT_TEXT_FIGURES_H
#define LL_REPORT_TEXT_FIGURES_H

#include "report/report.h"

/* How a quantity of unit `from` is shown: value * factor + offset, in `to`, with so many decimals fewer. A unit that is shown
 * as it is converts to itself. */
typedef struct ll_conversion {
    const char *from, *to;
    double factor, offset;
    int fewer;
} ll_conversion;
ll_conversion ll_conversion_of(const char *unit, bool imperial);

/* "60.2 m" or "198 ft". `unit` is one of the quantity table's; metres, metres a minute and degrees Celsius are
 * converted where `look` asks for it, with one decimal less for lengths. An en dash for NaN. */
void ll_figure(ll_text *out, double value, const char *unit, int digits, const ll_look *look);

/* How far two depths lie apart: "0.2 m" or "0.7 ft", in feet to a tenth below 3 m, where whole feet would tell nothing. */
void ll_difference_figure(ll_text *out, double metres, const ll_look *look);

/* A value of this quantity, with the digits and unit of the table. */
void ll_quantity_figure(ll_text *out, ll_quantity quantity, double value, const ll_look *look);

/* "1.6 atm", "12 m/min": as few digits as a limit needs, at most three behind the point. */
void ll_limit_figure(ll_text *out, double value, const char *unit, const ll_look *look);

/* "34 min 20 s", "45 s", "8 min"; to the nearest second. An en dash for NaN. */
void ll_duration(ll_text *out, double seconds);

/* "62:10", minutes and seconds; to the nearest second. An en dash for NaN. */
void ll_clock(ll_text *out, double seconds);

/* "2026-05-03 09:12 (+02:00)", as far as it is known; to be asked with a date only. */
void ll_start_add(ll_text *out, const ll_instant *start);

/* An instant on the record's clock as run time, counted from the leaving. */
double ll_run_time_s(const ll_debrief *debrief, double time_s);
void ll_run_clock(ll_text *out, const ll_debrief *debrief, double time_s);

/* Why tissues are missing on a dive: "the gas is unknown", or that the model does not cover it. */
const char *ll_tissues_missing(const ll_debrief *debrief);

/* The label of a mix, "EAN50", or "an unknown mix" for LL_MIX_UNKNOWN. */
void ll_mix_add(ll_text *out, const ll_log *log, int mix);

#endif
