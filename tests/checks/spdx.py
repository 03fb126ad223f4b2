#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Usage: spdx.py TOP

Every file of the tree names its license in one of its first lines, except the license itself and data in which no
comment may stand. An empty file has nothing to license.
"""
import pathlib
import subprocess
import sys

LINE = 'SPDX-License-' + 'Identifier: GPL-3.0-or-later'
WITHOUT_COMMENTS = {'.csv', '.gz', '.png'}
WITHOUT_ANY = {'LICENSE'}
# Folders whose files are compared byte for byte with what the tool prints, or fed to it as they are.
DATA_FOLDERS = ('tests/fuzz/corpus/', 'tests/unit/golden/', 'tests/cli/golden/')


def tracked(top):
    listed = subprocess.run(['git', '-C', top, 'ls-files', '--cached', '--others', '--exclude-standard', '-z'],
                            capture_output=True)
    if listed.returncode == 0:
        names = [name for name in listed.stdout.decode().split('\0') if name]
        return [name for name in names if (pathlib.Path(top) / name).is_file()]
    files = (path for path in pathlib.Path(top).rglob('*') if path.is_file())
    names = (path.relative_to(top).as_posix() for path in files)
    return [name for name in names if not name.startswith(('build', '.git/'))]


def is_data(name):
    return (name in WITHOUT_ANY or pathlib.PurePath(name).suffix in WITHOUT_COMMENTS or
            name.startswith(DATA_FOLDERS))


def names_license(path):
    with open(path, 'rb') as file:
        return LINE.encode() in file.read(1000).replace(b'\0', b'')  # in UTF-16 too


def main():
    top = sys.argv[1]
    names = [name for name in tracked(top) if not is_data(name) and (pathlib.Path(top) / name).stat().st_size]
    bare = sorted(name for name in names if not names_license(pathlib.Path(top) / name))
    for name in bare:
        print(f'{name}: no SPDX line')
    print(f'{len(names)} files, {len(bare)} without')
    return 1 if bare or not names else 0


sys.exit(main())
