#!/usr/bin/env bash
# Kills the server and its PostgreSQL at random moments under load, and compares every acknowledged act with the ledger. The last line is
# kills=N acknowledged=N lost=N doubled=N audit=clean|faults, and the exit code is 0 only if nothing was lost or doubled and the audit was clean.
#   ops/kill-drill.sh --kills 200 [--data DIR] [--writers 8] [--seed N] [--faults server,postgres,both,sequencer,connections,rebuild,key,dossier]
set -euo pipefail
here=$(cd "$(dirname "$0")/.." && pwd)
for project in src/Custody.Server tests/Custody.Drills; do
  dotnet build -c Release -v q --nologo "$here/$project" >&2
done
exec dotnet "$here/tests/Custody.Drills/bin/Release/net10.0/Custody.Drills.dll" --server "$here/src/Custody.Server/bin/Release/net10.0/Custody.Server.dll" "$@"
