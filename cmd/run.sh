#!/usr/bin/env bash
# Installs what is missing and opens the window on the demo study. Without a
# display it analyses the demo and writes the deck.
#   bash cmd/run.sh [STUDY | FILE…]
set -euo pipefail
cd "$(dirname "$0")/.."
. cmd/setup.sh

if ! command -v apt-get >/dev/null; then
  elsewhere
  exit 1
fi
need_go
out=${BENDLINE_OUT:-$PWD/demo}
if [ -z "${DISPLAY:-}${WAYLAND_DISPLAY:-}" ]; then
  echo "There is no display: the demo is analysed and its deck written instead." >&2
  batch=$(mktemp -d)/bendline-batch
  CGO_ENABLED=0 go build -o "$batch" ./cmd/bendline-batch
  [ -f "$out/study.json" ] || "$batch" demo "$out"
  "$batch" analyze "$out/study.json" -o "$out/results.json"
  "$batch" compare "$out/study.json" -o "$out/compare.json"
  "$batch" slides "$out/study.json" -o "$out/deck.pdf"
  echo "Written to $out: results.json, compare.json, deck.pdf" >&2
  exit 0
fi
need "${build_packages[@]}"
echo "Building; the first time this takes some minutes." >&2
mkdir -p bin
go build -o bin/bendline ./cmd/bendline
if [ $# -eq 0 ]; then
  exec bin/bendline -demo
fi
exec bin/bendline "$@"
