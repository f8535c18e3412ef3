package pitch

import "math"

const (
	// taps is the reach of the interpolation of the difference function.
	taps = 8

	// phases is the number of places between two lags where it is known.
	phases = 32

	// tapShape is Kaiser's β of the interpolation (measured: the least error on
	// the closed-form tones).
	tapShape = 8.5

	// steadyLag is about how far back a period is measured: over several
	// periods of a high tone, which divides the error of one dip (10 ms;
	// estimate: little against a vibrato's cycle).
	steadyLag = 80

	// spread is the share of a window's samples that are independent: the
	// sound fills 3.2 kHz of 4.
	spread = 0.8
)

// between[m] interpolates m/phases after a lag, from the taps-1 lags before it
// to the taps after it.
var between = func() (rows [phases][2 * taps]float64) {
	for m := range rows {
		sum := 0.0
		for k := range rows[m] {
			u := float64(m)/phases - float64(k-taps+1)
			if math.Abs(u) < taps {
				rows[m][k] = sinc(u) * kaiser(u/taps, tapShape)
			}
			sum += rows[m][k]
		}
		for k := range rows[m] {
			rows[m][k] /= sum
		}
	}
	return rows
}()

// dip is a minimum of the difference function.
type dip struct {
	lag   float64
	depth float64 // not below 0
	bend  float64 // second derivative there
}

// at interpolates the difference function at q/phases.
func (r *register) at(q int) float64 {
	row := &between[q%phases]
	v := r.diff[q/phases-taps+1-r.lag0:][:2*taps]
	s0, s1 := 0.0, 0.0
	for k := 0; k < 2*taps; k += 2 {
		s0 += row[k] * v[k]
		s1 += row[k+1] * v[k+1]
	}
	return s0 + s1
}

// dip finds the dip near a whole lag, at most one lag away.
func (r *register) dip(lag int) dip {
	d := r.diff[lag-1-r.lag0:][:3]
	q := lag*phases + int(math.Round(phases*vertex(d[0], d[1], d[2])))
	l, m, h := r.at(q-1), r.at(q), r.at(q+1)
	for l < m && q > (lag-1)*phases+1 {
		q--
		l, m, h = r.at(q-1), l, m
	}
	for h < m && q < (lag+1)*phases-1 {
		q++
		l, m, h = m, h, r.at(q+1)
	}
	shift := vertex(l, m, h)
	return dip{
		lag:   (float64(q) + shift) / phases,
		depth: max(0, m-(l-h)*shift/4),
		bend:  (l - 2*m + h) * phases * phases,
	}
}

// vertex is where the parabola through three points, one apart, has its
// minimum, relative to the middle one and at most one away.
func vertex(l, m, r float64) float64 {
	bend := l - 2*m + r
	if bend <= 0 {
		return 0
	}
	return max(-1, min((l-r)/(2*bend), 1))
}

// candidate measures the period of a dip over as many periods as steadyLag
// holds.
func (r *register) candidate(p dip, weight float64) candidate {
	periods := 1.0
	for n := math.Floor(steadyLag / p.lag); n > 1; n-- {
		k := int(math.Round(n*p.lag)) - r.lag0
		if d := r.diff; d[k] <= d[k-1] && d[k] <= d[k+1] {
			p, periods = r.dip(k+r.lag0), n
			break
		}
	}
	sd := math.Sqrt(2 * p.depth / (spread * r.counts * max(p.bend, 1e-300)))
	return candidate{
		hz:     innerRate * periods / p.lag,
		weight: weight,
		sd:     1200 / math.Ln2 * min(sd/p.lag, 1),
		late:   ((float64(r.window())+p.lag)/2 - float64(r.back*block)) / innerRate,
	}
}
