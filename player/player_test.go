package player

import (
	"testing"

	"waterkey/brass"
	"waterkey/score"
)

func TestCompassOfLevels(t *testing.T) {
	// Reference: City of Reykjavik, learning objectives for the trombone, levels
	// 1 to 3; the safe writing range E2 to B flat 4 of inmusica.fr.
	in, err := brass.Named("tenor")
	if err != nil {
		t.Fatal(err)
	}
	for level, want := range map[Level][2]string{1: {"G2", "Bb3"}, 2: {"G2", "C4"}, 3: {"F2", "Eb4"}, 4: {"E2", "Bb4"}} {
		c := CompassOf(level, in)
		if lo, hi := name(c.Low), name(c.High); lo != want[0] || hi != want[1] {
			t.Errorf("%s: %s to %s, want %s to %s", level, lo, hi, want[0], want[1])
		}
	}
	if alto, err := brass.Named("alto"); err != nil || name(CompassOf(1, alto).Low) != "C3" {
		t.Errorf("alto: the tenor's range a fourth up starts on C3 (%v)", err)
	}
	if f, err := brass.Named("tenor-f"); err != nil || name(CompassOf(4, f).Low) != "C2" {
		t.Errorf("with the F attachment the range goes down to C2 (%v)", err)
	}
}

func TestLevelBounds(t *testing.T) {
	for _, n := range []int{0, 6, -1} {
		if _, err := ParseLevel(n); err == nil {
			t.Errorf("level %d is accepted", n)
		}
	}
	for l := First; l < Professional; l++ {
		if l.Skill() <= (l + 1).Skill() {
			t.Errorf("%s is no more at risk than %s", l, l+1)
		}
		if l.Arm() >= (l+1).Arm() || l.Arm() < 1 || (l+1).Arm() >= 2 {
			t.Errorf("%s moves the slide at ease up to %g, %s up to %g: more by level, from comfortable to below a trap", l, l.Arm(), l+1, (l + 1).Arm())
		}
	}
}

func name(midi int) string { return pitchOf(midi).String() }

func pitchOf(midi int) score.Pitch { return score.PitchFromMIDI(midi) }
