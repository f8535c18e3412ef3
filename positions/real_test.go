package positions

import (
	"maps"
	"slices"
	"strings"
	"testing"

	"waterkey/score"
	"waterkey/score/realparts"
)

// realParts reads every real trombone part at its own tempo, by file name.
func realParts(t testing.TB) map[string]*score.Performance {
	t.Helper()
	out := map[string]*score.Performance{}
	for _, f := range realparts.Files(t, realparts.Trombones) {
		pf, err := realparts.Read(t, f).Perform(score.Tempo{})
		if err != nil {
			t.Fatal(err)
		}
		out[realparts.Name(f)] = pf
	}
	return out
}

// trapEffort is twice a comfortable speed: the reading of a page calls such a
// move a trap.
const trapEffort = 2.0

// TestAgainstFirstChoices compares the solver with a player who takes the usual
// position for every note, on every real trombone part with its fitting horn, on which
// every note has a way. The solver must never
// cost more, and must leave fewer moves too fast in all.
func TestAgainstFirstChoices(t *testing.T) {
	parts := realParts(t)
	t.Logf("| %-42s | horn | notes | slide, m | peak, cm/s | too fast |", "part")
	var fastUsual, fastChosen int
	var metersUsual, metersChosen float64
	for _, name := range slices.Sorted(maps.Keys(parts)) {
		in := horn(t, fitting(name))
		p := Solve(parts[name], in)
		usual := p.withUsual(0, len(p.Steps))
		if cost := recomputed(usual); p.Cost > cost+tiny {
			t.Errorf("%s: solver %.3f, first choices %.3f", name, p.Cost, cost)
		}
		for i, s := range p.Steps {
			if s.Way == nil {
				t.Errorf("%s: no way for %s in bar %s", name, p.Performance.Written(i).Pitch, p.Performance.Part.Bars[p.Performance.Written(i).Bar].Number)
			}
		}
		t.Logf("| %-42s | %s | %d | %.1f, %.1f | %.0f, %.0f | %d, %d |", name, in.Name, len(p.Steps), usual.TravelCM()/100, p.TravelCM()/100,
			usual.PeakSpeed(), p.PeakSpeed(), tooFast(usual), tooFast(p))
		fastUsual, fastChosen = fastUsual+tooFast(usual), fastChosen+tooFast(p)
		metersUsual, metersChosen = metersUsual+usual.TravelCM()/100, metersChosen+p.TravelCM()/100
	}
	t.Logf("%d parts: %.0f -> %.0f m of slide, moves faster than %.0f cm/s %d -> %d", len(parts), metersUsual, metersChosen,
		trapEffort*comfortableSpeed, fastUsual, fastChosen)
	if fastChosen >= fastUsual {
		t.Errorf("%d moves too fast, first choices %d", fastChosen, fastUsual)
	}
}

// recomputed adds up the terms of all notes.
func recomputed(p *Path) float64 {
	sum := 0.0
	for i := range p.Steps {
		for _, c := range p.termsAt(i) {
			sum += c
		}
	}
	return sum
}

// fitting is the horn that a part's name asks for.
func fitting(name string) string {
	switch {
	case strings.Contains(name, "alto"):
		return "alto"
	case strings.Contains(name, "bass"):
		return "bass"
	}
	return "tenor-f"
}

func tooFast(p *Path) int {
	n := 0
	for _, s := range p.Steps {
		if s.Move.Effort() > trapEffort {
			n++
		}
	}
	return n
}
