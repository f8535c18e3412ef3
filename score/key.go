package score

import "fmt"

// Key is a key signature.
type Key struct {
	Fifths int    // sharps positive, flats negative
	Mode   string // "major", "minor", a church mode, or "" when the page does not say
	// Other lists the letters a non-traditional signature alters, as pitch
	// names ("F#", "Bb"); nil for a traditional one.
	Other []string
}

const (
	sharpOrder = "FCGDAEB"
	flatOrder  = "BEADGCF"
)

// Altered lists the notes that the signature alters, in the order it is
// written: ["Bb" "Eb"]. Beyond seven the letters are altered a second time, in
// the same order: eight flats begin with "Bbb".
func (k Key) Altered() []string {
	if k.Other != nil {
		return k.Other
	}
	out := []string{}
	order, sign := sharpOrder, "#"
	if k.Fifths < 0 {
		order, sign = flatOrder, "b"
	}
	for i := range max(k.Fifths, -k.Fifths) {
		if i < len(order) {
			out = append(out, order[i:i+1]+sign)
		} else {
			out[i%len(order)] += sign
		}
	}
	return out
}

// modeFifths is how far the tonic of each mode lies from the major tonic of
// the same signature, in fifths.
var modeFifths = map[string]int{
	"": 0, "major": 0, "ionian": 0, "mixolydian": 1, "dorian": 2,
	"minor": 3, "aeolian": 3, "phrygian": 4, "locrian": 5, "lydian": -1,
}

// Name is "F major", "D minor" or the like. A signature whose mode the page
// does not give is named by its major key.
func (k Key) Name() string {
	if k.Other != nil {
		return "non-traditional"
	}
	mode := k.Mode
	shift, ok := modeFifths[mode]
	if !ok || mode == "" {
		mode = "major"
	}
	return fmt.Sprintf("%s %s", tonicName(k.Fifths+shift), mode)
}

// tonicName is the note that lies n fifths above C.
func tonicName(n int) string {
	i := n + 1 // F is the start of the circle
	name := sharpOrder[mod(i, 7) : mod(i, 7)+1]
	for range max(floorDiv(i, 7), 0) {
		name += "#"
	}
	for range max(-floorDiv(i, 7), 0) {
		name += "b"
	}
	return name
}

// Alteration is what the signature does to a letter, in semitones.
func (k Key) Alteration(step byte) int {
	for _, name := range k.Altered() {
		if name[0] == step {
			p, err := ParsePitch(name + "4")
			if err == nil {
				return p.Alter
			}
		}
	}
	return 0
}
