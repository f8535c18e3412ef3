package abc

import (
	"regexp"
	"strconv"
	"strings"

	"waterkey/score"
)

// staff is how the letters of a voice stand on the page and sound (4.6).
type staff struct {
	clef      score.Clef
	clefGiven bool
	octave    int // octave=, of code and sound
	transpose int // transpose=, semitones of the sound only
	middle    int // octaves from the code to the page, by middle=
}

// clefNames are the clefs of 4.6 without their octave sign.
var clefNames = map[string]score.Clef{
	"treble": {Sign: "G", Line: 2}, "alto": {Sign: "C", Line: 3}, "tenor": {Sign: "C", Line: 4}, "bass": {Sign: "F", Line: 4},
	"perc": {Sign: "percussion"}, "none": {Sign: "none"},
}

var (
	clefSpec   = regexp.MustCompile(`^(treble|alto|tenor|bass|perc|none)([1-5])?([+-]8)?$`)
	middleSpec = regexp.MustCompile(`^([A-Ga-g])([,']{0,6})$`)
)

// setStaff takes the properties of a K: or V: field that concern the staff:
// [clef=]name[line][+8|-8] middle= transpose= octave=. Others are of layout or
// of another program, and ignored, as the standard asks (4.6, 7.1).
func (r *reader) setStaff(props []string) {
	middle := ""
	for _, p := range props {
		name, value, ok := strings.Cut(p, "=")
		if !ok {
			name, value = "clef", p
		}
		switch name {
		case "clef":
			if !r.setClef(value) {
				r.passOnce("%q in a K: or V: field was left out; clefs are such as bass, tenor, alto, treble-8", cut(p))
			}
		case "octave":
			r.staff.octave = r.shift(p, value, maxOctaveShift)
		case "transpose", "t":
			r.staff.transpose = r.shift(p, value, maxTranspose)
		case "middle", "m":
			middle = value
		}
	}
	if middle != "" {
		r.setMiddle(middle)
	}
	if !r.staff.clefGiven && !r.bars.inBody {
		r.setClef("treble") // the default
	}
}

// shift reads a whole number within bounds.
func (r *reader) shift(prop, value string, most int) int {
	n, err := strconv.Atoi(strings.TrimPrefix(value, "+"))
	if err != nil || n < -most || n > most {
		r.fail("%q is not a whole number from %d to %d", cut(prop), -most, most)
	}
	return n
}

// setClef reads a clef; unknown names are left out.
func (r *reader) setClef(spec string) bool {
	m := clefSpec.FindStringSubmatch(spec)
	if m == nil {
		return false
	}
	clef := clefNames[m[1]]
	if m[2] != "" && clef.Line > 0 {
		clef.Line = int(m[2][0] - '0')
	}
	clef.Octave = map[string]int{"+8": 1, "-8": -1}[m[3]]
	r.staff.middle = 0
	r.staff.clefGiven = true
	r.markClef(clef)
	return true
}

// markClef lists a clef where it changes.
func (r *reader) markClef(clef score.Clef) {
	at := r.now()
	if clef == r.staff.clef {
		return
	}
	r.staff.clef = clef
	if n := len(r.out.Clefs); n > 0 && r.out.Clefs[n-1].At == at {
		r.out.Clefs = r.out.Clefs[:n-1]
	}
	r.out.Clefs = append(r.out.Clefs, score.ClefMark{At: at, Clef: clef})
}

// clefNotes are the notes that the signs name on their lines, as diatonic steps
// above C0.
var clefNotes = map[string]int{"G": 4*7 + 4, "F": 3*7 + 3, "C": 4 * 7}

// setMiddle reads middle=, the note on the middle line: its letter sets the
// line of the clef, its octave how far the page is from the code. It does not
// change the sound (4.6, as corrected in February 2013).
func (r *reader) setMiddle(value string) {
	m := middleSpec.FindStringSubmatch(value)
	sign, known := clefNotes[r.staff.clef.Sign]
	if m == nil || !known {
		r.passOnce("middle=%s was left out", cut(value))
		return
	}
	middle := strings.IndexByte("CDEFGAB", strings.ToUpper(m[1])[0]) + 7*4
	if m[1][0] >= 'a' {
		middle += 7
	}
	middle += 7 * (strings.Count(m[2], "'") - strings.Count(m[2], ","))
	for line := 1; line <= 5; line++ {
		natural := sign + 2*(3-line)
		if (natural-middle)%7 != 0 {
			continue
		}
		clef := r.staff.clef
		clef.Line = line
		r.markClef(clef)
		r.staff.middle = (natural - middle) / 7
		if r.staff.middle != 0 && r.staff.transpose == 0 {
			r.passOnce("middle=%s moves the picture only (4.6): the notes sound %d octaves away from the page, as there is no transpose=", value, max(r.staff.middle, -r.staff.middle))
		}
		return
	}
	r.passOnce("middle=%s was left out; the clef has no line for it", cut(value))
}
