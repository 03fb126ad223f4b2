/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Units of what a log states. Values stand as written until all that decide together are known: a unit is settled once
 * for a tank or, kind by kind, for the file, never for one value. */
#ifndef LL_LOG_UNITS_H
#define LL_LOG_UNITS_H

#include "log/reader.h"

typedef enum ll_measure { LL_TANK_PRESSURE, LL_TANK_VOLUME, LL_PO2_PRESSURE, LL_WARMTH, LL_FRACTION } ll_measure;

/* What a unit makes of a value: value * factor / divisor - offset. */
typedef struct ll_unit ll_unit;

/* The values of `more` too, which come behind those there are. */
void ll_extent_join(ll_extent *into, const ll_extent *more);

/* One more value: least and greatest are those of the values that are not 0. */
static inline void ll_extent_add(ll_extent *extent, double value, long line)
{
    if (value == 0) {
        if (extent->zeros++ == 0)
            extent->zero_line = line;
        return;
    }
    if (extent->count++ == 0) {
        *extent = (ll_extent){value, value, 1, extent->zeros, line, extent->zero_line};
        return;
    }
    if (value < extent->least)
        extent->least = value;
    if (value > extent->greatest)
        extent->greatest = value;
}

/* The unit that values of this extent are in, with a note where it is not the one of the format; NULL, with a note,
 * where it cannot be told: they are not to be used. `what` names the values in the notes, which go to `notes`. */
const ll_unit *ll_unit_of(ll_reader *reader, ll_notes *notes, ll_measure measure, const char *what,
                          const ll_extent *extent);

/* The value in bar, litres, degrees Celsius or as a fraction; NaN where the unit takes a 0 for none. */
double ll_in_unit(const ll_unit *unit, double value);

/* A tank's volume in litres; NaN if it is missing, 0 or of no certain unit, with a note. */
double ll_volume_l(ll_reader *reader, double written);

/* The same for the two pressures stated of a tank, which are decided together, in bar. */
void ll_settle_tank(ll_reader *reader, double *begin, double *end);

/* Notes that a 0 is no value of the element `what`. */
void ll_note_zero(ll_reader *reader, const char *what, long line);

/* At the end of a dive: counts its readings of a kind among those of the file. */
void ll_see_readings(ll_reader *reader, ll_readings kind, ll_written written);

/* At the end of the log: decides temperatures and PO2, kind by kind, and brings those of all dives to their units. What
 * cannot be used goes. */
void ll_settle_units(ll_reader *reader);

#endif
