package musicxml

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"waterkey/score"
)

// anyEvent draws one element of a bar, sensible or not.
func anyEvent(t *rapid.T) string {
	pick := func(what string, options ...string) string { return rapid.SampledFrom(options).Draw(t, what) }
	length := rapid.IntRange(0, 16).Draw(t, "length")
	voice := "</duration><voice>" + pick("voice", "1", "1", "1", "2", "3") + "</voice>"
	extra := pick("extra", "", tieStart, tieStop, tieStop+tieStart)
	notations := pick("notations", "", "", `<notations><slur type="start"/></notations>`, `<notations><slur type="stop"/></notations>`,
		`<notations><fermata/><glissando type="start"/></notations>`, `<notations><dynamics><sfz/></dynamics></notations>`)
	n := strings.Replace(note(pick("pitch", "C3", "C3", "D3", "Eb3"), length, extra+notations), "</duration>", voice, 1)
	switch pick("kind", "note", "note", "note", "note", "chord", "grace", "rest", "backup", "forward", "staff", "cue",
		"divisions", "words", "wedge", "dynamics", "dashes", "tempo", "barline", "key") {
	case "note":
		return n
	case "chord":
		return strings.Replace(n, "<note>", "<note><chord/>", 1)
	case "grace":
		return grace("D3", extra+notations)
	case "rest":
		return restXML(length)
	case "backup", "forward":
		name := pick("move", "backup", "forward")
		return fmt.Sprintf("<%s><duration>%d</duration></%s>", name, length, name)
	case "staff":
		return strings.Replace(n, "</note>", "<staff>2</staff></note>", 1)
	case "cue":
		return strings.Replace(n, "<note>", "<note><cue/>", 1)
	case "divisions":
		return fmt.Sprintf("<attributes><divisions>%d</divisions></attributes>", rapid.IntRange(1, 12).Draw(t, "divisions"))
	case "words":
		return words(pick("words", "D.C. al Fine", "Fine", "To Coda", "dim.", "Allegro", "rit."))
	case "wedge":
		return direction(`<wedge type="`+pick("wedge", "crescendo", "diminuendo", "stop")+`"/>`, fmt.Sprintf("<offset>%d</offset>", length-8))
	case "dynamics":
		return direction("<dynamics>" + pick("dynamic", "<p/>", "<ff/>", "<fp/>", "<f/><p/>", "<sf/>") + "</dynamics>")
	case "dashes":
		return direction(`<words>cresc.</words></direction-type><direction-type><dashes type="` + pick("dashes", "start", "stop") + `"/>`)
	case "tempo":
		return fmt.Sprintf(`<sound tempo="%d"><offset>%d</offset></sound>`, 40+length, length-8)
	case "barline":
		return pick("barline", `<barline location="left"><repeat direction="forward"/></barline>`,
			`<barline location="right"><repeat direction="backward"/></barline>`,
			`<barline location="left"><ending number="1" type="start"/></barline>`,
			`<barline location="right"><ending number="1" type="stop"/></barline>`)
	}
	return fmt.Sprintf("<attributes><key><fifths>%d</fifths></key></attributes>", length-8)
}

// Whatever stands in the bars, the part is sound, its marks lie in their bars,
// and its order can be found.
func TestAnyMusicIsReadSoundly(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		var bars []string
		for range rapid.IntRange(1, 4).Draw(rt, "bars") {
			bars = append(bars, strings.Join(rapid.SliceOfN(rapid.Custom(anyEvent), 0, 8).Draw(rt, "events"), ""))
		}
		d := parse(t, doc(bars...))
		p, err := d.Part(score.Selection{Line: score.Line(rapid.IntRange(0, 1).Draw(rt, "line"))})
		if err != nil {
			var e *score.ReadError
			if !errors.As(err, &e) || e.Line == 0 {
				rt.Fatal(err)
			}
			return
		}
		checkSound(t, "any music", p)
		for i, n := range p.Notes {
			if i == 0 || n.Grace || p.Notes[i-1].Grace {
				continue // a grace note may stand inside a tied note
			}
			if n.Onset.Less(p.Notes[i-1].End()) {
				rt.Errorf("note %s at %s overlaps the one before, which ends at %s", n.ID, n.Onset, p.Notes[i-1].End())
			}
			if n.SlurFrom != p.Notes[i-1].SlurTo {
				rt.Errorf("slur from %s to %s is marked on one of them only", p.Notes[i-1].ID, n.ID)
			}
		}
		for _, w := range p.Wedges {
			if w.FromBar > w.ToBar && w.From.Less(w.To) || w.ToBar >= len(p.Bars) {
				rt.Errorf("hairpin %+v", w)
			}
		}
		if _, err := p.Order(); err != nil {
			rt.Error(err)
		}
	})
}
