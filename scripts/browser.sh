#!/usr/bin/env bash
# Runs the page in a real browser, on a program built for it alone.
#
#   scripts/browser.sh              every browser test once
#   scripts/browser.sh walk 20      the walk through a job, twenty times in a row
#   scripts/browser.sh bench        how long a person waits, in figures
#
# Needs Node.js with npm, and Chromium (CHROMIUM=path, else /usr/bin/chromium).
# Pictures of every step come to lie in out/page.
set -euo pipefail
cd "$(dirname "$0")/.."
what="${1:-all}"
times="${2:-1}"

folder="$(mktemp -d)"
trap 'rm -rf "$folder"' EXIT
(
	cd page/ui
	[ -d node_modules ] || npm ci --no-audit --no-fund
	npm run --silent build -- --logLevel warn
)
go build -o "$folder/bandwright" ./cmd/bandwright
export BANDWRIGHT="$folder/bandwright"

tests() { node --test --test-concurrency=1 "$@"; }

case "$what" in
all) tests page/ui/test/browser/*.test.mjs ;;
walk)
	for ((i = 1; i <= times; i++)); do
		echo "walk $i of $times"
		tests page/ui/test/browser/walk.test.mjs
	done
	;;
bench) node page/ui/test/browser/bench.mjs ;;
*)
	echo "browser: $what is none of all, walk, bench" >&2
	exit 2
	;;
esac
