package reading

import (
	"fmt"
	"math"

	"waterkey/brass"
	"waterkey/finding"
	"waterkey/score"
)

// key says what the opening signature alters, and which neighbor is still
// natural.
func key(p *Page) []finding.Finding {
	k := p.Part.Bars[0].Key
	return []finding.Finding{p.finding("key", float64(abs(k.Fifths))/6, 0, len(p.Part.Bars)-1,
		p.keyText(k), p.nextNatural(k, 0, p.notes()))}
}

// keyChange says the same at every later signature.
func keyChange(p *Page) []finding.Finding {
	var out []finding.Finding
	for i, m := range p.Part.Keys {
		before := p.Part.Bars[0].Key
		if i > 0 {
			before = p.Part.Keys[i-1].Key
		}
		if m.At.Sign() == 0 || m.Key.Fifths == before.Fifths && m.Key.Other == nil && before.Other == nil {
			continue
		}
		from := p.firstNote(m.At)
		out = append(out, p.finding("key-change", float64(abs(m.Key.Fifths-before.Fifths))/6, m.Bar, m.Bar,
			fmt.Sprintf("The key changes at bar %s: %s", p.number(m.Bar), lower(p.keyText(m.Key))),
			"Before you start, say the first notes of the new key aloud with their positions. "+p.nextNatural(m.Key, from, p.notes())))
	}
	return out
}

// firstNote is the first note at or after a moment of the page.
func (p *Page) firstNote(at score.Time) int {
	for i := range p.notes() {
		if !p.note(i).Onset.Less(at) {
			return i
		}
	}
	return p.notes()
}

func lower(s string) string {
	if s == "" {
		return s
	}
	return string(s[0]|0x20) + s[1:]
}

func (p *Page) keyText(k score.Key) string {
	altered := k.Altered()
	text := ""
	switch n := len(altered); {
	case k.Other != nil:
		text = "A signature of its own"
	case n == 0:
		text = "No sharps or flats"
	case k.Fifths < 0:
		text = capital(plural(n, "flat"))
	default:
		text = capital(plural(n, "sharp"))
	}
	if k.Mode != "" && k.Other == nil {
		text += ", " + signs.Replace(k.Name()[:1]) + signs.Replace(tonicSign(k)) + " " + k.Mode
	}
	if len(altered) == 0 {
		return text + "."
	}
	names := make([]string, len(altered))
	for i, a := range altered {
		names[i] = a[:1] + signs.Replace(a[1:])
	}
	return text + ": " + joinAnd(names) + "."
}

// tonicSign is the accidental of the key's tonic, "b", "#" or "".
func tonicSign(k score.Key) string {
	name := k.Name()
	if len(name) > 1 && (name[1] == 'b' || name[1] == '#') {
		return name[1:2]
	}
	return ""
}

// nextNatural names the note that the next flat or sharp of the circle would
// alter, the one most easily altered by mistake, with its position against the
// wrong one, taken from the horn's own chart.
func (p *Page) nextNatural(k score.Key, from, to int) string {
	if k.Other != nil || k.Fifths == 0 || abs(k.Fifths) > 6 {
		return "Read every accidental; the signature gives no help."
	}
	step := 1
	if k.Fifths < 0 {
		step = -1
	}
	altered := score.Key{Fifths: k.Fifths + step}.Altered()
	letter := altered[len(altered)-1][0]
	for i := from; i < to; i++ {
		pitch := p.note(i).Pitch
		if pitch.Step != letter || pitch.Alter != 0 {
			continue
		}
		wrong := pitch
		wrong.Alter = step
		right, other := p.Path.Instrument.Ways(pitch), p.Path.Instrument.Ways(wrong)
		if len(right) > 0 && len(other) > 0 && right[0].Label != other[0].Label {
			return fmt.Sprintf("Keep every %c natural: %s in %s, not %s.", letter, say(pitch), right[0].Label, other[0].Label)
		}
	}
	return "Play the scale of the key once through before the first run."
}

func abs(n int) int { return max(n, -n) }

// accidentals names the notes outside the key, where they are and how long they
// hold.
func accidentals(p *Page) []finding.Finding {
	notes := p.where(func(i int) bool {
		n := p.note(i)
		return n.Accidental != "" && !n.Courtesy && n.Written.Alter != p.Part.Bars[n.Bar].Key.Alteration(n.Written.Step)
	})
	if len(notes) == 0 {
		return nil
	}
	rs := p.runs(notes, 0)
	// Thick: this many in neighboring bars want slow practice first (estimate).
	const thick = 6.0
	most := 0
	for _, r := range rs {
		most = max(most, len(r.notes))
	}
	says := fmt.Sprintf("Accidentals on %s in %s.", p.sayNames(notes), p.barList(rs))
	return p.merged("accidental", float64(most)/thick, rs, says,
		"Each one holds to the end of its bar, in its octave; pencil in any that you miss twice.")
}

