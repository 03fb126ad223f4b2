#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""A second, independent replay of recorded dives, written from the definitions alone, to check the program against.

Straightforward, slow and clear: ceilings by bisection on depth, no-stop time and waits by marching and bisection,
CNS by closed form on every piece of the table, OTU by Gauss-Legendre quadrature or closed form, loop legs cut at every
break point. It shares no code with the program.

    second_replay.py [--gf LOW/HIGH] [--model M] [--water W] [--surface BAR] [--last-stop M] [--assume-air]
                     [--every N] [--json] LOG...
    second_replay.py --selftest

writes the rows (CSV, with the tissue columns) of all dives, or with --json the figures of the debriefs. The logs are
one diver's history. With --every N no-stop time and time to surface are computed on each Nth row only (it leaves the
other cells empty).

READINGS. Where the definitions leave a choice open, this is what was taken.

Record
 R1  The start of a record is its first sample (date and time plus the first divetime); intervals between dives run from
     last sample to first sample, also where a descent is put before the record (that descent is extra time).
 R2  The descent before a record that begins deeper than 0.5 m is put whatever comes after (also where its first sample,
     or all of it, turns out to be surface time); it is breathed on what the first sample names; on a loop no reading
     reaches back into it, so it is taken at the set point, else at the diluent's own PO2.
 R3  Spikes: scanned from the front, the shortest run first, both neighbours needed; the sample after a bridged run is
     trusted and begins no run itself. Samples inside the run may move at any rate.
 R4  Dive numbers: dated dives by date and time; a date without a time stands at the start of its day; undated dives
     come last; ties and undated ones in the order of the logs and in file order.
 R5  A record that is all surface time has run time 0, its own greatest depth, no mean depth, no surfacing, and nothing
     in `decompression`.
 R6  Surface time: ambient_bar stays the pressure at the recorded depth; the no-stop time is that on air at the surface
     pressure; the anchor goes on running; the ascent rate is that of the recorded depths.
 R7  Depths above the surface count as 0, also beyond -1 m.
Gas
 R8  "The only mix that is linked or defined": the only one that the dive links, else the only one the log defines.
 R9  Row values at a switch are those of the new mix. Legs end with the old one.
 R10 Median: of the sensors that gave a reading at that sample (even count: mean of the middle two); these medians are
     joined linearly. Nothing is extrapolated: before the first and after the last reading of a loop stretch the next
     source in order counts, so PO2 may jump there; the row at a reading shows the reading.
 R11 A loop stretch is a run of samples in a loop mode, whatever diluent or set point; the sample that goes to open
     circuit does not belong to it (a reading there is not used, the leg before it falls to the next source).
 R12 "At most ambient" holds for measured and calculated PO2 alike, at every instant, not only at the readings.
 R13 A set point of 0 is none. Set points outlast a stretch of open circuit.
 R14 On a loop with an unknown diluent everything is missing, the measured PO2 too.
 R15 Unknown gas: at the switch itself the tissues, the ceiling, the gradient, CNS and OTU are still known (they do not
     depend on what comes); PO2, ENDs, density, no-stop time and time to surface are missing from that row on. In
     surface time an unknown mix costs nothing. With --assume-air the mix columns say 0.21 and 0.
 R16 "Starts at rest" means CNS 0 too. The lower bound stays with the history as long as CNS carries over.
 R17 A dive with unknown gas adds nothing to the 24-hour sum of later dives (a lower bound then); the OTU of that day
     are missing for every later dive of the day. Its own lower_bound is true, its CNS and OTU missing.
Tissues
 R18 The running maximum of the anchor takes every sample of the record, surface time too, the first one included.
 R19 "Depths 3n m deeper than the last stop": the multiples of 3 m that are deeper than the last stop.
 R20 Mixes "breathed within the run time": over a time, not only named at the surfacing; the future counts.
 R21 On a loop the ascent holds the PO2 of that row constant (at most ambient), even where it is the diluent's own.
 R22 Start of the ascent: stretches begin and end at samples of the run time; the last one is that which ends last,
     taken as far back as it holds. Comparisons of depths allow 1e-9 m (in steps of 0.1 m 3.0 is not always 3).
 R23 Richer after the greatest depth: later than the first sample at the greatest depth, richer than the mix before.
 R24 No-stop time on a loop: at the PO2 of that row.
 R25 Where the time to surface is beyond 24 h, the dive is a decompression dive all the same (the time and what is owed
     are missing).
Oxygen
 R26 `cns start` is at the first sample, before the descent. OTU and CNS of the debrief are at the surfacing.
 R27 An overlapping dive's own day is the day's dives before both, plus itself. It counts in no other sum. Overlap is
     tested against every earlier dated profile (carried on or not), by first and last sample; touching is none.
 R28 A dive without date and time has only itself in `day` and `last_24_h`. Day means the date as written.
Findings
 R29 Crossings are interpolated where the quantity passes limit plus tolerance. Between samples the quantity is the
     straight line from the value after the one sample to the value before the next (also on a loop, where it may kink);
     the two differ where mix, mode or set point change. Where only a first or last reading makes PO2 jump it goes to or
     from the row's value, though tissues and doses are counted with the jump.
 R30 oxygen-high is one quantity with two limits: over 1.4 up to the end of the bottom phase or over 1.6 anywhere; the
     limit told is 1.4 if the stretch touches the former.
 R31 oxygen-low ends where the depth passes 1.5 m, interpolated; both its limits are capped at air's.
 R32 ascent: stretches over 12 that last 10 s; then joined; serious where over 18 lasts 10 s; beyond_s counts all time
     over 12 within.
 R33 own-stop: only between samples that both carry a mandatory stop; the deepest of the ladder; depth 0 is none.
 R34 surfaced: from, to and peak at the surfacing; beyond_s 0; the peak is the ceiling.
 R35 ceiling: the gradient at samples within counts for "serious" whatever the peak; gaps that were joined are within.
 R36 counterdiffusion: at a sample within the run time and later than the first one at the greatest depth from which on
     another mix, or the same one on a loop instead of open circuit (or the other way round), is breathed; fractions are
     those really breathed on either side; a rise of helium takes nothing off; with an unknown mix on either side: none.
 R37 otu: the row of days ends with the day of this dive; it counts the days on which carried dives begin (and this one);
     the sum is the whole of those before and this dive up to the sample; unknown gas in the row: no sum, no finding.
