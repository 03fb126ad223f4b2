#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# Usage: sh sample-logs/try.sh
# Installs what a build needs (Debian), builds into build/, debriefs one sample log, and says where everything is.
set -eu
top=$(cd "$(dirname "$0")/.." && pwd)
cd "$top"
log=sample-logs/ok-stop-cut-short.uddf
tool=build/src/leadline

sh tests/support/install.sh gcc meson ninja-build pkg-config libxml2-dev zlib1g-dev nettle-dev libgsl-dev

echo "Building (a minute or less) ..."
mkdir -p build
again=
if [ -f build/build.ninja ]; then
    again=--reconfigure
fi
# $again is one word or none.
# shellcheck disable=SC2086
if ! { meson setup $again build && ninja -C build src/leadline; } >build/try.log 2>&1; then
    cat build/try.log >&2
    echo "The build did not work; what it said stands above and in build/try.log." >&2
    exit 1
fi

echo "$tool debrief $log"
echo
"$tool" debrief "$log"
"$tool" debrief --format json --output build/debrief.json "$log"
"$tool" replay --output build/replay.csv "$log"

cat <<END

That was a debrief of an invented dive. What there is now:
  the tool              $tool
  the debrief as JSON   build/debrief.json
  the replayed track    build/replay.csv (a row a sample; any spreadsheet opens it)
  more sample logs      sample-logs/, described in sample-logs/README.md
  how to read a debrief README.md and docs/

To see the same dive with every stop kept:
  $tool debrief sample-logs/ok-deep-kept.uddf
For a log of your own:
  $tool list YOUR-LOG.uddf
  $tool --help
END
