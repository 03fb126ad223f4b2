# SPDX-License-Identifier: GPL-3.0-or-later
"""The page is one file that asks for nothing, and words of a log stay words."""
import re
import time

from bench import SAMPLES, expect


HOSTILE = "</script><img src=x onerror=document.title='taken'>\"'&<b>"


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
