package breath

import "waterkey/score"

// bans prices what must not be parted unless nothing else lasts; afterRest is the
// note that follows the last rest.
func (e entry) bans(i, afterRest int) (t [allTerms]float64) {
	w := &e.opts.weights
	if e.pf.Written(i).SlurTo {
		t[slurTerm] = w.slur
	}
	if e.places[i].rest { // a rest parts them already
		return t
	}
	if e.inTuplet(i) {
		t[tupletTerm] = w.tuplet
	}
	if e.leads(i) {
		t[leadingTerm] = w.leading
	}
	if e.upbeat(i, afterRest) {
		t[upbeatTerm] = w.upbeat
	}
	return t
}

// inTuplet says whether note i and the next belong to one tuplet: both are in
// tuplets and the next does not stand on a beat as the meter counts it, a quarter
// at most.
func (e entry) inTuplet(i int) bool {
	a, b := e.pf.Written(i), e.pf.Written(i+1)
	if len(a.Pieces) == 0 || len(b.Pieces) == 0 || b.Grace {
		return false
	}
	none := score.Ratio{}
	if a.Pieces[len(a.Pieces)-1].Tuplet == none || b.Pieces[0].Tuplet == none {
		return false
	}
	bar := e.pf.Part.Bars[b.Bar]
	beat := score.Frac(1, int64(max(bar.Meter.Unit, 4)))
	count := b.Onset.Sub(bar.Start).Scale(beat.Den(), beat.Num())
	return count.Den() != 1
}

// leads says whether note i is the leading tone of the key, major or minor, and the
// next its resolution.
func (e entry) leads(i int) bool {
	a, b := e.pf.Written(i), e.pf.Written(i+1)
	if b.Pitch.MIDI()-a.Pitch.MIDI() != 1 {
		return false
	}
	const fifth, relative = 7, 9 // semitones: a fifth; from the major tonic up to the minor one
	major := e.pf.Part.Bars[a.Bar].Key.Fifths * fifth
	above := b.Pitch.MIDI() - major
	return above%12 == 0 || (above-relative)%12 == 0
}

// upbeat says whether note i ends an up-beat: the next stands on a downbeat, and
// playing began no more than half a bar before it.
func (e entry) upbeat(i, afterRest int) bool {
	next := e.pf.Written(i + 1)
	bar := e.pf.Part.Bars[next.Bar]
	if next.Onset != bar.Start {
		return false
	}
	before := e.pf.Notes[i+1].At.Sub(e.pf.Notes[afterRest].At)
	return !bar.Meter.Length().Less(before.Scale(2, 1))
}
