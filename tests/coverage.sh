#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# Usage: [LEADLINE_BUILD=FOLDER] sh tests/coverage.sh [FILE...]
# Builds with gcc and counters, runs every suite that needs no browser, and states how much of src/ ran: lines and
# branches by folder, and each file with under 95 % of its lines. Of each FILE (src/...) it prints the lines that never
# ran.
set -eu
top=$(cd "$(dirname "$0")/.." && pwd)
cd "$top"
sh tests/support/install.sh gcc g++ meson ninja-build pkg-config libxml2-dev libxml2-utils zlib1g-dev nettle-dev \
    libgsl-dev libcmocka-dev libjansson-dev binutils python3 python3-jsonschema
build=${LEADLINE_BUILD:-$top}/build-coverage
again=
[ -f "$build/build.ninja" ] && again=--reconfigure
CC=gcc meson setup $again "$build" -Dbuildtype=debug -Db_coverage=true >/dev/null
ninja -C "$build" >/dev/null
find "$build" -name '*.gcda' -exec rm -f {} +

# The counters export names of their own, so the test of the exported names has no place here.
suites="--suite unit --suite checks --suite cli --suite reference --suite fuzz"
# Suites and names are meant to be split into words.
# shellcheck disable=SC2086
tests=$(meson test -C "$build" --no-rebuild --list $suites |
    sed -n 's|^leadline:[a-z+]* / ||p' | grep -v '^symbols$')
# shellcheck disable=SC2086
meson test -C "$build" --no-rebuild $tests >"$build/coverage.log" 2>&1 ||
    grep -E 'FAIL|TIMEOUT|ERROR' "$build/coverage.log" || true
python3 tests/support/coverage.py "$build" "$@"
