#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Runs the examples of docs/commands.md: run_examples.py TOOL.

Each line `$ leadline ...` in a block marked console runs in a copy of sample-logs/. It must end with exit code 0, or
with the one that the line states as `# exit N`. Lines of output below it, if any, must stand in what it shows.
"""
import pathlib
import re
import subprocess
import sys
import tempfile

from workplace import ENVIRONMENT, SOURCE, tool_named, workplace

MANUAL = SOURCE / "docs" / "commands.md"
PROMPT = re.compile(r"\$ (leadline .*?)(?:\s+# exit (\d))?$")


def examples():
    """(line number, command, exit code, lines that its output must hold)"""
    for block in re.finditer(r"^```console\n(.*?)^```", MANUAL.read_text(encoding="utf-8"), re.S | re.M):
        number = MANUAL.read_text(encoding="utf-8").count("\n", 0, block.start(1))
        found = []
        for line in block.group(1).splitlines():
            number += 1
            prompt = PROMPT.match(line)
            if prompt:
                found.append((number, prompt.group(1), int(prompt.group(2) or 0), []))
            elif found:
                found[-1][3].append(line)
            else:
                found.append((number, line, -1, []))
        yield from found


def check(folder, tools, example):
    _, command, code, lines = example
    if code < 0:
        yield "no example: expected a line that begins with '$ leadline '"
        return
    result = subprocess.run(["sh", "-c", command], cwd=folder, capture_output=True, text=True, timeout=120, check=False,
                            env={**ENVIRONMENT, "PATH": f"{tools}:{ENVIRONMENT['PATH']}"})
    if result.returncode != code:
        yield f"exit code {result.returncode}, expected {code}: {result.stderr.strip()}"
    for line in lines:
        if line not in (result.stdout + result.stderr).splitlines():
            yield f"the output lacks '{line}'"


def main():
    passed = failed = 0
    with tempfile.TemporaryDirectory() as tools, workplace() as folder:
        (pathlib.Path(tools) / "leadline").symlink_to(tool_named())
        for example in examples():
            wrong = list(check(folder, tools, example))
            passed += not wrong
            failed += bool(wrong)
            for sentence in wrong:
                print(f"{MANUAL.name}:{example[0]}: {example[1]}: {sentence}")
    print(f"{passed} passed, {failed} failed")
    return failed > 0 or passed == 0


if __name__ == "__main__":
    sys.exit(main())
