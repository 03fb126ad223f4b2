#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# Usage: install.sh PACKAGE...
# Installs those of the Debian packages that are missing; asks the package server for nothing if none is.
set -eu

if ! command -v dpkg >/dev/null 2>&1; then
    echo "No dpkg here: these packages (or what they are called on this system) are taken for granted: $*" >&2
    exit 0
fi

missing=
for package; do
    if ! dpkg -s "$package" 2>/dev/null | grep -q '^Status: install ok installed'; then
        missing="$missing $package"
    fi
done
if [ -z "$missing" ]; then
    exit 0
fi

as_root=
if [ "$(id -u)" -ne 0 ]; then
    if ! command -v sudo >/dev/null 2>&1; then
        echo "Missing packages, and no right to install them:$missing" >&2
        exit 1
    fi
    as_root=sudo
fi

echo "Installing$missing" >&2
$as_root apt-get update -q >&2
# The list is meant to be split into words.
# shellcheck disable=SC2086
$as_root env DEBIAN_FRONTEND=noninteractive apt-get install -q -y --no-install-recommends $missing >&2
