# Waterkey. `make run` opens the desk with the demo season in the browser, `make
# shell` shows the same job on the command line, `make test` runs the tests. They
# need Go and Node and set up everything else.

GO ?= go
OUT := out
FUZZTIME ?= 60s
PART := $(OUT)/harbor-parade.musicxml
TAKE := $(OUT)/harbor-parade-take.wav

.PHONY: run shell test bench lint deps build web fuzz clean

build: web
	$(GO) build -o bin/waterkey ./cmd/waterkey

# The front end, built into the program. Its client is made from the handlers.
web: web/dist/index.html.gz

WEB := $(shell find web/src web/public -type f 2>/dev/null) $(wildcard web/*.html web/*.ts web/*.mjs) web/package-lock.json

web/dist/index.html.gz: $(WEB) web/node_modules/.package-lock.json $(wildcard server/*.go desk/*.go)
	@mkdir -p $(OUT)
	$(GO) run ./server/openapi > $(OUT)/openapi.json
	cd web && npm run --silent client && npm run --silent check && npm run --silent build
	@touch $@

web/node_modules/.package-lock.json: web/package-lock.json
	@sh tools/deps.sh
	cd web && npm ci --no-audit --no-fund
	@touch $@

# The desk in the browser.
run: build
	bin/waterkey demo

# The walk through the page, the positions, a reference performance, and a take
# with planted faults measured against the page.
shell:
	$(GO) build -o bin/waterkey ./cmd/waterkey
	@mkdir -p $(OUT)
	$(GO) run ./demo/render $(OUT)
	bin/waterkey read $(PART)
	@echo
	bin/waterkey mark $(PART) -o $(OUT)/harbor-parade-marked.musicxml
	@echo
	bin/waterkey play $(PART) --count-in 1 -o $(OUT)/harbor-parade.wav --midi $(OUT)/harbor-parade.mid
	@echo
	bin/waterkey hear $(PART) $(TAKE)
	@echo "\nWritten to $(OUT)/: the part, the marked part, the reference performance and the take."

# Without npm the front end is not built, and the tests that want it skip aloud.
test: deps
	@if command -v npm >/dev/null 2>&1; then $(MAKE) --no-print-directory web && cd web && npm run --silent test; \
	else echo "no npm here: the front end is not built, and its tests skip" >&2; fi
	$(GO) test ./...

# Figures, not verdicts: speed and accuracy of the computations. Our notes and a
# SoundFont's are set beside recorded ones; takes made of recorded notes are heard and
# scored last, beside aubio where it is installed.
bench:
	@sh tools/deps.sh bench
	$(GO) test -run '^$$' -bench . -benchmem ./...
	GOMAXPROCS=1 $(GO) test -run '^$$' -bench 'Render|First100ms' ./sound
	$(GO) run ./sound/spectra/compare
	@sh hear/trial/notes.sh
	$(GO) run ./hear/trial/measure

lint:
	@test -z "$$(gofmt -l .)" || { echo "not formatted:"; gofmt -l .; exit 1; }
	$(GO) vet ./...
	$(GO) tool staticcheck ./...

# A minute of each fuzz target, or FUZZTIME=5m.
fuzz:
	$(GO) test -run '^$$' -fuzz FuzzParse -fuzztime $(FUZZTIME) -fuzzminimizetime 20x ./score/musicxml
	$(GO) test -run '^$$' -fuzz FuzzParse -fuzztime $(FUZZTIME) -fuzzminimizetime 20x ./score/abc
	$(GO) test -run '^$$' -fuzz FuzzParseMIDI -fuzztime $(FUZZTIME) -fuzzminimizetime 20x ./score/midi
	$(GO) test -run '^$$' -fuzz FuzzDecode -fuzztime $(FUZZTIME) ./audio

# What some tests use from the system when it is there; they say so when they
# skip without it.
deps:
	@sh tools/deps.sh

clean:
	rm -rf bin $(OUT)
