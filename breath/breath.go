package breath

import "waterkey/score"

// Kind is how deep a breath the room allows.
type Kind string

// The two kinds of breath.
const (
	Full  Kind = "full"
	Catch Kind = "catch"
)

// Times for a breath. No published figure for brass players was found; both are
// estimates after speech and song, where a quick inspiration takes 0.3 to 0.6 s
// (from memory).
const (
	catchSeconds = 0.35
	fullSeconds  = 0.8
	// restedSeconds is how long after a breath a further catch breath is not
	// worth taking: breathing on top of full lungs leaves stale air (estimate).
	restedSeconds = 3.0
	// markShare is what a printed breath mark may take from the note before it,
	// where no rest stands (estimate).
	markShare = 1.0 / 3
)

// Breath is one breath.
type Breath struct {
	After   int // index of the played note before it
	Kind    Kind
	Room    score.Seconds // for the breath: the silence, and what is taken from the note before
	Printed bool          // a breath mark stands on the page

	// What follows is set in a [Breathing].
	Shortened score.Seconds // taken from the note before
	AirBefore float64       // liters in the lungs, from the vital capacity's bottom
	AirAfter  float64
	Entry     bool // in a long rest, where nobody needs to be told
	Pinned    bool // asked for
}

// Plan lists the breaths that the page itself offers, in order: every printed
// one, every rest with room for a full breath, and shorter rests when the last
// breath lies far enough back.
func Plan(pf *score.Performance) []Breath {
	var plan []Breath
	var last score.Seconds
	for i := 0; i+1 < len(pf.Notes); i++ {
		b, ok := pagePlace(pf, i)
		if !ok || !b.Printed && b.Kind == Catch && pf.Notes[i].End-last < restedSeconds {
			continue
		}
		plan = append(plan, b)
		last = pf.Notes[i+1].Start
	}
	return plan
}

// pagePlace looks at the room behind note i.
func pagePlace(pf *score.Performance, i int) (Breath, bool) {
	n, next, w := pf.Notes[i], pf.Notes[i+1], pf.Written(i)
	value := n.End - n.Start
	b := Breath{After: i, Printed: w.Marks.Has(score.BreathAfter)}
	b.Room = next.Start - n.Start - value*score.Seconds(w.SoundedShare())
	if b.Printed {
		b.Room = max(b.Room, value*markShare)
	}
	b.Kind = Catch
	if b.Room >= fullSeconds {
		b.Kind = Full
	}
	rest := n.At.Add(n.Duration).Less(next.At)
	return b, b.Printed || rest && b.Room >= catchSeconds
}
