# make demo      the main job on the demo's files, written to out/
# make page      the page's interface, into the next go build (needs Node.js and npm)
# make test      everything that must hold
# make bench     the figures people wait for, absolute and as ratios
# make prove     long trials and live fuzzing (SEED=number, FUZZTIME=20s, TIMES=12)
# make release   archives for every platform in dist/ (VERSION=x.y.z, VERIFY=1 builds twice)
# make clean     removes what these have made

SHELL := bash
.SHELLFLAGS := -euo pipefail -c
.DEFAULT_GOAL := demo
.PHONY: demo page test lint bench prove release clean

export CGO_ENABLED := 0

SEED     ?= $(shell date +%s)
TIMES    ?= 12
FUZZTIME ?= 20s

demo:
	go run ./cmd/bandwright demo --out out --force

page:
	scripts/page.sh build

test: lint
	.ci/setup
	go test -timeout 40m ./...
	scripts/page.sh test

lint:
	@wrong="$$(gofmt -l $$(git ls-files '*.go' 2>/dev/null || find . -name '*.go'))"; \
	if [ -n "$$wrong" ]; then echo "not formatted (run gofmt -w):"; echo "$$wrong"; exit 1; fi
	go vet ./...
	go tool -modfile=tools.mod staticcheck ./...

bench:
	scripts/bench.sh
	scripts/page.sh bench

prove:
	@echo "seed $(SEED)"
	go test -timeout 120m -ldflags "-X bandwright/trials.times=$(TIMES) -X bandwright/trials.seed=$(SEED)" ./...
	FUZZTIME=$(FUZZTIME) scripts/fuzz.sh
	WALKS=20 scripts/page.sh walk

release: page
	scripts/release.sh

clean:
	rm -rf out dist bandwright
	find . -name '*.got' -delete
