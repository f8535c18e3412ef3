package align

import (
	"errors"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"waterkey/hear/onset"
	"waterkey/hear/pitch"
	"waterkey/score"
	"waterkey/score/musicxml"
)

// realParts are brass parts of the orchestra, each performed with its repeats
// (openly licensed scores; their list is beside them).
func realParts(t testing.TB) map[string]*score.Performance {
	t.Helper()
	files, _ := filepath.Glob("../../../shared/data/scores/*.musicxml")
	if len(files) == 0 {
		t.Skip("shared data not here: ../shared/data/scores")
	}
	out := map[string]*score.Performance{}
	for _, f := range files {
		data, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		doc, err := musicxml.Parse(f, data)
		if err != nil {
			t.Fatal(err)
		}
		part, err := doc.Part(score.Selection{})
		if err != nil {
			t.Fatal(err)
		}
		pf, err := part.Perform(score.Tempo{})
		if err != nil {
			t.Fatal(err)
		}
		const enough = 25 // notes that tell a part from another
		if len(pf.Notes) >= enough {
			out[filepath.Base(f)] = pf
		}
	}
	return out
}

// names are the keys of parts in order.
func names(parts map[string]*score.Performance) []string {
	var out []string
	for n := range parts {
		out = append(out, n)
	}
	slices.Sort(out)
	return out
}

// simulated is a take as the detector would hand it over, with its truth.
type simulated struct {
	sounds []onset.Sound
	first  []int  // by note of the last playing: its sound, -1 when missed
	wrong  []bool // by note
	extras []int
}

// player says how a take is played.
type player struct {
	speed  float64 // tempo against the page
	drift  float64 // slower by this share at the end
	jitter float64 // s, standard deviation of each onset
	tuning float64 // cents
	faults float64 // share of notes wrong, and missed, and followed by an extra one
	cuts   float64 // share of notes with a weak cut inside
}

// leg is a stretch of notes played in one go, so many seconds after the one
// before.
type leg struct {
	from, to int // notes, to exclusive
	pause    float64
}

func (p player) play(pf *score.Performance, legs []leg, r *rand.Rand) simulated {
	n := len(pf.Notes)
	out := simulated{first: make([]int, n), wrong: make([]bool, n)}
	for i := range out.first {
		out.first[i] = -1
	}
	at := 0.5
	for _, l := range legs {
		at += l.pause
		base := float64(pf.Notes[l.from].Start)
		whole := max(float64(pf.Length()), 1)
		begin, last := at, at
		for i := l.from; i < l.to; i++ {
			played, w := pf.Notes[i], pf.Written(i)
			stretch := (1 + p.drift*float64(played.Start)/whole) / p.speed
			start := begin + (float64(played.Start)-base)*stretch + p.jitter*r.NormFloat64()
			start = max(start, last+0.03)
			long := max(float64(played.End-played.Start)*stretch*w.SoundedShare(), 0.05)
			last = start
			at = start + float64(played.End-played.Start)*stretch
			cents := pitch.Cents(w.Pitch.Hz(440)) + p.tuning + 6*r.NormFloat64()
			if w.Pitch.Step == 0 {
				cents = 5000
			}
			if n := len(out.sounds); n > 0 {
				out.sounds[n-1].End = min(out.sounds[n-1].End, start)
			}
			out.first[i], out.wrong[i] = -1, false
			if r.Float64() < p.faults && !w.Grace {
				continue
			}
			s := onset.Sound{Start: start, End: start + long, Cents: cents, Rise: 15, Dip: 12, LevelDB: -20}
			if i > l.from && (pf.Written(i-1).SlurTo || pf.Written(i-1).GlissTo) {
				s.Rise, s.Dip = 1, 1
			}
			if r.Float64() < p.faults && !w.Grace && w.Pitch.Step != 0 {
				s.Cents += 100 * float64([]int{-2, -1, 1, 2, 4, -5}[r.IntN(6)])
				out.wrong[i] = true
			}
			out.first[i] = len(out.sounds)
			if r.Float64() < p.cuts && long > 0.2 && !w.GlissTo {
				s.End = start + long/2
				out.add(s)
				s.Start, s.End, s.Rise, s.Dip = s.End, start+long, 2, 2
				out.add(s)
				continue
			}
			if r.Float64() < p.faults && long > 0.25 {
				s.End = start + long/2
				out.add(s)
				s.Start, s.End, s.Cents = s.End+0.02, start+long*0.9, s.Cents+300
				out.extras = append(out.extras, len(out.sounds))
				out.add(s)
				continue
			}
			out.add(s)
		}
	}
	return out
}

