#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# What large histories cost, as Markdown tables, against the bare XML pass over the same bytes, a replay by a general
# integrator, and gunzip. By hand; no thresholds. docs/scale.md tells how to read the tables.
# usage: sh tests/bench/bench.sh BUILD_DIR [quick]
#   quick: tiny histories and two rounds, to see that it runs; the figures mean nothing
set -eu
if [ $# -lt 1 ] || [ $# -gt 2 ] || [ "${2:-quick}" != quick ]; then
    echo "usage: sh tests/bench/bench.sh BUILD_DIR [quick]" >&2
    exit 2
fi
here=$(cd "$(dirname "$0")" && pwd)
sh "$here/../support/install.sh" python3 libxml2-utils time gzip
folder=$(mktemp -d "${TMPDIR:-/tmp}/leadline-bench-XXXXXX")
trap 'rm -rf "$folder"' EXIT
trap 'exit 1' HUP INT TERM
PYTHONDONTWRITEBYTECODE=1 python3 "$here/tables.py" "$1" "$folder" ${2:+"$2"}
