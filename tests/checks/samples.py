#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Checks every sample log against the tables in sample-logs/README.md: samples.py TOOL.

ok-*: no note at all (in class/: those named, each for a peculiarity of the recorder). note-*: exactly the notes named.
bad-*: exit 3, nothing on standard output, one sentence with the file's name and the words named. The two dives of one
story differ where told. Made again, the bytes are the same."""
import json
import pathlib
import subprocess
import sys
import tempfile

ROOT = pathlib.Path(__file__).resolve().parents[2]
SAMPLES = ROOT / "sample-logs"
CLASS_NOTES = {"water-density-unused", "coarse-sampling"}
CONDUCT = {"ceiling", "surfaced", "ascent", "own-stop"}
failures = []


def check(held, words):
    if not held:
        failures.append(words)


def table():
    """File name -> third column, split at its commas."""
    rows = {}
    for line in (SAMPLES / "README.md").read_text(encoding="utf-8").splitlines():
        cells = [cell.strip() for cell in line.strip().strip("|").split("|")]
        if len(cells) == 3 and cells[0].endswith(".uddf"):
            rows[cells[0]] = [word.strip() for word in cells[2].split(",") if word.strip() != "-"]
    return rows


def run(tool, *arguments):
    return subprocess.run([tool, *map(str, arguments)], capture_output=True, timeout=120, check=False)


def output(tool, command, *arguments):
    """The JSON of a command on a readable log, or None with a failure noted."""
    done = run(tool, command, "--format", "json", *arguments)
    name = arguments[-1].name
    check(done.returncode == 0, f"{command} {name}: exit {done.returncode}: {done.stderr.decode(errors='replace')}")
    try:
        return json.loads(done.stdout)
    except ValueError as error:
        check(False, f"{command} {name}: no JSON: {error}")
        return None


def notes_within(value):
    """Codes of every note anywhere in an output."""
    if isinstance(value, list):
        return {code for item in value for code in notes_within(item)}
    if not isinstance(value, dict):
        return set()
    here = {note["code"] for note in value.get("notes", []) if isinstance(note, dict)}
    return here.union(*(notes_within(item) for item in value.values()))


def check_readable(tool, name, expected):
    debrief = output(tool, "debrief", "--dive", "all", SAMPLES / name)
    check(notes_within(debrief) == set(expected), f"debrief {name}: notes {sorted(notes_within(debrief))}, "
                                                  f"the README names {sorted(expected)}")
    check(debrief and debrief["dives"], f"debrief {name}: no dive")
    listed = output(tool, "list", SAMPLES / name)
    check(notes_within(listed) <= set(expected), f"list {name}: notes {sorted(notes_within(listed))}, "
                                                 f"the README names {sorted(expected)}")


def check_refused(tool, name, words):
    done = run(tool, "debrief", SAMPLES / name)
    said = done.stderr.decode(errors="replace")
    check(done.returncode == 3, f"{name}: exit {done.returncode} instead of 3")
    check(done.stdout == b"", f"{name}: something on standard output")
    check(len(said.strip().splitlines()) == 1, f"{name}: not one sentence: {said!r}")
    missing = [word for word in [name, *words] if word.lower() not in said.lower()]
    check(words and not missing, f"{name}: {missing} missing in {said!r}")


def kinds(tool, name):
    debrief = output(tool, "debrief", "--dive", "all", SAMPLES / name)
    return {finding["kind"] for dive in debrief["dives"] for finding in dive["findings"]} if debrief else set()


def check_stories(tool):
    """What the stories say of conduct and gas."""
    names = ("deep-kept", "stop-cut-short", "fast-ascent", "air-45", "three-dives", "mountain-lake", "v22-quarry",
             "loop", "oxygen-break", "travel-mix", "nitrox-loop")
    found = {name: kinds(tool, f"ok-{name}.uddf") for name in names}
    for name, told in found.items():
        expected = {"stop-cut-short": {"ceiling", "surfaced", "own-stop"}, "fast-ascent": {"ascent"}}.get(name, set())
        check(told & CONDUCT == expected, f"ok-{name}: conduct findings {sorted(told & CONDUCT)}")
        check("oxygen-high" not in told and "oxygen-low" not in told, f"ok-{name}: oxygen findings")
    check({"density", "narcosis"} <= found["air-45"], f"ok-air-45: {sorted(found['air-45'])}")
    check_changes(tool)


def check_changes(tool):
    """What the stories say of the changes of gas: the orders of the switches, the break, the loop."""
    orders = {"oxygen-break": ["richer", "richer", "break", "back"], "travel-mix": ["leaner", "richer", "richer"],
              "nitrox-loop": []}
    dive = {name: output(tool, "debrief", SAMPLES / f"ok-{name}.uddf")["dives"][0] for name in orders}
    for name, expected in orders.items():
        told = [switch["order"] for switch in dive[name]["switches"]]
        check(told == expected, f"ok-{name}: switches {told}")
    breaks = [one["to_s"] - one["from_s"] for one in dive["oxygen-break"]["asked_and_kept"]["oxygen_breaks"]]
    check(breaks == [300], f"ok-oxygen-break: breaks of {breaks} s")
    highest_bar = dive["nitrox-loop"]["peaks"]["po2_atm"]["value"] * 1.01325
    check(abs(highest_bar - 1.3) < 1e-9, f"ok-nitrox-loop: PO2 up to {highest_bar} bar, the set point is 1.3")


def check_same_bytes(maker, samples, pattern):
    with tempfile.TemporaryDirectory() as folder:
        made = subprocess.run([sys.executable, ROOT / "tests/support" / maker, folder], capture_output=True,
                              check=False)
        check(made.returncode == 0, f"{maker} failed: {made.stderr.decode(errors='replace')}")
        fresh = {path.name: path.read_bytes() for path in pathlib.Path(folder).iterdir()}
    committed = {path.name: path.read_bytes() for path in samples.glob(pattern)}
    check(fresh.keys() == committed.keys(), f"other files: {sorted(fresh.keys() ^ committed.keys())}")
    for name in fresh.keys() & committed.keys():
        check(fresh[name] == committed[name], f"{name}: made again, the bytes differ")
        check(len(fresh[name]) < 600_000, f"{name}: larger than 600 kB")


def main(arguments):
    if len(arguments) != 1:
        print("usage: samples.py TOOL", file=sys.stderr)
        return 2
    rows = table()
    present = {path.relative_to(SAMPLES).as_posix() for folder in (SAMPLES, SAMPLES / "class")
               for path in folder.glob("*.uddf")}
    check(present and rows.keys() == present, f"README and folder differ in {sorted(rows.keys() ^ present)}")
    for name in sorted(rows.keys() & present):
        outcome = pathlib.PurePosixPath(name).name
        check_one = check_refused if outcome.startswith("bad-") else check_readable
        check(outcome.startswith(("ok-", "note-", "bad-")), f"{name}: the name tells no outcome")
        few = CLASS_NOTES if name.startswith("class/") else set()
        check(not outcome.startswith("ok-") or set(rows[name]) <= few, f"{name}: an ok-* with notes in the README")
        check_one(arguments[0], name, rows[name])
    check_stories(arguments[0])
    check_same_bytes("make_samples.py", SAMPLES, "*.uddf")
    check_same_bytes("make_class.py", SAMPLES / "class", "*")
    for words in failures:
        print(f"FAILED {words}")
    print(f"{len(rows)} samples, {len(failures)} failed")
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
