package reading

import (
	"strings"
	"testing"

	"waterkey/brass"
	"waterkey/breath"
	"waterkey/finding"
	"waterkey/positions"
	"waterkey/score"
	"waterkey/score/scoretest"
)

var (
	common = score.Meter{Beats: 4, Unit: 4}
	cut    = score.Meter{Beats: 2, Unit: 2, Symbol: "cut"}
)

func page(t *testing.T, instrument string, part *score.Part) *Page {
	t.Helper()
	in, err := brass.Named(instrument)
	if err != nil {
		t.Fatal(err)
	}
	pf, err := part.ReadThrough(score.Tempo{})
	if err != nil {
		t.Fatal(err)
	}
	plan, err := breath.Solve(pf, breath.Options{Instrument: in})
	if err != nil {
		t.Fatal(err)
	}
	return &Page{Part: part, Through: pf, Path: positions.Solve(pf, in), Breathing: plan}
}

// find returns the findings of a kind.
func find(fs []finding.Finding, kind string) []finding.Finding {
	var out []finding.Finding
	for _, f := range fs {
		if f.Kind == kind {
			out = append(out, f)
		}
	}
	return out
}

// TestKinds holds each kind to a part of a bar or two that has it and one that
// has not. What counts as such a figure is common practice.
func TestKinds(t *testing.T) {
	for _, c := range []struct {
		kind    string
		stage   finding.Stage
		meter   score.Meter
		bpm     float64
		with    string
		says    string // part of the sentence
		without string
	}{
		{"out-of-reach", finding.Notes, common, 90, "F3/4 Bb1/4 B1/4 F3/4", "B1 in bar 1", "F3/4 Bb1/4 C2/4 F3/4"},
		{"low", finding.Notes, common, 60, "F2/2 G2/2", "F2 and G2", "Bb2/2 C3/2"},
		{"high", finding.Notes, common, 60, "G4/2 F4/2", "F4 and G4", "E4/2 D4/2"},
		{"leap", finding.Notes, common, 90, "F3/4 F4/4 Bb2/2", "F4 to B♭2", "F3/4 D4/4 F3/2"},
		{"attachment", finding.Notes, common, 90, "F2/4 C3/4 F2/2", "C3 in T1", "F3/4 Bb3/4 F3/2"},
		{"alternate", finding.Notes, cut, 110, "B3/8 D4/8 B3/8 D4/8 B3/8 D4/8 B3/8 D4/8", "D4 in 4", "F3/2 Bb3/2"},
		{"slide-trap", finding.Notes, common, 150, "C2/16 Bb1/16 C2/16 Bb1/16 C2/2.", "Long quick slide moves in bar 1", "F3/4 G3/4 F3/2"},
		{"short-rest", finding.Rhythm, common, 90, "F3/2. r/4 F3/1", "quarter rest", "F3/4 r/4 F3/2 F3/1"},
		{"dotted", finding.Rhythm, common, 90, "F3/4. G3/8 F3/2", "dotted quarter and eighth", "F3/4 G3/4 F3/2."},
		{"syncopation", finding.Rhythm, common, 90, "F3/8 G3/4 A3/8 F3/2", "bar 1", "F3/4 G3/4 A3/4 F3/4"},
		{"stands-out", finding.Articulation, common, 90, "F3/4' G3/4' A3/4' Bb3/4- A3/4' G3/4' F3/4' F3/4'", "B♭3 on beat 4 of bar 1 is tenuto",
			"F3/4' G3/4' A3/4' Bb3/4' A3/4' G3/4' F3/4' F3/4'"},
		{"glissando", finding.Articulation, common, 90, "C3/2~ F3/2", "on partial 3, 6 to 1", "C3/2 F3/2"},
		{"glissando-impossible", finding.Articulation, common, 90, "G3/2~ D4/2", "G3 to D4", "C3/2~ F3/2"},
		{"sudden", finding.Dynamics, common, 90, "=ff F3/2 =p F3/2", "Sudden p at bar 1, after ff", "=f F3/2 =mf F3/2"},
		{"soft-and-low", finding.Dynamics, common, 60, "=pp F2/2 F2/2", "bar 1", "=f F2/2 F2/2"},
		{"loud-and-high", finding.Dynamics, common, 60, "=ff F4/2 G4/2", "bar 1", "=p F4/2 G4/2"},
		{"breath", finding.Choices, common, 60, "F3/2. r/4 F3/1 F3/1", "after the F3 in bar 1", "F3/2- F3/2-"},
		{"no-room-to-breathe", finding.Choices, common, 60, "=ff F2/1", "the air does not last", "F3/1 r/2 F3/2 r/2 F3/2"},
	} {
		got := find(Walk(page(t, "tenor-f", scoretest.Part(t, c.meter, c.bpm, c.with))), c.kind)
		if len(got) != 1 || got[0].Stage != c.stage || !strings.Contains(got[0].Says, c.says) || got[0].Do == "" {
			t.Errorf("%s: %+v, want one in stage %s that says %q", c.kind, got, c.stage, c.says)
		}
		if got := find(Walk(page(t, "tenor-f", scoretest.Part(t, c.meter, c.bpm, c.without))), c.kind); len(got) != 0 {
			t.Errorf("%s where there is none: %+v", c.kind, got)
		}
	}
}

