# SPDX-License-Identifier: GPL-3.0-or-later
"""A small decompression calculation of its own, to plan the invented dives with and to check what was promised of them.

Written apart from the program's: it shares no code with it, and searches where the program solves.
ZH-L16C with nitrogen and helium: Buehlmann, Voellm and Nussberger, Tauchmedizin, 4th ed. 1995 (compartment 1 in its 1b
form); gradient factors: Baker, "Clearing up the confusion about deep stops", 1998.
Depths in m, pressures in bar, times in minutes unless the name says otherwise. 10 m of water are 1 bar.
"""
import copy
import math

VAPOUR_BAR = 0.0627
ATM_BAR = 1.01325

# half-time (min), a (bar), b: nitrogen, then helium
COMPARTMENTS = (
    (5.0, 1.1696, 0.5578, 1.88, 1.6189, 0.4770), (8.0, 1.0000, 0.6514, 3.02, 1.3830, 0.5747),
    (12.5, 0.8618, 0.7222, 4.72, 1.1919, 0.6527), (18.5, 0.7562, 0.7825, 6.99, 1.0458, 0.7223),
    (27.0, 0.6200, 0.8126, 10.21, 0.9220, 0.7582), (38.3, 0.5043, 0.8434, 14.48, 0.8205, 0.7957),
    (54.3, 0.4410, 0.8693, 20.53, 0.7305, 0.8279), (77.0, 0.4000, 0.8910, 29.11, 0.6502, 0.8553),
    (109.0, 0.3750, 0.9092, 41.20, 0.5950, 0.8757), (146.0, 0.3500, 0.9222, 55.19, 0.5545, 0.8903),
    (187.0, 0.3295, 0.9319, 70.69, 0.5333, 0.8997), (239.0, 0.3065, 0.9403, 90.34, 0.5189, 0.9073),
    (305.0, 0.2835, 0.9477, 115.29, 0.5181, 0.9122), (390.0, 0.2610, 0.9544, 147.42, 0.5176, 0.9171),
    (498.0, 0.2480, 0.9602, 188.24, 0.5172, 0.9217), (635.0, 0.2327, 0.9653, 240.03, 0.5119, 0.9267))


def standard_surface_bar(altitude_m):
    """ICAO standard atmosphere, geopotential altitude."""
    return ATM_BAR * (1 - 0.0065 * altitude_m / 288.15) ** 5.2558798


def _schreiner(start, from_bar, to_bar, minutes, half_time):
    """Pressure after a segment on which the inspired pressure goes linearly from one value to another."""
    k = math.log(2) / half_time
    rate = (to_bar - from_bar) / minutes
    return from_bar + rate * (minutes - 1 / k) - (from_bar - start - rate / k) * math.exp(-k * minutes)


def stop(ceiling_m, last_m):
    """The stop asked for on the 3 m steps, 0 if none."""
    return max(last_m, 3.0 * math.ceil(ceiling_m / 3 - 1e-6)) if ceiling_m else 0.0


