package desk

import (
	"bufio"
	"bytes"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"waterkey/audio"
	"waterkey/hear"
	"waterkey/score"
	"waterkey/sound"
)

// The demo parts on their instruments. What follows measures their reference
// performances from outside: by listening, by another program, and by the samples
// alone.
var season = []struct{ name, horn string }{
	{"harbor-parade.musicxml", "tenor-f"}, {"lantern-song.musicxml", "tenor-f"}, {"iron-quay.musicxml", "bass"},
}

// reference is a reference performance as a file on disk.
type reference struct {
	*Sounding
	*score.Performance
	p      *Prepared
	clip   *audio.Clip
	shift  score.Seconds // of the performance in the clip
	shares []float64     // sounded, by played note
	path   string
}

func (r *reference) from(i int) float64 { return float64(r.shift + r.Notes[i].Start) }
func (r *reference) to(i int) float64 {
	n := r.Notes[i]
	return r.from(i) + r.shares[i]*float64(n.End-n.Start)
}

// samples of the clip between two moments in seconds.
func (r *reference) samples(from, to float64) []float64 {
	x, rate := r.clip.Channels[0], float64(r.clip.Rate)
	a := min(max(int(from*rate), 0), len(x))
	return x[a:min(max(int(to*rate), a), len(x))]
}

// moves says whether a note has no pitch of its own: a glissando, a trill, or a grace
// note.
func (r *reference) moves(i int) bool {
	n := r.Written(i)
	return n.GlissTo || n.Marks.Has(score.Trill) || n.Grace
}

