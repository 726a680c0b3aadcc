#!/usr/bin/env bash
# Writes cmd/bandwright/licences.txt: the licence of Go and of every module
# inside the program, word for word, for every platform of the release.
set -euo pipefail
cd "$(dirname "$0")/.."
export LC_ALL=C

modules() {
	for platform in linux darwin windows; do
		GOOS=$platform CGO_ENABLED=0 go list -deps \
			-f '{{with .Module}}{{if not .Main}}{{.Path}} {{.Version}} {{.Dir}}{{end}}{{end}}' ./cmd/bandwright
	done | sort -u
}

# kind FILE names the licence by its words.
kind() {
	if grep -q 'Apache License' "$1"; then echo Apache-2.0
	elif grep -q 'Mozilla Public License' "$1"; then echo MPL-2.0
	elif grep -q 'Neither the name' "$1"; then echo BSD-3-Clause
	elif grep -q 'Redistribution and use' "$1"; then echo BSD-2-Clause
	elif grep -q 'Permission is hereby granted, free of charge' "$1"; then echo MIT
	else
		echo "licences: no kind known for $1" >&2
		exit 1
	fi
}

# entry NAME VERSION FOLDER
entry() {
	local files=("$3"/LICEN[CS]E* "$3"/COPYING* "$3"/NOTICE*) found=()
	for file in "${files[@]}"; do [ -f "$file" ] && found+=("$file"); done
	[ ${#found[@]} -gt 0 ] || { echo "licences: $1 has no licence file" >&2; exit 1; }
	echo "=== $1 $2 $(kind "${found[0]}")"
	for file in "${found[@]}"; do
		tr -d '\r' <"$file"
		echo
	done
}

out=cmd/bandwright/licences.txt
[ -f "$out" ] || : >"$out" # the program embeds it, so it must be there to list
{
	entry Go "$(go env GOVERSION)" "$(go env GOROOT)"
	modules | while read -r path version folder; do entry "$path" "$version" "$folder"; done
} >"$out.new"
mv "$out.new" "$out"
grep '^=== ' "$out"
