package player

import (
	"errors"
	"fmt"
	"math"
	"slices"
)

// LungsCaution stands wherever a capacity comes from an equation.
const LungsCaution = "A capacity from age and height is an average: players differ by a fifth and more. " +
	"A long tone timed from a full breath says more than any equation."

// Lungs is what a player breathes with. Air is liters above what stays in the
// lungs however far they are emptied: 0 to Vital.
type Lungs struct {
	Vital float64 // vital capacity, in liters

	// Full, Comfortable and Reserve are shares of the vital capacity, 0 to 1: where
	// a full breath ends; below which a player looks for the next breath; below
	// which no plan goes.
	Full, Comfortable, Reserve float64

	// A catch breath brings CatchShare of the vital capacity in CatchSeconds; a
	// full breath fills the lungs in FullSeconds. Between the two a breath brings
	// the more the longer it lasts, evenly.
	CatchShare                float64
	CatchSeconds, FullSeconds float64

	// Flow is how much more air than the flow model the player takes, by pitch; nil
	// for as much.
	Flow []FlowFactor

	Origin string // where the capacity comes from, in words
}

// Defaults of the settings of [Lungs].
const (
	// fullShare and reserveShare are the outer ends of what eight professional reed
	// players used: breath groups began at 55 to 87 percent of the vital capacity and
	// ended at 14 to 52 percent (published: Fuks and Sundberg, Med Probl Perform
	// Art 14, 1999), the upper a little lower to be safe (estimate).
	fullShare    = 0.85
	reserveShare = 0.14
	// comfortableShare lies between those ends: with it a full breath yields 60
	// percent without hurry (estimate).
	comfortableShare = 0.25
	// catchShare is what a quick breath brings (estimate: half a full one).
	catchShare = 0.35
	// No published time was found for brass; inspirations in speech and song last
	// 0.3 to 0.6 s (from memory). Both are estimates.
	catchSeconds = 0.35
	fullSeconds  = 0.8
)

// Limits of a measured capacity, in liters: a small child's and beyond the
// largest ever measured (estimates).
const leastVital, mostVital = 0.5, 12.0

// Measured is the lungs of a player whose vital capacity was measured, in liters.
func Measured(liters float64) (Lungs, error) {
	if math.IsNaN(liters) || liters < leastVital || liters > mostVital {
		hint := ""
		if liters > 100 { // nobody has a hundred liters
			hint = " (are these milliliters?)"
		}
		return Lungs{}, fmt.Errorf("vital capacity %g L is outside %g to %g%s; an adult has about 4.5", liters, leastVital, mostVital, hint)
	}
	return lungsOf(liters, "measured"), nil
}

func lungsOf(liters float64, origin string) Lungs {
	return Lungs{Vital: liters, Full: fullShare, Comfortable: comfortableShare, Reserve: reserveShare,
		CatchShare: catchShare, CatchSeconds: catchSeconds, FullSeconds: fullSeconds, Origin: origin}
}

// Check says what is wrong with settings made by hand.
func (l Lungs) Check() error {
	if _, err := Measured(l.Vital); err != nil {
		return err
	}
	shares := []float64{0, l.Reserve, l.Comfortable, l.Full, 1}
	if slices.ContainsFunc(shares, math.IsNaN) || !slices.IsSorted(shares) || l.Comfortable == l.Full || l.Reserve == l.Comfortable {
		return fmt.Errorf("shares of the capacity %g (reserve), %g (comfortable), %g (full) must grow from 0 to 1, such as %g, %g, %g",
			l.Reserve, l.Comfortable, l.Full, reserveShare, comfortableShare, fullShare)
	}
	if !(l.CatchShare > 0 && l.CatchShare <= l.Full-l.Reserve) {
		return fmt.Errorf("a catch breath of %g of the capacity must bring more than 0 and no more than the %g of a full one; try %g",
			l.CatchShare, l.Full-l.Reserve, min(catchShare, (l.Full-l.Reserve)/2))
	}
	const longest = 5.0 // seconds; no breath in music takes longer (estimate)
	if !(l.CatchSeconds > 0 && l.CatchSeconds < l.FullSeconds && l.FullSeconds <= longest) {
		return fmt.Errorf("breaths of %g s (catch) and %g s (full) must grow and end by %g s, such as %g and %g",
			l.CatchSeconds, l.FullSeconds, longest, catchSeconds, fullSeconds)
	}
	for _, f := range l.Flow {
		if !(f.Factor > 0) || math.IsInf(f.Factor, 0) {
			return errors.New("a flow factor must be above 0; 1 is as much air as the model takes")
		}
	}
	return nil
}

// FullLiters, ComfortableLiters and ReserveLiters are those shares in liters.
func (l Lungs) FullLiters() float64 { return l.Full * l.Vital }

// ComfortableLiters is where a player looks for the next breath.
func (l Lungs) ComfortableLiters() float64 { return l.Comfortable * l.Vital }

// ReserveLiters is what no plan touches.
func (l Lungs) ReserveLiters() float64 { return l.Reserve * l.Vital }

// Usable is the most that one full breath yields, in liters.
func (l Lungs) Usable() float64 { return l.FullLiters() - l.ReserveLiters() }

// Intake is what a breath of some seconds can bring, in liters: from nothing at 0 to
// a catch breath, on to a full one, no more beyond.
func (l Lungs) Intake(seconds float64) float64 {
	full := l.Full - l.Reserve
	switch {
	case seconds <= 0:
		return 0
	case seconds < l.CatchSeconds:
		return l.Vital * l.CatchShare * seconds / l.CatchSeconds
	case seconds < l.FullSeconds:
		part := (seconds - l.CatchSeconds) / (l.FullSeconds - l.CatchSeconds)
		return l.Vital * (l.CatchShare + part*(full-l.CatchShare))
	}
	return l.Vital * full
}

// usualBuild is the age in years and the height in centimeters taken for a level
// when nothing is known of the player (estimates: where players of that level
// usually are).
var usualBuild = map[Level]struct{ age, height float64 }{
	First: {11, 145}, Second: {13, 157}, Third: {16, 168}, Advanced: {20, 172}, Professional: {35, 176},
}

// UsualLungs is the lungs of a level when nothing is known of the player: halfway
// between the equations for both sexes at the usual age and height. Unknown levels
// are taken for advanced.
func UsualLungs(l Level) Lungs {
	b, ok := usualBuild[l]
	if !ok {
		b = usualBuild[DefaultLevel]
	}
	liters := (vitalCapacity(b.age, b.height, Male) + vitalCapacity(b.age, b.height, Female)) / 2
	return lungsOf(liters, fmt.Sprintf("estimate for %s: %.0f years, %.0f cm", l, b.age, b.height))
}
