package reading

import (
	"fmt"
	"strings"

	"waterkey/brass"
	"waterkey/finding"
	"waterkey/positions"
	"waterkey/score"
)

// key says what the opening signature alters, and which neighbor is still
// natural.
func key(p *Page) []finding.Finding {
	k := p.Part.Bars[0].Key
	return []finding.Finding{p.finding("key", float64(abs(k.Fifths))/6, 0, len(p.Part.Bars)-1,
		p.keyText(k), p.keyAdvice(k, 0, p.notes()))}
}

// keyChange names every later signature, with what the new key is most often
// missed on.
func keyChange(p *Page) []finding.Finding {
	var places []place
	widest := 0.0
	for i, m := range p.Part.Keys {
		before := p.Part.Bars[0].Key
		if i > 0 {
			before = p.Part.Keys[i-1].Key
		}
		if m.At.Sign() == 0 || m.Key.Fifths == before.Fifths && m.Key.Other == nil && before.Other == nil {
			continue
		}
		widest = max(widest, float64(abs(m.Key.Fifths-before.Fifths)))
		places = append(places, p.keyPlace(m))
	}
	do := fmt.Sprintf("Before you start, say the first notes of each new key aloud with their %s.", p.words().ways)
	if len(places) == 1 {
		from := p.firstNote(p.Part.Bars[places[0].from].Start)
		do = fmt.Sprintf("Before you start, say the first notes of the new key aloud with their %s. %s", p.words().ways,
			p.keyAdvice(p.Part.Bars[places[0].from].Key, from, p.notes()))
	}
	return p.each("key-change", widest/6, places, "The key changes:", do)
}

// keyPlace says a later signature, and when it is the opening one again.
func (p *Page) keyPlace(m score.KeyMark) place {
	n, what := p.number(m.Bar), lower(p.keyText(m.Key))
	short, _, _ := strings.Cut(strings.TrimSuffix(what, "."), ":")
	if m.Key.Other == nil && m.Key.Fifths == p.Part.Bars[0].Key.Fifths {
		return place{m.Bar, m.Bar, fmt.Sprintf("The home key returns at bar %s: %s", n, what), fmt.Sprintf("bar %s (%s, the home key again)", n, short)}
	}
	return place{m.Bar, m.Bar, fmt.Sprintf("The key changes at bar %s: %s", n, what), fmt.Sprintf("bar %s (%s)", n, short)}
}

// firstNote is the first note at or after a moment of the page.
func (p *Page) firstNote(at score.Time) int {
	for i := range p.notes() {
		if !p.note(i).Onset.Less(at) {
			return i
		}
	}
	return p.notes()
}

func lower(s string) string {
	if s == "" {
		return s
	}
	return string(s[0]|0x20) + s[1:]
}

func (p *Page) keyText(k score.Key) string {
	altered := k.Altered()
	text := ""
	switch n := len(altered); {
	case k.Other != nil:
		text = "A signature of its own"
	case n == 0:
		text = "No sharps or flats"
	case k.Fifths < 0:
		text = capital(plural(n, "flat"))
	default:
		text = capital(plural(n, "sharp"))
	}
	if k.Mode != "" && k.Other == nil {
		text += ", " + signs.Replace(k.Name()[:1]) + signs.Replace(tonicSign(k)) + " " + k.Mode
	}
	if len(altered) == 0 {
		return text + "."
	}
	names := make([]string, len(altered))
	for i, a := range altered {
		names[i] = a[:1] + signs.Replace(a[1:])
	}
	return text + ": " + joinAnd(names) + "."
}

// tonicSign is the accidental of the key's tonic, "b", "#" or "".
func tonicSign(k score.Key) string {
	name := k.Name()
	if len(name) > 1 && (name[1] == 'b' || name[1] == '#') {
		return name[1:2]
	}
	return ""
}

// keyAdvice names the two notes most often missed in a key, each with its
// position against the wrong one, taken from the horn's own chart: the note that
// the signature alters last, and the one that the next flat or sharp of the
// circle would alter.
func (p *Page) keyAdvice(k score.Key, from, to int) string {
	if k.Other != nil || k.Fifths == 0 {
		return "Everything is natural until a sign says otherwise, so read every sign."
	}
	step := 1
	if k.Fifths < 0 {
		step = -1
	}
	var parts []string
	if altered := k.Altered(); len(altered) > 1 {
		letter := altered[len(altered)-1]
		if s := p.against(letter[0], step, 0, from, to); s != "" {
			parts = append(parts, fmt.Sprintf("every %s is %s: %s", letter[:1], signName(step), s))
		}
	}
	if next := (score.Key{Fifths: k.Fifths + step}).Altered(); len(next) > len(k.Altered()) {
		letter := next[len(next)-1][0]
		if s := p.against(letter, 0, step, from, to); s != "" {
			parts = append(parts, fmt.Sprintf("every %c is natural: %s", letter, s))
		}
	}
	if len(parts) == 0 {
		return "Play the scale of the key once through before the first run."
	}
	return capital(strings.Join(parts, "; ")) + "."
}

