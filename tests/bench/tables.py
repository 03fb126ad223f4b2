#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""All tables of the benchmark: tables.py BUILD_DIR FOLDER [quick]; started by bench.sh. FOLDER takes the histories."""
import collections
import datetime
import os
import platform
import shutil
import subprocess
import sys

from measure import instructions, peak_mib, ratios, rounds, run, spread, table

HERE = os.path.dirname(os.path.abspath(__file__))
STANDARD = os.path.join(HERE, '..', '..', 'sample-logs', 'standard-first-helium.xml')
BARE = 'bare pass: `xmllint --sax --noout`'
PROJECTIONS = ('no_stop_s', 'time_to_surface_s')
GROWTH_INTERVAL_S = 20  # short dives: some 210 samples each

# What is measured how large: dives at 2 s but for growth.
Sizes = collections.namedtuple('Sizes', 'rounds rich lean long growth logs counted digits')
FULL = Sizes(rounds=5, rich=250, lean=1000, long=5000, growth=(10, 100, 1000, 10000), logs=200, counted=25, digits=1000000)
QUICK = Sizes(rounds=2, rich=3, lean=4, long=5, growth=(2, 10), logs=6, counted=1, digits=20000)


def make(folder, name, dives, interval_s, kind, seed=7):
    """A history; its path."""
    path = os.path.join(folder, name + '.uddf')
    with open(path, 'wb') as file:
        subprocess.run([sys.executable, os.path.join(HERE, 'make_history.py'), str(dives), str(interval_s), kind,
                        str(seed)],
                       stdout=file, check=True)
    return path


def asked(*command):
    return subprocess.run(command, stdout=subprocess.PIPE, check=True, text=True).stdout


