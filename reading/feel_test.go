package reading

import (
	"strings"
	"testing"

	"waterkey/score"
	"waterkey/score/scoretest"
)

// TestMeterSentence: how each meter is felt at a tempo (common practice).
func TestMeterSentence(t *testing.T) {
	m := func(beats, unit int, groups ...int) score.Meter {
		return score.Meter{Beats: beats, Unit: unit, Groups: groups}
	}
	plain := func(beats, unit int) score.Meter { return score.Meter{Beats: beats, Unit: unit} }
	for _, c := range []struct {
		meter      score.Meter
		bpm        float64
		text, want string
	}{
		{plain(4, 4), 90, "F3/1", "4/4, felt in four: the quarter note is the beat, 90 a minute."},
		{plain(2, 4), 90, "F3/2", "2/4, felt in two: the quarter note is the beat, 90 a minute."},
		{cut, 96, "F3/1", "Cut time, felt in two: the half note is the beat, 96 a minute."},
		{plain(3, 4), 112, "F3/2.", "3/4, felt in three: the quarter note is the beat, 112 a minute."},
		{plain(3, 4), 167, "F3/2.", "3/4, felt in three: the quarter note is the beat, 167 a minute."},
		{plain(3, 4), 168, "F3/2.", "3/4, felt in one: the dotted half note is the beat, 56 a minute."},
		{plain(3, 8), 180, "F3/4.", "3/8, felt in one: the dotted quarter note is the beat, 60 a minute."},
		{plain(4, 4), 176, "F3/1", "4/4, felt in two: the half note is the beat, 88 a minute."},
		{plain(4, 4), 40, "F3/1", "4/4, so slow that it is counted in eight: the eighth note is the count, 80 a minute."},
		{plain(6, 8), 60, "F3/2.", "6/8, felt in two: the dotted quarter note is the beat, 60 a minute."},
		{plain(6, 8), 46, "F3/2.", "6/8, so slow that it is counted in six: the eighth note is the count, 138 a minute."},
		{plain(9, 8), 60, "F3/2.", "9/8, felt in three: the dotted quarter note is the beat, 60 a minute."},
		{plain(12, 8), 60, "F3/2.", "12/8, felt in four: the dotted quarter note is the beat, 60 a minute."},
		{plain(6, 4), 60, "F3/1", "6/4, felt in two: the dotted half note is the beat, 60 a minute."},
		{plain(3, 2), 60, "F3/1", "3/2, felt in three: the half note is the beat, 60 a minute."},
		{m(5, 8, 3, 2), 240, "F3/2 F3/8", "3+2/8, felt in two uneven beats of three and two eighths, 240 a minute."},
		{m(5, 8, 2, 3), 120, "F3/2 F3/8", "2+3/8, counted in five eighths, grouped two and three, 120 a minute."},
		{plain(5, 8), 240, "F3/4. G3/4 F3/4. G3/4", "5/8, felt in two uneven beats of three and two eighths, 240 a minute."},
		{plain(5, 8), 240, "F3/4 G3/4. F3/4 G3/4.", "5/8, felt in two uneven beats of two and three eighths, 240 a minute."},
		{plain(5, 8), 240, "F3/8 G3/4 A3/8 G3/8", "5/8, felt in two uneven beats of three and two eighths, 240 a minute."},
		{plain(7, 8), 240, "F3/4 G3/4 A3/4.", "7/8, felt in three uneven beats of two, two and three eighths, 240 a minute."},
		{plain(7, 8), 240, "F3/8 G3/8 A3/8 F3/8> G3/8 F3/8> G3/8", "7/8, felt in three uneven beats of three, two and two eighths, 240 a minute."},
		{plain(5, 8), 240, "F3/8( G3/8 A3/8( F3/8( G3/8", "5/8, felt in two uneven beats of two and three eighths, 240 a minute."},
		{plain(5, 8), 240, "F3/8 G3/8 A3/8 F3/8 G3/8", "5/8, counted in five eighths that the rhythm does not group, 240 a minute."},
		{plain(5, 4), 90, "F3/2. G3/2", "5/4, counted in five quarters, grouped three and two, 90 a minute."},
	} {
		got := meter(page(t, "tenor", scoretest.Part(t, c.meter, c.bpm, c.text)))
		if len(got) != 1 || got[0].Says != c.want || got[0].Do == "" {
			t.Errorf("%s at %g: %+v, want %q", c.meter, c.bpm, got, c.want)
		}
	}
}

