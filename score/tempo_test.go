package score

import (
	"testing"

	"pgregory.net/rapid"
)

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
	for _, text := range []string{"", "dolce", "Tempo I", "a tempo", "nicht zu schnell", "Poco più lento", "Sempre più allegro", "schneller", "talent", "rit.", "rall. al Largo", "accel. poco a poco all'Allegro"} {
		if IsTempoWord(text) {
			t.Errorf("%q is taken for a tempo", text)
		}
	}
}

// TestTempoRangeForeign: German and French words stand for the Italian ones they
// are commonly put beside (common practice, from memory).
func TestTempoRangeForeign(t *testing.T) {
	for text, like := range map[string]string{
		"Sehr langsam": "Lento", "Ziemlich langsam und mit Ausdruck": "Lento", "Breit": "Largo", "Gehend": "Andante",
		"Mäßig bewegt": "Moderato", "Mässig": "Moderato", "Sehr lebhaft": "Vivace", "Schnell": "Allegro", "Rasch": "Allegro",
		"Lent": "Lento", "Modéré": "Moderato", "Vif et gai": "Vivace", "Assez animé": "Allegro", "Grave": "Largo",
		"Andantino": "Andante", "Adagietto": "Adagio",
	} {
		low, high, ok := TempoRange(text)
		wantLow, wantHigh, _ := TempoRange(like)
		if !ok || low != wantLow || high != wantHigh {
			t.Errorf("%q = %g to %g, %v; want that of %s, %g to %g", text, low, high, ok, like, wantLow, wantHigh)
		}
	}
}

func TestReturnsTempo(t *testing.T) {
	for text, want := range map[string]TempoReturn{
		"Tempo I": ToOpening, "Tempo I.": ToOpening, "tempo primo": ToOpening, "Tempo 1°": ToOpening, "Tempo I°": ToOpening,
		"a tempo primo": ToOpening, "Erstes Zeitmaß": ToOpening, "Schnell wie anfangs": ToOpening, "1er mouvement": ToOpening,
		"a tempo": ToLast, "a Tempo.": ToLast, "in tempo, ma più tranquillo": ToLast, "im Zeitmaß": ToLast, "au mouvement": ToLast,
		"rit. al Tempo I": NoReturn, "Tempo di marcia": NoReturn, "L'istesso tempo": NoReturn, "im gleichen Tempo": NoReturn,
		"Tempo II": NoReturn, "temporale": NoReturn, "": NoReturn,
	} {
		if got := ReturnsTempo(text); got != want {
			t.Errorf("%q returns to %d, want %d", text, got, want)
		}
	}
}

// TestTempoReturns: what "Tempo I" and "a tempo" go back to (common practice).
func TestTempoReturns(t *testing.T) {
	quarter := Frac(1, 4)
	mark := func(bar int, bpm float64, unit Time, text string) TempoMark {
		return TempoMark{At: Frac(int64(bar), 1), Bar: bar, BPM: bpm, Unit: unit, Text: text}
	}
	for name, c := range map[string]struct {
		tempos []TempoMark
		words  map[int]string
		want   []float64 // quarters a minute in bars 1 to 4
	}{
		"Tempo I":                          {[]TempoMark{mark(0, 120, quarter, ""), mark(1, 60, quarter, "")}, map[int]string{2: "Tempo I"}, []float64{120, 60, 120, 120}},
		"a tempo after a falling playback": {[]TempoMark{mark(0, 120, quarter, ""), mark(1, 90, Time{}, ""), mark(2, 70, Time{}, "rit.")}, map[int]string{3: "a tempo"}, []float64{120, 90, 70, 120}},
		"a tempo in the second tempo":      {[]TempoMark{mark(0, 120, quarter, ""), mark(1, 80, quarter, "Andante"), mark(2, 60, Time{}, "")}, map[int]string{3: "a tempo"}, []float64{120, 80, 60, 80}},
		"with a number of its own":         {[]TempoMark{mark(0, 120, quarter, ""), mark(1, 60, quarter, ""), mark(2, 100, quarter, "")}, map[int]string{2: "Tempo I"}, []float64{120, 60, 100, 100}},
		"in the list of tempos":            {[]TempoMark{mark(0, 120, quarter, ""), mark(1, 60, quarter, ""), mark(2, 0, Time{}, "Tempo I (Allegro)")}, nil, []float64{120, 60, 120, 120}},
		"of words only":                    {[]TempoMark{mark(0, 0, Time{}, "Andante"), mark(1, 0, Time{}, "Presto")}, map[int]string{2: "tempo primo"}, []float64{92, 184, 92, 92}},
		"nothing to return to":             {nil, map[int]string{1: "a tempo", 2: "Tempo I"}, []float64{DefaultBPM, DefaultBPM, DefaultBPM, DefaultBPM}},
	} {
		p := filled(page("A B C D"), Frac(1, 1))
		p.Tempos = c.tempos
		for bar := range len(p.Bars) {
			if text := c.words[bar]; text != "" {
				p.Words = append(p.Words, Words{At: Frac(int64(bar), 1), Bar: bar, Text: text})
			}
		}
		for i, n := range perform(t, p, 0).Notes {
			if got := Seconds(240 / c.want[i]); !near(n.End-n.Start, got) {
				t.Errorf("%s: bar %d lasts %v s, want %v (%g a minute)", name, i+1, n.End-n.Start, got, c.want[i])
			}
		}
	}
}

