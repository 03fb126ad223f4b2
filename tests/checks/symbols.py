#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Usage: symbols.py LIBRARY.so HEADER...

The shared library exports exactly the functions that the headers mark LL_PUBLIC.
"""
import re
import subprocess
import sys


def promised(paths):
    names = set()
    for path in paths:
        with open(path, encoding='ascii') as file:
            text = re.sub(r'/\*.*?\*/', ' ', file.read(), flags=re.S)
        text = re.sub(r'^\s*#.*$', '', text, flags=re.M)
        names.update(re.findall(r'\bLL_PUBLIC\b[^;({]*?(\w+)\s*\(', text))
    return names


def exported(library):
    lines = subprocess.run(['nm', '-D', '--defined-only', library], check=True, capture_output=True,
                           text=True).stdout.splitlines()
    names = {line.split()[-1].split('@')[0] for line in lines}
    return {name for name in names if not name.startswith('_')}  # the tool chain's own


def main():
    library, *headers = sys.argv[1:]
    want, have = promised(headers), exported(library)
    for name in sorted(want - have):
        print(f'{name}: promised, not exported')
    for name in sorted(have - want):
        print(f'{name}: exported, not promised')
    print(f'{len(want)} promised, {len(have)} exported')
    return 0 if want and want == have else 1


sys.exit(main())
