#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Logs large enough to be read ahead: run_large.py TOOL.

From a file, a pipe or standard input, whole, gzipped, cut or with more behind their end: one answer, and the digest of
all their bytes.
"""
import gzip
import hashlib
import json
import os
import random
import subprocess
import sys
import threading

from workplace import expect, expect_end, log, run, run_scenarios

AT_LEAST = 1 << 20  # below this nothing is read ahead


def dive(hours):
    """Some 10,000 samples of one dive in May."""
    numbers = random.Random(hours)
    points = [(time, 10 + numbers.random() * 0.2) for time in range(2, 20000, 2)]
    return f"2026-05-{1 + hours // 24:02}T{hours % 24:02}:00:00", [(0, 0), *points, (20200, 0)]


def large():
    """Four dives in some 3 MB."""
    text = log(*(dive(12 * number) for number in range(4))).encode()
    expect(len(text) > 2 * AT_LEAST, f"only {len(text)} bytes")
    return text


def answer(tool, folder, source, **more):
    """The dives listed of one log, and its digest and notes."""
    result = run(tool, ["list", "--format", "json", source], folder, **more)
    expect_end(result, 0)
    listed = json.loads(result.stdout)
    of_file = listed["inputs"][0]
    for dive_listed in listed["dives"]:
        dive_listed.pop("file")
    return listed["dives"], of_file["sha256"], [note["code"] for note in of_file["notes"]]


def answer_for(tool, folder, content, name="large.uddf"):
    (folder / name).write_bytes(content)
    dives, digest, notes = answer(tool, folder, name)
    expect(digest == hashlib.sha256(content).hexdigest(), f"the digest of {name} is {digest}")
    return dives, notes


def from_wherever(tool, folder):
    text = large()
    (folder / "large.uddf").write_bytes(text)
    expected = answer(tool, folder, "large.uddf")
    expect(len(expected[0]) == 4, f"{len(expected[0])} dives")
    expect(expected[1] == hashlib.sha256(text).hexdigest(), f"the digest is {expected[1]}")
    expect(answer(tool, folder, "-", input=text)[:2] == expected[:2], "another answer from a pipe")
    with open(folder / "large.uddf", "rb") as file:
        expect(answer(tool, folder, "-", stdin=file)[:2] == expected[:2], "another answer from standard input")


def from_a_named_pipe(tool, folder):
    text = large()
    (folder / "large.uddf").write_bytes(text)
    os.mkfifo(folder / "pipe.uddf")
    writer = threading.Thread(target=(folder / "pipe.uddf").write_bytes, args=(text,))
    writer.start()
    through = answer(tool, folder, "pipe.uddf")
    writer.join()
    expect(through == answer(tool, folder, "large.uddf"), "another answer from a named pipe")


def gzipped(tool, folder):
    text = large()
    small = gzip.compress(text, compresslevel=0, mtime=0)
    expect(len(small) > AT_LEAST, f"only {len(small)} bytes")
    expect(answer_for(tool, folder, small, "large.uddf.gz") == answer_for(tool, folder, text), "another answer")


def more_behind_the_end(tool, folder):
    text = large()
    dives, notes = answer_for(tool, folder, text + b"\0" * 3000000)
    expect("trailing-bytes" in notes, f"notes {notes}")
    expect(dives == answer_for(tool, folder, text)[0], "other dives")


def cut_short(tool, folder):
    text = large()
    dives, notes = answer_for(tool, folder, text[:-400000])
    expect(len(dives) == 3 and "log-truncated" in notes, f"{len(dives)} dives, notes {notes}")


def refused_early(tool, folder):
    text = large().replace(b"<profiledata>", b"<profiledata></wrong>", 1)
    (folder / "wrong.uddf").write_bytes(text)
    expect_end(run(tool, ["list", "wrong.uddf"], folder), 3, "no well-formed XML")
    result = run(tool, ["list", "--each", "--jobs", "3", *["wrong.uddf"] * 40, "calm.uddf"], folder)
    expect_end(result, 3, "no well-formed XML")


def refused_before_all_is_there(tool, folder):
    """A pipe whose writer neither writes on nor closes does not keep a refusal waiting."""
    child = subprocess.Popen([tool, "list", "-"], cwd=folder, stdin=subprocess.PIPE, stderr=subprocess.PIPE)
    try:
        child.stdin.write(b"<!DOCTYPE uddf><uddf version='3.2.0'>" + b" " * AT_LEAST)
        child.stdin.flush()
    except BrokenPipeError:
        pass  # refused even before that
    try:
        expect(child.wait(60) == 3, f"exit code {child.returncode}")
        expect(b"document type" in child.stderr.read(), "another sentence")
    finally:
        child.kill()
        child.wait()
        child.stderr.close()
        try:
            child.stdin.close()
        except BrokenPipeError:
            pass


def several_at_once(tool, folder):
    (folder / "large.uddf").write_bytes(large())
    for number in range(5):
        (folder / f"large-{number}.uddf").write_bytes(log(dive(24 * number)).encode() + b"\n" * AT_LEAST)
    names = [f"large-{number}.uddf" for number in range(5)]
    outputs = {jobs: run(tool, ["list", "--format", "json", "--jobs", jobs, *names], folder).stdout
               for jobs in ("1", "2", "8")}
    expect(len(json.loads(outputs["1"])["dives"]) == 5, "a dive is missing")
    expect(len(set(outputs.values())) == 1, "the answer depends on --jobs")


def by_a_crew(tool, folder):
    """One log of many dives, and what may be wrong in its middle or behind its end: the same by one as by many."""
    points = [(time, 10 + time % 7) for time in range(2, 900, 2)]
    text = log(*((f"2026-{1 + n // 28:02}-{1 + n % 28:02}T10:00:00", [(0, 0), *points, (950, 0)]) for n in range(150))).encode()
    expect(len(text) > 4 * AT_LEAST, f"only {len(text)} bytes")
    middle = text.index(b"</waypoint>", len(text) // 2)
    wrong = {
        "whole": text,
        "packed": gzip.compress(text, 1),
        "windows": text.replace(b"\n", b"\r\n"),
        "tag": text[:middle] + text[middle + len(b"</waypoint>"):],
        "entity": text[:middle] + b"<x>&deg;</x>" + text[middle:],
        "comment": text[:middle] + b"</waypoint></samples></dive>\n<!-- <dive> </dive>\n -->" + text[middle:],
        "unheard-of": text[:middle] + b"<unheard>of</unheard>" + text[middle:],
        "bytes": text[:middle] + b"<x>\xff</x>" + text[middle:],
        "cut": text[:middle],
        "group": text.replace(b"</repetitiongroup>", b""),
        "behind": text + b"\xff<uddf>" * AT_LEAST,
        "damaged": gzip.compress(text, 1)[:-3000] + b"damage" * 500,
    }
    for name, content in wrong.items():
        (folder / f"{name}.uddf").write_bytes(content)
        for command in (["list", "--format", "json"], ["debrief", "--dive", "all", "--format", "csv"]):
            told = [(done.returncode, done.stdout, done.stderr)
                    for done in (run(tool, [*command, "--jobs", jobs, f"{name}.uddf"], folder) for jobs in ("1", "2", "5"))]
            expect(told[0] == told[1] == told[2], f"{name}: {command[0]} depends on --jobs")
            expect(name != "whole" or told[0][0] == 0, f"{name}: exit code {told[0][0]}")


if __name__ == "__main__":
    sys.exit(run_scenarios(globals()))
