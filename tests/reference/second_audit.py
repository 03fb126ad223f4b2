#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""A second, independent audit, written from the definitions alone, to check the program against.

It takes dives, profiles and replayed facts from second_replay.py (stops owed, ceilings, findings) and does the rest plainly:
profiles are compared at every shift of whole seconds by the trapezoid rule over all of their samples.

    second_audit.py --standard FILE --as-of DATE LOG...      writes what it finds as JSON

READINGS. Where the definitions leave a choice open, this is what was taken.

 A1  Start and end of a record are its first and last sample; of a statement its start and that plus the stated duration (the
     start itself where none is stated). Dives without a time overlap nothing and begin within 10 min of nothing.
 A2  A constant bottom: less than a fifth of the time at or deeper than 90 % of the greatest depth was spent 0.3 m or more
     above the greatest. (Taken literally the slopes to and from a platform would make each bottom vary.)
 A3  A rate is kept for 5 s by following segments of one direction that are each over 120 m/min and last 5 s together.
 A4  Of two records of one dive the denser one (median interval) counts, of two alike the earlier one. A witness of a witness
     is one of the record that counts.
 A5  Days are calendar days as written; an undated dive is a day of its own. A dive on the day of the audit counts, and one
     on the first day of `within`.
 A6  A change of mix is one within the run time, as the debrief tells them.
 A7  A statement says nothing of changes of mix and of the circuit. Of helium it says no where its greatest depth is 10 m or
     less or where all mixes linked to it are without, and yes where all of them hold helium and it went deeper than 10 m.
 A8  Hours that a statement does not tell count as 0.
 A9  A day counts once: as recorded where a recorded dive of it counts, else as claimed, else as unsettled.
 A10 Just short is a dive that fails exactly one attribute and of which all others are known to hold.
