package midi

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"waterkey/score"

	"pgregory.net/rapid"
)

// An exact file keeps what it says: 480 ticks are a quarter note.
func TestExactValues(t *testing.T) {
	for want, c := range map[string]struct {
		events []event
		notes  []tone
	}{
		"r/2 r/4 C4/4":                                    {nil, []tone{{1440, 480, 60}}},
		"C4/4. D4/8 C4/16 D4/16 E4/8 r/4":                 {nil, []tone{{0, 720, 60}, {720, 240, 62}, {960, 120, 60}, {1080, 120, 62}, {1200, 240, 64}}},
		"C4/8 r/8 D4/8 r/8 E4/8 r/8 F4/8 r/8":             {nil, []tone{{0, 240, 60}, {480, 240, 62}, {960, 240, 64}, {1440, 240, 65}}},
		"C4/8:3 D4/8:3 E4/8:3 F4/2.":                      {nil, []tone{{0, 160, 60}, {160, 160, 62}, {320, 160, 64}, {480, 1440, 65}}},
		"C4/4:3 D4/4:3 E4/4:3 F4/2":                       {nil, []tone{{0, 320, 60}, {320, 320, 62}, {640, 320, 64}, {960, 960, 65}}},
		"C4/8:3 D4/4:3 E4/2.":                             {nil, []tone{{0, 160, 60}, {160, 320, 62}, {480, 1440, 64}}},
		"C4/16:5 D4/16:5 E4/16:5 F4/16:5 G4/16:5 r/4 r/2": {nil, []tone{{0, 96, 60}, {96, 96, 62}, {192, 96, 64}, {288, 96, 65}, {384, 96, 67}}},
		"C4/64 D4/64 E4/32 F4/8. r/4 r/2":                 {nil, []tone{{0, 30, 60}, {30, 30, 62}, {60, 60, 64}, {120, 360, 65}}},
		"C4/8 D4/4 E4/4 F4/4 G4/8~ | G4/1":                {nil, []tone{{0, 240, 60}, {240, 480, 62}, {720, 480, 64}, {1200, 480, 65}, {1680, 2160, 67}}},
		"C4/4.. D4/16 E4/2":                               {nil, []tone{{0, 840, 60}, {840, 120, 62}, {960, 960, 64}}},
		"C4/2~ C4/8 r/8 r/4":                              {nil, []tone{{0, 1200, 60}}},
		"C4/8 D4/4~ D4/8 E4/4":                            {[]event{meterAt(0, 6, 8, 36)}, []tone{{0, 240, 60}, {240, 720, 62}, {960, 480, 64}}},
		"C4/4. r/4. | rest | C4/4 r/8 r/4.":               {[]event{meterAt(0, 6, 8, 36)}, []tone{{0, 720, 60}, {2880, 480, 60}}},
		"C4/8. D4/8. E4/4.":                               {[]event{meterAt(0, 6, 8, 36)}, []tone{{0, 360, 60}, {360, 360, 62}, {720, 720, 64}}},
		"C4/4 D4/8 E4/4":                                  {[]event{meterAt(0, 5, 8, 24)}, []tone{{0, 480, 60}, {480, 240, 62}, {720, 480, 64}}},
	} {
		p := only(t, tones(t, c.events, c.notes...))
		if got := page(p); got != want {
			t.Errorf("got  %s\nwant %s", got, want)
		}
		if slices.ContainsFunc(p.Skipped, func(s string) bool { return strings.Contains(s, "rounded") }) {
			t.Errorf("%s: an exact file was rounded: %q", want, p.Skipped)
		}
		checkFilled(t, p)
	}
}

