#!/usr/bin/env bash
# Runs the benchmarks three times, keeps each one's best, and prints every
# figure with its ratio to the first benchmark of the same package. Figures a
# benchmark reports itself (solves/s, operations) are printed as they come.
# BENCH chooses benchmarks by regular expression, BENCHTIME how long each runs.
set -euo pipefail
cd "$(dirname "$0")/.."

echo "$(go version), $(nproc 2>/dev/null || sysctl -n hw.ncpu) cores"
go test -run '^$' -bench "${BENCH:-.}" -benchmem -benchtime "${BENCHTIME:-1s}" -count 3 -cpu 1 -timeout 60m ./... |
	awk '
		/^pkg:/ { package = $2; sub(/^bandwright\//, "", package); first = 0; next }
		/^cpu:/ && !said { print; said = 1; next }
		/^FAIL|^---/ { print; failed = 1; next }
		!/^Benchmark/ { next }
		{
			key = package " " $1
			if (!(key in best)) { order[++n] = key; owner[key] = package }
			if (!(key in best) || $3 < best[key]) {
				best[key] = $3
				rest[key] = ""
				for (i = 5; i < NF; i += 2) rest[key] = rest[key] sprintf("  %s %s", $i, $(i + 1))
			}
		}
		END {
			for (k = 1; k <= n; k++) {
				key = order[k]
				if (!(owner[key] in base)) base[owner[key]] = best[key]
				printf "%-52s %14.1f µs  %9.4f × first%s\n", key, best[key] / 1000, best[key] / base[owner[key]], rest[key]
			}
			exit failed
		}'
