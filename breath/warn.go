package breath

import "fmt"

// Caution belongs wherever advice about air is given.
const Caution = "If you feel light-headed, stop, sit down and breathe normally; do not repeat long loud passages without rest. " +
	"Medical questions go to a physician or a teacher. The flow is an estimate: your own lungs outrank every number here."

// Warning is a stretch of playing that is hard on the player.
type Warning struct {
	First, Last int // played notes, both included
	Kind        WarningKind
	Says, Do    string // one sentence of what, one of what to do
}

// WarningKind is what a warning is about.
type WarningKind string

// The kinds of warning.
const (
	Dizzy WarningKind = "dizzy" // so much air goes through that a player may get light-headed
	Stale WarningKind = "stale" // breaths on top of full lungs, or air held long
)

const (
	// Over heavySeconds of playing and rests, air of heavyVital vital capacities and
	// more is heavy breathing: for an adult some 36 liters a minute, what walking
	// uphill takes, kept up (estimate).
	heavySeconds, heavyVital = 15.0, 2.0
	// A breath is taken on full lungs when no more than this share of what a full
	// breath yields is used (estimate); staleRow of them in a row are worth a word.
	stillFull = 0.25
	staleRow  = 3
	// heldSeconds is how long air is kept before it is stale whatever is left
	// (estimate). Horn players' shortness of breath came from carbon dioxide and
	// went with more frequent small breaths (published: pilot study with a flow
	// sensor in the horn's bell).
	heldSeconds = 20.0
)

// Warnings lists long loud low passages and stale air, in order of kind.
func (b *Breathing) Warnings() []Warning { return append(b.heavy(), b.stale()...) }

// heavy finds stretches in which much air goes through.
func (b *Breathing) heavy() []Warning {
	var out []Warning
	notes, airs := b.Performance.Notes, b.ground.airs
	used, from := 0.0, 0
	for i := range notes {
		used += airs[i].liters
		for float64(notes[i].End-notes[from].Start) > heavySeconds && from < i {
			if float64(notes[i].End-notes[from+1].Start) < heavySeconds {
				break
			}
			used -= airs[from].liters
			from++
		}
		if used < heavyVital*b.Lungs.Vital {
			continue
		}
		if n := len(out); n > 0 && out[n-1].Last >= from-1 {
			out[n-1].Last = i
		} else {
			out = append(out, Warning{First: from, Last: i, Kind: Dizzy})
		}
	}
	for k := range out {
		w := &out[k]
		w.Says = fmt.Sprintf("In %s much air goes through in a short time (loud, low and with little rest), and you may get light-headed.", b.barsText(w.First, w.Last))
		w.Do = "Practice it in short pieces with a rest between; if you feel light-headed, stop, sit down and breathe normally."
	}
	return out
}

// stale finds rows of breaths on full lungs, and air held long.
func (b *Breathing) stale() []Warning {
	var out []Warning
	row := 0
	for k, br := range b.Breaths {
		s := b.spans[k]
		held := float64(b.Performance.Notes[s.last].End - b.Performance.Notes[s.first].Start)
		full := br.AirBefore >= b.Lungs.FullLiters()-stillFull*b.Lungs.Usable()
		switch {
		case held > heldSeconds:
			out = append(out, Warning{First: s.first, Last: s.last, Kind: Stale,
				Says: fmt.Sprintf("In %s one breath is held for %s: the air is stale before it is used up.", b.barsText(s.first, s.last), seconds(held)),
				Do:   "Breathe out before you breathe in."})
			row = 0
		case !full || br.Entry:
			row = 0
		default:
			row++
		}
		if row == staleRow {
			out = append(out, Warning{First: b.spans[k-staleRow+1].first, Last: s.last, Kind: Stale})
		} else if row > staleRow {
			out[len(out)-1].Last = s.last
		}
	}
	for k := range out {
		if w := &out[k]; w.Says == "" {
			w.Says = fmt.Sprintf("In %s the breaths come while the lungs are still full, and stale air gathers.", b.barsText(w.First, w.Last))
			w.Do = "Breathe out a little before you breathe in, or leave out every other breath and take small ones."
		}
	}
	return out
}
