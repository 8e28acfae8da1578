#!/usr/bin/env bash
# Writes a picture of every page into a folder: light and dark, telephone and desk. The demo's story is told into a database of its own for it.
set -euo pipefail
[ $# -eq 1 ] || { echo "usage: ops/screens.sh DIR" >&2; exit 2; }
mkdir -p "$1"
CUSTODY_SCREENS=$(cd "$1" && pwd)
export CUSTODY_SCREENS
cd "$(dirname "$0")/.."
dotnet test tests/Custody.Browser.Tests --filter "FullyQualifiedName~EveryPageTests"
find "$CUSTODY_SCREENS" -name '*.png' | sort
