package reading

import (
	"fmt"
	"math"

	"waterkey/brass"
	"waterkey/finding"
	"waterkey/player"
	"waterkey/score"
)

// Register limits, in semitones from the ends of what a player of level 3 usually
// plays on the instrument. Low begins so far above the lower end: A2 on a tenor
// trombone, where the slide or the valve is always out, written B3 on trumpet and
// horn, below the first leger line. High begins so far above the upper
// end: F4 on a tenor trombone, the top line of moderate parts, written A5 on trumpet
// and horn, the first leger line. Estimates. A player whose usual range ends
// sooner finds notes high sooner.
const (
	lowAboveEnd  = 4
	highAboveEnd = 2
)

// isLow says whether note i lies in the low register.
func (p *Page) isLow(i int) bool {
	return p.note(i).Pitch.MIDI() <= p.middling().Low+lowAboveEnd
}

// isHigh says whether note i lies in the high register of the player.
func (p *Page) isHigh(i int) bool {
	return p.note(i).Pitch.MIDI() >= min(p.middling().High+highAboveEnd, p.compass().High)
}

// reached says whether the instrument has note i at all.
func (p *Page) reached(i int) bool { return p.Path.Steps[i].Way != nil }

// middling is the usual range of level 3.
func (p *Page) middling() player.Compass { return player.CompassOf(player.Third, p.Path.Instrument) }

// compass is the range that a player of this level usually plays. It is asked for
// with every note, and trying a horn for its lowest note takes a while: kept.
func (p *Page) compass() player.Compass {
	if p.usual == nil {
		c := player.CompassOf(p.level(), p.Path.Instrument)
		p.usual = &c
	}
	return *p.usual
}

// minRegisterSeconds is how long a low or high passage must be to be worth a
// word (estimate).
const minRegisterSeconds = 1.0

func low(p *Page) []finding.Finding {
	rs := p.longRuns(p.where(func(i int) bool { return p.isLow(i) && p.reached(i) }))
	if len(rs) == 0 {
		return nil
	}
	notes := allNotes(rs)
	says := fmt.Sprintf("Low notes in %s: %s%s.", p.barList(rs), p.sayNames(notes), p.beyond(notes, p.compass().Low, -1))
	return p.merged("low", p.registerShare(notes)*2, rs, says,
		p.words().low)
}

func high(p *Page) []finding.Finding {
	rs := p.longRuns(p.where(func(i int) bool { return p.isHigh(i) && p.reached(i) }))
	if len(rs) == 0 {
		return nil
	}
	notes := allNotes(rs)
	severity := p.registerShare(notes) * 2
	beyond := p.beyond(notes, p.compass().High, 1)
	if beyond != "" {
		severity = 1
	}
	says := fmt.Sprintf("High notes in %s: %s%s.", p.barList(rs), p.sayNames(notes), beyond)
	return p.merged("high", severity, rs, says,
		p.words().high)
}

// registerShare is the share of all playing time that some notes take, 0 to 1.
func (p *Page) registerShare(notes []int) float64 {
	all, some := 0.0, 0.0
	for i := range p.notes() {
		all += p.seconds(i)
	}
	for _, i := range notes {
		some += p.seconds(i)
	}
	if all == 0 {
		return 0
	}
	return some / all
}

