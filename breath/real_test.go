package breath

import (
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"waterkey/brass"
	"waterkey/player"
	"waterkey/score"
	"waterkey/score/musicxml"
)

// realScores is where real parts stand when they are there.
const realScores = "../../shared/data/scores"

// readPart reads a part of one file at its own tempo.
func readPart(t testing.TB, file string) *score.Performance {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	doc, err := musicxml.Parse(file, data)
	if err != nil {
		t.Fatal(err)
	}
	part, err := doc.Part(score.Selection{})
	if err != nil {
		t.Fatal(err)
	}
	pf, err := part.ReadThrough(score.Tempo{})
	if err != nil {
		t.Fatal(err)
	}
	return pf
}

// realPart reads one real part, or skips.
func realPart(t testing.TB, name string) *score.Performance {
	t.Helper()
	file := filepath.Join(realScores, name+".musicxml")
	if _, err := os.Stat(file); err != nil {
		t.Skip("shared data not here:", realScores)
	}
	return readPart(t, file)
}

// realParts reads every real trombone part, by file name.
func realParts(t testing.TB) map[string]*score.Performance {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(realScores, "*trombone*.musicxml"))
	if err != nil {
		t.Fatal(err)
	}
	if len(files) == 0 {
		t.Skip("shared data not here:", realScores)
	}
	out := map[string]*score.Performance{}
	for _, f := range files {
		out[strings.TrimSuffix(filepath.Base(f), ".musicxml")] = readPart(t, f)
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
