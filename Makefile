# Waterkey. `make run` shows the main job on the demo music, `make test` runs
# the tests; both need Go only and set up everything else.

GO ?= go
OUT := out
FUZZTIME ?= 60s
PART := $(OUT)/harbor-parade.musicxml
TAKE := $(OUT)/harbor-parade-take.wav

.PHONY: run test bench lint deps build fuzz clean

build:
	$(GO) build -o bin/waterkey ./cmd/waterkey

# The walk through the page, the positions, a reference performance, and a take
# with planted faults measured against the page.
run: build
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

test: deps
	$(GO) test ./...

# Figures, not verdicts: speed and accuracy of the computations.
bench:
	$(GO) test -run '^$$' -bench . -benchmem ./...

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
