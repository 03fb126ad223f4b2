#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Writes an invented history of one diver, for audits: make_audit.py OUTDIR. The same bytes every time.

Files: old.uddf (a first recorder), main.uddf (the present one), second.uddf (a second recorder worn on some dives, and
what else it holds), kept.uddf (statements kept by hand, without profiles), empty.uddf (a log without dives).
expected.json: the day of the audit, the order of the files and what each dive is by construction: standing, reason, the
dive it is told with, and (where construction settles it) whether stops were owed."""
import datetime
import json
import math
import pathlib
import random
import sys

AS_OF = "2026-11-15"
FILES = ["old.uddf", "main.uddf", "second.uddf", "kept.uddf"]
OWNERS = {"old.uddf": ("S.", "Aasbrekk"), "main.uddf": ("Sunniva", "Aasbrekk"), "second.uddf": ("Sunniva", "Aasbrekk"),
          "kept.uddf": ("Sunniva", "Åsbrekk"), "empty.uddf": ("Sunniva", "Aasbrekk")}
MIXES = {"air": (0.21, 0.0), "ean32": (0.32, 0.0), "ean50": (0.50, 0.0), "oxygen": (1.0, 0.0), "tx1845": (0.18, 0.45),
         "tx2135": (0.21, 0.35)}
SUMMER = [("2024-03-31", "2024-10-27"), ("2025-03-30", "2025-10-26"), ("2026-03-29", "2026-10-25")]


# --- profiles: lists of [time_s, depth_m, extras of the waypoint] -----------------------------------------------------

class Swim:
    """A course second by second; time 0 at the surface."""

    def __init__(self, seed):
        self.draw = random.Random(seed).random
        self.depth, self.named = [0.0], {}

    def to(self, depth_m, rate_m_min):
        at = self.depth[-1]
        seconds = max(1, round(abs(depth_m - at) / rate_m_min * 60))
        self.depth += [at + (depth_m - at) * (i + 1) / seconds for i in range(seconds)]
        return self

    def stay(self, seconds, sway_m=0.15):
        """Around this depth, never deeper than it."""
        at, phase = self.depth[-1], 6.28 * self.draw()
        period = 40 + 30 * self.draw()
        self.depth += [at - sway_m * (1 - math.cos(phase + 6.283 * (i + 1) / period)) / 2 for i in range(seconds)]
        return self

    def roam(self, seconds, up_m):
        """Along a bottom that rises by up to `up_m` and falls again; no two are alike."""
        at = self.depth[-1]
        waves = [(0.3 + self.draw(), 6.283 * self.draw(), 170 + 700 * self.draw()) for _ in range(4)]
        whole = sum(w[0] for w in waves)
        for i in range(seconds):
            share = sum(w * (1 - math.cos(p + 6.283 * (i + 1) / long)) / 2 for w, p, long in waves) / whole
            ramp = min(1.0, (i + 1) / 60, (seconds - i) / 60)
            self.depth.append(at - up_m * ramp * share)
        return self

    def name(self, **extras):
        self.named[len(self.depth) - 1] = extras
        return self

    def sampled(self, interval_s, phase_s=0):
        """As a recorder stores it, first sample at the surface; what is named goes to the next sample."""
        points, waiting = [], {}
        last = len(self.depth) - 1
        for second in range(last + interval_s):
            if second in self.named:
                waiting.update(self.named[second])
            if second >= phase_s and (second - phase_s) % interval_s == 0:
                points.append([second - phase_s, round(self.depth[min(second, last)], 1), waiting])
                waiting = {}
        return points


def easy(seed, depth_m, minutes, interval_s=10):
    """No stop owed: less time than the tables give; up along the wall, a stop at 5 m."""
    swim = Swim(seed)
    swim.to(depth_m, 17).roam(round(20 * minutes), depth_m / 6).to(depth_m * 0.6, 8)
    swim.roam(round(22 * minutes), depth_m / 5).to(5, 8).stay(180).to(0, 6)
    return swim.sampled(interval_s)


def staged_swim(seed, depth_m, bottom_min, stops, mixes=("air",), up_m=4.0):
    """Stops: (depth, minutes, mix or None) from the deepest."""
    swim = Swim(seed).name(mix=mixes[0])
    swim.to(depth_m, 18).roam(60 * bottom_min, up_m)
    for stop_m, minutes, mix in stops:
        swim.to(stop_m, 9)
        if mix:
            swim.name(mix=mix)
        swim.stay(60 * minutes)
    return swim.to(0, 5)


def staged(seed, depth_m, bottom_min, stops, mixes=("air",), interval_s=10, up_m=4.0):
    return staged_swim(seed, depth_m, bottom_min, stops, mixes, up_m).sampled(interval_s)


def loop(seed, depth_m, bottom_min, stops):
    swim = Swim(seed).name(mix="tx2135", mode="closedcircuit", set_point=1.2)
    swim.to(depth_m, 18).roam(60 * bottom_min, 2.0)
    for stop_m, minutes in stops:
        swim.to(stop_m, 9).stay(60 * minutes)
    return swim.to(0, 5).sampled(10)


def platform(depth_m, minutes, interval_s):
    """To a flat bottom and back: every such dive looks like the other."""
    swim = Swim("platform").to(depth_m, 18)
    swim.depth += [depth_m] * (60 * minutes)
    return swim.to(5, 9).stay(180, 0.0).to(0, 6).sampled(interval_s)


def greatest(points):
    return max(p[1] for p in points)


def run_time(points):
    deep = [i for i, p in enumerate(points) if p[1] > 1.5]
    leaving = max([i for i in range(deep[0]) if points[i][1] <= 0.5], default=0)
    end = min(i for i in range(deep[-1], len(points)) if points[i][1] <= 0.5)
    return points[end][0] - points[leaving][0]


def exactly_deep(points, depth_m):
    """The same dive with a greatest depth of just that."""
    away = depth_m - greatest(points)
    for point in points:
        if point[1] > 8:
            point[1] = round(point[1] + away, 1)
    assert greatest(points) == depth_m
    return points


def exactly_long(make, seconds, interval_s=10):
    """make(extra seconds at the bottom) so that the run time is just that."""
    points = make(0)
    extra = seconds - run_time(points)
    points = make(extra)
    while run_time(points) != seconds:
        extra += seconds - run_time(points)
        points = make(extra)
    return points


def noisy(points, seed, metres):
    draw = random.Random(seed).random
    return [[t, round(max(0.0, d + metres * (2 * draw() - 1)), 1) if d > 0 else d, x] for t, d, x in points]


def copied(points):
    return [[t, d, dict(x)] for t, d, x in points]


def resampled(points, interval_s, deeper_m=0.0, later_s=0):
    """The straight lines of a record, read by another recorder."""
    out, i = [], 0
    named = dict(points[0][2])
    for time in range(0, points[-1][0] + interval_s, interval_s):
        at = min(time + later_s, points[-1][0])
        while points[i + 1][0] < at and i + 2 < len(points):
            i += 1
            named.update(points[i][2])
        (t0, d0, _), (t1, d1, _) = points[i], points[i + 1]
        depth = d0 + (d1 - d0) * (at - t0) / (t1 - t0)
        out.append([time, round(depth + (deeper_m if depth > 1 else 0), 1), named])
        named = {}
    return out


# --- the book of dives -----------------------------------------------------------------------------------------------

class Book:
    def __init__(self):
        self.dives = {name: [] for name in FILES}
        self.by_id = {}

    def add(self, file, start, points, standing="recorded", reason=None, other=None, deco=None, id=None, really=None,
            **stated):
        """start: 'YYYY-MM-DD HH:MM[:SS]' on the clock of the place, 'YYYY-MM-DD', or None; really: when it was, where the
        clock says otherwise; stated: depth_m, duration_s, mixes, zone."""
        count = len(self.dives[file]) + 1
        dive = dict(id=id or "%s-%03d" % (file[0], count), file=file, start=start, points=points, standing=standing,
                    reason=reason, other=other, decompression=deco, stated=stated,
                    really=really or start or "9999")
        assert dive["id"] not in self.by_id
        self.dives[file].append(dive)
        self.by_id[dive["id"]] = dive
        return dive["id"]

    def put_numbers(self):
        for dives in self.dives.values():
            for number, dive in enumerate(sorted(dives, key=lambda d: d["really"]), 1):
                dive["number"] = number

    def points(self, id):
        return copied(self.by_id[id]["points"])

    def later(self, id, seconds):
        start = moment(self.by_id[id]["start"]) + datetime.timedelta(seconds=seconds)
        return start.strftime("%Y-%m-%d %H:%M:%S")


def moment(text):
    return datetime.datetime.fromisoformat(text)


def zone_of(start):
    return "+02:00" if any(a <= start[:10] < b for a, b in SUMMER) else "+01:00"


def fill_old(book):
    """A first recorder: quarry dives, a leap day, a flat platform for drills, now and then a staged dive."""
    for n, day in enumerate(["2024-02-29", "2024-03-09", "2024-03-10", "2024-03-23", "2024-04-06", "2024-04-07",
                             "2024-04-20", "2024-05-04", "2024-05-05", "2024-05-18", "2024-06-01", "2024-06-08"]):
        book.add("old.uddf", day + " 10:%02d" % (4 * n), easy("old%d" % n, 13.4 + 0.9 * n, 38 - 1.3 * n), deco=False)
    for n in range(6):  # drills on a platform, three an afternoon; sampled every 20 or 30 s
        book.add("old.uddf", "2024-06-%02d %02d:30" % (15 + n // 3, 11 + 2 * (n % 3)),
                 platform(12.0, 25, 20 if n < 3 else 30), deco=False)
    for n, day in enumerate(["2024-07-06", "2024-07-20", "2024-08-03", "2024-08-17"]):
        book.add("old.uddf", day + " 09:15", staged("oldstaged%d" % n, 36.9 + 1.7 * n, 22 + n, [(6, 4, None), (3, 12, None)]),
                 deco=True)
    book.add("old.uddf", "2024-09-07 10:00", pool(2.8, 40), "set-aside", "no-dive")
    book.add("old.uddf", "2024-09-07 14:00", pool(3.4, 2), "set-aside", "no-dive")
    book.add("old.uddf", "2024-09-14 14:00", pool(4.2, 6), deco=False)


def pool(depth_m, minutes):
    return Swim("pool").to(depth_m, 10).stay(60 * minutes, 0.1).to(0.0, 9).stay(60, 0.0).sampled(10)


def fill_main(book):
    """The present recorder: easy dives, staged dives on air and on helium, a loop, a clock reset, a clock set to winter."""
    add = lambda *a, **k: book.add("main.uddf", *a, **k)
    for n in range(14):
        day = datetime.date(2024, 10, 5) + datetime.timedelta(days=9 * n + n % 3)
        add("%s 11:%02d" % (day, n), easy("main%d" % n, 16.2 + 1.1 * ((5 * n) % 13), 33 - 1.1 * ((5 * n) % 13)), deco=False)
    # its battery was changed: a day and an hour of nothing, the numbers go on
    for n in range(3):
        add("2000-01-01 0%d:20" % (2 * n), easy("reset%d" % n, 17.7 + 2.2 * n, 30 - n), deco=False, id="reset-%d" % n,
            really="2025-02-2%d 10:00" % n)
    for n in range(8):
        day = datetime.date(2025, 3, 1) + datetime.timedelta(days=11 * n)
        add("%s 09:4%d" % (day, n), staged("air%d" % n, 37.3 + 1.1 * n, 20 + n % 5, [(9, 2, None), (6, 5, None), (3, 14, None)]),
            deco=True, id="air-%d" % n)
    # exactly on limits
    add("2025-06-14 10:00", exactly_deep(staged("limit36", 36.4, 24, [(6, 5, None), (3, 12, None)]), 36.0), deco=True,
        id="deep-36.0")
    add("2025-06-21 10:00", exactly_deep(staged("limit359", 36.4, 25, [(6, 5, None), (3, 13, None)]), 35.9), deco=True,
        id="deep-35.9")
    add("2025-06-28 10:00", exactly_deep(staged("limit46", 45.6, 21, [(9, 4, None), (6, 7, None), (3, 17, None)]), 46.0),
        deco=True, id="deep-46.0")
    add("2025-07-05 10:00", exactly_deep(staged("limit461", 45.6, 22, [(9, 4, None), (6, 7, None), (3, 18, None)]), 46.1),
        deco=True, id="deep-46.1")
    for seconds in (3600, 3590):
        add("2025-07-%02d 10:00" % (12 if seconds == 3600 else 13), exactly_long(lambda extra: long_one(seconds, extra), seconds),
            deco=True, id="long-%d" % seconds)
    # helium, with one and with two changes of mix
    for n in range(6):
        stops = [(21, 3, "ean50"), (9, 3, None), (6, 14, "oxygen")]
        add("2025-08-%02d 08:30" % (2 + 4 * n), staged("helium%d" % n, 48.4 + 2.3 * n, 19 + n % 4, stops, ("tx1845",)), deco=True,
            id="helium-%d" % n)
    for n in range(3):
        add("2025-09-%02d 08:30" % (6 + 7 * n), staged("light%d" % n, 40.2 + n, 18, [(21, 2, "ean50"), (6, 9, None)], ("tx2135",)),
            deco=True, id="light-%d" % n)
    for n in range(2):
        add("2025-10-%02d 09:00" % (4 + 7 * n), loop("loop%d" % n, 41 + 3 * n, 25, [(12, 2), (9, 3), (6, 20)]), deco=None,
            id="loop-%d" % n)
    # the night the clocks go back: on the wall clock the second begins before the first has ended
    add("2025-10-26 02:05", easy("night1", 17.9, 30), deco=False, id="night-summer", zone="+02:00")
    add("2025-10-26 02:15", easy("night2", 14.1, 28), deco=False, id="night-winter", zone="+01:00")
    fill_last_year(add)


def long_one(seconds, extra):
    """Well over what needs no stop; ends an hour, or ten seconds less, after it began."""
    deeper_m = 0.0 if seconds == 3600 else 1.7
    swim = Swim("long%d" % seconds).name(mix="air").to(45.4 + deeper_m, 18).roam(900, 4.0).to(21 + 2 * deeper_m, 9)
    return swim.roam(600 + extra, 3.0).to(6, 9).stay(420).to(3, 9).stay(720).to(0, 6).sampled(10)


def fill_last_year(add):
    for n in range(8):
        day = datetime.date(2025, 11, 15) + datetime.timedelta(days=19 * n)
        add("%s 10:3%d" % (day, n), easy("winter%d" % n, 15.6 + 1.6 * ((3 * n) % 8), 34 - 1.5 * ((3 * n) % 8)), deco=False)
    # six months before the day of the audit is the 15th of May
    for n, (start, id) in enumerate([("2026-05-14 23:10", "day-before"), ("2026-05-15 00:50", "day-of"),
                                     ("2026-05-15 22:50", "day-of-late")]):
        add(start, staged(id, 38.2 + 1.3 * n, 23, [(6, 4 + n, None), (3, 13 + 2 * n, None)]), deco=True, id=id)
    # stops left out, and an ascent that was too quick for any limit
    add("2026-06-06 10:00", staged("left1", 40.3, 30, []), deco=True, id="stops-left-out")
    add("2026-06-20 10:00", staged("left2", 38.8, 24, [(3, 1, None)]), deco=True, id="stop-short")
    add("2026-07-04 10:00", quick(), deco=False, id="quick")
    for n in range(6):
        add("2026-07-%02d 15:1%d" % (11 + 3 * n, n), staged("summer%d" % n, 37.8 + 1.3 * n, 21 + n % 3,
            [(9, 2, None), (6, 5, "ean50"), (3, 8, None)]), deco=True, id="summer-%d" % n)
    # a spike, and two quick steps that last four seconds: records of dives
    spiked = easy("spiked", 19.3, 28)
    spiked[60][1] = 55.0
    add("2026-08-15 10:00", spiked, deco=False, id="spike")
    add("2026-08-16 10:00", stepped(4), deco=False, id="steps-4-s")
    # what is stated lies just on the bounds of what a record can differ by
    level = exactly_deep(easy("stated1", 20.2, 30), 20.0)
    add("2026-08-22 10:00", level, deco=False, id="stated-depth-bound", depth_m=22.0)
    add("2026-08-23 10:00", level_long(2400), deco=False, id="stated-duration-bound", duration_s=2940)
    for n in range(4):
        add("2026-09-%02d 10:00" % (5 + 5 * n), staged("autumn%d" % n, 43.1 + 0.8 * n, 20 + n, [(9, 3, None), (6, 6, None), (3, 16, None)]),
            deco=True, id="autumn-%d" % n)
    add("2026-11-15 22:50", easy("last", 21.4, 26), deco=False, id="on-the-day")
    # written on the 1st and the 2nd of November, in the other order by zone: two days, not three
    add("2026-11-02 00:30", easy("travel1", 15.3, 20), deco=False, id="east-of-midnight", zone="+03:00", really="2026-11-01 22:30")
    add("2026-11-01 23:10", easy("travel2", 12.9, 22), deco=False, id="west-of-midnight", zone="+01:00")
    add("2026-11-02 01:50", easy("travel3", 14.2, 19), deco=False, id="east-again", zone="+03:00")
    # a date without a time lies between these two records of one dive
    add("2026-11-05 00:58", staged("midnight", 37.2, 22, [(6, 4, None), (3, 12, None)]), deco=True, id="midnight")
    # two dives that one statement spans
    add("2026-11-07 10:00", easy("spanned1", 16.1, 30), deco=False, id="spanned-1")
    add("2026-11-07 11:10", exactly_deep(easy("spanned2", 25.2, 24), 25.0), deco=False, id="spanned-2")
    # planted: doubts about the record
    add("2026-11-16 00:10", easy("after1", 18.4, 27), "set-aside", "after-day", id="after-midnight")
    add("2026-12-05 10:00", easy("after2", 20.4, 25), "set-aside", "after-day", id="after")
    add("2026-09-26 09:00", exactly_deep(easy("says1", 21.7, 29), 22.0), "set-aside", "depth-contradicts", depth_m=30.0,
        id="says-30-m")
    add("2026-09-27 09:00", exactly_deep(easy("says2", 19.7, 29), 20.0), "set-aside", "depth-contradicts", depth_m=22.1,
        id="says-22.1-m")
    add("2026-09-26 15:00", easy("says3", 18.3, 26), "set-aside", "duration-contradicts", duration_s=4800, id="says-80-min")
    add("2026-09-27 15:00", level_long(2410), "set-aside", "duration-contradicts", duration_s=1860, id="says-31-min")
    add("2026-10-03 09:00", easy("says4", 17.1, 27), "set-aside", "not-positive", duration_s=0, id="says-nothing")
    add("2026-10-03 15:00", jump(), "set-aside", "rate", id="jump")
    add("2026-10-04 09:00", stepped(6), "set-aside", "rate", id="steps-6-s")
    add("2026-10-04 15:00", Swim("deep").to(342, 60).to(0, 60).sampled(10), "set-aside", "too-deep", id="too-deep")


def level_long(seconds):
    return exactly_long(lambda extra: Swim("level%d" % seconds).to(18.6, 17).roam(1100 + extra, 4).to(9, 8).roam(600, 3)
                        .to(5, 8).stay(180).to(0, 6).sampled(10), seconds)


def quick():
    return Swim("quick").to(24.3, 18).roam(700, 4.0).to(5, 24).stay(200).to(0, 6).sampled(5)


def jump():
    points = easy("jump", 14.6, 30)
    for point in points[40:60]:
        point[1] = round(point[1] + 30.0, 1)
    return points


def stepped(seconds):
    """Falls at 135 m/min for so long, sampled every 2 s."""
    swim = Swim("stepped%d" % seconds).to(11, 16).roam(500 + 60 * seconds, 2.5)
    swim.roam((len(swim.depth) - 1) % 2, 0)
    return swim.to(swim.depth[-1] + 135 / 60 * seconds, 135).roam(300, 2.0).to(5, 9).stay(180).to(0, 6).sampled(2)


def fill_second(book):
    add = lambda *a, **k: book.add("second.uddf", *a, **k)
    # worn beside the other on ten dives: three minutes off, every 20 s, 0.4 m deeper
    worn = ["air-1", "air-4", "helium-0", "helium-2", "helium-3", "light-1", "deep-36.0", "summer-2", "summer-5", "midnight"]
    for id in worn:
        add(book.later(id, 180), resampled(book.points(id), 20, 0.4), "merged", "same-dive", id, id="worn-" + id)
    # one dive only this one recorded
    add("2026-08-29 10:00", staged("only", 39.4, 22, [(6, 4, None), (3, 12, None)], interval_s=20), deco=True, id="only-second")
    # copies of dives under later dates
    add("2026-10-10 10:00", staged_swim("air2", 39.5, 22, [(9, 2, None), (6, 5, None), (3, 14, None)]).sampled(10, 7), "set-aside",
        "repeats", "air-2", id="copy-shifted")
    add("2026-10-11 10:00", resampled(book.points("summer-1"), 20), "set-aside", "repeats", "summer-1", id="copy-resampled")
    cut = [[t - 40, d, x] for t, d, x in book.points("autumn-0") if t >= 40]
    cut[0][2]["mix"] = "air"
    add("2026-10-17 10:00", cut, "set-aside", "repeats", "autumn-0", id="copy-cut")
    add("2026-10-18 10:00", noisy(book.points("helium-1"), "noise", 0.1), "set-aside", "repeats", "helium-1", id="copy-noisy")
    add("2026-10-24 10:00", noisy(book.points("m-003"), "noise too", 0.1), "set-aside", "repeats", "m-003", id="copy-easy")
    # a recorder whose clock stands an hour off
    add(book.later("m-005", 3600), resampled(book.points("m-005"), 20, 0.1), "set-aside", "repeats", "m-005", id="hour-off")
    # another profile while the main recorder says he was elsewhere
    add(book.later("summer-3", 900), easy("elsewhere", 23.8, 24), "set-aside", "overlaps", "summer-3", id="elsewhere")


def fill_kept(book):
    """Kept by hand: no profile."""
    def add(start, depth_m=None, minutes=None, *args, **more):
        stated = {k: v for k, v in (("depth_m", depth_m), ("duration_s", None if minutes is None else 60 * minutes)) if v is not None}
        return book.add("kept.uddf", start, None, *(args or ("claimed",)), **stated, **more)

    for n in range(6):
        add("2024-01-%02d 13:00" % (6 + 4 * n), 16.0 + 2 * n, 40 - n)
    add("2024-02-03 12:00", 44.5, 65, mixes=["tx2135"], id="kept-helium")
    add("2024-02-04 12:00", 45.0, 70, mixes=["tx1845", "ean50"], id="kept-two-mixes")
    add("2024-02-10 12:00", 41.0, 35, mixes=["air"], id="kept-air")
    add("2024-02-17", 30.0, 40, id="kept-day")
    add("2024-02-18 10:00", 28.0, None, id="kept-no-duration")
    add("2024-02-18 15:00", None, 45, id="kept-no-depth")
    add(None, 38.0, 50, id="kept-undated-1")
    add(None, 22.0, None, id="kept-undated-2")
    add("2026-10-20 11:00", 37.0, 61, id="kept-recent")
    add("2026-10-20", 36.0, 30, id="kept-recent-day")
    add("2026-11-15", 18.0, 30, id="kept-on-the-day")
    # states what a recorder recorded, to within a tenth of the depth; and to more than that
    add(book.later("summer-4", 240), 44.0, 45, "merged", "states-recorded-dive", "summer-4", id="kept-same")
    add(book.later("autumn-2", 240), 30.0, 45, "set-aside", "overlaps", "autumn-2", id="kept-other-depth")
    add("2026-10-20 11:30", 25.0, 40, "set-aside", "overlaps", "kept-recent", id="kept-overlaps-kept")
    add("2026-10-21 11:00", 25.0, 0, "set-aside", "not-positive", id="kept-zero")
    add("2026-11-05", 12.0, 20, id="kept-day-between")
    add("2026-11-07 10:20", 26.0, 80, "merged", "states-recorded-dive", "spanned-2", id="kept-spanning")
    add("2026-11-08 10:20", 9.0, 40, mixes=["tx2135"], id="kept-shallow-helium")
    add("2026-12-24", 20.0, 40, "set-aside", "after-day", id="kept-after")


# --- writing ---------------------------------------------------------------------------------------------------------

def waypoint(point):
    time, depth, named = point
    extra = '<divemode type="%s"/>' % named["mode"] if "mode" in named else ""
    extra += '<switchmix ref="%s"/>' % named["mix"] if "mix" in named else ""
    extra += '<setpo2 setby="user">%.1f</setpo2>' % (1e5 * named["set_point"]) if "set_point" in named else ""
    return "<waypoint><depth>%.1f</depth><divetime>%d</divetime>%s</waypoint>\n" % (depth, time, extra)


def written(dive):
    before, after, stated = "", "", dive["stated"]
    start = dive["start"]
    if start and len(start) > 10:
        before += "<datetime>%s%s</datetime>" % (moment(start).isoformat(), stated.get("zone", zone_of(start)))
    elif start:
        before += "<datetime>%s</datetime>" % start
    before += "<divenumber>%d</divenumber>" % dive["number"]
    if "depth_m" in stated:
        after += "<greatestdepth>%.1f</greatestdepth>" % stated["depth_m"]
    if "duration_s" in stated:
        after += "<diveduration>%d.0</diveduration>" % stated["duration_s"]
    tanks = "".join('<tankdata><link ref="%s"/></tankdata>' % mix for mix in stated.get("mixes", []))
    points = dive["points"]
    samples = ""
    if points:
        points[0][2].setdefault("mix", "air")
        samples = "<samples>\n" + "".join(waypoint(p) for p in points) + "</samples>\n"
    return '<dive id="%s">\n<informationbeforedive>%s</informationbeforedive>%s\n%s' \
           "<informationafterdive>%s</informationafterdive>\n</dive>\n" % (dive["id"], before, tanks, samples, after)


def document(name, dives):
    mixes = "".join('<mix id="%s"><name>%s</name><o2>%.2f</o2><he>%.2f</he></mix>\n' % (id, id, o2, he)
                    for id, (o2, he) in MIXES.items())
    first, last = OWNERS[name]
    body = '<repetitiongroup id="group">\n%s</repetitiongroup>\n' % "".join(map(written, dives)) if dives else ""
    return ('<?xml version="1.0" encoding="UTF-8"?>\n<!-- SPDX-License-Identifier: GPL-3.0-or-later -->\n'
            '<uddf version="3.2.1">\n<diver><owner id="owner"><personal><firstname>%s</firstname><lastname>%s</lastname>'
            "</personal></owner></diver>\n<gasdefinitions>\n%s</gasdefinitions>\n<profiledata>\n%s</profiledata>\n</uddf>\n"
            % (first, last, mixes, body))


def make(outdir):
    book = Book()
    fill_old(book)
    fill_main(book)
    fill_second(book)
    fill_kept(book)
    book.put_numbers()
    for name, dives in list(book.dives.items()) + [("empty.uddf", [])]:
        (outdir / name).write_text(document(name, dives), encoding="utf-8")
    keys = ("id", "file", "standing", "reason", "other", "decompression")
    told = {"as_of": AS_OF, "files": FILES, "dives": [{k: d[k] for k in keys} for d in book.by_id.values()],
            "clock_unset": ["reset-0", "reset-1", "reset-2"], "hours_off": [["hour-off", "m-005", 1]],
            "owners": sorted({" ".join(OWNERS[name]) for name in FILES})}
    (outdir / "expected.json").write_text(json.dumps(told, indent=1) + "\n", encoding="utf-8")
    return told


def main(arguments):
    if len(arguments) != 1:
        print("usage: make_audit.py OUTDIR", file=sys.stderr)
        return 2
    outdir = pathlib.Path(arguments[0])
    outdir.mkdir(parents=True, exist_ok=True)
    make(outdir)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
