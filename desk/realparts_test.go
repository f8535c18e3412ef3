package desk

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// realScores is where real parts stand when they are there.
const realScores = "../../shared/data/scores"

// realParts are facts of ten published parts. Reference: noted by hand from the
// text of each file, one element kind at a time (key fifths, time, clef, pitch,
// measure and tie), with a throw-away script that shares no code with the reader.
// Keys are bar:fifths, meters bar:signature with an a for alla breve; a signature
// that is printed again without a change (op. 90, bar 158) is left out.
var realParts = []struct {
	file            string
	bars, notes     int // notes with ties merged
	lowest, highest string
	keys, meters    string
	clefs           int // in all
	clefStart       string
}{
	{"brahms-op-73-2-trombone-1", 105, 47, "E3", "Bb4", "1:5 50:2 63:5", "1:4/4 34:12/8 63:4/4 93:12/8 98:4/4", 1, "alto"},
	{"brahms-op-73-4-tuba", 429, 103, "Ab1", "Bb3", "1:2", "1:4/4a", 1, "bass"},
	{"brahms-op-90-1-trombone-3", 226, 35, "F2", "C4", "1:-1 31:3 103:-1", "1:6/4 36:9/4 49:6/4 151:9/4 160:6/4", 1, "bass"},
	{"beethoven-op-67-4-alto-trombone", 446, 295, "Ab3", "F5", "1:0", "1:4/4 155:3/4 209:4/4 364:2/2a", 1, "alto"},
	{"bruckner-wab-105-1-bass-trombone", 511, 477, "D2", "Cb4", "1:-2", "1:2/2a", 1, "bass"},
	{"beach-op-32-1-tenor-trombone-2", 555, 293, "B2", "A4", "1:1 383:4 403:-4 435:4 451:1",
		"1:6/8 70:2/2a 71:6/8 366:2/2a 367:6/8 539:2/2a 547:6/8", 1, "tenor"},
	{"beach-op-32-3-bass-trombone", 146, 66, "G#2", "C4", "1:1 93:4 125:1", "1:6/4 96:3/4 97:6/4 101:3/4 102:6/4", 1, "bass"},
	{"brahms-op-45-1-trombone-1", 158, 32, "F2", "E4", "1:-1", "1:4/4", 1, "bass"},
	{"beethoven-op-60-4-bassoon-1", 359, 498, "F2", "G4", "1:-2", "1:2/4", 17, "bass"},
	{"bruckner-wab-105-3a-scherzo-bass-trombone", 382, 168, "E2", "F4", "1:-1", "1:3/4", 1, "bass"},
}

func TestRealParts(t *testing.T) {
	if _, err := os.Stat(realScores); err != nil {
		t.Skip("shared data not here:", err)
	}
	for _, want := range realParts {
		t.Run(want.file, func(t *testing.T) {
			p := prepare(t, filepath.Join(realScores, want.file+".musicxml"), "tenor-f")
			d := p.Read()
			if d.Bars != want.bars || d.Notes != want.notes || d.Lowest != want.lowest || d.Highest != want.highest {
				t.Errorf("%d bars, %d notes, %s to %s; want %d, %d, %s to %s", d.Bars, d.Notes, d.Lowest, d.Highest,
					want.bars, want.notes, want.lowest, want.highest)
			}
			var keys, meters []string
			for _, k := range d.Keys {
				keys = append(keys, fmt.Sprintf("%s:%d", k.Bar, k.Fifths))
			}
			for _, m := range d.Meters {
				s := fmt.Sprintf("%s:%d/%d", m.Bar, m.Beats, m.Unit)
				if m.Cut {
					s += "a"
				}
				meters = append(meters, s)
			}
			if got := strings.Join(keys, " "); got != want.keys {
				t.Errorf("keys %s, want %s", got, want.keys)
			}
			if got := strings.Join(meters, " "); got != want.meters {
				t.Errorf("meters %s, want %s", got, want.meters)
			}
			if n := len(p.Part.Clefs); n != want.clefs || p.Part.Clefs[0].Clef.String() != want.clefStart {
				t.Errorf("%d clefs from %s, want %d from %s", n, p.Part.Clefs[0].Clef, want.clefs, want.clefStart)
			}
		})
	}
}
