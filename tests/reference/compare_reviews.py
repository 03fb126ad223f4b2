#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""The program against the second review, on the sample class under several settings: compare_reviews.py TOOL."""
import pathlib
import re
import subprocess
import sys
import tempfile

HERE = pathlib.Path(__file__).resolve().parent
CLASS = HERE.parents[1] / "sample-logs" / "class"
DIVERS = [f"{name}=ok-class-{name.lower()}.uddf" for name in ("Ragna", "Eskil", "Solveig", "Torunn", "Idun")]
PLAN = ["--plan", "slate-45.txt"]
# What the program is asked, and what the second review is.
ASKED = [
    (PLAN, PLAN),
    (["--lead", "Ragna", *PLAN], ["--lead", "Ragna", *PLAN]),
    (["--water", "Solveig=fresh", *PLAN], ["--water", "Solveig=fresh", *PLAN]),
    (["--clock", "trust"], []),
    (["--clock", "Torunn=-50", "--clock", "Eskil=-3600"], []),
]


def compare(tool, asked, second, divers):
    """The number of figures compared, and what disagrees."""
    with tempfile.TemporaryDirectory() as folder:
        page = f"{folder}/review.json"
        subprocess.run([tool, "review", "--format", "json", "-o", page, *asked, *divers], cwd=CLASS, check=True, timeout=120)
        done = subprocess.run([sys.executable, HERE / "second_review.py", "--compare", page, *second, *divers], cwd=CLASS,
                              capture_output=True, text=True, timeout=600, check=False)
    told = re.search(r"(\d+) figures compared", done.stdout)
    return int(told.group(1)) if told else 0, done.returncode, done.stdout + done.stderr


def main(tool):
    figures = wrong = 0
    for asked, second in ASKED:
        for divers in (DIVERS, DIVERS[::-1]):
            compared, code, words = compare(pathlib.Path(tool).resolve(), asked, second, divers)
            figures += compared
            if code != 0 or compared < 100:
                wrong += 1
                print(" ".join(asked), words)
    print(f"{figures} figures compared, {wrong} reviews disagree")
    return wrong > 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))
