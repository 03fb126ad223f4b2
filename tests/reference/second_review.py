#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""A second, independent review of several divers on one dive, written from the definitions alone, to check the
program against.

It takes dives and profiles (water, run time, start of the ascent) from second_replay.py and does the rest plainly,
second by second. Clock offsets are given, not looked for: they are what it is told, or what the output compared says.

    second_review.py [--offset NAME=S] [--uncertainty NAME=S] [--water W | --water NAME=W] [--dive ID] [--lead NAME]
                     [--plan SLATE] [--apart LIMIT_M/LEAST_S/SEVERITY] [NAME=]LOG...     writes what it finds as JSON
    second_review.py --compare REVIEW_JSON [...] [NAME=]LOG...                           exit 1 if the two disagree
    second_review.py --selftest

READINGS. Where the definitions leave a choice open, this is what was taken.

 W1  A second is `t` seconds after the first diver's leaving; the grid runs over the full seconds, negative ones too,
     at which anybody counts.
 W2  In a pair the diver who is given first is a, whose depth stands at t; the other is b, who is looked for around t.
 W3  Within the window b's depth is looked for where it is known: the samples within, and the ends of the window where
     they lie within b's run time and in no gap.
 W4  A stretch lies over the lowest limit given; its severity is the highest whose own limit is passed for its own
     time within it. The time apart of a pair is the sum of its stretches; that of the team the time within any pair's
     stretches. Over a limit is by more than a millionth of it. An unknown second ends a stretch at
     the second before.
 W5  Levels and stops are in displayed metres. A level counts for the multiple of 3 m nearest to its mean. A diver's first arrival at it counts. A stop's own depth is the multiple of 3 m
     nearest to its mean.
 W6  A switch is a change of mix within the run time, after the leaving; a diver's first one to each label counts; its
     depth is the displayed one at the sample that names it.
 W7  Against a plan a diver is at 0 m before the leaving and after the surfacing; seconds within a gap are left out.
 W8  Of several recorders of one diver the first one named counts.
 W9  Divers who are at something in the same instant stand in the order in which they were given.
"""

import argparse
import bisect
import json
import math
import os
import pathlib
import statistics
import sys
import tempfile

sys.dont_write_bytecode = True
sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))
import second_replay as second  # noqa: E402

APART = [(6.0, 60.0, "caution"), (10.0, 120.0, "serious")]  # over so many metres, for so many seconds
LEVELS_M = list(range(120, 0, -3))
TINY = 1e-9


# --- divers ----------------------------------------------------------------------------------------------------------

class Diver:
    """One diver's record on the team's clock. `shift_s` is added to the times of the record."""

    def __init__(self, name, profile, shift_s, uncertainty_s=0.0):
        self.name, self.profile, self.uncertainty_s = name, profile, uncertainty_s
        self.t = [t + shift_s for t in profile.t]
        self.d = list(profile.d)
        self.metres = 10 * profile.bar_per_m  # comparison metres to a displayed one
        self.from_s, self.to_s = self.t[profile.leaving], self.t[profile.end]
        gaps = [b - a for a, b in zip(self.t, self.t[1:])]
        self.widest_s = max(60.0, 3 * statistics.median(gaps))

    def depth(self, t):
        """Displayed, m; None where unknown and outside the run time."""
        if not self.from_s <= t <= self.to_s:
            return None
        i = bisect.bisect_left(self.t, t)
        if self.t[i] == t:
            return self.d[i]
        t0, t1 = self.t[i - 1], self.t[i]
        if t1 - t0 > self.widest_s + TINY:
            return None
        return self.d[i - 1] + (self.d[i] - self.d[i - 1]) * (t - t0) / (t1 - t0)

    def compared(self, t):
        depth = self.depth(t)
        return None if depth is None else depth * self.metres

    def range(self, from_s, to_s):
        """Least and greatest depth in comparison metres over what is known of a window. W3"""
        from_s, to_s = max(from_s, self.from_s), min(to_s, self.to_s)
        within = self.d[bisect.bisect_left(self.t, from_s):bisect.bisect_right(self.t, to_s)]
        within += [d for d in (self.depth(from_s), self.depth(to_s)) if d is not None]
        return min(within) * self.metres, max(within) * self.metres


def separation(a, b, t):
    """Least distance in depth that the clocks allow; None where either is not known. W2"""
    here, there = a.compared(t), b.compared(t)
    if here is None or there is None:
        return None
    window_s = a.uncertainty_s + b.uncertainty_s
    least, most = b.range(t - window_s, t + window_s)
    return max(0.0, least - here, here - most)


def over(value, limit):
    return value is not None and value - limit > 1e-6 * limit


def runs_over(seconds, values, limit):
    """(from, to, greatest) of what lies over a limit, the ends interpolated on the grid. W4"""
    found = []
    for i, value in enumerate(values):
        if not over(value, limit):
            continue
        if not i or not over(values[i - 1], limit):
            before = values[i - 1] if i else None
            begins = seconds[i] if before is None else seconds[i - 1] + (limit - before) / (value - before)
            found.append([begins, None, value])
        found[-1][2] = max(found[-1][2], value)
        if i + 1 == len(values) or not over(values[i + 1], limit):
            after = values[i + 1] if i + 1 < len(values) else None
            found[-1][1] = seconds[i] if after is None else seconds[i] + (value - limit) / (value - after)
    return found


def stretches(seconds, values, apart):
    def lasting(limit, least):
        return [run for run in runs_over(seconds, values, limit) if run[1] - run[0] >= least - TINY]

    apart = sorted(apart)
    if not apart:
        return []
    found = []
    for begins, ends, greatest in lasting(*apart[0][:2]):
        severity = apart[0][2]
        for limit, least, higher in apart[1:]:
            if any(begins <= run[0] and run[1] <= ends for run in lasting(limit, least)):
                severity = higher
        found.append({"from_s": begins, "to_s": ends, "greatest_m": greatest, "severity": severity})
    return found


def greatest_of(seconds, values):
    """Value and first second; None, None where nothing is known."""
    known = [v for v in values if v is not None]
    if not known:
        return None, None
    return max(known), seconds[values.index(max(known))]


def time_apart(found):
    return math.fsum(s["to_s"] - s["from_s"] for s in found)


def union(found):
    """Seconds within at least one stretch."""
    total, end_s = 0.0, -math.inf
    for one in sorted(found, key=lambda s: s["from_s"]):
        total += max(0.0, one["to_s"] - max(one["from_s"], end_s))
        end_s = max(end_s, one["to_s"])
    return total


def separations(divers, apart):
    """The team's figures, and those of its pairs; with the series, to look at ties."""
    begins, ends = math.ceil(min(d.from_s for d in divers)), math.floor(max(d.to_s for d in divers))
    seconds = list(range(begins, ends + 1))
    pairs, series = [], []
    for n, a in enumerate(divers):
        for b in divers[n + 1:]:
            values = [separation(a, b, t) for t in seconds]
            greatest, when = greatest_of(seconds, values)
            found = stretches(seconds, values, apart)
            pairs.append({"between": [a.name, b.name], "greatest_separation_m": greatest, "greatest_separation_s": when,
                          "time_apart_s": time_apart(found), "stretches": found})
            series.append(values)
    whole = [max((v for v in at_once if v is not None), default=None) for at_once in zip(*series)]
    greatest, when = greatest_of(seconds, whole)
    between = None
    if greatest is not None:
        between = next(p["between"] for p, values in zip(pairs, series) if values[seconds.index(when)] == greatest)
    team = {"greatest_separation_m": greatest, "greatest_separation_s": when, "between": between,
            "time_apart_s": union([s for pair in pairs for s in pair["stretches"]]), "pairs": pairs}
    at = {tuple(p["between"]): dict(zip(seconds, values)) for p, values in zip(pairs, series)}
    at[None] = dict(zip(seconds, whole))
    return team, at


