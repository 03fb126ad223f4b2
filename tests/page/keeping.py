# SPDX-License-Identifier: GPL-3.0-or-later
"""Copies with remarks, and the size of a long dive."""
import subprocess
import time

import webdriver
from bench import READ, SAMPLES, expect


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
