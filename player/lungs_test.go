package player

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// TestNHANES holds the equations against worked values (reference: Hankinson,
// Odencrantz and Fedan, Am J Respir Crit Care Med 159, 1999; coefficients read in two
// independent public source files, values computed by hand from them).
func TestNHANES(t *testing.T) {
	for _, c := range []struct {
		age, height float64
		sex         Sex
		want        float64 // liters
	}{
		{25, 180, Male, 5.69}, {14, 165, Male, 3.94}, {25, 166, Female, 3.96}, {14, 160, Female, 3.41},
	} {
		l, err := Estimated(c.age, c.height, c.sex)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(l.Vital-c.want) > 0.01 {
			t.Errorf("%s, %g years, %g cm: %.3f L, want %.2f", c.sex, c.age, c.height, l.Vital, c.want)
		}
		if err := l.Check(); err != nil {
			t.Error(err)
		}
	}
}

// TestEstimatedRefuses what the equations do not hold for, and says what works.
func TestEstimatedRefuses(t *testing.T) {
	for _, c := range []struct {
		age, height float64
		sex         Sex
		want        string
	}{
		{7.9, 130, Male, "8 to 80"}, {81, 170, Female, "8 to 80"}, {30, 1.8, Male, "meters"}, {30, 250, Male, "100 to 220"},
		{30, 180, "", "female"}, {math.NaN(), 180, Male, "8 to 80"}, {30, math.NaN(), Male, "100 to 220"},
	} {
		if l, err := Estimated(c.age, c.height, c.sex); err == nil || !strings.Contains(err.Error(), c.want) || l.Vital != 0 {
			t.Errorf("%g, %g, %q: %v, %v, want an error with %q", c.age, c.height, c.sex, l, err, c.want)
		}
	}
	if _, err := Estimated(8, 128, Female); err != nil {
		t.Error(err)
	}
}

func TestMeasured(t *testing.T) {
	for _, c := range []struct {
		liters float64
		want   string // in the error, "" for none
	}{
		{4.5, ""}, {0.5, ""}, {12, ""}, {0.4, "0.5 to 12"}, {13, "0.5 to 12"}, {4500, "milliliters"}, {math.NaN(), "0.5 to 12"}, {-1, "0.5 to 12"},
	} {
		l, err := Measured(c.liters)
		switch {
		case c.want == "" && (err != nil || l.Vital != c.liters || l.Check() != nil):
			t.Errorf("%g L: %v, %v", c.liters, l, err)
		case c.want != "" && (err == nil || !strings.Contains(err.Error(), c.want)):
			t.Errorf("%g L: %v, want an error with %q", c.liters, err, c.want)
		}
	}
}

// TestSharesLieInThePublishedRange: a full breath starts and ends where eight
// professionals' breath groups did, 55 to 87 and 14 to 52 percent (reference: Fuks
// and Sundberg, Med Probl Perform Art 14, 1999).
func TestSharesLieInThePublishedRange(t *testing.T) {
	l := UsualLungs(DefaultLevel)
	if l.Full < 0.55 || l.Full > 0.87 || l.Comfortable < 0.14 || l.Comfortable > 0.52 || l.Reserve < 0.14 {
		t.Errorf("full %g, comfortable %g, reserve %g", l.Full, l.Comfortable, l.Reserve)
	}
}

func TestUsualLungsGrowWithTheLevel(t *testing.T) {
	for l := First; l < Professional; l++ {
		if a, b := UsualLungs(l), UsualLungs(l+1); a.Vital >= b.Vital || a.Check() != nil || a.Origin == "" {
			t.Errorf("%s %+v, next %+v", l, a, b)
		}
	}
	if UsualLungs(99).Vital != UsualLungs(DefaultLevel).Vital {
		t.Error("an unknown level is not taken for the default")
	}
}

