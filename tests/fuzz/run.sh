#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# Usage: [LEADLINE_BUILD=FOLDER] sh tests/fuzz/run.sh [SECONDS] [TARGET...]
# Fuzzes each target for so many seconds (60), two at a time, with AddressSanitizer and UBSan, from the corpora and the sample
# logs. What is found new lies in the build folder, crashes in its folder `crashes`. Closes with `N passed, N failed`.
set -eu
top=$(cd "$(dirname "$0")/../.." && pwd)
cd "$top"
seconds=${1:-60}
[ $# -gt 0 ] && shift
targets=${*:-log standard plan number whole}

sh tests/support/install.sh clang meson ninja-build pkg-config libxml2-dev zlib1g-dev nettle-dev libgsl-dev libcmocka-dev \
    libjansson-dev python3
sh tests/support/install.sh "libclang-rt-$(clang -dumpversion | cut -d. -f1)-dev"
build=${LEADLINE_BUILD:-$top}/build-fuzz
again=
[ -f "$build/build.ninja" ] && again=--reconfigure
# shellcheck disable=SC2086
CC=clang CFLAGS="-fsanitize=fuzzer-no-link -O1 -g" meson setup $again "$build" -Dbuildtype=plain -Db_lundef=false \
    -Db_sanitize=address,undefined >/dev/null
# shellcheck disable=SC2046
ninja -C "$build" $(for target in $targets; do echo "tests/fuzz/fuzz_$target"; done) >/dev/null

export ASAN_OPTIONS=detect_leaks=1:allocator_may_return_null=1 UBSAN_OPTIONS=halt_on_error=1:print_stacktrace=1
mkdir -p "$build/crashes"

one() {
    target=$1
    found=$build/corpus-$target
    mkdir -p "$found"
    more=
    case $target in
    log) more="sample-logs/odd tests/reference/logs" ;;
    esac
    # shellcheck disable=SC2086
    "$build/tests/fuzz/fuzz_$target" -max_total_time="$seconds" -timeout=20 -rss_limit_mb=2048 -max_len=32768 \
        -print_final_stats=1 -artifact_prefix="$build/crashes/$target-" "$found" "tests/fuzz/corpus/$target" $more \
        >"$build/$target.log" 2>&1 && echo yes >"$build/$target.ok" || rm -f "$build/$target.ok"
}

# shellcheck disable=SC2086
set -- $targets
while [ $# -gt 0 ]; do
    one "$1" &
    [ $# -gt 1 ] && one "$2" &
    wait
    shift
    [ $# -gt 0 ] && shift
done

passed=0
failed=0
for target in $targets; do
    if [ -f "$build/$target.ok" ]; then
        passed=$((passed + 1))
    else
        failed=$((failed + 1))
        tail -n 40 "$build/$target.log"
    fi
    echo "$target: $(sed -n 's/^stat::number_of_executed_units: *//p' "$build/$target.log") inputs," \
        "coverage $(grep -oE 'cov: [0-9]+' "$build/$target.log" | tail -n 1 | cut -d' ' -f2)"
done
echo "$passed passed, $failed failed"
[ "$failed" -eq 0 ]
