#!/usr/bin/env bash
# Runs every fuzz target for FUZZTIME, one after the other; a crash found is
# kept by go under testdata/fuzz and fails the run.
set -euo pipefail
cd "$(dirname "$0")/.."

count=0
while IFS=: read -r file target; do
	count=$((count + 1))
	echo "fuzz $target in ./$(dirname "$file") for ${FUZZTIME:=20s}"
	log=$(go test -run '^$' -fuzzminimizetime 20x -fuzz "^${target}\$" -fuzztime "$FUZZTIME" "./$(dirname "$file")" 2>&1) || {
		# Go's own stop at the end of the time sometimes arrives as a failure
		# without an input that fails; only that is let pass.
		if grep -q 'context deadline exceeded' <<<"$log" && ! grep -q 'Failing input' <<<"$log"; then
			echo "fuzz $target: stopped late, no failing input"
			continue
		fi
		echo "$log"
		exit 1
	}
	tail -n 1 <<<"$log"
done < <(grep -rEo --include='*_test.go' '^func Fuzz[A-Za-z0-9_]+' . | sed 's/func //; s/^\.\///' | sort)

if [ "$count" -eq 0 ]; then
	echo "fuzz: no target found" >&2
	exit 1
fi
echo "fuzz: $count targets held"