// beyond says which notes lie outside the player's usual range: above the limit
// with way 1, below it with way -1.
func (p *Page) beyond(notes []int, limit, way int) string {
	var out []int
	for _, i := range notes {
		if (p.note(i).Pitch.MIDI()-limit)*way > 0 {
			out = append(out, i)
		}
	}
	if len(out) == 0 {
		return ""
	}
	lie, side := "lies", "above"
	if len(p.pitches(out)) > 1 {
		lie = "lie"
	}
	if way < 0 {
		side = "below"
	}
	return fmt.Sprintf("; %s %s %s what %s usually plays (to %s)", p.sayNames(out), lie, side, p.level(), p.named(score.PitchFromMIDI(limit), out[0]))
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

// Limits of a leap. An octave is wide for any player; on a brass instrument so
// is a smaller interval that passes several partials, as in the high register,
// since the lips find each of them on the way (estimates).
const (
	octave        = 12
	smallestLeap  = 7
	manyPartials  = 2
	leapWithin    = 1.0 // s: after a longer rest it is a new entrance
	severeLeap    = 2 * octave
	slurredWorse  = 0.3
	quickLeap     = 0.2 // s
	quickLeapRisk = 0.3
)

// leap names wide jumps, in semitones and in partials crossed.
func leap(p *Page) []finding.Finding {
	notes := p.where(p.isLeap)
	if len(notes) == 0 {
		return nil
	}
	widest, severity := notes[0], 0.0
	for _, i := range notes {
		if p.span(i) > p.span(widest) {
			widest = i
		}
		severity = max(severity, p.leapSeverity(i))
	}
	rs := p.runs(notes, 0)
	says := fmt.Sprintf("Wide leaps in %s; the widest, %s to %s in bar %s, is %d semitones", p.barList(rs),
		p.name(widest-1), p.name(widest), p.number(p.note(widest).Bar), int(p.span(widest)))
	if len(notes) == 1 {
		says = fmt.Sprintf("A wide leap in %s: %s to %s, %d semitones", p.barList(rs),
			p.name(widest-1), p.name(widest), int(p.span(widest)))
	}
	if n := p.partialsPassed(widest); n > 0 {
		says += fmt.Sprintf(" and past %s", plural(n, "partial"))
	}
	return p.merged("leap", severity, rs, says+".", "Sing the second note before you play the first, and keep the air going through the gap.")
}

func (p *Page) isLeap(i int) bool {
	if i == 0 || float64(p.Through.Notes[i].Start-p.Through.Notes[i-1].End) > leapWithin || p.note(i-1).GlissTo {
		return false
	}
	return p.span(i) >= octave || p.span(i) >= smallestLeap && p.partialsPassed(i) >= manyPartials
}

// partialsPassed is how many partials lie between the two notes of a leap, 0 when
// they do not count on one row.
func (p *Page) partialsPassed(i int) int {
	a, b := p.Path.Steps[i-1].Way, p.Path.Steps[i].Way
	if a == nil || b == nil || !p.oneTube(*a, *b) {
		return 0
	}
	return max(abs(a.Partial-b.Partial)-1, 0)
}

// leapSeverity is worse for a wider leap, under a slur, and in quick notes.
func (p *Page) leapSeverity(i int) float64 {
	s := (p.span(i) - octave) / (severeLeap - octave)
	if p.note(i).SlurFrom {
		s += slurredWorse
	}
	if p.seconds(i-1) < quickLeap {
		s += quickLeapRisk
	}
	return s
}

func (p *Page) span(i int) float64 {
	return math.Abs(float64(p.note(i).Pitch.MIDI() - p.note(i-1).Pitch.MIDI()))
}

// Tessitura is where a part lies, by how long each pitch sounds.
type Tessitura struct {
	Low, Middle, High score.Pitch // a tenth of the time lies below Low, half below Middle, a tenth above High
	Seconds           []PitchTime // every pitch of the part, low to high
}

// PitchTime is how long a pitch sounds in all, each bar played once.
type PitchTime struct {
	Pitch   score.Pitch
	Seconds float64
}

// TessituraOf weighs a part's pitches by time. It is the zero Tessitura for a part
// without notes.
func TessituraOf(pf *score.Performance) Tessitura {
	byMIDI := map[int]*PitchTime{}
	total := 0.0
	for i, n := range pf.Notes {
		p := pf.Written(i).Pitch
		t := byMIDI[p.MIDI()]
		if t == nil {
			t = &PitchTime{Pitch: p}
			byMIDI[p.MIDI()] = t
		}
		t.Seconds += float64(n.End - n.Start)
		total += float64(n.End - n.Start)
	}
	var out Tessitura
	for midi := range midiNotes {
		if t := byMIDI[midi]; t != nil {
			out.Seconds = append(out.Seconds, *t)
		}
	}
	out.Low, out.Middle, out.High = out.at(0.1*total), out.at(0.5*total), out.at(0.9*total)
	return out
}

// midiNotes is one more than the highest MIDI note number.
const midiNotes = 128

// at is the pitch reached when so many seconds of playing are counted from below.
func (t Tessitura) at(seconds float64) score.Pitch {
	sum := 0.0
	for _, p := range t.Seconds {
		if sum += p.Seconds; sum >= seconds {
			return p.Pitch
		}
	}
	return score.Pitch{}
}

// withAttachment is the horn of the same pitch that has an F attachment, nil when
// the instrument has a valve already or there is none.
func withAttachment(in *brass.Instrument) *brass.Instrument {
	if in.Name != "tenor" {
		return nil
	}
	f, err := brass.Named("tenor-f")
	if err != nil {
		return nil
	}
	return f
}
