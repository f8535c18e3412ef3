package hear

import (
	"math"
	"math/cmplx"

	"waterkey/audio/fourier"
	"waterkey/hear/pitch"
)

// Reading of the partials.
const (
	window     = 2048 // samples: 128 ms tell the partials of a pedal note apart
	windows    = 6    // over a note at the most
	highest    = 6000 // Hz: a phone and a small MP3 keep what is below
	aroundFull = 0.25 // of the fundamental to either side, where a partial is looked for
	faintest   = 1e-2 // of the strongest partial (-40 dB): below may be the room
)

// spectrum reads partials; it serves one goroutine.
type spectrum struct {
	plan  *fourier.Real
	hann  []float64
	x     []float64
	lines []complex128
}

func newSpectrum() *spectrum {
	s := &spectrum{plan: fourier.NewReal(window), hann: make([]float64, window), x: make([]float64, window), lines: make([]complex128, window/2+1)}
	for i := range s.hann {
		s.hann[i] = 0.5 - 0.5*math.Cos(2*math.Pi*float64(i)/window)
	}
	return s
}

// centroid is the amplitude-weighted mean frequency of the partials of hz in
// the window from sample at on, in Hz (G. Peeters et al., "The Timbre Toolbox",
// JASA 130, 2011, from memory: the harmonic spectral centroid); 0 for silence.
func (s *spectrum) centroid(x []float64, at int, hz float64) float64 {
	for i := range s.x {
		s.x[i] = x[at+i] * s.hann[i]
	}
	s.plan.Forward(s.lines, s.x)
	const line = float64(pitch.Rate) / window // Hz
	var amps []float64
	strongest := 0.0
	for f := hz; f < highest; f += hz {
		peak := 0.0
		for k := int((f - aroundFull*hz) / line); k <= int((f+aroundFull*hz)/line)+1; k++ {
			peak = max(peak, cmplx.Abs(s.lines[k]))
		}
		amps, strongest = append(amps, peak), max(strongest, peak)
	}
	sum, weight := 0.0, 0.0
	for k, a := range amps {
		if a >= faintest*strongest {
			sum, weight = sum+a*hz*float64(k+1), weight+a
		}
	}
	if weight == 0 {
		return 0
	}
	return sum / weight
}

// tone is the median centroid over the steady part of a note and the standard
// uncertainty of it as a share, 0 and 0 for one too short.
func (l *listener) tone(s *spectrum, m *Measures, hz float64) (centroid, unsure float64) {
	from, to := l.steadyFrames(m)
	a, b := int(float64(from)*pitch.Hop*pitch.Rate), min(int(float64(to)*pitch.Hop*pitch.Rate), len(l.x))
	if b-a < window || !(hz > 0) {
		return 0, 0
	}
	n := min((b-a)/(window/2), windows)
	var v []float64
	for k := range n {
		at := a
		if n > 1 {
			at += k * (b - a - window) / (n - 1)
		}
		if c := s.centroid(l.x, at, hz); c > 0 {
			v = append(v, c)
		}
	}
	if len(v) == 0 {
		return 0, 0
	}
	centroid = middle(v)
	const least = 0.02 // what a window's place in a steady tone changes (measured)
	return centroid, max(least, (v[len(v)-1]-v[0])/centroid/math.Sqrt(12*float64(len(v))))
}

// brightness holds every note's centroid against what the take has at that
// pitch and level: a plane through the logarithms, by least squares, so that
// neither a high note nor a loud one counts as bright by itself.
func (l *listener) brightness(notes []Note) {
	var rows [][3]float64
	var y []float64
	for i := range notes {
		if n := &notes[i]; n.State == Played && n.Centroid > 0 {
			rows, y = append(rows, l.toneRow(n)), append(y, math.Log(n.Centroid))
		}
	}
	const least = 12 // notes: fewer give no plane
	if len(rows) < least {
		return
	}
	c, ok := plane(rows, y)
	if !ok {
		return
	}
	for i := range notes {
		if n := &notes[i]; n.State == Played && n.Centroid > 0 {
			r := l.toneRow(n)
			n.Brighter = 100 * (math.Exp(math.Log(n.Centroid)-c[0]*r[0]-c[1]*r[1]-c[2]*r[2]) - 1)
		}
	}
}

// toneRow is what a note's centroid may depend on: a constant, the pitch in
// octaves from B flat 3 and the level in tens of dB.
func (l *listener) toneRow(n *Note) [3]float64 {
	const middleNote = 58.0 // MIDI note number of B flat 3
	return [3]float64{1, (float64(l.written(n).Pitch.MIDI()) - middleNote) / 12, (n.LevelDB + 30) / 10}
}

// plane is the least-squares solution of rows·c = y with a touch of ridge, so
// that a take at one level, or on one pitch, has a plane too.
func plane(rows [][3]float64, y []float64) (c [3]float64, ok bool) {
	var a [3][4]float64
	for k, r := range rows {
		for i := range 3 {
			for j := range 3 {
				a[i][j] += r[i] * r[j]
			}
			a[i][3] += r[i] * y[k]
		}
	}
	const ridge = 1e-3 // of a note's weight
	for i := 1; i < 3; i++ {
		a[i][i] += ridge * float64(len(rows))
	}
	for i := range 3 {
		if math.Abs(a[i][i]) < 1e-12 {
			return c, false
		}
		for k := range 3 {
			if k == i {
				continue
			}
			f := a[k][i] / a[i][i]
			for j := i; j < 4; j++ {
				a[k][j] -= f * a[i][j]
			}
		}
	}
	return [3]float64{a[0][3] / a[0][0], a[1][3] / a[1][1], a[2][3] / a[2][2]}, true
}
