package player

import (
	"testing"

	"waterkey/brass"
)

func TestCompassOfFamilies(t *testing.T) {
	for _, c := range []struct {
		source, instrument string
		level              Level
		want               [2]string
	}{
		{"published: the ends of the trumpet chart, written F sharp 3 to C6 (codegolf.stackexchange.com, answer 69581)",
			"trumpet-bb", Advanced, [2]string{"E3", "Bb5"}},
		{"the end of the horn chart, written C6 (the same; its upper half from memory)", "horn-f-bb", Professional, [2]string{"Bb1", "F5"}},
		{"published: nemusicpub.com grades trombone and baritone together; City of Reykjavik, level 1", "baritone", First, [2]string{"G2", "Bb3"}},
		{"published: four valves fill the octave down to B1 (the fingering table)", "euphonium", Advanced, [2]string{"B1", "Bb4"}},
		{"published: three valves end on E2 (the same)", "euphonium-3", Advanced, [2]string{"E2", "Bb4"}},
		{"published: low B is missing on a tuba that does not compensate (the same); top: the tenor's an octave down, from memory",
			"tuba-bb", Advanced, [2]string{"C1", "Bb3"}},
		{"calculated: the euphonium's a fifth down", "tuba-eb", Advanced, [2]string{"E1", "Eb4"}},
	} {
		in, err := brass.Named(c.instrument)
		if err != nil {
			t.Fatal(err)
		}
		got := CompassOf(c.level, in)
		if lo, hi := name(got.Low), name(got.High); lo != c.want[0] || hi != c.want[1] {
			t.Errorf("%s %s: %s to %s, want %s to %s (%s)", c.instrument, c.level, lo, hi, c.want[0], c.want[1], c.source)
		}
	}
}

func TestCompassGrowsAndCanBePlayed(t *testing.T) {
	for _, instrument := range brass.Names() {
		in, err := brass.Named(instrument)
		if err != nil {
			t.Fatal(err)
		}
		for l := First; l <= Professional; l++ {
			c := CompassOf(l, in)
			if l > First {
				if easier := CompassOf(l-1, in); c.Low > easier.Low || c.High < easier.High {
					t.Errorf("%s %s: %v is narrower than %v", instrument, l, c, easier)
				}
			}
			for _, end := range []int{c.Low, c.High} {
				if len(in.Ways(pitchOf(end))) == 0 {
					t.Errorf("%s %s: %s is not on the instrument", instrument, l, name(end))
				}
			}
		}
	}
}
