#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Usage: run_page.py TOOL [FOLDER [TEST...]]

Opens debrief pages in a real browser: what they show, whether the cursor agrees with `replay`, whether anything leaves the
page, whether it holds on a phone, on paper, without script, for a keyboard and a screen reader. Pictures for people to look at go
to FOLDER (else a temporary one). Exits 77 where there is no browser.
"""
import csv
import io
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile
import time
import xml.etree.ElementTree

import webdriver

ROOT = pathlib.Path(__file__).resolve().parents[2]
SAMPLES = ROOT / "sample-logs"
KEY = {"left": "\ue012", "right": "\ue014", "page_up": "\ue00e", "page_down": "\ue00f", "home": "\ue011", "end": "\ue010",
       "shift": "\ue008", "tab": "\ue004", "enter": "\ue007"}
HOSTILE = "</script><img src=x onerror=document.title='taken'>\"'&<b>"


def expect(condition, sentence):
    if not condition:
        raise AssertionError(sentence)


class NotRun(Exception):
    """What a test needs is not on this machine."""


class Bench:
    def __init__(self, tool, folder):
        self.tool, self.folder = tool, folder

    def make(self, name, *arguments):
        page = self.folder / name
        subprocess.run([self.tool, "debrief", "--format", "html", "-o", str(page), *map(str, arguments)], check=True,
                       timeout=120)
        return page

    def rows(self, *arguments):
        done = subprocess.run([self.tool, "replay", *map(str, arguments)], check=True, capture_output=True, timeout=120)
        return list(csv.DictReader(io.StringIO(done.stdout.decode())))


# --- the cursor and replay ----------------------------------------------------------------------------------------

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


def go_to(browser, place):
    browser.run("""const handle = document.querySelector('.readout input');
      handle.value = arguments[0];
      handle.dispatchEvent(new Event('input'));""", place)


def cursor_agrees_with_replay(bench, browser):
    for log in ("ok-stop-cut-short.uddf", "ok-loop.uddf", "ok-deep-kept.uddf", "note-undefined-mix.uddf"):
        browser.open(bench.make("cursor.html", SAMPLES / log))
        rows = bench.rows(SAMPLES / log)
        browser.run("document.querySelector('.readout input').focus()")
        for keys in (["home"], ["right"] * 7, [("shift", "right")] * 9, ["page_up"] * 20, ["left"], ["end"],
                     ["page_down"] * 2, ["left"] * 3):
            browser.keys(*[tuple(KEY[k] for k in key) if isinstance(key, tuple) else KEY[key] for key in keys])
            agrees(browser, rows)


def cursor_agrees_at_every_kind_of_instant(bench, browser):
    """Around each switch, at each change of the stop asked for, and evenly over the dive."""
    for log in ("ok-stop-cut-short.uddf", "ok-loop.uddf", "ok-travel-mix.uddf", "ok-mountain-lake.uddf"):
        browser.open(bench.make("instants.html", SAMPLES / log))
        rows = bench.rows(SAMPLES / log)
        first = browser.run("return JSON.parse(document.querySelector('script.samples').textContent).from_s")
        leaving = next(i for i, row in enumerate(rows) if abs(float(row["time_s"]) - first) < 0.001)
        count = browser.run("return Number(document.querySelector('.readout input').max)") + 1
        changes = [i for i in range(1, count) for a, b in [(rows[leaving + i - 1], rows[leaving + i])]
                   if (a["mix_o2"], a["mix_he"], a["stop_m"]) != (b["mix_o2"], b["mix_he"], b["stop_m"])]
        places = sorted({0, count - 1, *range(0, count, max(count // 12, 1)), *(i + d for i in changes[:25] for d in (-1, 0))})
        for place in places:
            go_to(browser, place)
            got = agrees(browser, rows)
            expect(abs(got["time"] - float(rows[leaving + place]["time_s"])) < 1e-9, f"place {place} lies at {got['time']}")


def cursor_speaks_feet_where_asked(bench, browser):
    log = SAMPLES / "ok-stop-cut-short.uddf"
    browser.open(bench.make("feet.html", "--units", "imperial", log))
    rows = bench.rows(log)
    for place in (30, 300, 700):
        go_to(browser, place)
        got = agrees(browser, rows, metres=0.3048, digits_off=1)
        expect(got["shown"]["Depth"].endswith(" ft") and got["shown"]["twin twelves"].endswith(" psi"),
               f"not in feet and psi: {got['shown']}")


def readings_of(log):
    """Of each tank in the log: instants and bar."""
    readings = {}
    for waypoint in (w for w in xml.etree.ElementTree.parse(log).iter() if w.tag.endswith("waypoint")):
        at = next(float(field.text) for field in waypoint if field.tag.endswith("divetime"))
        for field in waypoint:
            if field.tag.endswith("tankpressure"):
                readings.setdefault(field.get("ref"), []).append((at, float(field.text) / 1e5))
    return list(readings.values())


def on_the_line(readings, at):
    """At a reading the reading itself, between two on the straight line through them."""
    for (t0, p0), (t1, p1) in zip(readings, readings[1:]):
        if t0 <= at <= t1:
            return p0 + (p1 - p0) * (at - t0) / (t1 - t0)
    return None


def with_few_readings(folder):
    """A log with the tank pressures of one in four samples."""
    text, count = (SAMPLES / "ok-stop-cut-short.uddf").read_text(encoding="utf-8"), [0]

    def keep(found):
        count[0] += 1
        return found[0] if count[0] // 3 % 4 == 0 else ""

    path = folder / "few-readings.uddf"
    path.write_text(re.sub(r"<tankpressure[^>]*>[^<]*</tankpressure>", keep, text), encoding="utf-8")
    return path


def tanks_are_those_of_the_log(bench, browser):
    for log in (SAMPLES / "ok-stop-cut-short.uddf", with_few_readings(bench.folder)):
        tanks = readings_of(log)
        browser.open(bench.make("tanks.html", log))
        names = browser.run("return JSON.parse(document.querySelector('script.samples').textContent).tanks.map((t) => t.name)")
        expect(len(names) == len(tanks) == 3, f"{names} for {len(tanks)} tanks of the log")
        for place in range(2, 1200, 61):
            go_to(browser, place)
            got = browser.run(READ)
            for name, readings in zip(names, tanks):
                shown, wanted = number_in(got["shown"][name]), on_the_line(readings, got["time"])
                expect((shown is None) == (wanted is None) and (shown is None or abs(shown - wanted) <= 0.53),
                       f"{name} at {got['time']}: {got['shown'][name]}, by the log {wanted}")


def pointer_and_touch_move_the_cursor(bench, browser):
    log = SAMPLES / "ok-stop-cut-short.uddf"
    browser.open(bench.make("pointer.html", log))
    rows = bench.rows(log)
    for kind, share in (("mouse", 0.25), ("touch", 0.5), ("mouse", 0.775), ("touch", 0.995)):
        x, y = browser.run("""
          const field = document.querySelector('figure.depth svg.field');
          field.scrollIntoView({block: 'center'});
          const box = field.getBoundingClientRect();
          return [box.left + box.width * arguments[0], box.top + box.height / 2];""", share)
        browser.point(x, y, kind)
        got = agrees(browser, rows)
        browser.hover(x - 200 if share > 0.5 else x + 200, y)
        expect(browser.run(READ)["time"] == got["time"], "an instant that was asked for does not stay under the mouse")
        from_s, to_s = (browser.run(f"return Number(document.querySelector('.picture').dataset.{end})") for end in ("from", "to"))
        expect(abs(got["time"] - (from_s + share * (to_s - from_s))) < 12, f"{kind} at {share} led to {got['time']}")


def the_mouse_leads_until_it_presses(bench, browser):
    browser.open(bench.make("hover.html", SAMPLES / "ok-stop-cut-short.uddf"))
    box = browser.run("const b = document.querySelector('.axis svg.field').getBoundingClientRect(); return [b.left, b.top, b.width]")
    seen = []
    for share in (0.2, 0.6):
        browser.hover(box[0] + share * box[2], box[1] + 10)
        seen.append(browser.run(READ)["time"])
    from_s, to_s = (browser.run(f"return Number(document.querySelector('.picture').dataset.{end})") for end in ("from", "to"))
    expect(all(abs(at - (from_s + share * (to_s - from_s))) < 12 for at, share in zip(seen, (0.2, 0.6))), f"the mouse led to {seen}")


def the_read_out_stays_in_sight(bench, browser):
    browser.open(bench.make("sight.html", SAMPLES / "ok-stop-cut-short.uddf"))
    for width, height in ((1200, 900), (360, 720)):
        browser.size(width, height)
        for strip in ("depth", "gradient", "rate"):
            seen = browser.run("""document.querySelector(`figure.${arguments[0]}`).scrollIntoView();
              const box = document.querySelector('.readout .now').getBoundingClientRect();
              return [box.top, box.bottom, innerHeight]""", strip)
            expect(seen[0] > 0 and seen[1] <= seen[2] + 1, f"{strip} at {width} px: the read-out lies at {seen}")
    browser.size(1200)


def findings_are_visited(bench, browser):
    log = SAMPLES / "ok-stop-cut-short.uddf"
    browser.open(bench.make("findings.html", log))
    peaks = browser.run("return [...document.querySelectorAll('tr.finding')].map((row) => Number(row.dataset.peak))")
    browser.run("document.querySelector('.readout input').focus()")
    browser.keys(KEY["home"])
    seen = []
    for _ in sorted(peaks):
        browser.keys("f")
        seen.append(browser.run(READ)["time"])
    expect(all(abs(a - b) <= 5 for a, b in zip(seen, sorted(peaks))), f"F led to {seen}, findings peak at {peaks}")
    browser.run("document.querySelector('tr.finding .mark').click()")
    expect(abs(browser.run(READ)["time"] - peaks[0]) <= 5, "a finding's number does not lead to its peak")
    for index, peak in enumerate(peaks):
        browser.run("document.querySelector('.readout input').focus()")
        browser.keys(KEY["home"])
        x, y = browser.run("""const number = document.querySelectorAll('.axis svg.number')[arguments[0]];
          number.scrollIntoView({block: 'center'});
          const box = number.getBoundingClientRect();
          return [box.left + box.width / 2, box.top + box.height / 2]""", index)
        browser.point(x, y)
        expect(abs(browser.run(READ)["time"] - peak) <= 5, f"number {index + 1} on the axis leads to {browser.run(READ)['time']}, not {peak}")
    for words, led in (("previous finding", peaks[-2]), ("next finding", peaks[-1])):
        browser.run("""[...document.querySelectorAll('.readout button')].find((b) => b.textContent === arguments[0]).click()""", words)
        expect(abs(browser.run(READ)["time"] - led) <= 5, f"'{words}' leads to {browser.run(READ)['time']}, not {led}")
    browser.run("document.querySelectorAll('tr.finding .mark')[1].focus()")
    browser.keys(KEY["enter"])
    expect(abs(browser.run(READ)["time"] - peaks[1]) <= 5, "a finding's number does not answer to the Enter key")


COMPARTMENTS = """return [...document.querySelectorAll('.readout table.figures tbody tr')].map((row) =>
  [...row.cells].map((cell) => cell.textContent))"""


def compartments_are_told_apart(bench, browser):
    """Helium as in the tissues of replay; beyond the limit where the ceiling lies below the diver, and only there."""
    log = SAMPLES / "ok-deep-kept.uddf"
    rows = {row["time_s"]: row for row in bench.rows("--tissues", log)}
    browser.open(bench.make("dots.html", log))
    for place in (0, 200, 500, 900):
        go_to(browser, place)
        row = rows[f"{browser.run(READ)['time']:g}"]
        table = browser.run(COMPARTMENTS)
        dots = browser.run("""return [...document.querySelectorAll('.dots g')].map((g) =>
          [...g.children].map((circle) => Number(circle.getAttribute('r'))))""")
        expect(len(table) == len(dots) == 16, f"{len(table)} and {len(dots)} compartments are shown")
        for number, headroom, helium in table:
            n2, he = float(row[f"n2_{number}_bar"]), float(row[f"he_{number}_bar"])
            expect(abs(int(helium.split()[0]) - 100 * he / (n2 + he)) < 1.3, f"compartment {number}: {helium} helium, replay {he} of {n2 + he}")
            ring, full = dots[int(number) - 1]
            expect(abs((full / ring) ** 2 - n2 / (n2 + he)) < 0.02, f"compartment {number}: the dot is filled by {(full / ring) ** 2}")
            expect(float(headroom) > 0, f"compartment {number} has {headroom} bar on a dive within its ceilings")


def what_is_beyond_lies_beyond_the_line(bench, browser):
    log = SAMPLES / "ok-stop-cut-short.uddf"
    rows = {row["time_s"]: row for row in bench.rows(log)}
    browser.open(bench.make("beyond.html", log))
    last = browser.run("return Number(document.querySelector('.readout input').max)")
    for place in (last, last - 1, last - 30, 600):
        go_to(browser, place)
        row = rows[f"{browser.run(READ)['time']:g}"]
        beyond = browser.run("""const limit = parseFloat(document.querySelector('.dots .limit').getAttribute('x1'));
          return [...document.querySelectorAll('.dots g')].map((g) =>
            [g.classList.contains('beyond'), parseFloat(g.firstChild.getAttribute('cx')) < limit])""")
        expect(all(named == lies for named, lies in beyond), "a compartment beyond its limit is drawn on the other side")
        above = float(row["ceiling_m"]) > float(row["depth_m"])
        expect(any(named for named, _ in beyond) == above, f"at {row['time_s']}: {beyond}, ceiling {row['ceiling_m']}, depth {row['depth_m']}")


# --- one file, nothing else ---------------------------------------------------------------------------------------

def nothing_leaves_the_page(bench, browser):
    page = bench.make("quiet.html", SAMPLES / "ok-stop-cut-short.uddf")
    browser.log("browser")
    browser.requests()
    browser.open(page)
    time.sleep(0.5)
    asked = [address for address in browser.requests() if not address.startswith(("data:", "chrome"))]
    expect(asked == [f"file://{page}"], f"the page asked for {asked}")
    loud = [entry["message"] for entry in browser.log("browser") if entry["level"] in ("SEVERE", "WARNING")]
    expect(not loud, f"the console says {loud}")
    text = page.read_text(encoding="utf-8")
    expect(not re.search(r'(?:src|href)="(?!#)', text), "the page names something outside of itself")


def the_policy_is_in_force(bench, browser):
    browser.open(bench.make("policy.html", SAMPLES / "ok-stop-cut-short.uddf"))
    ran = browser.run("""
      const script = document.createElement('script');
      script.textContent = 'document.documentElement.dataset.ran = "yes"';
      document.body.append(script);
      document.body.insertAdjacentHTML('beforeend', '<p id="styled" style="color: rgb(1, 2, 3)">x</p>');
      return [document.documentElement.dataset.ran || 'no', getComputedStyle(document.getElementById('styled')).color];""")
    expect(ran[0] == "no" and ran[1] != "rgb(1, 2, 3)", f"a foreign script or style took effect: {ran}")
    browser.log("browser")


def hostile_log(folder):
    text = (SAMPLES / "ok-stop-cut-short.uddf").read_text(encoding="utf-8")
    words = HOSTILE.replace("&", "&amp;").replace("<", "&lt;")
    for tag in ("firstname", "lastname", "name"):
        text = re.sub(rf"(<{tag}>)[^<]*(</{tag}>)", rf"\g<1>{words}\g<2>", text)
    path = folder / "hostile.uddf"
    path.write_text(text, encoding="utf-8")
    return path


def hostile_words_come_out_as_text(bench, browser):
    browser.open(bench.make("hostile.html", hostile_log(bench.folder)))
    found = browser.run("""return [document.title, document.images.length, document.querySelectorAll('b b').length,
      document.querySelector('h2').textContent, document.querySelectorAll('script').length,
      document.querySelector('.readout').textContent]""")
    expect("taken" not in found[0].replace(HOSTILE, ""), "a script of the log ran")
    expect(found[1] == 0 and found[4] == 3, f"{found[1]} images, {found[4]} scripts")
    expect(HOSTILE in found[3], f"the title reads {found[3]}")
    expect(HOSTILE in found[5], "the tank's name does not stand in the read-out")
    browser.size(360)
    wide = browser.run("return document.documentElement.scrollWidth")
    browser.size(1200)
    expect(wide <= 360, f"long names make the page {wide} px wide")
    browser.log("browser")


# --- for everybody ------------------------------------------------------------------------------------------------

def it_fits_every_width(bench, browser):
    page = bench.make("widths.html", "--dive", "all", SAMPLES / "ok-three-dives.uddf")
    single = bench.make("width.html", SAMPLES / "ok-stop-cut-short.uddf")
    for path in (single, page):
        browser.open(path)
        browser.run("for (const folded of document.querySelectorAll('article.dive > details')) folded.open = true")
        for width in (360, 768, 1200, 1600):
            browser.size(width)
            wide = browser.run("return [document.documentElement.scrollWidth, innerWidth]")
            expect(wide[0] <= wide[1], f"{path.name} is {wide[0]} px wide at {wide[1]}")
            for scheme in ("light", "dark") if path is single else ("light",):
                browser.scheme(scheme)
                browser.picture(bench.folder / f"{path.stem}-{width}-{scheme}.png")
    browser.scheme("light")
    browser.size(1200)


def paper_is_black_and_white(bench, browser):
    page = bench.make("paper.html", SAMPLES / "ok-stop-cut-short.uddf")
    browser.open(page)
    browser.paper(bench.folder / "paper.pdf")
    browser.scheme("dark", media="print")
    try:
        coloured = browser.run("""const grey = (value) => { const c = value.match(/[0-9.]+/g) || []; return c[0] === c[1] && c[1] === c[2]; };
          return [...document.querySelectorAll('body *')].filter((e) => e.checkVisibility()).flatMap((e) => {
            const style = getComputedStyle(e);
            return ['color', 'fill', 'stroke', 'backgroundColor', 'borderTopColor'].filter((key) => /rgb/.test(style[key]) && !grey(style[key]))
              .map((key) => `${e.tagName} ${e.getAttribute('class')} ${key} ${style[key]}`); })""")
        expect(not coloured, f"on paper there is colour: {coloured[:3]}")
        shown = browser.run("""const seen = (query) => [...document.querySelectorAll(query)].filter((e) => e.checkVisibility()).length;
          return [seen('button, input'), seen('.readout dl'), seen('line.cursor'), seen('figure.strip svg.field'), seen('textarea')]""")
        expect(shown[:3] == [0, 0, 0] and shown[3] >= 6 and shown[4] > 0, f"on paper: {shown}")
        go_to(browser, 100)
        shown = browser.run("""const seen = (query) => [...document.querySelectorAll(query)].filter((e) => e.checkVisibility()).length;
          return [seen('button, input'), seen('.readout dl'), seen('line.cursor')]""")
        expect(shown[0] == 0 and shown[1] == 2 and shown[2] > 5, f"on paper, with an instant asked for: {shown}")
    finally:
        browser.scheme("light")


def nothing_moves_by_itself(bench, browser):
    page = bench.make("still.html", SAMPLES / "ok-stop-cut-short.uddf")
    browser.open(page)
    moving = browser.run("""return [document.getAnimations().length, [...document.querySelectorAll('*')].filter((e) => {
      const style = getComputedStyle(e);
      return style.animationName !== 'none' || parseFloat(style.transitionDuration) > 0; }).length]""")
    expect(moving == [0, 0], f"animations and transitions: {moving}")


def colours_for_other_eyes(bench, browser):
    """Pictures to be looked at; what is beyond is also wider than a curve, which is looked at here."""
    browser.open(bench.make("eyes.html", SAMPLES / "ok-stop-cut-short.uddf"))
    for kind in ("deuteranopia", "protanopia", "tritanopia", "achromatopsia"):
        browser.devtools("Emulation.setEmulatedVisionDeficiency", type=kind)
        browser.picture(bench.folder / f"eyes-{kind}.png", whole=False)
    browser.devtools("Emulation.setEmulatedVisionDeficiency", type="none")
    widths = browser.run("""return ['path.curve', 'path.beyond'].map((query) =>
      parseFloat(getComputedStyle(document.querySelector(`figure.density ${query}`)).strokeWidth))""")
    expect(widths[1] >= 1.5 * widths[0], f"curve and what is beyond are {widths} px wide")


def a_dive_of_several_unfolds(bench, browser):
    browser.open(bench.make("several.html", "--dive", "all", SAMPLES / "ok-three-dives.uddf"))
    marks = browser.run("return document.querySelectorAll('figure.season svg.field a').length")
    expect(marks == 3, f"{marks} dives are marked")
    browser.run("document.querySelectorAll('figure.season svg.field a')[1].dispatchEvent(new MouseEvent('click', {bubbles: true}))")
    time.sleep(0.3)
    folds = browser.run("""return [...document.querySelectorAll('article.dive')].map((dive) =>
      [dive.querySelector(':scope > details').open, dive.querySelectorAll('.readout input').length])""")
    expect(folds == [[False, 0], [True, 1], [False, 0]], f"after pointing to the second dive: {folds}")


def it_reads_without_script(bench, _):
    page = bench.make("plain.html", SAMPLES / "ok-stop-cut-short.uddf")
    with webdriver.Browser(script=False) as plain:
        plain.open(page)
        shown = plain.run("""const seen = (e) => e.getBoundingClientRect().height > 0;
          return [document.querySelectorAll('figure.strip svg.field').length, [...document.querySelectorAll('button, input')].length,
            seen(document.querySelector('.readout')), document.body.innerText]""")
    expect(shown[0] >= 6 and shown[1] == 0 and not shown[2], f"without script: {shown[:3]}")
    for words in ("Short by", "Firm", "Owed at the start of the ascent?", "SHA-256", "Nothing here is for planning"):
        expect(words in shown[3], f"without script the page does not say '{words}'")


def a_keyboard_reaches_everything(bench, browser):
    browser.open(bench.make("keys.html", SAMPLES / "ok-stop-cut-short.uddf"))
    count = browser.run("return document.querySelectorAll('a[href], button, input, textarea, summary, [tabindex=\"0\"]').length")
    browser.run("document.body.tabIndex = -1; document.body.focus()")
    reached = set()
    for _ in range(count + 3):
        browser.keys(KEY["tab"])
        hidden = browser.run("""const e = document.activeElement, box = e.getBoundingClientRect(), bar = document.querySelector('.readout .now');
          const over = document.elementFromPoint(box.left + box.width / 2, box.top + box.height / 2);
          return e !== document.body && !bar.contains(e) && bar.contains(over) ? e.outerHTML.slice(0, 80) : ''""")
        expect(not hidden, f"behind the read-out lies {hidden}, which has the focus")
        reached.add(browser.run("const e = document.activeElement; return e.tagName + ':' + (e.className || e.textContent.slice(0, 20)) + (e.id || '')"))
    for wanted in ("INPUT", "BUTTON", "TEXTAREA", "SUMMARY", "SPAN:mark"):
        expect(any(one.startswith(wanted) for one in reached), f"no {wanted} is reached by the tab key: {sorted(reached)}")


def an_accessibility_checker_finds_nothing_serious(bench, browser):
    axe = axe_core()
    if not axe:
        raise NotRun("no axe-core to be had here: npm is missing or its registry cannot be reached")
    pages = [bench.make("axe.html", SAMPLES / "ok-stop-cut-short.uddf"),
             bench.make("axe-all.html", "--dive", "all", SAMPLES / "ok-three-dives.uddf")]
    for page in pages:
        for scheme in ("light", "dark"):
            browser.open(page)
            browser.scheme(scheme)
            browser.run(axe)
            found = browser.run_async("""const done = arguments[arguments.length - 1];
              axe.run().then((all) => done(all.violations.map((v) => [v.impact, v.id, v.nodes.length, v.nodes[0].html.slice(0, 160)])))""")
            serious = [one for one in found if one[0] in ("serious", "critical")]
            expect(not serious, f"{page.name}, {scheme}: {serious}")
    browser.scheme("light")
    browser.log("browser")


def axe_core():
    """The checker from the npm registry, kept in a folder outside of the tree; None where it cannot be had."""
    folder = pathlib.Path(tempfile.gettempdir()) / "leadline-axe"
    file = folder / "node_modules/axe-core/axe.min.js"
    if not file.exists() and shutil.which("npm"):
        folder.mkdir(exist_ok=True)
        subprocess.run(["npm", "install", "--silent", "--no-audit", "--no-fund", "--prefix", str(folder), "axe-core@4"],
                       stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, timeout=120, check=False)
    return file.read_text(encoding="utf-8") if file.exists() else None


# --- remarks, size, time ------------------------------------------------------------------------------------------

def wait_for(file):
    for _ in range(50):
        if file.exists():
            return
        time.sleep(0.1)
    raise AssertionError("no copy was saved")


def a_copy_keeps_the_remarks(bench, _):
    log = SAMPLES / "ok-stop-cut-short.uddf"
    page = bench.make("remarks.html", log)
    copy = bench.folder / "debrief-with-remarks.html"
    copy.unlink(missing_ok=True)
    with webdriver.Browser(downloads=bench.folder) as browser:
        browser.open(page)
        browser.run("""document.querySelector('td.remark textarea').value = 'Looked at <together>';
          document.querySelector('button.keep').click()""")
        wait_for(copy)
        browser.open(copy)
        kept = browser.run("return [document.querySelector('td.remark textarea').value, document.querySelectorAll('.readout input').length]")
        expect(kept == ["Looked at <together>", 1], f"the copy holds {kept}")
        expect(browser.run(READ)["time"] > 0, "the cursor of the copy does not move")
    done = subprocess.run([bench.tool, "verify", str(copy), str(log)], capture_output=True, text=True, timeout=120)
    expect(done.returncode == 0, f"verify does not accept the copy: {done.stdout}{done.stderr}")


def a_copy_of_several_dives_works(bench, _):
    log, copy = SAMPLES / "ok-three-dives.uddf", bench.folder / "debrief-with-remarks.html"
    page = bench.make("remarks-several.html", "--dive", "all", log)
    copy.unlink(missing_ok=True)
    with webdriver.Browser(downloads=bench.folder) as browser:
        browser.open(page)
        browser.run("document.querySelector('article.dive > details').open = true")
        time.sleep(0.3)
        browser.run("document.querySelector('button.keep').click()")
        wait_for(copy)
        browser.open(copy)
        time.sleep(0.3)
        browser.run("for (const folded of document.querySelectorAll('article.dive > details')) folded.open = true")
        time.sleep(0.3)
        counts = browser.run("return [...document.querySelectorAll('article.dive')].map((dive) => dive.querySelectorAll('.readout input').length)")
        expect(counts == [1, 1, 1], f"read-outs of the copy: {counts}")


def long_log(folder):
    """Three hours at a second, four tanks: 54 m for half an hour, then up in steps."""
    levels = [(0, 0), (180, 54), (1980, 53), (2400, 21), (3300, 18), (4500, 12), (6300, 9), (10500, 6), (10740, 5.8), (10790, 0),
              (10800, 0)]
    points = []
    for (t0, d0), (t1, d1) in zip(levels, levels[1:]):
        for t in range(t0, t1):
            depth = d0 + (d1 - d0) * (t - t0) / (t1 - t0) + (0.3 if t % 7 < 3 and d0 > 3 else 0)
            gas = '<switchmix ref="tx"/>' if t == 0 else '<switchmix ref="ean"/>' if t == 2400 else ""
            points.append(f"<waypoint><depth>{depth:.1f}</depth><divetime>{t}</divetime>{gas}"
                          f"<temperature>{278 + t % 50 / 50:.1f}</temperature>"
                          + "".join(f'<tankpressure ref="t{i}">{(220 - t / 100 - i) * 1e5:.0f}</tankpressure>' for i in range(4))
                          + "</waypoint>")
    tanks = "".join(f'<tank id="t{i}"><tankvolume>0.012</tankvolume></tank>' for i in range(4))
    text = (f'<uddf version="3.2.2"><diver><owner id="o"><equipment>{tanks}</equipment></owner></diver>'
            '<gasdefinitions><mix id="tx"><o2>0.18</o2><he>0.45</he></mix>'
            '<mix id="ean"><o2>0.5</o2></mix></gasdefinitions><profiledata><repetitiongroup id="r"><dive id="d">'
            '<informationbeforedive><datetime>2026-05-02T10:00:00</datetime></informationbeforedive><samples>'
            + "\n".join(points) + "</samples></dive></repetitiongroup></profiledata></uddf>")
    path = folder / "long.uddf"
    path.write_text(text, encoding="utf-8")
    return path


def a_long_dive_stays_small_and_quick(bench, browser):
    page = bench.make("long.html", long_log(bench.folder))
    size = page.stat().st_size
    expect(size < 1_500_000, f"three hours at a second make {size} bytes")
    browser.open(page)
    times = browser.run("""return [performance.getEntriesByName('first-contentful-paint')[0]?.startTime,
      performance.timing.domContentLoadedEventEnd - performance.timing.navigationStart]""")
    print(f"three hours at a second: {size} bytes, first paint after {times[0]:.0f} ms, ready after {times[1]} ms")


TESTS = [cursor_agrees_with_replay, cursor_agrees_at_every_kind_of_instant, cursor_speaks_feet_where_asked, tanks_are_those_of_the_log,
         pointer_and_touch_move_the_cursor, the_mouse_leads_until_it_presses, the_read_out_stays_in_sight, findings_are_visited,
         compartments_are_told_apart, what_is_beyond_lies_beyond_the_line, nothing_leaves_the_page, the_policy_is_in_force,
         hostile_words_come_out_as_text, it_fits_every_width, paper_is_black_and_white, nothing_moves_by_itself, colours_for_other_eyes,
         a_dive_of_several_unfolds, it_reads_without_script, a_keyboard_reaches_everything,
         an_accessibility_checker_finds_nothing_serious, a_copy_keeps_the_remarks, a_copy_of_several_dives_works,
         a_long_dive_stays_small_and_quick]


def run_one(test, bench, browser):
    """'passed', 'failed' or 'not run'; nothing may have been written to the console."""
    try:
        test(bench, browser)
        loud = [entry["message"] for entry in browser.log("browser") if entry["level"] == "SEVERE"]
        expect(not loud, f"the console says {loud}")
    except NotRun as why:
        print(f"{test.__name__}: not run, {why}")
        return "not run"
    except (AssertionError, RuntimeError, KeyError, TypeError) as error:
        print(f"{test.__name__}: {error}")
        return "failed"
    return "passed"


def run_all(tool, folder, names):
    bench = Bench(tool, folder)
    tests = [test for test in TESTS if not names or test.__name__ in names]
    with webdriver.Browser() as browser:
        browser.size(1200)
        told = [run_one(test, bench, browser) for test in tests]
    print(", ".join(f"{told.count(word)} {word}" for word in ("passed", "failed", "not run")))
    return "failed" in told


def main():
    if not webdriver.find():
        print("no chromium with chromedriver on this machine: the pages were not opened")
        return 77
    tool = str(pathlib.Path(sys.argv[1]).resolve())
    if len(sys.argv) > 2:
        folder = pathlib.Path(sys.argv[2]).resolve()
        folder.mkdir(parents=True, exist_ok=True)
        return run_all(tool, folder, sys.argv[3:])
    with tempfile.TemporaryDirectory() as folder:
        return run_all(tool, pathlib.Path(folder), [])


if __name__ == "__main__":
    sys.exit(main())
