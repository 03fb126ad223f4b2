#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Writes the invented sample logs: make_samples.py OUTDIR. The same bytes every time; a developer's tool.

The stories are told in sample-logs/README.md; what each promises is asserted while it is made."""
import pathlib
import sys

sys.dont_write_bytecode = True

from samples import beyond, changes, course, doubtful, refused, stories  # noqa: E402


def make(outdir):
    for table in (stories.STORIES, changes.STORIES, beyond.STORIES, course.STORIES, doubtful.STORIES, refused.STORIES):
        for name, story in table.items():
            (outdir / f"{name}.uddf").write_bytes(story())


def main(arguments):
    if len(arguments) != 1:
        print("usage: make_samples.py OUTDIR", file=sys.stderr)
        return 2
    outdir = pathlib.Path(arguments[0])
    outdir.mkdir(parents=True, exist_ok=True)
    make(outdir)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
