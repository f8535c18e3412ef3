package brass

import (
	"math"
	"slices"
)

// practice is what players of an instrument take first.
type practice struct {
	lowest   int   // the lowest partial in use
	partials []int // those the usual fingerings are counted down from
	// thumbPartials are the same with the thumb down, and thumbFrom is the MIDI note
	// from which the thumb is down; 0 where there is no thumb valve.
	thumbPartials []int
	thumbFrom     int
}

// commonPractice counts down from these partials (published: sounding-pitch table of
// trumpet, euphonium and tuba fingerings, codegolf.stackexchange.com, answer 69581,
// which is this rule).
func commonPractice() practice {
	return practice{lowest: 1, partials: []int{1, 2, 3, 4, 5, 6, 8, 10, 12}}
}

// doubleHornPractice has the F half up to written G4 and the B flat half from G sharp
// 4 on, where fifth partials are avoided (published: jonathanhornthoughts.blogspot.com,
// "When to use F side and when to use Bb", July 2009). That the ninth partial serves above the eighth and the
// twelfth above that is from memory.
func doubleHornPractice() practice {
	p := commonPractice()
	p.thumbPartials = []int{1, 2, 3, 4, 6, 8, 9, 12}
	p.thumbFrom = 61 // written G sharp 4
	return p
}

// Amounts by which a fingering stands behind another, in semitones that the valves
// lower the horn by: the fingering that lowers least is the usual one (published:
// the table named at commonPractice). All amounts are set so that the published
// tables come out; they are estimates.
const (
	// standingPerCent prefers the fingering nearer to pitch: 4 to 1+3, 2+4 to 1+2+3.
	standingPerCent = 0.01
	// thirdAlone puts 1+2 before 3 and 1+2+4 before 3+4.
	thirdAlone = 0.3
	// fifthDown keeps the fifth valve, which many tubas lack, behind the others.
	fifthDown = 0.5
	// rarePartial is further than any finger goes above partial 2.
	rarePartial = 7.0
	// otherHalf is the half of the double horn not in use in a register.
	otherHalf = 20.0
)

// standing orders fingerings. drop is how many semitones the note lies below the
// partial.
func (in *Instrument) standing(w Way, s Side, midi, drop int) float64 {
	sum := float64(drop) + standingPerCent*math.Abs(w.LeanCents)
	if s.holds("3") && !s.holds("1") && !s.holds("2") {
		sum += thirdAlone
	}
	if s.holds("5") {
		sum += fifthDown
	}
	down, usual := s.holds(thumb), in.practice.partials
	if down {
		usual = in.practice.thumbPartials
	}
	if !slices.Contains(usual, w.Partial) {
		sum += rarePartial
	}
	if from := in.practice.thumbFrom; from > 0 && down != (midi >= from) {
		sum += otherHalf
	}
	return sum
}
