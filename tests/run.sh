#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# Usage: [CC=gcc|clang] [LEADLINE_BUILD=FOLDER] sh tests/run.sh [--sanitize]
# Installs what is missing (Debian), builds, runs every suite, and closes with a line `N passed, N failed`.
# Exit status 0: all passed; 1: not all; 2: wrong usage.
# Build folders lie in $LEADLINE_BUILD, else at the top of the tree (git ignores them there).
set -eu

sanitize=no
for argument; do
    case $argument in
    --sanitize) sanitize=yes ;;
    *)
        echo "usage: [CC=gcc|clang] sh tests/run.sh [--sanitize]" >&2
        exit 2
        ;;
    esac
done

top=$(cd "$(dirname "$0")/.." && pwd)
cd "$top"
CC=${CC:-gcc}
export CC

sh tests/support/install.sh gcc g++ meson ninja-build pkg-config libxml2-dev libxml2-utils zlib1g-dev nettle-dev \
    libgsl-dev libcmocka-dev libjansson-dev locales binutils python3 python3-jsonschema
case $CC in
*clang*)
    sh tests/support/install.sh clang
    if [ $sanitize = yes ]; then
        sh tests/support/install.sh "libclang-rt-$("$CC" -dumpversion | cut -d. -f1)-dev"
    fi
    ;;
esac

# Pages are opened in a browser once, by the plain build with gcc.
suites=--no-suite=page
if [ "$CC" = gcc ] && [ $sanitize = no ]; then
    suites=
    sh tests/support/install.sh chromium chromium-driver
fi

build=${LEADLINE_BUILD:-$top}/build-$(basename "$CC")
options="-Dwerror=true -Dbuildtype=release -Db_sanitize=none"
if [ $sanitize = yes ]; then
    build=$build-sanitized
    options="-Dwerror=true -Dbuildtype=debugoptimized -Db_sanitize=address,undefined"
    case $CC in *clang*) options="$options -Db_lundef=false" ;; esac
    export ASAN_OPTIONS=detect_leaks=1:halt_on_error=1:abort_on_error=1
    export UBSAN_OPTIONS=halt_on_error=1:abort_on_error=1:print_stacktrace=1
fi

again=
if [ -f "$build/build.ninja" ]; then
    again=--reconfigure
fi
# The options are meant to be split into words.
# shellcheck disable=SC2086
meson setup $again "$build" $options >/dev/null || {
    meson setup --wipe "$build" $options
}
if ! ninja -C "$build"; then
    echo "0 passed, 1 failed"
    exit 1
fi

# A locale with a decimal comma, so that the tests can show that no locale touches a number.
if [ ! -d "$build/locale/de_DE.UTF-8" ]; then
    mkdir -p "$build/locale"
    localedef -i de_DE -f UTF-8 "$build/locale/de_DE.UTF-8" || echo "no locale with a decimal comma" >&2
fi
export LOCPATH="$build/locale"

log=$build/meson-logs/testlog.json
rm -f "$log"
# shellcheck disable=SC2086
meson test -C "$build" --no-rebuild --print-errorlogs $suites || true
if [ ! -f "$log" ]; then
    echo "0 passed, 1 failed"
    exit 1
fi

count() {
    grep -c -E "\"result\": \"($1)\"" "$log" || true
}
grep -hoE '[0-9]+ rows: .*' "$build/meson-logs/testlog.txt" || true
passed=$(count 'OK|EXPECTEDFAIL')
skipped=$(count SKIP)
failed=$(($(grep -c . "$log") - passed - skipped))
if [ "$skipped" -gt 0 ]; then
    echo "$skipped skipped (what they need is not on this machine)"
fi
echo "$passed passed, $failed failed"
[ "$failed" -eq 0 ] && [ "$passed" -gt 0 ]
