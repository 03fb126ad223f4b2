# SPDX-License-Identifier: GPL-3.0-or-later
"""What the tests of pages share: making a page, and reading its read-out."""
import csv
import io
import json
import pathlib
import re
import subprocess

ROOT = pathlib.Path(__file__).resolve().parents[2]
SAMPLES = ROOT / "sample-logs"
KEY = {"left": "\ue012", "right": "\ue014", "page_up": "\ue00e", "page_down": "\ue00f", "home": "\ue011", "end": "\ue010",
       "shift": "\ue008", "tab": "\ue004", "enter": "\ue007"}


def expect(condition, sentence):
    if not condition:
        raise AssertionError(sentence)


class NotRun(Exception):
    """What a test needs is not on this machine."""


class Bench:
    def __init__(self, tool, folder):
        self.tool, self.folder = tool, folder

    def make(self, name, *arguments, command="debrief"):
        page = self.folder / name
        subprocess.run([self.tool, command, "--format", "html", "-o", str(page), *map(str, arguments)], check=True,
                       timeout=120)
        return page

    def answer(self, command, *arguments):
        done = subprocess.run([self.tool, command, "--format", "json", *map(str, arguments)], check=True,
                              capture_output=True, timeout=120)
        return json.loads(done.stdout)

    def rows(self, *arguments):
        done = subprocess.run([self.tool, "replay", *map(str, arguments)], check=True, capture_output=True, timeout=120)
        return list(csv.DictReader(io.StringIO(done.stdout.decode())))


# --- the read-out --------------------------------------------------------------------------------------------------

READ = """
const readout = document.querySelector(".readout"), shown = {};
for (const dt of readout.querySelectorAll("dl dt")) shown[dt.textContent] = dt.nextElementSibling.textContent;
return {time: Number(readout.dataset.time), shown};
"""
FIGURES = [("Depth", "depth_m", 1), ("PO2", "po2_atm", 2), ("END, nitrogen only", "end_n2_m", 1),
           ("END, nitrogen and oxygen", "end_n2o2_m", 1), ("Gas density", "density_g_l", 1),
           ("Ascent rate", "ascent_rate_m_min", 1), ("Ceiling", "ceiling_m", 1), ("Stop", "stop_m", 0),
           ("Gradient", "gradient_percent", 0), ("CNS", "cns_percent", 0), ("OTU", "otu", 0)]


def number_in(words):
    if words in ("none", "not known"):
        return 0.0 if words == "none" else None
    return float(re.match(r"-?[0-9.]+", words).group())


def seconds_in(clock):
    if clock == "not known":
        return None
    minutes, seconds = clock.split(":")
    return int(minutes) * 60 + int(seconds)


def printed(figure, digits):
    return float(f"{float(figure):.{digits}f}")


def mix_in(words):
    """Oxygen and helium of a mix, percent."""
    words = words.removeprefix("loop, diluent ")
    known = {"air": (21, 0), "oxygen": (100, 0)}
    if words in known:
        return known[words]
    found = re.fullmatch(r"EAN(\d+)|(\d+)/(\d+)", words)
    return (int(found[1]), 0) if found[1] else (int(found[2]), int(found[3]))


def agrees(browser, rows, metres=1.0, digits_off=0):
    """Every figure at the cursor is that of replay, rounded once."""
    got = browser.run(READ)
    row = min(rows, key=lambda one: abs(float(one["time_s"]) - got["time"]))
    expect(abs(float(row["time_s"]) - got["time"]) < 1e-9, f"no sample lies at {got['time']}")
    for name, key, digits in FIGURES:
        shown = number_in(got["shown"][name])
        if row[key] == "":
            expect(shown is None, f"{name} at {got['time']}: {shown}, replay knows none")
            continue
        is_length = key.endswith(("_m", "_m_min"))
        exact = float(row[key]) / (metres if is_length else 1)
        wanted = printed(exact, max(digits - (digits_off if is_length else 0), 0))
        room = 0 if metres == 1.0 else 1
        expect(shown is not None and abs(shown - wanted) <= room,
               f"{name} at {got['time']}: {got['shown'][name]}, replay {row[key]}")
    if row["time_to_surface_s"]:
        shown = seconds_in(got["shown"]["Time to surface"])
        expect(shown == printed(row["time_to_surface_s"], 0), f"time to surface at {got['time']}: {shown}")
    if row["mix_o2"]:
        wanted = (printed(float(row["mix_o2"]) * 100, 0), printed(float(row["mix_he"]) * 100, 0))
        expect(mix_in(got["shown"]["Breathed"]) == wanted, f"breathed at {got['time']}: {got['shown']['Breathed']}, not {wanted}")
    expect(got["shown"]["Record's clock"].endswith(f"time_s {row['time_s']}"), f"the record's clock: {got['shown']}")
    return got


def on_the_line(readings, at):
    """At a reading the reading itself, between two on the straight line through them; None outside."""
    for (t0, p0), (t1, p1) in zip(readings, readings[1:]):
        if t0 <= at <= t1:
            return p0 + (p1 - p0) * (at - t0) / (t1 - t0)
    return None


def go_to(browser, place, readout=".readout"):
    browser.run("""const handle = document.querySelector(arguments[1]).querySelector('input');
      handle.value = arguments[0];
      handle.dispatchEvent(new Event('input'));""", place, readout)