"""

import argparse
import csv
import datetime
import json
import math
import re
import sys
import xml.etree.ElementTree as ElementTree

import second_models

# Readings that change figures and can be turned over here, once decided otherwise.
JUMPS_AT_READINGS = False  # R29: findings and peaks see both values where a loop's first or last reading makes PO2 jump
OVERLAP_WITH_ANY = True    # R27: an overlap with a dive that is itself not carried on counts
CARRY_KNOWN_CNS = False    # R16: what is known of the CNS of a dive with unknown gas is carried on (else nothing)
CARRY_KNOWN_OTU = False    # R17: what is known of its OTU counts in the day (else the day's sum is missing)

ATM = 1.01325
VAPOUR = 0.0627
AIR_O2, AIR_N2 = 0.21, 0.79
GRAVITY = 9.80665
DAY_S = 86400.0

# Half-times (min), a (bar), b. Buehlmann, Tauchmedizin (1995/2002); Baker, "Understanding M-values" (1998), Tables 2-4.
N2_HALF = [5.0, 8.0, 12.5, 18.5, 27.0, 38.3, 54.3, 77.0, 109.0, 146.0, 187.0, 239.0, 305.0, 390.0, 498.0, 635.0]
N2_A = {
    "zh-l16a": [1.1696, 1.0000, 0.8618, 0.7562, 0.6667, 0.5933, 0.5282, 0.4701,
                0.4187, 0.3798, 0.3497, 0.3223, 0.2971, 0.2737, 0.2523, 0.2327],
    "zh-l16b": [1.1696, 1.0000, 0.8618, 0.7562, 0.6667, 0.5600, 0.4947, 0.4500,
                0.4187, 0.3798, 0.3497, 0.3223, 0.2850, 0.2737, 0.2523, 0.2327],
    "zh-l16c": [1.1696, 1.0000, 0.8618, 0.7562, 0.6200, 0.5043, 0.4410, 0.4000,
                0.3750, 0.3500, 0.3295, 0.3065, 0.2835, 0.2610, 0.2480, 0.2327],
}
N2_B = [0.5578, 0.6514, 0.7222, 0.7825, 0.8126, 0.8434, 0.8693, 0.8910,
        0.9092, 0.9222, 0.9319, 0.9403, 0.9477, 0.9544, 0.9602, 0.9653]
HE_HALF = [1.88, 3.02, 4.72, 6.99, 10.21, 14.48, 20.53, 29.11,
           41.20, 55.19, 70.69, 90.34, 115.29, 147.42, 188.24, 240.03]
HE_A = [1.6189, 1.3830, 1.1919, 1.0458, 0.9220, 0.8205, 0.7305, 0.6502,
        0.5950, 0.5545, 0.5333, 0.5189, 0.5181, 0.5176, 0.5172, 0.5119]
HE_B = [0.4770, 0.5747, 0.6527, 0.7223, 0.7582, 0.7957, 0.8279, 0.8553,
        0.8757, 0.8903, 0.8997, 0.9073, 0.9122, 0.9171, 0.9217, 0.9267]
CELLS = range(16)

# NOAA Diving Manual, 4th ed. (2001): minutes; 900 at 0.5 falling to 720 at 0.6.
CNS_PO2 = [0.5, 0.6, 0.7, 0.8, 0.9, 1.0, 1.1, 1.2, 1.3, 1.4, 1.5, 1.6]
CNS_SINGLE = [900, 720, 570, 450, 360, 300, 240, 210, 180, 150, 120, 45]
CNS_DAY = [900, 720, 570, 450, 360, 300, 270, 240, 210, 180, 180, 150]

COLUMNS = ("dive,time_s,depth_m,ambient_bar,mix_o2,mix_he,po2_atm,end_n2_m,end_n2o2_m,density_g_l,ascent_rate_m_min,"
           "ceiling_m,stop_m,gradient_percent,leading_compartment,no_stop_s,time_to_surface_s,cns_percent,otu,"
           "temperature_c").split(",")
# REPEX, Hamilton, Kenyon and Peterson, NOAA NURP TR 88-1B, 1988 (days 2 to 10 from memory): OTU a day on average when
# diving for so many days in a row, from one day on; 300 beyond.
REPEX_A_DAY = [850, 700, 620, 525, 460, 420, 380, 350, 330, 310]

TISSUE_COLUMNS = ["n2_%d_bar" % (c + 1) for c in CELLS] + ["he_%d_bar" % (c + 1) for c in CELLS]
PEAKS = ["po2_atm", "end_n2_m", "end_n2o2_m", "density_g_l", "ascent_rate_m_min", "ceiling_m", "gradient_percent"]


class Settings:
    def __init__(self, gf=(50.0, 80.0), model="zh-l16c", water=None, surface=None, last_stop=3.0, assume_air=False,
                 every=1):
        self.further = second_models.MODELS.get(model)  # None: ZH-L16
        self.low, self.high = (1.0, 1.0) if self.further else (gf[0] / 100.0, gf[1] / 100.0)
        self.model = model
        self.water = water            # None: built-in; "log"; or kg/m3
        self.surface = surface        # None or bar
        self.last_stop = last_stop
        self.assume_air = assume_air
        self.every = every


# --- laws ----------------------------------------------------------------------------------------------------------

def schreiner(p0, i0, i1, minutes, half_time):
    """Pressure after `minutes` while the inspired pressure goes linearly from i0 to i1."""
    if minutes <= 0.0:
        return p0
    k = math.log(2.0) / half_time
    kt = k * minutes
    gone = -math.expm1(-kt)
    if kt > 1e-3:
        lag = 1.0 - gone / kt
    else:  # 1 - (1 - e^-x)/x = x/2 - x^2/6 + x^3/24 - x^4/120 ...
        lag = kt / 2 - kt ** 2 / 6 + kt ** 3 / 24 - kt ** 4 / 120 + kt ** 5 / 720
    return p0 + (i0 - p0) * gone + (i1 - i0) * lag


class Tissues:
    def __init__(self, n2, he):
        self.n2, self.he = list(n2), list(he)

    @staticmethod
    def rest(surface_bar, air_n2=AIR_N2, vapour=VAPOUR):
        return Tissues([air_n2 * (surface_bar - vapour)] * 16, [0.0] * 16)

    def copy(self):
        return Tissues(self.n2, self.he)

    def breathe(self, minutes, n2_0, n2_1, he_0, he_1):
        for c in CELLS:
            self.n2[c] = schreiner(self.n2[c], n2_0, n2_1, minutes, N2_HALF[c])
            self.he[c] = schreiner(self.he[c], he_0, he_1, minutes, HE_HALF[c])

    def follow(self, pieces):
        for piece in pieces:
            self.breathe(piece.minutes, piece.n2[0], piece.n2[1], piece.he[0], piece.he[1])


def coefficients(model, c, n2, he):
    """a and b of a mixed load: averages weighted by the two pressures."""
    total = n2 + he
    if total <= 0.0:
        return N2_A[model][c], N2_B[c]
    return (N2_A[model][c] * n2 + HE_A[c] * he) / total, (N2_B[c] * n2 + HE_B[c] * he) / total


def loads(model, tissues):
    """(total, a, b) of every compartment."""
    result = []
    for c in CELLS:
        a, b = coefficients(model, c, tissues.n2[c], tissues.he[c])
        result.append((tissues.n2[c] + tissues.he[c], a, b))
    return result


def gradients(settings, tissues, ambient):
    if settings.further:
        return tissues.gradients(ambient)
    return [100.0 * (total - ambient) / (a + ambient / b - ambient)
            for total, a, b in loads(settings.model, tissues)]


def gradient(settings, tissues, ambient):
    values = gradients(settings, tissues, ambient)
    best = max(values)
    return best, values.index(best) + 1


def tolerated(load, g):
    return max((total - a * g) / (g / b - g + 1.0) for total, a, b in load)


def cell_within(total, a, b, ambient, g):
    return total - ambient <= g * (a + ambient / b - ambient)


def within(load, ambient, g):
    return all(cell_within(total, a, b, ambient, g) for total, a, b in load)


def limit_minutes(table, po2):
    if po2 >= 1.6:
        return float(table[-1])
    for j in range(len(CNS_PO2) - 1):
        if po2 <= CNS_PO2[j + 1]:
            share = (po2 - CNS_PO2[j]) / (CNS_PO2[j + 1] - CNS_PO2[j])
            return table[j] + share * (table[j + 1] - table[j])
    raise AssertionError


def cns_ramp(table, minutes, p0, p1):
    """Percent over a linear ramp of PO2 (atm), cut at every row of the table; and whether it went above 1.6."""
    if minutes <= 0.0:
        return 0.0, False
    cuts = [0.0, 1.0]
    if p1 != p0:
        cuts += [(row - p0) / (p1 - p0) for row in CNS_PO2 if 0.0 < (row - p0) / (p1 - p0) < 1.0]
    cuts.sort()
    parts = []
    for s, e in zip(cuts, cuts[1:]):
        low, high = p0 + (p1 - p0) * s, p0 + (p1 - p0) * e
        middle = 0.5 * (low + high)
        if middle <= 0.5:
            continue
        if middle >= 1.6:
            parts.append(minutes * (e - s) / table[-1])
            continue
        clamp = lambda p: min(max(p, 0.5), 1.6)
        l0, l1 = limit_minutes(table, clamp(low)), limit_minutes(table, clamp(high))
        x = (l1 - l0) / l0
        mean = math.log1p(x) / x if abs(x) > 1e-5 else 1.0 - x / 2 + x * x / 3
        parts.append(minutes * (e - s) / l0 * mean)
    return 100.0 * math.fsum(parts), max(p0, p1) > 1.6 * (1.0 + 1e-12)


GAUSS = [(0.1834346424956498, 0.3626837833783620), (0.5255324099163290, 0.3137066458778873),
         (0.7966664774136267, 0.2223810344533745), (0.9602898564975363, 0.1012285362903763)]


def otu_ramp(minutes, p0, p1):
    if minutes <= 0.0:
        return 0.0
    x0, x1 = (p0 - 0.5) / 0.5, (p1 - 0.5) / 0.5
    if max(x0, x1) <= 0.0:
        return 0.0
    if min(x0, x1) < 0.0:
        share = max(x0, x1) / abs(x1 - x0)
        minutes, x0, x1 = minutes * share, 0.0, max(x0, x1)
    if abs(x1 - x0) > 0.05 * max(x0, x1):
        return 6.0 / 11.0 * minutes * (x1 ** (11.0 / 6.0) - x0 ** (11.0 / 6.0)) / (x1 - x0)
    middle, half = 0.5 * (x0 + x1), 0.5 * (x1 - x0)
    parts = [w * ((middle + half * z) ** (5.0 / 6.0) + (middle - half * z) ** (5.0 / 6.0)) for z, w in GAUSS]
    return minutes * 0.5 * math.fsum(parts)


def density(o2_bar, n2_bar, he_bar):
    return 100.0 * (o2_bar * 31.998 + n2_bar * 28.0134 + he_bar * 4.002602) / (8.314462618 * 273.15)


def standard_atmosphere(altitude_m):
    return ATM * (1.0 - 0.0065 * altitude_m / 288.15) ** 5.2558798


# --- what is breathed over a leg ------------------------------------------------------------------------------------

class Piece:
    """A part of a leg over which everything is linear: pressures at both ends, bar; inspired inert pressures."""

    def __init__(self, minutes, ambient, po2, n2, he):
        self.minutes, self.ambient, self.po2, self.n2, self.he = minutes, ambient, po2, n2, he


class Gas:
    """Open circuit: fractions. On a loop also a source of PO2: ('line', p0, p1), ('point', p) or ('own',), bar."""

    def __init__(self, o2, he, source=None):
        self.o2, self.he, self.n2, self.source = o2, he, 1.0 - o2 - he, source

    def po2_at(self, ambient, share):
        if self.source is None or self.source[0] == "own":
            return self.o2 * ambient
        if self.source[0] == "line":
            return min(ambient, self.source[1] + (self.source[2] - self.source[1]) * share)
        return min(ambient, max(self.source[1], self.o2 * ambient))

    def partial(self, ambient, share):
        """O2, N2, He pressures as breathed (dry)."""
        if self.source is None:
            return self.o2 * ambient, self.n2 * ambient, self.he * ambient
        po2 = self.po2_at(ambient, share)
        inert, dry = ambient - po2, self.n2 + self.he
        if dry <= 0.0:
            return po2, 0.0, 0.0
        return po2, inert * self.n2 / dry, inert * self.he / dry

    def inspired(self, ambient, share):
        if self.source is None:
            above = ambient - VAPOUR
            return self.n2 * above, self.he * above
        inert, dry = max(0.0, ambient - VAPOUR - self.po2_at(ambient, share)), self.n2 + self.he
        if dry <= 0.0:
            return 0.0, 0.0
        return inert * self.n2 / dry, inert * self.he / dry

    def cuts(self, p0, p1):
        """Shares of the leg at which the PO2 or the inspired inert pressure may kink."""
        if self.source is None:
            return []
        found = []

        def root(v0, v1):  # of a straight line from v0 to v1
            if v0 != v1 and 0.0 < v0 / (v0 - v1) < 1.0:
                found.append(v0 / (v0 - v1))

        lines = [(self.o2 * p0, self.o2 * p1), (p0, p1)]
        if self.source[0] == "line":
            lines.append((self.source[1], self.source[2]))
        elif self.source[0] == "point":
            lines.append((self.source[1], self.source[1]))
        lines += [(p0 - VAPOUR, p1 - VAPOUR)]
        for j, one in enumerate(lines):
            for other in lines[j + 1:]:
                root(one[0] - other[0], one[1] - other[1])
        return found

    def pieces(self, p0, p1, minutes):
        cuts = [0.0] + sorted(self.cuts(p0, p1)) + [1.0]
        result = []
        for s, e in zip(cuts, cuts[1:]):
            pa, pb = p0 + (p1 - p0) * s, p0 + (p1 - p0) * e
            na, ha = self.inspired(pa, s)
            nb, hb = self.inspired(pb, e)
            po2 = self.po2_at(pa, s), self.po2_at(pb, e)
            result.append(Piece(minutes * (e - s), (pa, pb), po2, (na, nb), (ha, hb)))
        return result


AIR = Gas(AIR_O2, 0.0)


# --- the log --------------------------------------------------------------------------------------------------------

def local(element):
    return element.tag.rsplit("}", 1)[-1] if isinstance(element.tag, str) else ""


def children(element, name):
    return [] if element is None else [c for c in element if local(c) == name]


def child(element, name):
    found = children(element, name)
    return found[0] if found else None


def text(element, name=None):
    if name is not None:
        element = child(element, name)
    if element is None:
        return None
    value = "".join(element.itertext()).strip()
    return value or None


def number(element, name=None):
    value = text(element, name)
    if value is None:
        return None
    try:
        result = float(value)
    except ValueError:
        return None
    return result if math.isfinite(result) else None


class Mix:
    def __init__(self, element):
        self.id = (element.get("id") or "").strip()
        parts = {name: number(element, name) for name in ("o2", "n2", "he", "ar", "h2")}
        scale = 0.01 if any(v is not None and v > 1.005 for v in parts.values()) else 1.0
        self.o2 = (parts["o2"] or 0.0) * scale
        self.he = (parts["he"] or 0.0) * scale
        self.usable = 0.0 < self.o2 <= 1.0 and self.o2 + self.he <= 1.0 + 1e-9


class Sample:
    def __init__(self, time, depth):
        self.time, self.depth = time, depth
        self.temperature = None
        self.mix_ref = None       # named at this sample
        self.mode = None          # named at this sample
        self.set_user = self.set_computer = None  # named at this sample, bar
        self.measured = []        # bar
        self.calculated = None    # bar
        self.stops = []           # depths of mandatory stops


class Dive:
    pass


def parse_datetime(dive, info):
    """Naive seconds since 1970, zone offset in s or None, and the date; or (None, None, date or None)."""
    for place in info:
        value = text(place, "datetime")
        if value:
            match = re.fullmatch(r"(\d{4})-?(\d{2})-?(\d{2})(?:[Tt ](\d{2})(?::?(\d{2}))?(?::?(\d{2}(?:\.\d+)?))?"
                                 r"\s*([Zz]|[+-]\d{2}(?::?\d{2})?)?)?", value)
            if not match:
                return None, None, None
            day = datetime.date(int(match[1]), int(match[2]), int(match[3]))
            if match[4] is None:
                return None, None, day
            seconds = int(match[4]) * 3600 + int(match[5] or 0) * 60 + float(match[6] or 0)
            zone = None
            if match[7]:
                zone = 0
                if match[7] not in "Zz":
                    digits = match[7][1:].replace(":", "").ljust(4, "0")
                    zone = (int(digits[:2]) * 3600 + int(digits[2:]) * 60) * (-1 if match[7][0] == "-" else 1)
            return (day.toordinal() - 719163) * DAY_S + seconds, zone, day
    for place in info:
        date, time = child(place, "date"), child(place, "time")
        if date is not None:
            parts = [number(date, "year"), number(date, "month"), number(date, "day")]
            if None in parts:
                return None, None, None
            day = datetime.date(*[int(p) for p in parts])
            if time is None or number(time, "hour") is None:
                return None, None, day
            seconds = number(time, "hour") * 3600 + (number(time, "minute") or 0) * 60 + (number(time, "second") or 0)
            return (day.toordinal() - 719163) * DAY_S + seconds, None, day
    return None, None, None


def read_samples(element):
    samples = []
    pending = []
    for point in children(element, "waypoint"):
        time, depth = number(point, "divetime"), number(point, "depth")
        pending.append(point)
        if time is None or time < 0.0:
            continue
        if depth is None:
            continue
        sample = Sample(time, max(depth, 0.0))
        for source in pending:
            read_waypoint(source, sample)
        pending = []
        samples.append(sample)
    samples.sort(key=lambda s: s.time)
    kept = []
    for sample in samples:
        if kept and kept[-1].time == sample.time:
            merge_repeated(kept.pop(), sample)
        kept.append(sample)
    return kept


def merge_repeated(old, new):
    for key in ("temperature", "mix_ref", "mode", "set_user", "set_computer", "calculated"):
        if getattr(new, key) is None:
            setattr(new, key, getattr(old, key))
    new.measured = new.measured or old.measured
    new.stops = new.stops or old.stops


def read_waypoint(point, sample):
    kelvin = number(point, "temperature")
    if kelvin:
        sample.temperature = kelvin - 273.15
    for switch in children(point, "switchmix"):
        if (switch.get("ref") or "").strip():
            sample.mix_ref = switch.get("ref").strip()
    mode = child(point, "divemode")
    if mode is not None:
        sample.mode = (mode.get("type") or "").strip().lower()
    for setting in children(point, "setpo2"):
        value = number(setting)
        if value is not None:
            if (setting.get("setby") or "user").strip() == "computer":
                sample.set_computer = value
            else:
                sample.set_user = value
    sample.measured += [v for v in (number(m) for m in children(point, "measuredpo2")) if v is not None and v > 0.0]
    calculated = number(point, "calculatedpo2")
    if calculated is not None and calculated > 0.0:
        sample.calculated = calculated
    for stop in children(point, "decostop"):
        if (stop.get("kind") or "").strip().lower() == "mandatory":
            depth = float(stop.get("decodepth") or "nan")
            if depth > 0.0:
                sample.stops.append(depth)


def po2_in_bar(dives):
    """Pascal by rule; bar where no value of the file reaches 10."""
    values = [v for d in dives for s in d.samples for v in s.measured + [s.calculated, s.set_user, s.set_computer] if v]
    scale = 1.0 if values and max(values) < 10.0 else 1e-5
    for dive in dives:
        for s in dive.samples:
            s.measured = [v * scale for v in s.measured]
            for key in ("calculated", "set_user", "set_computer"):
                if getattr(s, key) is not None:
                    setattr(s, key, getattr(s, key) * scale)


def bridge_spikes(samples):
    def rate(i):  # m/min from sample i to the next
        return (samples[i + 1].depth - samples[i].depth) / (samples[i + 1].time - samples[i].time) * 60.0

    i = 1
    while i < len(samples) - 1:
        entry = rate(i - 1)
        if abs(entry) > 120.0:
            for j in range(i, min(i + 5, len(samples) - 1)):
                leave = rate(j)
                if abs(leave) > 120.0 and leave * entry < 0.0:
                    before, after = samples[i - 1], samples[j + 1]
                    for k in range(i, j + 1):
                        share = (samples[k].time - before.time) / (after.time - before.time)
                        samples[k].depth = before.depth + (after.depth - before.depth) * share
                    i = j + 1  # the sample after a bridged run is trusted
                    break
        i += 1


def read_log(path, order):
    root = ElementTree.parse(path).getroot()
    log = Dive()
    log.mixes = {}
    for section in children(root, "gasdefinitions"):
        for element in children(section, "mix"):
            mix = Mix(element)
            log.mixes.setdefault(mix.id, mix)
    sites = {}
    for section in children(root, "divesite"):
        for site in children(section, "site"):
            sites.setdefault((site.get("id") or "").strip(), site)
    shared_tanks = {}
    for section in children(root, "gasdefinitions"):
        for tank in children(section, "tankdata"):
            shared_tanks[(tank.get("id") or "").strip()] = tank
    dives = []
    for section in children(root, "profiledata"):
        for group in children(section, "repetitiongroup"):
            for element in children(group, "dive"):
                dives.append(read_dive(element, log, sites, shared_tanks, (order, len(dives))))
    po2_in_bar(dives)
    return dives


def references(element):
    return [(c.get("ref") or "").strip() for c in element if local(c) == "link" or local(c).endswith("ref")]


def read_dive(element, log, sites, shared_tanks, order):
    dive = Dive()
    before, after = child(element, "informationbeforedive"), child(element, "informationafterdive")
    info = [p for p in (before, after, element) if p is not None]
    dive.id = (element.get("id") or "").strip()
    dive.log, dive.order = log, order
    dive.start, dive.zone, dive.day = parse_datetime(dive, info)

    def first(name):
        return next((v for v in (number(p, name) for p in info) if v is not None), None)

    pressure = first("surfacepressure")
    dive.stated_surface = pressure / 1e5 if pressure is not None else None
    site = next((sites[r] for p in info for r in references(p) if r in sites), None)
    geography, data = child(site, "geography"), child(site, "sitedata")
    altitude = first("altitude")
    if altitude is None and geography is not None:
        altitude = number(geography, "altitude")
    dive.altitude = altitude
    water = first("density")
    if water is None and data is not None:
        water = number(data, "density")
    dive.stated_density = water

    linked = list(children(element, "tankdata"))
    for place in info:
        for used in children(place, "equipmentused"):
            linked += [shared_tanks[r] for r in references(used) if r in shared_tanks]
    names = [r for tank in linked for r in references(tank)]
    names += [(c.get("ref") or "").strip() for c in children(element, "mixref")]
    dive.linked = sorted({r for r in names if r in log.mixes})
    dive.samples = read_samples(child(element, "samples")) if child(element, "samples") is not None else []
    bridge_spikes(dive.samples)
    return dive


# --- one dive, resolved --------------------------------------------------------------------------------------------

class Profile:
    """Water, run time and the gas of every leg of one dive."""

    def __init__(self, dive, settings):
        self.dive, self.settings = dive, settings
        self.samples = dive.samples
        self.count = len(self.samples)
        self.surface = self.surface_pressure()
        self.bar_per_m = self.water_density() * GRAVITY / 1e5
        self.t = [s.time for s in self.samples]
        self.d = [s.depth for s in self.samples]
        if self.samples:
            self.find_run_time()
            self.find_states()
            self.find_po2_lines()
            self.legs = [self.leg_gas(i) for i in range(self.count - 1)]
            self.uncovered = self.settings.further is not None and self.find_uncovered()
            self.find_ascent()

    def surface_pressure(self):
        if self.settings.surface is not None:
            return self.settings.surface
        if self.dive.stated_surface is not None and 0.5 <= self.dive.stated_surface <= 1.1:
            return self.dive.stated_surface
        if self.dive.altitude is not None:
            return standard_atmosphere(self.dive.altitude)
        return ATM

    def water_density(self):
        water = self.settings.water
        if water == "log":
            stated = self.dive.stated_density
            water = stated if stated is not None and 990.0 <= stated <= 1250.0 else None
        return 1e4 / GRAVITY if water is None else water

    def pressure(self, depth):
        return self.surface + self.bar_per_m * depth

    def find_run_time(self):
        deep = [i for i in range(self.count) if self.d[i] > 1.5]
        self.has_run_time = bool(deep)
        self.greatest = max(self.d)
        if not deep:
            self.leaving, self.surfacing, self.end = self.count, -1, self.count - 1
            self.run_time, self.mean = 0.0, None
            return
        shallow_before = [i for i in range(deep[0]) if self.d[i] <= 0.5]
        self.leaving = shallow_before[-1] if shallow_before else 0
        shallow_after = [i for i in range(deep[-1] + 1, self.count) if self.d[i] <= 0.5]
        self.surfacing = None
        if shallow_after:
            self.surfacing = shallow_after[0]
        elif self.d[-1] <= 2.0:
            self.surfacing = self.count - 1
        self.end = self.count - 1 if self.surfacing is None else self.surfacing
        self.run_time = self.t[self.end] - self.t[self.leaving]
        area = [0.5 * (self.d[i] + self.d[i + 1]) * (self.t[i + 1] - self.t[i]) for i in range(self.leaving, self.end)]
        self.mean = math.fsum(area) / self.run_time if self.run_time > 0.0 else self.d[self.leaving]

    def is_surface_row(self, i):
        return not self.has_run_time or i < self.leaving or i > self.end

    def is_surface_leg(self, i):
        return not self.has_run_time or i < self.leaving or i >= self.end and self.surfacing is not None

    def find_states(self):
        """Mix, mode and set point in force from each sample on."""
        log, linked = self.dive.log, self.dive.linked
        if len(linked) == 1:
            mix = log.mixes[linked[0]]
        elif len(log.mixes) == 1:
            mix = next(iter(log.mixes.values()))
        else:
            mix = "air"
        mode, user, computer = "opencircuit", None, None
        self.mix, self.loop, self.set_point = [], [], []
        for s in self.samples:
            if s.mix_ref is not None:
                mix = log.mixes.get(s.mix_ref)
            mode = s.mode if s.mode in ("opencircuit", "closedcircuit", "semiclosedcircuit", "apnoe") else mode
            user = s.set_user if s.set_user is not None else user
            computer = s.set_computer if s.set_computer is not None else computer
            self.mix.append(self.fractions(mix))
            self.loop.append(mode in ("closedcircuit", "semiclosedcircuit"))
            self.set_point.append(user if user else (computer if computer else None))

    def fractions(self, mix):
        """(O2, He) or None where unknown."""
        if mix == "air":
            return AIR_O2, 0.0
        if mix is None or not mix.usable:
            return (AIR_O2, 0.0) if self.settings.assume_air else None
        return mix.o2, mix.he

    def find_po2_lines(self):
        """Readings of each loop stretch, joined linearly: value at samples, None where there is none."""
        def median(values):
            values, n = sorted(values), len(values)
            return values[n // 2] if n % 2 else 0.5 * (values[n // 2 - 1] + values[n // 2])

        measured = [median(s.measured) if s.measured else None for s in self.samples]
        calculated = [s.calculated for s in self.samples]
        self.lines = []
        for series in (measured, calculated):
            line = [None] * self.count
            last = None
            for i in range(self.count):
                if not self.loop[i]:
                    last = None
                elif series[i] is not None:
                    line[i] = series[i]
                    if last is not None:
                        for k in range(last + 1, i):
                            share = (self.t[k] - self.t[last]) / (self.t[i] - self.t[last])
                            line[k] = series[last] + (series[i] - series[last]) * share
                    last = i
            self.lines.append(line)

    def leg_gas(self, i):
        """Gas from sample i to the next; None where unknown."""
        if self.is_surface_leg(i):
            return AIR
        if self.mix[i] is None:
            return None
        if not self.loop[i]:
            return Gas(*self.mix[i])
        for line in self.lines:
            if line[i] is not None and line[i + 1] is not None and self.loop[i + 1]:
                return Gas(*self.mix[i], ("line", line[i], line[i + 1]))
        return self.fallback_gas(i)

    def fallback_gas(self, i):
        if self.set_point[i] is not None:
            return Gas(*self.mix[i], ("point", self.set_point[i]))
        return Gas(*self.mix[i], ("own",))

    def find_uncovered(self):
        """Whether the model does not cover something breathed in the run time or on the descent before the record."""
        breathed = list(range(self.leaving, self.end)) if self.has_run_time else []
        if self.d[0] > 0.5:
            breathed.append(0)
        return any(self.mix[i] is not None and not self.settings.further.covers(self.loop[i], *self.mix[i])
                   for i in breathed)

    def step_m(self):
        """Between two stops."""
        return self.settings.further.step_m(self.bar_per_m) if self.settings.further else 3.0

    def last_stop(self):
        return max(self.settings.last_stop, self.step_m())

    def row_gas(self, i):
        if self.is_surface_row(i):
            return AIR
        if self.mix[i] is None:
            return None
        if not self.loop[i]:
            return Gas(*self.mix[i])
        for line in self.lines:
            if line[i] is not None:
                return Gas(*self.mix[i], ("line", line[i], line[i]))
        return self.fallback_gas(i)

    def row_pressure(self, i):
        return self.surface if self.is_surface_row(i) else self.pressure(self.d[i])

    def leg_pieces(self, i):
        gas = self.legs[i]
        minutes = (self.t[i + 1] - self.t[i]) / 60.0
        if self.is_surface_leg(i):
            return gas.pieces(self.surface, self.surface, minutes)
        return gas.pieces(self.pressure(self.d[i]), self.pressure(self.d[i + 1]), minutes)

    def descent_pieces(self):
        """The descent put before a record that begins below; None if there is none, False if its gas is unknown."""
        if self.d[0] <= 0.5:
            return None
        if self.mix[0] is None:
            return False
        gas = self.fallback_gas(0) if self.loop[0] else Gas(*self.mix[0])
        return gas.pieces(self.surface, self.pressure(self.d[0]), self.d[0] / 18.0)

    def open_mixes(self):
        found = set()
        for i in range(self.leaving, self.end):
            if self.legs[i] is not None and not self.loop[i]:
                found.add(self.mix[i])
        return sorted(found)

    def find_ascent(self):
        if not self.has_run_time:
            return
        lo, hi = self.leaving, self.end
        self.ascent_start = None
        for j in range(hi, lo - 1, -1):
            i, top, bottom = j, self.d[j], self.d[j]
            while i > lo and self.d[i] >= 2.0 / 3.0 * self.greatest - 1e-9:
                new_top, new_bottom = min(top, self.d[i - 1]), max(bottom, self.d[i - 1])
                if self.d[i - 1] < 2.0 / 3.0 * self.greatest - 1e-9 or new_bottom - new_top >= 3.0 - 1e-9:
                    break
                i, top, bottom = i - 1, new_top, new_bottom
            if self.d[j] >= 2.0 / 3.0 * self.greatest - 1e-9 and self.t[j] - self.t[i] >= 60.0 - 1e-9:
                self.ascent_start = max(k for k in range(i, j + 1) if bottom - self.d[k] <= 1.0 + 1e-9)
                break
        if self.ascent_start is None:
            self.ascent_start = max(k for k in range(lo, hi + 1) if self.d[k] >= 0.9 * self.greatest - 1e-9)
        self.bottom_end = self.ascent_start
        greatest_at = self.d.index(self.greatest)
        for i in range(greatest_at + 1, self.ascent_start):
            if self.mix[i] is not None and self.mix[i - 1] is not None and self.mix[i][0] > self.mix[i - 1][0]:
                self.bottom_end = i
                break

    def ascent_rate(self, i):
        if i == 0:
            return 0.0
        gap = self.t[i] - self.t[i - 1]
        if gap > 15.0:
            return (self.d[i - 1] - self.d[i]) / gap * 60.0
        since = max(self.t[i] - 15.0, self.t[0])
        return (self.depth_at(since) - self.d[i]) / (self.t[i] - since) * 60.0

    def depth_at(self, time):
        for i in range(self.count - 1):
            if self.t[i] <= time <= self.t[i + 1]:
                share = (time - self.t[i]) / (self.t[i + 1] - self.t[i])
                return self.d[i] + (self.d[i + 1] - self.d[i]) * share
        raise AssertionError


# --- ceilings and times --------------------------------------------------------------------------------------------

def factor(settings, anchor, depth):
    if anchor <= 0.0:
        return settings.high
    return settings.high + (settings.low - settings.high) * min(max(depth, 0.0) / anchor, 1.0)


def ceiling(profile, tissues, anchor):
    """By bisection between the surface and the anchor, where the limits hold."""
    settings = profile.settings
    if settings.further:
        return tissues.ceiling(profile)
    load = loads(settings.model, tissues)

    def fine(depth):
        return within(load, profile.pressure(depth), factor(settings, anchor, depth))

    if anchor <= 0.0 or fine(0.0):
        return 0.0
    # A quick scan on a decimetre grid finds the first place where the limits hold, then bisection.
    bad, good = 0.0, anchor
    step = max(anchor / 8.0, 0.1)
    depth = step
    while depth < anchor * (1.0 - 1e-9):  # at the anchor itself the limits hold, but to rounding only
        if fine(depth):
            good = depth
            break
        bad = depth
        depth += step
    for _ in range(60):
        middle = 0.5 * (bad + good)
        if fine(middle):
            good = middle
        else:
            bad = middle
    return good if good >= 0.01 else 0.0


def stop_depth(profile, ceiling_m):
    if ceiling_m <= 0.0:
        return 0.0
    step = profile.step_m()
    return max(profile.last_stop(), step * math.ceil((ceiling_m - 1e-6) / step))


def own_anchor(profile, tissues):
    """The depth (m) that these tissues ask for at factor low; 0 where the model has no factors."""
    if profile.settings.further:
        return 0.0
    load = loads(profile.settings.model, tissues)
    return (tolerated(load, profile.settings.low) - profile.surface) / profile.bar_per_m


def cell_after(tissues, c, n2, he, seconds):
    gone_n2 = -math.expm1(-math.log(2.0) * seconds / 60.0 / N2_HALF[c])
    gone_he = -math.expm1(-math.log(2.0) * seconds / 60.0 / HE_HALF[c])
    return tissues.n2[c] + (n2 - tissues.n2[c]) * gone_n2, tissues.he[c] + (he - tissues.he[c]) * gone_he


def cell_fine_after(model, tissues, c, n2, he, seconds, ambient, g):
    tn, th = cell_after(tissues, c, n2, he, seconds)
    a, b = coefficients(model, c, tn, th)
    return cell_within(tn + th, a, b, ambient, g)


def no_stop_time(profile, tissues, gas, ambient):
    """Seconds until the surface is out of limits at factor high; None beyond 24 h."""
    model, g, surface = profile.settings.model, profile.settings.high, profile.surface
    if profile.settings.further:
        return tissues.no_stop(ambient, gas.po2_at(ambient, 0.0), surface)
    n2, he = gas.inspired(ambient, 0.0)
    if not within(loads(model, tissues), surface, g):
        return 0.0
    best = DAY_S
    found = False
    for c in CELLS:
        most = max(tissues.n2[c], n2) + max(tissues.he[c], he)
        least_a, most_b = min(N2_A[model][c], HE_A[c]), max(N2_B[c], HE_B[c])
        if tissues.he[c] == 0.0 and he == 0.0:
            least_a, most_b = N2_A[model][c], N2_B[c]
        if cell_within(most, least_a, most_b, surface, g):
            continue  # cannot ever pass the limit
        step, t = 20.0, 0.0
        while t < best:
            later = min(t + step, best)
            if not cell_fine_after(model, tissues, c, n2, he, later, surface, g):
                low, high = t, later
                while high - low > 1e-6:
                    middle = 0.5 * (low + high)
                    if cell_fine_after(model, tissues, c, n2, he, middle, surface, g):
                        low = middle
                    else:
                        high = middle
                best, found = 0.5 * (low + high), True
                break
            t = later
    return best if found else None


def wait_time(settings, tissues, gas, here, level, g, longest):
    """Seconds to wait at ambient pressure `here` until the limits hold at `level`; None beyond `longest`."""
    if settings.further:
        return tissues.wait(here, gas.po2_at(here, 0.0), level)
    model = settings.model
    n2, he = gas.inspired(here, 0.0)
    worst = [0]

    def fine(t):
        for c in [worst[0]] + [c for c in CELLS if c != worst[0]]:
            if not cell_fine_after(model, tissues, c, n2, he, t, level, g):
                worst[0] = c
                return False
        return True

    if fine(0.0):
        return 0.0
    t, step = 0.0, 5.0
    while not fine(t + step):
        t += step
        if t > longest:
            return None
    low, high = t, t + step
    while high - low > 1e-8:
        middle = 0.5 * (low + high)
        if fine(middle):
            high = middle
        else:
            low = middle
    return high


def levels_above(depth, step, last_stop):
    """The depths to pass on the way up, deepest first, the surface last."""
    grid = [step * n for n in range(1, int(depth / step) + 2)]
    levels = sorted({g for g in grid if last_stop + 1e-9 < g < depth - 1e-9}, reverse=True)
    if last_stop < depth - 1e-9:
        levels.append(last_stop)
    return levels + [0.0]


def richest(profile, mixes, depth):
    ambient = profile.pressure(depth)
    fit = [m for m in mixes if m[0] * ambient / ATM <= 1.62]
    return max(fit, key=lambda m: (m[0], -m[1])) if fit else None


def way_up(profile, tissues, gas, anchor, depth):
    """(time to surface, owed, deepest stop), s and m; None for the time where it is beyond 24 h."""
    settings = profile.settings
    tissues = tissues.copy()
    mixes = profile.open_mixes()
    anchor = max(anchor, own_anchor(profile, tissues), 0.0)
    if gas.source is not None:
        po2 = gas.po2_at(profile.pressure(depth), 0.0)
        gas = Gas(gas.o2, gas.he, ("line", po2, po2))
    total, owed, deepest = 0.0, 0.0, 0.0
    for level in levels_above(depth, profile.step_m(), profile.last_stop()):
        if gas.source is None:
            better = richest(profile, mixes, depth)
            if better is not None and better[0] > gas.o2:
                gas = Gas(*better)
        here, there = profile.pressure(depth), profile.pressure(level)
        wait = wait_time(settings, tissues, gas, here, there, factor(settings, anchor, level), DAY_S)
        if wait is None:
            return None, None, None
        tissues.follow(gas.pieces(here, here, wait / 60.0))
        if wait >= 1.0:
            deepest = max(deepest, depth)
        minutes = (depth - level) / 9.0
        tissues.follow(gas.pieces(here, there, minutes))
        owed += wait
        total += wait + 60.0 * minutes
        if total > DAY_S:
            return None, None, None
        depth = level
    return total, owed, deepest


# --- the replay of one dive ----------------------------------------------------------------------------------------

class State:
    def __init__(self, tissues, cns=0.0, lower=False):
        self.tissues, self.cns, self.lower = tissues, cns, lower  # tissues and cns None: unknown


class Track:
    """All rows of one dive, and what it leaves."""

    def __init__(self, profile, start, number_, every=None):
        self.profile, self.number = profile, number_
        self.start_cns = start.cns
        self.rows = []
        self.row_tissues = []
        self.anchors = []
        self.cns_pieces = []  # (from_s, to_s, po2_from, po2_to in atm) of the dive's own clock
        self.pieces_known = True
        every = every or profile.settings.every
        tissues, cns, otu, lower = start.tissues.copy(), start.cns, 0.0, start.lower
        if profile.uncovered:
            tissues = None
        self.known_cns, self.known_otu = start.cns, 0.0  # what the known legs give
        anchor = 0.0
        descent = profile.descent_pieces()
        if descent is False:
            tissues = cns = otu = None
            self.pieces_known = False
        elif descent:
            begins = profile.t[0] - profile.d[0] / 18.0 * 60.0
            tissues, cns, otu, lower = self.accrue(descent, begins, tissues, cns, otu, lower)
        self.cns_end = self.otu_end = None
        for i in range(profile.count):
            if i > 0:
                if profile.legs[i - 1] is None:
                    tissues = cns = otu = None
                    self.pieces_known = False
                elif profile.is_surface_leg(i - 1):
                    left = 0.5 ** ((profile.t[i] - profile.t[i - 1]) / 5400.0)
                    self.known_cns *= left
                    if tissues is not None:
                        tissues = tissues.copy()
                        tissues.follow(profile.leg_pieces(i - 1))
                    if cns is not None:
                        cns = cns * left
                else:
                    pieces, begins = profile.leg_pieces(i - 1), profile.t[i - 1]
                    tissues, cns, otu, lower = self.accrue(pieces, begins, tissues, cns, otu, lower)
            if tissues is not None:
                anchor = max(anchor, own_anchor(profile, tissues))
            self.anchors.append(anchor)
            self.row_tissues.append(tissues)
            self.rows.append(self.row(i, tissues, anchor, cns, otu, i % every == 0))
            if i == (profile.end if profile.has_run_time else profile.count - 1):
                self.cns_end, self.otu_end = cns, otu
        self.lower = lower
        self.final = State(tissues, cns, lower)
        self.final.known_cns = self.known_cns

    def accrue(self, pieces, from_s, tissues, cns, otu, lower):
        if tissues is not None:
            tissues = tissues.copy()
            tissues.follow(pieces)
        for piece in pieces:
            p0, p1 = piece.po2[0] / ATM, piece.po2[1] / ATM
            gain, above = cns_ramp(CNS_SINGLE, piece.minutes, p0, p1)
            lower = lower or above
            dose = otu_ramp(piece.minutes, p0, p1)
            self.known_cns += gain
            self.known_otu += dose
            if cns is not None:
                cns, otu = cns + gain, otu + dose
            to_s = from_s + 60.0 * piece.minutes
            self.cns_pieces.append((from_s, to_s, p0, p1))
            from_s = to_s
        return tissues, cns, otu, lower

    def row(self, i, tissues, anchor, cns, otu, times):
        profile = self.profile
        settings = profile.settings
        row = dict.fromkeys(COLUMNS + TISSUE_COLUMNS)
        row.update(dive=self.number, time_s=profile.t[i], depth_m=profile.d[i],
                   ambient_bar=profile.pressure(profile.d[i]),
                   ascent_rate_m_min=profile.ascent_rate(i), cns_percent=cns, otu=otu,
                   temperature_c=profile.samples[i].temperature)
        if profile.mix[i] is not None:
            row["mix_o2"], row["mix_he"] = profile.mix[i]
        gas, ambient = profile.row_gas(i), profile.row_pressure(i)
        if gas is not None:
            row.update(gas_figures(profile, gas, ambient, 0.0))
        if tissues is not None:
            row["ceiling_m"] = ceiling(profile, tissues, anchor)
            row["stop_m"] = stop_depth(profile, row["ceiling_m"])
            row["gradient_percent"], row["leading_compartment"] = gradient(settings, tissues, ambient)
            n2, he = (tissues.tensions, []) if settings.further else (tissues.n2, tissues.he)
            row.update(("n2_%d_bar" % (c + 1), bar) for c, bar in enumerate(n2))
            row.update(("he_%d_bar" % (c + 1), bar) for c, bar in enumerate(he))
        row["times_computed"] = times
        if times:
            if tissues is not None and gas is not None:
                row["no_stop_s"] = no_stop_time(profile, tissues, gas, ambient)
            row["time_to_surface_s"] = self.time_to_surface(i, tissues, anchor, gas)
        return row

    def time_to_surface(self, i, tissues, anchor, gas):
        profile = self.profile
        if profile.is_surface_row(i) or i == profile.surfacing or profile.d[i] == 0.0:
            return 0.0
        if gas is None or tissues is None:
            return None
        return way_up(profile, tissues, gas, anchor, profile.d[i])[0]

    def dose_24_h(self, from_s, to_s):
        """Percent of the 24-hour column between two instants of the dive's own clock."""
        parts, lower = [], False
        for s, e, p0, p1 in self.cns_pieces:
            a, b = max(s, from_s), min(e, to_s)
            if b > a:
                at = lambda t: p0 + (p1 - p0) * (t - s) / (e - s)
                gain, above = cns_ramp(CNS_DAY, (b - a) / 60.0, at(a), at(b))
                parts.append(gain)
                lower = lower or above
        return math.fsum(parts), lower


