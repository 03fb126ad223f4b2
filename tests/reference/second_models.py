# SPDX-License-Identifier: GPL-3.0-or-later
"""Two models for the second replay that share nothing with ZH-L16, written from their definitions.

Exponential-linear, VVal-18 (Thalmann; Gerth and Doolette, NEDU TR 07-09): pressures in fsw, 33 to the atmosphere. Arterial
nitrogen A = P - PO2 - 1.5, at least 0; crossover X = P - 4.3. A tension T changes by k (A - T), but where T > X > A by
k (A - X). A compartment may go to pressure P with T <= M + P - 33. The table of M from memory.

MN90 (Marine nationale, 1990): nitrogen 0.80 of air, no water vapour; a compartment may go to P with T <= S P.

An interval of the first is followed in steps that are too short for a crossing to be missed; where the two sides of the
crossover change places, the instant is halved in. Ceilings, no-stop times and waits are halved in as well."""

import math

ATM = 1.01325
FSW = ATM / 33.0
DAY_MIN = 1440.0
SHORT_MIN = 0.005  # a stay on the other side of the crossover that may be passed over: under 1e-9 bar


def grown(start, from_, to, minutes, rate):
    """Exponential approach to a pressure that goes linearly from `from_` to `to`."""
    x = rate * minutes
    gone = -math.expm1(-x)
    lag = 1.0 - gone / x if x > 1e-3 else x / 2 - x ** 2 / 6 + x ** 3 / 24 - x ** 4 / 120 + x ** 5 / 720
    return start + (from_ - start) * gone + (to - from_) * lag


class Model:
    """Tensions in bar; a subclass says how one moves and what it may be."""

    def __init__(self, tensions):
        self.tensions = list(tensions)

    def copy(self):
        return type(self)(self.tensions)

    def follow(self, pieces):
        for piece in pieces:
            if piece.minutes > 0.0:
                self.tensions = [self.moved(c, t, piece.minutes, piece.ambient, piece.po2)
                                 for c, t in enumerate(self.tensions)]

    def gradients(self, ambient):
        return [100.0 * (t - ambient) / (self.most(c, ambient) - ambient) for c, t in enumerate(self.tensions)]

    def fine(self, ambient):
        return all(t <= self.most(c, ambient) for c, t in enumerate(self.tensions))

    def ceiling(self, profile):
        good, bad = 0.0, 0.0
        if self.fine(profile.surface):
            return 0.0
        good = 1.0
        while not self.fine(profile.pressure(good)):
            bad, good = good, 2.0 * good
        for _ in range(60):
            middle = 0.5 * (bad + good)
            if self.fine(profile.pressure(middle)):
                good = middle
            else:
                bad = middle
        return good if good >= 0.01 else 0.0

    def changes(self, c, here, po2, most):
        """Minutes until compartment c, staying, goes from one side of its limit to the other; None within a day. The
        tension runs one way."""
        now = self.tensions[c]
        at = lambda minutes: self.moved(c, now, minutes, (here, here), (po2, po2)) <= most
        side = now <= most
        low, high = 0.0, DAY_MIN
        if at(high) == side:
            return None
        while high - low > 1e-9:
            middle = 0.5 * (low + high)
            if at(middle) == side:
                low = middle
            else:
                high = middle
        return high

    def no_stop(self, here, po2, surface):
        if not self.fine(surface):
            return 0.0
        found = [self.changes(c, here, po2, self.most(c, surface)) for c in range(len(self.tensions))]
        found = [minutes for minutes in found if minutes is not None]
        return 60.0 * min(found) if found else None

    def wait(self, here, po2, level):
        minutes = 0.0
        for c, t in enumerate(self.tensions):
            if t > self.most(c, level):
                one = self.changes(c, here, po2, self.most(c, level))
                if one is None:
                    return None
                minutes = max(minutes, one)
        for c, t in enumerate(self.tensions):  # another one may have taken up too much by then
            if minutes > 0.0 and t <= self.most(c, level) and \
                    self.moved(c, t, minutes, (here, here), (po2, po2)) > self.most(c, level):
                return None
        return 60.0 * minutes


