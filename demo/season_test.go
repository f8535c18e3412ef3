package demo

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"waterkey/score"
	"waterkey/score/musicxml"
)

// facts is what the composer wrote down about a part. Lists are of printed bar
// numbers.
type facts struct {
	Title, Composer      string
	Bars, Played, Notes  int
	Lowest, Highest      string // with the bar of the first
	Keys, Clefs, Meters  string
	Tempos               string
	Dynamics             string
	Hairpins             int
	Tenuto, Sfz          string
	Glissandi            string
	Ties, Triplets       string
	Graces, Fermatas     string
	Breaths              string
	RestAfterDottedHalf  string
	LengthAtPrintedTempo float64 // seconds, a fermata half as long again
}

var composed = map[string]facts{
	"harbor-parade.musicxml": {
		Title: "Harbor Parade", Composer: "the Waterkey project",
		Bars: 32, Played: 12 + 7 + 20, Notes: 116, Lowest: "14 F2", Highest: "30 F4",
		Keys: "1 F major", Clefs: "1 bass", Meters: "1 cut time", Tempos: "1 half=96",
		Dynamics: "1 f, 5 mf, 14 p, 18 mp, 22 f, 30 ff", Hairpins: 2,
		Tenuto: "7", Glissandi: "21 C3-F3, 26 D3-G3", RestAfterDottedHalf: "2, 29",
		LengthAtPrintedTempo: 39 * 2 * 60.0 / 96,
	},
	"lantern-song.musicxml": {
		Title: "Lantern Song", Composer: "the Waterkey project",
		Bars: 32, Played: 32, Notes: 91, Lowest: "1 Bb2", Highest: "28 Bb4",
		Keys: "1 Eb major, 17 Gb major, 25 Eb major", Clefs: "1 bass, 9 tenor, 29 bass", Meters: "1 4/4", Tempos: "1 quarter=72",
		Dynamics: "1 p, 5 p, 6 mf, 9 mp, 12 mf, 14 f, 17 p, 22 mf, 25 p, 28 f, 31 p", Hairpins: 12,
		Ties: "6, 22", Triplets: "10, 27", Graces: "15", Fermatas: "28, 32", Breaths: "14, 28", RestAfterDottedHalf: "4, 8, 12, 20",
		LengthAtPrintedTempo: (32*4 + 0.5*(3+4)) * 60.0 / 72,
	},
	"iron-quay.musicxml": {
		Title: "Iron Quay", Composer: "the Waterkey project",
		Bars: 28, Played: 28, Notes: 64, Lowest: "9 Bb1", Highest: "22 G3",
		Keys: "1 C minor", Clefs: "1 bass", Meters: "1 3/4", Tempos: "1 quarter=112, 13 quarter=76, 21 quarter=112",
		Dynamics: "1 ff, 13 p, 21 ff", Hairpins: 1, Sfz: "4, 8, 12, 24, 28",
		Ties: "19", Fermatas: "28", Breaths: "17",
		LengthAtPrintedTempo: (20+0.5)*3*60.0/112 + 8*3*60.0/76,
	},
}

func TestSeason(t *testing.T) {
	for _, name := range Files() {
		p := read(t, name)
		if len(p.Skipped) > 0 {
			t.Errorf("%s: the reader passed over %q", name, p.Skipped)
		}
		want, got := composed[name], factsOf(t, p)
		if d := cmp.Diff(want, got, cmp.Comparer(func(a, b float64) bool { return math.Abs(a-b) < 1e-6 })); d != "" {
			t.Errorf("%s: -composed +read\n%s", name, d)
		}
	}
}

// TestBarsAreFull: what is written in every bar fills its meter.
func TestBarsAreFull(t *testing.T) {
	for _, name := range Files() {
		p := read(t, name)
		filled := make([]score.Time, len(p.Bars))
		for _, n := range p.Notes {
			for _, piece := range n.Pieces {
				filled[piece.Bar] = filled[piece.Bar].Add(piece.Duration)
			}
		}
		for _, r := range p.Rests {
			filled[r.Bar] = filled[r.Bar].Add(r.Duration)
		}
		for i, b := range p.Bars {
			if filled[i] != b.Meter.Length() || b.Length != b.Meter.Length() {
				t.Errorf("%s, bar %s: %v written in a bar of %v, meter %v", name, b.Number, filled[i], b.Length, b.Meter)
			}
		}
	}
}

func read(t *testing.T, name string) *score.Part {
	t.Helper()
	data, err := Open(name)
	if err != nil {
		t.Fatal(err)
	}
	doc, err := musicxml.Parse(name, data)
	if err != nil {
		t.Fatal(err)
	}
	p, err := doc.Part(score.Selection{})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func factsOf(t *testing.T, p *score.Part) facts {
	t.Helper()
	pf, err := p.Perform(score.Tempo{})
	if err != nil {
		t.Fatal(err)
	}
	f := facts{Title: p.Title, Composer: p.Composer, Bars: len(p.Bars), Played: len(pf.Bars), Notes: len(p.Notes),
		Hairpins: len(p.Wedges), LengthAtPrintedTempo: float64(pf.Length())}
	for _, k := range p.Keys {
		list(p, &f.Keys, k.Bar, k.Key.Name())
	}
	for _, c := range p.Clefs {
		list(p, &f.Clefs, c.Bar, c.Clef.String())
	}
	for _, m := range p.Meters {
		list(p, &f.Meters, m.Bar, m.Meter.String())
	}
	for _, m := range p.Tempos {
		list(p, &f.Tempos, m.Bar, fmt.Sprintf("%s=%g", score.ValueName(m.Unit), m.BPM))
	}
	for _, d := range p.Dynamics {
		list(p, &f.Dynamics, d.Bar, d.Mark)
	}
	f.addNotes(p)
	return f
}

// list adds a bar's number and a text to a list.
func list(p *score.Part, to *string, bar int, text string) {
	*to = strings.TrimPrefix(strings.TrimSpace(*to+", "+p.Bars[bar].Number+" "+text), ", ")
}

func (f *facts) addNotes(p *score.Part) {
	quarterRest := map[score.Time]bool{}
	for _, r := range p.Rests {
		quarterRest[r.Onset] = r.Duration == score.Frac(1, 4)
	}
	triplet := score.Ratio{Actual: 3, Normal: 2}
	low, high := p.Notes[0], p.Notes[0]
	for i, n := range p.Notes {
		if n.Pitch.MIDI() < low.Pitch.MIDI() {
			low = n
		}
		if n.Pitch.MIDI() > high.Pitch.MIDI() {
			high = n
		}
		for to, is := range map[*string]bool{
			&f.Tenuto:              n.Marks.Has(score.Tenuto),
			&f.Sfz:                 n.Attack == "sfz",
			&f.Fermatas:            n.Marks.Has(score.Fermata),
			&f.Breaths:             n.Marks.Has(score.BreathAfter),
			&f.Graces:              n.Grace,
			&f.Ties:                len(n.Pieces) > 1,
			&f.Triplets:            n.Pieces[0].Tuplet == triplet && p.Notes[i-1].Pieces[0].Tuplet != triplet,
			&f.RestAfterDottedHalf: n.Duration == score.Frac(3, 4) && quarterRest[n.End()],
		} {
			if is {
				list(p, to, n.Bar, "")
			}
		}
		if n.GlissTo {
			list(p, &f.Glissandi, n.Bar, n.Pitch.String()+"-"+p.Notes[i+1].Pitch.String())
		}
	}
	list(p, &f.Lowest, low.Bar, low.Pitch.String())
	list(p, &f.Highest, high.Bar, high.Pitch.String())
}