def gas_figures(profile, gas, ambient, share):
    o2, n2, he = gas.partial(ambient, share)
    return {
        "po2_atm": o2 / ATM,
        "end_n2_m": max(0.0, (n2 / AIR_N2 - profile.surface) / profile.bar_per_m),
        "end_n2o2_m": max(0.0, (n2 + o2 - profile.surface) / profile.bar_per_m),
        "density_g_l": density(o2, n2, he),
    }


# --- findings ------------------------------------------------------------------------------------------------------

class Curve:
    """A quantity over the run time: for each leg (from_s, to_s, value after the one end, value before the other)."""

    def __init__(self, legs, points):
        self.legs, self.points = legs, points  # points: (time, value) at samples

    def everywhere(self):
        """(time, value) in time order: what peaks are taken from."""
        values = list(self.points)
        for t0, t1, v0, v1 in self.legs:
            values += [(t0, v0), (t1, v1)]
        return sorted((tv for tv in values if tv[1] is not None), key=lambda tv: tv[0])

    def value_near(self, time, span=0.02):
        """Values the quantity takes around a time, for comparisons of the time of a peak."""
        result = [v for t, v in self.everywhere() if abs(t - time) <= span]
        for t0, t1, v0, v1 in self.legs:
            if t0 <= time <= t1 and v0 is not None and v1 is not None:
                result.append(v0 + (v1 - v0) * (time - t0) / (t1 - t0))
        return result


