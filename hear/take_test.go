package hear

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"waterkey/audio"
	"waterkey/finding"
	"waterkey/hear/align"
	"waterkey/score"
)

const testRate = 48000

func listen(t testing.TB, pf *score.Performance, clip *audio.Clip) *Take {
	t.Helper()
	take, err := Listen(pf, clip, Options{})
	if err != nil {
		t.Fatal(err)
	}
	return take
}

// agrees holds every note that tones has against the truth.
func agrees(t *testing.T, pf *score.Performance, take *Take, tones []tone) {
	t.Helper()
	const onsetTolerance, centsTolerance, lengthTolerance = 0.020, 3.0, 0.040 // s, cents, s
	worstOnset, worstCents := 0.0, 0.0
	for _, tone := range tones {
		if tone.note < 0 {
			continue
		}
		n, w := take.Notes[tone.note], pf.Written(tone.note)
		where := fmt.Sprintf("bar %s pass %d %s", n.Bar, n.Pass, n.Pitch)
		if n.Measures == nil {
			t.Errorf("%s at %.3f s: %s", where, tone.start, n.State)
			continue
		}
		cents := 1200 * math.Log2(tone.hz/w.Pitch.Hz(440))
		late, off := math.Abs(n.Onset-tone.start), math.Abs(n.Cents-cents)
		worstOnset, worstCents = max(worstOnset, late), max(worstCents, off)
		// A glissando is measured where it starts: a late onset counts at the
		// speed of the glide.
		glide := math.Abs(1200*math.Log2(tone.hzEnd/tone.hz)) / (tone.end - tone.start)
		if late > onsetTolerance || off > centsTolerance+glide*late {
			t.Errorf("%s: onset %.3f s and %+.1f cents, truth %.3f and %+.1f", where, n.Onset, n.Cents, tone.start, cents)
		}
		if math.Abs(n.Offset-tone.end) > lengthTolerance {
			t.Errorf("%s: ends at %.3f s, truth %.3f", where, n.Offset, tone.end)
		}
	}
	t.Logf("worst onset %.1f ms, worst pitch %.2f cents", 1000*worstOnset, worstCents)
}

func states(take *Take, s State) (ids []int) {
	for i, n := range take.Notes {
		if n.State == s {
			ids = append(ids, i)
		}
	}
	return ids
}

// kinds are the kinds of the findings, in order.
func kinds(take *Take) []string {
	out := []string{}
	for _, f := range take.Findings {
		out = append(out, f.Kind)
	}
	return out
}

func TestAFaithfulTakeIsHeardWholeAndWithoutFault(t *testing.T) {
	pf := etudePart(t)
	cases := []struct {
		name         string
		speed, a4    float64
		lead, noise  float64
		wantFindings []string
	}{
		{"as the page", 1, 440, 0.7, 0, []string{}},
		{"slower", 0.8, 440, 0, 0, []string{"tempo"}},
		{"faster", 1.25, 440, 2, 0, []string{"tempo"}},
		{"half tempo", 0.52, 440, 0.3, 0, []string{"tempo"}},
		{"very fast", 1.55, 440, 0.3, 0, []string{"tempo"}},
		{"A = 445", 1, 445, 0.5, 0, []string{"tuning"}},
		{"A = 425", 1, 425, 0.5, 0, []string{"tuning"}},
		{"A = 455", 1, 455, 0.5, 0, []string{"tuning"}},
		{"noise at -60 dBFS", 1, 440, 1.5, -60, []string{}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			tones := faithful(pf, c.speed, c.a4, c.lead)
			take := listen(t, pf, sing(tones, testRate, c.noise))
			agrees(t, pf, take, tones)
			if n := len(states(take, Played)); n != len(pf.Notes) || len(take.Extra) != 0 {
				t.Errorf("%d of %d notes played, extra %v", n, len(pf.Notes), take.Extra)
			}
			if got := kinds(take); !slices.Equal(got, c.wantFindings) {
				t.Errorf("findings %v, want %v: %+v", got, c.wantFindings, take.Findings)
			}
			if math.Abs(take.TuningHz-c.a4) > 0.3 || math.Abs(take.TempoBPM/96/c.speed-1) > 0.005 {
				t.Errorf("A = %.2f Hz at %.2f beats a minute, truth %g and %g", take.TuningHz, take.TempoBPM, c.a4, 96*c.speed)
			}
			for _, n := range take.Notes {
				w := pf.Written(n.index)
				if n.Measures == nil || w.Grace && c.speed != 1 {
					continue // a test take's grace notes stretch, a player's do not
				}
				value := (n.Offset - n.Onset) / n.LengthRatio
				if math.Abs(n.Late) > 15 || math.Abs(n.LengthRatio-w.SoundedShare())*value > 0.040 {
					t.Errorf("bar %s %s: %.0f ms late, length %.2f of %.2f in an even take", n.Bar, n.Pitch, n.Late, n.LengthRatio, w.SoundedShare())
				}
			}
		})
	}
}

