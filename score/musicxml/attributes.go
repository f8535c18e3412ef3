package musicxml

import (
	"slices"
	"strconv"
	"strings"

	"waterkey/score"
)

// firstStaff says whether something that names a staff is on the staff read,
// the first. Without a number it is for all staves.
func firstStaff(number string) bool { return number == "" || number == "1" }

// attributes reads divisions, key, time, clef, transposition and bar styles
// at the cursor.
func (r *reader) attributes(el *element) {
	for _, c := range el.children {
		if !firstStaff(c.attr("number")) {
			continue
		}
		switch c.name {
		case "divisions":
			r.setDivisions(c)
		case "key":
			r.setKey(c)
		case "time":
			r.setMeter(c)
		case "clef":
			r.setClef(c)
		case "transpose":
			r.setTransposition(c)
		case "for-part":
			r.passOnce(c, "the transposition for a separately printed part was left out; the page is in concert pitch")
		case "directive":
			r.directive(c)
		case "measure-style":
			r.barStyle(c)
		}
	}
}

func (r *reader) setDivisions(el *element) {
	num, den, ok := decimal(el.value())
	if !ok || num <= 0 || num > maxDivisions*den {
		r.fail(el, "divisions %q is not a number above 0 and up to %d; 480 works for most music", el.value(), maxDivisions)
	}
	r.unit, r.unitKnown = score.Frac(den, 4*num), true
}

// setKey reads a key signature. One that only repeats what is in force (at a
// new line) is no mark of its own.
func (r *reader) setKey(el *element) {
	key := score.Key{Fifths: r.integer(el.child("fifths"), -maxFifths, maxFifths, 0), Mode: strings.Clone(el.child("mode").value())}
	if key.Mode == "none" {
		key.Mode = ""
	}
	if !el.has("fifths") {
		key.Other = r.alteredNotes(el)
	}
	if r.keyKnown && key.Fifths == r.key.Fifths && key.Mode == r.key.Mode && slices.Equal(key.Other, r.key.Other) {
		return
	}
	r.key, r.keyKnown = key, true
	if r.at.Sign() == 0 {
		r.thisBar().Key = key
	}
	if el.attr("print-object") != "no" {
		r.out.Keys = append(r.out.Keys, score.KeyMark{At: r.now(), Bar: r.bar, Key: key})
	}
}

// alteredNotes reads a non-traditional signature: key-step and key-alter by
// turns.
func (r *reader) alteredNotes(el *element) []string {
	out := []string{}
	altered := true
	for _, c := range el.children {
		switch c.name {
		case "key-step":
			r.checkStep(c)
			out = append(out, c.value())
			if len(out) > maxKeySigns {
				r.fail(c, "the key signature has more than %d signs", maxKeySigns)
			}
			altered = false
		case "key-alter":
			p := r.alteration(c)
			if p.Cents != 0 {
				r.pass(c, "a microtone in the key signature was read as the nearer whole alteration")
			}
			if !altered {
				altered = true
				out[len(out)-1] += strings.Repeat("#", max(p.Alter, 0)) + strings.Repeat("b", max(-p.Alter, 0))
			}
		}
	}
	return out
}

// setMeter reads a time signature; a repetition of the one in force is no mark.
func (r *reader) setMeter(el *element) {
	m := r.readMeter(el)
	if el.has("interchangeable") {
		r.pass(el, "the second of two interchangeable time signatures was left out")
	}
	if r.timeKnown && sameMeter(m, r.meter) {
		return
	}
	r.meter, r.timeKnown = m, true
	if r.at.Sign() == 0 {
		r.thisBar().Meter = m
	}
	if el.attr("print-object") != "no" {
		r.out.Meters = append(r.out.Meters, score.MeterMark{At: r.now(), Bar: r.bar, Meter: m})
	}
}

func sameMeter(a, b score.Meter) bool {
	return a.Beats == b.Beats && a.Unit == b.Unit && a.Symbol == b.Symbol && slices.Equal(a.Groups, b.Groups)
}