// A played file is rounded, and how far is said. 480 ticks at 120 are 500 ms,
// so that 26 ticks are 27 ms.
func TestRounding(t *testing.T) {
	for want, c := range map[string][]tone{
		"C4/4 D4/4 E4/4 F4/4":               {{3, 440, 60}, {469, 452, 62}, {984, 441, 64}, {1431, 470, 65}},
		"C4/8 D4/8 E4/4 F4/2":               {{7, 220, 60}, {251, 208, 62}, {473, 460, 64}, {969, 890, 65}},
		"C4/8:3 D4/8:3 E4/8:3 F4/4 G4/2":    {{5, 150, 60}, {153, 170, 62}, {329, 140, 64}, {471, 462, 65}, {951, 930, 67}},
		"C4/8. D4/16 E4/4 F4/2":             {{0, 350, 60}, {371, 99, 62}, {477, 451, 64}, {966, 930, 65}},
		"C4/32 D4/32 E4/16 F4/8 G4/4 A4/2":  {{7, 50, 60}, {66, 50, 62}, {121, 110, 64}, {246, 220, 65}, {485, 450, 67}, {955, 930, 69}},
		"C4/4. r/8 r/2 | D4/1":              {{2, 576, 60}, {1923, 1790, 62}},
		"C4/16 D4/16 E4/16 F4/16 G4/4 A4/2": {{9, 110, 60}, {113, 118, 62}, {247, 108, 64}, {352, 120, 65}, {484, 440, 67}, {953, 940, 69}},
	} {
		p := only(t, tones(t, []event{meterAt(0, 4, 4, 24)}, c...))
		if got := page(p); got != want {
			t.Errorf("got  %s\nwant %s", got, want)
		}
	}
	p := only(t, tones(t, []event{meterAt(0, 4, 4, 24)}, tone{3, 440, 60}, tone{469, 452, 62}, tone{984, 441, 64}, tone{1431, 470, 65}, tone{1946, 1800, 67}))
	pickup := only(t, tones(t, []event{meterAt(0, 3, 8, 24), meterAt(720, 4, 4, 24)},
		tone{5, 220, 60}, tone{238, 150, 62}, tone{415, 150, 64}, tone{549, 150, 65}, tone{724, 1800, 67}))
	if got, want := page(pickup), "C4/8 D4/8:3 E4/8:3 F4/8:3 | G4/1"; got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
	five := only(t, tones(t, []event{meterAt(0, 5, 8, 24)},
		tone{3, 460, 60}, tone{488, 470, 62}, tone{1190, 560, 64}, tone{1676, 460, 65}))
	if got, want := page(five), "C4/4 D4/4 r/8 | E4/4 F4/4 r/8"; got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
	want := "bar 2: the start of 5 of 5 notes was rounded to the grid; this bar has the largest shift, 26 ticks (27 ms)"
	if !slices.Contains(p.Skipped, want) {
		t.Errorf("said %q, want %q", p.Skipped, want)
	}
}

// Beats and their divisions in the order of their prices.
func TestLattices(t *testing.T) {
	for _, c := range []struct {
		meter score.Meter
		beat  score.Time
		parts []int64
	}{
		{score.Meter{Beats: 4, Unit: 4}, score.Frac(1, 4), []int64{1, 2, 4, 8, 3, 6}},
		{score.Meter{Beats: 2, Unit: 2}, score.Frac(1, 4), []int64{1, 2, 4, 8, 3, 6}},
		{score.Meter{Beats: 6, Unit: 4}, score.Frac(1, 4), []int64{1, 2, 4, 8, 3, 6}},
		{score.Meter{Beats: 6, Unit: 8}, score.Frac(3, 8), []int64{1, 3, 6, 12, 9}},
		{score.Meter{Beats: 9, Unit: 16}, score.Frac(3, 16), []int64{1, 3, 6}},
	} {
		l := DefaultGrid.latticeOf(c.meter)
		var parts []int64
		for _, d := range l.rounded {
			parts = append(parts, d.parts)
		}
		if l.beat != c.beat || !slices.Equal(parts, c.parts) {
			t.Errorf("%s: beat %s in %v, want %s in %v", c.meter, l.beat, parts, c.beat, c.parts)
		}
	}
	// 7 ticks of 24 are two sevenths to within half a tick, and tell nothing.
	l := DefaultGrid.latticeOf(four)
	if d, ok := l.exactly(l.exact, []float64{7.0 / 96}, 96); ok {
		t.Errorf("7 ticks of 24 lie on %d parts", d.parts)
	}
}

