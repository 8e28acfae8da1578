#!/usr/bin/env bash
# Makes custody.env, readable by its owner alone, with a random database password. An existing one is left as it is: the
# password in it is the one the database was made with.
set -euo pipefail
cd "$(dirname "$0")"
if [ -e custody.env ]; then
  echo "custody.env is already there; nothing was changed."
  exit 0
fi
umask 077
password=$(od -An -N32 -tx1 /dev/urandom | tr -d ' \n')
cat >custody.env.new <<ENV
POSTGRES_PASSWORD=$password
CUSTODY_POSTGRES=Host=postgres;Port=5432;Database=custody;Username=custody;Password=$password
ENV
mv custody.env.new custody.env
echo "custody.env made."