// TestTempoAfterPickup: the first tempo counts for a pickup before it, and for
// nothing else before it (common practice).
func TestTempoAfterPickup(t *testing.T) {
	quarter, half := Frac(1, 4), Frac(1, 2)
	for name, c := range map[string]struct {
		pickup  Time
		tempos  []TempoMark
		bpm     float64 // at the start
		unit    Time
		printed bool
	}{
		"after a pickup":    {quarter, []TempoMark{{At: quarter, Bar: 1, BPM: 60, Unit: half}}, 60, half, true},
		"a word after one":  {quarter, []TempoMark{{At: quarter, Bar: 1, Text: "Andante"}}, 92, quarter, false},
		"both":              {quarter, []TempoMark{{BPM: 50, Unit: quarter}, {At: quarter, Bar: 1, BPM: 60, Unit: quarter}}, 50, quarter, true},
		"after a full bar":  {Frac(1, 1), []TempoMark{{At: Frac(1, 1), Bar: 1, BPM: 60, Unit: half}}, DefaultBPM, quarter, false},
		"later in the part": {quarter, []TempoMark{{At: Frac(5, 4), Bar: 2, BPM: 60, Unit: half}}, DefaultBPM, quarter, false},
	} {
		p := page("A B C")
		p.Bars[0].Length = c.pickup
		p.Bars[1].Start, p.Bars[2].Start = c.pickup, c.pickup.Add(Frac(1, 1))
		p.Tempos = c.tempos
		bpm, unit, printed := p.OpeningTempo()
		if bpm != c.bpm || unit != c.unit || printed != c.printed {
			t.Errorf("%s: %g %ss a minute, printed %v; want %g %ss, %v", name, bpm, ValueName(unit), printed, c.bpm, ValueName(c.unit), c.printed)
		}
		if felt := p.FeltBeats()[0].Unit; felt != c.unit {
			t.Errorf("%s: the pickup is felt in %ss, want %ss", name, ValueName(felt), ValueName(c.unit))
		}
		if first := perform(t, filled(p, quarter), 0).Notes[0]; !near(first.End-first.Start, Seconds(60/c.bpm*quarter.Over(c.unit))) {
			t.Errorf("%s: the first quarter lasts %v s", name, first.End-first.Start)
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

// TestFeltBeats: all at once and one by one agree.
func TestFeltBeats(t *testing.T) {
	meters := []Meter{{Beats: 4, Unit: 4}, {Beats: 2, Unit: 2, Symbol: "cut"}, {Beats: 6, Unit: 8}, {Beats: 5, Unit: 8}, {}}
	units := []Time{{}, Frac(1, 4), Frac(1, 2), Frac(3, 8), Frac(1, 8)}
	rapid.Check(t, func(t *rapid.T) {
		p := page("A B C D E F")
		for i := range p.Bars {
			p.Bars[i].Meter = rapid.SampledFrom(meters).Draw(t, "meter")
			for range rapid.IntRange(0, 2).Draw(t, "marks") {
				p.Tempos = append(p.Tempos, TempoMark{At: p.Bars[i].Start, Bar: i, BPM: float64(60 * rapid.IntRange(0, 1).Draw(t, "number")),
					Unit: rapid.SampledFrom(units).Draw(t, "unit")})
			}
		}
		if rapid.Bool().Draw(t, "pickup") {
			p.Bars[0].Length = Frac(1, 8)
			for i := 1; i < len(p.Bars); i++ {
				p.Bars[i].Start = p.Bars[i-1].End()
			}
			for k := range p.Tempos {
				p.Tempos[k].At = p.Bars[p.Tempos[k].Bar].Start
			}
		}
		for i, got := range p.FeltBeats() {
			unit, count := p.Felt(i)
			if want := (Beat{unit, count}); got != want {
				t.Fatalf("bar %d is felt in %v, want %v", i+1, got, want)
			}
		}
	})
}
