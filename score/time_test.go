package score

import (
	"errors"
	"math"
	"math/big"
	"testing"

	"pgregory.net/rapid"
)

// ordinary draws times as music has them: they must never be too fine.
func ordinary(label string) *rapid.Generator[Time] {
	return rapid.Custom(func(t *rapid.T) Time {
		return Frac(rapid.Int64Range(-1<<20, 1<<20).Draw(t, label+" num"), rapid.Int64Range(1, 1<<10).Draw(t, label+" den"))
	})
}

// anyTime draws over the whole range of the type.
func anyTime(label string) *rapid.Generator[Time] {
	return rapid.Custom(func(t *rapid.T) Time {
		return Frac(rapid.Int64Range(-math.MaxInt64, math.MaxInt64).Draw(t, label+" num"),
			rapid.Int64Range(1, math.MaxInt64).Draw(t, label+" den"))
	})
}

func rat(t Time) *big.Rat { return big.NewRat(t.Num(), t.Den()) }

// exactly runs op and says whether it panicked with ErrTooFine.
func exactly(op func() Time) (got Time, tooFine bool) {
	defer func() {
		if r := recover(); r != nil {
			if err, ok := r.(error); !ok || !errors.Is(err, ErrTooFine) {
				panic(r)
			}
			tooFine = true
		}
	}()
	return op(), false
}

// TestTimeArithmetic compares with the standard library's math/big.
func TestTimeArithmetic(t *testing.T) {
	check := func(t *rapid.T, gen func(string) *rapid.Generator[Time], mayPanic bool) {
		a, b := gen("a").Draw(t, "a"), gen("b").Draw(t, "b")
		f := gen("f").Draw(t, "f")
		for name, c := range map[string]struct {
			op   func() Time
			want *big.Rat
		}{
			"add":   {func() Time { return a.Add(b) }, new(big.Rat).Add(rat(a), rat(b))},
			"sub":   {func() Time { return a.Sub(b) }, new(big.Rat).Sub(rat(a), rat(b))},
			"scale": {func() Time { return a.Scale(f.Num(), f.Den()) }, new(big.Rat).Mul(rat(a), rat(f))},
		} {
			got, tooFine := exactly(c.op)
			if tooFine && !mayPanic {
				t.Fatalf("%s of %v, %v, %v is too fine", name, a, b, f)
			}
			if !tooFine && rat(got).Cmp(c.want) != 0 {
				t.Fatalf("%s of %v, %v, %v = %v, want %v", name, a, b, f, got, c.want)
			}
		}
		if got, want := a.Cmp(b), rat(a).Cmp(rat(b)); got != want || a.Less(b) != (want < 0) {
			t.Fatalf("Cmp(%v, %v) = %d, want %d", a, b, got, want)
		}
	}
	t.Run("ordinary", rapid.MakeCheck(func(t *rapid.T) { check(t, ordinary, false) }))
	t.Run("any", rapid.MakeCheck(func(t *rapid.T) { check(t, anyTime, true) }))
}

func TestTimeOneRepresentation(t *testing.T) {
	if (Time{}) != Frac(0, 7) || Frac(0, -3) != (Time{}) {
		t.Error("zeros differ")
	}
	rapid.Check(t, func(t *rapid.T) {
		a := ordinary("a").Draw(t, "a")
		k := rapid.Int64Range(1, 1000).Draw(t, "k")
		for _, b := range []Time{Frac(a.Num()*k, a.Den()*k), Frac(-a.Num(), -a.Den()), a.Add(Frac(k, 7)).Sub(Frac(k, 7))} {
			if a != b {
				t.Fatalf("%#v != %#v", a, b)
			}
		}
		if got, _ := rat(a).Float64(); got != a.Float() {
			t.Fatalf("Float of %v = %v, want %v", a, a.Float(), got)
		}
		if a.Sign() != rat(a).Sign() {
			t.Fatalf("Sign of %v = %d", a, a.Sign())
		}
	})
}

func TestTimeText(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := anyTime("a").Draw(t, "a")
		text, _ := a.MarshalText()
		var b Time
		if err := b.UnmarshalText(text); err != nil || a != b {
			t.Fatalf("%v read back as %v, %v", a, b, err)
		}
	})
	for text, want := range map[string]Time{"0": {}, "1": Frac(1, 1), "6/16": Frac(3, 8), "-1/2": Frac(-1, 2)} {
		if got, err := ParseTime(text); err != nil || got != want {
			t.Errorf("ParseTime(%q) = %v, %v", text, got, err)
		}
	}
	for _, text := range []string{"", "x", "1/0", "1/-2", "1/", "/4", "0.5", "1/2/3", "-9223372036854775808/6", "9223372036854775808"} {
		if got, err := ParseTime(text); err == nil {
			t.Errorf("ParseTime(%q) = %v, want an error", text, got)
		}
	}
}

func TestTimeTooFine(t *testing.T) {
	const far = math.MaxInt64
	for name, op := range map[string]func() Time{
		"sum":               func() Time { return Frac(far, 1).Add(Frac(1, 1)) },
		"difference":        func() Time { return Frac(-far, 1).Sub(Frac(2, 1)) },
		"two large primes":  func() Time { return Frac(1, 4294967291).Add(Frac(1, 4294967279)) },
		"product":           func() Time { return Frac(far, 1).Scale(2, 1) },
		"fraction":          func() Time { return Frac(1, far).Scale(1, 2) },
		"no opposite":       func() Time { return Frac(math.MinInt64, 6) },
		"denominator -2^63": func() Time { return Frac(1, math.MinInt64) },
	} {
		if got, tooFine := exactly(op); !tooFine {
			t.Errorf("%s = %v, want ErrTooFine", name, got)
		}
	}
}