# --- levels ----------------------------------------------------------------------------------------------------------

class Level:
    """Samples first to last of a record, each counting for the half of the intervals next to it."""

    def __init__(self, t, d, first, last):
        self.first, self.last, self.from_s, self.to_s = first, last, t[first], t[last]
        self.lasts_s = self.to_s - self.from_s
        weights = [(t[min(i + 1, last)] - t[max(i - 1, first)]) / 2 for i in range(first, last + 1)]
        self.mean_m = math.fsum(w * x for w, x in zip(weights, d[first:])) / self.lasts_s
        squares = math.fsum(w * (x - self.mean_m) ** 2 for w, x in zip(weights, d[first:]))
        self.spread_m = math.sqrt(squares / self.lasts_s)


def levels(t, d, begin, end):
    """From the left the first stretch of a minute within 1.5 m, then the longest that begins within it; what lies
    before that and lasts by itself is a level too."""
    def reach(i):
        top = bottom = d[i]
        j = i
        while j < end:
            top, bottom = min(top, d[j + 1]), max(bottom, d[j + 1])
            if bottom - top > 1.5 + TINY:
                break
            j += 1
        return j

    def take(first, last):
        if t[last] - t[first] < 60:
            return
        mean = Level(t, d, first, last).mean_m
        near = [i for i in range(first, last + 1) if abs(d[i] - mean) <= 0.5 + TINY]
        if near and t[near[-1]] - t[near[0]] >= 60:
            level = Level(t, d, near[0], near[-1])
            if level.mean_m > 1.5:
                found.append(level)

    found, i = [], begin
    while i <= end:
        if t[reach(i)] - t[i] < 60:
            i += 1
            continue
        lengths = {k: t[reach(k)] - t[k] for k in range(i, reach(i) + 1)}
        best = min(k for k in lengths if lengths[k] == max(lengths.values()))
        if best > i:
            take(i, best - 1)
        take(best, reach(best))
        i = reach(best) + 1
    return found


def levels_of(diver):
    return levels(diver.t, diver.d, diver.profile.ascent_start, diver.profile.end)


def nearest(value, step=1):
    return math.floor(value / step + 0.5) * step


def stops(diver):
    found = levels_of(diver)
    whole = math.fsum(level.lasts_s for level in found)
    if not whole:
        return {"mean_off_m": None, "spread_m": None}
    off = math.fsum(level.lasts_s * abs(level.mean_m - nearest(level.mean_m, 3)) for level in found) / whole
    square = math.fsum(level.lasts_s * level.spread_m ** 2 for level in found) / whole
    return {"mean_off_m": off, "spread_m": math.sqrt(square)}


# --- orders ----------------------------------------------------------------------------------------------------------

def in_order(rows):
    return sorted(rows, key=lambda row: row["time_s"])  # keeps the order given among equals. W9


def left_bottom(divers):
    return in_order([{"name": d.name, "time_s": d.t[d.profile.ascent_start]} for d in divers])


def surfaced(divers):
    return in_order([{"name": d.name, "time_s": d.t[d.profile.surfacing]} for d in divers
                     if d.profile.surfacing is not None])


def arrivals(divers):
    at = {level_m: [] for level_m in LEVELS_M}
    for diver in divers:
        for level in levels_of(diver):
            level_m = 3 * nearest(level.mean_m / 3)
            if level_m in at and diver.name not in [row["name"] for row in at[level_m]]:
                at[level_m].append({"name": diver.name, "time_s": level.from_s})
    return [{"level_m": m, "arrivals": in_order(rows)} for m, rows in at.items() if len(rows) >= 2]


def label(mix):
    o2, he = mix
    if o2 >= 0.995 - TINY:
        return "oxygen"
    if abs(o2 - 0.21) < TINY and abs(he) < TINY:
        return "air"
    if abs(he) < TINY:
        return "EAN%d" % nearest(100 * o2)
    return "%d/%d" % (nearest(100 * o2), nearest(100 * he))


