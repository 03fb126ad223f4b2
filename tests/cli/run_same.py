#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""The same input gives the same bytes: run_same.py TOOL [SORT | --hashes].

Every command, in each of its formats, is asked about the sample logs in several surroundings: jobs, time zones,
locales, memory that is not zero, a second run. An answer is the exit code and the bytes of both outputs. SORT is a
library with another qsort (tests/support/sort_backwards.c), which is loaded in front of that of the C library.

--hashes tests nothing: it prints a line `sha256 name` for each answer, about more logs than the test takes, so that the
answers of two builds can be held against each other with diff."""
import dataclasses
import hashlib
import json
import pathlib
import random
import re
import shutil
import sys

from review_logs import STAIRS, Recorder, write
from workplace import (CALM, FAST, MORNING, SOURCE, comma_locale, expect, expect_end, gives_nothing_up, log, run,
                       run_scenarios, tool_named, workplace)

STANDARD = ["--standard", "standard-first-helium.xml", "--as-of", "2026-11-25"]
# What each command is asked in each of its formats; a page is the input of verify.
ASKED = {
    "list": (["text", "json", "csv"], []),
    "debrief": (["text", "json", "csv", "html"], ["--dive", "all"]),
    "replay": (["json", "csv"], ["--tissues"]),
    "audit": (["text", "json", "csv", "html"], STANDARD),
    "review": (["text", "json", "csv", "html"], []),
    "verify": (["text", "json"], ["page.html"]),
}
CLASS = [f"{name}=class/ok-class-{name.lower()}.uddf" for name in ("Eskil", "Idun", "Solveig", "Torunn")]
RAGNA = "Ragna=class/ok-class-ragna.uddf+class/ok-class-ragna-second.uddf"


# --- what is asked ---------------------------------------------------------------------------------------------------


def in_each_format(command, logs, more=()):
    formats, always = ASKED[command]
    return [[command, "--format", form, *more, *always, *logs] for form in formats]


def samples(folder, pattern):
    return sorted(str(path.relative_to(folder)) for path in folder.glob(pattern))


def history(folder):
    """Many dives of several logs, with notes on some."""
    return [*samples(folder, "ok-*.uddf"), *samples(folder, "note-*.uddf")]


def alone(names):
    """Each log by itself, in every command and format."""
    return [words for name in names for command in ASKED for words in in_each_format(command, [name])]


def together(folder):
    logs = history(folder)
    asked = [words for command in ASKED if command not in ("review", "verify")
             for words in in_each_format(command, logs)]
    asked += [words for command in ("list", "debrief", "audit") for words in in_each_format(command, logs, ["--each"])
              if words[2] in ("text", "json")]
    asked += [["debrief", "--units", "imperial", "--names", "letters", "--dive", "all", *logs],
              ["debrief", "--gf", "log", "--model", "zh-l16b", "--format", "json", "--dive", "all", *logs],
              ["replay", "--model", "vval-18", *logs], ["replay", "--model", "mn90", "--assume-air", *logs],
              ["debrief", "--fail-on", "caution", "--standard", "standard-in-house.xml", *logs]]
    return asked


def reviews():
    sixty = ["--plan", "class/slate-45.txt", "--standard", "standard-sixty-metres.xml", "--lead", "Ragna"]
    wrong_dive = "Guest=class/note-class-wrong-dive.uddf"
    return [*in_each_format("review", [*CLASS, RAGNA]), *in_each_format("review", [*CLASS, RAGNA, wrong_dive], sixty),
            *in_each_format("review", [RAGNA, *CLASS], ["--extract", "Idun", "--pair", "Idun,Eskil"])]


def long_ones(folder):
    """A log of more than 1 MiB is read by two threads."""
    line = [(time_s * 8, depth_m) for time_s, depth_m in STAIRS]
    write(folder, "long", line, Recorder(every_s=1, noise_m=0.2, seed=4))
    expect((folder / "long.uddf").stat().st_size > 2**20, "the long log is too short")
    logs = ["long.uddf", "three.uddf"]
    return [words for command in ("list", "debrief") for words in in_each_format(command, logs)] + [["replay", *logs]]


def begun_on_the_reserve(folder):
    """Two findings of one kind that begin together: nothing but the tank tells them apart."""
    tanks = "".join(f'<tank id="{tank}"><tankvolume>0.012</tankvolume></tank>' for tank in ("left", "right"))
    text = log((MORNING, CALM)).replace("</personal></owner>", f"</personal><equipment>{tanks}</equipment></owner>")
    for at_s, bar in ((120, 48), (900, 40), (1700, 30)):
        readings = "".join(f'<tankpressure ref="{tank}">{bar + more}e5</tankpressure>'
                           for tank, more in (("left", 0), ("right", 1)))
        text = text.replace(f"<divetime>{at_s}</divetime>", f"<divetime>{at_s}</divetime>{readings}")
    (folder / "reserve.uddf").write_text(text, encoding="utf-8")
    return in_each_format("debrief", ["reserve.uddf"], ["--standard", "standard-in-house.xml"])


def talk():
    return [["--help"], ["--version"], *([command, "--help"] for command in ASKED), ["debreif"],
            ["list", "no-such-file.uddf"]]


def prepare(tool, folder):
    """What every case finds there: the odd logs too, and the page that verify is asked about."""
    shutil.copytree(SOURCE / "sample-logs" / "odd", folder / "odd")
    make_page(tool, folder, ["ok-three-dives.uddf"])


def make_page(tool, folder, logs):
    expect_end(run(tool, ["debrief", "--dive", "all", "--format", "html", "-o", "page.html", *logs], folder), 0)


def of_several_logs(folder):
    return [*together(folder), *reviews(), *long_ones(folder), *begun_on_the_reserve(folder), *talk()]


# --- in which surroundings -------------------------------------------------------------------------------------------


@dataclasses.dataclass(frozen=True)
class Surroundings:
    jobs: int = 1
    environment: tuple = ()

    def words(self, arguments):
        """The arguments with the number of jobs, where a command takes it."""
        if "--help" in arguments or arguments[0] not in ASKED:
            return arguments
        return [arguments[0], "--jobs", str(self.jobs), *arguments[1:]]


# Zones as POSIX writes them, which need no file: with summer time, the farthest east, the farthest west.
SUMMER = ("TZ", "FJORD-1FJORDS,M3.5.0,M10.5.0/3")
EAST, WEST = ("TZ", "EAST-14"), ("TZ", "WEST+12")
# The C library fills memory with it when it is handed out, and with its complement when it is given back.
FILLED = ("MALLOC_PERTURB_", "165")
PLAIN = Surroundings()


def other_sort(tool):
    """What loads it; a sanitizer wants to be loaded first."""
    given = len(sys.argv) > 2 and not gives_nothing_up(tool)
    return [("LD_PRELOAD", str(pathlib.Path(sys.argv[2]).resolve()))] if given else []


def all_surroundings(tool, comma):
    utf8 = ("LC_ALL", "C.UTF-8")
    return [Surroundings(2, (EAST, utf8)), Surroundings(5, (WEST, *comma, FILLED)),
            Surroundings(5, (SUMMER, *other_sort(tool))), PLAIN]


def answer(tool, folder, surroundings, arguments):
    result = run(tool, surroundings.words(arguments), folder, environment=dict(surroundings.environment))
    expect(result.returncode in range(4),
           f"{' '.join(arguments)}: exit code {result.returncode}: {result.stderr[-2000:]}")
    return result.returncode, result.stdout, result.stderr


def first_difference(one, other):
    """Where two answers part, in words."""
    for name, a, b in zip(("exit code", "standard output", "standard error"), one, other):
        if a == b:
            continue
        if isinstance(a, int):
            return f"exit code {a} and {b}"
        lines = zip(a.splitlines() + [b"(end)"], b.splitlines() + [b"(end)"])
        number, (left, right) = next((n, pair) for n, pair in enumerate(lines, 1) if pair[0] != pair[1])
        at = next((i for i, (x, y) in enumerate(zip(left, right)) if x != y), min(len(left), len(right)))
        left, right = left[max(0, at - 30):at + 30], right[max(0, at - 30):at + 30]
        return f"{name}, line {number}: {left} and {right}"
    return "no difference"


def culprits(tool, folder, surroundings, arguments, wanted):
    """Which single part of the surroundings shows; all of them together where none does alone."""
    parts = [Surroundings(jobs=surroundings.jobs), *(Surroundings(environment=(e,)) for e in surroundings.environment)]
    if surroundings == PLAIN:
        return "a second run"
    found = [part for part in parts if answer(tool, folder, part, arguments) != wanted]
    return " and ".join(map(str, found)) or str(surroundings)


def expect_same(tool, folder, cases, surroundings):
    for arguments in cases:
        wanted = answer(tool, folder, PLAIN, arguments)
        expect(wanted[1] or wanted[2], f"{' '.join(arguments)}: no answer at all")
        for other in surroundings:
            got = answer(tool, folder, other, arguments)
            if got != wanted:
                raise AssertionError(f"{' '.join(arguments)[:200]}: {culprits(tool, folder, other, arguments, wanted)} "
                                     f"shows: {first_difference(wanted, got)}")


def thinned(tool, cases):
    """Fewer of them where each run takes long."""
    return cases[::8] if gives_nothing_up(tool) else cases


def surroundings_leave_no_mark(tool, folder):
    prepare(tool, folder)
    comma = comma_locale(folder)
    # One of three, each time others: 19 answers about a log, so that each format has its turn.
    cases = thinned(tool, [*alone(history(folder))[::3], *of_several_logs(folder)])
    expect_same(tool, folder, cases, all_surroundings(tool, comma.items() if comma else ()))
    left_out = [] if comma else ["no locale with a decimal comma can be made here"]
    left_out += [] if other_sort(tool) else ["no other qsort"]
    return f"{len(cases)} answers" + "".join(f"; skipped: {words}" for words in left_out)


def odd_logs_too(tool, folder):
    """With --each; one by one they are part of --hashes."""
    prepare(tool, folder)
    logs = samples(folder, "odd/*.uddf")
    expect_same(tool, folder, [[command, "--each", "--format", "json", *ASKED[command][1], *logs]
                               for command in ("debrief", "list", "audit")], all_surroundings(tool, ()))


# --- the order of logs -----------------------------------------------------------------------------------------------


def alike_logs(folder):
    """Logs that are hard to put in order: the same name, the same start, the same bytes, no date at all."""
    for place, points in (("a", CALM), ("b", FAST)):
        (folder / place).mkdir()
        (folder / place / "same-name.uddf").write_text(log((MORNING, points)), encoding="utf-8")
        (folder / place / "undated.uddf").write_text(
            log((MORNING, points)).replace(f"<datetime>{MORNING}</datetime>", ""), encoding="utf-8")
    return ["a/same-name.uddf", "b/same-name.uddf", "a/undated.uddf", "b/undated.uddf", "calm.uddf", "two words.uddf",
            "calm.uddf.gz", "fast.uddf", "other-owner.uddf", "three.uddf"]


def without_order(result):
    """What cannot be read is told in the order in which it was given."""
    code, out, err = result
    return code, out, sorted(err.splitlines())


def orders(logs):
    return [logs[::-1], random.Random(1).sample(logs, len(logs)), random.Random(2).sample(logs, len(logs))]


def expect_no_order(tool, folder, logs, commands=("list", "debrief", "replay", "audit")):
    for words in (words for command in commands for words in thinned(tool, in_each_format(command, []))):
        wanted = without_order(answer(tool, folder, PLAIN, [*words, *logs]))
        for place, order in enumerate(orders(logs)):
            got = without_order(answer(tool, folder, Surroundings(1 + place), [*words, *order]))
            expect(got == wanted, f"{' '.join(words)}: the order of the logs shows: {first_difference(wanted, got)}")


def the_order_of_a_history_leaves_no_mark(tool, folder):
    prepare(tool, folder)
    expect_no_order(tool, folder, history(folder))


def nor_does_that_of_odd_logs(tool, folder):
    """Among them logs that cannot be used; in few formats, for there are many."""
    prepare(tool, folder)
    expect_no_order(tool, folder, samples(folder, "odd/*.uddf"), ("list",))


def nor_does_that_of_logs_that_look_alike(tool, folder):
    prepare(tool, folder)
    expect_no_order(tool, folder, alike_logs(folder))


def verdict(tool, folder, logs):
    """The verdict, and the logs in the order in which it lists them."""
    code, out, _ = answer(tool, folder, PLAIN, ["verify", "--format", "json", "page.html", *logs])
    members = json.loads(out)
    names = [given["name"] for given in members["inputs"]]
    members["inputs"].sort(key=lambda given: given["name"])
    return (code, members), names


def a_page_is_verified_in_any_order(tool, folder):
    """The logs are listed as they were given; nothing else may differ."""
    logs = samples(folder, "ok-*.uddf")
    make_page(tool, folder, logs)
    wanted, _ = verdict(tool, folder, logs)
    expect(wanted[0] == 0, f"the page does not belong to its logs: {wanted}")
    for order in orders(logs):
        got, names = verdict(tool, folder, order)
        expect(got == wanted, f"the verdict is {got}, expected {wanted}")
        expect(names == order, f"{order} are listed as {names}")


def each_answers_in_the_order_given(tool, folder):
    logs = samples(folder, "ok-*.uddf")
    for arguments in (["list"], ["debrief", "--dive", "all"], ["audit", *STANDARD]):
        one, other = (answer(tool, folder, Surroundings(5), [*arguments, "--each", "--format", "json", *order])[1]
                      for order in (logs, logs[::-1]))
        lines = one.splitlines()
        expect(len(lines) == len(logs), f"{arguments[0]}: {len(lines)} answers for {len(logs)} logs")
        names = [json.loads(line)["inputs"][0]["name"] for line in lines]
        expect(names == logs, f"{arguments[0]}: the answers stand in the order {names}")
        expect(lines[::-1] == other.splitlines(), f"{arguments[0]}: the other way round the answers are others")


# --- is that everything ----------------------------------------------------------------------------------------------


def every_command_and_format_is_asked(tool, folder):
    text = run(tool, ["--help"], folder).stdout.decode()
    commands = re.findall(r"^  (\w+) ", text.partition("Commands")[2].partition("Options")[0], re.MULTILINE)
    expect(set(commands) == set(ASKED), f"the commands are {commands}")
    for command, (formats, _) in ASKED.items():
        told = re.search(r"^Formats: ([^;]*);", run(tool, [command, "--help"], folder).stdout.decode(), re.MULTILINE)
        expect(told and told.group(1).split() == formats, f"the formats of {command} are {told and told.group(1)}")


# --- two builds ------------------------------------------------------------------------------------------------------


def digest(result):
    code, out, err = result
    return hashlib.sha256(b"%d\n%d\n" % (code, len(out)) + out + err).hexdigest()


def name_of(arguments):
    """The arguments; of more than a few logs only how many there are."""
    logs = [word for word in arguments if word.endswith(".uddf")]
    if len(logs) <= len(CLASS) + 2:
        return " ".join(arguments)
    return " ".join(word for word in arguments if word not in logs) + f" ({len(logs)} logs)"


def print_hashes(tool):
    with workplace() as folder:
        prepare(tool, folder)
        names = [name for pattern in ("*.uddf", "class/*.uddf", "odd/*.uddf") for name in samples(folder, pattern)]
        for arguments in [*alone(names), *of_several_logs(folder)]:
            print(digest(answer(tool, folder, PLAIN, arguments)), name_of(arguments))


if __name__ == "__main__":
    if sys.argv[2:] == ["--hashes"]:
        print_hashes(tool_named())
        raise SystemExit(0)
    raise SystemExit(run_scenarios(globals()))
