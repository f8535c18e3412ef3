//go:build !amd64

package audio

func dot(x, row []float64) float64 { return plainDot(x, row) }

func filter(out, x, row []float64) { plainFilter(out, x, row) }

func kPower(k *kPair, a, b []float64) (sumA, sumB float64) {
	return k.plainPower(0, a), k.plainPower(1, b)
}
