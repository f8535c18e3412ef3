package hear

import (
	"math"

	"waterkey/hear/align"
	"waterkey/hear/pitch"
	"waterkey/score"
)

// barMeasures are the figures of every turn of a bar.
func (l *listener) barMeasures(notes []Note) []BarMeasures {
	turns := map[[2]int][]*Note{}
	for i := range notes {
		key := [2]int{l.pf.Written(i).Bar, l.pf.Notes[i].Pass}
		turns[key] = append(turns[key], &notes[i])
	}
	out := make([]BarMeasures, 0, len(l.pf.Bars))
	for _, b := range l.pf.Bars {
		m := BarMeasures{Bar: l.pf.Part.Bars[b.Bar].Number}
		if b.Pass > 1 {
			m.Pass = b.Pass
		}
		l.fillBar(&m, b, turns[[2]int{b.Bar, b.Pass}])
		out = append(out, m)
	}
	return out
}

// fillBar sets what the notes of a bar tell.
func (l *listener) fillBar(m *BarMeasures, b score.PlayedBar, notes []*Note) {
	var late, cents []float64
	power, long := 0.0, 0.0
	for _, n := range notes {
		if n.State == Missed {
			continue
		}
		if n.State == Played && !l.written(n).Grace {
			late, cents = append(late, n.Late), append(cents, n.CentsOwn)
		}
		d := n.Offset - n.Onset
		power, long = power+d*math.Pow(10, n.LevelDB/10), long+d
	}
	if long > 0 {
		m.Level = ptr(10 * math.Log10(power/long))
	}
	if len(late) == 0 {
		return // nothing tells where the beat is
	}
	m.Late, m.Cents = ptr(middle(late)), ptr(middle(cents))
	from := float64(l.pf.Seconds(b.At))
	to := float64(l.pf.Seconds(b.At.Add(l.pf.Part.Bars[b.Bar].Length)))
	m.At = ptr(l.clock.At(from))
	m.BPM = ptr(l.bpm / l.clock.Stretch((from+to)/2))
}

func ptr(v float64) *float64 { return &v }

// passages are the stretches under one marking, hairpins left out.
func (l *listener) passages(t *Take) []Passage {
	out := []Passage{}
	for _, s := range l.sections(t) {
		out = append(out, Passage{
			Bars: []string{s.notes[0].Bar, s.notes[len(s.notes)-1].Bar}, Mark: l.markInForce(l.written(s.notes[0]).Onset),
			LevelDB: s.level, BPM: medianOf(s.notes, func(n *Note) float64 { return n.Tempo }), Unsure: s.unsure,
		})
	}
	return out
}

// markInForce is the last dynamic printed up to a moment, "" for none.
func (l *listener) markInForce(at score.Time) string {
	mark := ""
	for _, d := range l.pf.Part.Dynamics {
		if _, level := score.LevelStep(d.Mark); level && !at.Less(d.At) {
			mark = d.Mark
		}
	}
	return mark
}

// playedHairpins measures every hairpin that was heard at both ends.
func (l *listener) playedHairpins(t *Take) []Hairpin {
	out := []Hairpin{}
	for _, h := range l.pf.Part.Wedges {
		from, to, notes, ok := l.acrossHairpin(t, h)
		if !ok {
			continue
		}
		p := Hairpin{Bars: l.bars(notes), Grow: h.Grow, Change: to - from, notes: notes}
		p.Unsure = math.Hypot(notes[0].Unsure.LevelDB, notes[len(notes)-1].Unsure.LevelDB)
		p.Slope = l.slope(notes)
		out = append(out, p)
	}
	return out
}

// slope is that of the least-squares line through the levels of notes, in dB a
// bar of the page.
func (l *listener) slope(notes []*Note) float64 {
	bar := l.pf.Part.Bars[l.written(notes[0]).Bar].Length.Float()
	var sx, sy, sxx, sxy, n float64
	for _, note := range notes {
		if note.Measures == nil {
			continue
		}
		a, b := l.steadyFrames(note.Measures)
		w := l.written(note)
		value := (note.Offset - note.Onset) / note.LengthRatio
		for k := a; k < b; k++ {
			share := (float64(k)*pitch.Hop - note.Onset) / value
			x := (w.Onset.Float() + share*w.Duration.Float()) / bar
			n, sx, sy, sxx, sxy = n+1, sx+x, sy+l.env[k], sxx+x*x, sxy+x*l.env[k]
		}
	}
	if d := n*sxx - sx*sx; d > 1e-9 {
		return (n*sxy - sx*sy) / d
	}
	return 0
}

// jumpNames are the kinds of jump in the document.
var jumpNames = map[align.Kind]string{
	align.Restart: "restart", align.GoesOn: "stop", align.Ahead: "ahead",
	align.LeftOut: "left-out", align.Silent: "silent", align.RepeatNotTaken: "repeat-not-taken",
}

// went lists where the player did not go straight on.
func (l *listener) went() []Turn {
	out := []Turn{}
	for _, j := range l.al.Jumps {
		out = append(out, Turn{Kind: jumpNames[j.Kind], From: l.barOf(j.From), To: l.barOf(j.To), At: j.At})
	}
	return out
}

// barOf is the printed number of the bar of the i-th played note.
func (l *listener) barOf(i int) string { return l.pf.Part.Bars[l.pf.Written(i).Bar].Number }
