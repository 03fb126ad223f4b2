#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# Reading and replaying a large history against the bare XML pass over the same bytes. By hand; no thresholds.
# usage: sh tests/bench/bench.sh BUILD_DIR [DIVES] [INTERVAL_S] [rich|lean]
set -eu
here=$(cd "$(dirname "$0")" && pwd)
build=$1
dives=${2:-250}
interval=${3:-2}
kind=${4:-rich}
history=$(mktemp /tmp/leadline-bench-XXXXXX)
trap 'rm -f "$history"' EXIT
python3 "$here/make_history.py" "$dives" "$interval" "$kind" > "$history"
echo "$dives dives at $interval s, $kind: $(wc -c < "$history") bytes"

seconds() {
    # best of three runs, seconds of wall clock
    for _ in 1 2 3; do
        start=$(date +%s.%N)
        "$@" > /dev/null
        end=$(date +%s.%N)
        echo "$start $end" | awk '{printf "%.3f\n", $2 - $1}'
    done | sort -n | head -n 1
}

bare=$(seconds xmllint --sax --noout "$history")
echo "bare pass, xmllint --sax --noout             $bare s"
for command in "list --format json" "debrief --dive all --format json" \
    "replay --columns time_s,depth_m,ceiling_m,gradient_percent,cns_percent"; do
    # word splitting of the command is meant
    # shellcheck disable=SC2086
    took=$(seconds "$build/src/leadline" $command "$history")
    echo "$command" "$took" "$bare" | awk '{took = $(NF-1); bare = $NF; NF -= 2; printf "%-60s %s s, %.2f times the bare pass\n", $0, took, took / bare}'
done
"$build/tests/bench_replay" "$history"
