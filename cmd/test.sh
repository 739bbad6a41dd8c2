#!/usr/bin/env bash
# Installs what is missing and runs every test: without cgo all but the window's
# driver, then the real window in a virtual display.
set -euo pipefail
cd "$(dirname "$0")/.."
. cmd/setup.sh

if ! command -v apt-get >/dev/null; then
  elsewhere
  exit 1
fi
need_go
need "${build_packages[@]}" xvfb xauth xdotool imagemagick poppler-utils
export LANG=en_US.UTF-8
CGO_ENABLED=0 go test "$@" $(CGO_ENABLED=0 go list -e ./... | grep -v '^bendline/cmd/bendline$')
pictures=$(mktemp -d)
go test -tags gles -artifacts -outputdir "$pictures" "$@" ./cmd/bendline
echo "Pictures of the window, step by step, are in $pictures."
