#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# An archive under an engine that is not ours: invented logs, GNU parallel, and questions in SQLite. docs/scale.md.
# usage: sh tests/bench/archive.sh BUILD_DIR [LOGS] [JOBS]
# The engine fills in and runs what stands in single quotes.
# shellcheck disable=SC2016
set -eu
if [ $# -lt 1 ] || [ $# -gt 3 ]; then
    echo "usage: sh tests/bench/archive.sh BUILD_DIR [LOGS] [JOBS]" >&2
    exit 2
fi
here=$(cd "$(dirname "$0")" && pwd)
leadline=$(cd "$1" && pwd)/src/leadline
logs=${2:-200}
jobs=${3:-2}
standard=$here/../../sample-logs/standard-first-helium.xml
sh "$here/../support/install.sh" python3 parallel sqlite3
folder=$(mktemp -d "${TMPDIR:-/tmp}/leadline-archive-XXXXXX")
trap 'rm -rf "$folder"' EXIT
trap 'exit 1' HUP INT TERM
export leadline standard
cd "$folder"
mkdir logs out

# Each log is the history of a diver of three dives; one more breaks off in its first dive.
seq -w "$logs" | parallel -j"$jobs" "python3 '$here/make_history.py' 3 10 rich {} > logs/diver-{}.uddf"
head -c 50000 "logs/diver-$(seq -w "$logs" | head -n 1).uddf" > logs/diver-broken.uddf
all() {
    printf '%s\n' logs/*.uddf
}
echo "$(all | wc -l) logs, $(du -sm logs | cut -f 1) MB, $jobs jobs"

# A log is a unit of work and a file its result. The engine keeps what became of each; `|| true`: one is broken.
begin=$(date +%s.%N)
all | parallel -j"$jobs" --joblog debrief.tsv \
    '"$leadline" debrief --dive all --format json --jobs 1 -o out/{/.}.json {}' || true
ended=$(date +%s.%N)
echo "$begin $ended $logs" | awk '{printf "debrief: %.2f s, %.0f logs a second\n", $2 - $1, $3 / ($2 - $1)}'
awk -F '\t' 'NR > 1 && $7 != 0 {print "exit " $7 ": " $9}' debrief.tsv

# Short answers need no file each: JSON lines, fifty logs a process; rows for whoever wants a table.
all | parallel -j"$jobs" -N 50 \
    '"$leadline" audit --each --jobs 1 --standard "$standard" --as-of 2026-11-25 --format json {}' > audit.jsonl || true
all | parallel -j"$jobs" '"$leadline" list --format csv --jobs 1 {}' > rows.csv || true
awk 'NR == 1 || !/^dive,start,/' rows.csv > list.csv
wc -l audit.jsonl list.csv

sqlite3 archive.db < "$here/archive.sql"
