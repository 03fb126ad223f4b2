#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Usage: run_page.py TOOL [FOLDER]

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

import webdriver

ROOT = pathlib.Path(__file__).resolve().parents[2]
SAMPLES = ROOT / "sample-logs"
KEY = {"left": "\ue012", "right": "\ue014", "page_up": "\ue00e", "page_down": "\ue00f", "home": "\ue011", "end": "\ue010",
       "shift": "\ue008", "tab": "\ue004", "enter": "\ue007"}
HOSTILE = "</script><img src=x onerror=document.title='taken'>\"'&<b>"


def expect(condition, sentence):
    if not condition:
        raise AssertionError(sentence)


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


def agrees(browser, rows):
    """Every figure at the cursor is that of replay, to half of the last digit printed (and the step that is stored)."""
    got = browser.run(READ)
    row = min(rows, key=lambda one: abs(float(one["time_s"]) - got["time"]))
    expect(abs(float(row["time_s"]) - got["time"]) < 0.002, f"no sample lies at {got['time']}")
    for name, key, digits in FIGURES:
        shown = number_in(got["shown"][name])
        if row[key] == "":
            expect(shown is None, f"{name} at {got['time']}: {shown}, replay knows none")
            continue
        room = 0.5 * 10 ** -digits + {"gradient_percent": 0.05}.get(key, 0.0051)
        expect(shown is not None and abs(shown - float(row[key])) <= room,
               f"{name} at {got['time']}: {got['shown'][name]}, replay {row[key]}")
    if row["time_to_surface_s"]:
        shown = seconds_in(got["shown"]["Time to surface"])
        expect(abs(shown - float(row["time_to_surface_s"])) <= 1, f"time to surface at {got['time']}: {shown}")
    return got


def cursor_agrees_with_replay(bench, browser):
    for log in ("ok-stop-cut-short.uddf", "ok-loop.uddf", "ok-deep-kept.uddf", "note-undefined-mix.uddf"):
        browser.open(bench.make("cursor.html", SAMPLES / log))
        rows = bench.rows(SAMPLES / log)
        browser.run("document.querySelector('.readout input').focus()")
        for keys in (["home"], ["right"] * 7, [("shift", "right")] * 9, ["page_up"] * 20, ["left"], ["end"],
                     ["page_down"] * 2, ["left"] * 3):
            browser.keys(*[tuple(KEY[k] for k in key) if isinstance(key, tuple) else KEY[key] for key in keys])
            agrees(browser, rows)


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
        from_s, to_s = (browser.run(f"return Number(document.querySelector('.picture').dataset.{end})") for end in ("from", "to"))
        expect(abs(got["time"] - (from_s + share * (to_s - from_s))) < 12, f"{kind} at {share} led to {got['time']}")


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
    browser.run("document.querySelectorAll('tr.finding .mark')[1].focus()")
    browser.keys(KEY["enter"])
    expect(abs(browser.run(READ)["time"] - peaks[1]) <= 5, "a finding's number does not answer to the Enter key")


