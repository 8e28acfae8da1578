#!/usr/bin/env bash
# The checker as one native program for this machine: needs a linker (clang or gcc) and zlib's headers, nothing of .NET to run.
#   ops/publish-checker.sh DIR
set -euo pipefail
cd "$(dirname "$0")/.."
out=$(realpath -m "${1:?Folder to write custody-verify into?}")
rid=$(dotnet --info | awk '$1 == "RID:" { print $2 }')
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
# A folder of its own for everything made on the way, so that the tree's own builds are not disturbed; no server of the build stays
# behind, which would hold the caller's output open.
dotnet publish src/Custody.Verifier --configuration Release --runtime "$rid" --artifacts-path "$work" -p:PublishAot=true \
  --disable-build-servers -p:DebugType=none -p:StripSymbols=true --output "$work/out" --verbosity quiet --nologo
mkdir -p "$out"
rm -f "$work"/out/*.dbg
cp "$work"/out/* "$out/"
echo "$out/custody-verify"