// TestOpeningTempoText: what is said where the page gives no number. Ranges as in
// score.TempoRange.
func TestOpeningTempoText(t *testing.T) {
	for name, c := range map[string]struct {
		meter    score.Meter
		tempos   []score.TempoMark
		says, do string
	}{
		"a word":       {common, []score.TempoMark{{Text: "Andante"}}, `beat; "Andante" without a number stands for 76 to 108 a minute, 92 is taken here.`, ""},
		"German":       {common, []score.TempoMark{{Text: "Sehr lebhaft"}}, `"Sehr lebhaft" without a number stands for 132 to 168 a minute, 150 is taken here.`, ""},
		"playback":     {common, []score.TempoMark{{BPM: 92, Text: "Ruhig"}}, "; no number is printed, 92 a minute is taken here.", ""},
		"nothing":      {common, nil, "; no tempo stands, 96 a minute is taken here.", ""},
		"Presto in 3":  {waltz, []score.TempoMark{{Text: "Presto"}}, `felt in one: the dotted half note is the beat; "Presto" without a number stands for 56 to 67 a minute, 61 is taken here.`, ""},
		"Adagio in 6":  {six8, []score.TempoMark{{Text: "Adagio"}}, "71 is taken here.", "Ask whether the tempo word counts the eighth: slow 6/8 is often taken in six."},
		"slow Allegro": {score.Meter{Beats: 6, Unit: 4}, []score.TempoMark{{BPM: 132, Text: "Allegro con brio"}}, "6/4, felt in two: the dotted half note is the beat", ""},
	} {
		part := scoretest.Part(t, c.meter, 90, "F3/4 G3/4 A3/4")
		part.Tempos = c.tempos
		got := meter(page(t, "tenor", part))[0]
		if !strings.Contains(got.Says, c.says) || !strings.Contains(got.Do, c.do) {
			t.Errorf("%s: %q, %q; want %q and %q", name, got.Says, got.Do, c.says, c.do)
		}
		if c.do == "" && strings.Contains(got.Do, "Ask whether") {
			t.Errorf("%s: %q asks what is clear", name, got.Do)
		}
	}
}

// TestTempoAfterPickup: the mark over the first full bar is the opening tempo.
func TestTempoAfterPickup(t *testing.T) {
	part := scoretest.Part(t, common, 90, "F3/1 F3/1")
	quarter := score.Frac(1, 4)
	part.Bars[0].Length, part.Notes[0].Duration, part.Notes[0].Pieces[0].Duration = quarter, quarter, quarter
	part.Bars[1].Start, part.Notes[1].Onset, part.Notes[1].Pieces[0].Onset = quarter, quarter, quarter
	part.Tempos = []score.TempoMark{{At: quarter, Bar: 1, BPM: 72, Unit: quarter, Text: "Andante"}}
	p := page(t, "tenor", part)
	if got := meter(p)[0].Says; got != "4/4, felt in four: the quarter note is the beat, 72 a minute." {
		t.Error(got)
	}
	if got := tempoChange(p); got != nil {
		t.Errorf("the opening tempo is called a change: %+v", got)
	}
}

// change sets a new meter from a bar on.
func change(part *score.Part, bar int, m score.Meter) {
	for i := bar; i < len(part.Bars); i++ {
		part.Bars[i].Meter = m
	}
	part.Meters = append(part.Meters, score.MeterMark{At: part.Bars[bar].Start, Bar: bar, Meter: m})
}

func TestMeterChange(t *testing.T) {
	for name, c := range map[string]struct {
		edit func(*score.Part)
		want string
	}{
		"none":     {func(*score.Part) {}, ""},
		"the same": {func(p *score.Part) { change(p, 1, waltz) }, ""},
		"to 6/8": {func(p *score.Part) { change(p, 1, six8) },
			"The meter changes at bar 2 to 6/8, felt in two: the dotted quarter note is the beat; the eighth note stays as it was."},
		"with a tempo": {func(p *score.Part) {
			change(p, 1, six8)
			p.Tempos = append(p.Tempos, score.TempoMark{At: score.Frac(3, 4), Bar: 1, BPM: 40, Unit: score.Frac(3, 8)})
		}, "The meter changes at bar 2 to 6/8, so slow that it is counted in six: the eighth note is the count."},
		"with the same beat": {func(p *score.Part) {
			change(p, 1, six8)
			p.Words = append(p.Words, score.Words{At: score.Frac(3, 4), Bar: 1, Text: "L'istesso tempo"})
		}, "The meter changes at bar 2 to 6/8, felt in two: the dotted quarter note is the beat; the beat goes on as before."},
		"to free time": {func(p *score.Part) { change(p, 1, score.Meter{}) }, "The meter changes at bar 2 to free time, without bars to count."},
		"many": {func(p *score.Part) {
			for i := 1; i < 6; i++ {
				change(p, i, []score.Meter{waltz, six8}[i%2])
			}
		}, "The meter changes: bar 2 (6/8, in two), bar 3 (3/4, in three), bar 4 (6/8, in two), bar 5 (3/4, in three) and bar 6 (6/8, in two)."},
	} {
		part := scoretest.Part(t, waltz, 112, strings.Repeat("F3/2. ", 6))
		c.edit(part)
		if got := said(meterChange(page(t, "tenor", part)), "meter-change"); got != c.want {
			t.Errorf("%s: %q, want %q", name, got, c.want)
		}
	}
}
