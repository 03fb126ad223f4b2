#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Writes an invented class for the review: make_class.py OUTDIR [--truth FILE]. The same bytes every time.

An instructor and four students of the invented school on one dive, each with their own recorder and what is wrong with
it; the log of somebody who was elsewhere that day; and slate-45.txt, the plan. --truth writes what is planted, as JSON.

All went along one line of depth against time, each with a smooth wander of up to 1 m of their own. Depths here are
metres of 10 to the bar; what a recorder displays follows from the density it is set to. Time here is that of the
place, from the moment at which the line leaves the surface; what a recorder notes follows from how far its clock is
ahead."""
import bisect
import datetime
import json
import math
import pathlib
import random
import sys
from dataclasses import dataclass

sys.dont_write_bytecode = True

from samples.diver import Waypoint  # noqa: E402
from samples.gear import EAN32, EAN50, OXYGEN, QUARRY, TRIMIX, Tank  # noqa: E402
from samples.uddf import Log, Outing  # noqa: E402
from samples.uddf3 import write_3  # noqa: E402

SPACE = "http://www.streit.cc/uddf/3.2/"
PLACE = ("Skiferholt quarry", "Skiferholt")
PASCAL = 98400
MOST_WANDER_M = 1.0
G_M_S2, TEN_TO_THE_BAR = 9.80665, 1e4 / 9.80665


def at(minutes, seconds=0):
    return 60 * minutes + seconds


# --- lines -----------------------------------------------------------------------------------------------------------

class Line:
    """Straight from knot to knot (time_s, value), constant outside."""

    def __init__(self, *knots):
        self.t, self.v = [k[0] for k in knots], [k[1] for k in knots]
        assert all(a < b for a, b in zip(self.t, self.t[1:]))

    def __call__(self, t):
        if t <= self.t[0] or t >= self.t[-1]:
            return self.v[0] if t <= self.t[0] else self.v[-1]
        i = bisect.bisect_right(self.t, t)
        return self.v[i - 1] + (self.v[i] - self.v[i - 1]) * (t - self.t[i - 1]) / (self.t[i] - self.t[i - 1])

    def rounded(self, t, half_s=4):
        """The mean over `half_s` to either side: nobody turns a corner at once."""
        return sum(self(t - half_s + half_s * k / 4) for k in range(9)) / 9


class Waves:
    """Some slow waves whose sum stays within 1. Only random() is drawn from."""

    def __init__(self, seed):
        draw = random.Random(seed).random
        waves = [(0.4 + draw(), 6.283185307 * draw(), 60 + 240 * draw()) for _ in range(4)]
        whole = sum(w[0] for w in waves)
        self.waves = [(size / whole, phase, long) for size, phase, long in waves]

    def __call__(self, t):
        return sum(size * math.sin(phase + 6.283185307 * t / long) for size, phase, long in self.waves)


# --- the dive of the class -------------------------------------------------------------------------------------------

STAGES = [(at(3), 45), (at(8), 44.6), (at(12), 45), (at(17), 44.4), (at(20), 45), (at(22), 45), (at(24, 20), 24),
          (at(26, 20), 24), (at(26, 44), 21), (at(29, 20), 21), (at(29, 44), 18), (at(31, 10), 18), (at(31, 34), 15),
          (at(33, 30), 15), (at(33, 54), 12), (at(37), 12), (at(37, 24), 9), (at(43), 9), (at(43, 24), 6), (at(68), 6),
          (at(70), 0)]
LEFT_12, AT_9 = (at(37), 12), (at(37, 24), 9)
LATE_LEFT_12_S, LATE_AT_9_S = 80, 75
ABOVE_M, ABOVE_FROM_S, ABOVE_TO_S, ABOVE_WAY_S = 7.5, at(13), at(14, 30), 45
EARLY_S = 100
SWITCH_S = {EAN50.id: at(26, 54), OXYGEN.id: at(43, 34)}


@dataclass
class Member:
    """Who dived, and with which recorder. ahead_s: what its clock shows more than that of the place."""
    name: tuple
    stem: str
    interval_s: int
    ahead_s: float
    begins_s: int      # before the leaving the recorder wakes up so long
    hand_m: float      # how much deeper than asked stops are kept
    pause_s: int       # after the line's instant a mix is taken so long
    rmv_l_min: float
    twins_bar: float
    number: int
    story: str
    density: float = None  # as the log states it
    late: bool = False
    above: bool = False
    early: bool = False


RAGNA = Member(("Ragna", "Skiferdal"), "ragna", 2, 0.0, 14, 0.20, 8, 15.1, 229.0, 512, "The instructor of the class.")
SECOND = Member(("Ragna", "Skiferdal"), "ragna-second", 5, 12.0, 20, 0.20, 8, 15.1, 229.0, 87,
                "The instructor's second recorder, 12 s ahead of the first.")
MEMBERS = [
    RAGNA, SECOND,
    Member(("Eskil", "Tangrimsson"), "eskil", 4, 3604.0, 11, 0.31, 4, 18.8, 226.0, 131,
           "A student; the clock still on the summer time of somewhere else. EAN50 taken at 24 m.", early=True),
    Member(("Solveig", "Holmgard"), "solveig", 5, 7.3, 17, 0.12, 12, 16.4, 231.0, 118,
           "A student; the recorder set to fresh water, its clock 7.3 s ahead. A look at the crane, 7.5 m up.",
           density=1000.0, above=True),
    Member(("Torunn", "Bergholt"), "torunn", 20, -41.0, 35, 0.26, 15, 17.0, 224.0, 104,
           "A student; a sample every 20 s, the clock 41 s behind."),
    Member(("Idun", "Vassfjell"), "idun", 10, -2.5, 12, 0.42, 20, 20.3, 230.0, 96,
           "A student; a leaking valve to look at on 12 m, so late on 9 m.", late=True),
]
DAY = datetime.datetime(2025, 6, 7, 10, 31, 6)  # the clock of the place at time 0


class Course:
    """True depth, m, against the time of the place, s."""

    def __init__(self, member):
        person = member.name[0]
        stages = list(STAGES)
        if member.late:
            stages[stages.index(LEFT_12)] = (LEFT_12[0] + LATE_LEFT_12_S, 12)
            stages[stages.index(AT_9)] = (AT_9[0] + LATE_AT_9_S, 9)
        self.line, self.waves = Line((0, 0), *stages), Waves(f"class/{person}")
        self.hand_m = member.hand_m
        self.share = Line((at(1), 0), (at(4), 1), (at(21), 1), (at(24), 0.3), (at(43), 0.3), (at(43, 24), 0.1),
                          (at(66), 0.1), (at(68), 0))
        self.deeper = Line((at(22), 0), (at(24), 1), (at(43), 1), (at(43, 24), 0.4), (at(67, 40), 0.4), (at(69), 0))
        self.above = Line((0, 0), (1, 0))
        if member.above:
            self.above = Line((ABOVE_FROM_S - ABOVE_WAY_S, 0), (ABOVE_FROM_S, ABOVE_M), (ABOVE_TO_S, ABOVE_M),
                              (ABOVE_TO_S + ABOVE_WAY_S, 0))

    def wander_m(self, t):
        room = MOST_WANDER_M - self.hand_m * self.deeper(t)
        return room * self.share(t) * self.waves(t) + self.hand_m * self.deeper(t)

    def depth_m(self, t):
        depth = self.line.rounded(t) + self.wander_m(t) - self.above.rounded(t)
        return max(0.0, depth) if 0 < t < self.line.t[-1] + 4 else 0.0


def switches(member):
    """Time of the place and mix."""
    rich_s, oxygen_s = (SWITCH_S[mix.id] + member.pause_s for mix in (EAN50, OXYGEN))
    return [(rich_s - (EARLY_S if member.early else 0), EAN50), (oxygen_s, OXYGEN)]


# --- recorders -------------------------------------------------------------------------------------------------------

class Worn:
    """What a recorder stored of one dive: the part of a diver that the writer of a log asks for."""

    def __init__(self, member, day, depth_m, lasts_s, mixes, changes, tanks):
        self.tanks, self.member = tanks, member
        self.bar = {tank.id: tank.bar for tank in tanks}
        self.start = first_tick(member, day)
        self.phase_s = (self.start - day).total_seconds() - member.ahead_s  # the time of the place at the first sample
        self.waypoints, waiting = [], {"mix": mixes[0].id, "mode": "opencircuit"}
        changes, breathed = list(changes), mixes[0]
        for time_s in range(0, round(lasts_s + 40 - self.phase_s), member.interval_s):
            now_s = time_s + self.phase_s
            while changes and changes[0][0] <= now_s:
                breathed = changes.pop(0)[1]
                waiting["mix"] = breathed.id
            depth = depth_m(now_s)
            self.breathe(depth, breathed)
            point = Waypoint(time_s, round(depth * TEN_TO_THE_BAR / (member.density or TEN_TO_THE_BAR), 1), **waiting)
            waiting = {}
            if time_s % 60 == 0:
                point.temperature_c = round(QUARRY.at(depth), 1)
                point.tanks_bar = {tank.id: round(self.bar[tank.id]) for tank in tanks}
            self.waypoints.append(point)

    def breathe(self, depth, breathed):
        for tank in self.tanks:
            if tank.mix == breathed.id and depth > 0:
                litres = self.member.rmv_l_min * (PASCAL / 1e5 + depth / 10) * self.member.interval_s / 60
                self.bar[tank.id] -= litres / tank.litres


def first_tick(member, day):
    """Recorders begin at a whole second of their own clock."""
    begins = day + datetime.timedelta(seconds=member.ahead_s - member.begins_s)
    return begins.replace(microsecond=0)


def class_dive(member):
    course = Course(member)
    tanks = (Tank("t_back", "twin twelves", 24.0, member.twins_bar, TRIMIX.id),
             Tank("t_fifty", "fifty stage", 11.1, 201.0, EAN50.id, "aluminium"),
             Tank("t_oxygen", "oxygen stage", 11.1, 196.0, OXYGEN.id, "aluminium"))
    return Worn(member, DAY, course.depth_m, STAGES[-1][0], (TRIMIX,), switches(member), tanks)


def easy_dive(member, day, depth_m, minutes):
    """Along the wall on EAN32, and a stop at 5 m: another day, without the class."""
    person = member.name[0]
    line = Line((0, 0), (at(2), depth_m), (at(minutes // 2), depth_m - 2), (at(minutes - 12), depth_m * 0.55),
                (at(minutes - 6), 5), (at(minutes - 2), 5), (at(minutes), 0))
    waves = Waves(f"easy/{person}/{day}")
    share = Line((at(1), 0), (at(3), 1), (at(minutes - 8), 1), (at(minutes - 6), 0.2), (at(minutes - 2), 0))
    true = lambda t: max(0.0, line.rounded(t) + share(t) * waves(t)) if 0 < t < at(minutes) + 4 else 0.0
    tanks = (Tank("t_single", "single fifteen", 15.0, 207.0, EAN32.id),)
    return Worn(member, day, true, at(minutes), (EAN32,), [], tanks)


# --- logs ------------------------------------------------------------------------------------------------------------

OTHER_DIVES = {  # day, depth, minutes; a recorder's clock is off on every day
    "ragna": [((2025, 6, 1, 11, 2, 40), 27.5, 44)],
    "ragna-second": [((2025, 6, 9, 9, 48, 12), 22.0, 51)],
    "eskil": [((2025, 5, 31, 10, 15, 0), 24.0, 47), ((2025, 6, 14, 13, 5, 30), 19.0, 55)],
    "solveig": [((2025, 6, 5, 17, 31, 20), 21.0, 49)],
    "torunn": [((2025, 5, 31, 10, 16, 10), 25.5, 45), ((2025, 6, 8, 11, 44, 0), 18.0, 58)],
    "idun": [((2025, 6, 8, 9, 12, 50), 20.0, 52)],
}
WRONG = Member(("Hallvor", "Nessheim"), "wrong-dive", 5, 0.0, 15, 0.2, 10, 16.0, 215.0, 61,
               "Somebody who dived elsewhere in the quarry that day.")
WRONG_DIVES = [((2025, 6, 7, 10, 26, 30), 26.0, 46), ((2025, 6, 7, 14, 18, 0), 17.0, 57)]


def log_of(member, dives, mixes):
    outings = []
    for i, worn in enumerate(sorted(dives, key=lambda d: d.start)):
        identity = "class" if TRIMIX.id in [tank.mix for tank in worn.tanks] else f"other_{i + 1}"
        outings.append(Outing(identity, worn.start.isoformat(), worn, member.number + i, surface_pascal=PASCAL))
        if i:
            before = outings[i - 1].diver
            outings[i].interval_s = round((worn.start - before.start).total_seconds()) - before.waypoints[-1].time_s
    buddy = ("Ragna", "Skiferdal") if member.name[0] != "Ragna" else ("Eskil", "Tangrimsson")
    log = Log("3.2.2", member.story, member.name, buddy, *PLACE, outings, SPACE, site_density=member.density)
    return write_3(log, mixes, "2025-06-15T20:00:00")


def member_log(member):
    others = [easy_dive(member, datetime.datetime(*day), *rest) for day, *rest in OTHER_DIVES[member.stem]]
    return log_of(member, [class_dive(member), *others], (TRIMIX, EAN50, OXYGEN, EAN32))


def wrong_log():
    dives = [easy_dive(WRONG, datetime.datetime(*day), *rest) for day, *rest in WRONG_DIVES]
    return log_of(WRONG, dives, (EAN32,))


SLATE = """\
# SPDX-License-Identifier: GPL-3.0-or-later
# First helium class, Skiferholt quarry, Saturday. run  depth  mix