class Replay:
    """Tissues of one diver at one place, with the anchor of the running dive."""

    def __init__(self, surface_bar=ATM_BAR, low=0.50, high=0.80):
        self.surface_bar, self.low, self.high = surface_bar, low, high
        self.nitrogen = [0.79 * (surface_bar - VAPOUR_BAR)] * 16
        self.helium = [0.0] * 16
        self.anchor_m = 0.0

    def ambient(self, depth_m):
        return self.surface_bar + depth_m / 10

    def inspired(self, depth_m, mix, loop_po2_bar):
        """Inspired nitrogen and helium; loop_po2_bar None on open circuit."""
        dry = self.ambient(depth_m) - VAPOUR_BAR
        if loop_po2_bar is None:
            return dry * mix.n2, dry * mix.he
        inert = max(0.0, dry - loop_po2_bar) / (mix.n2 + mix.he)
        return inert * mix.n2, inert * mix.he

    def breathe(self, minutes, from_m, to_m, mix, from_po2=None, to_po2=None):
        """One straight segment; moves the anchor along."""
        n2_from, he_from = self.inspired(from_m, mix, from_po2)
        n2_to, he_to = self.inspired(to_m, mix, to_po2)
        for i, row in enumerate(COMPARTMENTS):
            self.nitrogen[i] = _schreiner(self.nitrogen[i], n2_from, n2_to, minutes, row[0])
            self.helium[i] = _schreiner(self.helium[i], he_from, he_to, minutes, row[3])
        self.anchor_m = max(self.anchor_m, self._tolerated_m())

    def loads(self):
        """Total pressure, a and 1/b - 1 of each compartment, weighted by its own two pressures."""
        for n2, he, (_, n2_a, n2_b, _, he_a, he_b) in zip(self.nitrogen, self.helium, COMPARTMENTS):
            total = n2 + he
            yield total, (n2_a * n2 + he_a * he) / total, total / (n2_b * n2 + he_b * he) - 1

    def _tolerated_m(self):
        bar = max((p - a * self.low) / (self.low * slope + 1) for p, a, slope in self.loads())
        return (bar - self.surface_bar) * 10

    def factor(self, depth_m):
        if self.anchor_m <= 0:
            return self.high
        return self.high + (self.low - self.high) * min(1.0, depth_m / self.anchor_m)

    def within(self, depth_m):
        ambient, factor = self.ambient(depth_m), self.factor(depth_m)
        return all(p - ambient <= factor * (a + ambient * slope) for p, a, slope in self.loads())

    def ceiling(self):
        """Shallowest depth within limits, found by halving between the surface and the anchor."""
        if self.within(0.0):
            return 0.0
        above, below = 0.0, self.anchor_m
        while below - above > 1e-7:
            middle = (above + below) / 2
            if self.within(middle):
                below = middle
            else:
                above = middle
        return below if below >= 0.01 else 0.0

    def gradient(self, depth_m=0.0):
        """Largest share of the way from ambient pressure to the M-value, percent."""
        ambient = self.ambient(depth_m)
        return max(100 * (p - ambient) / (a + ambient * slope) for p, a, slope in self.loads())


    def minutes_at(self, stop_m, last_m, mix, loop_po2_bar=None):
        """Whole minutes at a stop until the next one (or the surface) is within limits."""
        ahead, next_m = copy.deepcopy(self), stop_m - 3 if stop_m > last_m else 0.0
        minutes = 0
        while minutes < 99 and not ahead.within(next_m):
            ahead.breathe(1.0, stop_m, stop_m, mix, loop_po2_bar, loop_po2_bar)
            minutes += 1
        return max(1, minutes)

    def no_stop_minutes(self, depth_m, mix, loop_po2_bar=None):
        """Whole minutes at this depth with the surface within limits, at most 99 as recorders show it."""
        ahead, minutes = copy.deepcopy(self), 0
        while minutes < 99:
            ahead.breathe(1.0, depth_m, depth_m, mix, loop_po2_bar, loop_po2_bar)
            if not ahead.within(0.0):
                break
            minutes += 1
        return minutes

    def surface_interval(self, minutes, air):
        """Rest on air; the next dive finds its own anchor."""
        self.breathe(minutes, 0.0, 0.0, air)
        self.anchor_m = 0.0


# NOAA single-exposure limits: PO2 (atm), minutes
_CNS = ((0.5, 900), (0.6, 720), (0.7, 570), (0.8, 450), (0.9, 360), (1.0, 300), (1.1, 240), (1.2, 210), (1.3, 180),
        (1.4, 150), (1.5, 120), (1.6, 45))


def cns_percent(minutes, po2_atm):
    if po2_atm <= 0.5:
        return 0.0
    po2_atm = min(po2_atm, 1.6)
    for (low, low_min), (high, high_min) in zip(_CNS, _CNS[1:]):
        if po2_atm <= high:
            break
    limit = low_min + (high_min - low_min) * (po2_atm - low) / (high - low)
    return 100 * minutes / limit


def otu(minutes, po2_atm):
    return minutes * ((po2_atm - 0.5) / 0.5) ** (5 / 6) if po2_atm > 0.5 else 0.0
