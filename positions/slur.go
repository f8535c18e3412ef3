package positions

import "waterkey/brass"

// Slur is how a slur between two notes is made on a trombone (trombone.org,
// "Playing Legato on the Trombone: A Primer").
type Slur string

// The kinds of slur.
const (
	NoSlur      Slur = ""
	LipSlur     Slur = "lip"     // the slide stays, the partial changes
	NaturalSlur Slur = "natural" // across the grain: the slide goes against the pitch
	TonguedSlur Slur = "tongued" // slide and pitch the same way, or one partial: a soft tongue hides the slide
	ValveSlur   Slur = "valve"   // the valve changes
)

// stillCM is a slide move too small to be called one (estimate: a lean).
const stillCM = 1.5

// slurKind names a slur that rises by so many semitones, played a then b.
func slurKind(rise int, a, b brass.Way) Slur {
	out := b.ExtensionCM - a.ExtensionCM
	switch {
	case a.Valve != b.Valve:
		return ValveSlur
	case rise == 0:
		return TonguedSlur // a repeated note under a slur needs the tongue
	case a.Partial == b.Partial:
		return TonguedSlur
	case out > -stillCM && out < stillCM:
		return LipSlur
	case (out > 0) == (rise > 0):
		return NaturalSlur
	}
	return TonguedSlur
}

// Joined says whether a glissando can run from a to b: both within reach, on
// one partial and one state of the valves, and not the same place.
func Joined(a, b *brass.Way) bool {
	return a != nil && b != nil && brass.SameReach(*a, *b) && a.ExtensionCM != b.ExtensionCM
}
