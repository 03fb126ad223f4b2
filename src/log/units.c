/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The table of units. UDDF asks for SI units; a value in another one is told by its size, where the sizes that occur in
 * the two units lie far apart. Where they do not, nothing is guessed. */
#include "log/units.h"

#include <float.h>
#include <math.h>
#include <stdio.h>

#include "base/number.h"
#include "base/units.h"
#include "log/values.h"

typedef enum standing {
    OF_FORMAT, /* the unit that the format asks for */
    ASSUMED,   /* another one, beyond doubt */
    GUESS      /* one that fits, as others might: not used */
} standing;

/* Fits values of which the greatest lies in [from, to] and none is below `least`. The first that fits counts. */
struct ll_unit {
    const char *name; /* as it ends a sentence */
    standing standing;
    double least, from, to;
    double factor, divisor, offset;
    bool zero_is_none;
};

#define NOTHING_FITS {"", GUESS, 0, 0, 0, 0, 0, 0, false}

/* Gauge; 450 bar is the most that is plausible, and a tank that was emptied shows far less than it was filled to. */
static const ll_unit tank_pressures[] = {{"pascal", OF_FORMAT, 450, 1e5, 4.5e7, 1, 1e5, 0, false},
                                         {"bar", ASSUMED, 0, 1, 450, 1, 1, 0, false},
                                         {", perhaps psi", GUESS, 0, 1000, 6000, 1, 1, 0, false},
                                         {", perhaps kilopascal", GUESS, 0, 1e4, 9e4, 1, 1, 0, false},
                                         NOTHING_FITS};

/* From 30 on it may be the cubic feet of gas that the tank holds. */
static const ll_unit tank_volumes[] = {{", perhaps cubic feet of gas", GUESS, 0, 30, DBL_MAX, 1, 1, 0, false},
                                       {"litres", ASSUMED, 0, 1, 30, 1, 1, 0, false},
                                       {"cubic metres", OF_FORMAT, 0, 0, 1, 1000, 1, 0, false},
                                       NOTHING_FITS};

/* A value under 10 is none in pascal: the two would be mixed. */
static const ll_unit po2_pressures[] = {{"pascal", OF_FORMAT, 10, 1000, 1e7, 1, 1e5, 0, false},
                                        {", perhaps kilopascal", GUESS, 0, 10, 1000, 1, 1, 0, false},
                                        {"bar", ASSUMED, 0, 0, 10, 1, 1, 0, false},
                                        NOTHING_FITS};

/* 0 K is what some writers put where nothing was measured; 0 degrees Celsius is a temperature. */
static const ll_unit warmths[] = {{"kelvin", OF_FORMAT, 200, 200, DBL_MAX, 1, 1, LL_KELVIN_AT_0_C, true},
                                  {"degrees Celsius", ASSUMED, -5, -5, 45, 1, 1, 0, false},
                                  {", perhaps degrees Fahrenheit", GUESS, 23, 45, 113, 1, 1, 0, false},
                                  NOTHING_FITS};

static const ll_unit fractions[] = {{"fraction", OF_FORMAT, 0, 0, 1.5, 1, 1, 0, false},
                                    {"percent", ASSUMED, 0, 1.5, DBL_MAX, 1, 100, 0, false},
                                    NOTHING_FITS};

static const struct {
    const ll_unit *units;
    ll_note_code assumed, unused;
} measures[] = {[LL_TANK_PRESSURE] = {tank_pressures, LL_NOTE_PRESSURE_UNIT, LL_NOTE_PRESSURE_UNUSED},
                [LL_TANK_VOLUME] = {tank_volumes, LL_NOTE_VOLUME_UNIT, LL_NOTE_VOLUME_UNUSED},
                [LL_PO2_PRESSURE] = {po2_pressures, LL_NOTE_PO2_UNIT, LL_NOTE_PO2_UNUSED},
                [LL_WARMTH] = {warmths, LL_NOTE_TEMPERATURE_UNIT, LL_NOTE_TEMPERATURE_UNUSED},
                [LL_FRACTION] = {fractions, LL_NOTE_FRACTION_UNIT, LL_NOTE_FRACTION_UNIT}};

static const ll_unit *of_format(const ll_unit *unit)
{
    while (unit->standing != OF_FORMAT)
        unit++;
    return unit;
}

static const ll_unit *fitting(const ll_unit *unit, const ll_extent *extent)
{
    while (unit->to != 0 && !(extent->greatest >= unit->from && extent->greatest <= unit->to &&
                           extent->least >= unit->least))
        unit++;
    return unit;
}

/* Notes what was made of the values: the unit, or that none was. */
static void note_unit(ll_reader *reader, ll_notes *notes, ll_note_code code, const char *what, const ll_extent *extent,
                      const char *unit)
{
    char least[LL_PRINTED], greatest[LL_PRINTED], range[2 * LL_PRINTED + 4];
    bool one = extent->least == extent->greatest;
    snprintf(range, sizeof range, "%s%s%s", one ? "" : ll_number_print(least, extent->least), one ? "" : " to ",
             ll_number_print(greatest, extent->greatest));
    ll_noted(reader, ll_note_add(notes, &reader->arena, code, extent->line, what, range, unit));
}

const ll_unit *ll_unit_of(ll_reader *reader, ll_notes *notes, ll_measure measure, const char *what,
                          const ll_extent *extent)
{
    if (extent->count == 0)
        return of_format(measures[measure].units);
    const ll_unit *unit = fitting(measures[measure].units, extent);
    if (unit->standing != OF_FORMAT)
        note_unit(reader, notes, unit->standing == ASSUMED ? measures[measure].assumed : measures[measure].unused, what,
                  extent, unit->name);
    return unit->standing == GUESS ? NULL : unit;
}