func signName(alter int) string {
	if alter < 0 {
		return "flat"
	}
	return "sharp"
}

// against finds the first note of a letter with the right alteration and gives
// its position or fingering beside the one it would have with the wrong alteration:
// "E3 in 2, not 3". The letter and its alterations are those of the page. It is empty
// when the part has no such note or both lie alike.
func (p *Page) against(letter byte, right, wrong, from, to int) string {
	for i := from; i < to; i++ {
		if w := p.note(i).Written; w.Step != letter || w.Alter != right {
			continue
		}
		pitch := p.note(i).Pitch
		other := pitch
		other.Alter += wrong - right
		is, not := p.ways(pitch), p.ways(other)
		if len(is) > 0 && len(not) > 0 && is[0].Label != not[0].Label {
			return p.name(i) + " " + notThis(is[0], not[0])
		}
	}
	return ""
}

func abs(n int) int { return max(n, -n) }

// usualClef is the clef that a trombone's parts stand in as a rule (common practice).
func usualClef(in *brass.Instrument) score.Clef {
	if in.Name == "alto" {
		return score.Clef{Sign: "C", Line: 3}
	}
	return score.Clef{Sign: "F", Line: 4}
}

// middleC is on which line a C clef has C4, by line from below.
var middleC = map[int]string{1: "first", 2: "second", 3: "middle", 4: "fourth", 5: "top"}

// clef says that a trombone part begins in another clef than its player expects, and
// what the first note in it is. Treble clef parts for trombones transpose, and are
// another matter.
func clef(p *Page) []finding.Finding {
	in, clefs := p.Path.Instrument, p.Part.Clefs
	if in.Family != brass.Trombones || len(clefs) == 0 || p.notes() == 0 || clefs[0].Clef.Sign == "G" || clefs[0].Clef == usualClef(in) {
		return nil
	}
	c, to, until := clefs[0].Clef, len(p.Part.Bars)-1, "throughout"
	for _, next := range clefs[1:] {
		if next.Clef != c {
			to, until = max(next.Bar-1, 0), "up to bar "+p.number(next.Bar)
			break
		}
	}
	says := fmt.Sprintf("%s clef %s", capital(c.String()), until)
	if line, ok := middleC[c.Line]; ok && c.Sign == "C" && c.Octave == 0 {
		says += fmt.Sprintf(": the %s line is C4", line)
	}
	do := "Say the first two lines aloud by name before you play a note."
	if way := p.Path.Steps[0].Way; way != nil {
		do = fmt.Sprintf("The first note is %s, %s. %s", p.name(0), positions.How(*way), do)
	}
	return []finding.Finding{p.finding("clef", 0, 0, to, says+".", do)}
}

// clefChange says where to read afresh.
func clefChange(p *Page) []finding.Finding {
	var out []finding.Finding
	for i, c := range p.Part.Clefs {
		if i == 0 || c.Clef == p.Part.Clefs[i-1].Clef {
			continue
		}
		do := "Look for the change before you need it."
		if n := p.firstNote(c.At); n < p.notes() && p.Path.Steps[n].Way != nil {
			do = fmt.Sprintf("The first note in it is %s, %s: find it from the note before, not from the staff.",
				p.name(n), positions.How(*p.Path.Steps[n].Way))
		}
		out = append(out, p.finding("clef-change", 0, c.Bar, c.Bar, fmt.Sprintf("%s clef from bar %s.", capital(c.Clef.String()), p.number(c.Bar)), do))
	}
	return out
}

// outOfReach names the notes the instrument does not have, and one that does.
func outOfReach(p *Page) []finding.Finding {
	notes := p.where(func(i int) bool { return p.Path.Steps[i].Way == nil })
	if len(notes) == 0 {
		return nil
	}
	rs := p.runs(notes, 0)
	says := fmt.Sprintf("%s in %s: not to be had on this %s, the %s.", p.sayNames(notes), p.barList(rs), p.words().kind, p.Path.Instrument.Title)
	return p.merged("out-of-reach", 1, rs, says, p.reachAdvice(notes))
}

func (p *Page) reachAdvice(notes []int) string {
	for _, name := range brass.Names() {
		in, err := brass.Named(name)
		if err != nil || in.Family != p.Path.Instrument.Family {
			continue
		}
		all := true
		for _, n := range notes {
			all = all && len(in.Ways(p.note(n).Pitch)) > 0
		}
		if all {
			return fmt.Sprintf("The %s has them; or agree with the panel on the octave above.", in.Title)
		}
	}
	return "Check the part, its clef and its transposition; else agree with the panel on another octave."
}