def gas_curve(track, key):
    profile = track.profile
    legs = []
    for i in range(profile.leaving, profile.end):
        gas = profile.legs[i]
        v0 = v1 = None
        if gas is not None:
            v0 = gas_figures(profile, gas, profile.pressure(profile.d[i]), 0.0)[key]
            v1 = gas_figures(profile, gas, profile.pressure(profile.d[i + 1]), 1.0)[key]
            if not JUMPS_AT_READINGS:
                v0 = track.rows[i][key]
                state = lambda k: (profile.mix[k], profile.loop[k], profile.set_point[k])
                v1 = track.rows[i + 1][key] if state(i) == state(i + 1) else v1
        legs.append((profile.t[i], profile.t[i + 1], v0, v1))
    return Curve(legs, [(profile.t[i], track.rows[i][key]) for i in range(profile.leaving, profile.end + 1)])


def sample_curve(track, value):
    profile = track.profile
    values = {i: value(i) for i in range(profile.leaving, profile.end + 1)}
    legs = [(profile.t[i], profile.t[i + 1], values[i], values[i + 1]) for i in range(profile.leaving, profile.end)]
    return Curve(legs, [(profile.t[i], v) for i, v in values.items()])


def over_pieces(curve, limit_of, sign=1.0):
    """Parts of the legs in which sign * (value - limit) is over tolerance: (from, to, value at from, value at to)."""
    parts = []
    for t0, t1, v0, v1 in curve.legs:
        if v0 is None or v1 is None:
            continue
        limit = limit_of(t0, t1)
        if limit is None:
            continue
        edge = limit + sign * (1e-6 * abs(limit) if limit else 1e-6)
        x0, x1 = sign * (v0 - edge), sign * (v1 - edge)
        if x0 <= 0.0 and x1 <= 0.0:
            continue
        at = lambda share: (t0 + (t1 - t0) * share, v0 + (v1 - v0) * share)
        start = at(0.0) if x0 > 0.0 else at(x0 / (x0 - x1))
        end = at(1.0) if x1 > 0.0 else at(x0 / (x0 - x1))
        parts.append((start[0], end[0], start[1], end[1]))
    return parts


