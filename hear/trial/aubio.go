package trial

import (
	"bufio"
	"bytes"
	"math"
	"os/exec"
	"strconv"
	"strings"

	"waterkey/hear"
)

// Other holds what the programs of aubio (P. M. Brossier, "Automatic
// annotation of musical audio for interactive applications", PhD thesis, Queen
// Mary, 2006; Debian package aubio-tools) say of the same files.
type Other struct {
	plain   counts    // onsets with the program's own threshold
	onsets  counts    // with onsetThreshold
	late    []float64 // ms, matched onsets
	aligned counts    // the same with its median lateness taken out
	cents   []float64 // steady notes, median of the frames inside
	named   counts    // steady notes within 50 cents
	pitch   float64   // s of computing
	onset   float64
	seconds float64 // of sound
}

func (o *Other) add(p Other) {
	o.plain.add(p.plain)
	o.onsets.add(p.onsets)
	o.aligned.add(p.aligned)
	o.named.add(p.named)
	o.late, o.cents = append(o.late, p.late...), append(o.cents, p.cents...)
	o.pitch, o.onset, o.seconds = o.pitch+p.pitch, o.onset+p.onset, o.seconds+p.seconds
}

// onsetThreshold is where aubioonset does best on the clean half; of 0.3 (its
// own), 0.6, 1, 1.5 and 2.5 (tried: at its own, real notes make twice as many
// onsets as there are).
const onsetThreshold = "1.0"

// haveAubio says whether both programs are on the path.
func haveAubio() bool {
	_, a := exec.LookPath("aubiopitch")
	_, b := exec.LookPath("aubioonset")
	return a == nil && b == nil
}

// askAubio runs both programs on a WAV file of the take.
func askAubio(take *Take, path string) (Other, error) {
	o := Other{seconds: take.Clip.Seconds()}
	rows, _, err := columns("aubioonset", "-O", "energy", "-i", path)
	if err != nil {
		return o, err
	}
	truth, found := onsetsFor(take, rows)
	o.plain = tally(matchOnsets(truth, found), len(found))
	if rows, o.onset, err = columns("aubioonset", "-O", "energy", "-t", onsetThreshold, "-i", path); err != nil {
		return o, err
	}
	o.scoreOnsets(onsetsFor(take, rows))
	if rows, o.pitch, err = columns("aubiopitch", "-p", "yinfast", "-i", path); err != nil {
		return o, err
	}
	o.scorePitch(take, rows)
	return o, nil
}

// columns runs a program and reads the numbers that it prints; spent is its
// processor time in seconds.
func columns(name string, args ...string) (rows [][]float64, spent float64, err error) {
	cmd := exec.Command(name, args...)
	out, err := cmd.Output()
	if cmd.ProcessState != nil {
		spent = (cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime()).Seconds()
	}
	if err != nil {
		return nil, spent, err
	}
	s := bufio.NewScanner(bytes.NewReader(out))
	for s.Scan() {
		var row []float64
		for _, field := range strings.Fields(s.Text()) {
			if v, err := strconv.ParseFloat(field, 64); err == nil {
				row = append(row, v)
			}
		}
		if len(row) > 0 {
			rows = append(rows, row)
		}
	}
	return rows, spent, s.Err()
}

// onsetsFor are the true onsets and those found, without those of talk and
// warming up.
func onsetsFor(take *Take, rows [][]float64) (truth, found []float64) {
	for _, n := range take.Notes {
		if n.State != hear.Missed {
			truth = append(truth, n.Start)
			truth = append(truth, starts(n.Again)...)
		}
	}
	truth = append(truth, starts(take.Extra)...)
	for _, r := range rows {
		if take.Case.restart > 0 || !inside(take.Free, r[0]) {
			found = append(found, r[0])
		}
	}
	return truth, found
}

func (o *Other) scoreOnsets(truth, found []float64) {
	pairs := matchOnsets(truth, found)
	o.onsets = tally(pairs, len(found))
	for i, k := range pairs {
		if k >= 0 {
			o.late = append(o.late, 1000*(found[k]-truth[i]))
		}
	}
	late := median(o.late) / 1000
	for i := range found {
		found[i] -= late
	}
	o.aligned = tally(matchOnsets(truth, found), len(found))
}

func inside(v []span, at float64) bool {
	for _, s := range v {
		if s.from <= at && at <= s.to {
			return true
		}
	}
	return false
}

// scorePitch takes the median of the frames in the true middle of each steady
// note.
func (o *Other) scorePitch(take *Take, rows [][]float64) {
	const attack, release = 0.06, 0.04 // s
	for _, n := range take.Notes {
		if !n.Steady {
			continue
		}
		var v []float64
		for _, r := range rows {
			if len(r) > 1 && r[0] > n.Start+attack && r[0] < n.End-release && r[1] > 0 {
				v = append(v, cents(r[1], n.Hz))
			}
		}
		o.named.truth++
		o.named.found++
		if len(v) == 0 {
			continue
		}
		c := median(v)
		o.cents = append(o.cents, c)
		if math.Abs(c) <= pitchWindow {
			o.named.hits++
		}
	}
}
