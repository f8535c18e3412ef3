package musicxml

import (
	"regexp"

	"waterkey/score"
)

// gradual matches words about the tempo, which in a full score stand over the
// top staff only but are meant for everyone.
var gradual = regexp.MustCompile(`(?i)\b(rit|ritard\w*|riten\w*|rall\w*|accel\w*|string(endo)?|calando|a tempo|in tempo|tempo (i|primo)|l'istesso tempo|g\. ?p)\b`)

// forSystem says whether a direction is for all parts (W3C MusicXML 4.0,
// system-relation), or its words are of that kind.
func forSystem(el *element, words string) bool {
	system := el.attr("system")
	return system == "only-top" || system == "also-top" || gradual.MatchString(words)
}

// takeSystem copies from the part at the top of a full score what is printed
// there for all: tempo marks, words about the tempo, rehearsal marks, and the
// signs that lead through the piece. What the part itself says goes first.
func (r *reader) takeSystem(top *reader) {
	for i := range min(len(r.out.Bars), len(top.out.Bars)) {
		b := top.out.Bars[i]
		navigation{segno: b.Segno, coda: b.Coda, fine: b.Fine, toCoda: b.ToCoda, daCapo: b.DaCapo, dalSegno: b.DalSegno}.put(&r.out.Bars[i])
	}
	for _, t := range top.out.Tempos {
		at, ok := r.sameMoment(top, t.At)
		if _, own := r.tempo.place[at]; ok && !own {
			t.At = at
			r.out.Tempos = append(r.out.Tempos, t)
		}
	}
	type text struct {
		at   score.Time
		text string
	}
	own := map[text]bool{}
	for _, w := range r.out.Words {
		own[text{w.At, w.Text}] = true
	}
	for _, w := range top.forAll {
		at, ok := r.sameMoment(top, w.At)
		if ok && !own[text{at, w.Text}] {
			w.At = at
			r.out.Words = append(r.out.Words, w)
		}
	}
}

// sameMoment finds a moment of the top part by its place in the bar; ok is
// false where this part has no such moment.
func (r *reader) sameMoment(top *reader, at score.Time) (moment score.Time, ok bool) {
	i := top.out.BarAt(at)
	if i >= len(r.out.Bars) {
		return score.Time{}, false
	}
	moment = r.out.Bars[i].Start.Add(at.Sub(top.out.Bars[i].Start))
	return moment, !r.out.Bars[i].End().Less(moment)
}