"""

import argparse
import bisect
import calendar
import datetime
import json
import math
import os
import re
import statistics
import sys
import xml.etree.ElementTree as ElementTree

sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))
import second_replay as second  # noqa: E402

SEVERITIES = ["note", "caution", "serious"]


# --- the standard ----------------------------------------------------------------------------------------------------

class Standard:
    def __init__(self, path):
        root = ElementTree.parse(path).getroot()
        model = second.child(root, "model")
        model = {} if model is None else model.attrib
        self.gf = (100 * float(model.get("gradient-low", 0.5)), 100 * float(model.get("gradient-high", 0.8)))
        self.last_stop = float(model.get("last-stop", 3))
        self.narcotic_oxygen = model.get("narcotic-oxygen", "yes") == "yes"
        self.limits = {}
        for limit in second.children(second.child(root, "limits"), "limit"):
            self.limits[limit.get("of")] = {s: float(limit.get(s)) for s in SEVERITIES if limit.get(s) is not None}
        self.requirements = [dict(r.attrib) for r in second.children(second.child(root, "entry"), "requirement")]


def seconds_of(duration):
    match = re.fullmatch(r"P(?:(\d+)D)?(?:T(?:(\d+)H)?(?:(\d+)M)?(?:(\d+)S)?)?", duration)
    days, hours, minutes, rest = (int(v or 0) for v in match.groups())
    return ((days * 24 + hours) * 60 + minutes) * 60 + rest


def first_day(as_of, duration):
    years, months, weeks, days = (int(v or 0) for v in
                                  re.fullmatch(r"P(?:(\d+)Y)?(?:(\d+)M)?(?:(\d+)W)?(?:(\d+)D)?", duration).groups())
    month = as_of.year * 12 + as_of.month - 1 - 12 * years - months
    year, month = month // 12, month % 12 + 1
    day = min(as_of.day, calendar.monthrange(year, month)[1])
    return datetime.date(year, month, day) - datetime.timedelta(days=7 * weeks + days)


# --- the dives -------------------------------------------------------------------------------------------------------

class Item:
    """One dive of the history on its way through the tests."""

    def __init__(self, number, dive, settings, clock):
        self.number, self.dive = number, dive
        self.standing, self.reason, self.other = ("recorded" if dive.samples else "claimed"), None, None
        self.profile = second.Profile(dive, settings) if dive.samples else None
        self.begins = self.ends = None
        if dive.start is not None:
            self.begins = clock(dive) + (dive.samples[0].time if dive.samples else 0.0)
            self.ends = clock(dive) + (dive.samples[-1].time if dive.samples else max(0.0, dive.stated_duration or 0.0))
        if self.profile:
            self.greatest, self.run_time = self.profile.greatest, self.profile.run_time
            gaps = [b - a for a, b in zip(self.profile.t, self.profile.t[1:])]
            self.interval = statistics.median(gaps) if gaps else math.inf
        else:
            self.greatest, self.run_time = dive.stated_depth, dive.stated_duration
        self.shape_made = None

    def set_aside(self, reason, other=None):
        self.standing, self.reason, self.other = "set_aside", reason, other

    def merge(self, reason, other):
        self.standing, self.reason, self.other = "merged", reason, other

    def shape(self):
        """Times from the leaving on, and depths, over the run time."""
        if self.shape_made is None:
            p = self.profile
            t0 = p.t[p.leaving]
            self.shape_made = [t - t0 for t in p.t[p.leaving:p.end + 1]], p.d[p.leaving:p.end + 1]
        return self.shape_made


def read_history(paths, settings):
    """What second_replay reads, with what the logs state of the dives."""
    dives = []
    for order, path in enumerate(paths):
        read = second.read_log(path, order)
        root = ElementTree.parse(path).getroot()
        found = [d for s in second.children(root, "profiledata") for g in second.children(s, "repetitiongroup")
                 for d in second.children(g, "dive")]
        for dive, element in zip(read, found):
            after = second.child(element, "informationafterdive")
            dive.stated_depth = second.number(after, "greatestdepth") if after is not None else None
            dive.stated_duration = second.number(after, "diveduration") if after is not None else None
            dive.file = os.path.basename(path)
        dives += read
    dives, clock = second.time_order(dives)
    return [Item(n + 1, dive, settings, clock) for n, dive in enumerate(dives)]


# --- profiles compared -----------------------------------------------------------------------------------------------

def depth_at(shape, time):
    t, d = shape
    if time < t[0] or time > t[-1]:
        return 0.0
    i = min(max(bisect.bisect_right(t, time) - 1, 0), len(t) - 2)
    return d[i] + (d[i + 1] - d[i]) * (time - t[i]) / (t[i + 1] - t[i])


def area_of_difference(a, b, from_s, to_s):
    """Of |a - b| over a stretch in which both are straight; `a`, `b`: depths at its ends."""
    x, y = a[0] - b[0], a[1] - b[1]
    if x * y >= 0:
        return (abs(x) + abs(y)) / 2 * (to_s - from_s)
    return (x * x + y * y) / (2 * (abs(x) + abs(y))) * (to_s - from_s)


def mean_difference(one, other, shift):
    """Over the union of both run times, 0 m outside; `other` moved later by `shift`."""
    moved = [t + shift for t in other[0]], other[1]
    knots = sorted(set(one[0]) | set(moved[0]))
    begin, end = knots[0], knots[-1]
    inside = lambda shape, a, b: a >= shape[0][0] and b <= shape[0][-1]
    total = 0.0
    for a, b in zip(knots, knots[1:]):
        ends = [(depth_at(s, a), depth_at(s, b)) if inside(s, a, b) else (0.0, 0.0) for s in (one, moved)]
        total += area_of_difference(ends[0], ends[1], a, b)
    covered = end - begin
    gap = max(one[0][0], moved[0][0]) - min(one[0][-1], moved[0][-1])
    return total / (covered - gap if gap > 0 else covered)


COMPARED = {}  # kept from one audit to the next


def least_difference(one, other, most_shift, enough):
    """The least mean difference over shifts of whole seconds. Shifts by a step first: the mean cannot change by more between
    two shifts than the course climbs; whatever cannot come under `enough` is not looked at more closely."""
    climbed = sum(abs(b - a) for a, b in zip(other[1], other[1][1:])) + other[1][0] + other[1][-1]
    longest = max(one[0][-1], other[0][-1])
    slope = 2 * climbed / longest  # m of mean difference for a second of shift, at most
    known = tuple(one[0]), tuple(one[1]), tuple(other[0]), tuple(other[1]), most_shift
    if known in COMPARED:
        return COMPARED[known]
    best, step = math.inf, 8
    for middle in range(-int(most_shift), int(most_shift) + 1, 2 * step):
        here = mean_difference(one, other, middle)
        best = min(best, here)
        if here - slope * step < min(best, enough):
            for shift in range(max(middle - step, -int(most_shift)), min(middle + step, int(most_shift)) + 1):
                best = min(best, mean_difference(one, other, shift))
    COMPARED[known] = best
    return best


def constant_bottom(item):
    """A2. Time by interpolation on every segment."""
    t, d = item.shape()
    top = max(d)

    def deeper(level):
        total = 0.0
        for i in range(len(t) - 1):
            lo, hi = min(d[i], d[i + 1]), max(d[i], d[i + 1])
            if lo >= level:
                total += t[i + 1] - t[i]
            elif hi > level:
                total += (t[i + 1] - t[i]) * (hi - level) / (hi - lo)
        return total

    bottom = deeper(0.9 * top)
    return bottom - deeper(max(top - 0.3, 0.9 * top)) < 0.2 * bottom


# --- standings -------------------------------------------------------------------------------------------------------

def judge(items, as_of):
    for item in items:
        judge_alone(item, as_of)
    merge(items)
    overlaps(items)
    repeats(items)


def judge_alone(item, as_of):
    dive, profile = item.dive, item.profile
    if dive.day is not None and dive.day > as_of:
        return item.set_aside("after-day")
    if any(v is not None and v <= 0 for v in (dive.stated_depth, dive.stated_duration)):
        return item.set_aside("not-positive")
    if profile:
        record = profile.t[-1] - profile.t[0]
        if dive.stated_depth is not None and abs(dive.stated_depth - item.greatest) > 1 + 0.05 * item.greatest + 1e-9:
            return item.set_aside("depth-contradicts")
        run = item.run_time if profile.has_run_time else record
        if dive.stated_duration is not None and \
                all(abs(dive.stated_duration - t) > 300 + 0.1 * t + 1e-9 for t in (run, record)):
            return item.set_aside("duration-contradicts")
    if item.greatest is not None and item.greatest > 330:
        return item.set_aside("too-deep")
    if profile:
        if fast(profile):
            return item.set_aside("rate")
        if deeper_than_3(profile) < 180:
            return item.set_aside("no-dive")


def fast(profile):
    kept, way = 0.0, 0
    for i in range(profile.count - 1):
        gap = profile.t[i + 1] - profile.t[i]
        rate = (profile.d[i + 1] - profile.d[i]) / gap * 60
        if abs(rate) <= 120:
            kept, way = 0.0, 0
            continue
        kept = kept + gap if (rate > 0) == (way > 0) and way else gap
        way = 1 if rate > 0 else -1
        if kept >= 5:
            return True
    return False


def deeper_than_3(profile):
    total = 0.0
    for i in range(profile.count - 1):
        a, b, gap = profile.d[i], profile.d[i + 1], profile.t[i + 1] - profile.t[i]
        lo, hi = min(a, b), max(a, b)
        if lo > 3:
            total += gap
        elif hi > 3:
            total += gap * (hi - 3) / (hi - lo)
    return total


def overlap(a, b):
    if a.begins is None or b.begins is None:
        return False
    first, later = (a, b) if a.begins <= b.begins else (b, a)
    return later.begins < first.ends


def merge(items):
    recorded = [i for i in items if i.standing == "recorded" and i.profile.has_run_time and i.begins is not None]
    for n, one in enumerate(recorded):
        for other in recorded[n + 1:]:
            if one.standing == other.standing == "recorded" and abs(one.begins - other.begins) <= 600 and \
                    abs(one.run_time - other.run_time) <= 120 and \
                    least_difference(one.shape(), other.shape(), 600, 1.0) < 1.0:
                kept, witness = (other, one) if other.interval < one.interval else (one, other)
                witness.merge("same-dive", kept)
    for item in recorded:
        while item.standing == "merged" and item.other.standing == "merged":
            item.other = item.other.other
    for item in items:
        if item.standing != "claimed" or item.begins is None or item.greatest is None:
            continue
        for other in items:
            if other.standing == "recorded" and overlap(item, other) and \
                    abs(item.greatest - other.greatest) <= 0.1 * other.greatest + 1e-9:
                item.merge("states-recorded-dive", other)
                break


def overlaps(items):
    for kind in ("recorded", "claimed"):
        for n, item in enumerate(items):
            if item.standing != kind:
                continue
            before = [o for o in items if o.standing == "recorded"] if kind == "claimed" else []
            before += [o for o in items[:n] if o.standing == kind]
            other = next((o for o in before if overlap(o, item)), None)
            if other:
                item.set_aside("overlaps", other)


def repeats(items):
    able = [i for i in items if i.standing == "recorded" and i.profile.has_run_time and i.run_time >= 900
            and i.interval <= 20 and not constant_bottom(i)]
    for n, later in enumerate(able):
        for earlier in able[:n]:
            if earlier.standing == "recorded" and abs(earlier.run_time - later.run_time) < 60 and \
                    least_difference(earlier.shape(), later.shape(), 120, 0.3) < 0.3:
                later.set_aside("repeats", earlier)
                break


# --- replayed facts --------------------------------------------------------------------------------------------------

REPLAYED = {}  # kept from one audit to the next: the tracks, by settings and all recorded dives so far


def replay(items, standard):
    """What counts, as one history: second_replay's entries for the recorded dives."""
    entries, held, so_far = [], None, (standard.gf, standard.last_stop)
    for item in items:
        if item.standing != "recorded":
            continue
        entry = second.Entry()
        entry.number, entry.dive, entry.profile = item.number, item.dive, item.profile
        entry.timed = item.begins is not None
        entry.held_before, entry.sum_before = None, []
        if entry.timed:
            entry.begins, entry.ends, entry.carried = item.begins, item.ends, True
            entry.held_before, entry.sum_before = held, [e for e in entries if e.timed]
        so_far += ((item.dive.file, item.dive.id),)
        if so_far not in REPLAYED:
            REPLAYED[so_far] = second.Track(entry.profile, second.start_state(entry), entry.number, every=10 ** 9)
        entry.track = REPLAYED[so_far]
        if entry.timed:
            held = (entry.track.final, entry.ends, entry.track.final.cns is None)
        entries.append(entry)
        take_facts(item, entry, standard)


