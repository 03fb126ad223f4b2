# SPDX-License-Identifier: GPL-3.0-or-later
"""Logs of one invented dive as several recorders would write them, and what a review of them says.

A dive is a line of knots (seconds, metres of 10 to the bar); Recorder says what is wrong with the one that wrote it."""
import bisect
import datetime
import json
import random
from dataclasses import dataclass

from workplace import expect, expect_end, run

HOUR_S = 3600
NOON = datetime.datetime(2026, 5, 3, 12, 0, 0)
TEN_TO_THE_BAR_KG_M3 = 1e4 / 9.80665

# 40 m for a quarter of an hour, stays at 21, 12, 9 and 6 m.
STAIRS = [(0, 0), (150, 40), (500, 39), (900, 40), (1020, 21), (1140, 21), (1200, 12), (1380, 12), (1410, 9), (1650, 9),
          (1680, 6), (2100, 6), (2220, 0)]


def depth_at(line, t):
    if t <= line[0][0]:
        return line[0][1]
    if t >= line[-1][0]:
        return line[-1][1]
    i = bisect.bisect_right([k[0] for k in line], t)
    (t0, d0), (t1, d1) = line[i - 1], line[i]
    return d0 + (d1 - d0) * (t - t0) / (t1 - t0)


@dataclass
class Recorder:
    ahead_s: float = 0        # of the clock of the place
    every_s: float = 2
    noise_m: float = 0        # standard deviation
    kg_m3: float = TEN_TO_THE_BAR_KG_M3
    seed: int = 0
    gap: tuple = (0, 0)       # seconds of the dive without samples
    begins_s: float = -10     # of the dive, on the recorder's clock a whole second

    def samples(self, line):
        """(seconds of the record, displayed metres), and the start as the recorder notes it."""
        draw = random.Random(self.seed)
        starts_s = round(self.begins_s + self.ahead_s)
        rows, k = [], 0
        while True:
            true_s = starts_s + k * self.every_s - self.ahead_s
            if true_s > line[-1][0] + 20:
                break
            metres = depth_at(line, true_s) * TEN_TO_THE_BAR_KG_M3 / self.kg_m3
            metres = max(0.0, metres + draw.gauss(0, self.noise_m)) if metres > 0 else 0.0
            if not self.gap[0] < true_s < self.gap[1]:
                rows.append((k * self.every_s, metres))
            k += 1
        return rows, NOON + datetime.timedelta(seconds=starts_s)


MIXES = {"bottom": (0.18, 0.45), "ean50": (0.50, 0.0)}


def dive(number, recorder, line, later=datetime.timedelta(), switch_s=None):
    rows, start = recorder.samples(line)
    points, mix = [], "bottom"
    for i, (t, metres) in enumerate(rows):
        change = '<switchmix ref="bottom"/>' if i == 0 else ""
        true_s = t + (start - NOON).total_seconds() - recorder.ahead_s
        if switch_s is not None and mix == "bottom" and true_s >= switch_s:
            mix, change = "ean50", '<switchmix ref="ean50"/>'
        points.append(f"<waypoint><depth>{metres:.3f}</depth><divetime>{t}</divetime>{change}</waypoint>")
    return f"""<dive id="d{number}">
<informationbeforedive><datetime>{(start + later).isoformat()}</datetime></informationbeforedive>
<samples>
{chr(10).join(points)}
</samples></dive>
"""


def log(*dives, owner="Owner", serial=""):
    mixes = "".join(f'<mix id="{m}"><o2>{o2}</o2><he>{he}</he></mix>' for m, (o2, he) in MIXES.items())
    first, _, last = owner.partition(" ")
    return f"""<?xml version="1.0" encoding="utf-8"?>
<uddf version="3.2.0"><generator><name>Skifer recorder</name></generator>
<diver><owner id="o"><personal><firstname>{first}</firstname><lastname>{last}</lastname></personal>
<equipment><divecomputer id="c"><name>{serial}</name></divecomputer></equipment></owner></diver>
<gasdefinitions>{mixes}</gasdefinitions>
<profiledata><repetitiongroup id="g">
{"".join(dives)}</repetitiongroup></profiledata></uddf>
"""


def write(folder, name, line=STAIRS, recorder=None, owner=None, switch_s=None):
    """One dive of one recorder; `name` names the file and, unless `owner` is given, its owner."""
    text = log(dive(1, recorder or Recorder(), line, switch_s=switch_s), owner=owner or name.capitalize())
    (folder / f"{name}.uddf").write_text(text, encoding="utf-8")
    return f"{name}.uddf"


def review(tool, folder, *arguments, code=0):
    result = run(tool, ["review", "--format", "json", *arguments], folder)
    expect_end(result, code)
    return json.loads(result.stdout)


def near(what, got, wanted, within):
    expect(got is not None and abs(got - wanted) <= within, f"{what} is {got}, expected {wanted} within {within}")


def by_name(answer):
    return {diver["name"]: diver for diver in answer["divers"]}
