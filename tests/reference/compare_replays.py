#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Runs the program and the second replay on the same logs and compares every cell of the rows and every figure of the
debriefs. Missing must match missing.

    compare_replays.py TOOL [--every N] [--budget ROWS] [--plain] [--reading NAME=yes|no] LOG...

Each log is a history of its own; the option sets run on every log (--plain: the first set only). No-stop time and time
to surface are compared on every Nth row; without --every N is chosen so that about ROWS rows of a log are.
Prints the largest difference a column and every disagreement (the first few of a kind); exit 1 beyond tolerance.
Tolerances: tissues 1e-8 bar, ceilings 1e-5 m, percent and OTU 1e-5, times that the model gives 1 s; outputs print 12
digits.
"""

import argparse
import csv
import io
import json
import os
import subprocess
import sys

sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))
import second_replay as second  # noqa: E402

SETS = [
    ("built-in", [], {}),
    ("30/100 A fresh", ["--gf", "30/100", "--model", "zh-l16a", "--water", "fresh"],
     dict(gf=(30.0, 100.0), model="zh-l16a", water=1000.0)),
    ("85/85 B sea 0.95", ["--gf", "85/85", "--model", "zh-l16b", "--water", "sea", "--surface", "0.95"],
     dict(gf=(85.0, 85.0), model="zh-l16b", water=1030.0, surface=0.95)),
    ("20/95 log 6 m air", ["--gf", "20/95", "--water", "log", "--last-stop", "6", "--assume-air"],
     dict(gf=(20.0, 95.0), water="log", last_stop=6.0, assume_air=True)),
    ("last stop 4.5 m", ["--last-stop", "4.5"], dict(last_stop=4.5)),
    ("VVal-18", ["--model", "vval-18"], dict(model="vval-18")),
    ("VVal-18 sea 0.9 6 m air", ["--model", "vval-18", "--water", "sea", "--surface", "0.9", "--last-stop", "6",
                                 "--assume-air"],
     dict(model="vval-18", water=1030.0, surface=0.9, last_stop=6.0, assume_air=True)),
    ("MN90", ["--model", "mn90"], dict(model="mn90")),
    ("MN90 fresh 0.8 air", ["--model", "mn90", "--water", "fresh", "--surface", "0.8", "--assume-air"],
     dict(model="mn90", water=1000.0, surface=0.8, assume_air=True)),
]

TOLERANCE = {
    "dive": 0.0, "time_s": 1e-9, "depth_m": 1e-9, "ambient_bar": 1e-8, "mix_o2": 1e-9, "mix_he": 1e-9, "po2_atm": 1e-8,
    "end_n2_m": 1e-7, "end_n2o2_m": 1e-7, "density_g_l": 1e-8, "ascent_rate_m_min": 1e-7, "ceiling_m": 1e-5,
    "stop_m": 1e-5, "gradient_percent": 1e-5, "leading_compartment": 0.0, "no_stop_s": 1.0, "time_to_surface_s": 1.0,
    "cns_percent": 1e-5, "otu": 1e-5, "temperature_c": 1e-8,
}
TIMED = ("no_stop_s", "time_to_surface_s")
PEAK_OF_KIND = {"ceiling": 1e-5, "surfaced": 1e-5, "ascent": 1e-7, "own-stop": 1e-9, "oxygen-high": 1e-8,
                "oxygen-low": 1e-6, "density": 1e-8, "narcosis": 1e-7, "counterdiffusion": 1e-9, "cns": 1e-5,
                "otu": 1e-5}
EDGE_S = 0.05  # ends of findings: where a curve is flat a hair of value moves them


class Report:
    def __init__(self):
        self.largest, self.compared, self.bad, self.lines = {}, {}, {}, []

    def check(self, name, where, theirs, ours, tolerance):
        """Compares two figures, None for missing."""
        self.compared[name] = self.compared.get(name, 0) + 1
        if isinstance(ours, bool) or isinstance(ours, str) or isinstance(theirs, (bool, str)):
            difference, fine = 0.0, theirs == ours
        elif theirs is None or ours is None:
            difference, fine = 0.0, theirs is None and ours is None
        else:
            slack = 1e-11 * abs(ours)  # 12 significant digits
            difference = abs(theirs - ours)
            fine = difference <= tolerance + slack
        self.largest[name] = max(self.largest.get(name, 0.0), difference)
        if not fine:
            self.wrong(name, "%s: %s: program %r, second %r" % (where, name, theirs, ours))
        return fine

    def wrong(self, name, line):
        self.bad[name] = self.bad.get(name, 0) + 1
        if self.bad[name] <= 12:
            self.lines.append(line)

    def show(self):
        print("%-44s %10s %12s %8s" % ("figure", "compared", "largest", "beyond"))
        for name in self.compared:
            print("%-44s %10d %12.3g %8d" % (name, self.compared[name], self.largest[name], self.bad.get(name, 0)))
        for line in self.lines:
            print(line)
        hidden = sum(n - 12 for n in self.bad.values() if n > 12)
        if hidden:
            print("... and %d more" % hidden)
        print("%d figures compared, %d beyond tolerance" % (sum(self.compared.values()), sum(self.bad.values())))


def run(tool, arguments):
    done = subprocess.run([tool] + arguments, capture_output=True, text=True, timeout=300)
    if done.returncode != 0:
        raise RuntimeError("%s: exit %d: %s" % (" ".join(arguments), done.returncode, done.stderr.strip()))
    return done.stdout


def value_of(word):
    return None if word == "" else float(word)


def compare_rows(report, where, text, entries):
    table = list(csv.DictReader(io.StringIO(text)))
    columns = second.COLUMNS + second.TISSUE_COLUMNS
    if table and list(table[0]) != columns:
        report.wrong("header", "%s: header %s" % (where, ",".join(table[0])))
    ours = [(row, entry) for entry in entries if entry.track is not None for row in entry.track.rows]
    report.check("rows", where, len(table), len(ours), 0)
    for theirs, (row, entry) in zip(table, ours):
        place = "%s: dive %d at %g s" % (where, row["dive"], row["time_s"])
        for name in columns:
            if name in TIMED and not row["times_computed"]:
                continue
            kind = name if name in TOLERANCE else "tissues"
            if name == "leading_compartment" and tie(entry, row, value_of(theirs[name])):
                continue
            report.check(kind, place, value_of(theirs[name]), row[name], TOLERANCE.get(name, 1e-8))


def tie(entry, row, compartment):
    """Whether another compartment leads by less than rounding."""
    if compartment is None or row["leading_compartment"] is None or compartment == row["leading_compartment"]:
        return False
    i = entry.profile.t.index(row["time_s"])
    other = second.gradients(entry.profile.settings, entry.track.row_tissues[i],
                             entry.profile.row_pressure(i))[int(compartment) - 1]
    return abs(other - row["gradient_percent"]) < 1e-9


def compare_debrief(report, where, theirs, ours, entry):
    for key, tolerance in (("number", 0), ("id", 0), ("run_time_s", 1e-9), ("record_s", 1e-9),
                           ("greatest_depth_m", 1e-9), ("mean_depth_m", 1e-8)):
        report.check(key, where, theirs.get(key), ours[key], tolerance)
    for group, keys in (("cns_percent", (("start", 1e-5), ("end", 1e-5), ("last_24_h", 1e-5), ("lower_bound", 0))),
                        ("otu", (("dive", 1e-5), ("day", 1e-5))),
                        ("decompression", (("required", 0), ("ascent_start_s", 1e-9), ("owed_s", 1.0),
                                           ("time_to_surface_s", 1.0), ("deepest_stop_m", 1e-9))),
                        ("surfacing", (("time_s", 1e-9), ("gradient_percent", 1e-5), ("leading_compartment", 0),
                                       ("ceiling_m", 1e-5)))):
        compare_group(report, where, group, keys, theirs.get(group), ours[group])
    for key, peak in ours["peaks"].items():
        other = (theirs.get("peaks") or {}).get(key) or {}
        report.check("peak " + key, where, other.get("value"), peak["value"], TOLERANCE[key])
        compare_peak_time(report, where, "peak time of " + key, other.get("time_s"), peak["time_s"], peak["value"],
                          entry.curves["peak " + key])
    compare_findings(report, where, theirs.get("findings") or [], ours["findings"], entry)


def compare_group(report, where, group, keys, theirs, ours):
    report.check(group + " known", where, theirs is not None, ours is not None, 0)
    if theirs is not None and ours is not None:
        for key, tolerance in keys:
            report.check(group + " " + key, where, theirs.get(key), ours[key], tolerance)


def compare_peak_time(report, where, name, theirs, ours, value, curve):
    """On a plateau rounding decides which sample is the peak: any time at which the value stands will do."""
    if theirs is not None and ours is not None and curve is not None and value is not None and \
            any(abs(v - value) <= 1e-7 * max(1.0, abs(value)) for v in curve.value_near(theirs)):
        theirs = ours
    report.check(name, where, theirs, ours, EDGE_S)


def compare_findings(report, where, theirs, ours, entry):
    theirs = [f for f in theirs if f["kind"] in PEAK_OF_KIND]  # the second replay makes no others
    told = lambda f: "%s %s %.0f-%.0f" % (f["kind"], f["severity"], f["from_s"], f["to_s"])
    name = lambda found: ", ".join(told(f) for f in found)
    if [f["kind"] for f in theirs] != [f["kind"] for f in ours]:
        report.check("findings", where, name(theirs), name(ours), 0)
        return
    report.check("findings", where, len(theirs), len(ours), 0)
    for one, own in zip(theirs, ours):
        place, kind = "%s: %s at %.0f s" % (where, own["kind"], own["from_s"]), own["kind"]
        for key in ("severity", "class", "unit"):
            report.check("finding " + key, place, one.get(key), own[key], 0)
        for key in ("from_s", "to_s", "beyond_s"):
            report.check("finding " + key, place, one.get(key), own[key], EDGE_S)
        report.check("finding peak", place, one.get("peak"), own["peak"], PEAK_OF_KIND[kind])
        report.check("finding limit", place, one.get("limit"), own["limit"], 1e-9)
        compare_peak_time(report, place, "finding peak_s", one.get("peak_s"), own["peak_s"], own["peak"],
                          entry.curves.get(kind))


def compare(report, tool, log, label, options, keywords, every, budget):
    where = "%s [%s]" % (os.path.basename(log), label)
    settings = second.Settings(every=every or 1, **keywords)
    if not every:
        settings.every = 10 ** 9
        rows = sum(len(d.samples) for d in second.read_log(log, 0))
        settings.every = max(1, -(-rows // budget))
    entries = second.replay_history([log], settings)
    compare_rows(report, where, run(tool, ["replay", "--tissues"] + options + [log]), entries)
    dives = json.loads(run(tool, ["debrief", "--dive", "all", "--format", "json"] + options + [log]))["dives"]
    report.check("dives", where, len(dives), len(entries), 0)
    for theirs, entry in zip(dives, entries):
        if entry.track is not None:
            compare_debrief(report, "%s: dive %d" % (where, entry.number), theirs, second.debrief(entry), entry)


def main():
    parser = argparse.ArgumentParser(description="compare the program with the second replay")
    parser.add_argument("tool")
    parser.add_argument("--every", type=int)
    parser.add_argument("--budget", type=int, default=40)
    parser.add_argument("--plain", action="store_true")
    parser.add_argument("--reading", action="append", default=[], metavar="NAME=yes|no", help="turn a reading over")
    parser.add_argument("logs", nargs="+")
    given = parser.parse_args()
    for word in given.reading:
        name, value = word.split("=")
        if not isinstance(getattr(second, name, None), bool):
            parser.error("no reading called " + name)
        setattr(second, name, value == "yes")
    report = Report()
    for log in given.logs:
        for label, options, keywords in SETS[:1] if given.plain else SETS:
            try:
                compare(report, given.tool, log, label, options, keywords, given.every, given.budget)
            except (RuntimeError, ValueError, KeyError) as error:
                report.wrong("run", "%s [%s]: %s: %s" % (os.path.basename(log), label, type(error).__name__, error))
    report.show()
    return 1 if report.bad else 0


if __name__ == "__main__":
    sys.exit(main())