def join(parts, gap, keep=lambda stretch: True):
    """Joins parts that lie less than `gap` apart (touching for gap 0) into stretches of parts."""
    stretches = []
    for part in sorted(parts):
        if stretches and (part[0] - stretches[-1][-1][1] < gap or part[0] <= stretches[-1][-1][1] + 1e-9):
            stretches[-1].append(part)
        else:
            stretches.append([part])
    return [s for s in stretches if keep(s)]


def finding(kind, class_, stretch, unit, limit, severity, sign=1.0):
    values = [(t, v) for s, e, a, b in stretch for t, v in ((s, a), (e, b))]
    peak = max(sign * v for _, v in values)
    first = next((t, v) for t, v in values if sign * v >= peak - 1e-12 * max(1.0, abs(peak)))
    return {"kind": kind, "severity": severity, "class": class_, "from_s": stretch[0][0],
            "to_s": max(p[1] for p in stretch), "beyond_s": math.fsum(p[1] - p[0] for p in stretch),
            "peak": sign * peak, "peak_s": first[0], "limit": limit, "unit": unit}


def passes(value, limit):
    return value > limit + (1e-6 * abs(limit) if limit else 1e-6)


def graded(kind, class_, curve, unit, limits):
    """Findings whose severity comes from the peak; limits: [(limit, severity)] from the lowest."""
    result = []
    for stretch in join(over_pieces(curve, lambda a, b: limits[0][0]), 30.0):
        one = finding(kind, class_, stretch, unit, limits[0][0], limits[0][1])
        for limit, severity in limits:
            if passes(one["peak"], limit):
                one["severity"] = severity
        result.append(one)
    return result


