package audio

import "math"

// sincCut is the sinc filter with its cutoff at a share of the Nyquist
// frequency, d samples from its middle.
func sincCut(share, d float64) float64 {
	x := share * d
	if math.Abs(x) < 1e-9 {
		return share
	}
	return share * math.Sin(math.Pi*x) / (math.Pi * x)
}

// kaiser returns the window as a function of u, -1 to +1 from end to end; 0
// outside (J. F. Kaiser and R. W. Schafer, "On the use of the I0-sinh window
// for spectrum analysis", IEEE Trans. ASSP 28, 1980).
func kaiser(beta float64) func(u float64) float64 {
	top := bessel0(beta)
	return func(u float64) float64 {
		if math.Abs(u) > 1 {
			return 0
		}
		return bessel0(beta*math.Sqrt(1-u*u)) / top
	}
}

// bessel0 is the modified Bessel function of the first kind, order 0, by its
// power series.
func bessel0(x float64) float64 {
	sum, term := 1.0, 1.0
	for k := 1.0; term > 1e-16*sum; k++ {
		term *= (x / 2 / k) * (x / 2 / k)
		sum += term
	}
	return sum
}

// normalize scales a filter so that a constant stays what it is.
func normalize(row []float64) {
	sum := 0.0
	for _, v := range row {
		sum += v
	}
	for k := range row {
		row[k] /= sum
	}
}
