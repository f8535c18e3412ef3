package musicxml

import (
	"regexp"
	"strings"
	"unicode"

	"waterkey/score"
)

// directionText is one direction's words and signs, gathered.
type directionText struct {
	at        score.Time // where it holds
	shown     score.Time // where it stands on the page
	words     string
	nav       navigation
	metronome *element
	sound     *element
}

// direction reads a direction at the cursor, or at the moment of the chord it
// stands in. An offset moves what it says only when it is marked so; otherwise
// it moves the picture, which counts for the extent of hairpins (W3C MusicXML
// 4.0, offset).
func (r *reader) direction(el *element, inChord bool) {
	if staff := el.child("staff").value(); !firstStaff(staff) {
		r.passOnce(el, "the directions on staff %s were left out", staff)
		return
	}
	d := directionText{at: r.now(), sound: el.child("sound")}
	if inChord && r.last != nil {
		d.at = r.last.onset
	}
	d.shown = d.at
	if o := el.child("offset"); o != nil {
		d.shown = r.offset(d.at, o)
		if o.attr("sound") == "yes" {
			d.at = d.shown
		}
	}
	d.words = r.directionWords(el)
	for _, kind := range el.all("direction-type") {
		for _, c := range kind.children {
			r.directionType(c, &d)
		}
	}
	r.mute(&d)
	r.navigate(&d)
	before := len(r.out.Words)
	if !r.readTempo(&d) {
		r.addWords(d.at, d.words)
	}
	if forSystem(el, d.words) {
		r.forAll = append(r.forAll, r.out.Words[before:]...)
	}
}

// offset moves a moment by an <offset>, to the start of the part at most.
func (r *reader) offset(at score.Time, el *element) score.Time {
	at = at.Add(r.signedDivisions(el))
	if at.Sign() < 0 {
		return score.Time{}
	}
	return at
}

// directionWords are all words of a direction. Those of one direction type are
// joined as they stand: programs split them where the lettering changes.
func (r *reader) directionWords(el *element) string {
	var own, other strings.Builder
	for _, kind := range el.all("direction-type") {
		for _, c := range kind.children {
			switch c.name {
			case "words":
				own.WriteString(c.text)
			case "other-direction":
				other.WriteString(" " + c.text)
			}
		}
		own.WriteByte(' ')
	}
	r.spendWords(el, own.Len()+other.Len())
	return score.Plain(own.String() + other.String())
}

// spendWords ends the walk where a part holds more words than are read.
func (r *reader) spendWords(el *element, bytes int) {
	if r.wordBytes += bytes; r.wordBytes > maxWordBytes {
		r.fail(el, "the part holds more than the %d bytes of words that are read", maxWordBytes)
	}
}

func (r *reader) directionType(el *element, d *directionText) {
	switch el.name {
	case "words", "other-direction":
	case "rehearsal":
		r.spendWords(el, len(el.text))
		r.addWords(d.at, "["+score.Plain(el.text)+"]")
		r.forAll = append(r.forAll, score.Words{At: d.at, Bar: r.bar, Text: "[" + score.Plain(el.text) + "]"})
	case "segno":
		d.nav.segno = true
	case "coda":
		d.nav.coda = true
	case "dynamics":
		r.dynamics(el, d.at)
	case "wedge":
		r.wedge(el, d.shown)
	case "dashes":
		r.dashes(el, d.shown, d.words)
	case "metronome":
		d.metronome = el
	case "string-mute":
		r.mutes = append(r.mutes, muteChange{d.at, el.attr("type") != "off"})
	case "octave-shift":
		r.passOnce(el, "octave lines were left out; the notes stand where they sound")
	default:
		r.passOnce(el, "%s directions were left out", el.name)
	}
}

// brackets are what remains of a text when the number it enclosed is taken
// out.
var brackets = regexp.MustCompile(`[(\[]\s*[)\]]|[(\[]\s*$|^\s*[)\]]`)

// printable drops the private characters that music fonts use for signs.
func printable(c rune) rune {
	if unicode.Is(unicode.Co, c) || unicode.IsControl(c) && !unicode.IsSpace(c) {
		return -1
	}
	return c
}

// addWords lists a text that says something.
func (r *reader) addWords(at score.Time, text string) {
	text = score.Plain(strings.Map(printable, brackets.ReplaceAllString(text, "")))
	if strings.Trim(text, "[]() ") == "" {
		return
	}
	r.out.Words = append(r.out.Words, score.Words{At: at, Bar: r.bar, Text: text})
}

// The words that lead through a part, at the start of a direction.
var (
	daCapo   = regexp.MustCompile(`(?i)^(d\.\s*c\.|dc\b|da capo\b)`)
	dalSegno = regexp.MustCompile(`(?i)^(d\.\s*s\.|ds\b|dal segno\b)`)
	toCoda   = regexp.MustCompile(`(?i)^to coda\b`)
	toSign   = regexp.MustCompile(`(?i)^to$`)
	fine     = regexp.MustCompile(`(?i)^fine\.?$`)
	codaWord = regexp.MustCompile(`(?i)^coda\.?$`)
)

// navigate puts segno, coda and jumps on the bar, from the words, the signs
// and the playback attributes.
func (r *reader) navigate(d *directionText) {
	n := d.nav
	byWords := navigation{
		daCapo: daCapo.MatchString(d.words), dalSegno: dalSegno.MatchString(d.words),
		toCoda: toCoda.MatchString(d.words) || n.coda && toSign.MatchString(d.words),
		fine:   fine.MatchString(d.words), coda: codaWord.MatchString(d.words),
	}
	if byWords.any() {
		d.words = ""
	}
	r.goBy(n, byWords, soundNavigation(d.sound))
}

// goBy joins what sign, words and playback say. The sign of the coda beside
// "To Coda" is part of the jump.
func (r *reader) goBy(sign, words, sound navigation) {
	if words.toCoda || sound.toCoda {
		sign.coda = false
	}
	for _, n := range []navigation{sign, words, sound} {
		n.put(r.thisBar())
	}
}

func soundNavigation(sound *element) navigation {
	yes := func(name string) bool { v := sound.attr(name); return v != "" && v != "no" }
	return navigation{segno: yes("segno"), coda: yes("coda"), fine: yes("fine"),
		toCoda: yes("tocoda"), daCapo: yes("dacapo"), dalSegno: yes("dalsegno"), repeatStart: yes("forward-repeat")}
}

// sound reads a <sound> that stands in the bar by itself.
func (r *reader) sound(el *element, at score.Time) {
	if o := el.child("offset"); o != nil {
		at = r.offset(at, o)
	}
	r.goBy(navigation{}, navigation{}, soundNavigation(el))
	d := directionText{at: at, sound: el}
	r.mute(&d)
	r.readTempo(&d)
}

// finishNavigation reads the older way of writing a coda: the sign twice, the
// first time where the jump is taken.
func (r *reader) finishNavigation() {
	first, count, jump, to := -1, 0, false, false
	for i, b := range r.out.Bars {
		if b.Coda {
			if count++; count == 1 {
				first = i
			}
		}
		jump = jump || b.DaCapo || b.DalSegno
		to = to || b.ToCoda
	}
	if count == 2 && jump && !to {
		r.out.Bars[first].Coda, r.out.Bars[first].ToCoda = false, true
	}
}