def ceiling_findings(track, curve):
    result = []
    for stretch in join(over_pieces(curve, lambda a, b: 0.0), 30.0):
        one = finding("ceiling", "conduct", stretch, "m", 0.0, "note")
        if passes(one["peak"], 0.5) and one["beyond_s"] >= 60.0:
            one["severity"] = "caution"
        inside = [r["gradient_percent"] for i, r in enumerate(track.rows)
                  if one["from_s"] <= r["time_s"] <= one["to_s"] and track.profile.leaving <= i <= track.profile.end]
        if any(passes(g, 100.0) for g in inside):
            one["severity"] = "serious"
        result.append(one)
    return result


def surfaced_findings(track, surfacing):
    if surfacing is None or surfacing["ceiling_m"] is None or not passes(surfacing["ceiling_m"], 0.0):
        return []
    t, severity = surfacing["time_s"], "note"
    if passes(surfacing["gradient_percent"], 100.0 * track.profile.settings.high + 3.0):
        severity = "caution"
    if passes(surfacing["gradient_percent"], 100.0):
        severity = "serious"
    stretch = [(t, t, surfacing["ceiling_m"], surfacing["ceiling_m"])]
    return [finding("surfaced", "conduct", stretch, "m", 0.0, severity)]


def ascent_findings(curve):
    def unbroken(limit):
        return join(over_pieces(curve, lambda a, b: limit), 0.0, lambda s: s[-1][1] - s[0][0] >= 10.0 - 1e-9)

    everything = over_pieces(curve, lambda a, b: 12.0)
    long_ones = unbroken(12.0)
    spans = join([(s[0][0], s[-1][1], 0.0, 0.0) for s in long_ones], 30.0)
    result = []
    for span in spans:
        start, end = span[0][0], span[-1][1]
        inside = [p for p in everything if p[0] >= start - 1e-9 and p[1] <= end + 1e-9]
        one = finding("ascent", "conduct", inside, "m/min", 12.0, "caution")
        if any(s[0][0] >= start - 1e-9 and s[-1][1] <= end + 1e-9 for s in unbroken(18.0)):
            one["severity"] = "serious"
        result.append(one)
    return result


def own_stop_findings(track):
    samples, depth = track.profile.samples, track.profile.d
    curve = sample_curve(track, lambda i: max(samples[i].stops) - depth[i] if samples[i].stops else None)
    result = []
    for stretch in join(over_pieces(curve, lambda a, b: 0.0), 30.0):
        one = finding("own-stop", "conduct", stretch, "m", 0.0, "note")
        if passes(one["peak"], 0.5) and one["beyond_s"] >= 60.0:
            one["severity"] = "caution"
        result.append(one)
    return result, curve


def oxygen_high_findings(track, curve):
    bottom_end = track.profile.t[track.profile.bottom_end]
    in_bottom = lambda a, b: b <= bottom_end
    result = []
    parts = over_pieces(curve, lambda a, b: 1.4 if in_bottom(a, b) else 1.6)
    for stretch in join(parts, 30.0):
        touches = any(in_bottom(p[0], p[1]) for p in stretch)
        one = finding("oxygen-high", "gas", stretch, "atm", 1.4 if touches else 1.6, "note")
        if touches or passes(one["peak"], 1.65):
            one["severity"] = "caution"
        if passes(one["peak"], 1.7):
            one["severity"] = "serious"
        result.append(one)
    return result


def oxygen_low_findings(track, curve):
    profile = track.profile
    air = AIR_O2 * profile.surface / ATM
    note, serious = min(0.18, air), min(0.16, air)
    legs = []
    for (t0, t1, v0, v1), i in zip(curve.legs, range(profile.leaving, profile.end)):
        d0, d1 = profile.d[i], profile.d[i + 1]
        if v0 is None or v1 is None or max(d0, d1) <= 1.5:
            continue
        cut = (1.5 - d0) / (d1 - d0) if d0 != d1 else None
        s = cut if d0 < 1.5 else 0.0
        e = cut if d1 < 1.5 else 1.0
        legs.append((t0 + (t1 - t0) * s, t0 + (t1 - t0) * e, v0 + (v1 - v0) * s, v0 + (v1 - v0) * e))
    result = []
    for stretch in join(over_pieces(Curve(legs, []), lambda a, b: note, -1.0), 30.0):
        one = finding("oxygen-low", "gas", stretch, "atm", note, "note", -1.0)
        if one["peak"] < serious * (1.0 - 1e-6):
            one["severity"] = "serious"
        result.append(one)
    return result, Curve(legs, [])


def breathed_fractions(profile, leg, at_end):
    """(N2, He) really breathed at one end of a leg, of the whole pressure; None where unknown."""
    gas = profile.legs[leg]
    if gas is None:
        return None
    ambient = profile.pressure(profile.d[leg + 1 if at_end else leg])
    _, n2, he = gas.partial(ambient, 1.0 if at_end else 0.0)
    return n2 / ambient, he / ambient


def counterdiffusion_findings(profile):
    result = []
    greatest_at = profile.d.index(profile.greatest)
    for i in range(max(profile.leaving, greatest_at) + 1, profile.end):
        if (profile.mix[i], profile.loop[i]) == (profile.mix[i - 1], profile.loop[i - 1]):
            continue
        old, new = breathed_fractions(profile, i - 1, True), breathed_fractions(profile, i, False)
        if old is None or new is None or not passes(profile.d[i], 30.0):
            continue
        excess = new[0] - old[0] - max(0.0, old[1] - new[1]) / 5.0
        if passes(excess, 0.0):
            stretch = [(profile.t[i], profile.t[i], excess, excess)]
            result.append(finding("counterdiffusion", "gas", stretch, "fraction", 0.0, "note"))
    return result


def days_in_a_row(entry):
    """Number of calendar days in a row up to this dive's, and the OTU of the earlier dives on them (None: not known)."""
    days = 1
    of_day = {}
    for other in entry.sum_before:
        of_day.setdefault(other.dive.day, []).append(other.track.otu_end)
    doses = of_day.get(entry.dive.day, [])
    while entry.dive.day is not None and entry.dive.day - datetime.timedelta(days=days) in of_day:
        doses = doses + of_day[entry.dive.day - datetime.timedelta(days=days)]
        days += 1
    return days, None if None in doses else math.fsum(doses)


def otu_findings(track, days, before):
    allowance = days * (REPEX_A_DAY[days - 1] if days <= len(REPEX_A_DAY) else 300)

    def percent(i):
        otu = track.rows[i]["otu"]
        return None if before is None or otu is None else 100.0 * (before + otu) / allowance

    curve = sample_curve(track, percent)
    return graded("otu", "dose", curve, "percent", [(80.0, "note"), (100.0, "caution")]), curve


def find_all(entry, surfacing):
    """Findings in time order, and the curves they come from."""
    track = entry.track
    rows = track.rows

    def above_ceiling(i):
        return None if rows[i]["ceiling_m"] is None else rows[i]["ceiling_m"] - rows[i]["depth_m"]

    curves = {
        "ceiling": sample_curve(track, above_ceiling),
        "ascent": sample_curve(track, lambda i: rows[i]["ascent_rate_m_min"]),
        "oxygen-high": gas_curve(track, "po2_atm"),
        "density": gas_curve(track, "density_g_l"),
        "narcosis": gas_curve(track, "end_n2o2_m"),
        "cns": sample_curve(track, lambda i: rows[i]["cns_percent"]),
    }
    found = ceiling_findings(track, curves["ceiling"]) + surfaced_findings(track, surfacing)
    found += ascent_findings(curves["ascent"])
    own, curves["own-stop"] = own_stop_findings(track)
    low, curves["oxygen-low"] = oxygen_low_findings(track, curves["oxygen-high"])
    found += own + oxygen_high_findings(track, curves["oxygen-high"]) + low
    found += graded("density", "gas", curves["density"], "g/L", [(5.2, "note"), (6.2, "caution")])
    found += graded("narcosis", "gas", curves["narcosis"], "m", [(30.0, "note"), (40.0, "caution")])
    found += graded("cns", "dose", curves["cns"], "percent", [(80.0, "caution"), (100.0, "serious")])
    dose, curves["otu"] = otu_findings(track, *days_in_a_row(entry))
    found += counterdiffusion_findings(track.profile) + dose
    kinds = ["ceiling", "surfaced", "ascent", "own-stop", "oxygen-high", "oxygen-low", "density", "narcosis",
             "counterdiffusion", "cns", "otu"]
    return sorted(found, key=lambda f: (f["from_s"], kinds.index(f["kind"]))), curves


# --- debrief and history -------------------------------------------------------------------------------------------

def peak_of(curve):
    values = curve.everywhere()
    if not values:
        return {"value": None, "time_s": None}
    best = max(v for _, v in values)
    return {"value": best, "time_s": next(t for t, v in values if v >= best - 1e-12 * max(1.0, abs(best)))}


