package midi

import (
	"waterkey/score"
)

// Spelling on the line of fifths (... Bb F C G D A E B F# ..., C being 0), on
// which the notes of a key lie side by side: a major key of f fifths holds
// f-1 to f+5.
//
// Every note is spelled in a key of its own: the signature under which most of
// the notes around it lie, less a price for every fifth it is away from the
// file's signature. A note of that key has the key's name. Another is raised
// when the next other note lies a semitone above it (a leading note), and
// otherwise the nearest on the line of three flats or flatter and the raised
// fourth.
//
// This is a simple form of two rules of Temperley, "The Cognition of Basic
// Musical Structures" (2001): that names of neighboring notes lie close
// together on the line of fifths, and that voices move by diatonic semitones.
// It differs in that the center is the best of fifteen keys and no mean, that
// only the rise to the next note counts, and that there is no harmony: one
// line has none. On real single lines it does better than stage one of
// Meredith's ps13 ("The ps13 Pitch Spelling Algorithm", Journal of New Music
// Research 35, 2006), which is made for many voices; the tests count.
const (
	// keyContext is how many notes on each side show the key, and keyDistance
	// the price of a fifth from the signature as a share of them. Both were
	// chosen on some 10,000 notes of real trombone parts.
	keyContext  = 10
	keyDistance = 0.06
	// unsigned is that price where the file has no signature: it only decides
	// between equals, for few accidentals (estimate).
	unsigned = 0.001

	semitones  = 12
	fifthSteps = 7 // semitones in a fifth
)

// keyFrom, keyTo and raised, lowered are places on the line relative to a key.
const (
	keyFrom, keyTo = -1, 5
	loweredFrom    = -4 // to the raised fourth, +7
	raisedFrom     = 1  // to the raised notes of the minor keys and more
)

// spell names the pitches.
func (r *reader) spell(notes []placed) {
	var around [semitones]int // notes of each pitch class within the context
	for _, n := range notes[:min(keyContext, len(notes))] {
		around[n.key%semitones]++
	}
	next := 0
	for i, n := range notes {
		if j := i + keyContext; j < len(notes) {
			around[notes[j].key%semitones]++
		}
		if j := i - keyContext - 1; j >= 0 {
			around[notes[j].key%semitones]--
		}
		for next = max(next, i); next < len(notes) && notes[next].key == n.key; {
			next++
		}
		leads := next < len(notes) && notes[next].key == n.key+1
		out := &r.out.Notes[i]
		out.Pitch = pitchOf(n.key, placeOn(n.key, r.localKey(out.Bar, around), leads))
		out.Written = out.Pitch
	}
}

// localKey is the signature, in fifths, that fits the notes around.
func (r *reader) localKey(bar int, around [semitones]int) int {
	signature, price := r.out.Bars[bar].Key.Fifths, keyDistance
	if len(r.out.Keys) == 0 {
		price = unsigned
	}
	total := 0
	for _, n := range around {
		total += n
	}
	best, most := signature, -1.0*float64(total)
	for key := -mostFifths; key <= mostFifths; key++ {
		fits := 0
		for place := key + keyFrom; place <= key+keyTo; place++ {
			fits += around[pitchClass(place)]
		}
		if value := float64(fits) - price*float64(max(key-signature, signature-key)*total); value > most {
			best, most = key, value
		}
	}
	return best
}

// placeOn is the place of a note number on the line of fifths, in a key.
func placeOn(number uint8, key int, leads bool) int {
	if place := within(number, key+keyFrom); place <= key+keyTo {
		return place
	}
	if leads {
		return within(number, key+raisedFrom)
	}
	return within(number, key+loweredFrom)
}

// within is the place of a note number among the twelve from a place on.
func within(number uint8, from int) int {
	for place := from; ; place++ {
		if pitchClass(place) == int(number%semitones) {
			return place
		}
	}
}

// pitchClass is the semitones above C of a place on the line.
func pitchClass(place int) int {
	return ((place*fifthSteps)%semitones + semitones) % semitones
}

// pitchOf names a note number by its place on the line.
func pitchOf(number uint8, place int) score.Pitch {
	const letters = "FCGDAEB"
	i := place + 1
	letter := (i%len(letters) + len(letters)) % len(letters)
	p := score.Pitch{Step: letters[letter], Alter: (i - letter) / len(letters), Octave: -1}
	p.Octave += (int(number) - p.MIDI()) / semitones
	return p
}

// accidentals by their semitones from -2 on.
var accidentals = [...]string{"flat-flat", "flat", "natural", "sharp", "double-sharp"}

// printAccidentals puts accidentals where a page needs them: where a note
// differs from what its bar or its signature has for its line or space (common
// practice). A note tied from the bar before needs none.
func (r *reader) printAccidentals() {
	type staffLine struct {
		step   byte
		octave int
	}
	bar := -1
	inForce := map[staffLine]int{}
	for i := range r.out.Notes {
		n := &r.out.Notes[i]
		if n.Bar != bar {
			bar = n.Bar
			clear(inForce)
		}
		line := staffLine{n.Written.Step, n.Written.Octave}
		was, ok := inForce[line]
		if !ok {
			was = r.out.Bars[bar].Key.Alteration(line.step)
		}
		inForce[line] = n.Written.Alter
		if at := n.Written.Alter + 2; n.Written.Alter != was && at >= 0 && at < len(accidentals) {
			n.Accidental = accidentals[at]
		}
	}
}
