#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Usage: links.py LAYER ARCHIVE OTHER=ARCHIVE...

Nothing that LAYER's archive asks for by name is defined in one of the OTHER layers, which it must not know.
"""
import subprocess
import sys


def names(archive, option):
    lines = subprocess.run(['nm', option, '--extern-only', archive], check=True, capture_output=True,
                           text=True).stdout.splitlines()
    return {line.split()[-1] for line in lines if line and not line.endswith(':')}


def main():
    layer, archive, *others = sys.argv[1:]
    asked = names(archive, '--undefined-only') - names(archive, '--defined-only')
    breaches = 0
    for other in others:
        name, other_archive = other.split('=', 1)
        for symbol in sorted(asked & names(other_archive, '--defined-only')):
            print(f'{layer} uses {symbol} of {name}')
            breaches += 1
    print(f'{layer}: {len(asked)} names asked for, {breaches} from layers it must not know')
    return 1 if breaches else 0


sys.exit(main())
