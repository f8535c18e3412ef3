// Package brass is the instrument: a tube of a stated length, lengthened by a
// slide and by valves, and every way it offers to sound a pitch.
//
// The tube is modeled by its effective acoustic length L at the closed slide,
// so that partial n of the closed open horn sounds near n*c/(2L). A slide drawn
// by d centimeters adds 2d of tube. Two sources support treating L as the same
// for all partials: R. D. Ayers, 134th meeting of the Acoustical Society of
// America, 1997 ("essentially independent of frequency"), and the agreement of
// the resulting extensions with a published table (see the tests).
//
// Extensions are centimeters from the closed slide, deviations are cents
// (hundredths of a semitone) against equal temperament, positive is sharp.
package brass

import (
	"fmt"
	"math"
	"strings"

	"waterkey/score"
)

// Instrument is one slide instrument.
type Instrument struct {
	Name        string      // as given on the command line
	Title       string      // as a player says it
	Fundamental score.Pitch // partial 1 of the open horn, slide closed
	TubeCM      float64     // effective acoustic length L of the open horn, slide closed
	SlideMaxCM  float64     // the furthest the slide is drawn in playing
	Sides       []Side      // the open horn first
	// PartialCents is how far a partial lies from the harmonic series, by
	// partial number, added to theory. Players' horns differ, in the fifth and
	// sixth partials above all, and sources disagree; nil keeps to theory.
	PartialCents map[int]float64
}

// Side is one state of the valves.
type Side struct {
	Valve     string  // "" for the open horn, "F", "Gb", "F+Gb"
	Prefix    string  // what players write before the position: "" or "T"
	Semitones int     // how far the side lies below the open horn, rounded
	Factor    float64 // how many times the tube of the open horn
}

// Physical values of the slide.
const (
	// speedOfSound in cm/s gives L from the fundamental. 331 m/s is the value
	// behind the published extension table that the tests compare with; warm
	// air in the horn (345 m/s) would make all moves 4 percent longer.
	speedOfSound = 33_100.0
	// reachPositions is how many positions the slide can be drawn, counted in
	// semitones of the open horn beyond first: six and a little more, so that
	// low C on the F side is just there (published: six positions with the F
	// attachment, the sixth at full stretch; the exact stop is an estimate).
	reachPositions = 6.45
)

// Semitones of the attachments below the open horn (published: F a fourth,
// G flat a major third; the two together about D).
const (
	fSemitones    = 5
	gFlatSemitone = 4
)

func newSlideHorn(name, title, fundamental string, sides ...Side) *Instrument {
	p, err := score.ParsePitch(fundamental)
	if err != nil {
		panic(err) // a constant of this file
	}
	tube := speedOfSound / (2 * p.Hz(440))
	in := &Instrument{Name: name, Title: title, Fundamental: p, TubeCM: tube}
	in.SlideMaxCM = tube / 2 * (math.Exp2(reachPositions/12) - 1)
	in.Sides = append([]Side{{Factor: 1}}, sides...)
	return in
}

// side is a valve tuned by itself to a whole number of semitones.
func side(valve, prefix string, semitones int) Side {
	return Side{valve, prefix, semitones, math.Exp2(float64(semitones) / 12)}
}

// both is two independent valves down together, each tuned by itself: their
// tubes add up, so the sum is a little lower than the semitones say.
func both(valve, prefix string, a, b Side) Side {
	factor := a.Factor + b.Factor - 1
	return Side{valve, prefix, int(math.Round(12 * math.Log2(factor))), factor}
}

// horns are the slide instruments, by command-line name.
func horns() []*Instrument {
	f, gb := side("F", "T", fSemitones), side("Gb", "G♭", gFlatSemitone)
	return []*Instrument{
		newSlideHorn("alto", "alto trombone", "Eb2"),
		newSlideHorn("tenor", "tenor trombone", "Bb1"),
		newSlideHorn("tenor-f", "tenor trombone with F attachment", "Bb1", f),
		newSlideHorn("bass", "bass trombone with independent F and G flat valves", "Bb1", f, gb, both("F+Gb", "D", f, gb)),
		newSlideHorn("bass-dependent", "bass trombone with F valve and a second valve to D", "Bb1", f, side("F+D", "D", 8)),
	}
}

// Default is the instrument taken when none is named.
const Default = "tenor-f"

// Named returns the instrument with a command-line name. The error lists the
// names there are.
func Named(name string) (*Instrument, error) {
	var names []string
	for _, in := range horns() {
		if in.Name == name {
			return in, nil
		}
		names = append(names, in.Name)
	}
	return nil, fmt.Errorf("instrument %q is not known; there are %s", name, strings.Join(names, ", "))
}

// Names lists the command-line names.
func Names() []string {
	var names []string
	for _, in := range horns() {
		names = append(names, in.Name)
	}
	return names
}