class Linear(Model):
    HALF = [5, 10, 20, 40, 80, 120, 160, 200, 240]
    M = [120, 98, 78, 56, 48.5, 45.5, 44.5, 44.0, 43.5]

    @classmethod
    def rest(cls, surface):
        return cls([0.79 * surface - 1.5 * FSW] * 9)

    @staticmethod
    def step_m(bar_per_m):
        return 10.0 * FSW / bar_per_m

    @staticmethod
    def covers(loop, o2, he):
        return he == 0.0

    def most(self, c, ambient):
        return self.M[c] * FSW + ambient - ATM

    def moved(self, c, tension, minutes, ambient, po2):
        raw = [p - o - 1.5 * FSW for p, o in zip(ambient, po2)]
        if min(raw) < -1e-12 and max(raw) > 1e-12:  # hardly anything but oxygen at one end
            share = raw[0] / (raw[0] - raw[1])
            middle = [ends[0] + (ends[1] - ends[0]) * share for ends in (ambient, po2)]
            tension = self.moved(c, tension, minutes * share, (ambient[0], middle[0]), (po2[0], middle[1]))
            return self.moved(c, tension, minutes * (1.0 - share), (middle[0], ambient[1]), (middle[1], po2[1]))
        arterial = [max(r, 0.0) for r in raw]
        crossover = [p - 4.3 * FSW for p in ambient]
        return self.follow_line(math.log(2.0) / self.HALF[c], tension, minutes, arterial, crossover)

    def follow_line(self, k, tension, minutes, arterial, crossover):
        a = lambda t: arterial[0] + (arterial[1] - arterial[0]) * t / minutes
        x = lambda t: crossover[0] + (crossover[1] - crossover[0]) * t / minutes

        def on(tension, t, u, straight):
            if straight:
                return tension + k * (u - t) * 0.5 * (a(t) - x(t) + a(u) - x(u))
            return grown(tension, a(t), a(u), u - t, k)

        def is_straight(tension, t):
            return tension > x(t) > a(t)

        t = 0.0
        while t < minutes:
            below = max(tension, a(t), arterial[1]) <= min(x(t), crossover[1])
            if below or min(a(t) - x(t), arterial[1] - crossover[1]) >= 0.0:
                return on(tension, t, minutes, False)
            bounds = (tension, a(t), arterial[1], x(t), crossover[1])
            fastest = k * (max(bounds) - min(bounds)) + \
                (abs(crossover[1] - crossover[0]) + abs(arterial[1] - arterial[0])) / minutes
            near = abs(tension - x(t))
            if tension > x(t):
                near = min(near, abs(a(t) - x(t)))
            u = min(minutes, t + max(SHORT_MIN, 0.9 * near / fastest))
            straight = is_straight(tension, t)
            there = on(tension, t, u, straight)
            if is_straight(there, u) != straight and u - t > 1e-10:
                low, high = t, u
                while high - low > 1e-13 * max(1.0, high):
                    middle = 0.5 * (low + high)
                    if middle in (low, high):
                        break
                    if is_straight(on(tension, t, middle, straight), middle) == straight:
                        low = middle
                    else:
                        high = middle
                tension = on(tension, t, high, straight)
                tension = on(tension, high, u, not straight) if u > high else tension
            else:
                tension = there
            t = u
        return tension


class Ratio(Model):
    HALF = [5, 7, 10, 15, 20, 30, 40, 50, 60, 80, 100, 120]
    S = [2.72, 2.54, 2.38, 2.20, 2.04, 1.82, 1.68, 1.61, 1.58, 1.56, 1.55, 1.54]

    @classmethod
    def rest(cls, surface):
        return cls([0.80 * surface] * 12)

    @staticmethod
    def step_m(bar_per_m):
        return 3.0

    @staticmethod
    def covers(loop, o2, he):
        return not loop and he == 0.0 and abs(o2 - 0.21) <= 0.005

    def most(self, c, ambient):
        return self.S[c] * ambient

    def moved(self, c, tension, minutes, ambient, po2):
        return grown(tension, 0.80 * ambient[0], 0.80 * ambient[1], minutes, math.log(2.0) / self.HALF[c])


MODELS = {"vval-18": Linear, "mn90": Ratio}


def selftest(check):
    """Published outcomes and closed forms; the program's own reference suite holds more of them."""
    class Piece:
        def __init__(self, minutes, ambient, po2):
            self.minutes, self.ambient, self.po2 = minutes, ambient, po2

    def dive(depth, minutes, down):  # air, fsw and fsw/min
        tissues, bottom = Linear.rest(ATM), (33.0 + depth) * FSW
        tissues.follow([Piece(depth / down, (ATM, bottom), (0.21 * ATM, 0.21 * bottom)),
                        Piece(minutes - depth / down, (bottom, bottom), (0.21 * bottom, 0.21 * bottom))])
        return tissues

    # NEDU TR 11-06 (2011), profile A1: 170 fsw for 30 min, down at 57 and up at 30 fsw/min: 174 min of stops in whole
    # minutes, the first at 40 fsw.
    tissues, depth, owed, deepest = dive(170.0, 30.0, 57.0), 170.0, 0.0, 0.0
    while depth > 0.0:
        level = depth - 10.0
        here, there = (33.0 + depth) * FSW, (33.0 + level) * FSW
        wait = tissues.wait(here, 0.21 * here, there) / 60.0
        tissues.follow([Piece(wait, (here, here), (0.21 * here, 0.21 * here)),
                        Piece(1.0 / 3.0, (here, there), (0.21 * here, 0.21 * there))])
        owed, deepest = owed + wait, max(deepest, depth if wait > 0.0 else 0.0)
        depth = level
    check.close("VVal-18, profile A1", owed, 174.0, 1.6)
    check.close("VVal-18, profile A1, first stop", deepest, 40.0, 0.0)
    # From 56 fsw at 10 fsw on air the compartment of 40 min falls straight to the crossover: (T - X) / (k (X - A)).
    p, k = 43.0, math.log(2.0) / 40.0
    straight = (56.0 - (p - 4.3)) / (k * (p - 4.3 - (0.79 * p - 1.5)))
    both = (p * FSW, p * FSW)
    at = Linear.rest(ATM).moved(3, 56.0 * FSW, straight, both, (0.21 * both[0], 0.21 * both[1]))
    check.close("VVal-18, crossover", at / FSW, p - 4.3, 1e-9)
    # Critical-ratio exercise (chim.lu, Plongee et chimie, ch1425): 45 m, 30 min, compartment of 10 min: 3.95 bar.
    check.close("MN90, 10 min", Ratio.rest(1.0).moved(2, 0.8, 30.0, (5.5, 5.5), (0.0, 0.0)), 3.95, 1e-12)
    # Table MN90 (from memory): no-stop 75 min at 15 m, 40 at 20 m; the model behind it 76.3 and 43.0.
    for depth, minutes in ((15.0, 75.0), (20.0, 40.0)):
        check.close("MN90, no-stop", Ratio.rest(1.0).no_stop(1.0 + depth / 10.0, 0.0, 1.0) / 60.0, minutes, 3.4)