// index finds the k-th played note (from 0) in a printed bar.
func index(t *testing.T, pf *score.Performance, bar string, k int) int {
	t.Helper()
	for i := range pf.Notes {
		if pf.Part.Bars[pf.Written(i).Bar].Number == bar {
			if k == 0 {
				return i
			}
			k--
		}
	}
	t.Fatalf("no such note in bar %s", bar)
	return 0
}

func TestEachPlantedFaultIsFoundAndNoOther(t *testing.T) {
	pf := etudePart(t)
	semitone := math.Exp2(1.0 / 12)
	cases := []struct {
		name  string
		fault func(tones []tone) []tone
		want  []string
		check func(t *testing.T, take *Take)
	}{
		{"wrong by a semitone", func(v []tone) []tone {
			i := index(t, pf, "16", 1)
			v[i].hz, v[i].hzEnd = v[i].hz*semitone, v[i].hzEnd*semitone
			return v
		}, []string{"wrong-note"}, func(t *testing.T, take *Take) {
			if n := take.Notes[index(t, pf, "16", 1)]; n.State != Other || n.Pitch != "F3" || n.Heard != "F#3" {
				t.Errorf("%+v", n)
			}
		}},
		{"missed", func(v []tone) []tone {
			i := index(t, pf, "17", 2)
			return slices.Delete(v, i, i+1)
		}, nil, nil},
		{"late by 80 ms", func(v []tone) []tone {
			v[index(t, pf, "14", 2)].start += 0.080
			return v
		}, []string{"late"}, func(t *testing.T, take *Take) {
			if n := take.Notes[index(t, pf, "14", 2)]; math.Abs(n.Late-80) > 15 {
				t.Errorf("%.0f ms late, truth 80", n.Late)
			}
		}},
		{"flat by 25 cents", func(v []tone) []tone {
			i := index(t, pf, "19", 0)
			v[i].hz *= math.Exp2(-25.0 / 1200)
			v[i].hzEnd = v[i].hz
			return v
		}, []string{"intonation"}, func(t *testing.T, take *Take) {
			if n := take.Notes[index(t, pf, "19", 0)]; math.Abs(n.CentsOwn+25) > 3 {
				t.Errorf("%.1f cents, truth -25", n.CentsOwn)
			}
		}},
		{"staccato played long", func(v []tone) []tone {
			for k := range 7 {
				i := index(t, pf, "1", k)
				v[i].end = v[i].start + 0.145
			}
			return v
		}, []string{"too-long"}, func(t *testing.T, take *Take) {
			if f := take.Findings[0]; !strings.Contains(f.Says, "7 staccato notes") {
				t.Errorf("says %q", f.Says)
			}
		}},
		{"extra note in the rest", func(v []tone) []tone {
			i := index(t, pf, "8", 0)
			x := tone{note: -1, start: v[i].start - 1.2, end: v[i].start - 0.9, hz: 196, hzEnd: 196, amp: v[i].amp}
			return slices.Insert(v, i, x)
		}, []string{"extra-note"}, func(t *testing.T, take *Take) {
			if len(take.Extra) != 1 || take.Extra[0].Pitch != "G3" {
				t.Errorf("extra %+v", take.Extra)
			}
		}},
		{"split at its start", func(v []tone) []tone {
			i := index(t, pf, "14", 0)
			crack := v[i]
			crack.hz, crack.hzEnd, crack.end, crack.note = v[i].hz*4/3, v[i].hz*4/3, v[i].start+0.07, -1
			v[i].start, v[i].joined = crack.end, true
			return slices.Insert(v, i, crack)
		}, []string{"split-note"}, nil},
		{"begins nearer than any partial", func(v []tone) []tone {
			i := index(t, pf, "14", 0)
			bend := v[i]
			bend.hz *= math.Exp2(-100.0 / 1200)
			bend.hzEnd, bend.end, bend.note = bend.hz, v[i].start+0.05, -1
			v[i].start, v[i].joined = bend.end, true
			return slices.Insert(v, i, bend)
		}, []string{}, nil},
		{"rest cut short", func(v []tone) []tone {
			for i := index(t, pf, "8", 0); i < len(pf.Notes); i++ {
				v[i].start, v[i].end = v[i].start-0.6, v[i].end-0.6
			}
			return v
		}, []string{"short-rest"}, nil},
		{"crescendo flat", func(v []tone) []tone {
			for i := index(t, pf, "13", 0); i < index(t, pf, "15", 0); i++ {
				v[i].amp = v[index(t, pf, "13", 0)].amp
			}
			return v
		}, []string{"hairpin"}, nil},
		{"no contrast", func(v []tone) []tone {
			for i := range v {
				v[i].amp = 0.05
			}
			return v
		}, []string{"level", "hairpin"}, nil},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			tones := c.fault(faithful(pf, 1, 440, 0.8))
			take := listen(t, pf, sing(tones, testRate, -70))
			if c.want == nil {
				c.want = []string{"missed-note"}
				if got := states(take, Missed); !slices.Equal(got, []int{index(t, pf, "17", 2)}) {
					t.Errorf("missed %v", got)
				}
			}
			got := slices.Compact(kinds(take))
			if !slices.Equal(got, slices.Compact(c.want)) {
				t.Errorf("findings %v, want %v: %+v", got, c.want, take.Findings)
			}
			if c.check != nil {
				c.check(t, take)
			}
		})
	}
}