func playReference(t *testing.T, name, horn string, q Playing) *reference {
	t.Helper()
	p := prepare(t, demoPart(t, name), horn)
	q.LeadIn = 0.5
	s, err := p.Sound(q)
	if err != nil {
		t.Fatal(err)
	}
	r := &reference{Sounding: s, Performance: p.Played, p: p, clip: s.Clip(), path: filepath.Join(t.TempDir(), "reference.wav")}
	o := s.runs[0].Options
	r.shift, r.shares = sound.Offset(p.Played, o), sound.Shares(p.Played, o)
	var wav bytes.Buffer
	if err := audio.WriteWAV(&wav, r.clip); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(r.path, wav.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	return r
}

// Listening is a package of its own that shares nothing with the synthesis. In every
// style each note is the one on the page, in tune and as long as the style has it,
// and the tempo is that of the page.
func TestReferenceIsHeardAsItWasMeant(t *testing.T) {
	const (
		cents  = 0.5   // at most, median over the notes; single ones as the round trip has them
		length = 0.008 // seconds that the median of a kind of note may be off: a quarter of its release
		tempo  = 0.005 // of the tempo
	)
	for _, style := range append(sound.Styles(), sound.Style{}) {
		r := playReference(t, "harbor-parade.musicxml", "tenor-f", Playing{Style: style.Name})
		take, err := r.p.Hear(r.path, hear.Options{})
		if err != nil {
			t.Fatal(err)
		}
		var off []float64
		late := map[float64][]float64{} // by share: how much longer than meant, in seconds
		for i, n := range take.Notes {
			if n.State != hear.Played || n.Measures == nil {
				t.Errorf("%q: bar %s %s is %s", style.Name, n.Bar, n.Pitch, n.State)
				continue
			}
			if !r.moves(i) {
				off = append(off, math.Abs(n.Cents))
			}
			if r.shares[i] < 1 {
				late[r.shares[i]] = append(late[r.shares[i]], n.Offset-r.to(i))
			}
		}
		slices.Sort(off)
		t.Logf("%q: %.2f cents median, %.2f worst; tempo %.2f", style.Name, off[len(off)/2], off[len(off)-1], take.TempoBPM)
		if off[len(off)/2] > cents || off[len(off)-1] > centsBound {
			t.Errorf("%q: %.2f cents off in the median, %.2f at most", style.Name, off[len(off)/2], off[len(off)-1])
		}
		for share, all := range late {
			slices.Sort(all)
			median := all[len(all)/2]
			t.Logf("%q: %d notes of %.2f of their value end %+.1f ms", style.Name, len(all), share, 1000*median)
			if len(all) >= 5 && math.Abs(median) > length {
				t.Errorf("%q: notes of %.2f of their value sound %+.0f ms longer", style.Name, share, 1000*median)
			}
		}
		if bpm := r.p.tempoOf(r.Performance); math.Abs(take.TempoBPM/bpm-1) > tempo {
			t.Errorf("%q: heard at %.2f, played at %.2f", style.Name, take.TempoBPM, bpm)
		}
	}
}

// Reference: the program aubiopitch (P. M. Brossier, aubio) reads the pitch of every
// note that is held for a while, on the sound of the instrument and in every style.
func TestAnotherProgramReadsTheReference(t *testing.T) {
	if _, err := exec.LookPath("aubiopitch"); err != nil {
		t.Skip("aubiopitch is not here (Debian: aubio-tools)")
	}
	for _, part := range season {
		readByAubio(t, part.name, part.horn, "", 30)
	}
	for _, style := range sound.Styles() {
		readByAubio(t, "harbor-parade.musicxml", "tenor-f", style.Name, 10)
	}
}

// readByAubio holds the notes of a reference that are long enough to what aubio reads;
// there must be so many.
func readByAubio(t *testing.T, name, horn, style string, count int) {
	t.Helper()
	const (
		least       = 0.08 // seconds of a note between its attack and its end
		most, worst = 0.5, 2.0
	)
	r := playReference(t, name, horn, Playing{Style: style})
	rows := aubioPitch(t, r.path)
	var off []float64
	for i := range r.Notes {
		from, to := r.from(i)+0.12, r.to(i)-0.06
		if to-from < least || r.moves(i) {
			continue
		}
		var hz []float64
		for _, row := range rows {
			if row[0] > from && row[0] < to && row[1] > 0 {
				hz = append(hz, row[1])
			}
		}
		if len(hz) == 0 {
			t.Errorf("%s %s: nothing read of note %d", name, style, i)
			continue
		}
		slices.Sort(hz)
		off = append(off, math.Abs(1200*math.Log2(hz[len(hz)/2]/r.Written(i).Pitch.Hz(440))))
	}
	slices.Sort(off)
	if len(off) < count {
		t.Fatalf("%s %s: %d notes read, want %d", name, style, len(off), count)
	}
	t.Logf("%s %s: %d notes, %.2f cents median, %.2f worst", name, style, len(off), off[len(off)/2], off[len(off)-1])
	if off[len(off)/2] > most || off[len(off)-1] > worst {
		t.Errorf("%s %s: %.2f cents median, %.2f worst; want at most %g and %g", name, style, off[len(off)/2], off[len(off)-1], most, worst)
	}
}

// aubioPitch lists moments in seconds and what aubiopitch reads there, in hertz. The
// window holds three periods of the lowest notes.
func aubioPitch(t *testing.T, path string) [][2]float64 {
	t.Helper()
	out, err := exec.Command("aubiopitch", "-p", "yinfast", "-B", "4096", "-H", "512", "-i", path).Output()
	if err != nil {
		t.Fatal(err)
	}
	var rows [][2]float64
	for s := bufio.NewScanner(bytes.NewReader(out)); s.Scan(); {
		f := strings.Fields(s.Text())
		at, err1 := strconv.ParseFloat(f[0], 64)
		hz, err2 := strconv.ParseFloat(f[1], 64)
		if err1 != nil || err2 != nil {
			t.Fatalf("aubiopitch printed %q", s.Text())
		}
		rows = append(rows, [2]float64{at, hz})
	}
	return rows
}

// level is the RMS level of samples in dB relative to full scale.
func level(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v * v
	}
	return 10 * math.Log10(sum/float64(len(x)))
}

// Marks that follow each other on a scale differ by 3 to 6 dB, so that they are told
// apart and none is a leap: on every demo part, between all the marks that it has,
// over plain notes without a hairpin.
func TestLevelsOfTheReference(t *testing.T) {
	for _, part := range season {
		r := playReference(t, part.name, part.horn, Playing{})
		levels := map[float64][]float64{}
		for i := range r.Notes {
			n := r.Written(i)
			at := r.p.Part.Level(n.Onset)
			end := r.p.Part.Level(n.Onset.Add(n.Duration.Scale(1023, 1024)))
			from, to := r.from(i)+0.06, r.to(i)-0.04
			if n.Attack != "" || n.Marks.Any(score.Accent|score.Marcato) || r.moves(i) || at != end || at != math.Trunc(at*2)/2 || to-from < 0.05 {
				continue
			}
			levels[at] = append(levels[at], level(r.samples(from, to)))
		}
		var marks []float64
		for m, all := range levels {
			if len(all) >= 3 {
				marks = append(marks, m)
			}
		}
		slices.Sort(marks)
		if len(marks) < 2 {
			t.Errorf("%s: %d marks with plain notes", part.name, len(marks))
		}
		for k := 1; k < len(marks); k++ {
			step := (mean(levels[marks[k]]) - mean(levels[marks[k-1]])) / (marks[k] - marks[k-1])
			t.Logf("%s: from %g to %g, %.2f dB a step (%d and %d notes)", part.name, marks[k-1], marks[k], step, len(levels[marks[k-1]]), len(levels[marks[k]]))
			if step < 3 || step > 6 {
				t.Errorf("%s: from mark %g to %g the level rises by %.2f dB a step, want 3 to 6", part.name, marks[k-1], marks[k], step)
			}
		}
	}
}