func TestFindingsStandInOrder(t *testing.T) {
	fs := Walk(page(t, "tenor-f", scoretest.Part(t, cut, 96, "=f F3/2. r/4 =p F2/2 C3/2~ F3/2 G4/2")))
	stages := map[finding.Stage]map[string]bool{}
	for i, f := range fs {
		if i > 0 && (f.Stage < fs[i-1].Stage || f.Stage == fs[i-1].Stage && f.Weight > fs[i-1].Weight) {
			t.Errorf("%s/%s stands after %s/%s", f.Stage, f.Kind, fs[i-1].Stage, fs[i-1].Kind)
		}
		if f.Weight <= 0 || f.Weight > 1 || len(f.Bars) != 2 || f.Says == "" || f.Do == "" {
			t.Errorf("incomplete: %+v", f)
		}
		if stages[f.Stage] == nil {
			stages[f.Stage] = map[string]bool{}
		}
		stages[f.Stage][f.Kind] = true
	}
	for _, s := range finding.Stages()[:4] {
		if len(stages[s]) < 2 && s != finding.Articulation {
			t.Errorf("stage %s has only %v", s, stages[s])
		}
	}
}

// TestKeyAdvice: in one flat the note most easily flattened by mistake is E, in
// two sharps G, the next of the circle of fifths; positions from the chart.
func TestKeyAdvice(t *testing.T) {
	for _, c := range []struct {
		fifths   int
		text     string
		says, do string
	}{
		{-1, "E3/2 F3/2", "One flat: B♭.", "E3 in 2, not 3."},
		{2, "G3/2 A3/2", "Two sharps: F♯ and C♯.", "G3 in 4, not 3."},
		{0, "C4/2 A3/2", "No sharps or flats.", "Everything is natural"},
	} {
		part := scoretest.Part(t, common, 90, c.text)
		for i := range part.Bars {
			part.Bars[i].Key = score.Key{Fifths: c.fifths}
		}
		got := find(Walk(page(t, "tenor", part)), "key")
		if len(got) != 1 || got[0].Says != c.says || !strings.Contains(got[0].Do, c.do) {
			t.Errorf("%d fifths: %+v, want %q and %q", c.fifths, got, c.says, c.do)
		}
	}
}

func TestBarSums(t *testing.T) {
	short := func(bar int, length score.Time, implicit bool) func(*score.Part) {
		return func(p *score.Part) { p.Bars[bar].Length, p.Bars[bar].Implicit = length, implicit }
	}
	for _, c := range []struct {
		name string
		edit []func(*score.Part)
		want string
	}{
		{"full bars", nil, ""},
		{"a short bar", []func(*score.Part){short(1, score.Frac(3, 4), false)}, "Bar 2 holds 3 quarters; its meter, 4/4, asks for 4 quarters."},
		{"a long bar", []func(*score.Part){short(1, score.Frac(9, 8), false)}, "Bar 2 holds 4 1/2 quarters; its meter, 4/4, asks for 4 quarters."},
		{"pickup and last bar", []func(*score.Part){short(0, score.Frac(1, 4), true), short(2, score.Frac(3, 4), false)}, ""},
		{"a divided bar", []func(*score.Part){short(1, score.Frac(1, 4), false), short(2, score.Frac(3, 4), false)}, ""},
	} {
		part := scoretest.Part(t, common, 90, "F3/1 F3/1 F3/1")
		for _, e := range c.edit {
			e(part)
		}
		got := ""
		for _, f := range find(Walk(page(t, "tenor", part)), "bar-sum") {
			got += f.Says
		}
		if got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

func TestEmptyPart(t *testing.T) {
	for _, p := range []*score.Part{{}, {Bars: []score.Bar{{Number: "1", Meter: common, Length: score.Frac(1, 1)}}}} {
		for _, f := range Walk(page(t, "tenor", p)) {
			if f.Stage > finding.Dynamics {
				t.Errorf("a part without notes is given %+v", f)
			}
		}
	}
}