def switches(divers):
    to = {}
    for diver in divers:
        profile = diver.profile
        for i in range(profile.leaving + 1, profile.end + 1):
            if profile.mix[i] is None or profile.mix[i] == profile.mix[i - 1]:
                continue
            rows = to.setdefault(label(profile.mix[i]), [])
            if diver.name not in [row["name"] for row in rows]:
                rows.append({"name": diver.name, "time_s": diver.t[i], "depth_m": diver.d[i]})
    groups = [{"to": mix, "divers": in_order(rows)} for mix, rows in to.items()]
    return sorted(groups, key=lambda g: g["divers"][0]["time_s"])


# --- the plan --------------------------------------------------------------------------------------------------------

def minutes(text):
    whole, colon, rest = text.partition(":")
    return 60.0 * float(whole) + (float(rest) if colon else 0.0)


def read_plan(path):
    """[(variant, [(run_s, depth_m)])] of a slate."""
    variants = [("as planned", [])]
    with open(path, encoding="utf-8-sig") as slate:
        for line in slate:
            fields = line.split("#")[0].split()
            if fields and fields[0] == "variant":
                variants.append((" ".join(fields[1:]), []))
            elif fields:
                variants[-1][1].append((minutes(fields[0]), float(fields[1])))
    return [v for v in variants if v[1]]


def planned(lines, run_s):
    """Linear between the lines, 0 outside."""
    if not lines[0][0] <= run_s <= lines[-1][0]:
        return 0.0
    for (t0, d0), (t1, d1) in zip(lines, lines[1:]):
        if t0 <= run_s < t1:
            return d0 + (d1 - d0) * (run_s - t0) / (t1 - t0)
    return lines[-1][1]


def dived(diver, run_s):
    """Displayed, m; None in a gap. W7"""
    if not 0 <= run_s <= diver.to_s - diver.from_s:
        return 0.0
    return diver.depth(min(diver.from_s + run_s, diver.to_s))


def deviation(diver, lines):
    off = lambda run_s, depth: None if dived(diver, run_s) is None else dived(diver, run_s) - depth
    last = math.floor(max(diver.to_s - diver.from_s, lines[-1][0]))
    known = {s: off(s, planned(lines, s)) for s in range(last + 1)}
    known = {s: v for s, v in known.items() if v is not None}
    largest_s = max(known, key=lambda s: (abs(known[s]), -s))
    return {"mean_off_m": math.fsum(map(abs, known.values())) / len(known), "largest_off_m": known[largest_s],
            "largest_off_s": largest_s, "offs": known,
            "lines": [{"run_s": run_s, "depth_m": depth, "off_m": off(run_s, depth)} for run_s, depth in lines]}


def against_plan(divers, plan):
    """For each diver {variant: deviation} and the variant that fits best."""
    found = {}
    for diver in divers:
        by_variant = {name: deviation(diver, lines) for name, lines in plan}
        found[diver.name] = (min(by_variant, key=lambda name: by_variant[name]["mean_off_m"]), by_variant)
    return found


# --- the whole -------------------------------------------------------------------------------------------------------

def pick(dives, wanted):
    """The dive of that id, else on that date, else of that number in time order; the only one if none is asked for."""
    dives = second.time_order(dives)[0]
    if wanted is None:
        assert len(dives) == 1, "which dive?"
        return dives[0]
    by_id = [d for d in dives if d.id == str(wanted)]
    by_date = [d for d in dives if d.day is not None and d.day.isoformat() == str(wanted)]
    return (by_id or by_date or [dives[int(wanted) - 1]])[0]


def assemble(given):
    """given: (name, dive, settings, offset, uncertainty), the first log first. Divers on the team's clock."""
    profiles = [second.Profile(dive, settings) for _, dive, settings, _, _ in given]
    zoned = all(dive.zone is not None for _, dive, _, _, _ in given)
    start = lambda dive: dive.start - (dive.zone if zoned else 0)
    first = given[0][1]
    leaving_s = profiles[0].t[profiles[0].leaving]
    divers = []
    for (name, dive, _, offset_s, uncertainty_s), profile in zip(given, profiles):
        shift_s = (start(dive) - start(first)) + offset_s - leaving_s
        divers.append(Diver(name, profile, shift_s, uncertainty_s))
    return divers


def review(divers, apart, plan=None, lead=None):
    counted = [d for d in divers if d.name != lead]
    team, at = separations(counted, apart)
    team.update(left_bottom=left_bottom(divers), surfaced=surfaced(divers), levels=arrivals(divers),
                switches=switches(divers))
    whole = {"divers": [{"name": d.name, "stops": stops(d)} for d in divers], "team": team}
    fits = against_plan(divers, plan) if plan else None
    if fits:
        rows = [{"name": name, "best_variant": best, **{k: v for k, v in by_variant[best].items() if k != "offs"}}
                for name, (best, by_variant) in fits.items()]
        whole["plan"] = {"variants": [name for name, _ in plan], "divers": rows}
    return whole, at, fits


# --- comparing -------------------------------------------------------------------------------------------------------

class Comparer:
    """Counts what was compared and lists what disagrees. Keys that only the other has are left alone."""

    def __init__(self, tolerance=1e-6):
        self.tolerance, self.compared, self.bad = tolerance, 0, []

    def same(self, where, theirs, ours):
        if isinstance(ours, dict) and isinstance(theirs, dict):
            for key in ours:
                self.same("%s.%s" % (where, key), theirs.get(key, "missing"), ours[key])
        elif isinstance(ours, list) and isinstance(theirs, list):
            self.value(where + " length", len(theirs), len(ours))
            for i, (one, other) in enumerate(zip(theirs, ours)):
                self.same("%s[%d]" % (where, i), one, other)
        else:
            self.value(where, theirs, ours)

    def value(self, where, theirs, ours):
        self.compared += 1
        numbers = all(isinstance(v, (int, float)) and not isinstance(v, bool) for v in (theirs, ours))
        alike = abs(theirs - ours) <= self.tolerance if numbers else theirs == ours
        if not alike:
            self.bad.append("%s: program %r, second %r" % (where, theirs, ours))

    def keyed(self, where, theirs, ours, key):
        """Lists whose rows are found by a key, whatever their order."""
        word = lambda row: json.dumps(row.get(key))
        rows = {word(row): row for row in theirs or []}
        self.value(where + " rows", sorted(map(word, theirs or [])), sorted(map(word, ours)))
        for row in ours:
            if word(row) in rows:
                self.same("%s %s" % (where, word(row)), rows[word(row)], row)

    def greatest(self, where, theirs, ours, series):
        """Value and instant; of instants that are greatest to within rounding either will do."""
        self.value(where + " greatest_separation_m", theirs.get("greatest_separation_m"), ours["greatest_separation_m"])
        when = theirs.get("greatest_separation_s")
        tied = series.get(when) if isinstance(when, (int, float)) else None
        if tied is None or abs(tied - ours["greatest_separation_m"]) > TINY:
            self.value(where + " greatest_separation_s", when, ours["greatest_separation_s"])
        else:
            self.compared += 1


