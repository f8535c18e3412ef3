package pitch

import (
	"encoding/csv"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"waterkey/audio"
	"waterkey/audio/fourier"
)

// samples are 33 single notes of a tenor trombone, E2 to C5, University of Iowa.
const samples = "../../../shared/data/samples/tenor-trombone"

// real is a real note, with another program's reading of it.
type real struct {
	file     string
	midi     float64
	from, to float64 // s: the stretch that was read
	cents    float64 // the median there, above MIDI note 0
	x        []float64
}

// realNotes reads testdata/aubio.csv: the medians of
//
//	aubiopitch -p yinfast -B 2048 -H 441 -s -90 -i FILE
//
// (aubio 0.4.9, an implementation of YIN independent of ours) over the frames
// with a pitch, from 0.3 s after the onset to 0.3 s before the end by the
// measured.csv beside the notes.
func realNotes(t testing.TB) []real {
	t.Helper()
	if _, err := os.Stat(samples); err != nil {
		t.Skip("shared data not here: ", err)
	}
	f, err := os.Open("testdata/aubio.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out []real
	for _, r := range rows[1:] {
		clip, err := audio.Open(filepath.Join(samples, r[0]))
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, real{
			file: r[0], midi: number(t, strings.Split(r[0], "-")[1]), from: number(t, r[1]), to: number(t, r[2]), cents: number(t, r[4]),
			x: audio.Resample(clip.Mono(), clip.Rate, Rate),
		})
	}
	if len(out) != 33 {
		t.Fatalf("testdata/aubio.csv has %d notes, want 33", len(out))
	}
	return out
}

func number(t testing.TB, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// read are the pitches of the frames of the note's stretch in cents, NaN for
// none.
func (n real) read(x []float64) []float64 {
	var v []float64
	for _, f := range Track(x, nil) {
		if f.At >= n.from && f.At <= n.to {
			v = append(v, f.Cents())
		}
	}
	return v
}

// telephone leaves 300 to 3400 Hz, the band of a telephone (ITU-T G.712).
func telephone(x []float64) []float64 {
	n := 2
	for n < len(x) {
		n *= 2
	}
	padded, lines, r := make([]float64, n), make([]complex128, n/2+1), fourier.NewReal(n)
	copy(padded, x)
	r.Forward(lines, padded)
	for k := range lines {
		if hz := float64(k) * Rate / float64(n); hz < 300 || hz > 3400 {
			lines[k] = 0
		}
	}
	r.Inverse(padded, lines)
	return padded[:len(x)]
}

// loudPart is the sound of the stretch, which noise is measured against.
func (n real) loudPart(x []float64) []float64 { return x[int(n.from*Rate):int(n.to*Rate)] }

// spoil adds noise so many dB below the note's stretch to all of x.
func (n real) spoil(x []float64, below float64) []float64 {
	power, all := 0.0, 0.0
	for _, v := range n.loudPart(x) {
		power += v * v / (n.to - n.from) / Rate
	}
	for _, v := range x {
		all += v * v / float64(len(x))
	}
	return noisy(x, below-10*math.Log10(power/all))
}

// Reference: aubio. The notes themselves waver by up to 9 cents.
func TestRealNotesAreNamedAndAgreeWithAubio(t *testing.T) {
	const medianTolerance, worstTolerance = 0.5, 2.5 // cents
	notes := realNotes(t)
	cases := []struct {
		name  string
		spoil func(n real) []float64
	}{
		{"as recorded", func(n real) []float64 { return n.x }},
		{"noise at -30 dB", func(n real) []float64 { return n.spoil(n.x, 30) }},
		{"noise at -10 dB", func(n real) []float64 { return n.spoil(n.x, 10) }},
		{"telephone", func(n real) []float64 { return telephone(n.x) }},
		{"telephone, noise at -30 dB", func(n real) []float64 { y := telephone(n.x); return n.spoil(y, 30) }},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			var off []float64
			for _, n := range notes {
				v := n.read(c.spoil(n))
				for _, cents := range v {
					if !(math.Abs(cents-100*n.midi) < 50) {
						t.Errorf("%s has a frame of %.0f cents, the note is %.0f", n.file, cents, 100*n.midi)
						break
					}
				}
				slices.Sort(v)
				off = append(off, math.Abs(v[len(v)/2]-n.cents))
			}
			slices.Sort(off)
			median, worst := off[len(off)/2], off[len(off)-1]
			t.Logf("median %.2f, worst %.2f cents from aubio over %d notes", median, worst, len(off))
			if median > medianTolerance || worst > worstTolerance {
				t.Errorf("median %.2f, worst %.2f cents from aubio, want at most %g and %g", median, worst, medianTolerance, worstTolerance)
			}
		})
	}
}

// Reference: aubio again, run here, frame by frame.
func TestFramesOfRealNotesAgreeWithAubio(t *testing.T) {
	program, err := exec.LookPath("aubiopitch")
	if err != nil {
		t.Skip("aubiopitch is not here: install aubio-tools")
	}
	var off []float64
	for _, n := range realNotes(t) {
		out, err := exec.Command(program, "-p", "yinfast", "-B", "2048", "-H", "441", "-s", "-90", "-i", filepath.Join(samples, n.file)).Output()
		if err != nil {
			t.Fatalf("aubiopitch: %v", err)
		}
		frames := Track(n.x, nil)
		for line := range strings.Lines(string(out)) {
			f := strings.Fields(line)
			if len(f) != 2 {
				continue
			}
			at, hz := number(t, f[0]), number(t, f[1])
			// The middle of its frame lies half a buffer before its time.
			if i := int(math.Round((at - 1024/44100.) / Hop)); hz > 0 && at > n.from && at < n.to {
				off = append(off, math.Abs(frames[i].Cents()-Cents(hz)))
			}
		}
	}
	slices.Sort(off)
	if len(off) < 1000 {
		t.Fatalf("aubiopitch gave %d frames", len(off))
	}
	median, most := off[len(off)/2], off[len(off)*95/100]
	t.Logf("median %.2f, 95 in 100 below %.2f cents apart over %d frames", median, most, len(off))
	if median > 1.5 || most > 8 {
		t.Errorf("frames lie %.2f cents apart in the median, 95 in 100 below %.2f, want 1.5 and 8", median, most)
	}
}

// Reference: aubio's median of the middle of each note. A scale of orchestral
// notes has no vibrato, and no note of it scoops or falls by a semitone.
func TestRealNotesAreDescribed(t *testing.T) {
	const tolerance = 4.0 // cents: the steady part is longer than the stretch aubio's medians are of
	for _, n := range realNotes(t) {
		d := Describe(Track(n.x, nil))
		t.Logf("%s: %+.1f ± %.1f, aubio %+.1f, scoop %.0f in %.2f s, fall %.0f in %.2f s, drift %.1f, waver %.1f, vibrato %.1f Hz %.1f cents", n.file,
			d.Cents-100*n.midi, d.Uncertainty, n.cents-100*n.midi, d.Scoop, d.ScoopTime, d.Fall, d.FallTime, d.Drift, d.Waver, d.Vibrato.Rate, d.Vibrato.Extent)
		if !(math.Abs(d.Cents-n.cents) < tolerance) || d.Uncertainty > 5 {
			t.Errorf("%s: %.1f ± %.1f cents, aubio %.1f", n.file, d.Cents, d.Uncertainty, n.cents)
		}
		if d.Vibrato.Extent > 0 || math.Abs(d.Scoop) > 100 || math.Abs(d.Fall) > 100 {
			t.Errorf("%s: %+v", n.file, d)
		}
	}
}
