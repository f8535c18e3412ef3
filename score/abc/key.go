package abc

import (
	"regexp"
	"slices"
	"strings"

	"waterkey/score"
)

// modes are the names of the modes by their first three letters, with the
// fifths that the signature of a tonic lies below its major one (3.1.14).
var modes = map[string]struct {
	name  string
	below int
}{
	"": {"major", 0}, "maj": {"major", 0}, "ion": {"ionian", 0}, "mix": {"mixolydian", 1}, "dor": {"dorian", 2},
	"m": {"minor", 3}, "min": {"minor", 3}, "aeo": {"aeolian", 3}, "phr": {"phrygian", 4}, "loc": {"locrian", 5}, "lyd": {"lydian", -1},
}

// modeBelow names a mode by its fifths below major, for signatures that
// accidentals turn into another mode: K:D =c is D mixolydian.
var modeBelow = map[int]string{-1: "lydian", 0: "major", 1: "mixolydian", 2: "dorian", 3: "minor", 4: "phrygian", 5: "locrian"}

// tonicFifths are the sharps of each letter's major key.
var tonicFifths = map[byte]int{'F': -1, 'C': 0, 'G': 1, 'D': 2, 'A': 3, 'E': 4, 'B': 5}

var (
	keyTonic      = regexp.MustCompile(`^([A-G])([#b♯♭]?)([A-Za-z]*)$`)
	smallTonic    = regexp.MustCompile(`^[a-g][#b]?(m|min.*|maj.*|mix.*|dor.*|phr.*|lyd.*|loc.*|aeo.*|ion.*)?$`)
	keyAccidental = regexp.MustCompile(`^(?:(?:\^\^|\^|__|_|=)[A-Ga-g])+$`)
	oneAccidental = regexp.MustCompile(`(\^\^|\^|__|_|=)([A-Ga-g])`)
)

// alterations are the accidentals in semitones (4.2).
var alterations = map[string]int{"^^": 2, "^": 1, "=": 0, "_": -1, "__": -2}

// signature is a key signature as it is being read.
type signature struct {
	given  bool // the field speaks of the key at all
	hidden bool // none is printed
	tonic  int  // fifths of the tonic's major key
	fifths int
	mode   string
	alter  map[byte]int // by letter
	order  []byte       // of the letters, as written
	modal  bool         // accidentals were added
}

// keyField reads a K: field: key, mode, accidentals, clef and the like
// (3.1.14, 4.6). In the body a field that names no key leaves the key as it is.
func (r *reader) keyField(value string) {
	words := properties(value)
	s := signature{mode: "", alter: map[byte]int{}}
	words = r.tonic(&s, words, value)
	var rest []string
	for _, w := range words {
		switch {
		case keyAccidental.MatchString(w):
			s.addAccidentals(w)
		case w == "exp" && s.given:
			s.setFifths(0)
			s.mode = ""
		default:
			rest = append(rest, w)
		}
	}
	r.setStaff(rest)
	if s.given || s.modal || !r.bars.inBody {
		r.setKey(s)
	}
}

// tonic reads the start of a field: tonic and mode, HP, Hp or none.
func (r *reader) tonic(s *signature, words []string, value string) (rest []string) {
	if len(words) == 0 {
		s.given = true // an empty field: no signature
		return nil
	}
	switch words[0] {
	case "none":
		s.given = true
		return words[1:]
	case "HP", "Hp": // the Highland pipes sound F sharp and C sharp
		s.given, s.hidden = true, words[0] == "HP"
		s.setFifths(2)
		return words[1:]
	}
	m := keyTonic.FindStringSubmatch(words[0])
	if m == nil {
		if smallTonic.MatchString(words[0]) && !clefSpec.MatchString(words[0]) {
			r.badKey(value)
		}
		return words
	}
	words = words[1:]
	mode := m[3]
	if mode == "" && len(words) > 0 {
		if _, ok := modes[modeKey(words[0])]; ok && words[0] != "" && !strings.Contains(words[0], "=") {
			mode, words = words[0], words[1:]
		}
	}
	if mode == "exp" {
		mode, words = "", append([]string{"exp"}, words...)
	}
	named, ok := modes[modeKey(mode)]
	s.given, s.mode = true, named.name
	s.tonic = tonicFifths[m[1][0]] + map[string]int{"#": 7, "♯": 7, "b": -7, "♭": -7}[m[2]]
	if fifths := s.tonic - named.below; !ok || fifths > maxFifths || fifths < -maxFifths {
		r.badKey(value)
	} else {
		s.setFifths(fifths)
	}
	return words
}