func mean(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v
	}
	return sum / float64(len(x))
}

// bends is the largest second difference of samples.
func bends(x []float64) float64 {
	most := 0.0
	for i := 2; i < len(x); i++ {
		most = max(most, math.Abs(x[i]-2*x[i-1]+x[i-2]))
	}
	return most
}

// A click is a bend in the wave that no held tone has: nowhere around the ends of a
// note do the samples bend more than in the held notes around it. A sforzando is
// two marks above the note that it begins, 8 dB.
func TestReferenceDoesNotClick(t *testing.T) {
	const (
		around    = 0.06 // seconds on both sides of a start or an end
		more      = 1.4  // of the steady part: an attack of 1 dB and the noise of the tongue
		sforzando = 2.5
		accent    = 1.8 // a front of 2.5 to 3 dB, and brighter than the note
	)
	for _, part := range season {
		r := playReference(t, part.name, part.horn, Playing{})
		steady := make([]float64, len(r.Notes))
		for i := range r.Notes {
			length := r.to(i) - r.from(i)
			steady[i] = bends(r.samples(r.from(i)+0.35*length, r.to(i)-0.2*length))
			switch w := r.Written(i); {
			case w.Attack != "":
				steady[i] *= sforzando
			case w.Marks.Any(score.Accent | score.Marcato):
				steady[i] *= accent
			}
		}
		worst, at := 0.0, 0
		for i := range r.Notes {
			near := slices.Max(steady[max(i-1, 0):min(i+2, len(steady))])
			for _, m := range []float64{r.from(i), r.to(i)} {
				if k := bends(r.samples(m-around, m+around)) / near; k > worst {
					worst, at = k, i
				}
			}
		}
		peak := 0.0
		for _, v := range r.clip.Channels[0] {
			peak = max(peak, math.Abs(v))
		}
		t.Logf("%s: bends by %.2f of the steady part at most (bar %s), peak %.1f dBFS", part.name, worst, r.p.barNumber(r.Written(at).Bar), 20*math.Log10(peak))
		if worst > more {
			t.Errorf("%s: at note %d, bar %s, the samples bend %.2f times as much as in held notes, want at most %g", part.name, at, r.p.barNumber(r.Written(at).Bar), worst, more)
		}
		if peak > 0.7 {
			t.Errorf("%s: peak %.2f leaves less than 3 dB", part.name, peak)
		}
	}
}

// Under a slur the air goes on: between two joined notes the sound falls no more than
// a slur of the horn or a soft tongue makes it, and never stops.
func TestLegatoHasNoGap(t *testing.T) {
	slurs := map[bool]int{}
	most := map[bool]float64{false: 6, true: 10} // dB below the softer of the two notes, by whether it is tongued
	for _, part := range season {
		r := playReference(t, part.name, part.horn, Playing{Style: "singing"})
		tongued := map[int]bool{}
		for _, tone := range r.Tones {
			if tone.Attack == sound.Legato {
				tongued[tone.Note] = true
			}
		}
		deepest := map[bool]float64{}
		for i := 0; i+1 < len(r.Notes); i++ {
			a, b := r.Written(i), r.Written(i+1)
			if !a.SlurTo || !b.SlurFrom || r.shares[i] < 1 || r.Notes[i+1].Note != r.Notes[i].Note+1 {
				continue
			}
			soft := tongued[i+1]
			slurs[soft]++
			window := 2 / min(a.Pitch.Hz(440), b.Pitch.Hz(440))
			held := min(level(r.samples(r.to(i)-0.12, r.to(i)-0.06)), level(r.samples(r.to(i)+0.06, r.to(i)+0.12)))
			for s := r.to(i) - 0.04; s < r.to(i)+0.04; s += 0.002 {
				deepest[soft] = max(deepest[soft], held-level(r.samples(s-window/2, s+window/2)))
			}
		}
		t.Logf("%s: slurs fall by %.1f dB, tongued legato by %.1f", part.name, deepest[false], deepest[true])
		for soft, db := range deepest {
			if db > most[soft] {
				t.Errorf("%s: tongued %t, the sound falls by %.1f dB under a slur, want at most %g", part.name, soft, db, most[soft])
			}
		}
	}
	if slurs[false] < 10 || slurs[true] < 10 {
		t.Errorf("%v slurs and tongued legatos in the season, want ten of each", slurs)
	}
}
