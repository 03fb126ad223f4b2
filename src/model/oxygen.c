/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "model/oxygen.h"

#include <math.h>

/* NOAA Diving Manual, 3rd ed. 1991 and 4th ed. 2001, oxygen chapter: minutes for a single exposure and in 24 hours.
 * The row at 0.5 is not NOAA's: the first segment of E. C. Baker, Oxygen Toxicity Calculations, runs from there. */
static const struct {
    double po2_atm;
    double minutes[2]; /* by ll_oxygen_table */
} rows[] = {
    {0.5, {900.0, 900.0}}, {0.6, {720.0, 720.0}}, {0.7, {570.0, 570.0}}, {0.8, {450.0, 450.0}},
    {0.9, {360.0, 360.0}}, {1.0, {300.0, 300.0}}, {1.1, {240.0, 270.0}}, {1.2, {210.0, 240.0}},
    {1.3, {180.0, 210.0}}, {1.4, {150.0, 180.0}}, {1.5, {120.0, 180.0}}, {1.6, {45.0, 150.0}},
};
enum { LAST = sizeof rows / sizeof *rows - 1 };

#define LEAST_ATM 0.5 /* nothing accrues at or below it, neither CNS nor OTU */
#define CNS_HALF_TIME_S 5400.0
#define OTU_POWER (5.0 / 6.0)

/* The segment between two rows that a PO2 falls in; the higher one at a row. */
static int segment_of(double po2_atm)
{
    int segment = 0;
    while (segment < LAST - 1 && po2_atm >= rows[segment + 1].po2_atm)
        segment++;
    return segment;
}

static double slope_of(ll_oxygen_table table, int segment)
{
    return (rows[segment + 1].minutes[table] - rows[segment].minutes[table])
           / (rows[segment + 1].po2_atm - rows[segment].po2_atm);
}

static double limit_in(ll_oxygen_table table, int segment, double po2_atm)
{
    return rows[segment].minutes[table] + (po2_atm - rows[segment].po2_atm) * slope_of(table, segment);
}

double ll_cns_limit_min(ll_oxygen_table table, double po2_atm)
{
    if (po2_atm <= LEAST_ATM)
        return INFINITY;
    if (po2_atm >= rows[LAST].po2_atm)
        return rows[LAST].minutes[table];
    return limit_in(table, segment_of(po2_atm), po2_atm);
}

/* Mean of 1/limit over a PO2 range that lies in one segment: ln(limit ratio) / limit difference. */
static double mean_rate(ll_oxygen_table table, int segment, double low_atm, double high_atm)
{
    double limit = limit_in(table, segment, low_atm);
    double change = (high_atm - low_atm) * slope_of(table, segment) / limit;
    return (change == 0.0 ? 1.0 : log1p(change) / change) / limit;
}

/* Integral of 1/limit over PO2 between two different values within the table. */
static double integral_over_po2(ll_oxygen_table table, double low_atm, double high_atm)
{
    double sum = 0.0;
    double from = low_atm;
    for (int segment = segment_of(low_atm); from < high_atm; segment++) {
        double to = segment == LAST - 1 || high_atm < rows[segment + 1].po2_atm ? high_atm : rows[segment + 1].po2_atm;
        sum += (to - from) * mean_rate(table, segment, from, to);
        from = to;
    }
    return sum;
}

double ll_cns_percent(ll_oxygen_table table, double minutes, double po2_from_atm, double po2_to_atm, bool *above_table)
{
    if (isnan(po2_from_atm) || isnan(po2_to_atm))
        return NAN;
    double low = po2_from_atm < po2_to_atm ? po2_from_atm : po2_to_atm;
    double high = po2_from_atm < po2_to_atm ? po2_to_atm : po2_from_atm;
    double top = rows[LAST].po2_atm;
    if (above_table && high > top && minutes > 0.0)
        *above_table = true;
    if (high <= LEAST_ATM)
        return 0.0;
    if (!(high > low) || low >= top)
        return 100.0 * minutes / ll_cns_limit_min(table, low);
    double from = low > LEAST_ATM ? low : LEAST_ATM;
    double to = high < top ? high : top;
    double beyond = (high - to) / rows[LAST].minutes[table];
    return 100.0 * minutes / (high - low) * (integral_over_po2(table, from, to) + beyond);
}

double ll_cns_left_percent(double percent, double seconds)
{
    return percent * exp2(-seconds / CNS_HALF_TIME_S);
}

double ll_otu(double minutes, double po2_from_atm, double po2_to_atm)
{
    if (isnan(po2_from_atm) || isnan(po2_to_atm))
        return NAN;
    double low = po2_from_atm < po2_to_atm ? po2_from_atm : po2_to_atm;
    double high = po2_from_atm < po2_to_atm ? po2_to_atm : po2_from_atm;
    if (high <= LEAST_ATM)
        return 0.0;
    double rate = pow((high - LEAST_ATM) / 0.5, OTU_POWER); /* at the higher end */
    if (!(high > low))
        return minutes * rate;
    /* The part of the ramp above 0.5; powers relative to the higher end, so that close ones don't cancel. */
    double from = low > LEAST_ATM ? low : LEAST_ATM;
    double fall = (high - from) / (high - LEAST_ATM);
    double mean = -expm1((OTU_POWER + 1.0) * log1p(-fall)) / ((OTU_POWER + 1.0) * fall);
    return minutes * (high - from) / (high - low) * rate * mean;
}