func (r *reader) badKey(value string) {
	r.fail("the key %q is not one such as G, Bb, Dm or A mix with up to %d sharps or flats", cut(value), maxFifths)
}

// modeKey is what counts of a mode's name: three letters in any case; a single
// m is minor.
func modeKey(s string) string {
	if s = strings.ToLower(s); len(s) > 3 {
		return s[:3]
	}
	return s
}

// setFifths makes the signature a plain one.
func (s *signature) setFifths(n int) {
	s.fifths, s.alter, s.order = n, map[byte]int{}, nil
	for _, name := range (score.Key{Fifths: n}).Altered() {
		s.set(name[0], 1-2*strings.Count(name, "b"))
	}
}

func (s *signature) set(letter byte, alter int) {
	if _, ok := s.alter[letter]; !ok {
		s.order = append(s.order, letter)
	}
	s.alter[letter] = alter
}

// addAccidentals changes the signature by ^f, =c and the like. The octave of
// the letter is a matter of the picture only.
func (s *signature) addAccidentals(word string) {
	s.modal = true
	for _, m := range oneAccidental.FindAllStringSubmatch(word, -1) {
		s.set(strings.ToUpper(m[2])[0], alterations[m[1]])
	}
}

// key is the signature as the score has it: a plain one where the altered
// letters are those of some number of sharps or flats.
func (s *signature) key() score.Key {
	altered := []string{}
	for _, c := range s.order {
		if a := s.alter[c]; a != 0 {
			altered = append(altered, string(c)+strings.Repeat("#", max(a, 0))+strings.Repeat("b", max(-a, 0)))
		}
	}
	if !s.modal {
		return score.Key{Fifths: s.fifths, Mode: s.mode}
	}
	for n := -maxFifths; n <= maxFifths; n++ {
		if plain := (score.Key{Fifths: n}).Altered(); sameSet(plain, altered) {
			return score.Key{Fifths: n, Mode: modeBelow[s.tonic-n]}
		}
	}
	return score.Key{Other: altered}
}

func sameSet(a, b []string) bool {
	a, b = slices.Clone(a), slices.Clone(b)
	slices.Sort(a)
	slices.Sort(b)
	return slices.Equal(a, b)
}

// setKey puts a signature in force. No signature, and one that only repeats
// what is in force, is no mark of its own.
func (r *reader) setKey(s signature) {
	key := s.key()
	r.signed = s.alter
	if s.hidden {
		r.passOnce("K:HP prints no signature; F and C were read as sharp, as the pipes sound (3.1.14)")
		key = score.Key{}
	}
	same := key.Fifths == r.key.Fifths && key.Mode == r.key.Mode && slices.Equal(key.Other, r.key.Other)
	r.key = key
	if r.bars.open && r.bars.at.Sign() == 0 {
		r.thisBar().Key = key
	}
	at := r.now()
	if n := len(r.out.Keys); n > 0 && r.out.Keys[n-1].At == at && !same {
		r.out.Keys = r.out.Keys[:n-1]
	}
	none := key.Fifths == 0 && key.Mode == "" && key.Other == nil
	if !same && !(none && len(r.out.Keys) == 0) {
		r.out.Keys = append(r.out.Keys, score.KeyMark{At: at, Key: key})
	}
}
