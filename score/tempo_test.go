package score

import "testing"

// TestTempoRange: the ranges printed in the Free Music Dictionary, "Tempo",
// and three pages that agree with it; for Lento, Allegretto and Vivace the
// chart of Los Senderos Studio, which collects the spread.
func TestTempoRange(t *testing.T) {
	for text, want := range map[string][2]float64{
		"Largo": {40, 60}, "Larghetto": {60, 66}, "Adagio": {66, 76}, "Andante cantabile": {76, 108},
		"Moderato": {108, 120}, "Allegro con spirito": {120, 168}, "PRESTO": {168, 200}, "Prestissimo": {200, 208},
		"Lento": {40, 68}, "Allegretto": {98, 128}, "Vivace": {132, 168},
		"Andante, poi Allegro": {76, 108}, "Molto allegro ma non presto": {120, 168},
	} {
		low, high, ok := TempoRange(text)
		if !ok || low != want[0] || high != want[1] || !IsTempoWord(text) {
			t.Errorf("%q = %g to %g, %v; want %v", text, low, high, ok, want)
		}
	}
	for _, text := range []string{"", "dolce", "rit.", "rall. al Largo", "accel. poco a poco all'Allegro"} {
		if IsTempoWord(text) {
			t.Errorf("%q is taken for a tempo", text)
		}
	}
}

func TestOpeningTempo(t *testing.T) {
	cut := Meter{Beats: 2, Unit: 2, Symbol: "cut"}
	for name, c := range map[string]struct {
		tempo   TempoMark
		bpm     float64
		unit    string
		printed bool
	}{
		"number":              {TempoMark{BPM: 96, Unit: Frac(1, 2)}, 96, "half", true},
		"quarters in cut":     {TempoMark{BPM: 96, Unit: Frac(1, 4)}, 96, "quarter", true},
		"quarters, unprinted": {TempoMark{BPM: 96}, 48, "half", true},
		"word":                {TempoMark{Text: "Largo"}, 50, "half", false},
		"neither":             {TempoMark{Text: "dolce"}, DefaultBPM, "half", false},
		"later":               {TempoMark{At: Frac(1, 1), Bar: 1, BPM: 60, Unit: Frac(1, 2)}, DefaultBPM, "half", false},
	} {
		p := page("A B")
		p.Bars[0].Meter, p.Bars[1].Meter = cut, cut
		p.Tempos = []TempoMark{c.tempo}
		bpm, unit, printed := p.OpeningTempo()
		if bpm != c.bpm || ValueName(unit) != c.unit || printed != c.printed {
			t.Errorf("%s: %g %ss a minute, printed %v; want %g %ss, %v", name, bpm, ValueName(unit), printed, c.bpm, c.unit, c.printed)
		}
	}
}
