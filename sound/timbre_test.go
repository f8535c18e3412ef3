package sound

import (
	"fmt"
	"math"
	"path/filepath"
	"testing"

	"waterkey/audio"
	"waterkey/score"
	"waterkey/sound/spectrum"
)

// Reference: the recorded notes that are not in the table (University of Iowa
// Musical Instrument Samples, tenor trombone, mf), each against the rendering of
// the same note, measured alike.
func TestMeasuredTimbreAgainstNotesLeftOut(t *testing.T) {
	const most = 2.5 // dB, mean over the notes
	files, _ := filepath.Glob("../../shared/data/samples/tenor-trombone/*.flac")
	if len(files) == 0 {
		t.Skip("shared data not here: recorded trombone notes")
	}
	sum, plain, count := 0.0, 0.0, 0.0
	for i := 1; i < len(files); i += 2 {
		clip, err := audio.Open(files[i])
		if err != nil {
			t.Fatal(err)
		}
		hz := recordedHz(t, files[i])
		real, err := spectrum.Partials(clip.Mono(), float64(clip.Rate), hz)
		if err != nil {
			t.Fatal(err)
		}
		var d [2]float64
		for k, timbre := range []*Timbre{&TenorTrombone, nil} {
			x := Render([]Tone{{End: 2, Hz: hz}}, Options{Timbre: timbre}).Channels[0]
			ours, err := spectrum.Partials(x, DefaultRate, hz)
			if err != nil {
				t.Fatal(err)
			}
			d[k] = spectrum.Distance(real, ours)
		}
		t.Logf("%s: %.1f dB, the law alone %.1f", filepath.Base(files[i]), d[0], d[1])
		sum, plain, count = sum+d[0], plain+d[1], count+1
	}
	t.Logf("mean %.2f dB, the law alone %.2f", sum/count, plain/count)
	if sum/count > most || sum > plain {
		t.Errorf("mean distance %.2f dB, want at most %g and less than the law alone (%.2f)", sum/count, most, plain/count)
	}
}

// Every timbre grows brighter with level, keeps to its level, and does not reach
// full scale.
func TestTimbres(t *testing.T) {
	for _, name := range []string{"tenor-f", "alto", "bass", "trumpet-bb", "horn-f-bb", "baritone", "euphonium", "tuba-c"} {
		o := Options{Timbre: TimbreOf(name)}
		before := 0.0
		for _, level := range []float64{-16, -8, 0, 4, 8, 12} {
			x := Render([]Tone{{End: 1, Hz: 233.08, Level: level}}, o).Channels[0]
			held := seconds(x, 0.6, 0.95)
			if got := dbfs(held) - ReferenceDBFS; math.Abs(got-level) > 0.3 {
				t.Errorf("%s: %.2f dB, want %g", name, got, level)
			}
			if c := centroid(held, 233.08, DefaultRate); c < 1.01*before {
				t.Errorf("%s at %g dB: centroid %.0f Hz is not above %.0f", name, level, c, before)
			} else {
				before = c
			}
			if p := peak(x); p >= 1 {
				t.Errorf("%s at %g dB: peak %.2f", name, level, p)
			}
		}
	}
}

// Marks one apart differ by 3 to 6 dB, the range in which listeners tell them
// apart without hearing a leap.
func TestMarksAreAStepApart(t *testing.T) {
	var levels []float64
	for _, mark := range []string{"pp", "p", "mp", "mf", "f", "ff"} {
		p := dynamics(page(t, written{pitch: "Bb3", quarters: 4}), mark)
		levels = append(levels, dbfs(seconds(play(t, p, Options{Timbre: &TenorTrombone}), 1, 3)))
	}
	for i := 1; i < len(levels); i++ {
		if step := levels[i] - levels[i-1]; step < 3 || step > 6 {
			t.Errorf("step %d is %.2f dB, want 3 to 6", i, step)
		}
	}
}

