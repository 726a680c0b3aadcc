#!/usr/bin/env bash
# Builds the release: six platforms, each an archive with the program, its
# licences and the readme, and one file of SHA-256 sums, in dist/. The same
# source and Go release give the same bytes anywhere.
#
#   VERSION=1.2.3 scripts/release.sh     names the version (default: the newest
#                                        entry of CHANGELOG.md)
#   VERIFY=1 scripts/release.sh          builds twice, in two folders, compares
set -euo pipefail
cd "$(dirname "$0")/.."
root=$PWD

version=${VERSION:-$(sed -n 's/^## \([0-9][0-9.]*\).*/\1/p' CHANGELOG.md | head -n 1)}
[ -n "$version" ] || { echo "release: no version; name one with VERSION=" >&2; exit 1; }
platforms="linux/amd64 linux/arm64 darwin/amd64 darwin/arm64 windows/amd64 windows/arm64"
# Every file in an archive carries this time: the start of 2026, UTC.
stamp=202601010000.00

export CGO_ENABLED=0 GOFLAGS= GOAMD64=v1 GOARM64=v8.0 GOEXPERIMENT= TZ=UTC LC_ALL=C

# build FOLDER writes every archive and the sums to FOLDER.
build() {
	local out=$1 platform os arch name
	mkdir -p "$out"
	for platform in $platforms; do
		os=${platform%/*} arch=${platform#*/}
		name=bandwright-$version-$os-$arch
		mkdir -p "$out/$name"
		local program=$out/$name/bandwright
		[ "$os" = windows ] && program+=.exe
		GOOS=$os GOARCH=$arch go build -trimpath -buildvcs=false \
			-ldflags "-s -w -buildid= -X main.version=$version" -o "$program" ./cmd/bandwright
		cp LICENSE README.md CHANGELOG.md "$out/$name/"
		pack "$out" "$name" "$os"
		rm -rf "${out:?}/$name"
	done
	(cd "$out" && sha256sum bandwright-"$version"-*.* >SHA256SUMS)
}

# pack FOLDER NAME OS archives FOLDER/NAME with fixed order, owner and times.
pack() {
	chmod 755 "$1/$2"
	find "$1/$2" -type f -exec chmod 644 {} +
	find "$1/$2" -type f -name 'bandwright*' -exec chmod 755 {} +
	find "$1/$2" -exec touch -h -t "$stamp" {} +
	if [ "$3" = windows ]; then
		(cd "$1" && find "$2" -type f | sort | zip -X -q "$2.zip" -@)
	else
		tar -C "$1" --sort=name --format=ustar --owner=0 --group=0 --numeric-owner \
			-cf - "$2" | gzip -9 -n >"$1/$2.tar.gz"
	fi
}

# try FOLDER unpacks the archive for this machine in an empty folder and runs
# the demo there with no way out to the network through a proxy.
try() {
	local os arch name folder
	os=$(go env GOHOSTOS) arch=$(go env GOHOSTARCH)
	name=bandwright-$version-$os-$arch
	folder=$(mktemp -d)
	tar -C "$folder" -xzf "$1/$name.tar.gz"
	(
		cd "$folder"
		mkdir empty
		cd empty
		offline=()
		unshare -rn true 2>/dev/null && offline=(unshare -rn)
		[ ${#offline[@]} -gt 0 ] || echo "release: this machine cannot cut the network off; the demo runs with it" >&2
		"${offline[@]}" env -i PATH=/nowhere HOME="$folder/empty" "$folder/$name/bandwright" demo --out out
		"${offline[@]}" env -i "$folder/$name/bandwright" --version | grep -F "$version" >/dev/null
		[ -s out/sheet.pdf ] && [ -s out/sheet.html ]
	)
	rm -rf "$folder"
}

if [ ! -f page/ui/dist/index.html ]; then
	echo "release: the page was not built, and a program without it is not shipped; run make page first" >&2
	exit 1
fi

rm -rf "$root/dist"
build "$root/dist"
(cd "$root/dist" && sha256sum --check --quiet SHA256SUMS)
if [ "${VERIFY:-0}" = 1 ]; then
	second=$(mktemp -d)
	cp -r "$root" "$second/source"
	# A cache of its own, so that everything is compiled again.
	(cd "$second/source" && rm -rf dist out && GOCACHE="$second/cache" build "$second/dist")
	cmp "$root/dist/SHA256SUMS" "$second/dist/SHA256SUMS"
	rm -rf "$second"
	echo "release: two builds in two folders agree"
fi
try "$root/dist"
cat "$root/dist/SHA256SUMS"
