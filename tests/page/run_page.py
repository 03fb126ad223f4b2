#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Usage: run_page.py TOOL [FOLDER [TEST...]]

Opens debrief pages in a real browser: what they show, whether the cursor agrees with `replay`, whether anything leaves the
page, whether it holds on a phone, on paper, without script, for a keyboard and a screen reader. Pictures for people to look at go
to FOLDER (else a temporary one). Exits 77 where there is no browser.
"""
import pathlib
import sys
import tempfile

import cursor
import everybody
import gathered
import keeping
import one_file
import webdriver
from bench import Bench, NotRun, expect


def tests_of(module):
    """The functions that take a bench and a browser, in the order of the file."""
    return [one for one in vars(module).values()
            if callable(one) and one.__module__ == module.__name__ and one.__code__.co_varnames[:1] == ("bench",)]


TESTS = [test for module in (cursor, one_file, everybody, keeping, gathered) for test in tests_of(module)]


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
    if not tests:
        print(f"no such test: {' '.join(names)}")
        return True
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