// readMeter sums the fractions of a time signature over their common unit:
// 3/8+2/8+3/4 becomes 3+2+6 eighths.
func (r *reader) readMeter(el *element) score.Meter {
	var groups, units []int
	var pending []int
	for _, c := range el.children {
		switch c.name {
		case "beats":
			for _, s := range strings.Split(c.value(), "+") {
				if pending = append(pending, r.meterNumber(c, s)); len(pending)+len(groups) > maxGroups {
					r.fail(c, "the time signature has more than %d groups of beats", maxGroups)
				}
			}
		case "beat-type":
			u := r.meterNumber(c, c.value())
			for _, g := range pending {
				groups, units = append(groups, g), append(units, u)
			}
			pending = nil
		}
	}
	m := score.Meter{}
	for _, u := range units {
		m.Unit = lcm(max(m.Unit, 1), u)
		if m.Unit > maxMeterNumber {
			r.fail(el, "the time signature has no common unit up to %d", maxMeterNumber)
		}
	}
	for i := range groups {
		groups[i] *= m.Unit / units[i]
		m.Beats += groups[i]
	}
	if len(groups) > 1 {
		m.Groups = groups
	}
	m.Symbol = r.meterSymbol(el, m)
	return m
}

func (r *reader) meterNumber(el *element, s string) int {
	n, err := strconv.Atoi(strings.TrimSpace(s))
	if err != nil || n < 1 || n > maxMeterNumber {
		r.fail(el, "%s %q is not a whole number from 1 to %d", el.name, el.value(), maxMeterNumber)
	}
	return n
}

// meterSymbol keeps a cut or common sign that agrees with the numbers.
func (r *reader) meterSymbol(el *element, m score.Meter) string {
	symbol := el.attr("symbol")
	halves := m.Unit > 0 && 2*m.Beats%m.Unit == 0 && m.Beats >= m.Unit && m.Groups == nil
	switch {
	case symbol == "cut" && halves, symbol == "common" && m.Beats == 4 && m.Unit == 4:
		return symbol
	case symbol == "cut", symbol == "common":
		r.pass(el, "the %s time sign contradicts %s and was left out", symbol, m)
	}
	return ""
}

func lcm(a, b int) int {
	x, y := a, b
	for y != 0 {
		x, y = y, x%y
	}
	return a / x * b
}

// clefLines are the lines that clefs stand on when the page does not say
// (W3C MusicXML 4.0, clef).
var clefLines = map[string]int{"G": 2, "F": 4, "C": 3}

func (r *reader) setClef(el *element) {
	sign := strings.Clone(el.child("sign").value())
	clef := score.Clef{Sign: sign, Line: r.integer(el.child("line"), -99, 99, clefLines[sign]),
		Octave: r.integer(el.child("clef-octave-change"), -maxOctave, maxOctave, 0)}
	if clef == r.clef {
		return
	}
	r.clef = clef
	if el.attr("print-object") != "no" {
		r.out.Clefs = append(r.out.Clefs, score.ClefMark{At: r.now(), Bar: r.bar, Clef: clef})
	}
}

// barStyle reads a multi-measure rest; signs that only abbreviate are passed
// over.
func (r *reader) barStyle(el *element) {
	for _, c := range el.children {
		switch c.name {
		case "multiple-rest":
			r.thisBar().RestBars = r.integer(c, 1, maxRestBars, 0)
		case "measure-repeat":
			r.copying = c.attr("type") != "stop"
			r.passOnce(c, "%s signs were left out; the notes of the file were read", c.name)
		case "beat-repeat", "slash":
			r.passOnce(c, "%s signs were left out; the notes of the file were read", c.name)
		}
	}
}

// sayCopy says where a sign repeats bars before that the file does not write out.
func (r *reader) sayCopy(m measure, read []*written) {
	if r.copying && !slices.ContainsFunc(read, func(w *written) bool { return !w.rest }) {
		r.skip.Add(r.bar, m.line, "a sign repeats here what stands before, but the file holds no notes to read")
	}
}

// directive reads text that stands among the attributes, such as a tempo word at
// the start.
func (r *reader) directive(el *element) {
	r.spendWords(el, len(el.text))
	d := directionText{at: r.now(), words: score.Plain(el.text)}
	r.navigate(&d)
	if !r.readTempo(&d) {
		r.addWords(d.at, d.words)
	}
}
