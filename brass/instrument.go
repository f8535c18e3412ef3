// Package brass is the instrument: a tube of a stated length, lengthened by a
// slide or by valves, and every way it offers to sound a pitch.
//
// The tube is modeled by its effective acoustic length L with the slide closed and
// no valve down, so that partial n of the open horn sounds near n*c/(2L). A slide
// drawn by d centimeters adds 2d of tube. Two sources support treating L as the
// same for all partials: R. D. Ayers, 134th meeting of the Acoustical Society of
// America, 1997 ("essentially independent of frequency"), and the agreement of
// the resulting extensions with a published table (see the tests).
//
// Each valve adds tube. Valves down together add their tubes, so the sum is
// shorter than the semitones ask and sounds sharp (T. R. Moore, Acoustics Today,
// Winter 2016). A compensating instrument sends the air through further loops when
// its last valve is down, so that each tube grows in the same proportion as the
// horn; a full double horn has two sets of tubes for the same reason. See [Valve].
//
// Extensions are centimeters from the closed slide, deviations are cents
// (hundredths of a semitone) against equal temperament, positive is sharp.
package brass

import (
	"fmt"
	"strings"

	"waterkey/score"
)

// Instrument is one brass instrument: a slide horn or valve brass.
type Instrument struct {
	Name        string // as given on the command line
	Title       string // as a player says it
	Family      Family
	Fundamental score.Pitch // partial 1 of the open horn, slide closed
	TubeCM      float64     // effective acoustic length L of the open horn, slide closed
	SlideMaxCM  float64     // the furthest the slide is drawn in playing; 0 on valve brass
	Sides       []Side      // the states of the valves, the open horn first
	Valves      []Valve     // valve brass: what the sides are made of; nil on a slide horn
	// PartialCents is how far a partial lies from the harmonic series, by
	// partial number, added to theory. Players' horns differ, in the fifth and
	// sixth partials above all, and sources disagree; nil keeps to theory.
	PartialCents map[int]float64
	// Written is how its parts are written against the sounding pitch, for
	// [score.Pitch.Transpose]; zero for parts in concert pitch.
	Written Transposition

	// compensator names the valve in proportion to which the other tubes grow when
	// it is down; "" for none.
	compensator string
	// practice is which partials and halves of the horn players take first.
	practice practice
}

// Family groups instruments that share a register and a way of writing.
type Family string

// The families.
const (
	Trombones Family = "trombone"
	Trumpets  Family = "trumpet"
	Horns     Family = "horn"
	TenorTuba Family = "euphonium" // and baritone
	Tubas     Family = "tuba"
)

// Transposition is an interval up from the sounding to the written pitch.
type Transposition struct{ Steps, Semitones int }

// Side is one state of the valves.
type Side struct {
	Valve     string  // "" for the open horn, "F", "Gb", "F+Gb"; "1+3" and "T+1+2" on valve brass
	Prefix    string  // what players write before the position: "" or "T"; on valve brass all they write, "0", "13", "T12"
	Semitones int     // how far the side lies below the open horn, rounded; negative above
	Factor    float64 // how many times the tube of the open horn
}

// Slide says whether the instrument has a slide; else it is valve brass, whose
// ways have position 0 and no extension.
func (in *Instrument) Slide() bool { return in.SlideMaxCM > 0 }

// Default is the instrument taken when none is named.
const Default = "tenor-f"

// Named returns the instrument with a command-line name. The error lists the
// names there are.
func Named(name string) (*Instrument, error) {
	var names []string
	for _, in := range instruments() {
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
	for _, in := range instruments() {
		names = append(names, in.Name)
	}
	return names
}

// instruments are all there are, slide horns first.
func instruments() []*Instrument { return append(slideHorns(), valveBrass()...) }
