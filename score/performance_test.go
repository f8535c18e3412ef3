package score

import (
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// filled gives every bar of a page one note per value, numbered through; the
// values fill the bar.
func filled(p *Part, value Time) *Part {
	for i, b := range p.Bars {
		for at := b.Start; at.Less(b.End()); at = at.Add(value) {
			p.Notes = append(p.Notes, Note{Bar: i, Onset: at, Duration: value, Pitch: Pitch{Step: 'F', Octave: 3},
				Pieces: []Piece{{Bar: i, Onset: at, Duration: value}}})
		}
	}
	return p
}

// tie joins note n with the one after it.
func tie(p *Part, n int) {
	a, b := &p.Notes[n], p.Notes[n+1]
	a.Pieces, a.Duration = append(a.Pieces, b.Pieces...), a.Duration.Add(b.Duration)
	p.Notes = append(p.Notes[:n+1], p.Notes[n+2:]...)
}

func perform(t testing.TB, p *Part, bpm float64) *Performance {
	t.Helper()
	pf, err := p.Perform(Tempo{BPM: bpm})
	if err != nil {
		t.Fatal(err)
	}
	return pf
}

// near says whether two moments agree to a microsecond.
func near(a, b Seconds) bool { return math.Abs(float64(a-b)) < 1e-6 }

func TestPerformTies(t *testing.T) {
	type turn struct {
		Note, Pass   int
		At, Duration string
	}
	for name, c := range map[string]struct {
		page string
		tied int
		want []turn
	}{
		"over the bar line": {"A B C", 0, []turn{{0, 1, "0", "2"}, {1, 1, "2", "1"}}},
		"cut by a repeat": {"A B:| C", 1, []turn{{0, 1, "0", "1"}, {1, 1, "1", "1"},
			{0, 2, "2", "1"}, {1, 2, "3", "2"}}},
		"landed in by a jump": {"A B%segno%fine C%ds", 0, []turn{{0, 1, "0", "2"}, {1, 1, "2", "1"}, {0, 2, "3", "1"}}},
		"into a repeated bar": {"A |:B:|", 0, []turn{{0, 1, "0", "2"}, {0, 2, "2", "1"}}},
		"inside a repeat":     {"A B:|", 0, []turn{{0, 1, "0", "2"}, {0, 2, "2", "2"}}},
		"repeated bar":        {"A B:| C", 0, []turn{{0, 1, "0", "2"}, {0, 2, "2", "2"}, {1, 1, "4", "1"}}},
	} {
		p := filled(page(c.page), Frac(1, 1))
		tie(p, c.tied)
		var got []turn
		for _, n := range perform(t, p, 0).Notes {
			got = append(got, turn{n.Note, n.Pass, n.At.String(), n.Duration.String()})
		}
		if d := cmp.Diff(c.want, got); d != "" {
			t.Errorf("%s: %s", name, d)
		}
	}
}

func TestPerformTempo(t *testing.T) {
	quarter, half := Frac(1, 4), Frac(1, 2)
	cut := Meter{Beats: 2, Unit: 2, Symbol: "cut"}
	for name, c := range map[string]struct {
		meter  Meter
		tempos []TempoMark
		bpm    float64
		want   []Seconds // the starts of four half notes, and the end
	}{
		"a quarter a second":     {tempos: []TempoMark{{BPM: 60, Unit: quarter}}, want: []Seconds{0, 2, 4, 6, 8}},
		"cut time":               {cut, []TempoMark{{BPM: 96, Unit: half}}, 0, []Seconds{0, .625, 1.25, 1.875, 2.5}},
		"cut time at half speed": {cut, []TempoMark{{BPM: 96, Unit: half}}, 48, []Seconds{0, 1.25, 2.5, 3.75, 5}},
		"quarters without a printed mark": {cut, []TempoMark{{BPM: 192}}, 48,
			[]Seconds{0, 1.25, 2.5, 3.75, 5}},
		"slower from the second half note": {tempos: []TempoMark{{BPM: 120, Unit: quarter}, {At: half, BPM: 60, Unit: quarter}},
			want: []Seconds{0, 1, 3, 5, 7}},
		"proportion kept": {Meter{Beats: 4, Unit: 4}, []TempoMark{{BPM: 120, Unit: quarter}, {At: Frac(1, 1), Bar: 1, BPM: 60, Unit: quarter}},
			60, []Seconds{0, 2, 4, 8, 12}},
		"the same at half speed": {tempos: []TempoMark{{BPM: 120, Unit: quarter}, {At: half, BPM: 60, Unit: quarter}}, bpm: 60,
			want: []Seconds{0, 2, 6, 10, 14}},
		"no tempo at all":           {want: []Seconds{0, 1.25, 2.5, 3.75, 5}},
		"a word: middle of 108-120": {tempos: []TempoMark{{Text: "Moderato"}}, want: []Seconds{0, 120. / 114, 240. / 114, 360. / 114, 480. / 114}},
		"rit. sets none":            {tempos: []TempoMark{{BPM: 60, Unit: quarter}, {At: half, Text: "rit. al Largo"}}, want: []Seconds{0, 2, 4, 6, 8}},
	} {
		p := filled(page("A B"), half)
		for i := range p.Bars {
			if c.meter.Unit > 0 {
				p.Bars[i].Meter = c.meter
			}
		}
		p.Tempos = c.tempos
		pf := perform(t, p, c.bpm)
		for i, n := range pf.Notes {
			if !near(n.Start, c.want[i]) || !near(n.End, c.want[i+1]) {
				t.Errorf("%s: note %d sounds from %v to %v, want %v to %v", name, i, n.Start, n.End, c.want[i], c.want[i+1])
			}
		}
		if !near(pf.Length(), c.want[4]) || pf.EndTime() != Frac(2, 1) {
			t.Errorf("%s: length %v s, %v whole notes; want %v s", name, pf.Length(), pf.EndTime(), c.want[4])
		}
	}
}

func TestPerformAbsurdTempo(t *testing.T) {
	for _, bpm := range []float64{-1, 4.9, 601} {
		if _, err := page("A").Perform(Tempo{bpm}); err == nil || !strings.Contains(err.Error(), "try 96") {
			t.Errorf("tempo %g: error %v", bpm, err)
		}
	}
	if _, err := page("A B:|2000000").Perform(Tempo{}); err == nil {
		t.Error("a part without end was performed")
	}
}

func TestPerformFermata(t *testing.T) {
	const held = FermataStretch
	hold := func(p *Part, notes ...int) {
		for _, n := range notes {
			p.Notes[n].Marks |= Fermata
		}
	}
	for name, c := range map[string]struct {
		with func(*Part)
		want []Seconds // the starts of four half notes at a whole note a second, and the end
	}{
		"a note":       {func(p *Part) { hold(p, 1) }, []Seconds{0, .5, .5 + .5*held, 1 + .5*held, 1.5 + .5*held}},
		"two in a row": {func(p *Part) { hold(p, 0, 1) }, []Seconds{0, .5 * held, held, held + .5, held + 1}},
		"the last":     {func(p *Part) { hold(p, 3) }, []Seconds{0, .5, 1, 1.5, 1.5 + .5*held}},
		"a new tempo in it": {func(p *Part) {
			hold(p, 1)
			p.Tempos = append(p.Tempos, TempoMark{At: Frac(3, 4), BPM: 120, Unit: Frac(1, 4)})
		}, []Seconds{0, .5, .5 + .25*held + .5*held, 1.5 + .75*held, 2.5 + .75*held}},
		"a rest": {func(p *Part) {
			p.Rests = []Rest{{Bar: 1, Onset: Frac(1, 1), Duration: Frac(1, 2), Fermata: true}}
		}, []Seconds{0, .5, 1, 1 + .5*held, 1.5 + .5*held}},
	} {
		p := filled(page("A B"), Frac(1, 2))
		p.Tempos = []TempoMark{{BPM: 240, Unit: Frac(1, 4)}}
		c.with(p)
		pf := perform(t, p, 0)
		for i, n := range pf.Notes {
			if !near(n.Start, c.want[i]) || !near(n.End, c.want[i+1]) {
				t.Errorf("%s: note %d sounds from %v to %v, want %v to %v", name, i, n.Start, n.End, c.want[i], c.want[i+1])
			}
		}
	}
}

func TestPerformGraceNotes(t *testing.T) {
	const g = GraceSeconds
	for name, c := range map[string]struct {
		graces, before int     // so many graces before that note
		bpm            float64 // quarter notes of the page
		want           []Seconds
	}{
		"from the note before":       {1, 1, 60, []Seconds{0, 1 - g, 1, 2, 3}},
		"two of them":                {2, 1, 60, []Seconds{0, 1 - 2*g, 1 - g, 1, 2, 3}},
		"at most half of it":         {2, 1, 600, []Seconds{0, .05, .075, .1, .2, .3}},
		"from the note after":        {1, 0, 60, []Seconds{0, g, 1, 2, 3}},
		"at most half of that":       {2, 0, 600, []Seconds{0, .025, .05, .1, .2, .3}},
		"over a bar's last quarters": {1, 3, 60, []Seconds{0, 1, 2, 3 - g, 3}},
	} {
		p := filled(page("A"), Frac(1, 4))
		p.Tempos = []TempoMark{{BPM: c.bpm, Unit: Frac(1, 4)}}
		main := p.Notes[c.before]
		var with []Note
		for range c.graces {
			with = append(with, Note{Grace: true, Onset: main.Onset, Pieces: []Piece{{Onset: main.Onset}}})
		}
		p.Notes = append(p.Notes[:c.before:c.before], append(with, p.Notes[c.before:]...)...)
		pf := perform(t, p, 0)
		for i, n := range pf.Notes {
			if !near(n.Start, c.want[i]) {
				t.Errorf("%s: note %d starts at %v, want %v", name, i, n.Start, c.want[i])
			}
			if i > 0 && !near(pf.Notes[i-1].End, n.Start) {
				t.Errorf("%s: note %d ends at %v, the next starts at %v", name, i-1, pf.Notes[i-1].End, n.Start)
			}
		}
	}
}

// TestClock adds up the part note by note, the plain way, and compares; then
// it goes through the clock and back.
func TestClock(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		signs := rapid.SampledFrom([]string{"A B C D", "A B:| C D", "|:A [1]B:| [2]C D:|3", "A B%fine C D%dc"}).Draw(t, "page")
		p := filled(page(signs), Frac(1, 4))
		for k := range p.Notes {
			if rapid.IntRange(0, 3).Draw(t, "kind") == 0 {
				bpm := rapid.Float64Range(20, 300).Draw(t, "bpm")
				p.Tempos = append(p.Tempos, TempoMark{At: p.Notes[k].Onset, Bar: p.Notes[k].Bar, BPM: bpm, Unit: Frac(1, 4)})
			}
			if rapid.IntRange(0, 3).Draw(t, "held") == 0 {
				p.Notes[k].Marks = Fermata
			}
		}
		pf, err := p.Perform(Tempo{})
		if err != nil {
			t.Fatal(err)
		}
		var sum Seconds
		for i, n := range pf.Notes {
			w := pf.Written(i)
			if !near(n.Start, sum) || !near(pf.Seconds(n.At), sum) {
				t.Fatalf("played note %d starts at %v, want %v", i, n.Start, sum)
			}
			sum += secondsOf(p, w)
			for _, share := range []int64{0, 1, 7} {
				at := n.At.Add(Frac(share, 32))
				if back := pf.Moment(pf.Seconds(at)); math.Abs(back-at.Float()) > 1e-9 {
					t.Fatalf("moment %v comes back as %v", at, back)
				}
			}
		}
		if !near(pf.Length(), sum) {
			t.Fatalf("length %v, want %v", pf.Length(), sum)
		}
	})
}

// secondsOf is how long a quarter note lasts by the last tempo printed before
// it.
func secondsOf(p *Part, n *Note) Seconds {
	bpm := float64(DefaultBPM)
	for _, m := range p.Tempos {
		if !n.Onset.Less(m.At) {
			bpm = m.BPM
		}
	}
	s := Seconds(60 / bpm)
	if n.Marks.Has(Fermata) {
		s *= FermataStretch
	}
	return s
}
