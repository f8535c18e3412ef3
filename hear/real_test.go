package hear

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"waterkey/audio"
	"waterkey/hear/onset"
	"waterkey/hear/pitch"
	"waterkey/score"
)

// samples are single notes of a tenor trombone, University of Iowa, with
// measurements made by another program.
const samples = "../../shared/data/samples/tenor-trombone"

// sample is one row of measured.csv.
type sample struct {
	file               string
	midi               int
	cents, start, stop float64
}

func realSamples(t testing.TB) []sample {
	t.Helper()
	f, err := os.Open(filepath.Join(samples, "measured.csv"))
	if err != nil {
		t.Skip("shared data not here: ", err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	column := map[string]int{}
	for i, name := range rows[0] {
		column[name] = i
	}
	var out []sample
	for _, r := range rows[1:] {
		num := func(name string) float64 {
			v, err := strconv.ParseFloat(r[column[name]], 64)
			if err != nil {
				t.Fatalf("%s of %s: %v", name, r[0], err)
			}
			return v
		}
		out = append(out, sample{r[column["file"]], int(num("label_midi")), num("mean_cents_vs_label"), num("onset_s"), num("end_s")})
	}
	if len(out) == 0 {
		t.Fatal("measured.csv has no rows")
	}
	return out
}

// Reference: the mean cents of measured.csv, and its onsets.
func TestRealTromboneNotesAreNamedAndMeasured(t *testing.T) {
	const tolerance = 15.0     // cents: the notes themselves waver by up to 9 (standard deviation in the table)
	const onsetTolerance = 100 // ms: soft attacks, and the table's frames are coarse
	worst, worstOnset := 0.0, 0.0
	for _, s := range realSamples(t) {
		clip, err := audio.Open(filepath.Join(samples, s.file))
		if err != nil {
			t.Fatal(err)
		}
		p := score.PitchFromMIDI(s.midi)
		pf := perform(t, page(t, 120, score.Frac(1, 4), p.String()+"/1"))
		take, err := Listen(pf, clip, Options{})
		if err != nil {
			t.Errorf("%s: %v", s.file, err)
			continue
		}
		n := take.Notes[0]
		if n.State != Played {
			t.Errorf("%s: %s, heard %s", s.file, n.State, n.Heard)
			continue
		}
		off, late := n.Cents-s.cents, 1000*(n.Onset-s.start)
		if math.Abs(off) > tolerance {
			t.Errorf("%s: %+.1f cents, the table has %+.1f", s.file, n.Cents, s.cents)
		}
		if math.Abs(late) > onsetTolerance {
			t.Errorf("%s: onset %.3f s, the table has %.3f", s.file, n.Onset, s.start)
		}
		if math.Abs(off) > math.Abs(worst) {
			worst = off
		}
		if math.Abs(late) > math.Abs(worstOnset) {
			worstOnset = late
		}
	}
	t.Logf("worst pitch %+.1f cents, worst onset %+.0f ms against the table", worst, worstOnset)
}

// A chain of real notes has real attacks, real unsteadiness and real noise.
func TestAChromaticScaleOfRealNotesIsFollowed(t *testing.T) {
	all := realSamples(t)
	words, rate := "", 0
	var x []float64
	for _, s := range all {
		clip, err := audio.Open(filepath.Join(samples, s.file))
		if err != nil {
			t.Fatal(err)
		}
		rate = clip.Rate
		m := clip.Mono()
		from := int((s.start - 0.05) * float64(rate))
		note := m[max(from, 0):min(from+rate, len(m))] // a second each
		for i := range note {
			if left := float64(len(note)-i) / float64(rate); left < 0.1 {
				note[i] *= left / 0.1
			}
		}
		x = append(x, note...)
		words += " " + score.PitchFromMIDI(s.midi).String() + "/4"
	}
	pf := perform(t, page(t, 60, score.Frac(1, 4), words))
	take := listen(t, pf, &audio.Clip{Rate: rate, Channels: [][]float64{x}})
	for i, n := range take.Notes {
		if n.State != Played || math.Abs(n.Cents-all[i].cents) > 15 || math.Abs(n.Late) > 80 {
			t.Errorf("%s: %+v", all[i].file, n)
		}
	}
	if len(take.Extra) > 0 {
		t.Errorf("extra notes %+v", take.Extra)
	}
	for _, f := range take.Findings {
		t.Log(f.Kind, f.Says)
	}
}

// The sound of a real note is one sound.
func TestARealNoteIsNotCutPlainly(t *testing.T) {
	for _, s := range realSamples(t) {
		clip, err := audio.Open(filepath.Join(samples, s.file))
		if err != nil {
			t.Fatal(err)
		}
		x := audio.Resample(clip.Mono(), clip.Rate, pitch.Rate)
		for _, v := range onset.Detect(x, pitch.Track(x, nil)) {
			inside := v.Start > s.start+0.1 && v.Start < s.stop-0.1
			if inside && (min(v.Rise, v.Dip) >= restartRise || math.Abs(v.Step) >= 60) {
				t.Errorf("%s (%.2f to %.2f s) is cut at %.2f s: %+v", s.file, s.start, s.stop, v.Start, v)
			}
		}
	}
}