// In a mechanical file only quick notes off every grid are grace notes, and an
// end inside tuplets is on their grid.
func TestOffTheGrid(t *testing.T) {
	keys := slices.Repeat([]uint8{60, 62, 64, 65}, 6)
	notes := row(quarter, 1, keys...)
	notes[5].on += 37
	notes[5].length -= 37
	notes[9].length -= 60
	p := only(t, tones(t, nil, append(notes, tone{10*quarter - 47, 47, 63})...))
	graces := 0
	for _, n := range p.Notes {
		if n.Grace {
			graces++
		}
	}
	if graces != 1 || p.Notes[10].Pitch.MIDI() != 63 || !p.Notes[10].Grace || p.Notes[10].Onset != score.Frac(10, 4) {
		t.Errorf("%d grace notes, want the D sharp before the third E", graces)
	}
	rest := row(quarter, 1, append([]uint8{0}, keys...)...)
	p = only(t, tones(t, nil, append(rest, tone{0, 96, 60}, tone{96, 204, 62})...))
	if end := p.Notes[1].End(); end.Scale(80, 1).Den() != 1 || end == p.Notes[2].Onset {
		t.Errorf("a quintuplet ends at %s, between its fellows", end)
	}
}

// Reference: note values and their tuplets as any rudiments of music have them.
func TestSingleValues(t *testing.T) {
	for text, want := range map[string]string{
		"1": "/1", "2": "/1/2", "1/128": "/128", "3/8": "/4.", "7/16": "/4..", "1/12": "/8:3", "1/6": "/4:3", "1/20": "/16:5", "1/28": "/16:7", "1/36": "/32:9",
		"5/8": "", "1/256": "", "4": "", "1/11": "",
	} {
		length, err := score.ParseTime(text)
		if err != nil {
			t.Fatal(err)
		}
		v, dots, ratio, ok := single(length)
		got := ""
		if ok {
			got = value(v, dots, ratio)
		}
		if got != want {
			t.Errorf("%s: %q, want %q", text, got, want)
		}
	}
}

// A triplet over the end of its group is tied there.
func TestSplitAtGroups(t *testing.T) {
	quarter := score.Frac(1, 4)
	got := stretch{score.Frac(5, 24), score.Frac(7, 24)}.split(quarter, fitsNote)
	if len(got) != 2 || got[0].to != quarter {
		t.Errorf("got %v, want a cut at %s", got, quarter)
	}
}

// The finest value is the caller's.
func TestGridOfTheCaller(t *testing.T) {
	notes := []tone{{7, 220, 60}, {251, 208, 62}, {473, 460, 64}, {969, 890, 65}}
	p, err := parsed(t, tones(t, nil, notes...)).PartOn(score.Selection{}, Grid{Binary: 4})
	if err != nil {
		t.Fatal(err)
	}
	for _, n := range p.Notes {
		if n.Onset.Scale(4, 1).Den() != 1 {
			t.Errorf("%s starts at %s, no quarter", n.Pitch, n.Onset)
		}
	}
}

// Gaps: articulation below an eighth and half of the time, rests above.
func TestGaps(t *testing.T) {
	for name, c := range map[string]struct {
		length int64
		share  float64
		keys   []uint8
		want   string
	}{
		"detached quarters":        {480, 0.85, []uint8{60, 62, 64, 65}, "C4/4 D4/4 E4/4 F4/4"},
		"staccato eighths":         {240, 0.45, []uint8{60, 62, 64, 65, 60, 62, 64, 65}, "C4/8' D4/8' E4/8' F4/8' C4/8' D4/8' E4/8' F4/8'"},
		"very short eighths":       {240, 0.2, []uint8{60, 62, 64, 65, 60, 62, 64, 65}, `C4/8" D4/8" E4/8" F4/8" C4/8" D4/8" E4/8" F4/8"`},
		"a quarter rest after":     {480, 0.85, []uint8{60, 0, 62, 0}, "C4/4 r/4 D4/4 r/4"},
		"an eighth rest after":     {240, 0.9, []uint8{60, 62, 64, 0, 65, 67, 65, 0}, "C4/8 D4/8 E4/8 r/8 F4/8 G4/8 F4/8 r/8"},
		"half notes":               {960, 0.85, []uint8{60, 62}, "C4/2 D4/2"},
		"dotted, very short":       {360, 0.35, []uint8{60, 62, 64}, "C4/16 r/16 r/16 D4/16 r/8 E4/16 r/16 r/2"},
		"a bar of rest":            {1920, 0.9, []uint8{60, 0, 62}, "C4/1 | rest | D4/1"},
		"sixteenths, well apart":   {120, 0.7, []uint8{60, 62, 64, 65, 0, 0, 0, 0, 60, 62, 64, 65}, "C4/16 D4/16 E4/16 F4/16 r/4 C4/16 D4/16 E4/16 F4/16 r/4"},
		"quarters, eighths played": {480, 0.475, []uint8{60, 62, 64, 65}, "C4/8 r/8 D4/8 r/8 E4/8 r/8 F4/8 r/8"},
	} {
		t.Run(name, func(t *testing.T) {
			p := only(t, tones(t, nil, row(c.length, c.share, c.keys...)...))
			if got := page(p); got != c.want {
				t.Errorf("got  %s\nwant %s", got, c.want)
			}
		})
	}
}

