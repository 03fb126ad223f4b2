# SPDX-License-Identifier: GPL-3.0-or-later
"""The pages of a review and of an audit: what they show is what their JSON says, one cursor leads all, both hold everywhere."""
from bench import KEY, SAMPLES, expect, go_to, on_the_line, seconds_in

CLASS = SAMPLES / "class"
STUDENTS = ("Eskil", "Idun", "Solveig", "Torunn")
REVIEW = ["--plan", CLASS / "slate-45.txt", "--lead", "Ragna", "--pair", "Eskil,Idun",
          f"Ragna={CLASS / 'ok-class-ragna.uddf'}+{CLASS / 'ok-class-ragna-second.uddf'}",
          *(f"{name}={CLASS / f'ok-class-{name.lower()}.uddf'}" for name in STUDENTS)]
AUDIT = ["--standard", SAMPLES / "standard-first-helium.xml", "--as-of", "2026-11-25",
         SAMPLES / "ok-three-dives.uddf", SAMPLES / "ok-deep-kept.uddf"]
TEAM = """
const shown = {};
for (const dt of document.querySelectorAll(".team-readout dl dt")) shown[dt.textContent] = dt.nextElementSibling.textContent;
return {time: Number(document.querySelector(".team-readout").dataset.time), shown,
        x: [...document.querySelectorAll("section.team line.cursor")].map((line) => line.getAttribute("x1"))};
"""


def metres(words):
    return None if words == "\u2013" else float(words.removesuffix(" m"))


