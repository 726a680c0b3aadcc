#!/usr/bin/env bash
# The page's interface, in page/ui: needs Node.js and npm.
#
#   scripts/page.sh build   makes page/ui/dist, which go build puts into the program
#   scripts/page.sh test    types, drift, logic, size, and a walk in a real browser
#   scripts/page.sh walk    the walk alone, WALKS times in a row
#   scripts/page.sh bench   how long a person waits in the browser, in figures
set -euo pipefail
cd "$(dirname "$0")/.."

# The interface may be this long, compressed, in bytes.
most=250000

for tool in node npm; do
	command -v "$tool" >/dev/null || { echo "page: $tool is not there; .ci/setup brings it" >&2; exit 1; }
done

# bring installs what package-lock.json names, unless it is there already.
bring() {
	cmp -s package-lock.json node_modules/.brought && return
	for try in 1 2 3; do
		if npm ci --no-audit --no-fund --loglevel=error; then
			cp package-lock.json node_modules/.brought
			return
		fi
		echo "page: try $try of 3 to bring the libraries failed" >&2
		sleep $((try * 5))
	done
	exit 1
}

# browser runs files of page/ui/test/browser with a program built just now.
browser() {
	local folder end=0
	folder=$(mktemp -d)
	go build -o "$folder/bandwright" ./cmd/bandwright
	(
		cd page/ui/test/browser
		export BANDWRIGHT=$folder/bandwright
		"$@"
	) || end=$?
	rm -rf "$folder"
	return "$end"
}

walks() {
	for ((n = 1; n <= ${WALKS:-1}; n++)); do
		echo "page: walk $n of ${WALKS:-1}"
		node --test walk.test.mjs || return 1
	done
}

# tests is every browser test; the names are found where browser runs it.
tests() {
	node --test --test-concurrency=1 ./*.test.mjs
}

size() {
	local bytes
	bytes=$(cat page/ui/dist/index.html page/ui/dist/assets/* | gzip -9 | wc -c)
	echo "page: the interface is $bytes bytes compressed, at most $most"
	[ "$bytes" -le "$most" ]
}

case ${1:-} in
build)
	(cd page/ui && bring && npm run --silent build)
	;;
test)
	(
		cd page/ui
		bring
		npm run --silent drift
		npm run --silent check
		npm run --silent test
		npm run --silent build
	)
	size
	browser tests
	;;
walk)
	(cd page/ui && bring && npm run --silent build)
	browser walks
	;;
bench)
	(cd page/ui && bring && npm run --silent build)
	browser node bench.mjs
	;;
*)
	echo "page: build, test, walk or bench" >&2
	exit 2
	;;
esac
