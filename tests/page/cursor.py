# SPDX-License-Identifier: GPL-3.0-or-later
"""The cursor: what moves it, and whether what it reads out is what `replay` says."""
import re
import xml.etree.ElementTree

from bench import KEY, READ, SAMPLES, agrees, expect, go_to, number_in, on_the_line


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
