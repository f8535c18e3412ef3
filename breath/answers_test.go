package breath

import (
	"math"
	"strings"
	"testing"

	"waterkey/player"
	"waterkey/score"
	"waterkey/score/scoretest"
)

// TestLackIsNamed: a note that no lungs hold is named with its bars, and what is
// short is the flow times the time (closed form).
func TestLackIsNamed(t *testing.T) {
	// A tenuto whole note at 60 on B flat 3, mezzo-forte, takes 4 s of 0.25 L/s.
	o := small(1) // 0.71 L usable
	b := solve(t, at(t, 60, "Bb3/1-"), o)
	lack := b.Lacking()
	if len(lack) != 1 || math.Abs(lack[0].Liters-(1-0.71)) > 1e-9 || math.Abs(float64(lack[0].Seconds)-0.29/0.25) > 1e-9 {
		t.Fatalf("%+v, want 0.29 L and 1.16 s short", lack)
	}
	if lack[0].Drop != -1 {
		t.Errorf("%+v, want nothing to leave out", lack[0])
	}
	if says := b.Says(lack[0]); !strings.Contains(says, "bar 1") || !strings.Contains(says, "0.3 L") {
		t.Error(says)
	}
	if do := b.Do(lack[0]); !strings.Contains(do, "End the note early") || !strings.HasPrefix(do, "Time a long tone of your own before you believe it") {
		t.Error(do)
	}
}

// TestDropCarries: the note named for leaving out does what is said. With a rest in
// its place nothing lacks.
func TestDropCarries(t *testing.T) {
	const run = "Bb2/4( C3/4( D3/4( Eb3/4( F3/4( G3/4( A3/4( Bb3/4"
	pf := at(t, 80, run)
	named, none := 0, 0
	for vital := 0.8; vital < 2.4; vital += 0.1 {
		o := small(vital)
		for i := range 7 {
			o.Pins = append(o.Pins, Pin{After: i, Forbid: true})
		}
		for _, l := range solve(t, pf, o).Lacking() {
			if l.Drop < 0 {
				none++
				continue
			}
			named++
			// All in one slur but for the rest, as the pins had it.
			notes := strings.Fields(run)
			notes[l.Drop-1] = strings.TrimSuffix(notes[l.Drop-1], "(")
			notes[l.Drop] = "r/4"
			o := small(vital)
			for i := range 6 {
				o.Pins = append(o.Pins, Pin{After: i, Forbid: i != l.Drop-1})
			}
			if b := solve(t, at(t, 80, strings.Join(notes, " ")), o); len(b.Lacking()) > 0 {
				t.Errorf("%.1f L without note %d: %+v", vital, l.Drop, b.Lacking())
			}
		}
	}
	if named == 0 || none == 0 {
		t.Errorf("%d notes named, %d stretches without one: the run does not try it", named, none)
	}
}

// TestLow: where the air comes under the comfortable line, by how much and how long
// (closed form).
func TestLow(t *testing.T) {
	// Full is 1.7 L of 2, comfortable 0.5: 6 s of 0.25 L/s end 0.3 under it.
	o := small(2)
	o.Pins = []Pin{{After: 0, Forbid: true}}
	b := solve(t, at(t, 60, "Bb3/1- Bb3/2-"), o)
	low := b.Low()
	if len(low) != 1 || low[0].First != 1 || math.Abs(low[0].Liters-0.3) > 1e-9 || math.Abs(float64(low[0].Seconds)-1.2) > 1e-9 {
		t.Errorf("%+v, want 0.3 L and 1.2 s from note 1 on", low)
	}
}

