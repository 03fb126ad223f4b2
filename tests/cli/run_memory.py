#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""The whole program while memory runs out: run_memory.py TOOL REFUSE [--all].

REFUSE is the heap of tests/support/refuse.c. Every command and format runs with one request of the process refused, and with
all from one on, those of the C library, of libxml2 and of threads too. Each run either says that memory ran out, or
writes what it always writes; a file is whole or not there. Where memory ran out for one of several logs, that is named and
the others are answered. Some of the requests are tried; with --all, by hand, each of them."""
import itertools
import os
import re
import subprocess
import sys

from everything import PAGE, every_output
from workplace import CALM, ENVIRONMENT, MORNING, expect, leftovers, log, workplace

EVERY_BELOW = 12  # the first requests are all tried,
SAMPLES = 16      # and so many of the others
LAST = 1 << 40

# Each request is always tried: an encoding that is loaded on the way.
WHOLLY = [["list", "cyrillic.uddf"]]

# More ways than commands and formats: another encoding and a zipped log, a log at a time, all owners.
MORE = [
    ["list", "--format", "json", "cyrillic.uddf", "latin.uddf", "calm.uddf.gz"],
    ["list", "--each", "three.uddf", "fast.uddf", "calm.uddf.gz"],
    ["debrief", "--each", "--names", "letters", "--format", "json", "three.uddf", "fast.uddf"],
    ["debrief", "--units", "imperial", "--standard", "cyrillic.xml", "ok-deep-kept.uddf"],
    ["review", "--plan", "two words.uddf", "--extract", "Ylva", "Ylva=calm.uddf+calm.uddf.gz", "fast.uddf"],
]


def run(tool, heap, folder, arguments, refused, tell=None):
    """Runs with the requests `refused`, a pair, answered by NULL; what is written goes to the file `out`."""
    environment = {**ENVIRONMENT, "LD_PRELOAD": heap, "LEADLINE_REFUSE": str(refused[0]),
                   "LEADLINE_REFUSE_TO": str(refused[1])}
    if tell is not None:
        environment["LEADLINE_REFUSE_TELL"] = str(tell)
    return subprocess.run([tool, *arguments], cwd=folder, env=environment, stdin=subprocess.DEVNULL, timeout=120,
                          capture_output=True, check=False, pass_fds=[] if tell is None else [tell])


def count(tool, heap, folder, arguments):
    """How many requests a run has."""
    reader, writer = os.pipe()
    result = run(tool, heap, folder, arguments, (0, 0), writer)
    os.close(writer)
    with os.fdopen(reader, "rb") as pipe:
        told = pipe.read()
    expect(result.returncode == 0 and told, f"{arguments}: exit code {result.returncode}: {result.stderr.decode()}")
    return int(told)


SENTENCE = re.compile(r"leadline: (?:(.*): )?memory ran out$", re.MULTILINE)


class Answers:
    """What a command writes while there is memory: with all its logs, and without some of them."""

    def __init__(self, tool, folder, arguments):
        self.tool, self.folder, self.arguments, self.known = tool, folder, arguments, {}

    def without(self, missing):
        """The bytes; None if nothing is left to write."""
        if missing not in self.known:
            arguments = self.arguments
            for name in missing:
                pattern = rf"(^|[=+]){re.escape(name)}($|\+)"
                arguments = [re.sub(pattern, rf"\1gone/{name}\2", argument) for argument in arguments]
            subprocess.run([self.tool, *arguments], cwd=self.folder, env=ENVIRONMENT, check=False, capture_output=True)
            self.known[missing] = take(self.folder / "out")
        return self.known[missing]


def take(path):
    """The bytes of a file that is not needed any more, or None."""
    written = path.read_bytes() if path.exists() else None
    path.unlink(missing_ok=True)
    return written


def check(result, folder, answers):
    """What is wrong with a run in which memory ran out, or None. Logs that memory ran out for are named, and the others are
    answered; or nothing is."""
    written = take(folder / "out")
    told = SENTENCE.findall(result.stderr.decode())
    if leftovers(folder):
        return f"left {leftovers(folder)}"
    if result.returncode not in (0, 4):
        return f"ended with {result.returncode}"
    if (result.returncode == 4) != bool(told):
        return f"exit code {result.returncode} and {len(told)} sentences"
    if written is None and told or written is not None and written == answers.without(tuple(sorted({*told} - {""}))):
        return None
    return f"exit code {result.returncode} and {written and len(written)} bytes of {len(answers.without(()))}"


def places(requests, every):
    """The requests to refuse."""
    step = 1 if every else max(1, requests // SAMPLES)
    return sorted({*range(1, min(requests, EVERY_BELOW) + 1), *range(1, requests + 1, step)})


def walk(tool, heap, folder, arguments, every):
    """Refuses requests of one command in turn. How many runs there were, and how many of them had to give up."""
    full = [*arguments, "-o", "out"]
    requests = count(tool, heap, folder, full)
    answers = Answers(tool, folder, full)
    runs = given_up = 0
    for at, last in itertools.product(places(requests, every), (None, LAST)):
        result = run(tool, heap, folder, full, (at, last or at))
        wrong = check(result, folder, answers)
        expect(not wrong, f"{' '.join(arguments)}, request {at} of {requests}{' and all later ones' if last else ''}: "
                          f"{wrong}: {result.stderr.decode()}")
        runs += 1
        given_up += result.returncode == 4
    return runs, given_up


def fill(tool, folder):
    """The inputs that are not in every workplace."""
    for name, charset, owner in (("cyrillic", "KOI8-R", ("Ильва", "Торн")), ("latin", "ISO-8859-2", ("Ylvá", "Řezná"))):
        text = log((MORNING, CALM), owner=owner).replace("utf-8", charset)
        (folder / f"{name}.uddf").write_bytes(text.encode(charset))
    standard = '<?xml version="1.0" encoding="KOI8-R"?><standard xmlns="urn:leadline:standard:1" name="Торн"/>'
    (folder / "cyrillic.xml").write_bytes(standard.encode("KOI8-R"))
    subprocess.run([tool, *PAGE], cwd=folder, env=ENVIRONMENT, check=True)


def main():
    tool, heap, every = os.path.abspath(sys.argv[1]), os.path.abspath(sys.argv[2]), "--all" in sys.argv[3:]
    runs = given_up = failed = 0
    with workplace() as folder:
        fill(tool, folder)
        for arguments, jobs in itertools.product(every_output() + MORE + WHOLLY, ("1", "2")):
            try:
                more = walk(tool, heap, folder, [*arguments, "--jobs", jobs], every or arguments in WHOLLY)
                expect(more[1] > more[0] // 2, f"{' '.join(arguments)}: only {more[1]} of {more[0]} runs gave up")
                runs, given_up = runs + more[0], given_up + more[1]
            except Exception as wrong:  # whatever it is, this command failed
                failed += 1
                print(f"{type(wrong).__name__}: {wrong}")
    print(f"{runs} runs, {given_up} of them gave up; {failed} commands failed")
    return failed > 0


if __name__ == "__main__":
    sys.exit(main())
