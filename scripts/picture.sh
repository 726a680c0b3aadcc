#!/usr/bin/env bash
# Remakes the pictures in docs: the first pages of each of the demo's papers,
# side by side. Needs poppler-utils and ImageMagick.
set -euo pipefail
cd "$(dirname "$0")/.."

version=$(sed -n 's/^## \([0-9][0-9.]*\).*/\1/p' CHANGELOG.md | head -n 1)
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
go build -ldflags "-X main.version=$version" -o "$work/bandwright" ./cmd/bandwright
"$work/bandwright" demo --out "$work/out" >/dev/null 2>&1
folder=$work/out/bass-head

# paper NAME VERB JOB [FLAG...] writes a paper; one to look at ends with 1.
paper() {
	local name=$1 verb=$2 job=$3
	shift 3
	"$work/bandwright" "$verb" "$folder/$job" "$@" --pdf "$work/$name.pdf" >/dev/null 2>&1 || [ $? -eq 1 ]
}

# picture NAME PAGES makes docs/NAME.png of the first pages.
picture() {
	pdftoppm -r 84 -l "$2" -png "$work/$1.pdf" "$work/$1-page"
	montage "$work/$1"-page-*.png -tile x1 -geometry +6+6 -background '#888888' "$work/all.png"
	convert "$work/all.png" -strip -colors 64 -define png:compression-level=9 \
		-define png:exclude-chunk=date,time "docs/$1.png"
	ls -l "docs/$1.png"
}

cp "$work/out/sheet.pdf" "$work/sheet.pdf"
paper record record done.toml
paper ring-out ohms done.toml
paper run-sheet runs done.toml
paper feed-sheet feed feed.toml
paper first-volts volts done.toml --stage mains --rail 409V
for name in sheet record; do picture "$name" 3; done
for name in ring-out run-sheet feed-sheet first-volts; do picture "$name" 2; done