def without(row, *keys):
    return {k: v for k, v in row.items() if k not in keys}


GREATEST = ("greatest_separation_m", "greatest_separation_s")


def compare(comparer, theirs, ours, at, fits):
    comparer.keyed("divers", accepted(theirs), ours["divers"], "name")
    team, their_team = ours["team"], theirs.get("team") or {}
    comparer.greatest("team", their_team, team, at[None])
    between = tuple(their_team.get("between") or ())
    when = their_team.get("greatest_separation_s")
    tied = at.get(between, {}).get(when) if between else None
    if tied is None or abs(tied - team["greatest_separation_m"]) > TINY:
        comparer.value("team between", their_team.get("between"), team["between"])
    comparer.value("team time_apart_s", their_team.get("time_apart_s"), team["time_apart_s"])
    compare_pairs(comparer, [p for p in their_team.get("pairs") or [] if not p.get("with_lead")], team["pairs"], at)
    for order in ("left_bottom", "surfaced"):
        comparer.same("team " + order, their_team.get(order), team[order])
    comparer.keyed("team levels", their_team.get("levels"), team["levels"], "level_m")
    comparer.keyed("team switches", their_team.get("switches"), team["switches"], "to")
    if fits:
        compare_plan(comparer, theirs.get("plan") or {}, fits)


def accepted(theirs):
    return [d for d in theirs.get("divers", []) if (d.get("match") or {}).get("accepted", True)]


def compare_pairs(comparer, theirs, ours, at):
    comparer.keyed("team pairs", theirs, [without(pair, *GREATEST) for pair in ours], "between")
    for pair in ours:
        other = next((p for p in theirs if p.get("between") == pair["between"]), None)
        if other is not None:
            comparer.greatest("team pairs %s" % pair["between"], other, pair, at[tuple(pair["between"])])


def compare_plan(comparer, theirs, fits):
    rows = {row.get("name"): row for row in theirs.get("divers") or []}
    comparer.value("plan divers", sorted(map(str, rows)), sorted(fits))
    for name, (best, by_variant) in fits.items():
        row = rows.get(name)
        if row is None:
            continue
        where = "plan %s" % name
        comparer.value(where + " best_variant", row.get("best_variant"), best)
        variant = row.get("variant") or theirs.get("variant") or row.get("best_variant")
        if variant not in by_variant:
            comparer.value(where + " variant", variant, sorted(by_variant))
            continue
        ours = by_variant[variant]
        comparer.value(where + " mean_off_m", row.get("mean_off_m"), ours["mean_off_m"])
        comparer.same(where + " lines", row.get("lines"), ours["lines"])
        compare_largest(comparer, where, row, ours)


def compare_largest(comparer, where, row, ours):
    when = row.get("largest_off_s")
    tied = ours["offs"].get(when) if isinstance(when, (int, float)) else None
    if tied is not None and abs(abs(tied) - abs(ours["largest_off_m"])) <= TINY:
        comparer.value(where + " largest_off_m", row.get("largest_off_m"), tied)
    else:
        comparer.value(where + " largest_off_m", row.get("largest_off_m"), ours["largest_off_m"])
        comparer.value(where + " largest_off_s", when, ours["largest_off_s"])


# --- what is given ---------------------------------------------------------------------------------------------------

def named_values(words, read):
    """NAME=VALUE ... as a dictionary; a bare value stands under None."""
    found = {}
    for word in words or []:
        name, equals, value = word.rpartition("=")
        found[name if equals else None] = read(value)
    return found


def logs_given(words):
    """(name, path); without a name the owner's stem of the file stands for it."""
    found = []
    for word in words:
        name, equals, path = word.partition("=")
        if not equals:
            name, path = os.path.splitext(os.path.basename(word))[0], word
        found.append((name, path.split("+")[0]))
    return found


def gather(given, theirs=None):
    """What assemble() takes, from the arguments or from the output compared."""
    waters = named_values(given.water, second.parse_water)
    offsets, uncertain = named_values(given.offset, float), named_values(given.uncertainty, float)
    logs = logs_given(given.logs)
    told = {}
    if theirs is not None:
        logs, told = logs_told(logs, theirs)
    found = []
    for order, (name, path) in enumerate(logs):
        row = told.get(name, {})
        dive = row.get("dive") or {}
        settings = second.Settings(water=waters.get(name, waters.get(None)))
        wanted = dive.get("id") or dive.get("number") or given.dive
        found.append((name, pick(second.read_log(path, order), wanted), settings,
                      offsets.get(name, row.get("clock_offset_s") or 0.0),
                      uncertain.get(name, row.get("clock_uncertainty_s") or 0.0)))
    return found


def logs_told(logs, theirs):
    """The logs of the accepted divers, by the name of the file, else by their place."""
    paths = {os.path.basename(path): path for _, path in logs}
    rows = theirs.get("divers", [])
    by_name = len(paths) == len(logs) and all(row.get("file") in paths for row in rows)
    assert by_name or len(rows) == len(logs), "which log is whose?"
    found = [(row["name"], paths[row["file"]] if by_name else logs[i][1]) for i, row in enumerate(rows)]
    kept = {row["name"]: row for row in accepted(theirs)}
    return [(name, path) for name, path in found if name in kept], kept


def parse_apart(word):
    limit_m, least_s, severity = word.split("/")
    return float(limit_m), float(least_s), severity