def take_facts(item, entry, standard):
    track = entry.track
    profile = track.profile
    decompression = second.decompression(profile, track)
    item.required, item.owed = decompression["required"], decompression["owed_s"]
    legs = range(profile.leaving, profile.end)
    item.loop = any(profile.loop[i] for i in legs)
    item.helium = any(profile.mix[i] is not None and profile.mix[i][1] > 0 and max(profile.d[i], profile.d[i + 1]) > 10
                      for i in legs)
    item.switches = sum(profile.mix[i] != profile.mix[i - 1] for i in range(profile.leaving + 1, profile.end))
    surfacing = second.surfacing_of(profile, track)
    item.worst = {"ceiling": worst(ceilings(entry, standard)), "surfaced": worst(second.surfaced_findings(track, surfacing)),
                  "ascent": ascents(entry, standard), "density": gases(entry, standard, "density", "density_g_l",
                                                                       {"note": 5.2, "caution": 6.2}),
                  "narcosis": gases(entry, standard, "narcosis",
                                    "end_n2o2_m" if standard.narcotic_oxygen else "end_n2_m",
                                    {"note": 30.0, "caution": 40.0})}


def worst(findings):
    return max((SEVERITIES.index(f["severity"]) for f in findings), default=-1)


def ceilings(entry, standard):
    """As second_replay has them, with the caution of the standard."""
    rows = entry.track.rows
    above = lambda i: None if rows[i]["ceiling_m"] is None else rows[i]["ceiling_m"] - rows[i]["depth_m"]
    found = second.ceiling_findings(entry.track, second.sample_curve(entry.track, above))
    limits = standard.limits.get("ceiling")
    assert limits is None or limits.get("note") == 0.0
    for one in found:
        if limits is not None and one["severity"] != "serious":
            beyond = "caution" in limits and second.passes(one["peak"], limits["caution"]) and one["beyond_s"] >= 60
            one["severity"] = "caution" if beyond else "note"
    return found


