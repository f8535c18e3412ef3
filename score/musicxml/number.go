package musicxml

import (
	"strconv"
	"strings"
)

// Digits that a decimal may have before and after its point; enough for every
// division in use, and few enough to keep the fraction exact.
const (
	maxWholeDigits    = 12
	maxFractionDigits = 6
)

// decimal reads "12", "-1.5" or ".5" as an exact fraction.
func decimal(s string) (num, den int64, ok bool) {
	digits, negative := strings.CutPrefix(s, "-")
	if !negative {
		digits = strings.TrimPrefix(digits, "+")
	}
	whole, fraction, _ := strings.Cut(digits, ".")
	fraction = strings.TrimRight(fraction, "0")
	if whole+fraction == "" && !strings.Contains(digits, "0") ||
		len(whole) > maxWholeDigits || len(fraction) > maxFractionDigits {
		return 0, 1, false
	}
	n, err := strconv.ParseUint("0"+whole+fraction, 10, 63)
	if err != nil {
		return 0, 1, false
	}
	num, den = int64(n), 1
	for range fraction {
		den *= 10
	}
	if negative {
		num = -num
	}
	return num, den, true
}

// integer reads a whole number in a range; el may be nil, which gives none.
func (r *reader) integer(el *element, low, high, none int) int {
	if el == nil {
		return none
	}
	n, err := strconv.Atoi(el.value())
	if err != nil || n < low || n > high {
		r.fail(el, "%s %q is not a whole number from %d to %d", el.name, el.value(), low, high)
	}
	return n
}
