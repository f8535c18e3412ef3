package abc

import (
	"regexp"
	"strings"

	"waterkey/score"
)

// leads are the decorations that lead through the tune (4.14). D.C. can be da
// capo or da coda there and is read as da capo; dacoda is the jump to the coda.
// The long forms are not in the standard's table (from memory).
var leads = map[string]jump{
	"segno": {segno: true}, "coda": {coda: true}, "fine": {fine: true}, "dacoda": {toCoda: true},
	"D.C.": {daCapo: true}, "dacapo": {daCapo: true}, "D.S.": {dalSegno: true},
	"tocoda": {toCoda: true}, "D.C.alfine": {daCapo: true}, "D.C.alcoda": {daCapo: true},
	"D.S.alfine": {dalSegno: true}, "D.S.alcoda": {dalSegno: true},
}

// jump is what one sign says about the way through the tune.
type jump struct{ segno, coda, fine, toCoda, daCapo, dalSegno bool }

func (j jump) put(b *score.Bar) {
	b.Segno, b.Coda, b.Fine = b.Segno || j.segno, b.Coda || j.coda, b.Fine || j.fine
	b.ToCoda, b.DaCapo, b.DalSegno = b.ToCoda || j.toCoda, b.DaCapo || j.daCapo, b.DalSegno || j.dalSegno
}

// lead takes a sign that leads through the tune; false says that the name is
// none.
func (r *reader) lead(name string) bool {
	j, ok := leads[name]
	if ok {
		r.goBy(j)
	}
	return ok
}

// places are the signs that are gone to, jumps those that are left from.
func (j jump) places() jump { return jump{segno: j.segno, coda: j.coda} }

func (j jump) jumps() jump {
	j.segno, j.coda = false, false
	return j
}

func (j jump) or(k jump) jump {
	b := score.Bar{}
	j.put(&b)
	k.put(&b)
	return jump{b.Segno, b.Coda, b.Fine, b.ToCoda, b.DaCapo, b.DalSegno}
}

// goBy takes a sign. It waits for what it stands over: a jump for a note or a
// bar line when no bar is open, a place to go to always.
func (r *reader) goBy(j jump) {
	if r.bars.open {
		j.jumps().put(r.thisBar())
		j = j.places()
	}
	r.bars.signs = r.bars.signs.or(j)
}

// signsAtNote puts the waiting signs on the bar of a note.
func (r *reader) signsAtNote() {
	r.bars.signs.put(r.thisBar())
	r.bars.signs = jump{}
}

// signsAtBarLine leaves a segno or coda in front of a bar line to the bar behind
// it; a jump there is taken after the bar before.
func (r *reader) signsAtBarLine() {
	if jumps := r.bars.signs.jumps(); jumps != (jump{}) {
		if n := len(r.out.Bars); n > 0 {
			jumps.put(&r.out.Bars[n-1])
		} else {
			r.pass("a jump before the first note was left out")
		}
	}
	r.bars.signs = r.bars.signs.places()
}

// signsAtSpacer puts the waiting signs on the bar that a spacer stands in (4.14).
func (r *reader) signsAtSpacer() {
	if r.bars.open {
		r.signsAtNote()
	}
	r.dropMarks("a mark over a space")
}

// The words that lead through a part, at the start of an annotation.
var leadWords = []struct {
	word *regexp.Regexp
	jump jump
}{
	{regexp.MustCompile(`(?i)^(d\.\s*c\.|dc\b|da capo\b)`), jump{daCapo: true}},
	{regexp.MustCompile(`(?i)^(d\.\s*s\.|ds\b|dal segno\b)`), jump{dalSegno: true}},
	{regexp.MustCompile(`(?i)^to coda\b`), jump{toCoda: true}},
	{regexp.MustCompile(`(?i)^fine\.?$`), jump{fine: true}},
	{regexp.MustCompile(`(?i)^coda\.?$`), jump{coda: true}},
}

// text takes what stands in quotes: an annotation is listed as words, as a
// tempo when it is a tempo word, or followed when it leads through the part
// (4.19). Chord symbols are left out (4.18).
func (r *reader) text(quoted string) {
	if quoted == "" || strings.IndexByte("^_<>@", quoted[0]) < 0 {
		r.passOnce("chord symbols were left out")
		return
	}
	text := plainText(quoted[1:])
	for _, l := range leadWords {
		if l.word.MatchString(text) {
			r.goBy(l.jump)
			return
		}
	}
	if score.IsTempoWord(text) {
		r.addTempo(score.TempoMark{At: r.now(), Text: text})
		return
	}
	r.label(text)
}

// finishJumps reads the older way of writing a coda: the sign twice, the first
// time where the jump is taken.
func (r *reader) finishJumps() {
	first, count, jumps, to := -1, 0, false, false
	for i, b := range r.out.Bars {
		if b.Coda {
			if count++; count == 1 {
				first = i
			}
		}
		jumps = jumps || b.DaCapo || b.DalSegno
		to = to || b.ToCoda
	}
	if count == 2 && jumps && !to {
		r.out.Bars[first].Coda, r.out.Bars[first].ToCoda = false, true
	}
}
