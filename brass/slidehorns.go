package brass

import (
	"math"

	"waterkey/score"
)

// Physical values of horn and slide.
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
	in := newHorn(name, title, fundamental, Trombones)
	in.SlideMaxCM = in.TubeCM / 2 * (math.Exp2(reachPositions/12) - 1)
	in.Sides = append([]Side{{Factor: 1}}, sides...)
	return in
}

// newHorn is a horn of a stated fundamental, the tube only.
func newHorn(name, title, fundamental string, family Family) *Instrument {
	p, err := score.ParsePitch(fundamental)
	if err != nil {
		panic(err) // a constant of this package
	}
	return &Instrument{Name: name, Title: title, Family: family, Fundamental: p, TubeCM: speedOfSound / (2 * p.Hz(440))}
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

// What stands before the position: T for the thumb's valve, as players write it, M for
// the middle finger's and TM for both, since D and G♭, by which those two are called,
// would read as pitches where a position follows.
const thumbPrefix, middlePrefix = "T", "M"

// slideHorns are the slide instruments, the smallest first.
func slideHorns() []*Instrument {
	f, gb := side("F", thumbPrefix, fSemitones), side("Gb", middlePrefix, gFlatSemitone)
	return []*Instrument{
		newSlideHorn("alto", "alto trombone", "Eb2"),
		newSlideHorn("tenor", "tenor trombone", "Bb1"),
		newSlideHorn("tenor-f", "tenor trombone with F attachment", "Bb1", f),
		newSlideHorn("bass", "bass trombone with independent F and G flat valves", "Bb1", f, gb, both("F+Gb", thumbPrefix+middlePrefix, f, gb)),
		newSlideHorn("bass-dependent", "bass trombone with F valve and a second valve to D", "Bb1", f, side("F+D", thumbPrefix+middlePrefix, 8)),
	}
}
