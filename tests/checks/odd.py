#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Checks the odd logs against sample-logs/odd/expected.txt, which says what a row means: odd.py TOOL [WORDS].

With WORDS only the rows that hold them are looked at, and not the set as a whole. Besides its own row every log that is
read must give whole answers in every format, with finite numbers only; the set as a whole must raise every note of the
program (with the logs of sample-logs/README.md), and what tests/support/make_odd.py makes must be what is committed."""
import csv
import io
import json
import math
import pathlib
import re
import subprocess
import sys
import tempfile

ROOT = pathlib.Path(__file__).resolve().parents[2]
ODD = ROOT / "sample-logs" / "odd"
failures = []


def check(held, words):
    if not held:
        failures.append(words)
    return held


# --- the table ----------------------------------------------------------------------------------------------------

class Row:
    def __init__(self, cells):
        words = cells[0].split()
        self.title = cells[0]
        self.logs = [word for word in words if not word.startswith("--")]
        self.options = [word for word in words if word.startswith("--")]
        self.expected = [word.strip() for word in cells[1].split(",") if word.strip()]
        self.twin = cells[2]

    def kind(self):
        matches = (re.match(r"\d\d[a-z]?-(ok|note|bad)-", log) for log in self.logs)
        kinds = {match.group(1) for match in matches if match}
        return kinds.pop() if len(kinds) == 1 else "note" if kinds == {"ok", "note"} else None


def read_rows():
    rows = []
    for line in (ODD / "expected.txt").read_text(encoding="utf-8").splitlines():
        cells = [cell.strip() for cell in line.split("|")]
        if not line.strip() or line.startswith("#"):
            continue
        if check(len(cells) == 3, f"expected.txt: not three columns: {line}"):
            rows.append(Row(cells))
    return rows


# --- the tool -----------------------------------------------------------------------------------------------------

def run(tool, command, options, logs):
    paths = [str(ODD / log) for log in logs]
    return subprocess.run([tool, command, *options, *paths], capture_output=True, timeout=120, check=False)


def answer(tool, command, row, *more):
    """What the tool writes for a log that it must read; None with a failure noted."""
    done = run(tool, command, [*more, *row.options], row.logs)
    if check(done.returncode == 0, f"{row.title}: {command} ends with {done.returncode}: "
                                   f"{done.stderr.decode(errors='replace').strip()}"):
        return done.stdout.decode("utf-8")
    return None


def refuse_constant(name):
    raise ValueError(f"{name} is no number")


def parsed(tool, command, row, *more):
    text = answer(tool, command, row, "--format=json", *more)
    try:
        return json.loads(text, parse_constant=refuse_constant) if text else None
    except ValueError as error:
        check(False, f"{row.title}: {command} as JSON: {error}")
        return None


def notes_within(value):
    if isinstance(value, list):
        return {code for item in value for code in notes_within(item)}
    if not isinstance(value, dict):
        return set()
    here = {note["code"] for note in value.get("notes", []) if isinstance(note, dict)}
    return here.union(*(notes_within(item) for item in value.values()))


# --- numbers ------------------------------------------------------------------------------------------------------

def is_finite(cell):
    try:
        return cell == "" or math.isfinite(float(cell))
    except ValueError:
        return False


def check_track(row, text):
    for cells in list(csv.reader(io.StringIO(text)))[1:]:
        if not check(all(map(is_finite, cells)), f"{row.title}: replay writes {cells}"):
            return


def check_table(row, command, text):
    """A CSV with words in some of its columns: no cell may be a number that is none."""
    for cells in csv.reader(io.StringIO(text)):
        bad = [cell for cell in cells if re.fullmatch(r"[-+]?(nan|inf|infinity)", cell, re.IGNORECASE)]
        check(not bad, f"{row.title}: {command} as CSV writes {bad}")


# --- rows ---------------------------------------------------------------------------------------------------------

def track(text):
    return [line.split(",", 1)[1] for line in text.splitlines()]


def check_twin(tool, row, text):
    if not row.twin:
        return
    check(row.twin.startswith("twin-"), f"{row.title}: {row.twin} is no twin")
    twin = Row([row.twin, "", ""])
    twin.options = row.options
    notes = notes_within(parsed(tool, "debrief", twin, "--dive=all"))
    check(not notes, f"{row.twin}: a twin with notes {sorted(notes)}")
    other = answer(tool, "replay", twin, "--tissues")
    if other is None:
        return
    mine, its = track(text), track(other)
    differing = [i for i, pair in enumerate(zip(mine, its)) if pair[0] != pair[1]]
    check(len(mine) > 1, f"{row.title}: no row to compare with its twin")
    check(len(mine) == len(its), f"{row.title}: {len(mine) - 1} rows, its twin has {len(its) - 1}")
    check(not differing, f"{row.title}: row {differing[:1]} differs from the twin's: "
                         f"{[(mine[i][:90], its[i][:90]) for i in differing[:1]]}")


def check_order(tool, row):
    """Logs given together, in the other order: the same bytes but for the list of inputs."""
    if len(row.logs) < 2:
        return
    for command, options in (("debrief", ["--dive=all"]), ("list", ["--format=csv"]), ("replay", [])):
        there = run(tool, command, [*options, *row.options], row.logs)
        back = run(tool, command, [*options, *row.options], row.logs[::-1])
        check(there.returncode == back.returncode and there.stdout == back.stdout,
              f"{row.title}: {command} gives other bytes the other way round")


def check_readable(tool, row):
    debrief = parsed(tool, "debrief", row, "--dive=all")
    listed = parsed(tool, "list", row)
    found, told = notes_within(debrief), notes_within(listed)
    check(found == set(row.expected), f"{row.title}: raises {sorted(found)}, expected {sorted(set(row.expected))}")
    check(told <= found, f"{row.title}: only the list raises {sorted(told - found)}")
    check(listed and listed["dives"], f"{row.title}: no dive")
    parsed(tool, "replay", row, "--tissues")
    text = answer(tool, "replay", row, "--tissues")
    if text is not None:
        check_track(row, text)
        check_twin(tool, row, text)
    for command in ("debrief", "list"):
        check_table(row, command, answer(tool, command, row, "--format=csv", "--dive=all") or "")
        answer(tool, command, row, "--dive=all")
    check_order(tool, row)
    return found


def check_refused(tool, row):
    done = run(tool, "debrief", row.options, row.logs)
    said = done.stderr.decode(errors="replace")
    missing = [word for word in [*row.logs, *row.expected] if word.lower() not in said.lower()]
    check(done.returncode == 3, f"{row.title}: exit {done.returncode} instead of 3")
    check(done.stdout == b"", f"{row.title}: something on standard output")
    check(len(said.strip().splitlines()) == 1, f"{row.title}: not one sentence: {said!r}")
    check(row.expected and not missing, f"{row.title}: {missing} missing in {said!r}")


def check_row(tool, row):
    kind = row.kind()
    absent = [log for log in row.logs if not (ODD / log).is_file()]
    if not check(kind and not absent, f"{row.title}: the name tells no outcome, or there is no {absent}"):
        return set()
    if kind == "bad":
        check_refused(tool, row)
        return set()
    check((kind == "ok") == (not row.expected) or len(row.logs) > 1 or row.options,
          f"{row.title}: notes and name do not fit")
    return check_readable(tool, row)


# --- the set as a whole -------------------------------------------------------------------------------------------

def check_files(rows):
    named = {log for row in rows for log in row.logs} | {row.twin for row in rows if row.twin}
    present = {path.name for path in ODD.iterdir() if path.name != "expected.txt"}
    check(named == present, f"expected.txt and the folder differ in {sorted(named ^ present)}")


def check_codes(raised):
    """Every note is named in the document on formats, and raised by a sample; those of the audit by its own tests."""
    def codes_in(text):
        return re.findall(r'^NOTE\(\w+, "([a-z0-9-]+)"', text, re.M)
    of_dives, of_audit = (ROOT / "src/base/notes.def").read_text(encoding="utf-8").split("raised by the audit")
    codes = codes_in(of_dives)
    readme = (ROOT / "sample-logs/README.md").read_text(encoding="utf-8")
    plain = {word for line in readme.splitlines() if line.startswith("| note-")
             for word in line.split("|")[3].replace(" ", "").split(",")}
    told = set(re.findall(r"[a-z0-9]+(?:-[a-z0-9]+)*", (ROOT / "docs/formats.md").read_text(encoding="utf-8")))
    untold = set(codes + codes_in(of_audit)) - told
    check(not untold, f"docs/formats.md does not name {sorted(untold)}")
    check(codes and not set(codes) - raised - plain, f"no sample raises {sorted(set(codes) - raised - plain)}")


def check_same_bytes():
    maker = ROOT / "tests/support/make_odd.py"
    if not maker.exists():
        return
    with tempfile.TemporaryDirectory() as folder:
        made = subprocess.run([sys.executable, maker, folder], capture_output=True, check=False)
        check(made.returncode == 0, f"make_odd.py failed: {made.stderr.decode(errors='replace')}")
        for path in pathlib.Path(folder).iterdir():
            committed = ODD / path.name
            check(committed.is_file() and committed.read_bytes() == path.read_bytes(),
                  f"{path.name}: made again, the bytes differ")


def main(arguments):
    if len(arguments) not in (1, 2):
        print("usage: odd.py TOOL [WORDS]", file=sys.stderr)
        return 2
    tool, words = arguments[0], arguments[1] if len(arguments) == 2 else ""
    rows = read_rows()
    chosen = [row for row in rows if words in row.title]
    raised = set().union(*(check_row(tool, row) for row in chosen))
    if not words:
        check_files(rows)
        check_codes(raised)
        check_same_bytes()
    for sentence in failures:
        print(f"FAILED {sentence}")
    print(f"{len(chosen)} rows, {len(failures)} failed")
    return 1 if failures or not chosen else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
