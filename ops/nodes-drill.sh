#!/usr/bin/env bash
# Several servers over one PostgreSQL: kills and freezes nodes in turn under load, measures how soon the others go on, and compares every acknowledged act
# with the ledger. The last line is nodes=N kills=N acknowledged=N lost=N doubled=N longest=Ns audit=clean|faults; the exit code is 0 only if nothing was lost
# or doubled, the audit was clean, and the others always went on within 10 seconds.
#   ops/nodes-drill.sh --nodes 3 --kills 20 [--data DIR] [--writers 4] [--seed N] [--old OLDER/Custody.Server.dll]
set -euo pipefail
here=$(cd "$(dirname "$0")/.." && pwd)
for project in src/Custody.Server tests/Custody.Drills; do
  dotnet build -c Release -v q --nologo "$here/$project" >&2
done
exec dotnet "$here/tests/Custody.Drills/bin/Release/net10.0/Custody.Drills.dll" nodes --server "$here/src/Custody.Server/bin/Release/net10.0/Custody.Server.dll" "$@"