def one_cursor_leads_all(bench, browser):
    browser.open(bench.make("class.html", *REVIEW, command="review"))
    told = bench.answer("review", *REVIEW)
    team = browser.run("return JSON.parse(document.querySelector('script.team').textContent)")
    rows = bench.rows("--dive", "2", CLASS / "ok-class-ragna.uddf")
    line = [(float(row["time_s"]), float(row["depth_m"])) for row in rows]
    ragna = team["divers"][0]
    browser.run("for (const folded of document.querySelectorAll('article.dive > details')) folded.open = true")
    count = len(team["separation_dm"])
    for place in (0, 40, count // 3, count // 2, count - 30, count - 1):
        go_to(browser, place, ".team-readout")
        got = browser.run(TEAM)
        expect(abs(got["time"] - (team["from_s"] + place * team["step_s"])) < 1e-9, f"place {place} lies at {got['time']}")
        expect(len(got["x"]) >= 2 and len(set(got["x"])) == 1, f"the cursors stand at {got['x']}")
        # The team's clock is Ragna's; the line is kept in decimetres.
        wanted = on_the_line(line, got["time"] - ragna["to_team_s"])
        shown = metres(got["shown"][ragna["letter"]])
        inside = shown is not None and wanted is not None
        expect(not inside or abs(shown - wanted) <= 0.11, f"Ragna at {got['time']}: {shown}, replay {wanted}")
        deepest = [metres(got["shown"][diver["letter"]]) for diver in team["divers"][1:]]
        known = [d for d in deepest if d is not None]
        apart = metres(got["shown"]["Separation"])
        if apart is not None and len(known) > 1:
            expect(apart <= max(known) - min(known) + 0.2, f"{apart} m apart at {known}")
        own = browser.run("return [...document.querySelectorAll('article.dive .readout')].map((one) => Number(one.dataset.time))")
        expect(len(own) == 5, f"{len(own)} debriefs have a cursor")
        if wanted is not None:
            of_record = min(got["time"] - ragna["to_team_s"], told["divers"][0]["dive"]["surfacing"]["time_s"])
            expect(abs(own[0] - of_record) <= 6, f"Ragna's own cursor stands at {own[0]}, the team's at {of_record}")
    widest = max(v for v in team["separation_dm"] if v is not None) / 10
    expect(abs(widest - told["team"]["greatest_separation_m"]) <= 0.5, f"{widest} m, the answer {told['team']}")


def a_team_cursor_follows_keys_and_pointer(bench, browser):
    browser.open(bench.make("class.html", *REVIEW, command="review"))
    browser.run("document.querySelector('.team-readout input').focus()")
    browser.keys(KEY["home"])
    first = browser.run(TEAM)
    expect(first["time"] < 0 and first["shown"]["Team's run time"] == f"-0:{-first['time']:02d}",
           f"somebody left before the one whose clock it is: {first['shown']}")
    browser.keys(KEY["right"])
    browser.keys(KEY["right"])
    step = browser.run("return JSON.parse(document.querySelector('script.team').textContent).step_s")
    expect(browser.run(TEAM)["time"] == first["time"] + 2 * step, "two steps to the right")
    expect(seconds_in(browser.run(TEAM)["shown"]["Team's run time"].lstrip("-")) is not None, "no run time")
    box = browser.run("""const field = document.querySelector('section.team svg.field');
      field.scrollIntoView({block: 'center'});
      const b = field.getBoundingClientRect(); return [b.left, b.top, b.width, b.height];""")
    browser.point(box[0] + box[2] / 2, box[1] + box[3] / 2)
    count = browser.run("return Number(document.querySelector('.team-readout input').max)")
    at = browser.run("return Number(document.querySelector('.team-readout input').value)")
    expect(abs(at - count / 2) <= 2, f"in the middle of the picture is place {at} of {count}")


def a_review_holds_everybody(bench, browser):
    browser.open(bench.make("class.html", *REVIEW, command="review"))
    seen = browser.run("""return [document.querySelectorAll('figure.strip.team').length,
      document.querySelectorAll('figure.strip.team path.curve').length,
      [...document.querySelectorAll('article.dive')].length,
      [...document.querySelectorAll('article.dive > details')].filter((one) => one.open).length]""")
    expect(seen[0] >= 2 and seen[1] >= 6 and seen[2] == 5 and seen[3] == 0, f"{seen}")
    browser.run("document.querySelector('article.dive > details > summary').click()")
    strips = browser.run("return document.querySelectorAll('article.dive > details[open] figure.strip svg.field').length")
    expect(strips >= 6, f"a debrief that was unfolded shows {strips} strips")


def gathered_pages_fit_and_are_quiet(bench, browser):
    for name, command, arguments in (("class.html", "review", REVIEW), ("audit.html", "audit", AUDIT)):
        page = bench.make(name, *arguments, command=command)
        browser.log("browser")
        browser.requests()
        browser.open(page)
        asked = [address for address in browser.requests() if not address.startswith(("data:", "chrome"))]
        expect(asked == [f"file://{page}"], f"{name} asked for {asked}")
        loud = [entry["message"] for entry in browser.log("browser") if entry["level"] in ("SEVERE", "WARNING")]
        expect(not loud, f"the console says {loud}")
        browser.run("for (const folded of document.querySelectorAll('details')) folded.open = true")
        for width in (360, 768, 1200):
            browser.size(width)
            wide = browser.run("return [document.documentElement.scrollWidth, innerWidth]")
            expect(wide[0] <= wide[1], f"{name} is {wide[0]} px wide at {wide[1]}")
            over = browser.run("""const boxes = [...document.querySelectorAll('figure.season text.minute')].filter((e) => e.checkVisibility())
                .map((e) => e.getBoundingClientRect()).sort((a, b) => a.left - b.left);
              return boxes.slice(1).filter((box, i) => box.left < boxes[i].right + 2).length;""")
            expect(over == 0, f"{name} at {width}: {over} dates of the season run into each other")
            browser.picture(bench.folder / f"{page.stem}-{width}.png", whole=False)
        browser.size(1200)
        browser.paper(bench.folder / f"{page.stem}.pdf")


def paper_shows_what_it_can(bench, browser):
    browser.open(bench.make("paper-class.html", *REVIEW, command="review"))
    browser.paper(bench.folder / "paper-class.pdf")
    seen = """const seen = (query) => [...document.querySelectorAll(query)].filter((e) => e.checkVisibility()).length;
      return [seen('input, button'), seen('.team-readout > .hint'), seen('.team-readout dl'), seen('section.team line.cursor'),
        seen('section.team figure.strip'), seen('article.review table')]"""
    browser.scheme("dark", media="print")
    try:
        shown = browser.run(seen)
        expect(shown[:4] == [0, 0, 0, 0] and shown[4] == 2 and shown[5] >= 3, f"on paper: {shown}")
        go_to(browser, 100, ".team-readout")
        shown = browser.run(seen)
        expect(shown[:4] == [0, 0, 1, 2], f"on paper, with an instant asked for: {shown}")
    finally:
        browser.scheme("light")


def an_audit_shows_every_dive(bench, browser):
    browser.open(bench.make("audit.html", *AUDIT, command="audit"))
    told = bench.answer("audit", *AUDIT)
    records = told["records"]
    dives = sum(records[name] for name in ("recorded", "claimed", "merged", "set_aside"))
    seen = browser.run("""return [document.querySelectorAll('figure.season svg a[href^="#dive-"]').length,
      document.querySelectorAll('table.requirements tbody tr').length, document.querySelector('details.dives').open,
      document.querySelectorAll('details.dives tbody tr').length,
      [...document.querySelectorAll('table.requirements tbody td:nth-child(4)')].map((one) => one.textContent.trim())]""")
    words = {"met": "count reached", "met-if-claims-hold": "count reached if claims hold", "not-met": "count not reached"}
    expect(seen[0] == dives and seen[3] == dives, f"{seen[0]} marks, {seen[3]} rows, {dives} dives")
    expect(seen[1] == len(told["requirements"]) and not seen[2], f"{seen}")
    expect(seen[4] == [words[one["verdict"]] for one in told["requirements"]], f"{seen[4]}")
    browser.run("document.querySelector('details.dives > summary').click()")
    expect(browser.run("return document.querySelector('details.dives').open"), "the list does not fold out")