// No slur, break, stroke or glissando of the slide clicks: no sample is farther
// from the one before than in the loudest held tone, with room for the settling.
func TestMovesDoNotClick(t *testing.T) {
	step := 0.0
	for _, hz := range []float64{174.61, 233.08, 261.63, 349.23} {
		x := Render([]Tone{{End: 2, Hz: hz}}, Options{Timbre: &TenorTrombone}).Channels[0]
		step = max(step, largestStep(seconds(x, 1, 1.8)))
	}
	for name, ways := range slurWays {
		p := page(t, written{"F3", 1, slur(false, true)}, written{"Bb3", 1, slur(true, true)}, written{"F4", 1, slur(true, true)}, written{"C4", 1, slur(true, false)})
		x := play(t, p, Options{Timbre: &TenorTrombone, Ways: ways})
		if got := largestStep(x); got > 1.3*step {
			t.Errorf("%s: a step of %.4f between samples, held tones have %.4f", name, got, step)
		}
	}
}

var slurWays = map[string][]Way{
	"unknown": nil,
	"lip":     {{Partial: 3}, {Partial: 4}, {Partial: 6}, {Partial: 6, ExtensionCM: 42}},
	"natural": {{Partial: 3}, {Partial: 5, ExtensionCM: 34}, {Partial: 7, ExtensionCM: 34}, {Partial: 5, ExtensionCM: 16}},
	"valve":   {{Partial: 3}, {Partial: 4, Valve: "1"}, {Partial: 6}, {Partial: 4, Valve: "13"}},
}

// A tongued legato on one partial smears along the slide: half way through the
// move the period is the mean of both, whatever the notes.
func TestLegatoSmearsAlongTheSlide(t *testing.T) {
	p := page(t, written{"F3", 2, slur(false, true)}, written{"C3", 2, slur(true, false)})
	tones := Tones(perform(t, p), Options{Ways: []Way{{Partial: 3}, {Partial: 3, ExtensionCM: 42}}})
	if tones[1].Attack != Legato || tones[1].Move.Seconds <= 0.1 || tones[1].Move.Seconds > 0.16 {
		t.Fatalf("attack %d, move %g s; want a soft tongue and 0.1 to 0.16", tones[1].Attack, tones[1].Move.Seconds)
	}
	c := chains(tones, &plainTone)[0]
	want := 2 / (1/tones[0].Hz + 1/tones[1].Hz)
	if got := c.at(1, 2).hz; math.Abs(cents(got, want)) > 0.5 {
		t.Errorf("half way %.2f Hz, want %.2f", got, want)
	}
}

// Reference: kinds of slur as trombone.org, "Playing Legato on the Trombone: A
// Primer", tells them apart.
func TestSlurByTheWay(t *testing.T) {
	for _, c := range []struct {
		a, b     string
		from, to Way
		want     Attack
	}{
		{"F3", "Bb3", Way{Partial: 3}, Way{Partial: 4}, LipSlur},
		{"F3", "G3", Way{Partial: 3}, Way{Partial: 4, ExtensionCM: 25}, NaturalSlur},
		{"F3", "E3", Way{Partial: 3}, Way{Partial: 3, ExtensionCM: 8}, Legato},
		{"C3", "Bb2", Way{Partial: 3, Valve: "F"}, Way{Partial: 2}, ValveSlur},
		{"F3", "G3", Way{}, Way{}, Slurred},
	} {
		p := page(t, written{c.a, 2, slur(false, true)}, written{c.b, 2, slur(true, false)})
		if got := Tones(perform(t, p), Options{Ways: []Way{c.from, c.to}})[1].Attack; got != c.want {
			t.Errorf("%s to %s: attack %d, want %d", c.a, c.b, got, c.want)
		}
	}
}

func ExampleStyleNamed() {
	_, err := StyleNamed("loud")
	fmt.Println(err)
	// Output: there is no style "loud"; try light, broad, detached, singing
}

func TestStylesOrderLengths(t *testing.T) {
	n := score.Note{}
	if !(Light.Share(&n) < Detached.Share(&n) && Detached.Share(&n) < Broad.Share(&n) && Broad.Share(&n) < Singing.Share(&n)) {
		t.Error("plain notes are not longer from light through detached and broad to singing")
	}
	for _, s := range append(Styles(), Style{}) {
		short, long := score.Note{Marks: score.Staccato}, score.Note{Marks: score.Tenuto}
		if !(s.Share(&short) < s.Share(&n) && s.Share(&n) <= s.Share(&long) && s.Share(&long) <= 1) {
			t.Errorf("%q: staccato %g, plain %g, tenuto %g do not grow", s.Name, s.Share(&short), s.Share(&n), s.Share(&long))
		}
	}
}
