# SPDX-License-Identifier: GPL-3.0-or-later
"""How commands are measured: seconds in interleaved rounds, peak memory, instructions; and Markdown tables of it.

A command is a list of words. Its output goes to /dev/null, where writing costs nothing."""
import os
import re
import statistics
import subprocess
import tempfile
import time


def run(command):
    """Seconds of wall clock. A command that fails ends everything: its time would say nothing."""
    start = time.perf_counter()
    done = subprocess.run(command, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE)
    took = time.perf_counter() - start
    if done.returncode != 0:
        raise SystemExit(f'{" ".join(command)}: exit {done.returncode}: {done.stderr.decode()[:300]}')
    return took


def rounds(commands, count):
    """{name: seconds of each round}. Each round runs all commands once, so that drift of the machine hits all alike;
    a round before them, which is not counted, fills the caches."""
    took = {name: [] for name in commands}
    for number in range(count + 1):
        for name, command in commands.items():
            seconds = run(command)
            if number:
                took[name].append(seconds)
    return took


def spread(values, form='{:.3f}'):
    """Median, with the least and the greatest behind it."""
    shown = [form.format(value) for value in (statistics.median(values), min(values), max(values))]
    return f'{shown[0]} ({shown[1]}–{shown[2]})'


def ratios(values, others):
    """Round by round."""
    return [value / other for value, other in zip(values, others)]


def peak_mib(command):
    """Greatest resident memory. A small program starts the command: what starts it counts, and Python is large."""
    with tempfile.NamedTemporaryFile('r') as told:
        run(['time', '--format=%M', f'--output={told.name}', *command])
        return int(told.read()) / 1024


def instructions(command):
    """Millions of instructions of each thread that did any, by callgrind: the main thread first."""
    with tempfile.TemporaryDirectory() as folder:
        run(['valgrind', '--tool=callgrind', '--separate-threads=yes',
             f'--callgrind-out-file={folder}/out', *command])
        totals = {}
        for name in sorted(os.listdir(folder)):
            with open(os.path.join(folder, name), encoding='utf-8', errors='replace') as file:
                total = re.search(r'^(?:totals|summary): (\d+)', file.read(), re.MULTILINE)
            if total and int(total[1]):
                totals[name] = int(total[1]) / 1e6
    return list(totals.values())


def table(heads, rows):
    """The first column is of words, the others of numbers."""
    print('| ' + ' | '.join(heads) + ' |')
    print('|---' + '|---:' * (len(heads) - 1) + '|')
    for row in rows:
        print('| ' + ' | '.join(row) + ' |', flush=True)
    print()