// clefChange says where to read afresh.
func clefChange(p *Page) []finding.Finding {
	var out []finding.Finding
	for i, c := range p.Part.Clefs {
		if i == 0 || c.Clef == p.Part.Clefs[i-1].Clef {
			continue
		}
		do := "Look for the change before you need it."
		if n := p.firstNote(c.At); n < p.notes() && p.Path.Steps[n].Way != nil {
			do = fmt.Sprintf("The first note in it is %s, in %s: find it from the note before, not from the staff.",
				say(p.note(n).Pitch), p.Path.Steps[n].Way.Label)
		}
		out = append(out, p.finding("clef-change", 0, c.Bar, c.Bar, fmt.Sprintf("%s clef from bar %s.", capital(c.Clef.String()), p.number(c.Bar)), do))
	}
	return out
}

// outOfReach names the notes the instrument does not have, and one that does.
func outOfReach(p *Page) []finding.Finding {
	notes := p.where(func(i int) bool { return p.Path.Steps[i].Way == nil })
	if len(notes) == 0 {
		return nil
	}
	rs := p.runs(notes, 0)
	says := fmt.Sprintf("%s in %s: not on a %s.", p.sayNames(notes), p.barList(rs), p.Path.Instrument.Title)
	return p.merged("out-of-reach", 1, rs, says, p.reachAdvice(notes))
}

func (p *Page) reachAdvice(notes []int) string {
	for _, name := range brass.Names() {
		in, err := brass.Named(name)
		if err != nil {
			continue
		}
		all := true
		for _, n := range notes {
			all = all && len(in.Ways(p.note(n).Pitch)) > 0
		}
		if all {
			return fmt.Sprintf("A %s has them; or agree with the panel on the octave above.", in.Title)
		}
	}
	return "Check the part, its clef and its transposition; else agree with the panel on another octave."
}

// Register limits counted from the horn's pedal note, in semitones. Low begins a
// semitone below the second partial in first, where the slide or the valve
// is always out (A2 on a tenor); high begins with the sixth partial in first (F4
// on a tenor, the top line of moderate parts). Estimates.
const (
	lowAbovePedal  = 11
	highAbovePedal = 31
)

func (p *Page) isLow(i int) bool {
	return p.note(i).Pitch.MIDI() <= p.Path.Instrument.Fundamental.MIDI()+lowAbovePedal
}

func (p *Page) isHigh(i int) bool {
	return p.note(i).Pitch.MIDI() >= p.Path.Instrument.Fundamental.MIDI()+highAbovePedal
}

// minRegisterSeconds is how long a low or high passage must be to be worth a
// word (estimate).
const minRegisterSeconds = 1.0

func low(p *Page) []finding.Finding {
	rs := p.longRuns(p.where(p.isLow))
	if len(rs) == 0 {
		return nil
	}
	says := fmt.Sprintf("Low notes, %s, in %s.", p.sayNames(allNotes(rs)), p.barList(rs))
	return p.merged("low", 0, rs, says,
		"Open throat, slow warm air and a lot of it; let the lips hang loose rather than press.")
}

func high(p *Page) []finding.Finding {
	rs := p.longRuns(p.where(p.isHigh))
	if len(rs) == 0 {
		return nil
	}
	says := fmt.Sprintf("High notes, %s, in %s.", p.sayNames(allNotes(rs)), p.barList(rs))
	return p.merged("high", 0, rs, says,
		"Hear each note before it comes and blow through to it with faster air; rest before you are tired.")
}

// longRuns keeps the runs in which the notes sound long enough to matter.
func (p *Page) longRuns(notes []int) []run {
	var out []run
	for _, r := range p.runs(notes, 1) {
		sum := 0.0
		for _, n := range r.notes {
			sum += p.seconds(n)
		}
		if sum >= minRegisterSeconds {
			out = append(out, r)
		}
	}
	return out
}

func allNotes(rs []run) []int {
	var out []int
	for _, r := range rs {
		out = append(out, r.notes...)
	}
	return out
}

// leap names jumps of an octave and more into a note, with the partials they
// pass.
func leap(p *Page) []finding.Finding {
	const octave = 12
	// A rest of a second and more makes the jump a new entrance (estimate).
	const together = 1.0
	notes := p.where(func(i int) bool {
		if i == 0 || p.Through.Notes[i].Start-p.Through.Notes[i-1].End > together {
			return false
		}
		return abs(p.note(i).Pitch.MIDI()-p.note(i-1).Pitch.MIDI()) >= octave
	})
	if len(notes) == 0 {
		return nil
	}
	widest := notes[0]
	for _, i := range notes {
		if p.span(i) > p.span(widest) {
			widest = i
		}
	}
	rs := p.runs(notes, 0)
	says := fmt.Sprintf("Leaps of an octave or more in %s; the widest is %s to %s in bar %s", p.barList(rs),
		say(p.note(widest-1).Pitch), say(p.note(widest).Pitch), p.number(p.note(widest).Bar))
	if a, b := p.Path.Steps[widest-1].Way, p.Path.Steps[widest].Way; a != nil && b != nil && a.Valve == b.Valve && abs(a.Partial-b.Partial) > 1 {
		says += fmt.Sprintf(", past %s", plural(abs(a.Partial-b.Partial)-1, "partial"))
	}
	return p.merged("leap", (p.span(widest)-octave)/octave, rs, says+".",
		"Sing the upper note before you play the lower, and keep the air going through the gap.")
}

func (p *Page) span(i int) float64 {
	return math.Abs(float64(p.note(i).Pitch.MIDI() - p.note(i-1).Pitch.MIDI()))
}
