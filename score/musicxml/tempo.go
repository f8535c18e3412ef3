package musicxml

import (
	"regexp"
	"strconv"
	"strings"

	"waterkey/score"
)

// tempoReader remembers by moment where a tempo is listed, and whether it was
// printed as a number.
type tempoReader struct {
	place   map[score.Time]int
	printed map[score.Time]bool
}

// readTempo makes a tempo mark of a metronome mark, a playback tempo or tempo
// words. It says whether the direction's words went into it.
func (r *reader) readTempo(d *directionText) bool {
	mark := score.TempoMark{At: d.at, Bar: r.bar}
	printed := false
	if d.metronome != nil {
		mark.Unit, mark.BPM, printed = r.metronome(d.metronome)
		if printed && d.metronome.attr("print-object") == "no" { // for playback only: in quarter notes
			mark.BPM *= 4 * mark.Unit.Float()
			mark.Unit = score.Time{}
			printed = false
		}
	}
	if mark.BPM == 0 {
		mark.BPM = r.playbackTempo(d.sound)
	}
	text := score.Plain(brackets.ReplaceAllString(d.words, ""))
	if mark.BPM == 0 && !score.IsTempoWord(text) {
		return false
	}
	mark.Text = text
	r.addTempo(mark, printed)
	return true
}

// maxTempoBytes is how long a tempo's text may grow where several stand at one
// place: longer than any on paper (estimate).
const maxTempoBytes = 200

// addTempo lists a tempo, joined to one already at the same place: a printed
// number goes before a playback tempo.
func (r *reader) addTempo(mark score.TempoMark, printed bool) {
	if i, ok := r.tempo.place[mark.At]; ok {
		old := &r.out.Tempos[i]
		if mark.BPM > 0 && (old.BPM == 0 || printed || !r.tempo.printed[mark.At]) {
			old.BPM, old.Unit = mark.BPM, mark.Unit
		}
		if len(old.Text) <= maxTempoBytes {
			old.Text = score.Plain(old.Text + " " + mark.Text)
		}
		r.tempo.printed[mark.At] = r.tempo.printed[mark.At] || printed
		return
	}
	r.tempo.place[mark.At], r.tempo.printed[mark.At] = len(r.out.Tempos), printed
	r.out.Tempos = append(r.out.Tempos, mark)
}

// playbackTempo is the quarter notes a minute of a <sound>, 0 for none.
func (r *reader) playbackTempo(sound *element) float64 {
	s := sound.attr("tempo")
	if s == "" {
		return 0
	}
	bpm, err := strconv.ParseFloat(s, 64)
	if err != nil || !(bpm >= minBPM && bpm <= maxBPM) {
		r.pass(sound, "a playback tempo of %q quarter notes a minute was left out; %d to %d are read", s, minBPM, maxBPM)
		return 0
	}
	return bpm
}

var number = regexp.MustCompile(`\d+(\.\d+)?`)

// metronome reads "half note = 96". A range ("96-104") gives its middle.
func (r *reader) metronome(el *element) (unit score.Time, bpm float64, ok bool) {
	minute := el.child("per-minute")
	if minute == nil || el.has("beat-unit-tied") || el.has("metronome-note") {
		r.pass(el, "a metronome mark that sets one note value equal to another was left out")
		return unit, 0, false
	}
	beat := el.child("beat-unit")
	unit, known := values[beat.value()]
	if !known {
		r.fail(el, "beat-unit %q is no note value; quarter is one", beat.value())
	}
	unit = dotted(unit, len(el.all("beat-unit-dot")))
	found := number.FindAllString(minute.value(), 2)
	for _, s := range found {
		n, _ := strconv.ParseFloat(s, 64)
		bpm += n / float64(len(found))
	}
	if !(bpm >= minBPM && bpm <= maxBPM) {
		r.pass(el, "a metronome mark of %q a minute was left out; %d to %d are read", strings.TrimSpace(minute.value()), minBPM, maxBPM)
		return score.Time{}, 0, false
	}
	return unit, bpm, true
}

// maxDots is the most dots on a beat unit that are counted, and on a note that are
// read: twice as many as any in print (estimate).
const maxDots = 8

// dotted lengthens a value by its dots: n dots make it (2^(n+1)-1)/2^n of it.
func dotted(value score.Time, dots int) score.Time {
	dots = min(dots, maxDots)
	return value.Scale(int64(2<<dots)-1, int64(1)<<dots)
}
