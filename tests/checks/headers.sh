#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# Usage: headers.sh INCLUDE_FOLDER C_COMPILER C++_COMPILER
# Every public header compiles alone, as C and as C++, and twice in one file.
set -eu
include=$1
failed=0

# compiles STANDARD LANGUAGE COMPILER: the text on standard input.
compiles() {
    "$3" "-std=$1" -x "$2" -Wall -Wextra -pedantic -Werror -fsyntax-only -I "$include" -
}

for header in "$include"/leadline/*.h; do
    name=leadline/$(basename "$header")
    text=$(printf '#include <%s>\n#include <%s>\nextern int nothing;' "$name" "$name")
    echo "$name"
    printf '%s\n' "$text" | compiles c17 c "$2" || failed=1
    printf '%s\n' "$text" | compiles c++17 c++ "$3" || failed=1
done
exit $failed
