#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Usage: mutate.py [--sample N] [--seed S] [--again FILE] [--logs N] [--build FOLDER] [PART...]

Changes one operator or constant of src/model, src/replay and src/finding at a time and asks whether a test notices.
Works on a copy of the tree in the build folder (build-mutants at the top unless named), one change after the other, by
hand: it takes hours without --sample. N counts what compiles and differs. Writes what survived to `survivors.txt`
there; --again takes such a list and tries its changes once more. PART restricts the run to files whose path holds it.
A change that no unit test notices is put to the second replay, with all its logs or the N smallest: 0 leaves it out,
all take a minute a change. Exit status 0: no survivor; 1: some.

A change whose object file at -O2 is the same changes nothing and does not count, nor does one that does not compile. A
test that fails, crashes or takes more than its time notices. Asserts are not changed: nothing may reach them.
"""
import argparse
import collections
import json
import os
import pathlib
import random
import re
import resource
import shlex
import subprocess
import sys
import time

TOP = pathlib.Path(__file__).resolve().parent.parent
FOLDERS = ('model', 'replay', 'finding')
TOKEN = re.compile(r"""
    (?P<skip>/\*.*?\*/|//[^\n]*|^[ \t]*\#(?:\\\n|[^\n])*|"(?:\\.|[^"\\])*"|'(?:\\.|[^'\\])*'|\s+)
  | (?P<number>0[xX][0-9a-fA-F]+[uUlL]*|(?:\d+\.\d*|\.\d+|\d+)(?:[eE][-+]?\d+)?[uUlLfF]*)
  | (?P<word>[A-Za-z_]\w*)
  | (?P<sign>->|\+\+|--|<<|>>|<=|>=|==|!=|&&|\|\||[-+*/%&|^]=|.)
""", re.S | re.M | re.X)
SWAPS = {'+': '-', '-': '+', '*': '/', '/': '*', '<': '<=', '<=': '<', '>': '>=', '>=': '>', '==': '!=', '!=': '==',
         '&&': '||', '||': '&&', '+=': '-=', '-=': '+=', '*=': '/=', '/=': '*=', '!': '', 'true': 'false',
         'false': 'true'}
# Tests that take long and look at other things: memory that runs out, the clocks of a review, whole audits and reviews.
SLOW = ('debrief_memory', 'audit_memory', 'review_memory', 'clock', 'second-audit', 'second-review')
SECOND = 'second-replay'

Change = collections.namedtuple('Change', 'file line column before after offset')


def changed_number(text):
    """The constant times 1.01, or one more where it is whole or zero."""
    body = text.rstrip('uUlL') if text[:2] in ('0x', '0X') else text.rstrip('uUlLfF')
    if re.fullmatch(r'0[xX][0-9a-fA-F]+|\d+', body):
        return str(int(body, 0) + 1) + text[len(body):]
    value = float(body)
    return repr(value * 1.01 if value else 1.0)


def is_pointer(text, match):
    """Whether this star points; one that multiplies has a space on either side here."""
    return not (text[match.start() - 1].isspace() and text[match.end()].isspace())


def changes_of(file):
    """Every change of one file."""
    text = (TOP / file).read_text()
    asserted = None
    depth = 0
    for match in TOKEN.finditer(text):
        token = match.group()
        if match.lastgroup == 'skip':
            continue
        depth += (token == '(') - (token == ')')
        if token in ('assert', 'static_assert', '_Static_assert') and asserted is None:
            asserted = depth
        elif asserted is not None and token == ')' and depth == asserted:
            asserted = None
        after = None
        if asserted is None:
            if match.lastgroup == 'number':
                after = changed_number(token)
            elif token in SWAPS and not (token == '*' and is_pointer(text, match)):
                after = SWAPS[token]
        if after is not None:
            start = match.start()
            line = text.count('\n', 0, start) + 1
            yield Change(file, line, start - (text.rfind('\n', 0, start) + 1) + 1, token, after, start)


def spread(changes, seed):
    """The changes in an order by chance, but for one of each file first."""
    changes = list(changes)
    random.Random(seed).shuffle(changes)
    seen = set()
    first = [change for change in changes if not (change.file in seen or seen.add(change.file))]
    taken = set(first)
    return first + [change for change in changes if change not in taken]


def say(change):
    line = (TOP / change.file).read_text().splitlines()[change.line - 1].strip()
    return f'{change.file}:{change.line}:{change.column}: `{change.before}` -> `{change.after}` | {line}'


class Workshop:
    """The copy of the tree, its build folder, and the tests by library."""

    def __init__(self, folder, logs):
        self.logs = logs
        self.tree = folder / 'tree'
        self.build = folder / 'build'
        self.copy()
        if not (self.build / 'build.ninja').exists():
            subprocess.run(['meson', 'setup', str(self.build), '-Dbuildtype=plain', '-Doptimization=0',
                            '-Ddebug=false'], cwd=self.tree, check=True, stdout=subprocess.DEVNULL)
        subprocess.run(['ninja', '-C', str(self.build)], check=True, stdout=subprocess.DEVNULL)
        self.plain = {}
        self.commands = self.compile_commands()
        self.tests = self.stages()

    def copy(self):
        names = subprocess.run(['git', '-C', str(TOP), 'ls-files', '-z', '--cached', '--others', '--exclude-standard'],
                               capture_output=True, check=True).stdout.decode().split('\0')
        for name in filter(None, names):
            source, target = TOP / name, self.tree / name
            if not source.is_file():
                continue
            content = source.read_bytes()
            if not target.exists() or target.read_bytes() != content:
                target.parent.mkdir(parents=True, exist_ok=True)
                target.write_bytes(content)
                target.chmod(source.stat().st_mode)

    def compile_commands(self):
        """File of the tree: how it is compiled, and what comes out."""
        commands = {}
        for entry in json.loads((self.build / 'compile_commands.json').read_text()):
            path = os.path.relpath((self.build / entry['file']).resolve(), self.tree.resolve())
            commands.setdefault(path, (shlex.split(entry['command']), entry['output']))
        return commands

    def wanted_tests(self):
        """The tests of the two kinds that are asked; the second replay log by log, from the smallest."""
        told = subprocess.run(['meson', 'introspect', '--tests', str(self.build)], capture_output=True, check=True)
        for test in json.loads(told.stdout):
            if not set(test['suite']) & {'leadline:unit', 'leadline:reference'} or test['name'] in SLOW:
                continue
            if test['name'] != SECOND:
                yield test
            else:
                logs = sorted(test['cmd'][3:], key=lambda name: pathlib.Path(name).stat().st_size)
                for log in logs[:self.logs]:
                    yield {**test, 'cmd': [*test['cmd'][:3], log]}

    def stages(self):
        """For each library the tests that link it, in three stages: what lies under assess, the rest, the tool."""
        tests = {folder: ([], [], []) for folder in FOLDERS}
        for test in self.wanted_tests():
            paths = [os.path.relpath(self.build / part, self.build) for part in test['cmd']]
            test['targets'] = [path for path in paths if path.startswith(('src/', 'tests/'))]
            if not test['targets']:
                continue
            began = time.monotonic()
            if not self.passes(test):
                sys.exit(f"{test['name']} fails without any change")
            test['took'] = time.monotonic() - began
            inputs = subprocess.run(['ninja', '-C', str(self.build), '-t', 'inputs', *test['targets']],
                                    capture_output=True, check=True, text=True).stdout
            stage = 2 if 'libleadline.so' in inputs else 1 if 'libassess.a' in inputs else 0
            for folder in FOLDERS:
                if f'src/lib{folder}.a' in inputs:
                    tests[folder][stage].append(test)
        for stages in tests.values():
            for stage in stages:
                stage.sort(key=lambda test: test['took'])
        return tests

    def passes(self, test):
        def limit():
            resource.setrlimit(resource.RLIMIT_AS, (4 << 30, 4 << 30))
            resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
        try:
            return subprocess.run(test['cmd'], env={**os.environ, **test['env']}, cwd=self.build, preexec_fn=limit,
                                  stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
                                  timeout=10 + 5 * test.get('took', 60)).returncode == 0
        except subprocess.TimeoutExpired:
            return False

    def object_file(self, file, name):
        """The file at -O2, or None where it does not compile."""
        command, output = self.commands[file]
        command = [name if part == output else part for part in command] + ['-O2', '-w']
        done = subprocess.run(command, cwd=self.build, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        return (self.build / name).read_bytes() if done.returncode == 0 else None

    def verdict(self, change):
        """`equal`, `broken`, `survived`, or the name of the test that noticed."""
        path = self.tree / change.file
        whole = path.read_text()
        if change.file not in self.plain:
            self.plain[change.file] = self.object_file(change.file, 'changed.o')
        path.write_text(whole[:change.offset] + change.after + whole[change.offset + len(change.before):])
        try:
            other = self.object_file(change.file, 'changed.o')
            if other is None:
                return 'broken'
            return 'equal' if other == self.plain[change.file] else self.noticed(change.file.split('/')[1])
        finally:
            path.write_text(whole)

    def noticed(self, folder):
        for stage in self.tests[folder]:
            targets = sorted({target for test in stage for target in test['targets']})
            if subprocess.run(['ninja', '-C', str(self.build), *targets], stdout=subprocess.DEVNULL).returncode != 0:
                return 'broken'
            for test in stage:
                if not self.passes(test):
                    return test['name']
        return 'survived'


def chosen(arguments):
    paths = [path for folder in FOLDERS for path in sorted((TOP / 'src' / folder).glob('*.c'))]
    files = [path.relative_to(TOP).as_posix() for path in paths]
    files = [file for file in files if not arguments.part or any(part in file for part in arguments.part)]
    changes = [change for file in files for change in changes_of(file)]
    if arguments.again:
        wanted = {line.split(' | ')[0] for line in pathlib.Path(arguments.again).read_text().splitlines()}
        return [change for change in changes if say(change).split(' | ')[0] in wanted]
    return spread(changes, arguments.seed)


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument('--sample', type=int)
    parser.add_argument('--seed', type=int, default=1)
    parser.add_argument('--again')
    parser.add_argument('--logs', type=int)
    parser.add_argument('--build', default=str(TOP / 'build-mutants'))
    parser.add_argument('part', nargs='*')
    arguments = parser.parse_args()
    os.nice(10)
    folder = pathlib.Path(arguments.build).resolve()
    changes = chosen(arguments)
    workshop = Workshop(folder, arguments.logs)
    counts = collections.Counter()
    survivors = []
    for change in changes:
        if arguments.sample and counts['noticed'] + counts['survived'] == arguments.sample:
            break
        began = time.monotonic()
        verdict = workshop.verdict(change)
        counts[verdict if verdict in ('equal', 'broken', 'survived') else 'noticed'] += 1
        print(f'{verdict} ({time.monotonic() - began:.1f} s) {say(change)}', flush=True)
        if verdict == 'survived':
            survivors.append(say(change))
            (folder / 'survivors.txt').write_text('\n'.join(survivors) + '\n')
    (folder / 'survivors.txt').write_text(''.join(line + '\n' for line in survivors))
    tried = counts['noticed'] + counts['survived']
    print(f"{tried} changes, {counts['noticed']} noticed, {counts['survived']} survived; "
          f"{counts['equal']} change nothing, {counts['broken']} do not compile")
    return 1 if survivors or not counts['noticed'] else 0


sys.exit(main())
