package score

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"math/bits"
	"strconv"
	"strings"
)

// Time is an exact moment or length on the page, in whole notes. The zero
// value is 0. Times are comparable with == and usable as map keys: a value has
// one representation only.
type Time struct {
	num  int64
	den1 int64 // denominator less one, so that the zero value is 0/1
}

// ErrTooFine is the value that arithmetic on Time panics with when an exact
// result, or a step on the way to it, does not fit into 64-bit numerator and
// denominator. Sums of ordinary
// note values never come near it; a reader of untrusted files recovers it and
// reports the place.
var ErrTooFine = errors.New("note values too fine to add exactly")

// Frac returns num/den whole notes. It panics if den is 0, and with
// [ErrTooFine] on the one integer that has no opposite, -2^63.
func Frac(num, den int64) Time {
	if den == 0 {
		panic("score: Frac with denominator 0")
	}
	if num == math.MinInt64 || den == math.MinInt64 {
		panic(ErrTooFine)
	}
	if den < 0 {
		num, den = -num, -den
	}
	if g := gcd(abs(num), den); g > 1 {
		num, den = num/g, den/g
	}
	return Time{num, den - 1}
}

// Num and Den return the reduced numerator and the denominator (at least 1).
func (t Time) Num() int64 { return t.num }

// Den is the reduced denominator, at least 1.
func (t Time) Den() int64 { return t.den1 + 1 }

// Add returns t+u. It panics with [ErrTooFine] on overflow.
func (t Time) Add(u Time) Time {
	if t.den1 == u.den1 {
		return Frac(addInt(t.num, u.num), t.Den())
	}
	g := gcd(t.Den(), u.Den())
	den := mulInt(t.Den()/g, u.Den())
	return Frac(addInt(mulInt(t.num, u.Den()/g), mulInt(u.num, t.Den()/g)), den)
}

// Sub returns t-u. It panics with [ErrTooFine] on overflow.
func (t Time) Sub(u Time) Time { return t.Add(Time{-u.num, u.den1}) }

// Scale returns t*num/den. It panics with [ErrTooFine] on overflow and if den
// is 0.
func (t Time) Scale(num, den int64) Time {
	f := Frac(num, den)
	a, b := Frac(t.num, f.Den()), Frac(f.num, t.Den())
	return Frac(mulInt(a.num, b.num), mulInt(a.Den(), b.Den()))
}

// Over returns the ratio t/u as a number; u must not be 0.
func (t Time) Over(u Time) float64 { return t.Float() / u.Float() }

// Cmp is -1, 0 or +1 as t is before, at or after u.
func (t Time) Cmp(u Time) int {
	if t.den1 == u.den1 {
		return cmp.Compare(t.num, u.num)
	}
	tn, un := t.num < 0, u.num < 0
	if tn != un {
		if tn {
			return -1
		}
		return 1
	}
	// Cross products in 128 bits: exact for every pair of values.
	h1, l1 := bits.Mul64(uint64(abs(t.num)), uint64(u.Den()))
	h2, l2 := bits.Mul64(uint64(abs(u.num)), uint64(t.Den()))
	c := cmp.Compare(h1, h2)
	if c == 0 {
		c = cmp.Compare(l1, l2)
	}
	if tn {
		c = -c
	}
	return c
}

// Less says whether t is before u.
func (t Time) Less(u Time) bool { return t.Cmp(u) < 0 }

// Sign is -1, 0 or +1.
func (t Time) Sign() int { return cmp.Compare(t.num, 0) }

// Float returns the nearest float64, in whole notes.
func (t Time) Float() float64 { return float64(t.num) / float64(t.Den()) }

// String writes the fraction as "0", "1" or "3/8".
func (t Time) String() string {
	if t.den1 == 0 {
		return strconv.FormatInt(t.num, 10)
	}
	return fmt.Sprintf("%d/%d", t.num, t.Den())
}

// ParseTime reads what String writes.
func ParseTime(s string) (Time, error) {
	ns, ds, frac := strings.Cut(s, "/")
	n, err := strconv.ParseInt(ns, 10, 64)
	d := int64(1)
	if err == nil && frac {
		d, err = strconv.ParseInt(ds, 10, 64)
	}
	if err != nil || d <= 0 || n == math.MinInt64 {
		return Time{}, fmt.Errorf("time %q is not a fraction of a whole note such as 3/8", s)
	}
	return Frac(n, d), nil
}

// MarshalText makes a Time a JSON string.
func (t Time) MarshalText() ([]byte, error) { return []byte(t.String()), nil }

// UnmarshalText reads what MarshalText writes.
func (t *Time) UnmarshalText(b []byte) error {
	u, err := ParseTime(string(b))
	if err == nil {
		*t = u
	}
	return err
}

func gcd(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

func abs(a int64) int64 {
	if a < 0 {
		return -a
	}
	return a
}

func addInt(a, b int64) int64 {
	s := a + b
	if (s > a) != (b > 0) && b != 0 {
		panic(ErrTooFine)
	}
	return s
}

func mulInt(a, b int64) int64 {
	if a == 0 || b == 0 {
		return 0
	}
	hi, lo := bits.Mul64(uint64(abs(a)), uint64(abs(b)))
	if hi != 0 || lo > 1<<62 {
		panic(ErrTooFine)
	}
	if (a < 0) != (b < 0) {
		return -int64(lo)
	}
	return int64(lo)
}
