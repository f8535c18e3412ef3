package breath

import (
	"testing"

	"waterkey/player"
)

// playersOf are the lungs that the facts of practice must hold for.
func playersOf() []Options {
	return []Options{{Lungs: player.UsualLungs(player.Advanced)}, {Lungs: player.UsualLungs(player.Professional)}}
}

// inBars are the plan's breaths after notes that start in the printed bars from to to.
func inBars(b *Breathing, from, to int) []Breath {
	var out []Breath
	for _, br := range b.Breaths {
		if n := b.Performance.Written(br.After).Bar + 1; n >= from && n <= to {
			out = append(out, br)
		}
	}
	return out
}

// TestOpeningOfBeethovensFifthFinale: the opening of Beethoven, op. 67, iv, alto and
// tenor trombone. The first three bars go in one breath, and up to bar 22 every
// breath is in a rest and takes nothing from a note (common practice, no source).
func TestOpeningOfBeethovensFifthFinale(t *testing.T) {
	for _, name := range []string{"beethoven-op-67-4-alto-trombone", "beethoven-op-67-4-tenor-trombone"} {
		pf := realPart(t, name)
		for _, o := range playersOf() {
			o.Instrument = fitting(t, name)
			b := solve(t, pf, o)
			if early := inBars(b, 1, 3); len(early) > 0 {
				t.Errorf("%s: a breath inside the opening, after note %d", name, early[0].After)
			}
			all := inBars(b, 1, 22)
			if len(all) < 3 {
				t.Errorf("%s: %d breaths in 22 bars", name, len(all))
			}
			for _, br := range all {
				if !b.ground.places[br.After].rest || br.Shortened > audible {
					t.Errorf("%s: a breath after note %d: %s", name, br.After, b.Why(0))
				}
			}
		}
	}
}

// TestScaleAtTheEndOfBrahmsSecond: Brahms, op. 73, iv, the first trombone's scale down
// in bars 401 to 405. A full breath comes before it, the scale goes in one breath to
// its end, and the last chord is breathed for in its rest (common practice, no
// source).
func TestScaleAtTheEndOfBrahmsSecond(t *testing.T) {
	const name = "brahms-op-73-4-trombone-1"
	pf := realPart(t, name)
	for _, o := range playersOf() {
		o.Instrument = fitting(t, name)
		b := solve(t, pf, o)
		before, during, last := inBars(b, 399, 400), inBars(b, 401, 404), inBars(b, 428, 428)
		if len(before) != 1 || before[0].Kind != Full || len(during) != 0 {
			t.Errorf("breaths before the scale %+v, in it %+v", before, during)
		}
		if len(last) != 1 || !b.ground.places[last[0].After].rest {
			t.Errorf("before the last chord: %+v", last)
		}
	}
}

// TestChoraleGroupsLieWhereProfessionalsWere: in the third trombone of Brahms, op. 45,
// i, slow chorale writing throughout, every breath group starts and ends where those
// of eight professionals did, 55 to 87 and 14 to 52 percent of the vital capacity
// (reference: Fuks and Sundberg, Med Probl Perform Art 14, 1999, on reeds). In other
// parts short groups before long rests need not come down so far.
func TestChoraleGroupsLieWhereProfessionalsWere(t *testing.T) {
	const name = "brahms-op-45-1-trombone-3"
	b := solve(t, realPart(t, name), Options{Lungs: player.UsualLungs(player.Professional), Instrument: fitting(t, name)})
	for _, s := range b.spans {
		start, end := s.start/b.Lungs.Vital, s.end/b.Lungs.Vital
		t.Logf("bars from %s: %.0f to %.0f %%", b.bar(s.first), 100*start, 100*end)
		if start < 0.55 || start > 0.87 || end < 0.14 || end > 0.52 {
			t.Errorf("bars from %s: %.0f to %.0f %% of the vital capacity", b.bar(s.first), 100*start, 100*end)
		}
	}
	if len(b.spans) < 4 {
		t.Errorf("%d groups: the part does not try it", len(b.spans))
	}
}

// TestYoungerPlayersBreatheMore: on the demo song a 13-year-old needs more breaths
// than an adult (common sense, and the comparison in the documentation).
func TestYoungerPlayersBreatheMore(t *testing.T) {
	pf := readPart(t, "../demo/season/lantern-song.musicxml")
	count := func(age, height float64, sex player.Sex) int {
		l, err := player.Estimated(age, height, sex)
		if err != nil {
			t.Fatal(err)
		}
		return len(solve(t, pf, Options{Lungs: l}).Breaths)
	}
	if young, grown := count(13, 155, player.Female), count(45, 180, player.Male); young <= grown {
		t.Errorf("%d breaths at 13, %d grown up", young, grown)
	}
}