def arguments():
    parser = argparse.ArgumentParser(description="the second review")
    for option in ("--offset", "--uncertainty", "--water"):
        parser.add_argument(option, action="append")
    parser.add_argument("--apart", action="append", type=parse_apart)
    for option in ("--dive", "--lead", "--plan", "--compare"):
        parser.add_argument(option)
    parser.add_argument("--tolerance", type=float, default=1e-6)
    parser.add_argument("--selftest", action="store_true")
    parser.add_argument("logs", nargs="*")
    return parser.parse_args()


def main():
    given = arguments()
    if given.selftest:
        return selftest()
    theirs = None
    if given.compare:
        with (sys.stdin if given.compare == "-" else open(given.compare, encoding="utf-8")) as file:
            theirs = json.load(file)
    divers = assemble(gather(given, theirs))
    ours, at, fits = review(divers, given.apart or APART, read_plan(given.plan) if given.plan else None, given.lead)
    if theirs is None:
        json.dump(ours, sys.stdout, indent=1)
        return 0
    comparer = Comparer(given.tolerance)
    compare(comparer, theirs, ours, at, fits)
    for words in comparer.bad:
        print(words)
    print("%d figures compared, %d disagree" % (comparer.compared, len(comparer.bad)))
    return 1 if comparer.bad else 0


# --- selftest: by hand, but for the class ----------------------------------------------------------------------------

LOG = """<uddf version="3.2.2"><gasdefinitions><mix id="lean"><o2>0.18</o2><he>0.45</he></mix>
<mix id="rich"><o2>0.5</o2></mix><mix id="pure"><o2>1.0</o2></mix></gasdefinitions><profiledata>
<repetitiongroup><dive id="one"><informationbeforedive><datetime>%s</datetime></informationbeforedive>
<samples>%s</samples></dive></repetitiongroup></profiledata></uddf>"""


def hand_dive(points, start="2025-06-07T10:00:00"):
    """A dive of (time, depth) or (time, depth, mix), through a log."""
    samples = ""
    for point in points:
        switch = '<switchmix ref="%s"/>' % point[2] if len(point) > 2 else ""
        samples += "<waypoint><depth>%r</depth><divetime>%r</divetime>%s</waypoint>" % (point[1], point[0], switch)
    with tempfile.TemporaryDirectory() as folder:
        path = os.path.join(folder, "hand.uddf")
        with open(path, "w", encoding="utf-8") as file:
            file.write(LOG % (start, samples))
        return second.read_log(path, 0)[0]


def hand_team(*rows, waters=None):
    """rows: (name, points, start, offset, uncertainty), the last three where they are not plain."""
    given = []
    for name, points, *rest in rows:
        start, offset_s, uncertainty_s = (list(rest) + ["2025-06-07T10:00:00", 0.0, 0.0][len(rest):])
        settings = second.Settings(water=(waters or {}).get(name))
        given.append((name, hand_dive(points, start), settings, offset_s, uncertainty_s))
    return assemble(given)


def trapeze(depth_m, without_s=()):
    """To a depth in a minute, nine minutes there, up in a minute; a sample a minute."""
    return [(60 * i, depth_m if 0 < i < 11 else 0.0) for i in range(12) if 60 * i not in without_s]


def selftest():
    check = second.Check()
    for test in (selftest_separation, selftest_uncertainty, selftest_gap, selftest_clock, selftest_levels,
                 selftest_orders, selftest_plan, selftest_comparer, selftest_class):
        test(check)
    print("%d passed, %d failed" % (check.passed, check.failed))
    return 1 if check.failed else 0


def same(check, name, actual, expected):
    check.close("%s: %r, expected %r" % (name, actual, expected), 0.0 if actual == expected else 1.0, 0.0, 0.0)


def spans(check, name, found, expected):
    same(check, name + " stretches", len(found), len(expected))
    for stretch, (begins, ends, greatest, severity) in zip(found, expected):
        check.close(name + " from", stretch["from_s"], begins, TINY)
        check.close(name + " to", stretch["to_s"], ends, TINY)
        check.close(name + " greatest", stretch["greatest_m"], greatest, TINY)
        same(check, name + " severity", stretch["severity"], severity)


def selftest_separation(check):
    # 30 and 20 m: t/6 apart on the way down, 10 m at the bottom; 6 m is passed at 36 s and at 624 s.
    divers = hand_team(("A", trapeze(30.0)), ("B", trapeze(20.0)))
    check.close("apart at 30 s", separation(*divers, 30), 5.0, TINY)
    team = separations(divers, APART)[0]
    check.close("greatest", team["greatest_separation_m"], 10.0, TINY)
    check.close("greatest at", team["greatest_separation_s"], 60, 0)
    spans(check, "six metres", team["pairs"][0]["stretches"], [(36, 624, 10.0, "caution")])
    check.close("time apart", team["time_apart_s"], 588, TINY)
    # 10 m are not over 10 m; over 9.5 m from 57 to 603 s: 546 s.
    found = lambda *apart: separations(divers, apart)[0]["pairs"][0]["stretches"]
    spans(check, "serious", found((6, 60, "caution"), (9.5, 546, "serious")), [(36, 624, 10.0, "serious")])
    spans(check, "not as long", found((6, 60, "caution"), (9.5, 546.1, "serious")), [(36, 624, 10.0, "caution")])
    spans(check, "nor that", found((6, 588.1, "caution")), [])
    spans(check, "between seconds", found((6.05, 60, "caution")), [(36.3, 623.7, 10.0, "caution")])
    # Three: the widest pair is the team's.
    team = separations(hand_team(("A", trapeze(30.0)), ("B", trapeze(20.0)), ("C", trapeze(33.0))), APART)[0]
    check.close("of three", team["greatest_separation_m"], 13.0, TINY)
    same(check, "between", team["between"], ["B", "C"])
    same(check, "pairs", [p["between"] for p in team["pairs"]], [["A", "B"], ["A", "C"], ["B", "C"]])
    # 20 m shown by a recorder set to fresh water: 9.80665 * 1000 * 20 / 1e5 bar = 1.96133 bar.
    fresh = hand_team(("A", trapeze(20.0)), ("B", trapeze(20.0)), waters={"B": 1000.0})
    check.close("fresh", separation(*fresh, 300), 20 - 19.6133, TINY)