func TestDriftIsNamed(t *testing.T) {
	pf := etudePart(t)
	tones := faithful(pf, 1, 440, 0.5)
	end := tones[len(tones)-1].end
	bend := func(s float64) float64 { return s * (1 + 0.06*s/end) } // 12 % slower at the end
	for i := range tones {
		tones[i].start, tones[i].end = bend(tones[i].start), bend(tones[i].end)
	}
	take := listen(t, pf, sing(tones, testRate, 0))
	agrees(t, pf, take, tones)
	if got := kinds(take); !slices.Contains(got, "tempo-drift") || slices.Contains(got, "late") || slices.Contains(got, "early") {
		t.Errorf("findings %v, want tempo-drift without late or early: %+v", got, take.Findings)
	}
}

func TestCountInClicksAreNoNotes(t *testing.T) {
	pf := etudePart(t)
	tones := faithful(pf, 1, 440, 3)
	clip := sing(tones, testRate, 0)
	for beat := range 4 {
		from := int((0.5 + 0.625*float64(beat)) * testRate)
		for i := range testRate / 50 { // 20 ms
			s := float64(i) / testRate
			clip.Channels[0][from+i] += 0.3 * math.Exp(-s/0.005) * math.Sin(2*math.Pi*1000*s)
		}
	}
	take := listen(t, pf, clip)
	agrees(t, pf, take, tones)
	if len(take.Extra) != 0 || len(take.Findings) != 0 {
		t.Errorf("extra %v, findings %v", take.Extra, take.Findings)
	}
}

func TestStoppingHalfwayIsMissedNotesOnly(t *testing.T) {
	pf := etudePart(t)
	tones := faithful(pf, 1, 440, 0.5)
	tones = tones[:len(tones)*2/3]
	take := listen(t, pf, sing(tones, testRate, 0))
	agrees(t, pf, take, tones)
	if got := states(take, Missed); len(got) != len(pf.Notes)-len(tones) || got[0] != len(tones) {
		t.Errorf("missed %v, want all from %d on", got, len(tones))
	}
	if got := kinds(take); !slices.Equal(got, []string{"missed-note"}) {
		t.Errorf("findings %v", got)
	}
}

