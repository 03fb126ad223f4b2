# SPDX-License-Identifier: GPL-3.0-or-later
"""Widths, light and dark, paper, no script, a keyboard, a screen reader."""
import pathlib
import shutil
import subprocess
import tempfile
import time

import webdriver
from bench import KEY, SAMPLES, NotRun, expect, go_to


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
            schemes = ("light", "dark") if path is single else ("light",)
            for scheme in schemes if width in (360, 1200) else ():
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
