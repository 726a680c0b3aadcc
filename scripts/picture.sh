#!/usr/bin/env bash
# Remakes docs/sheet.png, the readme's picture: the first three pages of the
# demo's sheet, side by side. Needs poppler-utils and ImageMagick.
set -euo pipefail
cd "$(dirname "$0")/.."

version=$(sed -n 's/^## \([0-9][0-9.]*\).*/\1/p' CHANGELOG.md | head -n 1)
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
go build -ldflags "-X main.version=$version" -o "$work/bandwright" ./cmd/bandwright
"$work/bandwright" demo --out "$work/out" >/dev/null 2>&1
pdftoppm -r 84 -l 3 -png "$work/out/sheet.pdf" "$work/page"
montage "$work"/page-*.png -tile x1 -geometry +6+6 -background '#888888' "$work/all.png"
convert "$work/all.png" -strip -colors 64 -define png:compression-level=9 \
	-define png:exclude-chunk=date,time docs/sheet.png
ls -l docs/sheet.png