// TestCurve: it starts full, ends at the air left, and time goes forward.
func TestCurve(t *testing.T) {
	b := solve(t, at(t, 72, "F3/4 G3/4 F3/2- F3/4 G3/4 F3/4 G3/4"), small(1.6))
	c := b.Curve()
	if c[0].Liters != b.Lungs.FullLiters() || math.Abs(c[len(c)-1].Liters-b.End) > tiny {
		t.Errorf("from %.3f to %.3f L, want %.3f to %.3f", c[0].Liters, c[len(c)-1].Liters, b.Lungs.FullLiters(), b.End)
	}
	for _, br := range b.Breaths {
		next, low := b.Performance.Notes[br.After+1].Start, 0.0
		for _, p := range c {
			if p.At < next {
				low = p.Liters
			}
		}
		if math.Abs(low-br.AirBefore) > tiny {
			t.Errorf("%.3f L before the breath after note %d, want %.3f", low, br.After, br.AirBefore)
		}
	}
	starts := 0
	for i := 1; i < len(c); i++ {
		if n := c[i].Note; n >= 0 {
			if starts++; c[i].At != b.Performance.Notes[n].Start {
				t.Errorf("note %d at %.3f s, want %.3f", n, c[i].At, b.Performance.Notes[n].Start)
			}
		}
		if c[i].At < c[i-1].At-tiny {
			t.Errorf("point %d at %.3f s comes after one at %.3f", i, c[i].At, c[i-1].At)
		}
	}
	if starts != len(b.Performance.Notes)-1 {
		t.Errorf("%d notes start after the first, want %d", starts, len(b.Performance.Notes)-1)
	}
}

// TestStretches: from breath to breath, every note once, with the air the plan has.
func TestStretches(t *testing.T) {
	b := solve(t, at(t, 72, "F3/4 G3/4 F3/2- F3/4 G3/4 F3/4 G3/4"), small(1.6))
	ss := b.Stretches()
	if len(ss) != len(b.Breaths)+1 || len(ss) < 2 {
		t.Fatalf("%d stretches, %d breaths", len(ss), len(b.Breaths))
	}
	next := 0
	for k, s := range ss {
		if s.First != next || s.Seconds <= 0 {
			t.Errorf("%+v, want one from note %d", s, next)
		}
		if k < len(b.Breaths) && (s.Last != b.Breaths[k].After || s.End != b.Breaths[k].AirBefore || ss[k+1].Start != b.Breaths[k].AirAfter) {
			t.Errorf("%+v does not end with %+v", s, b.Breaths[k])
		}
		next = s.Last + 1
	}
	if s := ss[len(ss)-1]; next != len(b.Performance.Notes) || s.End != b.End {
		t.Errorf("the last is %+v, the end %g", s, b.End)
	}
}

// TestNamesAreAsWritten: a part written a major second above its sound is spoken of as
// it stands on the page.
func TestNamesAreAsWritten(t *testing.T) {
	pf := at(t, 72, "F3/4( G3/4( F3/4( G3/2 F3/4( G3/4( F3/4( G3/4 r/4 F3/4")
	for i := range pf.Part.Notes {
		n := &pf.Part.Notes[i]
		n.Written = n.Pitch.Transpose(1, 2)
	}
	b := solve(t, pf, small(2.1))
	if why := b.Why(0); !strings.Contains(why, "After the A3") || strings.Contains(why, "F3") {
		t.Error(why)
	}
	if _, err := Solve(pf, Options{Pins: []Pin{{After: len(pf.Notes) - 1}}}); err == nil || !strings.Contains(err.Error(), "the G3 in bar") {
		t.Errorf("%v, want the last note as written, G3", err)
	}
}

// TestSlowestTempo: a tone of six felt beats at 0.25 L/s from 1.42 L lasts down to
// 6 x 60 x 0.25 / 1.42 beats a minute (closed form).
func TestSlowestTempo(t *testing.T) {
	part := scoretest.Part(t, common, 120, "Bb3/1-( Bb3/2-")
	part.Notes[1].Marks |= score.Tenuto
	s, err := SlowestTempo(part, 0, 1, small(2))
	if err != nil {
		t.Fatal(err)
	}
	want := 6 * 60 * 0.25 / (0.71 * 2)
	if math.Abs(s.BPM-want) > tempoStep || s.TooSlow > want || s.BPM < want {
		t.Errorf("%+v, want %.2f", s, want)
	}
	if _, err := SlowestTempo(part, 0, 9, small(2)); err == nil {
		t.Error("notes beyond the part are accepted")
	}
}