func (s *simulated) add(v onset.Sound) {
	if n := len(s.sounds); n > 0 {
		v.Gap = max(v.Start-s.sounds[n-1].End, 0)
		if before := s.sounds[n-1].Cents; v.Gap < 0.03 {
			v.Step = v.Cents - before
		}
	} else {
		v.Gap = v.Start
	}
	s.sounds = append(s.sounds, v)
}

// tally counts states against the truth.
type tally struct {
	notes, states             int // states that agree: right, wrong or missed, and the sound
	wrong, wrongHad, wrongYes int // true, found, both
	miss, missHad, missYes    int
}

func (c *tally) add(t simulated, a *Alignment) {
	for i, m := range a.Matches {
		c.notes++
		wantMiss, gotMiss := t.first[i] < 0, !m.Played()
		wantWrong, gotWrong := !wantMiss && t.wrong[i], m.Played() && !m.Right
		if wantMiss == gotMiss && wantWrong == gotWrong && (gotMiss || m.First == t.first[i]) {
			c.states++
		}
		count(&c.wrong, &c.wrongHad, &c.wrongYes, wantWrong, gotWrong)
		count(&c.miss, &c.missHad, &c.missYes, wantMiss, gotMiss)
	}
}

func count(want, got, both *int, w, g bool) {
	if w {
		*want++
	}
	if g {
		*got++
	}
	if w && g {
		*both++
	}
}

func share(a, b int) float64 { return float64(a) / math.Max(float64(b), 1) }

func (c tally) report(t *testing.T, name string) {
	t.Logf("%-28s %6d notes, states %.4f, wrong recall %.3f precision %.3f, missed recall %.3f precision %.3f", name, c.notes, share(c.states, c.notes),
		share(c.wrongYes, c.wrong), share(c.wrongYes, c.wrongHad), share(c.missYes, c.miss), share(c.missYes, c.missHad))
}

// some are every k-th of the names.
func some(all []string, k int) (out []string) {
	for i := 0; i < len(all); i += k {
		out = append(out, all[i])
	}
	return out
}

func TestSimulatedTakesOfRealParts(t *testing.T) {
	const leastStates, leastFound = 0.995, 0.97 // shares
	parts := realParts(t)
	cases := []struct {
		name string
		p    player
	}{
		{"as the page", player{speed: 1, jitter: 0.010}},
		{"half tempo", player{speed: 0.5, jitter: 0.015}},
		{"fast", player{speed: 1.6, jitter: 0.010}},
		{"drift", player{speed: 1.1, drift: 0.25, jitter: 0.015}},
		{"faults", player{speed: 0.9, drift: 0.1, jitter: 0.015, faults: 0.02, cuts: 0.1, tuning: 20}},
		{"many faults", player{speed: 1.2, drift: 0.1, jitter: 0.025, faults: 0.05, cuts: 0.2, tuning: -40}},
		{"A = 455", player{speed: 1, jitter: 0.02, faults: 0.02, tuning: 58}},
		{"A = 425", player{speed: 0.8, jitter: 0.02, faults: 0.02, tuning: -60}},
	}
	for _, c := range cases {
		var sum tally
		for seed, name := range some(names(parts), 6) {
			pf := parts[name]
			r := rand.New(rand.NewPCG(uint64(seed), 3))
			take := c.p.play(pf, []leg{{0, len(pf.Notes), 0}}, r)
			a, err := Align(pf, take.sounds, 440)
			if err != nil {
				t.Errorf("%s, %s: %v", c.name, name, err)
				continue
			}
			if len(a.Jumps) > 0 {
				t.Errorf("%s, %s: jumps %v in a straight take", c.name, name, a.Jumps)
			}
			sum.add(take, a)
		}
		sum.report(t, c.name)
		if share(sum.states, sum.notes) < leastStates {
			t.Errorf("%s: states %.4f, want %g", c.name, share(sum.states, sum.notes), leastStates)
		}
		if c.p.faults > 0 {
			for _, v := range []float64{share(sum.wrongYes, sum.wrong), share(sum.wrongYes, sum.wrongHad), share(sum.missYes, sum.miss), share(sum.missYes, sum.missHad)} {
				if v < leastFound {
					t.Errorf("%s: recall or precision %.3f, want %g", c.name, v, leastFound)
				}
			}
		}
	}
}

// restart stops somewhere and begins again up to six bars back.
func restart(pf *score.Performance, bars []int, r *rand.Rand) []leg {
	n := len(pf.Notes)
	stop := n/4 + r.IntN(n/2)
	again, back := stop, 1+r.IntN(6)
	for again > 0 && bars[again]+back > bars[stop] || again > 0 && bars[again-1] == bars[again] {
		again--
	}
	const few = 4 // notes that tell that they were played twice
	if stop-again < few {
		return nil
	}
	return []leg{{0, stop, 0}, {again, n, 0.4 + 2*r.Float64()}}
}