// Onsets of real parts, shifted at random as if played: a standard deviation of
// 10 and 20 ms (estimate: of a good player, and of a rough one). Measured, with
// floors under the measured figures. The prices of the grids were chosen on
// these parts.
func TestPlayedOnsets(t *testing.T) {
	for _, c := range []struct{ ms, floor float64 }{{10, 0.99}, {20, 0.94}} {
		random := rand.New(rand.NewPCG(1, 2))
		notes, right := 0, 0
		for _, path := range sharedScores(t) {
			pf := performance(t, path)
			d := parsed(t, written(t, pf))
			shift(d, c.ms/1000, random)
			p := partOf(t, d, score.Selection{})
			at := map[score.Time]bool{}
			for _, n := range p.Notes {
				at[n.Onset] = true
			}
			for _, n := range pf.Notes {
				notes++
				if at[n.At] {
					right++
				}
			}
		}
		t.Logf("%.0f ms: %d of %d onsets", c.ms, right, notes)
		if float64(right) < c.floor*float64(notes) {
			t.Errorf("%.0f ms: %d of %d onsets came back, want %.0f %%", c.ms, right, notes, 100*c.floor)
		}
	}
}

// shift moves the notes of the first part.
func shift(d *Document, seconds float64, random *rand.Rand) {
	clock := newClock(d)
	notes := d.strands[0].notes
	for i := range notes {
		n := &notes[i]
		tick := clock.seconds(n.on+1) - clock.seconds(n.on)
		by := int64(math.Round(random.NormFloat64() * seconds / tick))
		n.on, n.off = max(n.on+by, 0), max(n.off+by, n.on+by+1)
	}
	slices.SortStableFunc(notes, func(a, b struck) int { return int(a.on - b.on) })
}

// Whatever stretch of whatever meter, the pieces follow one another, fill it,
// and can be written.
func TestSplitFills(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		den := rapid.SampledFrom([]int64{32, 24, 64}).Draw(t, "den")
		a := rapid.Int64Range(0, 2*den).Draw(t, "from")
		b := rapid.Int64Range(a+1, 2*den+1).Draw(t, "to")
		beat := rapid.SampledFrom([]score.Time{score.Frac(1, 4), score.Frac(1, 2), score.Frac(3, 8), score.Frac(3, 4)}).Draw(t, "beat")
		from, to := score.Frac(a, den), score.Frac(b, den)
		fits := fitsNote
		if rapid.Bool().Draw(t, "rest") {
			fits = fitsRest
		}
		at := from
		for _, c := range (stretch{from, to}).split(beat, fits) {
			if c.from != at || !c.from.Less(c.to) {
				t.Fatalf("a piece from %s to %s after %s", c.from, c.to, at)
			}
			if _, _, _, ok := single(c.to.Sub(c.from)); !ok {
				t.Fatalf("%s to %s in %s to %s is no single value", c.from, c.to, from, to)
			}
			at = c.to
		}
		if at != to {
			t.Fatalf("the pieces end at %s, want %s", at, to)
		}
	})
}