def compartments_are_told_apart(bench, browser):
    log = SAMPLES / "ok-deep-kept.uddf"
    browser.open(bench.make("dots.html", log))
    browser.run("document.querySelector('.readout input').focus()")
    browser.keys(KEY["home"], *[KEY["page_up"]] * 15)
    dots = browser.run("""return [...document.querySelectorAll('.dots g')].map((g) =>
      [Number(g.children[0].getAttribute('r')), Number(g.children[1].getAttribute('r'))])""")
    expect(len(dots) == 16, f"{len(dots)} compartments are drawn")
    expect(all(full < open for open, full in dots), "no dot is open, though helium was breathed")


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
      document.querySelector('.readout dl').textContent]""")
    expect("taken" not in found[0].replace(HOSTILE, ""), "a script of the log ran")
    expect(found[1] == 0 and found[4] == 3, f"{found[1]} images, {found[4]} scripts")
    expect(HOSTILE in found[3], f"the title reads {found[3]}")
    expect(HOSTILE in found[5], "the tank's name does not stand in the read-out")
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
            for scheme in ("light", "dark"):
                browser.scheme(scheme)
                browser.picture(bench.folder / f"{path.stem}-{width}-{scheme}.png")
    browser.scheme("light", reduced=True)
    browser.size(1200)
    browser.paper(bench.folder / "width.pdf")


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
        reached.add(browser.run("const e = document.activeElement; return e.tagName + ':' + (e.className || e.textContent.slice(0, 20)) + (e.id || '')"))
    for wanted in ("INPUT", "BUTTON", "TEXTAREA", "SUMMARY", "SPAN:mark"):
        expect(any(one.startswith(wanted) for one in reached), f"no {wanted} is reached by the tab key: {sorted(reached)}")


def an_accessibility_checker_finds_nothing_serious(bench, browser):
    axe = axe_core()
    if not axe:
        print("an_accessibility_checker_finds_nothing_serious: not run, no axe-core to be had here")
        return
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

def a_copy_keeps_the_remarks(bench, _):
    log = SAMPLES / "ok-stop-cut-short.uddf"
    page = bench.make("remarks.html", log)
    copy = bench.folder / "debrief-with-remarks.html"
    copy.unlink(missing_ok=True)
    with webdriver.Browser(downloads=bench.folder) as browser:
        browser.open(page)
        browser.run("""document.querySelector('td.remark textarea').value = 'Looked at <together>';
          document.querySelector('button.keep').click()""")
        for _ in range(50):
            if copy.exists():
                break
            time.sleep(0.1)
        expect(copy.exists(), "no copy was saved")
        browser.open(copy)
        kept = browser.run("return [document.querySelector('td.remark textarea').value, document.querySelectorAll('.readout input').length]")
        expect(kept == ["Looked at <together>", 1], f"the copy holds {kept}")
        expect(browser.run(READ)["time"] > 0, "the cursor of the copy does not move")
    done = subprocess.run([bench.tool, "verify", str(copy), str(log)], capture_output=True, text=True, timeout=120)
    expect(done.returncode == 0, f"verify does not accept the copy: {done.stdout}{done.stderr}")


def long_log(folder):
    """Three hours at a second: 54 m for half an hour, then up in steps."""
    levels = [(0, 0), (180, 54), (1980, 53), (2400, 21), (3300, 18), (4500, 12), (6300, 9), (10500, 6), (10740, 5.8), (10790, 0),
              (10800, 0)]
    points = []
    for (t0, d0), (t1, d1) in zip(levels, levels[1:]):
        for t in range(t0, t1):
            depth = d0 + (d1 - d0) * (t - t0) / (t1 - t0) + (0.3 if t % 7 < 3 and d0 > 3 else 0)
            gas = '<switchmix ref="tx"/>' if t == 0 else '<switchmix ref="ean"/>' if t == 2400 else ""
            points.append(f"<waypoint><depth>{depth:.1f}</depth><divetime>{t}</divetime>{gas}"
                          f"<temperature>{278 + t % 50 / 50:.1f}</temperature>"
                          f'<tankpressure ref="t1">{(220 - t / 100) * 1e5:.0f}</tankpressure></waypoint>')
    text = ('<uddf version="3.2.2"><diver><owner id="o"><equipment><tank id="t1"><tankvolume>0.024</tankvolume></tank>'
            '</equipment></owner></diver><gasdefinitions><mix id="tx"><o2>0.18</o2><he>0.45</he></mix>'
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


TESTS = [cursor_agrees_with_replay, pointer_and_touch_move_the_cursor, findings_are_visited, compartments_are_told_apart,
         nothing_leaves_the_page, the_policy_is_in_force, hostile_words_come_out_as_text, it_fits_every_width, a_dive_of_several_unfolds,
         it_reads_without_script, a_keyboard_reaches_everything, an_accessibility_checker_finds_nothing_serious,
         a_copy_keeps_the_remarks, a_long_dive_stays_small_and_quick]


def run_all(tool, folder):
    bench, failed = Bench(tool, folder), 0
    with webdriver.Browser() as browser:
        browser.size(1200)
        for test in TESTS:
            try:
                test(bench, browser)
            except (AssertionError, RuntimeError, KeyError) as error:
                failed += 1
                print(f"{test.__name__}: {error}")
    print(f"{len(TESTS) - failed} passed, {failed} failed")
    return failed > 0


def main():
    if not webdriver.find():
        print("no chromium with chromedriver on this machine: the pages were not opened")
        return 77
    tool = str(pathlib.Path(sys.argv[1]).resolve())
    if len(sys.argv) > 2:
        folder = pathlib.Path(sys.argv[2]).resolve()
        folder.mkdir(parents=True, exist_ok=True)
        return run_all(tool, folder)
    with tempfile.TemporaryDirectory() as folder:
        return run_all(tool, pathlib.Path(folder))


if __name__ == "__main__":
    sys.exit(main())