def selftest_uncertainty(check):
    # 6 s to either side: on the way down (t / 2) - (t + 6) / 3 is 6 m at 48 s; on the way up 10 - (t - 600) / 6 - 2 is,
    # at 612 s.
    start = "2025-06-07T10:00:00"
    divers = hand_team(("A", trapeze(30.0)), ("B", trapeze(20.0), start, 0.0, 6.0))
    check.close("within", separation(*divers, 6), 0.0, 0.0)  # a at 3 m, b between 0 and 4 m
    check.close("at 30 s", separation(*divers, 30), 3.0, TINY)
    check.close("at the bottom", separation(*divers, 300), 10.0, TINY)
    spans(check, "narrower", separations(divers, APART)[0]["pairs"][0]["stretches"], [(48, 612, 10.0, "caution")])
    # b leaves 30 s later: nothing before; at 33 s a is at 16.5 m, b between 0 m (the leaving) and 3 m at 39 s.
    divers = hand_team(("A", trapeze(30.0)), ("B", trapeze(20.0), start, 30.0, 6.0))
    same(check, "before he leaves", separation(*divers, 20), None)
    check.close("cut to the run time", separation(*divers, 33), 13.5, TINY)
    # b's run time ends at 0.4 m; what the record holds after that is not looked at.
    divers = hand_team(("A", trapeze(30.0)), ("B", trapeze(20.0)[:-1] + [(660, 0.4), (664, 0.0)], start, 0.0, 6.0))
    check.close("cut at its end", separation(*divers, 660), 0.4, TINY)
    # The deeper one's clock is the uncertain one: at 30 s between 12 and 18 m, the other at 10 m.
    divers = hand_team(("A", trapeze(20.0)), ("B", trapeze(30.0), start, 0.0, 6.0))
    check.close("the other way", separation(*divers, 30), 2.0, TINY)


def selftest_gap(check):
    # Without the samples from 300 to 420 s: 240 s, more than three times a minute. 36..240 and 480..624 s remain.
    divers = hand_team(("A", trapeze(30.0)), ("B", trapeze(20.0, (300, 360, 420))))
    same(check, "in the gap", separation(*divers, 300), None)
    check.close("at its edge", separation(*divers, 240), 10.0, TINY)
    team = separations(divers, APART)[0]
    spans(check, "gap", team["pairs"][0]["stretches"], [(36, 240, 10.0, "caution"), (480, 624, 10.0, "caution")])
    check.close("time apart around it", team["time_apart_s"], 348, TINY)
    # 180 s are no gap.
    divers = hand_team(("A", trapeze(30.0)), ("B", trapeze(20.0, (300, 360))))
    check.close("no gap", separation(*divers, 300), 10.0, TINY)


def selftest_clock(check):
    # A's record begins 20 s before the leaving. B's clock is an hour and 5.5 s ahead; by it B leaves at 11:00:40, which
    # is 10:00:34.5, and A at 10:00:20: 14.5 s later.
    late = [(t + 20, d) for t, d in trapeze(30.0)]
    divers = hand_team(("A", [(0, 0.0)] + late), ("B", trapeze(30.0), "2025-06-07T11:00:40", -3605.5))
    check.close("A leaves", divers[0].from_s, 0.0, TINY)
    check.close("B leaves", divers[1].from_s, 14.5, TINY)
    check.close("B at 44.5 s", divers[1].compared(44.5), 15.0, TINY)
    # 12:00 at +02:00 is 10:00 at UTC.
    divers = hand_team(("A", trapeze(30.0), "2025-06-07T12:00:00+02:00"), ("B", trapeze(30.0), "2025-06-07T10:00:09Z"))
    check.close("zones", divers[1].from_s, 9.0, TINY)


STOPS = [(0, 0.0), (60, 40.0), (120, 40.0), (180, 40.0), (240, 9.0), (270, 9.2), (300, 9.0), (330, 8.8), (360, 6.0),
         (390, 6.4), (420, 6.0), (450, 0.0)]


def selftest_levels(check):
    # 240..330 s: (15*9.0 + 30*9.2 + 30*9.0 + 15*8.8)/90 = 813/90 m; squares off it sum to 1.7 m2 s.
    # 360..420 s: 372/60 m; squares sum to 2.4 m2 s. Off 9 and 6 m by (90/30 + 60*0.2)/150 = 0.1 m.
    diver = hand_team(("A", STOPS))[0]
    nine, six = levels_of(diver)
    check.close("nine mean", nine.mean_m, 813 / 90, TINY)
    check.close("nine spread", nine.spread_m, math.sqrt(1.7 / 90), TINY)
    check.close("six mean", six.mean_m, 6.2, TINY)
    check.close("six spread", six.spread_m, 0.2, TINY)
    check.close("off", stops(diver)["mean_off_m"], 0.1, TINY)
    check.close("pooled", stops(diver)["spread_m"], math.sqrt(4.1 / 150), TINY)
    # The first stretch that lasts is 0..90 s; the longest that begins in it is 90..240 s; 0..60 s lasts by itself.
    # (15*10.8 + 135*10.4)/150 = 10.44 m.
    t, d = [30 * i for i in range(9)], [12.0, 12.0, 12.0, 10.8, 10.4, 10.4, 10.4, 10.4, 10.4]
    twelve, ten = levels(t, d, 0, 8)
    same(check, "two in a row", [(v.from_s, v.to_s) for v in (twelve, ten)], [(0, 60), (90, 240)])
    check.close("ten", ten.mean_m, 10.44, TINY)
    # The way to it is cut off: 6.0 m is 1.1 m and more from the mean, 7.2 m the rest.
    cut = levels([0, 30, 60, 90, 120], [6.0, 7.2, 7.2, 7.2, 7.2], 0, 4)
    same(check, "cut", [(v.from_s, v.to_s, v.mean_m) for v in cut], [(30, 120, 7.2)])
    same(check, "no minute", levels([0, 30, 59], [6.0, 6.0, 6.0], 0, 2), [])
    # Of 60 s at a mean of 6.9 m the first 30 are cut off: no minute is left.
    same(check, "no minute left", levels([0, 30, 60], [6.0, 7.2, 7.2], 0, 2), [])
    same(check, "at the surface", levels([0, 30, 60], [1.5, 1.5, 1.5], 0, 2), [])
    # 10 m lie 1 m off 9 m.
    at_ten = hand_team(("A", STOPS[:4] + [(240, 10.0), (300, 10.0), (330, 0.0)]))[0]
    check.close("off nine", stops(at_ten)["mean_off_m"], 1.0, TINY)
    same(check, "no stop", stops(hand_team(("A", trapeze(30.0)))[0]), {"mean_off_m": None, "spread_m": None})


