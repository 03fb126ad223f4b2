#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Runs the program and the second audit on the invented history of support/make_audit.py and compares their JSON: classes,
reasons, counts, verdicts, the dives behind them and those just short, all exactly (hours to 1e-9). Both are compared with
what each dive is by construction: every planted doubt is named, no honest dive is touched.

    compare_audits.py TOOL
"""
import datetime
import json
import pathlib
import re
import subprocess
import sys
import tempfile

HERE = pathlib.Path(__file__).resolve().parent
SAMPLES = HERE.parent.parent / "sample-logs"
sys.dont_write_bytecode = True
sys.path[:0] = [str(HERE), str(HERE.parent / "support")]
import make_audit  # noqa: E402
import second_audit  # noqa: E402

STANDARDS = [HERE / "every-attribute.xml", SAMPLES / "standard-first-helium.xml", SAMPLES / "standard-sixty-metres.xml",
             SAMPLES / "standard-in-house.xml"]
EVERY = STANDARDS[0]
ASIDE = ("number", "id", "file", "reason", "other")
bad = []
compared = 0


def check(where, name, theirs, ours):
    global compared
    compared += 1
    alike = abs(theirs - ours) <= 1e-9 if isinstance(ours, float) and theirs is not None else theirs == ours
    if not alike:
        bad.append("%s: %s: program %r, second %r" % (where, name, theirs, ours))


def run(tool, standard, as_of, logs, *options):
    done = subprocess.run([tool, "audit", "--standard", str(standard), "--as-of", as_of, "--format", "json", *options,
                           *[str(log) for log in logs]], capture_output=True, text=True, timeout=600)
    if done.returncode != 0:
        raise SystemExit("exit %d: %s" % (done.returncode, done.stderr))
    return done.stdout


# --- just short, in words --------------------------------------------------------------------------------------------

def why(item, attribute, asked, as_of, last):
    """A pattern of the words, and the figures that its groups hold, with how near they must be."""
    value = asked[attribute]
    if attribute in ("deepest-from", "deepest-to"):
        more = "" if attribute == "deepest-from" else "no more than "
        return r"deepest ([\d.]+) m, asked %s([\d.]+) m" % more, [(item.greatest, 0.0501), (float(value), 1e-9)]
    if attribute in ("owed", "shortest"):
        seconds = item.owed if attribute == "owed" else item.run_time
        words = "stops owed" if attribute == "owed" else "run time"
        near = 0.0501 + (1 / 60 if attribute == "owed" else 0)
        return words + r" ([\d.]+) min, asked ([\d.]+) min", [(seconds / 60, near), (second_audit.seconds_of(value) / 60, 1e-9)]
    if attribute == "within":
        return "no date" if item.dive.day is None else "on %s, asked from %s on" % (
            item.dive.day, second_audit.first_day(as_of, value)), []
    if attribute == "among-last":
        return "no date" if item not in last else "number %d from the latest, asked among the last %s" % (
            len(last) - last.index(item), value), []
    if attribute == "switches":
        return r"%d changes? of mix, asked %s" % (item.switches, value), []
    if attribute == "finding":
        return r"no finding of .* that weighs %s or more" % asked["severity"], []
    return {"decompression": {"yes": "not a decompression dive as replayed", "no": "a decompression dive as replayed"},
            "helium": {"yes": "no helium breathed below 10 m", "no": "helium breathed below 10 m"},
            "circuit": {"loop": "on open circuit throughout", "open": "on a loop"}}[attribute][value], []


def compare_why(where, words, pattern, figures):
    match = re.fullmatch(pattern, words)
    if not match:
        bad.append("%s: %r is not %r" % (where, words, pattern))
        return
    for told, (figure, near) in zip(match.groups(), figures):
        if not abs(float(told) - figure) <= near:
            bad.append("%s: %r, but %g" % (where, words, figure))


# --- one audit -------------------------------------------------------------------------------------------------------

def compare(where, theirs, standard, as_of, logs):
    """The program's answer with the second one's."""
    asked_of = second_audit.Standard(str(standard))
    day = datetime.date.fromisoformat(as_of)
    ours, items = second_audit.audit([str(log) for log in logs], asked_of, day)
    check(where, "as_of", theirs["as_of"], ours["as_of"])
    check(where, "verdict", theirs["verdict"], ours["verdict"])
    for key, count in ours["records"].items():
        check(where, "records." + key, theirs["records"][key], count)
    for key in ("set_aside", "merged"):
        check(where, key, [{k: d[k] for k in ASIDE} for d in theirs[key]], ours[key])
        for told in theirs[key]:
            check(where, "why of dive %d" % told["number"], bool(told["why"]), True)
    last = [i for i in items if i.standing in ("recorded", "claimed") and i.dive.day is not None]
    check(where, "requirements", [r["id"] for r in theirs["requirements"]], [r["id"] for r in ours["requirements"]])
    for told, own, asked in zip(theirs["requirements"], ours["requirements"], asked_of.requirements):
        place = where + ": " + own["id"]
        for key, value in own.items():
            if key != "just_short":
                check(place, key, told[key], value)
        check(place, "just_short", [s["number"] for s in told["just_short"]], [n for n, _ in own["just_short"]])
        for short, (number, attribute) in zip(told["just_short"], own["just_short"]):
            compare_why(place, short["why"], *why(items[number - 1], attribute, asked, day, last))
    return ours, items


def compare_construction(where, theirs, items, told):
    """What each dive is, and what the notes must name."""
    numbers = {item.dive.id: item.number for item in items}
    named = {d["id"]: d for key in ("set_aside", "merged") for d in theirs[key]}
    for dive in told["dives"]:
        place, item = where + ": " + dive["id"], items[numbers[dive["id"]] - 1]
        check(place, "standing", item.standing.replace("_", "-"), dive["standing"])
        found = named.pop(dive["id"], None)
        check(place, "reason", found and found["reason"], dive["reason"])
        check(place, "other", found and found["other"], dive["other"] and numbers[dive["other"]])
        if dive["decompression"] is not None and item.standing == "recorded":
            check(place, "decompression", item.required, dive["decompression"])
    check(where, "named beyond", sorted(named), [])
    notes = {}
    for note in theirs["notes"]:
        notes.setdefault(note["code"], []).append(note)
    check(where, "notes", sorted(notes), ["clock-hours-off", "clock-unset", "numbers-fall", "owners-differ"])
    text = lambda code: " ".join(n["text"] for n in notes.get(code, []))
    check(where, "clocks unset", [n["count"] for n in notes.get("clock-unset", [])], [len(told["clock_unset"])])
    check(where, "numbers fall", [n["count"] for n in notes.get("numbers-fall", [])], [1])
    for late, other, hours in told["hours_off"]:
        words = "dive %d shows the profile of dive %d %d h later" % (numbers[late], numbers[other], hours)
        check(where, "hours", words in text("clock-hours-off"), True)
    for owner in told["owners"]:
        check(where, owner, owner in text("owners-differ"), True)


def main():
    tool = sys.argv[1]
    with tempfile.TemporaryDirectory() as folder:
        world = pathlib.Path(folder)
        told = make_audit.make(world)
        logs, as_of = [world / name for name in told["files"]], told["as_of"]
        verdicts = set()
        for standard in STANDARDS:
            text = run(tool, standard, as_of, logs)
            ours, items = compare(standard.name, json.loads(text), standard, as_of, logs)
            compare_construction(standard.name, json.loads(text), items, told)
            verdicts.update((r["verdict"], r["least"] is None) for r in ours["requirements"])
            for order in (logs[::-1], logs[2:] + logs[:2]):
                check(standard.name, "another order", run(tool, standard, as_of, order) == text, True)
        check("construction", "verdicts of least and most", len(verdicts), 6)
        other_histories(tool, world)
    print("%d figures compared, %d differ" % (compared, len(bad)))
    for line in bad[:40]:
        print(line)
    return 1 if bad else 0


def other_histories(tool, world):
    old, second, kept, empty = (world / name for name in ("old.uddf", "second.uddf", "kept.uddf", "empty.uddf"))
    four = [old, second, kept, empty]
    for as_of in ("2026-08-31", "2024-02-29", "2024-08-31"):  # month ends: six months before there is no such day
        for logs in ([old, kept], [kept]):
            where = "%s, %s" % (" ".join(log.name for log in logs), as_of)
            compare(where, json.loads(run(tool, EVERY, as_of, logs)), EVERY, as_of, logs)
    for standard in STANDARDS:
        for logs in ([kept], [empty], [empty, kept]):
            where = "%s, %s" % (standard.name, " ".join(log.name for log in logs))
            compare(where, json.loads(run(tool, standard, make_audit.AS_OF, logs)), standard, make_audit.AS_OF, logs)
    lines = run(tool, EVERY, make_audit.AS_OF, four, "--each").splitlines()
    check("--each", "lines", len(lines), len(four))
    for line, log in zip(lines, four):
        compare("--each " + log.name, json.loads(line), EVERY, make_audit.AS_OF, [log])
    for owner, log in (("S. Aasbrekk", old), ("Sunniva Åsbrekk", kept)):
        text = run(tool, EVERY, make_audit.AS_OF, [old, second, kept], "--diver", owner)
        compare("--diver " + owner, json.loads(text), EVERY, make_audit.AS_OF, [log])


if __name__ == "__main__":
    sys.exit(main())
