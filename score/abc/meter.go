package abc

import (
	"slices"
	"strconv"
	"strings"

	"waterkey/score"
)

// meterField reads an M: field (3.1.6): C, C|, none, 6/8, 2+3/8 or (2+3)/8. One
// that only repeats what is in force is no mark of its own.
func (r *reader) meterField(value string) {
	m := r.parseMeter(value)
	same := m.Beats == r.meter.Beats && m.Unit == r.meter.Unit && m.Symbol == r.meter.Symbol && slices.Equal(m.Groups, r.meter.Groups)
	if same {
		return
	}
	r.meter = m
	at := r.now()
	if n := len(r.out.Meters); n > 0 && r.out.Meters[n-1].At == at {
		r.out.Meters = r.out.Meters[:n-1]
	}
	if m.Unit > 0 || len(r.out.Meters) > 0 {
		r.out.Meters = append(r.out.Meters, score.MeterMark{At: at, Meter: m})
	}
	if r.bars.open && r.bars.at.Sign() == 0 {
		r.thisBar().Meter = m
	}
}

func (r *reader) parseMeter(value string) score.Meter {
	name, _, _ := strings.Cut(value, " ")
	switch name {
	case "C":
		return score.Meter{Beats: 4, Unit: 4, Symbol: "common"}
	case "C|":
		return score.Meter{Beats: 2, Unit: 2, Symbol: "cut"}
	case "none", "":
		return score.Meter{}
	}
	upper, lower, ok := strings.Cut(strings.ReplaceAll(value, " ", ""), "/")
	m := score.Meter{}
	var groups []int
	m.Unit = meterNumber(lower)
	for _, s := range strings.Split(strings.Trim(upper, "()"), "+") {
		n := meterNumber(s)
		ok = ok && n > 0
		groups = append(groups, n)
		m.Beats += n
	}
	if !ok || m.Unit == 0 || m.Beats > maxMeter {
		r.fail("the meter %q is not one such as 3/4, 2+3/8, C, C| or none, with numbers from 1 to %d", cut(value), maxMeter)
	}
	if len(groups) > 1 {
		m.Groups = groups
	}
	return m
}

// meterNumber is 0 for what is no number within bounds.
func meterNumber(s string) int {
	n, err := strconv.Atoi(s)
	if err != nil || n < 1 || n > maxMeter {
		return 0
	}
	return n
}

// unitField reads an L: field (3.1.7).
func (r *reader) unitField(value string) {
	upper, lower, ok := strings.Cut(strings.ReplaceAll(value, " ", ""), "/")
	num, den := meterNumber(upper), 1
	if ok {
		den = meterNumber(lower)
	}
	if num == 0 || den == 0 || den > maxUnit || num > maxUnit {
		r.fail("the unit note length %q is not a fraction such as 1/8, with numbers from 1 to %d", cut(value), maxUnit)
	}
	r.unit, r.unitSet = score.Frac(int64(num), int64(den)), true
}

// shortUnitBelow is the meter, in whole notes, below which a sixteenth is the
// default unit note length instead of an eighth (3.1.7).
const shortUnitBelow = 0.75

// defaultUnit sets the unit note length that the header leaves open. A later
// change of meter does not change it.
func (r *reader) defaultUnit() {
	if r.unitSet {
		return
	}
	r.unit = score.Frac(1, 8)
	if r.meter.Unit > 0 && r.meter.Length().Float() < shortUnitBelow {
		r.unit = score.Frac(1, 16)
	}
}