def selftest_orders(check):
    later = [(t + 10, d, *m) for t, d, *m in STOPS]
    switched = [(t, d, *{240: ["rich"], 360: ["pure"]}.get(t, [])) for t, d in STOPS]
    switched[0] += ("lean",)
    late = [(0, 0.0, "lean")] + [p + (("rich",) if p[0] == 250 else ()) for p in later]
    divers = hand_team(("A", late), ("B", switched))
    same(check, "left the bottom", left_bottom(divers), [{"name": "B", "time_s": 170}, {"name": "A", "time_s": 180}])
    same(check, "surfaced", surfaced(divers), [{"name": "B", "time_s": 440}, {"name": "A", "time_s": 450}])
    rows = arrivals(divers)
    same(check, "levels", [r["level_m"] for r in rows], [9, 6])
    same(check, "at nine", rows[0]["arrivals"], [{"name": "B", "time_s": 230}, {"name": "A", "time_s": 240}])
    same(check, "nobody to compare with", arrivals(divers[:1]), [])
    same(check, "to", switches(divers), [
        {"to": "EAN50", "divers": [{"name": "B", "time_s": 230, "depth_m": 9.0},
                                   {"name": "A", "time_s": 240, "depth_m": 9.0}]},
        {"to": "oxygen", "divers": [{"name": "B", "time_s": 350, "depth_m": 6.0}]}])
    # Back on 9 m counts no more, nor does the second switch to the same mix.
    back = STOPS[:4] + [(240, 24.0), (300, 24.0), (330, 9.0, "rich"), (390, 9.0), (420, 6.0, "lean"), (480, 6.0),
                        (510, 9.0, "rich"), (570, 9.0), (600, 0.0)]
    divers = hand_team(("A", back), ("B", back))
    same(check, "once", [(r["level_m"], [a["time_s"] for a in r["arrivals"]]) for r in arrivals(divers)],
         [(24, [240, 240]), (9, [330, 330]), (6, [420, 420])])
    same(check, "switches once", [(g["to"], [d["time_s"] for d in g["divers"]]) for g in switches(divers)],
         [("EAN50", [330, 330]), ("18/45", [420, 420])])
    # The lead is in no separation, but has its row and its place in the orders.
    whole = review(divers, APART, lead="A")[0]
    same(check, "pairs without the lead", whole["team"]["pairs"], [])
    same(check, "the lead", [r["name"] for r in whole["team"]["surfaced"] + whole["divers"]], ["A", "B", "A", "B"])
    same(check, "labels", [label(m) for m in ((0.21, 0.0), (0.32, 0.0), (0.18, 0.45), (1.0, 0.0), (0.995, 0.0))],
         ["air", "EAN32", "18/45", "oxygen", "oxygen"])


def selftest_plan(check):
    with tempfile.TemporaryDirectory() as folder:
        path = os.path.join(folder, "slate")
        with open(path, "w", encoding="utf-8") as slate:
            slate.write("# a slate\n0 0 air\n1 30\n10 30 # up\n11 0\n\n"
                        "variant half a minute longer\n0 0 air\n1:00 30\n10:30 30\n11.5 0\n")
        plan = read_plan(path)
    same(check, "variants", [v[0] for v in plan], ["as planned", "half a minute longer"])
    same(check, "lines", plan[1][1], [(0.0, 0.0), (60.0, 30.0), (630.0, 30.0), (690.0, 0.0)])
    same(check, "planned", [planned(plan[0][1], s) for s in (-1, 30, 60, 599, 630, 660, 661)],
         [0, 15, 30, 30, 15, 0, 0])
    a, b = hand_team(("A", trapeze(30.0)), ("B", trapeze(20.0)))
    # A dived it. B: t/6 off on the ways (305 m in 61 seconds each), 10 m in 539 seconds: 6000 m in 661 seconds.
    fits = against_plan([a, b], plan)
    check.close("as planned", fits["A"][1]["as planned"]["mean_off_m"], 0.0, TINY)
    same(check, "fits", fits["A"][0], "as planned")
    off = fits["B"][1]["as planned"]
    check.close("mean", off["mean_off_m"], 6000 / 661, TINY)
    same(check, "largest", (off["largest_off_m"], off["largest_off_s"]), (-10.0, 60))
    same(check, "at lines", [row["off_m"] for row in off["lines"]], [0.0, -10.0, -10.0, 0.0])
    # A against the longer one: half a metre more each second up to 15 m at 630 s (232.5 m), 15 m to 660 s (450 m), and
    # back to 0 at 690 s (217.5 m): 900 m in 691 seconds.
    off = fits["A"][1]["half a minute longer"]
    check.close("longer", off["mean_off_m"], 900 / 691, TINY)
    same(check, "largest there", (off["largest_off_m"], off["largest_off_s"]), (-15.0, 630))
    # Against a shorter one, up between 540 and 600 s: half a metre more a second up to 30 m (915 m), and back (885 m).
    off = deviation(a, [(0.0, 0.0), (60.0, 30.0), (540.0, 30.0), (600.0, 0.0)])
    check.close("beyond the plan", off["mean_off_m"], 1800 / 661, TINY)
    same(check, "largest beyond", (off["largest_off_m"], off["largest_off_s"]), (30.0, 600))
    off = fits["A"][1]["half a minute longer"]
    same(check, "beyond the dive", off["lines"][-1]["off_m"], 0.0)