0      0    18/45
3      45
18     45
20:30  24
22:30  24
23     21   EAN50
25:30  21
26     18
27     18
27:30  15
29:30  15
30     12
33     12
33:30  9
39     9
39:30  6    oxygen
62     6
64     0

variant longer         # leaves the bottom four minutes later
0      0    18/45
3      45
22     45
24:30  24
26:30  24
27     21   EAN50
29:30  21
30     18
31     18
31:30  15
33:30  15
34     12
37     12
37:30  9
43     9
43:30  6    oxygen
68     6
70     0

variant deeper
0      0    18/45
3      48
18     48
20:30  27
21:30  27
22:30  21   EAN50
25:30  21
26     18
27:30  18
28     15
30     15
30:30  12
34     12
34:30  9
41     9
41:30  6    oxygen
67     6
69     0

variant lost EAN50     # on what is left in the twins until the oxygen
0      0    18/45
3      45
18     45
20     27
21     27
21:30  24
22:30  24
23     21
24:30  21
25     18
27     18
27:30  15
31     15
31:30  12
37     12
37:30  9
48     9
48:30  6    oxygen
76     6
78     0
"""


# --- what is planted -------------------------------------------------------------------------------------------------

def truth():
    clock = lambda member: {"clock_offset_s": RAGNA.ahead_s - member.ahead_s, "interval_s": member.interval_s,
                            "water_kg_m3": member.density or TEN_TO_THE_BAR,
                            "switches": [{"to": mix.name, "time_s": t} for t, mix in switches(member)]}
    name = lambda mark: next(m.name[0] for m in MEMBERS if getattr(m, mark))
    return {
        "shared_dive": "class", "date": DAY.date().isoformat(), "time_0": DAY.isoformat(),
        "files": {f"ok-class-{m.stem}.uddf": {"name": m.name[0], **clock(m)} for m in MEMBERS},
        "zone": {"name": name("early"), "zone_s": -3600},
        "late": {"name": name("late"), "leaves_12_m_later_s": LATE_LEFT_12_S, "at_9_m_later_s": LATE_AT_9_S,
                 "at_9_m_s": AT_9[0] + LATE_AT_9_S},
        "above": {"name": name("above"), "by_m": ABOVE_M, "from_s": ABOVE_FROM_S, "to_s": ABOVE_TO_S},
        "early_switch": {"name": name("early"), "to": EAN50.name, "by_s": EARLY_S, "depth_m": 24},
        "wrong": "note-class-wrong-dive.uddf", "plan": {"file": "slate-45.txt", "best_variant": "longer"}}


def promise():
    """What the story says of true depths."""
    courses = {m.name[0]: Course(m) for m in MEMBERS}
    for course in courses.values():
        assert all(abs(course.wander_m(t)) <= MOST_WANDER_M for t in range(STAGES[-1][0]))
    above = courses.pop(next(m.name[0] for m in MEMBERS if m.above))
    for course in courses.values():
        apart = [course.depth_m(t) - above.depth_m(t) for t in range(ABOVE_FROM_S, ABOVE_TO_S)]
        assert sum(apart) / len(apart) > 6 and max(apart) < 10
        assert sum(a > 6 for a in apart) > 75, min(apart)


def make(outdir):
    promise()
    for member in MEMBERS:
        (outdir / f"ok-class-{member.stem}.uddf").write_bytes(member_log(member))
    (outdir / "note-class-wrong-dive.uddf").write_bytes(wrong_log())
    (outdir / "slate-45.txt").write_text(SLATE, encoding="utf-8")


def main(arguments):
    wants_truth = len(arguments) == 3 and arguments[1] == "--truth"
    if len(arguments) != 1 and not wants_truth:
        print("usage: make_class.py OUTDIR [--truth FILE]", file=sys.stderr)
        return 2
    outdir = pathlib.Path(arguments[0])
    outdir.mkdir(parents=True, exist_ok=True)
    make(outdir)
    if wants_truth:
        pathlib.Path(arguments[2]).write_text(json.dumps(truth(), indent=1) + "\n", encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
