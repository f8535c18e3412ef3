package abc

import "waterkey/score"

// attack is a dynamic accent that looks for its note.
type attack struct {
	at   score.Time
	bar  int
	line int
	mark string
}

// accentLevels are the dynamics at one note only, with the level that holds
// after them; the standard names sfz alone.
var accentLevels = map[string]string{
	"sf": "", "sfz": "", "sffz": "", "fz": "", "rf": "", "rfz": "",
	"fp": "p", "sfp": "p", "sfzp": "p", "sfpp": "pp", "ffp": "p", "mfp": "p",
}

// dynamic takes a level or an accent (4.14); false says that the name is
// neither.
func (r *reader) dynamic(name string) bool {
	if _, ok := score.LevelStep(name); ok {
		r.addLevel(name)
		return true
	}
	after, ok := accentLevels[name]
	if !ok {
		return false
	}
	r.attacks = append(r.attacks, attack{r.now(), r.nextBar(), r.here.line, name})
	if after != "" {
		r.addLevel(after)
	}
	return true
}

// addLevel lists a level unless the same one was just listed there.
func (r *reader) addLevel(mark string) {
	at := r.now()
	if n := len(r.out.Dynamics); n > 0 && r.out.Dynamics[n-1].At == at && r.out.Dynamics[n-1].Mark == mark {
		return
	}
	r.out.Dynamics = append(r.out.Dynamics, score.DynamicMark{At: at, Mark: mark})
}

// span is an open hairpin.
type span struct {
	from score.Time
	bar  int
	line int
}

// startWedge opens a hairpin at the next note. One of the same kind that is
// open ends there.
func (r *reader) startWedge(grow bool) {
	if r.wedges[grow] != nil {
		r.endWedge(grow)
	}
	r.wedges[grow] = &span{r.now(), r.nextBar(), r.here.line}
}

// endWedge closes a hairpin behind the last note: its sign stands after that
// (4.14).
func (r *reader) endWedge(grow bool) {
	s := r.wedges[grow]
	if s == nil {
		r.pass("the end of a hairpin without a start was left out")
		return
	}
	delete(r.wedges, grow)
	r.out.Wedges = append(r.out.Wedges, score.Wedge{From: s.from, To: r.now(), Grow: grow})
}

// moveMarks takes along what stands between a note and the sign of broken rhythm
// that changes where the note ends.
func (r *reader) moveMarks(from, to score.Time) {
	move := func(at *score.Time) bool {
		is := *at == from
		if is {
			*at = to
		}
		return is
	}
	p := r.out
	for i := len(p.Keys) - 1; i >= 0 && move(&p.Keys[i].At); i-- {
	}
	for i := len(p.Meters) - 1; i >= 0 && move(&p.Meters[i].At); i-- {
	}
	for i := len(p.Clefs) - 1; i >= 0 && move(&p.Clefs[i].At); i-- {
	}
	for i := len(p.Tempos) - 1; i >= 0 && move(&p.Tempos[i].At); i-- {
	}
	for i := len(p.Dynamics) - 1; i >= 0 && move(&p.Dynamics[i].At); i-- {
	}
	for i := len(p.Words) - 1; i >= 0 && move(&p.Words[i].At); i-- {
	}
	for i := len(p.Wedges) - 1; i >= 0 && move(&p.Wedges[i].To); i-- {
		move(&p.Wedges[i].From) // of one that ended where it began
	}
	for i := len(r.attacks) - 1; i >= 0 && move(&r.attacks[i].at); i-- {
	}
	for _, s := range r.wedges {
		move(&s.from)
	}
}

// finishWedges says which hairpins never ended.
func (r *reader) finishWedges() {
	for _, grow := range []bool{true, false} {
		if s := r.wedges[grow]; s != nil {
			r.skip.Add(s.bar, s.line, "a hairpin that never ends was left out")
		}
	}
}

// placeAttacks gives each accent to the note that starts at its moment, or
// failing that to the next one in its bar.
func (r *reader) placeAttacks() {
	var main []*score.Note // the accent belongs to a main note
	for i := range r.out.Notes {
		if n := &r.out.Notes[i]; !n.Grace {
			main = append(main, n)
		}
	}
	for _, a := range r.attacks {
		for len(main) > 0 && main[0].Onset.Less(a.at) {
			main = main[1:]
		}
		if len(main) == 0 || main[0].Onset != a.at && main[0].Bar != a.bar {
			r.skip.Add(a.bar, a.line, a.mark+" without a note that starts there was left out")
			continue
		}
		main[0].Attack = a.mark
	}
}
