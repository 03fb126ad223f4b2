#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Damaged copies of the sample logs: damage.py TOOL [COUNT [SEED]]

Bytes flipped, runs cut, doubled, blocks swapped, encodings mixed, packed and then damaged. Each copy ends with exit code 0 or 3 in
bounded time; with 3 nothing is written and one sentence names the file; no number that is written is anything but finite. The
same seed makes the same copies. 200 of them run in the suite; by hand more: docs/limits.md tells how many."""
import concurrent.futures
import gzip
import json
import pathlib
import random
import re
import subprocess
import sys
import tempfile

ROOT = pathlib.Path(__file__).resolve().parents[2]
SAMPLES = sorted(p for folder in ("sample-logs", "sample-logs/odd", "sample-logs/class")
                 for p in (ROOT / folder).glob("*.uddf*"))
STANDARD = str(ROOT / "sample-logs/standard-first-helium.xml")
SECONDS = 20
COMMANDS = [["debrief", "--dive", "all", "--format", "json"], ["list", "--format", "json"],
            ["debrief", "--dive", "all", "--format", "csv"], ["list", "--format", "csv"], ["debrief", "--dive", "all"],
            ["audit", "--standard", STANDARD, "--as-of", "2026-11-25", "--format", "json"],
            ["review", "--format", "json"], ["replay", "--format", "csv"], ["debrief", "--format", "html"]]


# --- damage ------------------------------------------------------------------------------------------------------------

def flip(source, data):
    for _ in range(source.randint(1, 12)):
        data[source.randrange(len(data))] ^= 1 << source.randrange(8)


def cut(source, data):
    at = source.randrange(len(data))
    del data[at:at + source.randint(1, max(1, len(data) // 8))]


def cut_end(source, data):
    del data[source.randrange(len(data)):]


def double(source, data):
    at = source.randrange(len(data))
    data[at:at] = data[at:at + source.randint(1, 2000)]


def swap(source, data):
    a, b = sorted(source.randrange(len(data)) for _ in range(2))
    size = source.randint(1, 500)
    one, other = data[a:a + size], data[b:b + size]
    data[b:b + size] = one
    data[a:a + size] = other


def fill(source, data):
    at = source.randrange(len(data))
    data[at:at] = bytes([source.choice(b"\0 <>&\xff\x80A9-")]) * source.randint(1, 5000)


def mix_encodings(source, data):
    at = source.randrange(len(data))
    size = source.randint(1, 400)
    text = bytes(data[at:at + size]).decode("latin-1")
    data[at:at + size] = text.encode(source.choice(["utf-16-le", "utf-16-be", "utf-8", "utf-32-le"]))


def move_element(source, data):
    tags = [m.start() for m in re.finditer(rb"<[a-z]", bytes(data))]
    if len(tags) > 2:
        a, b = source.choice(tags), source.choice(tags)
        end = data.find(b">", a) + 1
        piece = data[a:end]
        data[b:b] = piece


def change_number(source, data):
    numbers = list(re.finditer(rb">-?[0-9.]+<", bytes(data)))
    if numbers:
        found = source.choice(numbers)
        data[found.start() + 1:found.end() - 1] = source.choice(
            [b"nan", b"inf", b"-1", b"1e400", b"1e-400", b"99999999999", b"0x7", b"1,5", b"", b"-0", b"1e5"])


DAMAGES = [flip, flip, cut, cut_end, double, swap, fill, mix_encodings, move_element, change_number, change_number]


def damaged(seed):
    source = random.Random(seed)
    path = source.choice(SAMPLES)
    data = bytearray(path.read_bytes()[:400_000])
    packed = source.random() < 0.1
    for _ in range(source.randint(1, 4)):
        if data:
            source.choice(DAMAGES)(source, data)
    if packed:
        data = bytearray(gzip.compress(bytes(data), mtime=0))
        source.choice([flip, cut_end, double, lambda *_: None])(source, data)
    return path.name, bytes(data)


# --- what is promised --------------------------------------------------------------------------------------------------

def reject_constant(name):
    raise ValueError(f"{name} is no number")


def check_output(command, out):
    text = out.decode("utf-8")
    if "json" in command:
        json.loads(text, parse_constant=reject_constant)
    elif "csv" in command:
        assert not re.search(r"(^|,)-?(nan|inf(inity)?)(,|$)", text, re.I | re.M), "a number that is not finite"


def wrong_with(tool, path, command):
    try:
        done = subprocess.run([tool, *command, path], capture_output=True, timeout=SECONDS, check=False)
    except subprocess.TimeoutExpired:
        return f"took longer than {SECONDS} s"
    said = done.stderr.decode("utf-8", "replace")
    if done.returncode not in (0, 3):
        return f"exit code {done.returncode}: {said[-2000:]}"
    if done.returncode == 3 and (done.stdout or not said.startswith("leadline: ") or pathlib.Path(path).name not in said or said.count("\n") != 1):
        return f"a refusal that is not one sentence: {said!r}"
    if done.returncode == 0:
        try:
            check_output(command, done.stdout)
        except (ValueError, AssertionError, UnicodeDecodeError) as error:
            return f"output: {error}"
    return None


def try_one(tool, folder, seed):
    name, data = damaged(seed)
    path = pathlib.Path(folder) / f"{seed}.uddf"
    path.write_bytes(data)
    wrong = []
    for command in [COMMANDS[0], COMMANDS[1 + seed % (len(COMMANDS) - 1)]]:
        found = wrong_with(tool, str(path), command)
        if found:
            wrong.append(f"seed {seed} ({name}), {' '.join(command)}: {found}")
    path.unlink()
    return wrong


def main(tool, count="200", first="1"):
    tool = str(pathlib.Path(tool).resolve())
    wrong = 0
    with tempfile.TemporaryDirectory() as folder, concurrent.futures.ThreadPoolExecutor(2) as pool:
        seeds = range(int(first), int(first) + int(count))
        for sentences in pool.map(lambda seed: try_one(tool, folder, seed), seeds):
            wrong += bool(sentences)
            for sentence in sentences:
                print(sentence)
    print(f"{count} damaged logs, {wrong} went wrong")
    return wrong > 0


if __name__ == "__main__":
    if len(sys.argv) < 2:
        sys.exit(__doc__)
    sys.exit(main(*sys.argv[1:]))
