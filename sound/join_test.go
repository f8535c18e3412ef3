package sound

import (
	"math"
	"slices"
	"testing"

	"waterkey/score"
)

// steady is the largest step between samples of a held tone.
func steady(hz, level float64) float64 {
	return largestStep(seconds(Render([]Tone{{End: 2, Hz: hz, Level: level}}, Options{}).Channels[0], 1, 1.8))
}

// At no start, join or end may the samples jump: a step must be no larger than
// held tones of the same pitches have, but for the settling of up to 1 dB and,
// where two tones follow after a stroke, nothing at all.
func TestNoSampleJumps(t *testing.T) {
	const settling = 1.13 // 1 dB
	held := max(steady(233.08, 0), steady(349.23, 0), steady(261.63, 0))
	for _, c := range []struct {
		name  string
		notes []written
	}{
		{"slur up and down", []written{{"Bb3", 1, slur(false, true)}, {"F4", 1, slur(true, true)}, {"Bb3", 2, slur(true, false)}}},
		{"repeated under a slur", []written{{"F4", 2, slur(false, true)}, {"F4", 2, slur(true, false)}}},
		{"tenuto", []written{{"Bb3", 2, marked(score.Tenuto)}, {"F4", 2, nil}}},
		{"tongued", []written{{"Bb3", 1, nil}, {"F4", 1, nil}, {"C4", 2, nil}}},
		{"glissando", []written{{"F4", 2, func(n *score.Note) { n.GlissTo = true }}, {"C4", 2, nil}}},
	} {
		x := play(t, page(t, c.notes...), Options{})
		if got := largestStep(x); got > held*settling {
			t.Errorf("%s: a step of %.4f between samples, held tones have %.4f", c.name, got, held)
		}
	}
}

// Pitch and level glide through a slur, even from soft to loud: in a tenth of a
// millisecond neither goes far.
func TestSlurGlides(t *testing.T) {
	c := chains([]Tone{
		{Start: 0, End: 0.5, Hz: 233, Level: -12}, {Start: 0.5, End: 1, Hz: 466, Level: 8, Attack: Slurred, Connects: true},
	}, &plainTone)[0]
	const grid, mostCents, mostDB = 1e-4, 12, 0.3 // an octave and 20 dB in 24 ms, at most half as fast again
	before, i := c.at(0, 0.4), 0
	for at := 0.4 + grid; at < 0.6; at += grid {
		if at >= 0.5 {
			i = 1
		}
		now := c.at(i, at)
		if hz, db := cents(now.hz, before.hz), 20*math.Log10(now.gain/before.gain); math.Abs(hz) > mostCents || math.Abs(db) > mostDB {
			t.Fatalf("at %.4f s: %.1f cents and %.2f dB at once", at, hz, db)
		}
		before = now
	}
}

// What stays of the sound between two notes: everything under a slur, little at
// a soft stroke, next to nothing at a tongue stroke.
func TestDipBetweenNotes(t *testing.T) {
	for _, c := range []struct {
		name      string
		first     func(*score.Note)
		second    written
		low, high float64 // dB of the lowest 5 ms against the held note
	}{
		{"slur", slur(false, true), written{"C4", 2, slur(true, false)}, -1.5, 1.5},
		{"repeated under a slur", slur(false, true), written{"Bb3", 2, slur(true, false)}, -10, -4},
		{"tenuto", marked(score.Tenuto), written{"Bb3", 2, nil}, -25, -10},
		{"tongued", nil, written{"Bb3", 2, nil}, -1000, -60},
	} {
		x := play(t, page(t, written{"Bb3", 2, c.first}, c.second), Options{})
		env := envelope(x, DefaultRate/200)
		dip := 20 * math.Log10(slices.Min(env[1.6*DefaultRate:2.2*DefaultRate])/env[DefaultRate]+1e-9)
		if dip < c.low || dip > c.high {
			t.Errorf("%s: falls by %.1f dB between the notes, want %g to %g", c.name, dip, c.low, c.high)
		}
	}
}

// Closed form: with an even slide the period changes evenly, so half way the
// frequency is the harmonic mean of the ends.
func TestGlissandoFollowsTheSlide(t *testing.T) {
	const f, b = 174.6141, 123.4708 // F3 in first to B2 in seventh position
	p := page(t, written{"F3", 4, func(n *score.Note) { n.GlissTo = true }}, written{pitch: "B2", quarters: 4})
	x := play(t, p, Options{})
	before := math.Inf(1)
	for at := 0.1; at < 4; at += 0.1 {
		u := at / 4
		want := 1 / ((1-u)/f + u/b)
		got := frequency(seconds(x, at-0.04, at+0.04), want, DefaultRate)
		if math.Abs(cents(got, want)) > 3 {
			t.Errorf("%.1f s: %.2f Hz, an even slide gives %.2f", at, got, want)
		}
		if got >= before {
			t.Errorf("%.1f s: %.2f Hz after %.2f does not fall", at, got, before)
		}
		before = got
	}
	for _, end := range []struct{ at, hz float64 }{{0.045, f}, {3.96, b}, {5, b}} {
		got := frequency(seconds(x, end.at-0.04, end.at+0.04), end.hz, DefaultRate)
		if math.Abs(cents(got, end.hz)) > 9 { // the slide has gone 8 cents by then
			t.Errorf("near the end at %g s: %.2f Hz, want %.2f", end.at, got, end.hz)
		}
	}
}

// The length of a note by its marks, from half amplitude to half amplitude.
// Reference: half the value for staccato (handbook rule); the others as
// score.SoundedShare has them, but for a plain note, which is held until the tongue
// makes room (common practice, no source: a long note does not stop a tenth early).
func TestSoundedLengths(t *testing.T) {
	const most = 0.015 // seconds
	for _, c := range []struct {
		name string
		mark score.Mark
		want float64
	}{
		{"staccato", score.Staccato, 0.5}, {"plain", 0, 0.92},
		{"portato", score.Staccato | score.Tenuto, 0.75}, {"staccatissimo", score.Staccatissimo, 0.25},
	} {
		x := play(t, page(t, written{"Bb3", 1, marked(c.mark)}, written{quarters: 1}), Options{LeadIn: 0.2})
		env := envelope(x, DefaultRate/117) // two periods
		half := slices.Max(env) / 2
		first := slices.IndexFunc(env, func(v float64) bool { return v > half })
		last := len(env) - 1
		for env[last] < half {
			last--
		}
		if got := float64(last-first) / DefaultRate; math.Abs(got-c.want) > most {
			t.Errorf("%s quarter at 60: sounds %.3f s, want %.3f", c.name, got, c.want)
		}
		if start := float64(first) / DefaultRate; math.Abs(start-0.2) > most {
			t.Errorf("%s: starts at %.3f s, want 0.2", c.name, start)
		}
	}
}
