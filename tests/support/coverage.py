#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Usage: coverage.py BUILD [FILE...]

States how much of src/ ran, from the counters of a build with -Db_coverage=true: lines and branches by folder, and each
file with under 95 % of its lines. Of each FILE (src/...) it prints the lines that never ran, and the branches with `?`.
A line or branch that was compiled more than once ran if any of them ran."""
import collections
import json
import os
import pathlib
import subprocess
import sys

TOP = pathlib.Path(__file__).resolve().parents[2]
ENOUGH = 95.0


def counters(build):
    """File of src/: how often each line ran, and each branch of it."""
    lines = collections.defaultdict(collections.Counter)
    branches = collections.defaultdict(collections.Counter)
    for notes in sorted((build / 'src').rglob('*.gcno')):
        told = subprocess.run(['gcov', '--json-format', '--branch-probabilities', '--stdout', str(notes)], cwd=build,
                              capture_output=True, check=True).stdout
        for document in filter(None, told.splitlines()):
            for file in json.loads(document)['files']:
                name = os.path.relpath((build / file['file']).resolve(), TOP)
                if not name.startswith('src/'):
                    continue
                for line in file['lines']:
                    lines[name][line['line_number']] += line['count']
                    for index, branch in enumerate(line['branches']):
                        branches[name][line['line_number'], index] += branch['count']
    return lines, branches


def share(counts):
    """How many of them ran, of how many, in percent."""
    ran, all_of_them = sum(count > 0 for count in counts), len(counts)
    return ran, all_of_them, 100.0 * ran / all_of_them if all_of_them else 100.0


def row(name, lines, branches):
    (a, b, c), (d, e, f) = share(lines), share(branches)
    return f'{name:34} lines {a:5} of {b:5}, {c:5.1f} %   branches {d:5} of {e:5}, {f:5.1f} %'


def print_folders(lines, branches):
    folders = sorted({name.split('/')[1] for name in lines})
    for folder in [*folders, '']:
        names = [name for name in lines if name.startswith(f'src/{folder}')]
        print(row(f'src/{folder}', [count for name in names for count in lines[name].values()],
                  [count for name in names for count in branches[name].values()]))


def print_file(name, lines, branches):
    text = (TOP / name).read_text().splitlines()
    open_lines = {number for (number, _), count in branches.items() if not count}
    for number, count in sorted(lines.items()):
        if not count or number in open_lines:
            print(f'{name}:{number}:{" " if not count else "?"} {text[number - 1]}')


def main():
    build = pathlib.Path(sys.argv[1]).resolve()
    lines, branches = counters(build)
    print_folders(lines, branches)
    print(f'files with under {ENOUGH:.0f} % of their lines:')
    for name in sorted(lines):
        if share(lines[name].values())[2] < ENOUGH:
            print(row(name, lines[name].values(), branches[name].values()))
    for name in sys.argv[2:]:
        print_file(name, lines[name], branches[name])
    return 0 if lines else 1


sys.exit(main())