func TestAnotherPieceIsRefused(t *testing.T) {
	pf := etudePart(t)
	other := perform(t, page(t, 120, score.Frac(1, 4), strings.Repeat("E3/4 G#3/8 C#4/8 B2/4. F#3/2 A2/8 D#3/8 G#2/4 E4/2~ C#4/4 ", 5)))
	noise := sing(nil, testRate, 0)
	noise.Channels[0] = make([]float64, 5*testRate)
	cases := map[string]*audio.Clip{
		"another melody": sing(faithful(other, 1, 440, 0.5), testRate, 0),
		"silence":        noise,
		"noise":          sing([]tone{{note: -1, start: 5, end: 5.01, hz: 100, hzEnd: 100}}, testRate, -30),
		"one long note":  sing([]tone{{note: -1, start: 0.5, end: 9, hz: 233, hzEnd: 233, amp: 0.1}}, testRate, 0),
	}
	for name, clip := range cases {
		t.Run(name, func(t *testing.T) {
			take, err := Listen(pf, clip, Options{})
			if take != nil || !errors.Is(err, align.ErrUnlike) {
				t.Errorf("%v, want %v", err, align.ErrUnlike)
			}
			t.Log(err)
		})
	}
}

func TestATransposedTakeIsToldSo(t *testing.T) {
	pf := etudePart(t)
	_, err := Listen(pf, sing(faithful(pf, 1, 440*math.Exp2(2.0/12), 0.5), testRate, 0), Options{})
	if !errors.Is(err, align.ErrUnlike) || !strings.Contains(fmt.Sprint(err), "+2 semitones") {
		t.Errorf("%v, want the transposition named", err)
	}
}

func TestBadOptionsAndClips(t *testing.T) {
	pf := etudePart(t)
	good := sing(faithful(pf, 1, 440, 0), 16000, 0)
	for name, call := range map[string]func() (*Take, error){
		"A4 of 0.44 kHz": func() (*Take, error) { return Listen(pf, good, Options{A4: 0.44}) },
		"A4 no number":   func() (*Take, error) { return Listen(pf, good, Options{A4: math.NaN()}) },
		"no clip":        func() (*Take, error) { return Listen(pf, nil, Options{}) },
		"empty clip":     func() (*Take, error) { return Listen(pf, &audio.Clip{Rate: 48000}, Options{}) },
	} {
		if take, err := call(); err == nil || take != nil {
			t.Errorf("%s was taken", name)
		}
	}
}

func TestTheDocumentHasEveryFieldOfTheContract(t *testing.T) {
	pf := etudePart(t)
	tones := faithful(pf, 1, 440, 0.5)
	tones = slices.Delete(tones, 12, 13)
	take := listen(t, pf, sing(tones, testRate, 0))
	raw, err := json.Marshal(take)
	if err != nil {
		t.Fatal(err)
	}
	var doc map[string]any
	if err := json.Unmarshal(raw, &doc); err != nil {
		t.Fatal(err)
	}
	for _, k := range []string{"tuning_hz", "tempo_bpm", "speed_x", "notes", "extra", "breaths", "recording", "findings"} {
		if doc[k] == nil {
			t.Errorf("document lacks %q", k)
		}
	}
	for i, v := range doc["notes"].([]any) {
		n := v.(map[string]any)
		_, has := n["onset_s"]
		if missed := n["state"] == "missed"; missed == has || missed != (i == 12) {
			t.Errorf("note %d: %v", i, n)
		}
		if !has {
			continue
		}
		for _, k := range []string{"id", "bar", "pitch", "heard", "offset_s", "late_ms", "cents", "cents_own", "length_ratio", "level_db", "split"} {
			if n[k] == nil {
				t.Errorf("note %d lacks %q", i, k)
			}
		}
	}
	for i, f := range take.Findings {
		if f.Says == "" || f.Do == "" || len(f.Bars) != 2 || i > 0 && take.Findings[i-1].Stage > f.Stage {
			t.Errorf("finding %d: %+v", i, f)
		}
	}
	if _, err := finding.Notes.MarshalText(); err != nil {
		t.Error(err)
	}
}

func TestProgressRises(t *testing.T) {
	pf := etudePart(t)
	last := 0.0
	_, err := Listen(pf, sing(faithful(pf, 1, 440, 0), 16000, 0), Options{Progress: func(s float64) {
		if s < last || s > 1 {
			t.Errorf("progress %g after %g", s, last)
		}
		last = s
	}})
	if err != nil || last != 1 {
		t.Errorf("ended at %g: %v", last, err)
	}
}

func BenchmarkListen(b *testing.B) {
	pf := etudePart(b)
	clip := sing(faithful(pf, 1, 440, 0.5), testRate, -60)
	b.ResetTimer()
	for range b.N {
		listen(b, pf, clip)
	}
	b.ReportMetric(clip.Seconds()*float64(b.N)/b.Elapsed().Seconds(), "x-realtime")
}