def debrief(entry):
    profile, track = entry.profile, entry.track
    out = {"number": entry.number, "id": entry.dive.id, "run_time_s": profile.run_time,
           "record_s": profile.t[-1] - profile.t[0], "greatest_depth_m": profile.greatest, "mean_depth_m": profile.mean,
           "cns_percent": {"start": track.start_cns, "end": track.cns_end, "last_24_h": entry.last_24_h,
                           "lower_bound": entry.lower_bound},
           "otu": {"dive": track.otu_end, "day": entry.otu_day},
           "decompression": None, "surfacing": None, "peaks": {}, "findings": []}
    entry.curves = {}
    out["decompression"] = decompression(profile, track)
    if not profile.has_run_time:
        return out
    out["surfacing"] = surfacing = surfacing_of(profile, track)
    out["findings"], entry.curves = find_all(entry, surfacing)
    for key in PEAKS:
        if key in ("po2_atm", "end_n2_m", "end_n2o2_m", "density_g_l"):
            curve = gas_curve(track, key)
        else:
            curve = sample_curve(track, lambda i: track.rows[i][key])
        if key == "gradient_percent" and surfacing is not None and surfacing["gradient_percent"] is not None:
            curve.points.append((surfacing["time_s"], surfacing["gradient_percent"]))
        out["peaks"][key] = peak_of(curve)
        entry.curves["peak " + key] = curve
    return out


def decompression(profile, track):
    out = dict.fromkeys(("required", "ascent_start_s", "owed_s", "time_to_surface_s", "deepest_stop_m"))
    if not profile.has_run_time:
        return out
    i = profile.ascent_start
    out["ascent_start_s"] = profile.t[i]
    gas = profile.row_gas(i)
    if track.row_tissues[i] is not None and gas is not None:
        total, owed, deepest = way_up(profile, track.row_tissues[i], gas, track.anchors[i], profile.d[i])
        out.update(owed_s=owed, time_to_surface_s=total, deepest_stop_m=deepest, required=owed is None or owed >= 60.0)
    return out


def surfacing_of(profile, track):
    if profile.surfacing is None:
        return None
    i = profile.surfacing
    out = {"time_s": profile.t[i], "gradient_percent": None, "leading_compartment": None, "ceiling_m": None}
    if track.row_tissues[i] is not None:
        tissues = track.row_tissues[i]
        out["gradient_percent"], out["leading_compartment"] = gradient(profile.settings, tissues, profile.surface)
        out["ceiling_m"] = track.rows[i]["ceiling_m"]
    return out


class Entry:
    pass


def time_order(dives):
    by_zone = all(d.zone is not None for d in dives if d.start is not None)

    def clock(d):
        return d.start - (d.zone if by_zone else 0)

    def key(d):
        if d.start is not None:
            return 0, clock(d), d.order
        if d.day is not None:
            return 0, (d.day.toordinal() - 719163) * DAY_S, d.order
        return 1, 0.0, d.order

    return sorted(dives, key=key), clock


def replay_history(paths, settings):
    """Entries (one a dive, in time order) with profile and track."""
    dives = [d for order, path in enumerate(paths) for d in read_log(path, order)]
    dives, clock = time_order(dives)
    entries, held = [], None  # held: (state, end on the clock, unknown) of the last dive carried on
    for n, dive in enumerate(dives):
        entry = Entry()
        entry.number, entry.dive, entry.profile, entry.track = n + 1, dive, Profile(dive, settings), None
        entries.append(entry)
        if not dive.samples:
            continue
        entry.timed = dive.start is not None
        entry.carried, entry.held_before, entry.sum_before = False, None, []
        if entry.timed:
            entry.begins, entry.ends = clock(dive) + entry.profile.t[0], clock(dive) + entry.profile.t[-1]
            earlier = [e for e in entries[:-1] if e.track is not None and e.timed]
            overlapped = [e for e in earlier if e.ends > entry.begins and (e.carried or OVERLAP_WITH_ANY)]
            entry.carried = not overlapped
            entry.held_before = overlapped[0].held_before if overlapped else held
            entry.sum_before = overlapped[0].sum_before if overlapped else [e for e in earlier if e.carried]
        entry.track = Track(entry.profile, start_state(entry), entry.number)
        sums(entry)
        if entry.carried:
            unknown = entry.track.final.cns is None
            held = (entry.track.final, entry.ends, unknown)
    return entries


def start_state(entry):
    rest = State((entry.profile.settings.further or Tissues).rest(entry.profile.surface))
    if entry.held_before is None:
        return rest
    state, ended, unknown = entry.held_before
    minutes = (entry.begins - ended) / 60.0
    if unknown:
        rest.lower = True
        rest.cns = state.known_cns * 0.5 ** (minutes / 90.0) if CARRY_KNOWN_CNS else 0.0
        return rest
    tissues = rest.tissues
    if state.tissues is not None:  # else the model did not cover the dive before
        tissues = state.tissues.copy()
        tissues.follow(AIR.pieces(entry.profile.surface, entry.profile.surface, minutes))
    return State(tissues, state.cns * 0.5 ** (minutes / 90.0), state.lower)


def sums(entry):
    """The day's OTU and the CNS of the last 24 h."""
    profile, track = entry.profile, entry.track
    end = profile.t[profile.end] if profile.has_run_time else profile.t[-1]
    entry.otu_day, entry.last_24_h, entry.lower_bound = track.otu_end, None, True
    known = track.cns_end is not None
    if known:
        entry.last_24_h, lower = track.dose_24_h(end - DAY_S, end)
        entry.lower_bound = track.lower or lower
    for other in entry.sum_before:
        if other.dive.day == entry.dive.day and entry.otu_day is not None:
            if other.track.otu_end is not None:
                entry.otu_day += other.track.otu_end
            elif CARRY_KNOWN_OTU:
                entry.otu_day += other.track.known_otu
            else:
                entry.otu_day = None
        if known:
            now = entry.begins - profile.t[0] + end - (other.begins - other.profile.t[0])  # on the other's clock
            if not other.track.pieces_known:
                entry.lower_bound = entry.lower_bound or other.ends > entry.begins - profile.t[0] + end - DAY_S
                if not CARRY_KNOWN_CNS:
                    continue
            dose, lower = other.track.dose_24_h(now - DAY_S, now)
            entry.last_24_h += dose
            entry.lower_bound = entry.lower_bound or lower


# --- output --------------------------------------------------------------------------------------------------------

def cell(value):
    if value is None:
        return ""
    return "%.12g" % value


def write_rows(entries, out):
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(COLUMNS + TISSUE_COLUMNS)
    for entry in entries:
        if entry.track is not None:
            for row in entry.track.rows:
                writer.writerow([cell(row[name]) for name in COLUMNS + TISSUE_COLUMNS])


def write_debriefs(entries, out):
    dives = [debrief(e) if e.track is not None else {"number": e.number, "id": e.dive.id} for e in entries]
    json.dump({"dives": dives}, out, indent=1)
    out.write("\n")


def parse_water(word):
    return {"fresh": 1000.0, "sea": 1030.0, "log": "log"}.get(word) or float(word)


def main():
    parser = argparse.ArgumentParser(description="independent replay, for comparison")
    parser.add_argument("--gf", default="50/80")
    parser.add_argument("--model", default="zh-l16c", choices=sorted(N2_A) + sorted(second_models.MODELS))
    parser.add_argument("--water", type=parse_water)
    parser.add_argument("--surface", type=float)
    parser.add_argument("--last-stop", type=float, default=3.0)
    parser.add_argument("--assume-air", action="store_true")
    parser.add_argument("--every", type=int, default=1)
    parser.add_argument("--json", action="store_true")
    parser.add_argument("--selftest", action="store_true")
    parser.add_argument("logs", nargs="*")
    given = parser.parse_args()
    if given.selftest:
        return selftest()
    gf = tuple(float(g) for g in given.gf.split("/"))
    settings = Settings(gf, given.model, given.water, given.surface, given.last_stop, given.assume_air, given.every)
    entries = replay_history(given.logs, settings)
    (write_debriefs if given.json else write_rows)(entries, sys.stdout)
    return 0


# --- selftest ------------------------------------------------------------------------------------------------------

class Check:
    def __init__(self):
        self.passed = self.failed = 0

    def close(self, name, actual, expected, tolerance):
        if actual is not None and abs(actual - expected) <= tolerance:
            self.passed += 1
        else:
            self.failed += 1
            print("FAILED %s: %r, expected %r within %g" % (name, actual, expected, tolerance))


def selftest():
    check = Check()
    selftest_textbook(check)
    selftest_compartments(check)
    selftest_no_stop(check)
    selftest_oxygen(check)
    selftest_gas(check)
    second_models.selftest(check)
    print("%d passed, %d failed" % (check.passed, check.failed))
    return 1 if check.failed else 0


def bare_profile(surface=1.0, **options):
    """A profile without samples: water and settings only."""
    dive = Dive()
    dive.samples, dive.stated_surface, dive.altitude, dive.stated_density = [], None, None, None
    options.setdefault("gf", (100.0, 100.0))
    return Profile(dive, Settings(surface=surface, **options))


def selftest_textbook(check):
    # Chapman, "An explanation of Professor A. A. Buehlmann's ZH-L16 algorithm" (1999): 1.33 bar printed.
    check.close("chapman", schreiner(0.79, 3.16, 3.16, 10.0, 27.0), 1.33, 0.005)
    check.close("chapman, recomputed", schreiner(0.79, 3.16, 3.16, 10.0, 27.0), 1.326606, 5e-7)
    check.close("chapman, with vapour", schreiner(0.740467, 3.110467, 3.110467, 10.0, 27.0), 1.277073, 5e-7)
    # Critical-ratio and altitude exercises (French tables): 10 min compartment.
    check.close("45 m, 30 min", schreiner(0.8, 4.4, 4.4, 30.0, 10.0), 3.95, 1e-6)
    check.close("20 m, 40 min", schreiner(0.8, 2.4, 2.4, 40.0, 10.0), 2.30, 1e-6)
    check.close("lake", schreiner(0.64, 2.24, 2.24, 40.0, 10.0), 2.14, 1e-6)