// leaveOut leaves a bar out and plays on.
func leaveOut(pf *score.Performance, bars []int, r *rand.Rand) []leg {
	n := len(pf.Notes)
	stop := n/4 + r.IntN(n/2)
	for stop < n && bars[stop] == bars[stop-1] {
		stop++
	}
	on := stop
	for on < n && bars[on] == bars[stop] {
		on++
	}
	const few = 3 // notes in the bar
	if on >= n || on-stop < few || bars[on] != bars[stop]+1 || bars[stop] != bars[stop-1]+1 {
		return nil
	}
	return []leg{{0, stop, 0}, {on, n, 0}}
}

// passRepeat does not take the first repeat there is.
func passRepeat(pf *score.Performance, _ []int, _ *rand.Rand) []leg {
	for i, ls := range newPage(pf, 440).leaps {
		for _, l := range ls {
			if l.kind == RepeatNotTaken {
				return []leg{{0, i + 1, 0}, {l.to, len(pf.Notes), 0}}
			}
		}
	}
	return nil
}

func TestSimulatedJumpsInRealParts(t *testing.T) {
	const leastStates, leastFound = 0.99, 0.85 // shares; a bar like its neighbor cannot be told from it
	parts := realParts(t)
	for name, legsOf := range map[string]func(*score.Performance, []int, *rand.Rand) []leg{
		"restart": restart, "left out": leaveOut, "repeat not taken": passRepeat} {
		var sum tally
		found, tried := 0, 0
		for seed, file := range some(names(parts), 2) {
			pf := parts[file]
			r := rand.New(rand.NewPCG(uint64(seed), 30))
			legs := legsOf(pf, barsOf(pf), r)
			if legs == nil {
				continue
			}
			tried++
			take := player{speed: 0.8 + 0.5*r.Float64(), jitter: 0.015, faults: 0.01, tuning: 15 * r.NormFloat64()}.play(pf, legs, r)
			a, err := Align(pf, take.sounds, 440)
			if err != nil {
				t.Errorf("%s, %s: %v", name, file, err)
				continue
			}
			sum.add(take, a)
			if len(a.Jumps) == 1 && a.Jumps[0].To == legs[1].from {
				found++
			}
		}
		sum.report(t, name)
		t.Logf("%s: %d of %d found as played", name, found, tried)
		if tried == 0 || share(found, tried) < leastFound || share(sum.states, sum.notes) < leastStates {
			t.Errorf("%s: %d of %d found, states %.4f; want %g and %g", name, found, tried, share(sum.states, sum.notes), leastFound, leastStates)
		}
	}
}

// work is the part's work, by the first three words of its file name.
func work(file string) string { return strings.Join(strings.SplitN(file, "-", 4)[:3], "-") }

func TestTakesOfOtherRealPartsAreRefused(t *testing.T) {
	parts := realParts(t)
	all := names(parts)
	tried := 0
	for i, file := range all {
		pf := parts[file]
		const long = 300 // notes: enough to tell, and the test stays quick
		if len(pf.Notes) > long {
			continue
		}
		r := rand.New(rand.NewPCG(uint64(i), 4))
		take := player{speed: 0.9, jitter: 0.01}.play(pf, []leg{{0, len(pf.Notes), 0}}, r)
		const apart = 7 // places in the list
		other := all[(i+apart)%len(all)]
		if work(other) == work(file) {
			continue
		}
		tried++
		if a, err := Align(parts[other], take.sounds, 440); !errors.Is(err, ErrUnlike) {
			t.Errorf("%s is taken for %s: %+v, %v", file, other, a, err)
		}
	}
	if tried < 20 {
		t.Errorf("only %d other parts were tried", tried)
	}
	t.Logf("%d takes of other works refused", tried)
}

// Tunes of the same key, rhythm and range are the hardest to tell apart.
func TestTakesOfTwentyOtherTunesAreRefused(t *testing.T) {
	scale := strings.Fields("Bb2 C3 D3 Eb3 F3 G3 A3 Bb3")
	pf := melody(t, slices.Concat(tune, tune[4:], tune[:12])...)
	for seed := range uint64(20) {
		r := rand.New(rand.NewPCG(seed, 6))
		var other []string
		at := r.IntN(len(scale))
		for range 48 {
			other = append(other, scale[at])
			at = max(0, min(at+r.IntN(5)-2, len(scale)-1))
		}
		a, err := Align(pf, heard(melody(t, other...), 1, 0), 440)
		if !errors.Is(err, ErrUnlike) {
			t.Errorf("tune %d %v is taken: %+v", seed, other, kinds(a))
		}
	}
}