def leaves(value, path=()):
    if isinstance(value, (dict, list)):
        for key, inner in (value.items() if isinstance(value, dict) else enumerate(value)):
            yield from leaves(inner, path + (key,))
    else:
        yield path, value


def disagreements(theirs, found):
    comparer = Comparer()
    compare(comparer, theirs, *found)
    return comparer.bad


def selftest_comparer(check):
    """It agrees with itself, and no figure can be changed without its saying so."""
    b = [(t, d, *({60: ["rich"]}.get(t, []))) for t, d in STOPS]
    divers = hand_team(("A", STOPS), ("B", [(t, d + (9 if d == 40.0 else 0), *m) for t, d, *m in b]))
    plan = [("as planned", [(0.0, 0.0), (60.0, 30.0), (450.0, 0.0)])]
    found = review(divers, [(6, 60, "caution")], plan)
    same(check, "agrees with itself", disagreements(found[0], found), [])
    assert found[0]["team"]["pairs"][0]["stretches"]
    for path, value in leaves(found[0]):
        if path[:2] == ("plan", "variants"):
            continue
        theirs = json.loads(json.dumps(found[0]))
        inner = theirs
        for key in path[:-1]:
            inner = inner[key]
        inner[path[-1]] = value + 1e-3 if isinstance(value, (int, float)) else "other"
        same(check, "changed %s is seen" % (path,), bool(disagreements(theirs, found)), True)
        del inner[path[-1]]
        same(check, "left out %s is seen" % (path,), bool(disagreements(theirs, found)), True)


def mean_difference(a, b):
    differences = [abs(a.compared(t) - b.compared(t)) for t in range(0, 4200, 3)
                   if a.compared(t) is not None and b.compared(t) is not None]
    return math.fsum(differences) / len(differences)


def selftest_class(check):
    """What support/make_class.py planted is found with the clocks it planted."""
    sys.path.append(os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "support"))
    import make_class
    truth = make_class.truth()
    with tempfile.TemporaryDirectory() as folder:
        make_class.make(pathlib.Path(folder))
        plan = read_plan(os.path.join(folder, truth["plan"]["file"]))
        files = [f for f in truth["files"] if "second" not in f]
        dives = {f: pick(second.read_log(os.path.join(folder, f), 0), truth["date"]) for f in truth["files"]}
        selftest_told(check, truth, files, folder)

    def team(names, off_s=0.0):
        water = lambda file: second.Settings(water=truth["files"][file]["water_kg_m3"])
        planted = lambda file: truth["files"][file]["clock_offset_s"]
        return assemble([(truth["files"][f]["name"], dives[f], water(f), planted(f) + (off_s if i else 0.0), 0.0)
                         for i, f in enumerate(names)])

    for file in list(truth["files"])[1:]:
        fit = {off_s: mean_difference(*team([files[0], file], off_s)) for off_s in (-3.0, 0.0, 3.0)}
        same(check, "the clock of %s fits best as planted: %r" % (file, fit), min(fit, key=fit.get), 0.0)
    whole, _, fits = review(team(files), APART, plan)
    selftest_planted(check, truth, whole["team"], fits)


def selftest_told(check, truth, files, folder):
    """Logs, dives and clocks as an output tells them, one of them left out, are those of the truth."""
    rows = [{"name": truth["files"][f]["name"], "file": f, "clock_offset_s": truth["files"][f]["clock_offset_s"],
             "clock_uncertainty_s": 1.5 if i else 0.0, "match": {"accepted": True, "score": 0.99},
             "dive": {"id": truth["shared_dive"], "number": 9}} for i, f in enumerate(files)]
    rows.insert(2, {"name": "Hallvor", "file": truth["wrong"], "clock_offset_s": None, "match": {"accepted": False}})
    paths = [os.path.join(folder, row["file"]) for row in reversed(rows)]
    given = argparse.Namespace(water=["Solveig=log"], offset=None, uncertainty=None, dive=None, logs=paths)
    told = gather(given, {"divers": rows})
    same(check, "told", [(name, dive.id, settings.water, *clock) for name, dive, settings, *clock in told],
         [(r["name"], "class", "log" if r["name"] == "Solveig" else None, r["clock_offset_s"], r["clock_uncertainty_s"])
          for r in rows if r["match"]["accepted"]])


def selftest_planted(check, truth, team, fits):
    late, above, early = truth["late"], truth["above"], truth["early_switch"]
    same(check, "the slate", {best for best, _ in fits.values()}, {truth["plan"]["best_variant"]})
    nine = next(row["arrivals"] for row in team["levels"] if row["level_m"] == 9)
    at = {row["name"]: row["time_s"] for row in nine}
    same(check, "last on nine", nine[-1]["name"], late["name"])
    check.close("late on nine", at[late["name"]] - at["Ragna"], late["at_9_m_later_s"], 10.0)  # a sample every 10 s
    same(check, "apart", {above["name"] in p["between"] for p in team["pairs"] if p["stretches"]}, {True})
    same(check, "from all", sum(bool(p["stretches"]) for p in team["pairs"]), 4)
    for pair in team["pairs"]:
        for stretch in pair["stretches"]:
            # 6 of 7.5 m on a way of 45 s: 9 s off the planted times, and 12 s more for two metres of wander.
            check.close("apart from %s" % pair["between"], stretch["from_s"], above["from_s"], 25.0)
            check.close("apart to %s" % pair["between"], stretch["to_s"], above["to_s"], 25.0)
    rows = next(group["divers"] for group in team["switches"] if group["to"] == early["to"])
    same(check, "first to switch", rows[0]["name"], early["name"])
    check.close("at", rows[0]["depth_m"], early["depth_m"], 1.0)
    check.close("before", rows[1]["time_s"] - rows[0]["time_s"], early["by_s"], 10.0)


if __name__ == "__main__":
    sys.exit(main())
