#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Checks that every row of the table of findings occurs in some sample log: findings.py TOOL.

A row is a kind with a severity that it can have. Each of these must be found at least once over all logs of
sample-logs/ that can be read, with nothing found beside them, and docs/findings.md must have a heading for each kind. Kinds that
only a standard limits are looked for under the sample standards named here."""
import json
import pathlib
import re
import subprocess
import sys

ROOT = pathlib.Path(__file__).resolve().parents[2]
SAMPLES = ROOT / "sample-logs"
TABLE = {
    "ceiling": ("note", "caution", "serious"), "surfaced": ("note", "caution", "serious"),
    "ascent": ("caution", "serious"), "own-stop": ("note", "caution"),
    "oxygen-high": ("note", "caution", "serious"), "oxygen-low": ("note", "serious"), "density": ("note", "caution"),
    "narcosis": ("note", "caution"), "counterdiffusion": ("note",), "cns": ("caution", "serious"),
    "otu": ("note", "caution"),
}
BY_STANDARD = {
    "depth": ("caution", "serious"), "stop-depth": ("note", "caution"), "switch-depth": ("note", "serious"),
    "reserve": ("caution",),
}
STANDARDS = ("standard-sixty-metres.xml", "standard-in-house.xml")
BOTTOM_PHASE = "oxygen-high caution in the bottom phase"


def findings_of(tool, log, *options):
    done = subprocess.run([tool, "debrief", "--dive", "all", "--firm", "no", "--format", "json", *options, str(log)],
                          capture_output=True, timeout=120, check=True)
    for dive in json.loads(done.stdout)["dives"]:
        yield from dive["findings"]


def row_of(finding):
    if finding["kind"] == "oxygen-high" and finding["severity"] == "caution" and finding["limit"] < 1.5:
        return BOTTOM_PHASE
    return f"{finding['kind']} {finding['severity']}"


def rows_of(table):
    return {f"{kind} {severity}" for kind, severities in table.items() for severity in severities}


def add_found(found, tool, log):
    """Rows of one log: those of the table, and under standards those that they alone give."""
    for finding in findings_of(tool, log):
        found.setdefault(row_of(finding), set()).add(log.name)
    for standard in STANDARDS:
        for finding in findings_of(tool, log, "--standard", str(SAMPLES / standard)):
            if finding["kind"] in BY_STANDARD:
                found.setdefault(row_of(finding), set()).add(log.name)


def main(arguments):
    if len(arguments) != 1:
        print("usage: findings.py TOOL", file=sys.stderr)
        return 2
    wanted = rows_of(TABLE) | rows_of(BY_STANDARD) | {BOTTOM_PHASE}
    found = {}
    for log in sorted(SAMPLES.glob("[on]*.uddf")):
        add_found(found, arguments[0], log)
    failures = [f"no sample holds {row}" for row in sorted(wanted - found.keys())]
    failures += [f"not in the table: {row} in {sorted(found[row])}" for row in sorted(found.keys() - wanted)]
    headings = set(re.findall(r"^## ([a-z-]+)", (ROOT / "docs/findings.md").read_text(encoding="utf-8"), re.M))
    failures += [f"docs/findings.md has no heading for {kind}" for kind in (*TABLE, *BY_STANDARD)
                 if kind not in headings]
    for words in failures:
        print(f"FAILED {words}")
    for row in sorted(found):
        print(f"{row}: {', '.join(sorted(found[row]))}")
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
