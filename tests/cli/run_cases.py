#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Runs tests/cli/cases.txt: run_cases.py TOOL. The form of a case stands at the top of that file."""
import pathlib
import shlex
import sys

from workplace import leftovers, run, tool_named, workplace

CASES = pathlib.Path(__file__).with_name("cases.txt")


def read_cases():
    for number, line in enumerate(CASES.read_text(encoding="utf-8").splitlines(), 1):
        if line.strip() and not line.startswith("#"):
            code, arguments, out, err = (part.strip() for part in line.split(" | "))
            yield number, int(code), arguments, out, err


def split_arguments(text):
    """Words; leading NAME=VALUE words are environment, `< FILE` is standard input."""
    words = shlex.split(text)
    environment = {}
    while words and words[0].split("=")[0].isupper() and "=" in words[0]:
        name, value = words.pop(0).split("=", 1)
        environment[name] = value
    source = None
    if "<" in words:
        source = words[words.index("<") + 1]
        words = words[:words.index("<")]
    return words, environment, source


def complaints(stream, wanted, text):
    if wanted == "-" and text:
        yield f"{stream} is not empty"
    for phrase in filter(None, () if wanted == "-" else wanted.split(" ; ")):
        if phrase.startswith("!"):
            if phrase[1:] in text:
                yield f"{stream} has '{phrase[1:]}'"
        elif phrase not in text:
            yield f"{stream} lacks '{phrase}'"


def check(tool, folder, case):
    _, code, arguments, out, err = case
    words, environment, source = split_arguments(arguments)
    more = {"input": (folder / source).read_bytes()} if source else {}
    result = run(tool, words, folder, environment=environment, **more)
    stdout, stderr = result.stdout.decode(), result.stderr.decode()
    if result.returncode != code:
        yield f"exit code {result.returncode}, expected {code}"
    yield from complaints("standard output", out, stdout)
    yield from complaints("standard error", err, stderr)
    if leftovers(folder):
        yield f"left behind {leftovers(folder)}"
    if code >= 2 and not all(line.startswith("leadline: ") for line in stderr.splitlines()):
        yield f"not every line of standard error is a sentence of the tool: {stderr[:300]}"


def main():
    tool = tool_named()
    passed = failed = 0
    with workplace() as folder:
        for case in read_cases():
            wrong = list(check(tool, folder, case))
            passed += not wrong
            failed += bool(wrong)
            for sentence in wrong:
                print(f"{CASES.name}:{case[0]}: leadline {case[2]}: {sentence}")
    print(f"{passed} passed, {failed} failed")
    return failed > 0 or passed == 0


if __name__ == "__main__":
    sys.exit(main())