// TestSlowerTakesMoreAir is what the bisection rests on: no note takes less air at
// a slower tempo.
func TestSlowerTakesMoreAir(t *testing.T) {
	for name, pf := range realParts(t) {
		o, err := Options{}.complete()
		if err != nil {
			t.Fatal(err)
		}
		var before []noteAir
		for _, bpm := range []float64{160, 120, 90, 60, 40} {
			slow, err := pf.Part.ReadThrough(score.Tempo{BPM: bpm})
			if err != nil {
				t.Fatal(err)
			}
			now := airs(slow, o)
			for i := range before {
				if now[i].liters < before[i].liters-tiny {
					t.Fatalf("%s: note %d takes %.4f L at %g, %.4f before", name, i, now[i].liters, bpm, before[i].liters)
				}
			}
			before = now
		}
	}
}

// TestOthers: going without a breath, or with one more, never costs less.
func TestOthers(t *testing.T) {
	b := solve(t, readPart(t, "../demo/season/lantern-song.musicxml"), Options{})
	for k, br := range b.Breaths {
		o, err := b.Instead(k)
		if err != nil {
			t.Fatal(err)
		}
		if o.ExtraCost < -tiny && !br.Printed || contains(afters(o.Plan), br.After) {
			t.Errorf("without breath %d: extra cost %g, breaths %v", k, o.ExtraCost, afters(o.Plan))
		}
	}
	for i := 0; i+1 < len(b.Performance.Notes); i++ {
		o, err := b.Through(i)
		if err == nil && (o.ExtraCost < -tiny || !contains(afters(o.Plan), i)) {
			t.Errorf("through %d: extra cost %g, breaths %v", i, o.ExtraCost, afters(o.Plan))
		}
	}
}

// TestWarnings: long loud low playing, breaths on full lungs, air held long.
func TestWarnings(t *testing.T) {
	for _, c := range []struct {
		name, text string
		bpm        float64
		kind       WarningKind
		word       string
	}{
		{"loud and low", "=ff " + strings.Repeat("E2/4- E2/4- E2/4- r/4 ", 10), 90, Dizzy, "light-headed"},
		{"held long", "=pp F4/1-( F4/1-( F4/1-( F4/1-( F4/1- r/1 F4/1", 55, Stale, "Breathe out"},
		{"breaths on full lungs", "=pp " + strings.Repeat("F4/2, ", 8), 90, Stale, "stale"},
		{"nothing", "=mf " + strings.Repeat("F3/4 G3/4 A3/4 Bb3/4 F3/2 r/2 ", 4), 90, "", ""},
	} {
		ws := solve(t, at(t, c.bpm, c.text), Options{Lungs: player.UsualLungs(player.Professional)}).Warnings()
		if c.kind == "" {
			if len(ws) > 0 {
				t.Errorf("%s: %+v", c.name, ws)
			}
			continue
		}
		if len(ws) == 0 || ws[0].Kind != c.kind || !strings.Contains(ws[0].Says+ws[0].Do, c.word) {
			t.Errorf("%s: %+v, want %s and %q", c.name, ws, c.kind, c.word)
		}
	}
}

// TestWhy: the sentence names place, room, what is taken, the reason and the need.
func TestWhy(t *testing.T) {
	b := solve(t, at(t, 72, "F3/4( G3/4( F3/4( G3/2 F3/4( G3/4( F3/4( G3/4 r/4 F3/4"), small(2.1))
	if len(b.Breaths) == 0 {
		t.Fatal("no breath")
	}
	why := b.Why(0)
	for _, want := range []string{"After the G3 held into bar 2", "catch breath", "taken from the G3", "where the slur ends", "on a long note", "L left", "the air would be gone"} {
		if !strings.Contains(why, want) {
			t.Errorf("%q does not say %q", why, want)
		}
	}
	if b.Why(-1) != "" || b.Why(99) != "" {
		t.Error("a sentence about no breath")
	}
}
