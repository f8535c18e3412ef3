package trombone

import "math"

// Reading a recording between its samples: a sinc under a Blackman window,
// tabulated.
const (
	taps   = 16  // samples that one reading looks at
	phases = 512 // places between two samples; mixed linearly in between
)

var sincTable = newSincTable()

func newSincTable() *[phases + 1][taps]float32 {
	var t [phases + 1][taps]float32
	for p := range t {
		sum := 0.0
		var row [taps]float64
		for k := range row {
			d := float64(k-taps/2+1) - float64(p)/phases
			u := math.Pi * d / (taps / 2)
			if math.Abs(d) < taps/2 {
				row[k] = sinc(d) * (0.42 + 0.5*math.Cos(u) + 0.08*math.Cos(2*u))
			}
			sum += row[k]
		}
		for k := range row {
			t[p][k] = float32(row[k] / sum)
		}
	}
	return &t
}

func sinc(x float64) float64 {
	if math.Abs(x) < 1e-9 {
		return 1
	}
	return math.Sin(math.Pi*x) / (math.Pi * x)
}

// at reads x at a place in samples; beyond its ends lies silence.
func at(x []float32, place float64) float64 {
	i := int(math.Floor(place))
	from := i - taps/2 + 1
	if from < 0 || from+taps > len(x) {
		return 0
	}
	u := (place - float64(i)) * phases
	p := int(u)
	mix := float32(u - float64(p))
	a, b, s := &sincTable[p], &sincTable[min(p+1, phases)], x[from:from+taps]
	var sum float32
	for k, v := range s {
		sum += v * (a[k] + mix*(b[k]-a[k]))
	}
	return float64(sum)
}
