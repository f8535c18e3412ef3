package abc

import (
	"regexp"
	"strconv"
	"strings"

	"waterkey/score"
)

// The forms of a tempo: "1/4 3/8=40" (3.1.8), and the older "120" and "C3=120",
// which count unit note lengths (10.1).
var (
	tempoText  = regexp.MustCompile(`"([^"]*)"?`)
	tempoBeats = regexp.MustCompile(`^(\d{1,4}/\d{1,4}(?:\s+\d{1,4}/\d{1,4}){0,3})\s*=\s*(\d{1,5}(?:\.\d{1,4})?)$`)
	tempoUnits = regexp.MustCompile(`^(?:C(\d{0,3})\s*=\s*)?(\d{1,5}(?:\.\d{1,4})?)$`)
)

// tempo reads a Q: field. A field at the same place replaces the one before.
func (r *reader) tempo(value string) {
	mark := score.TempoMark{At: r.now()}
	if m := tempoText.FindStringSubmatch(value); m != nil {
		mark.Text = plainText(m[1])
		value = strings.Replace(value, m[0], " ", 1)
	}
	value = strings.TrimSpace(value)
	var bpm string
	if m := tempoBeats.FindStringSubmatch(value); m != nil {
		for _, beat := range strings.Fields(m[1]) {
			num, den, _ := strings.Cut(beat, "/")
			if meterNumber(num) == 0 || meterNumber(den) == 0 {
				break
			}
			mark.Unit = mark.Unit.Add(score.Frac(int64(meterNumber(num)), int64(meterNumber(den))))
			bpm = m[2]
		}
	} else if m := tempoUnits.FindStringSubmatch(value); m != nil {
		units, err := strconv.Atoi(m[1])
		if err != nil || units == 0 {
			units = 1
		}
		mark.Unit, bpm = r.unit.Scale(int64(units), 1), m[2]
	}
	mark.BPM, _ = strconv.ParseFloat(bpm, 64)
	if value != "" && !(mark.BPM >= minBPM && mark.BPM <= maxBPM) {
		r.pass("the tempo %q was left out; one such as 1/4=120 is read, from %d to %d a minute", cut(value), minBPM, maxBPM)
		mark.BPM, mark.Unit = 0, score.Time{}
	}
	r.addTempo(mark)
}

func (r *reader) addTempo(mark score.TempoMark) {
	if mark.BPM == 0 && mark.Text == "" {
		return
	}
	if n := len(r.out.Tempos); n > 0 && r.out.Tempos[n-1].At == mark.At {
		r.out.Tempos = r.out.Tempos[:n-1]
	}
	r.out.Tempos = append(r.out.Tempos, mark)
}
