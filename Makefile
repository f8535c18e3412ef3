# Waterkey. `make run` opens the desk with the demo season in the browser, `make
# shell` shows the same job on the command line, `make test` runs the tests, `make help`
# lists the rest. They need Go and Node and set up everything else.

GO ?= go
OUT := out
FUZZTIME ?= 60s
PART := $(OUT)/harbor-parade.musicxml
TAKE := $(OUT)/harbor-parade-take.wav

.DEFAULT_GOAL := build

.PHONY: help run shell test bench lint deps build web fuzz clean always

help: ## this list
	@sed -n 's/^\([a-z]*\):.* ## \(.*\)/  make \1	\2/p' Makefile

build: web ## the program with its front end, in bin/
	$(GO) build -o bin/waterkey ./cmd/waterkey

# The front end, built into the program. Its client is made from the handlers.
web: web/dist/index.html.gz ## the front end alone

WEB := $(shell find web/src web/public -type f 2>/dev/null) $(wildcard web/*.html web/*.ts web/*.mjs) web/package-lock.json

web/dist/index.html.gz: $(WEB) web/node_modules/.package-lock.json $(OUT)/openapi.json
	cd web && npm run --silent client && npm run --silent check && npm run --silent build
	@touch $@

# The description of the API is made every time, since its types stand in many packages,
# and takes the old one's place only when it says something else.
$(OUT)/openapi.json: always
	@mkdir -p $(OUT)
	@$(GO) run ./server/openapi > $@.new
	@if cmp -s $@.new $@; then rm $@.new; else mv $@.new $@; fi

web/node_modules/.package-lock.json: web/package-lock.json
	@sh tools/deps.sh
	cd web && npm ci --no-audit --no-fund
	@touch $@

# The desk in the browser.
run: build ## open the desk with the demo season in the browser
	bin/waterkey demo

# The walk through the page, the positions, a reference performance, and a take
# with planted faults measured against the page.
shell: ## the same job on the command line
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
test: deps ## run the tests
	@if command -v npm >/dev/null 2>&1; then $(MAKE) --no-print-directory web && cd web && npm run --silent test; \
	else echo "no npm here: the front end is not built, and its tests skip" >&2; fi
	$(GO) test ./...

# Figures, not verdicts: speed and accuracy of the computations. Our notes and a
# SoundFont's are set beside recorded ones; takes made of recorded notes are heard and
# scored last, beside aubio where it is installed.
bench: ## print speed and accuracy
	@sh tools/deps.sh bench
	$(GO) test -run '^$$' -bench . -benchmem ./...
	GOMAXPROCS=1 $(GO) test -run '^$$' -bench 'Render|First100ms' ./sound
	$(GO) run ./sound/spectra/compare
	@sh hear/trial/notes.sh
	$(GO) run ./hear/trial/measure

lint: ## formatting, vet and staticcheck
	@test -z "$$(gofmt -l .)" || { echo "not formatted:"; gofmt -l .; exit 1; }
	$(GO) vet ./...
	$(GO) tool staticcheck ./...

# A minute of each fuzz target that there is, or FUZZTIME=5m.
fuzz: ## a minute of each fuzz target (FUZZTIME=5m: five)
	@sh tools/fuzz.sh $(GO) $(FUZZTIME)

# What some tests use from the system when it is there; they say so when they
# skip without it.
deps: ## install what some tests use from the system
	@sh tools/deps.sh

clean: ## remove what was built
	rm -rf bin $(OUT)
