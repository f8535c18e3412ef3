package audio

// plainDot is the sum of the products of x and row, which are equally long.
func plainDot(x, row []float64) float64 {
	row = row[:len(x)]
	var a, b, c, d float64
	k := 0
	for ; k+4 <= len(x); k += 4 {
		s, r := x[k:k+4:k+4], row[k:k+4:k+4]
		a += s[0] * r[0]
		b += s[1] * r[1]
		c += s[2] * r[2]
		d += s[3] * r[3]
	}
	for ; k < len(x); k++ {
		a += x[k] * row[k]
	}
	return a + b + c + d
}

// plainFilter makes out[i] the sum of the products of row and x from i on; x
// has at least len(out)+len(row)-1 samples.
func plainFilter(out, x, row []float64) {
	for i := range out {
		out[i] = plainDot(x[i:i+len(row)], row)
	}
}