func TestCheckNamesWhatIsWrong(t *testing.T) {
	for want, spoil := range map[string]func(*Lungs){
		"vital capacity": func(l *Lungs) { l.Vital = 0 },
		"must grow":      func(l *Lungs) { l.Comfortable = 0.1 },
		"catch breath":   func(l *Lungs) { l.CatchShare = 0.9 },
		"breaths of":     func(l *Lungs) { l.CatchSeconds = 1 },
		"flow factor":    func(l *Lungs) { l.Flow = []FlowFactor{{58, 0}} },
	} {
		l := UsualLungs(DefaultLevel)
		spoil(&l)
		if err := l.Check(); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v, want an error with %q", err, want)
		}
	}
}

// TestIntakeGrows without a jump from nothing to a full breath.
func TestIntakeGrows(t *testing.T) {
	l := UsualLungs(DefaultLevel)
	const step = 0.01
	for s := 0.0; s < 2; s += step {
		rise := l.Intake(s+step) - l.Intake(s)
		if most := l.Vital * step / (l.FullSeconds - l.CatchSeconds); rise < 0 || rise > 1.5*most {
			t.Fatalf("from %.2f to %.2f s the breath grows by %.3f L", s, s+step, rise)
		}
	}
	if l.Intake(0) != 0 || math.Abs(l.Intake(l.CatchSeconds)-l.CatchShare*l.Vital) > 1e-9 || math.Abs(l.Intake(9)-l.Usable()) > 1e-9 {
		t.Errorf("%g, %g, %g L", l.Intake(0), l.Intake(l.CatchSeconds), l.Intake(9))
	}
}

// flat is a model that takes 0.25 L/s everywhere.
func flat(int, float64) float64 { return 0.25 }

// TestTimed: the flow is usable air over time (closed form), between two tones in
// even ratio, beyond them as at the nearest; equal pitches are averaged by ratio.
func TestTimed(t *testing.T) {
	l, err := Measured(4)
	if err != nil {
		t.Fatal(err)
	}
	l, err = l.Timed([]LongTone{{46, 0.5, l.Usable() / 0.5}, {70, 0.5, l.Usable() / 0.125}}, flat)
	if err != nil {
		t.Fatal(err)
	}
	for midi, want := range map[int]float64{46: 2, 70: 0.5, 58: 1, 40: 2, 80: 0.5} {
		if got := l.FlowAt(midi); math.Abs(got-want) > 1e-9 {
			t.Errorf("MIDI %d: %g times the model, want %g", midi, got, want)
		}
	}
	l, err = l.Timed([]LongTone{{58, 0.5, l.Usable() / 0.5}, {58, 0.5, l.Usable() / 0.125}}, flat)
	if err != nil || math.Abs(l.FlowAt(58)-1) > 1e-9 {
		t.Errorf("%g, %v, want the mean ratio 1", l.FlowAt(58), err)
	}
}

func TestTimedRefuses(t *testing.T) {
	l := UsualLungs(DefaultLevel)
	for want, tones := range map[string][]LongTone{
		"no long tone": nil, "milliseconds": {{58, 0.5, 12000}}, "1 to 120": {{58, 0.5, 0}}, "B flat 3": {{200, 0.5, 12}}, "mezzo-forte": {{58, math.NaN(), 12}},
	} {
		if _, err := l.Timed(tones, flat); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v, want an error with %q", err, want)
		}
	}
}

// TestFlowLiesBetweenTheTones for any tones.
func TestFlowLiesBetweenTheTones(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var tones []LongTone
		for range rapid.IntRange(1, 6).Draw(t, "tones") {
			tones = append(tones, LongTone{rapid.IntRange(30, 80).Draw(t, "midi"), 0.5, rapid.Float64Range(1, 120).Draw(t, "seconds")})
		}
		l, err := UsualLungs(DefaultLevel).Timed(tones, flat)
		if err != nil {
			t.Fatal(err)
		}
		low, high := math.Inf(1), 0.0
		for _, f := range l.Flow {
			low, high = min(low, f.Factor), max(high, f.Factor)
		}
		if got := l.FlowAt(rapid.IntRange(20, 90).Draw(t, "at")); got < low*(1-1e-12) || got > high*(1+1e-12) {
			t.Fatalf("%g outside %g to %g", got, low, high)
		}
	})
}
