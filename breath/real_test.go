package breath

import (
	"maps"
	"slices"
	"strings"
	"testing"

	"waterkey/brass"
	"waterkey/player"
	"waterkey/score"
	"waterkey/score/realparts"
)

// readPart reads a part of one file at its own tempo.
func readPart(t testing.TB, file string) *score.Performance {
	t.Helper()
	pf, err := realparts.Read(t, file).ReadThrough(score.Tempo{})
	if err != nil {
		t.Fatal(err)
	}
	return pf
}

// realPart reads one real part, or skips.
func realPart(t testing.TB, name string) *score.Performance {
	t.Helper()
	return readPart(t, realparts.Files(t, name+".musicxml")[0])
}

// realParts reads every real trombone part, by file name.
func realParts(t testing.TB) map[string]*score.Performance {
	t.Helper()
	out := map[string]*score.Performance{}
	for _, f := range realparts.Files(t, realparts.Trombones) {
		out[realparts.Name(f)] = readPart(t, f)
	}
	return out
}

// fitting is the horn that a part's name asks for.
func fitting(t testing.TB, name string) *brass.Instrument {
	t.Helper()
	horn := "tenor-f"
	switch {
	case strings.Contains(name, "alto"):
		horn = "alto"
	case strings.Contains(name, "bass"):
		horn = "bass"
	}
	in, err := brass.Named(horn)
	if err != nil {
		t.Fatal(err)
	}
	return in
}

// TestRealPartsAreAnswered: on every real trombone part, for a student and a
// professional, the air lasts or the place is named, and the plan holds its
// certificate.
func TestRealPartsAreAnswered(t *testing.T) {
	parts := realParts(t)
	for _, name := range slices.Sorted(maps.Keys(parts)) {
		for _, level := range []player.Level{player.Second, player.Professional} {
			b := solve(t, parts[name], Options{Lungs: player.UsualLungs(level), Instrument: fitting(t, name)})
			certify(t, b)
			told, lacks := 0, b.Lacking()
			for _, br := range b.Breaths {
				if !br.Entry {
					told++
				}
			}
			for _, l := range lacks {
				if b.Says(l) == "" || b.Do(l) == "" {
					t.Errorf("%s: a stretch without words", name)
				}
			}
			t.Logf("| %s | %s | %d notes | %d entries, %d breaths | low %d | lacking %d | cost %.2f | warnings %d |", name, level, len(b.Performance.Notes),
				len(b.Breaths)-told, told, len(b.Low()), len(lacks), b.Cost, len(b.Warnings()))
		}
	}
	if len(parts) < 40 {
		t.Errorf("%d real parts, want the 49 there are", len(parts))
	}
}