class Bench:
    def __init__(self, build, folder, sizes):
        self.build, self.folder, self.sizes = build, folder, sizes
        self.tool = os.path.join(build, 'src', 'leadline')

    def debrief(self, log, firm, *more):
        return [self.tool, 'debrief', '--dive', 'all', '--format', 'json', '--firm', firm, *more, log]

    def audit(self, log, *more):
        return [self.tool, 'audit', '--standard', STANDARD, '--as-of', '2026-11-25', '--format', 'json', *more, log]

    def list(self, log, *more):
        return [self.tool, 'list', '--format', 'json', *more, log]

    def replay(self, log, *more):
        return [self.tool, 'replay', *more, log]

    def without_projections(self, log):
        """Every column of a replay but the two that look ahead."""
        head = asked(self.tool, 'replay', '--dive', '1', log).split('\n', 1)[0]
        return '--columns=' + ','.join(key for key in head.split(',') if key not in PROJECTIONS)

    def bare(self, log):
        return ['xmllint', '--sax', '--noout', log]

    def answers(self, log, *more):
        """Our commands on a log."""
        return {'`list`': self.list(log, *more),
                '`audit`': self.audit(log, *more),
                '`debrief --dive all --firm no`': self.debrief(log, 'no', *more),
                '`debrief --dive all`': self.debrief(log, 'yes', *more),
                '`replay`, all but the two projections': self.replay(log, self.without_projections(log), *more),
                '`replay`': self.replay(log, *more)}

    def against(self, log):
        """What our commands are held against, on the same log."""
        track = log + '.csv'
        with open(track, 'wb') as file:
            subprocess.run(self.replay(log, '--columns=dive,time_s,ambient_bar,mix_o2,mix_he'), stdout=file, check=True)
        with open(log, 'rb') as whole, open(log + '.gz', 'wb') as packed:
            subprocess.run(['gzip', '-c'], stdin=whole, stdout=packed, check=True)
        return {BARE: self.bare(log),
                'textbook: samples as CSV, GSL integrator': [os.path.join(self.build, 'tests', 'textbook'), track],
                '`gzip -dc` of the packed log': ['gzip', '-dc', log + '.gz']}

    # --- the tables -------------------------------------------------------------------------------------------------

    def compare(self, commands):
        """A table of commands, of which the bare pass is the first; their seconds."""
        took = rounds(commands, self.sizes.rounds)
        bare = next(iter(took.values()))
        table(['command', 'seconds', 'times the bare pass', 'peak memory, MiB'],
              [[name, spread(took[name]), spread(ratios(took[name], bare), '{:.2f}'), f'{peak_mib(command):.1f}']
               for name, command in commands.items()])
        return took

    def large(self, kind, dives):
        log = make(self.folder, kind, dives, 2, kind)
        print(f'### {kind.capitalize()} waypoints, {dives} dives at 2 s: {os.path.getsize(log) / 1e6:.1f} MB\n')
        took = self.compare({**self.against(log), **self.answers(log)})
        self.digits_of_replay(log, took['`replay`, all but the two projections'])
        return log

    def long_history(self):
        """More dives than anybody has logged."""
        log = make(self.folder, 'long', self.sizes.long, 2, 'rich')
        print(f'### A long history: {self.sizes.long:,} rich dives at 2 s, {os.path.getsize(log) / 1e6:.0f} MB\n')
        commands = {BARE: self.bare(log), '`list`': self.list(log),
                    '`audit`': self.audit(log), '`audit`, one job': self.audit(log, '--jobs', '1')}
        self.compare(commands)
        os.remove(log)

    def digits_of_replay(self, log, took):
        written = asked(*self.replay(log, self.without_projections(log)))
        digits = sum(map(str.isdigit, written))
        print(f'`replay` without the projections writes {digits / 1e6:.1f} million digits, '
              f'{spread([digits / 1e6 / seconds for seconds in took], "{:.0f}")} million a second.\n')

    def samples_of(self, log):
        return asked(self.tool, 'replay', '--columns', 'dive', log).count('\n') - 1

    def growth(self):
        """The time of a program that does nothing is taken off: a short history is not much longer."""
        logs = {dives: make(self.folder, f'growth-{dives}', dives, GROWTH_INTERVAL_S, 'lean')
                for dives in self.sizes.growth}
        commands = {'nothing': [self.tool, '--version']}
        for dives, log in logs.items():
            commands[dives, 'no'], commands[dives, 'yes'] = self.debrief(log, 'no'), self.debrief(log, 'yes')
            commands[dives, 'audit'] = self.audit(log)
        took = rounds(commands, self.sizes.rounds)
        print(f'### Growth: lean waypoints every {GROWTH_INTERVAL_S} s, microseconds a sample\n')
        rows = []
        for dives, log in logs.items():
            samples = self.samples_of(log)
            cells = [spread([1e6 * (seconds - nothing) / samples for seconds, nothing in
                             zip(took[dives, what], took['nothing'])]) for what in ('no', 'yes', 'audit')]
            rows.append([f'{dives:,}', f'{samples:,}', *cells, f'{peak_mib(self.debrief(log, "yes")):.1f}'])
        table(['dives', 'samples', 'debrief `--firm no`', 'debrief', 'audit', 'peak memory of debrief, MiB'], rows)

    def jobs(self, history):
        """One job against two."""
        logs = [make(self.folder, f'log-{number}', 1, 2, 'rich', number) for number in range(self.sizes.logs)]
        each = {'`debrief --each`': lambda jobs: self.debrief(logs[0], 'yes', '--each', '--jobs', jobs, *logs[1:]),
                '`list --each`': lambda jobs: self.list(logs[0], '--each', '--jobs', jobs, *logs[1:])}
        one = {'`debrief --firm no`': lambda jobs: self.debrief(history, 'no', '--jobs', jobs),
               '`debrief`': lambda jobs: self.debrief(history, 'yes', '--jobs', jobs),
               '`audit`': lambda jobs: self.audit(history, '--jobs', jobs),
               '`replay`': lambda jobs: self.replay(history, '--jobs', jobs)}
        asks = {f'{name}, {len(logs)} logs': ask for name, ask in each.items()}
        asks.update({f'{name}, one long history': ask for name, ask in one.items()})
        took = rounds({(name, jobs): ask(jobs) for name, ask in asks.items() for jobs in '12'}, self.sizes.rounds)
        print('### One job and two\n')
        table(['command', 'one, seconds', 'two, seconds', 'one by two'],
              [[name, spread(took[name, '1']), spread(took[name, '2']),
                spread(ratios(took[name, '1'], took[name, '2']), '{:.2f}')] for name in asks])

    def counted(self):
        """Instructions do not depend on what else the machine does."""
        log = make(self.folder, 'counted', self.sizes.counted, 2, 'rich')
        samples = self.samples_of(log)
        print(f'### Instructions: rich waypoints, {self.sizes.counted} dives at 2 s, '
              f'{os.path.getsize(log) / 1e6:.1f} MB, one job\n')
        if not shutil.which('valgrind'):
            print('Not counted: valgrind is not installed.\n')
            return
        bare = sum(instructions(self.bare(log)))
        rows = [['bare pass', f'{bare:.0f}', '–', '1.00', f'{1e6 * bare / samples:.0f}']]
        for name, command in self.answers(log, '--jobs', '1').items():
            first, *others = instructions(command)
            rows.append([name, f'{first:.0f}', f'{sum(others):.0f}', f'{first / bare:.2f}',
                         f'{1e6 * first / samples:.0f}'])
        table(['command', 'million, main thread', 'million, reading and SHA-256', 'main thread, times the bare pass',
               'main thread, a sample'], rows)

    def counted_growth(self):
        if not shutil.which('valgrind'):
            return
        print(f'### Instructions a sample as a history grows: lean waypoints every {GROWTH_INTERVAL_S} s, one job\n')
        rows = []
        nothing = sum(instructions([self.tool, '--version']))
        for dives in self.sizes.growth[:3]:
            log = make(self.folder, f'growth-{dives}', dives, GROWTH_INTERVAL_S, 'lean')
            samples = self.samples_of(log)
            rows.append([f'{dives:,}', f'{samples:,}'] + [
                f'{1e6 * (sum(instructions(command)) - nothing) / samples:.0f}' for command in
                (self.debrief(log, 'no', '--jobs', '1'), self.debrief(log, 'yes', '--jobs', '1'),
                 self.audit(log, '--jobs', '1'))])
        table(['dives', 'samples', 'debrief `--firm no`', 'debrief', 'audit'], rows)

    def digits(self):
        print('### Number printing\n')
        print(asked(os.path.join(self.build, 'tests', 'bench_digits'), str(self.sizes.digits)), flush=True)


def machine():
    with open('/proc/cpuinfo', encoding='ascii', errors='replace') as file:
        name = next((line.split(':', 1)[1].strip() for line in file if line.startswith('model name')),
                    platform.machine())
    today = datetime.date.today().isoformat()
    print(f'{name}, {os.cpu_count()} processors, load {os.getloadavg()[0]:.2f} at the start, {today}. Seconds are of '
          'wall clock, output to /dev/null;\nmedian (least–greatest) of interleaved rounds.\n', flush=True)


def main():
    build, folder, quick = sys.argv[1], sys.argv[2], len(sys.argv) > 3
    bench = Bench(build, folder, QUICK if quick else FULL)
    run([bench.tool, '--version'])
    machine()
    rich = bench.large('rich', bench.sizes.rich)
    bench.jobs(rich)
    bench.large('lean', bench.sizes.lean)
    bench.long_history()
    bench.growth()
    bench.digits()
    bench.counted()
    bench.counted_growth()


main()