double ll_in_unit(const ll_unit *unit, double value)
{
    return value == 0 && unit->zero_is_none ? NAN : value * unit->factor / unit->divisor - unit->offset;
}

/* --- tanks --------------------------------------------------------------------------------------------------- */

void ll_note_zero(ll_reader *reader, const char *what, long line)
{
    LL_NOTE_HERE(reader, LL_NOTE_ZERO_ABSENT, line, what);
}

/* Adds a value that was written of a tank; a 0 is none. */
static void see(ll_reader *reader, ll_extent *extent, const char *what, double *value)
{
    if (*value == 0) {
        ll_note_zero(reader, what, ll_line(reader));
        *value = NAN;
    }
    if (!isnan(*value))
        ll_extent_add(extent, *value, ll_line(reader));
}

double ll_volume_l(ll_reader *reader, double written)
{
    ll_extent extent = {.count = 0};
    see(reader, &extent, "tankvolume", &written);
    const ll_unit *unit = ll_unit_of(reader, ll_notes_here(reader), LL_TANK_VOLUME, "tankvolume", &extent);
    return unit ? ll_in_unit(unit, written) : NAN;
}

void ll_settle_tank(ll_reader *reader, double *begin, double *end)
{
    ll_extent extent = {.count = 0};
    see(reader, &extent, "tankpressurebegin", begin);
    see(reader, &extent, "tankpressureend", end);
    const ll_unit *unit = ll_unit_of(reader, ll_notes_here(reader), LL_TANK_PRESSURE,
                                     "tankpressurebegin and tankpressureend", &extent);
    *begin = unit ? ll_in_unit(unit, *begin) : NAN;
    *end = unit ? ll_in_unit(unit, *end) : NAN;
}

/* --- the file ------------------------------------------------------------------------------------------------ */

static const struct {
    ll_measure measure;
    const char *what;
} kinds[LL_WRITTENS] = {[LL_WRITTEN_TEMPERATURE] = {LL_WARMTH, "temperature"},
                        [LL_WRITTEN_LOWEST] = {LL_WARMTH, "lowesttemperature"},
                        [LL_WRITTEN_MEASURED] = {LL_PO2_PRESSURE, "measuredpo2"},
                        [LL_WRITTEN_CALCULATED] = {LL_PO2_PRESSURE, "calculatedpo2"},
                        [LL_WRITTEN_SET_POINT] = {LL_PO2_PRESSURE, "setpo2"},
                        [LL_WRITTEN_GRADIENT] = {LL_FRACTION, "gradientfactor"}};

void ll_extent_join(ll_extent *into, const ll_extent *more)
{
    if (into->zeros == 0)
        into->zero_line = more->zero_line;
    into->zeros += more->zeros;
    if (more->count == 0)
        return;
    bool first = into->count == 0;
    if (first)
        into->line = more->line;
    if (first || more->least < into->least)
        into->least = more->least;
    if (first || more->greatest > into->greatest)
        into->greatest = more->greatest;
    into->count += more->count;
}

void ll_see_readings(ll_reader *reader, ll_readings kind, ll_written written)
{
    const ll_raw_series *series = reader->readings[kind].series.items;
    for (size_t i = 0; i < reader->readings[kind].series.count; i++)
        ll_extent_join(&reader->extent[written], &series[i].extent);
}

static void decide(ll_reader *reader, const ll_unit *unit[LL_WRITTENS])
{
    for (int kind = 0; kind < LL_WRITTENS; kind++) {
        const ll_extent *extent = &reader->extent[kind];
        unit[kind] = ll_unit_of(reader, &reader->notes, kinds[kind].measure, kinds[kind].what, extent);
        for (size_t zero = 0; unit[kind] && unit[kind]->zero_is_none && zero < extent->zeros; zero++)
            ll_note_zero(reader, kinds[kind].what, extent->zero_line);
    }
}

/* True if there is a value left. */
static bool convert(const ll_unit *unit, ll_column column)
{
    bool any = false;
    for (size_t i = 0; unit && i < column.count; i++) {
        column.value[i] = ll_in_unit(unit, column.value[i]);
        any = any || !isnan(column.value[i]);
    }
    return any;
}

static void settle_dive(const ll_unit *const unit[LL_WRITTENS], ll_raw_dive *raw)
{
    ll_dive *dive = &raw->dive;
    convert(unit[LL_WRITTEN_LOWEST], (ll_column){&dive->stated_lowest_c, 1});
    if (!unit[LL_WRITTEN_LOWEST])
        dive->stated_lowest_c = NAN;
    if (!convert(unit[LL_WRITTEN_TEMPERATURE], raw->temperature))
        dive->temperature_c = NULL;
    if (!convert(unit[LL_WRITTEN_MEASURED], raw->measured))
        dive->measured_po2s = 0;
    if (!convert(unit[LL_WRITTEN_CALCULATED], raw->calculated))
        dive->calculated_po2.count = 0;
    if (!convert(unit[LL_WRITTEN_GRADIENT], raw->gradient))
        dive->own_gradient.count = 0;
    if (!unit[LL_WRITTEN_SET_POINT])
        raw->set_points = 0;
    for (size_t i = 0; i < raw->set_points; i++)
        convert(unit[LL_WRITTEN_SET_POINT], (ll_column){&raw->set_point[i].bar, 1});
}

void ll_settle_units(ll_reader *reader)
{
    const ll_unit *unit[LL_WRITTENS];
    ll_raw_dive *raw = reader->dives.items;
    decide(reader, unit);
    for (size_t i = 0; i < reader->dives.count; i++)
        settle_dive(unit, &raw[i]);
}
