#!/usr/bin/env bash
# Makes a release for this machine's kind: one archive to install, and one container image as a file (`docker load` and `podman load` read it).
#   ops/release.sh DIR [--no-image]
# In the archive: server/ (self-contained, nothing of .NET to install), custody-verify (the native checker), the checker page, README.md, ops/ and the licence where
# there is one. No registry is asked and no container engine needed: the image's lower layer is made of this machine's own Debian packages.
# What is released is the commit, whatever else lies in the working tree: everything is built in a copy of it, which also keeps the lock files as they are, into
# which a build for one kind of machine writes. SHA256SUMS names every file.
set -euo pipefail
cd "$(dirname "$0")/.."
out=$(realpath -m "${1:?Folder to write the release into?}")
image=${2:-}
rid=$(dotnet --info | awk '$1 == "RID:" { print $2 }')
case $rid in *-x64) portable=linux-x64 arch=amd64 ;; *-arm64) portable=linux-arm64 arch=arm64 ;; *) echo "No release is made for $rid." >&2; exit 1 ;; esac
when=$(git log -1 --format=%ct)
version=$(TZ=UTC git log -1 --format=%cd --date=format-local:%Y.%m.%d)-$(git rev-parse --short=8 HEAD)
name=custody-$version-$portable
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

pack() { tar --sort=name --mtime="@$when" --owner=0 --group=0 --numeric-owner -C "$1" -cf "$2" "${@:3}"; }

tree=$work/$name
mkdir -p "$tree" "$out" "$work/source"
git archive HEAD | tar -C "$work/source" -xf -
cd "$work/source"
dotnet publish src/Custody.Server --configuration Release --runtime "$portable" --self-contained --artifacts-path "$work/artifacts" \
  --disable-build-servers -p:DebugType=none --output "$tree/server" --verbosity quiet --nologo
ops/publish-checker.sh "$tree" >/dev/null
"$tree/server/Custody.Server" checker --page-only --out "$tree" >/dev/null
cp README.md "$tree/"
cp -r ops "$tree/ops"
for licence in LICENSE* LICENCE* COPYING*; do if [ -e "$licence" ]; then cp "$licence" "$tree/"; fi; done
echo "$version" >"$tree/VERSION"
# What is given out must run: both programs say what they can do.
"$tree/server/Custody.Server" --help >/dev/null
"$tree/custody-verify" --help >/dev/null
pack "$work" "$work/$name.tar" "$name"
gzip --no-name -9 <"$work/$name.tar" >"$out/$name.tar.gz"

# The lower layer: what a self-contained .NET program loads, bash for the health check, certificates, and two accounts.
base_layer() {
  local root=$work/base packages=(base-files libc6 libgcc-s1 libstdc++6 zlib1g libssl3 bash libtinfo6 ca-certificates tzdata)
  command -v dpkg >/dev/null || { echo "The image's lower layer is made of Debian packages, and this is no Debian machine. Build it there, or with ops/compose/Dockerfile." >&2; exit 1; }
  packages+=("$(dpkg-query -W -f '${Package} ${db:Status-Status}\n' 'libicu[0-9]*' | awk '$2 == "installed" { print $1; exit }')")
  mkdir -p "$root"/{etc,tmp,data,usr/bin,usr/lib,usr/lib64,usr/sbin}
  local link
  for link in bin lib lib64 sbin; do ln -s "usr/$link" "$root/$link"; done
  # Files and links only, documents left out; what a package names under /lib stands under /usr/lib here.
  dpkg -L "${packages[@]}" | sed -E 's#^/(bin|lib|lib64|sbin)/#/usr/\1/#' | sort -u |
    grep -vE '^/usr/share/(doc|man|locale|lintian|bug|info|common-licenses)/' | while read -r file; do
      if [ -L "$file" ] || [ -f "$file" ]; then printf '%s\n' "${file#/}"; fi
    done >"$work/files"
  tar -C / --no-recursion -T "$work/files" -cf - | tar -C "$root" -xf -
  install -D -m 644 /etc/ssl/certs/ca-certificates.crt "$root/etc/ssl/certs/ca-certificates.crt"
  printf 'root:x:0:0:root:/:/usr/sbin/nologin\ncustody:x:999:999::/data:/usr/sbin/nologin\n' >"$root/etc/passwd"
  printf 'root:x:0:\ncustody:x:999:\n' >"$root/etc/group"
  chmod 1777 "$root/tmp"
  pack "$root" "$work/image/base.tar" --exclude=./data .
  tar --mtime="@$when" --owner=999 --group=999 --numeric-owner -C "$root" -rf "$work/image/base.tar" ./data
}

digest() { sha256sum "$1" | cut -d' ' -f1; }

if [ "$image" != --no-image ]; then
  mkdir -p "$work/image" "$work/app"
  base_layer
  cp -r "$tree/server" "$work/app/app"
  cp ops/compose/healthy.sh "$work/app/app/healthy.sh"
  pack "$work/app" "$work/image/app.tar" app
  created=$(TZ=UTC date -d "@$when" +%Y-%m-%dT%H:%M:%SZ)
  cat >"$work/image/config.json" <<JSON
{"architecture":"$arch","os":"linux","created":"$created","config":{"User":"custody","WorkingDir":"/data","Env":["PATH=/usr/bin:/bin"],"Entrypoint":["/app/Custody.Server"],"Cmd":["serve","--data","/data","--urls","http://0.0.0.0:5080"],"ExposedPorts":{"5080/tcp":{}},"Volumes":{"/data":{}},"Healthcheck":{"Test":["CMD","/app/healthy.sh"],"Interval":10000000000,"Timeout":5000000000,"StartPeriod":60000000000,"Retries":6}},"rootfs":{"type":"layers","diff_ids":["sha256:$(digest "$work/image/base.tar")","sha256:$(digest "$work/image/app.tar")"]},"history":[{"created":"$created","created_by":"Debian packages"},{"created":"$created","created_by":"ops/release.sh"}]}
JSON
  printf '[{"Config":"config.json","RepoTags":["custody:%s","custody:latest"],"Layers":["base.tar","app.tar"]}]\n' "$version" >"$work/image/manifest.json"
  pack "$work/image" "$work/image.tar" manifest.json config.json base.tar app.tar
  gzip --no-name <"$work/image.tar" >"$out/$name-image.tar.gz"
fi
(cd "$out" && sha256sum "$name"*.tar.gz >SHA256SUMS)
cat "$out/SHA256SUMS"
