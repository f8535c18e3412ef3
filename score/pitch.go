package score

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Pitch is a spelled pitch in scientific notation: A4 is the tuning A, C4 is
// middle C. The zero Pitch is no pitch.
type Pitch struct {
	Step   byte // 'C' 'D' 'E' 'F' 'G' 'A' 'B'; 0 is no pitch
	Alter  int  // semitones, -1 is a flat
	Octave int
	Cents  float64 // a microtone beyond Alter, -50 to +50; almost always 0
}

// stepSemitones are the semitones of C D E F G A B above C, indexed by
// step-'A'.
var stepSemitones = [7]int{9, 11, 0, 2, 4, 5, 7}

// stepOrder is the diatonic place of A..G above C, indexed by step-'A'.
var stepOrder = [7]int{5, 6, 0, 1, 2, 3, 4}

const steps = "CDEFGAB"

// MIDI returns the note number of the MIDI 1.0 specification: 60 is C4, 69 is
// A4. Cents are left out.
func (p Pitch) MIDI() int {
	return 12*(p.Octave+1) + stepSemitones[p.Step-'A'] + p.Alter
}

// Hz returns the equal-tempered frequency for a reference a4 in hertz, usually
// 440 (ISO 16:1975), microtone included.
func (p Pitch) Hz(a4 float64) float64 {
	return a4 * math.Exp2((float64(p.MIDI()-69)+p.Cents/100)/12)
}

// String spells the pitch as "Bb2", "F#3" or "Abb4"; a microtone is left out.
func (p Pitch) String() string {
	if p.Step == 0 {
		return ""
	}
	acc := strings.Repeat("#", max(p.Alter, 0)) + strings.Repeat("b", max(-p.Alter, 0))
	return string(p.Step) + acc + strconv.Itoa(p.Octave)
}

// Text is the pitch as a reader of text sees it, "B♭2" or "F♯3".
func (p Pitch) Text() string { return signs.Replace(p.String()) }

// signs turns accidentals of pitch names into the printed ones.
var signs = strings.NewReplacer("b", "♭", "#", "♯")

// Name is the pitch without its octave, "Bb".
func (p Pitch) Name() string { return strings.TrimRight(p.String(), "-0123456789") }

// Transpose moves the pitch by diatonic steps and semitones together, keeping
// the spelling: (-1, -2) is a major second down.
func (p Pitch) Transpose(diatonic, chromatic int) Pitch {
	place := stepOrder[p.Step-'A'] + diatonic + 7*p.Octave
	q := Pitch{Step: steps[mod(place, 7)], Octave: floorDiv(place, 7), Cents: p.Cents}
	q.Alter = p.MIDI() + chromatic - q.MIDI()
	return q
}

// ParsePitch reads what String writes.
func ParsePitch(s string) (Pitch, error) {
	bad := fmt.Errorf("pitch %q is not a note name with octave such as Bb2 or F#3", s)
	if len(s) < 2 || s[0] < 'A' || s[0] > 'G' {
		return Pitch{}, bad
	}
	p := Pitch{Step: s[0]}
	rest := s[1:]
	for rest != "" && (rest[0] == '#' || rest[0] == 'b') {
		if rest[0] == '#' {
			p.Alter++
		} else {
			p.Alter--
		}
		rest = rest[1:]
	}
	oct, err := strconv.Atoi(rest)
	if err != nil || oct < -2 || oct > 12 || p.Alter < -3 || p.Alter > 3 {
		return Pitch{}, bad
	}
	p.Octave = oct
	return p, nil
}

// PitchFromMIDI spells a MIDI note number, with flats for the black keys as low
// brass players name them, F sharp excepted.
func PitchFromMIDI(n int) Pitch {
	names := [12]string{"C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B"}
	p := Pitch{Step: names[mod(n, 12)][0], Octave: floorDiv(n, 12) - 1}
	switch names[mod(n, 12)][1:] {
	case "b":
		p.Alter = -1
	case "#":
		p.Alter = 1
	}
	return p
}

// MarshalText makes a Pitch a JSON string.
func (p Pitch) MarshalText() ([]byte, error) { return []byte(p.String()), nil }

// UnmarshalText reads what MarshalText writes.
func (p *Pitch) UnmarshalText(b []byte) error {
	if len(b) == 0 {
		*p = Pitch{}
		return nil
	}
	q, err := ParsePitch(string(b))
	if err == nil {
		*p = q
	}
	return err
}

func mod(a, n int) int { return ((a % n) + n) % n }

func floorDiv(a, n int) int { return (a - mod(a, n)) / n }
