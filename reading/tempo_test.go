package reading

import (
	"strings"
	"testing"

	"waterkey/score"
	"waterkey/score/scoretest"
)

// TestTempoChange: what a player reads about the tempo after the opening.
func TestTempoChange(t *testing.T) {
	quarter := score.Frac(1, 4)
	mark := func(bar int, bpm float64, unit score.Time, text string) score.TempoMark {
		return score.TempoMark{At: score.Frac(int64(bar-1), 1), Bar: bar - 1, BPM: bpm, Unit: unit, Text: text}
	}
	playback := score.Time{}
	for name, c := range map[string]struct {
		tempos []score.TempoMark // after quarter = 96
		words  map[int]string
		want   string
	}{
		"nothing":             {nil, nil, ""},
		"a number":            {[]score.TempoMark{mark(3, 60, quarter, "Andante")}, nil, "New tempo at bar 3: Andante, quarter = 60."},
		"a word":              {[]score.TempoMark{mark(3, 0, playback, "Presto.")}, nil, "New tempo at bar 3: Presto, by custom 168 to 200 beats a minute."},
		"playback alone":      {[]score.TempoMark{mark(3, 60, playback, "")}, nil, ""},
		"words and playback":  {[]score.TempoMark{mark(3, 60, playback, "Tranquillo [")}, nil, "New tempo at bar 3: Tranquillo, without a number."},
		"playback unchanged":  {[]score.TempoMark{mark(3, 96, playback, "kräftig")}, nil, ""},
		"relative":            {nil, map[int]string{3: "Più mosso ( = 120)"}, "New tempo at bar 3: Più mosso, without a number."},
		"rit.":                {nil, map[int]string{3: "rit."}, `The tempo moves in bar 3: "rit.".`},
		"rit. and a tempo":    {nil, map[int]string{3: "rit.", 4: "a tempo"}, `The tempo moves in bar 3: "rit.", back in tempo in bar 4.`},
		"rit. to a new tempo": {[]score.TempoMark{mark(4, 60, quarter, "")}, map[int]string{3: "rit."}, `New tempo at bar 4: quarter = 60. The tempo moves in bar 3: "rit.", into the new tempo of bar 4.`},
		"Tempo I": {[]score.TempoMark{mark(3, 60, quarter, "Andante")}, map[int]string{5: "Tempo I"},
			"The tempo changes: bar 3 (Andante, quarter = 60) and bar 5 (Tempo I, as at the start, quarter = 96)."},
		"printed twice": {[]score.TempoMark{mark(3, 70, playback, "rit.")}, map[int]string{3: "rit."}, `The tempo moves in bar 3: "rit.".`},
		"font signs":    {[]score.TempoMark{mark(3, 60, playback, "Più mosso. (\ue1d5 = 60)")}, nil, "New tempo at bar 3: Più mosso, without a number."},
		"other words":   {nil, map[int]string{2: "dolce", 3: "ritmico"}, ""},
	} {
		part := scoretest.Part(t, common, 96, strings.Repeat("F3/1 ", 8))
		part.Tempos = append(part.Tempos, c.tempos...)
		for bar := 1; bar <= 8; bar++ {
			if text := c.words[bar]; text != "" {
				part.Words = append(part.Words, score.Words{At: score.Frac(int64(bar-1), 1), Bar: bar - 1, Text: text})
			}
		}
		if got := said(tempoChange(page(t, "tenor", part)), "tempo-change"); got != c.want {
			t.Errorf("%s: %q, want %q", name, got, c.want)
		}
	}
}

// TestTempoLeapWeighs: a change to half the tempo weighs more than a slight one.
func TestTempoLeapWeighs(t *testing.T) {
	weight := func(bpm float64) float64 {
		part := scoretest.Part(t, common, 120, "F3/1 F3/1")
		part.Tempos = append(part.Tempos, score.TempoMark{At: score.Frac(1, 1), Bar: 1, BPM: bpm, Unit: score.Frac(1, 4)})
		return tempoChange(page(t, "tenor", part))[0].Weight
	}
	if half, slight := weight(60), weight(110); half <= slight {
		t.Errorf("half the tempo weighs %g, a little less %g", half, slight)
	}
}