def ascents(entry, standard):
    rows = entry.track.rows
    curve = second.sample_curve(entry.track, lambda i: rows[i]["ascent_rate_m_min"])
    best = -1
    for severity, limit in standard.limits.get("ascent", {"caution": 12.0, "serious": 18.0}).items():
        parts = second.join(second.over_pieces(curve, lambda a, b: limit), 0.0)
        if any(s[-1][1] - s[0][0] >= 10 - 1e-9 for s in parts):
            best = max(best, SEVERITIES.index(severity))
    return best


def gases(entry, standard, kind, key, built_in):
    values = [v for _, v in second.gas_curve(entry.track, key).everywhere()]
    over = [SEVERITIES.index(s) for s, limit in standard.limits.get(kind, built_in).items()
            if values and second.passes(max(values), limit)]
    return max(over, default=-1)


# --- requirements ----------------------------------------------------------------------------------------------------

def stated_helium(item):
    mixes = [item.dive.log.mixes[name] for name in item.dive.linked]
    if item.greatest is not None and item.greatest <= 10 or mixes and not any(m.he for m in mixes):
        return False
    return True if mixes and all(m.he for m in mixes) and item.greatest is not None else None


def attributes(item, asked, as_of, last):
    """Of each attribute asked: True, False or None where it is not settled."""
    recorded, out = item.standing == "recorded", {}

    def put(name, value):
        if name in asked:
            out[name] = value(asked[name])

    known = lambda value, test: None if value is None else test(value)
    put("decompression", lambda a: item.required == (a == "yes") if recorded and item.required is not None else None)
    put("owed", lambda a: (item.owed is None or item.owed >= seconds_of(a)) if recorded and item.required is not None else None)
    put("deepest-from", lambda a: known(item.greatest, lambda d: d >= float(a)))
    put("deepest-to", lambda a: known(item.greatest, lambda d: d <= float(a)))
    put("within", lambda a: item.dive.day is not None and first_day(as_of, a) <= item.dive.day <= as_of)
    put("among-last", lambda a: item in last[-int(a):])
    put("helium", lambda a: known(item.helium if recorded else stated_helium(item), lambda h: h == (a == "yes")))
    put("switches", lambda a: item.switches >= int(a) if recorded else None)
    put("circuit", lambda a: item.loop == (a == "loop") if recorded else None)
    put("shortest", lambda a: known(item.run_time, lambda t: t >= seconds_of(a)))
    put("finding", lambda a: item.worst[a] >= SEVERITIES.index(asked["severity"]) if recorded else None)
    return out


