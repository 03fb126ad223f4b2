#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# Usage: [CC=gcc|clang] [LEADLINE_BUILD=FOLDER] sh tests/tsan.sh
# Builds with ThreadSanitizer and runs what has threads: the tests of the crew, of reading ahead, of large logs and of
# same answers, and every command on the sample logs with 2 and 5 jobs. Closes with a line `N passed, M failed`; reports
# are told, and whole in threads.log of the build folder. Nothing is suppressed.
set -eu
top=$(cd "$(dirname "$0")/.." && pwd)
cd "$top"
CC=${CC:-gcc}
export CC
sh tests/support/install.sh gcc g++ meson ninja-build pkg-config libxml2-dev libxml2-utils zlib1g-dev nettle-dev \
    libgsl-dev libcmocka-dev libjansson-dev locales binutils python3
case $CC in
*clang*) sh tests/support/install.sh clang "libclang-rt-$("$CC" -dumpversion | cut -d. -f1)-dev" ;;
esac

build=${LEADLINE_BUILD:-$top}/build-$(basename "$CC")-threads
mkdir -p "$build"
build=$(cd "$build" && pwd)
log=$build/threads.log
tool=$build/src/leadline
passed=0
failed=0
: >"$log"
# Every report ends a run with this code, which the tool has no use for.
export TSAN_OPTIONS="exitcode=66 second_deadlock_stack=1"

# take NAME COMMAND...: passed if nothing was reported and the exit code is no more than $most.
take() {
    name=$1
    shift
    code=0
    "$@" >"$build/out" 2>"$build/err" </dev/null || code=$?
    if [ $code -le "$most" ] && ! grep -aq 'ThreadSanitizer' "$build/out" "$build/err"; then
        passed=$((passed + 1))
        return
    fi
    failed=$((failed + 1))
    echo "$name: exit code $code"
    grep -ah '^SUMMARY: ThreadSanitizer' "$build/out" "$build/err" | sort | uniq -c || true
    { echo "=== $name: exit code $code" && cat "$build/out" "$build/err"; } >>"$log"
}

# Locks of <threads.h> that the sanitizer does not know stand in threads_seen.c, or their reports would mean nothing.
locks_are_seen() {
    missing=
    for lock in $(grep -rhoE '\b(mtx|cnd|tss|thrd)_[a-z]+ *\(|\bcall_once *\(' src | tr -d ' (' | sort -u); do
        grep -qE "\\b$lock\\(" tests/support/threads_seen.c || missing="$missing $lock"
    done
    [ -z "$missing" ] || { echo "not in threads_seen.c:$missing" && return 1; }
}

# One static program, so that it is these locks that all of it takes.
"$CC" -std=c17 -O1 -g -Wall -Wextra -Werror -c tests/support/threads_seen.c -o "$build/threads_seen.o"
again=
[ -f "$build/build.ninja" ] && again=--reconfigure
meson setup $again "$build" -Dwerror=true -Dbuildtype=debugoptimized -Db_sanitize=thread -Db_lundef=false \
    -Ddefault_library=static "-Dc_link_args=$build/threads_seen.o" >/dev/null
ninja -C "$build" src/leadline tests/test_crew tests/test_ahead

most=0
take "locks of <threads.h>" locks_are_seen
take "crew" "$build/tests/test_crew"
take "ahead" "$build/tests/test_ahead"
take "large logs" python3 tests/cli/run_large.py "$tool"
take "same answers" python3 tests/cli/run_same.py "$tool"

most=3
cd sample-logs
set -- *.uddf class/*.uddf odd/*.uddf
audit="audit --standard standard-first-helium.xml --as-of 2026-11-25"
review="review --plan class/slate-45.txt --standard standard-sixty-metres.xml"
"$tool" debrief --dive all --format html -o "$build/page.html" ok-*.uddf
for jobs in 2 5; do
    # What is asked is meant to be split into words.
    # shellcheck disable=SC2086
    for asked in "list" "list --format json" "list --each" "debrief --dive all" "debrief --dive all --format html" \
        "debrief --dive all --model vval-18 --format json" "debrief --each" "debrief --each --dive all --format json" \
        "replay" "replay --tissues --format json" "$audit" "$audit --format html" "$audit --each --format json"; do
        take "$asked, $jobs jobs" "$tool" $asked --jobs $jobs "$@"
    done
    for format in text json csv html; do
        # shellcheck disable=SC2086
        take "review as $format, $jobs jobs" "$tool" $review --format $format --jobs $jobs class/*.uddf
    done
    take "verify, $jobs jobs" "$tool" verify --jobs $jobs "$build/page.html" ok-*.uddf
done

echo "$passed passed, $failed failed"
[ $failed -eq 0 ]