def selftest_compartments(check):
    # Computed check values, air 0.7902, surface 1.01325 bar, 10 m = 1 bar; compartments 1b to 16.
    square = [2.973562, 2.702658, 2.339718, 2.001202, 1.703082, 1.471046, 1.285264, 1.141709, 1.034239, 0.965861,
              0.920509, 0.884717, 0.856462, 0.833910, 0.816206, 0.802317]
    ramped = [0.981369, 0.898710, 0.847037, 0.816509, 0.796188, 0.783012, 0.773676, 0.767058, 0.762395, 0.759546,
              0.757703, 0.756274, 0.755161, 0.754282, 0.753598, 0.753064]
    bottom = [2.987952, 2.728747, 2.371358, 2.032108, 1.730049, 1.493250, 1.302734, 1.155017, 1.044164, 0.973519,
              0.926617, 0.889576, 0.860318, 0.836957, 0.818611, 0.804215]
    surfaced = [2.602300, 2.535649, 2.299668, 2.019575, 1.744219, 1.516103, 1.326259, 1.175695, 1.060953, 0.987097,
                0.937760, 0.898629, 0.867621, 0.842798, 0.823265, 0.807915]
    top, deep = 0.7902 * (1.01325 - VAPOUR), 0.7902 * (4.01325 - VAPOUR)
    rest = Tissues.rest(1.01325, 0.7902)

    def compare(name, tissues, expected):
        for c in CELLS:
            check.close("%s, compartment %d" % (name, c + 1), tissues.n2[c], expected[c], 6e-7)

    tissues = rest.copy()
    tissues.breathe(20.0, deep, deep, 0.0, 0.0)
    compare("square", tissues, square)
    tissues = rest.copy()
    tissues.breathe(1.5, top, deep, 0.0, 0.0)
    compare("descent", tissues, ramped)
    tissues.breathe(20.0, deep, deep, 0.0, 0.0)
    compare("bottom", tissues, bottom)
    profile = bare_profile(1.01325)
    for model in N2_A:
        load = loads(model, tissues)
        for g, bar in ((1.0, 1.126106), (0.85, 1.291340), (0.70, 1.475873), (0.30, 2.130404)):
            check.close("tolerated at %g" % g, tolerated(load, g), bar, 6e-7)
        check.close("ceiling", ceiling(bare_profile(1.01325, model=model), tissues, 1.5), 1.1286, 6e-5)
    tissues.breathe(3.0, deep, top, 0.0, 0.0)
    compare("surfaced", tissues, surfaced)
    # Trimix 18/45, 20 min at 60 m: He, N2, tolerated pressure at factor 1, set C.
    tissues = rest.copy()
    tissues.breathe(20.0, 0.37 * (7.01325 - VAPOUR), 0.37 * (7.01325 - VAPOUR), 0.45 * (7.01325 - VAPOUR),
                    0.45 * (7.01325 - VAPOUR))
    load = loads("zh-l16c", tissues)
    for c, he, n2, bar in ((0, 3.125785, 2.457917, 2.13361), (1, 3.096004, 2.249868, 2.50322),
                           (2, 2.961911, 1.971136, 2.63550), (3, 2.697305, 1.711162, 2.59125),
                           (4, 2.323194, 1.482211, 2.33897), (7, 1.185032, 1.051086, 1.48561),
                           (11, 0.444950, 0.853721, 0.85412), (15, 0.175526, 0.790440, 0.65406)):
        check.close("trimix he %d" % (c + 1), tissues.he[c], he, 6e-7)
        check.close("trimix n2 %d" % (c + 1), tissues.n2[c], n2, 6e-7)
        check.close("trimix tolerated %d" % (c + 1), tolerated([load[c]], 1.0), bar, 6e-6)
    check.close("weighted a", load[2][1], 1.059999, 6e-7)
    check.close("weighted b", load[2][2], 0.680471, 6e-7)
    check.close("trimix at 0.3", tolerated(load, 0.3), 4.16942, 6e-6)


def selftest_no_stop(check):
    # Computed: surface 1.0 bar, 10 m = 1 bar, air 0.79; A, B, C, C at 0.85, C at 0.70; minutes.
    table = {9: (821.30, 816.07, 722.24, 424.43, 230.45), 12: (254.35, 233.24, 178.49, 123.19, 84.48),
             15: (115.51, 104.20, 89.28, 68.83, 47.28), 18: (64.20, 64.20, 59.10, 43.05, 28.68),
             21: (40.39, 40.39, 40.39, 28.59, 18.82), 24: (28.52, 28.52, 28.52, 20.12, 14.04),
             27: (21.25, 21.25, 21.25, 15.26, 10.47), 30: (16.34, 16.34, 16.34, 12.11, 8.43),
             36: (10.96, 10.96, 10.96, 8.17, 6.16), 42: (7.99, 7.99, 7.99, 6.27, 4.89)}
    columns = (("zh-l16a", 100.0), ("zh-l16b", 100.0), ("zh-l16c", 100.0), ("zh-l16c", 85.0), ("zh-l16c", 70.0))
    for depth, row in table.items():
        for (model, high), minutes in zip(columns, row):
            profile = bare_profile(model=model, gf=(high, high))
            seconds = no_stop_time(profile, Tissues.rest(1.0), AIR, profile.pressure(depth))
            check.close("no-stop %d m %s %g" % (depth, model, high), seconds / 60.0, minutes, 0.006)


def selftest_oxygen(check):
    # NOAA rows; training sheet percents; computed dive A; ramp and recompression-table doses.
    for po2, minutes in zip(CNS_PO2, CNS_SINGLE):
        check.close("limit at %g" % po2, limit_minutes(CNS_SINGLE, po2), minutes, 1e-9)
    check.close("cns-01", cns_ramp(CNS_SINGLE, 30, 1.4, 1.4)[0], 20.0, 0.5)
    check.close("cns-02", cns_ramp(CNS_SINGLE, 20, 1.6, 1.6)[0], 44.0, 0.5)
    check.close("cns-03", cns_ramp(CNS_SINGLE, 45, 1.6, 1.6)[0], 100.0, 0.01)
    check.close("cns-04", cns_ramp(CNS_SINGLE, 60, 1.2, 1.2)[0] * 0.5 ** 2, 7.1, 0.3)
    check.close("cns-06", limit_minutes(CNS_SINGLE, 1.55), 82.5, 1e-9)
    legs = ((1.5, 0.32, 1.28), (25.0, 1.28, 1.28), (10.0 / 3.0, 1.28, 0.32))
    check.close("cns-07", math.fsum(cns_ramp(CNS_SINGLE, *leg)[0] for leg in legs), 14.57370, 5e-6)
    check.close("otu-02", math.fsum(otu_ramp(*leg) for leg in legs), 39.31694, 5e-6)
    check.close("cns-10", 100.0 * 0.5 ** (60.0 / 90.0), 62.9961, 5e-5)
    for po2, rate in ((0.7, 0.47), (0.8, 0.65), (0.9, 0.83), (1.0, 1.00), (1.1, 1.16), (1.2, 1.32)):
        check.close("otu-01 at %g" % po2, otu_ramp(1.0, po2, po2), rate, 0.006)
    check.close("otu ramp .5-1.4", otu_ramp(10.0, 0.5, 1.4), 8.90196, 5e-6)
    check.close("otu ramp .7-1.4", otu_ramp(10.0, 0.7, 1.4), 10.71915, 5e-6)
    closed = 10 * 6 / 11 / 0.0598 * (1.4598 ** (11 / 6) - 1.4 ** (11 / 6))
    check.close("otu, both ways", otu_ramp(10.0, 1.20, 1.2299), closed, 1e-9)
    atm = lambda feet: 1.0 + feet / 33.0
    six = otu_ramp(60, atm(60), atm(60)) + otu_ramp(30, atm(60), atm(30)) + otu_ramp(120, atm(30), atm(30))
    check.close("otu-03", six + otu_ramp(30, atm(30), atm(0)), 640.79, 0.1)
    # A ramp against ten thousand short constant steps.
    steps = math.fsum(cns_ramp(CNS_SINGLE, 1e-3, 0.5 + 1.2 * (j + 0.5) / 12e3, 0.5 + 1.2 * (j + 0.5) / 12e3)[0]
                      for j in range(12000))
    check.close("cns ramp by steps", cns_ramp(CNS_SINGLE, 12, 0.5, 1.7)[0], steps, 1e-6)
    longer = cns_ramp(CNS_SINGLE, 13, 0.4, 1.7)[0]
    check.close("nothing below 0.5", longer, steps, 1e-6)


def selftest_gas(check):
    profile = bare_profile(1.0)

    def figures(o2, he, depth):
        return gas_figures(profile, Gas(o2, he), profile.pressure(depth), 0.0)

    check.close("ead-01", figures(0.36, 0.0, 27.0)["end_n2_m"], 19.97, 0.05)
    check.close("ead-02", figures(0.36, 0.0, 25.0)["end_n2_m"], 18.3, 0.06)
    check.close("ead-03", figures(0.32, 0.0, 33.0)["end_n2_m"], 27.0, 0.05)
    check.close("end-01", figures(0.18, 0.35, 60.0)["end_n2_m"], 31.64, 0.01)
    check.close("end-02", figures(0.15, 0.55, 75.0)["end_n2o2_m"], 28.0, 0.3)
    check.close("end-03", figures(0.23, 0.24, 50.0)["end_n2_m"], 30.0, 0.3)
    check.close("den-02", figures(0.21, 0.0, 31.0)["density_g_l"], 5.2, 0.05)
    check.close("den-02", figures(0.21, 0.0, 39.0)["density_g_l"], 6.2, 0.05)
    check.close("den-03", figures(0.18, 0.45, 60.0)["density_g_l"], 5.525, 1e-3)
    check.close("gradient factor 0.85", tolerated([(3.0, 0.6667, 0.8126)], 0.85), 2.034493, 6e-7)
    for altitude, hpa in ((0, 1013.250), (300, 977.726), (1000, 898.746), (2000, 794.952), (3000, 701.085)):
        check.close("standard atmosphere %d m" % altitude, 1000.0 * standard_atmosphere(altitude), hpa, 6e-4)
    for name, water, bar in (("fresh", 1000.0, 2.941995), ("sea", 1030.0, 3.030255)):
        check.close(name, bare_profile(1.0, water=water).pressure(30.0) - 1.0, bar, 6e-7)
    # Loop: set point raised to the diluent's own, lowered to ambient; inert pressures split as in the diluent.
    gas = Gas(0.18, 0.45, ("point", 1.3))
    check.close("set point", gas.po2_at(5.0, 0.0), 1.3, 1e-12)
    check.close("raised", gas.po2_at(10.0, 0.0), 1.8, 1e-12)
    check.close("lowered", gas.po2_at(1.1, 0.0), 1.1, 1e-12)
    check.close("split", gas.inspired(5.0, 0.0)[1], 0.45 / 0.82 * (5.0 - VAPOUR - 1.3), 1e-12)
    # Loop legs cut at break points against ten thousand short legs.
    whole, fine = Tissues.rest(1.0), Tissues.rest(1.0)
    whole.follow(gas.pieces(1.0, 9.0, 7.0))
    for j in range(10000):
        n2, he = zip(gas.inspired(1 + 8 * j / 1e4, 0), gas.inspired(1 + 8 * (j + 1) / 1e4, 0))
        fine.breathe(7.0 / 1e4, *n2, *he)
    check.close("loop leg", whole.he[0], fine.he[0], 1e-8)


if __name__ == "__main__":
    sys.exit(main())