def answer(items, asked, as_of):
    counted = [i for i in items if i.standing in ("recorded", "claimed")]
    last = [i for i in counted if i.dive.day is not None]
    shares, short = {}, []
    for item in counted:
        said = list(attributes(item, asked, as_of, last).items())
        no = [name for name, value in said if value is False]
        unsettled = [name for name, value in said if value is None]
        if not no:
            shares[item.number] = "unsettled" if unsettled else item.standing
        elif len(no) == 1 and not unsettled:
            short.append((item.number, no[0]))
    sums = add_up(counted, shares, asked.get("count", "dives"))
    least, most = (float(asked[k]) if k in asked else None for k in ("least", "most"))
    return {"id": asked["id"], "least": least, "most": most, "counted_in": asked.get("count", "dives"), **sums,
            "verdict": verdict(sums, least, most),
            "dives": [n for n, share in shares.items() if share != "unsettled"],
            "unsettled_dives": [n for n, share in shares.items() if share == "unsettled"],
            "just_short": short if least is not None else []}


def add_up(counted, shares, unit):
    sums = {"recorded": 0.0, "claimed": 0.0, "unsettled": 0.0}
    order, days = list(sums), {}
    for item in counted:
        share = shares.get(item.number)
        if share is None:
            continue
        if unit == "days":
            day = item.dive.day or item.number
            days[day] = min(days.get(day, 9), order.index(share))
        else:
            sums[share] += (item.run_time or 0.0) / 3600 if unit == "hours" else 1
    for share in days.values():
        sums[order[share]] += 1
    return sums


def verdict(sums, least, most):
    words = ["met", "met-if-claims-hold", "not-met"]
    worst_of = 0
    if least is not None and sums["recorded"] < least:
        worst_of = 1 if sums["recorded"] + sums["claimed"] >= least else 2
    if most is not None:
        if sums["recorded"] > most:
            worst_of = 2
        elif sum(sums.values()) > most:
            worst_of = max(worst_of, 1)
    return words[worst_of]


# --- the whole -------------------------------------------------------------------------------------------------------



def audit(paths, standard, as_of):
    settings = second.Settings(gf=standard.gf, last_stop=standard.last_stop)
    items = read_history(paths, settings)
    judge(items, as_of)
    replay(items, standard)
    answers = [answer(items, asked, as_of) for asked in standard.requirements]
    aside = lambda standing: [{"number": i.number, "id": i.dive.id, "file": i.dive.file, "reason": i.reason,
                               "other": i.other.number if i.other else None} for i in items if i.standing == standing]
    order = ["met", "met-if-claims-hold", "not-met"]
    return {"as_of": as_of.isoformat(),
            "records": {"dives": len(items), **{s: sum(i.standing == s for i in items)
                                                for s in ("recorded", "claimed", "merged", "set_aside")}},
            "requirements": answers, "set_aside": aside("set_aside"), "merged": aside("merged"),
            "verdict": max((a["verdict"] for a in answers), key=order.index, default="met")}, items


def main():
    parser = argparse.ArgumentParser(description="the second audit")
    parser.add_argument("--standard", required=True)
    parser.add_argument("--as-of", required=True, type=datetime.date.fromisoformat)
    parser.add_argument("logs", nargs="+")
    given = parser.parse_args()
    json.dump(audit(given.logs, Standard(given.standard), given.as_of)[0], sys.stdout, indent=1)
    return 0


if __name__ == "__main__":
    sys.exit(main())
