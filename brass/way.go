package brass

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"waterkey/score"
)

// Way is one way to sound a pitch.
type Way struct {
	Position    int     // 1 to 7, counted on the side in use; 0 on valve brass
	Valve       string  // the side in use; "" for the open horn
	Partial     int     // 1 is the pedal
	ExtensionCM float64 // where the slide is, lean included; 0 on valve brass
	// LeanCM is extension less the nominal position, positive is further out. On
	// valve brass it is how far valve slides are drawn for the note, cm of slide, all
	// of them together.
	LeanCM    float64
	LeanCents float64 // how far the partial sounds from pitch without leaning
	OffCents  float64 // what is left after leaning, where the slide meets its end
	Label     string  // as written in a part: "6", "T1", "♯2"; "0", "13", "T12"
}

const (
	// HighestPartial is the highest partial offered. Partials 11 and 13 lie about
	// a quarter tone from any note (published: -49 and +41 cents) and 14 is the
	// flat seventh again; players leave them out.
	HighestPartial = 12
	// lipCents is how far a player bends a note that the slide cannot correct
	// (estimate; the fifth partial in first, 14 cents flat in theory, is played
	// there every day).
	lipCents = 20.0
	// signCM is the lean from which a raised or lowered position is written
	// with a sharp or flat sign (estimate): above what the fifth partial asks in
	// theory (up to 1.6 cm), which players correct by ear without writing it, and
	// below what the seventh needs (2.6 cm and more), which charts do mark.
	signCM = 2.0
	// shiftCents is the deviation beyond which a partial is no longer the note
	// it stands for (half the way to the next semitone, less a margin; estimate).
	shiftCents = 40.0
)

// Deviation is how far partial n sounds from the nearest equal-tempered note,
// in cents, the horn's own habits included.
func (in *Instrument) Deviation(n int) float64 {
	exact := 12 * math.Log2(float64(n))
	return 100*(exact-math.Round(exact)) + in.PartialCents[n]
}

// Ways lists every way to sound a pitch, the one nearest the closed slide on
// the open horn first; on valve brass the usual fingering first. It is empty for a
// pitch out of reach.
func (in *Instrument) Ways(p score.Pitch) []Way {
	if !in.Slide() {
		return in.fingerings(p)
	}
	var ways []Way
	for _, s := range in.Sides {
		for n := 1; n <= HighestPartial; n++ {
			if w, ok := in.way(s, n, p); ok {
				ways = append(ways, w)
			}
		}
	}
	slices.SortStableFunc(ways, func(a, b Way) int {
		return cmp.Compare(a.standing(), b.standing())
	})
	return ways
}

// valveStandingCM is how much shorter the slide must be for a note to count as
// better with the valve than without (published practice: the valve replaces
// sixth and seventh, no nearer position; 42 cm lies between fifth, 37 cm on a tenor,
// and sixth, 48 cm).
const valveStandingCM = 42.0

// standing orders ways: the position closest to first is the usual one (M.
// Everett, The Instrumentalist, August 2021).
func (w Way) standing() float64 {
	if w.Valve != "" {
		return w.ExtensionCM + valveStandingCM
	}
	return w.ExtensionCM
}

// way sounds p as partial n on side s.
func (in *Instrument) way(s Side, n int, p score.Pitch) (Way, bool) {
	down := in.Fundamental.MIDI() + partialSemitones(n) - s.Semitones - p.MIDI() // semitones the slide must add
	if down < 0 || down > 7 {
		return Way{}, false
	}
	// A side whose tubes do not add up to whole semitones starts off pitch.
	mistuned := 100 * (float64(s.Semitones) - 12*math.Log2(s.Factor))
	dev := in.Deviation(n) + mistuned - p.Cents
	if math.Abs(in.Deviation(n)) > shiftCents {
		return Way{}, false
	}
	nominal := in.extension(s, float64(down))
	if nominal > in.SlideMaxCM {
		return Way{}, false
	}
	want := in.extension(s, float64(down)+dev/100)
	at := min(max(want, 0), in.SlideMaxCM)
	off := dev - 100*(in.semitones(s, at)-float64(down))
	if math.Abs(off) > lipCents {
		return Way{}, false
	}
	w := Way{Position: down + 1, Valve: s.Valve, Partial: n, ExtensionCM: at,
		LeanCM: at - nominal, LeanCents: dev, OffCents: off}
	w.Label = w.label(s.Prefix)
	return w, true
}

// extension is how far the slide is drawn to lower side s by so many semitones:
// d = (Lk/2)(2^(x/12) - 1).
func (in *Instrument) extension(s Side, semitones float64) float64 {
	return in.TubeCM * s.Factor / 2 * (math.Exp2(semitones/12) - 1)
}

// Positions is where the positions of a side of a slide horn lie, in cm from the
// closed slide, as many as the slide holds, seven at most.
func (in *Instrument) Positions(s Side) []float64 {
	const positions = 7
	var out []float64
	for n := range positions {
		cm := in.extension(s, float64(n))
		if cm > in.SlideMaxCM {
			break
		}
		out = append(out, cm)
	}
	return out
}

// semitones is the inverse of extension.
func (in *Instrument) semitones(s Side, cm float64) float64 {
	return 12 * math.Log2(1+2*cm/(in.TubeCM*s.Factor))
}

func (w Way) label(prefix string) string {
	sign := ""
	switch {
	case w.LeanCM <= -signCM:
		sign = "♯"
	case w.LeanCM >= signCM:
		sign = "♭"
	}
	return fmt.Sprintf("%s%s%d", prefix, sign, w.Position)
}

// SameReach says whether a glissando can run between two ways: one partial,
// one state of the valves.
func SameReach(a, b Way) bool { return a.Partial == b.Partial && a.Valve == b.Valve }

// Lowest and Highest are the ends of the chromatic range on a horn, found by
// trying: from the lowest note down to which no semitone is missing from
// partial 2 upward, to the highest partial in first.
func (in *Instrument) Lowest() score.Pitch {
	n := in.Fundamental.MIDI() + 12
	for len(in.Ways(score.PitchFromMIDI(n-1))) > 0 {
		n--
	}
	return score.PitchFromMIDI(n)
}

// Highest is the note of the highest partial offered on the side with the least
// tube, slide closed.
func (in *Instrument) Highest() score.Pitch {
	least := 0
	for _, s := range in.Sides {
		least = min(least, s.Semitones)
	}
	return score.PitchFromMIDI(in.Fundamental.MIDI() + partialSemitones(HighestPartial) - least)
}
