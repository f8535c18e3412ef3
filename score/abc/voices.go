package abc

import (
	"fmt"
	"strconv"
	"strings"

	"waterkey/score"
)

// voice is one voice of a tune (7).
type voice struct {
	tune  *tune
	id    string // as its V: field gives it, at most idLength characters
	label string // its name= property, "" for none
	notes int    // written in it

	number int    // in the list of parts, from 1
	listed string // its id there
	name   string // its name there
}

// idLength is how many characters of a voice's id count (7).
const idLength = 20

// defaultVoice is the id of the voice of a tune without V: fields.
const defaultVoice = "1"

// properties splits the value of a V: or K: field at white space outside of
// quotes, and takes the quotes off.
func properties(value string) []string {
	var out []string
	var b strings.Builder
	quoted, any := false, false
	flush := func() {
		if any {
			out = append(out, b.String())
		}
		b.Reset()
		any = false
	}
	for _, c := range value {
		switch {
		case c == '"':
			if quoted {
				// name="Soprano"sname="A": the next property follows at once
				quoted = false
				flush()
				continue
			}
			quoted, any = true, true
		case !quoted && (c == ' ' || c == '\t'):
			flush()
		default:
			b.WriteRune(c)
			any = true
		}
	}
	flush()
	return out
}

// voiceID is the id at the start of a V: field, "" when it is empty.
func voiceID(value string) string {
	fields := strings.Fields(value)
	if len(fields) == 0 {
		return ""
	}
	id := []rune(fields[0])
	return string(id[:min(len(id), idLength)])
}

// property is the value of a property by any of its names.
func property(props []string, names ...string) (string, bool) {
	for _, p := range props {
		key, value, ok := strings.Cut(p, "=")
		for _, name := range names {
			if ok && key == name {
				return value, true
			}
		}
	}
	return "", false
}

// findVoices lists the voices of a tune and counts their notes.
func (t *tune) findVoices() error {
	for e := range t.header {
		switch e.letter {
		case 'X':
			t.number = e.text
		case 'T':
			t.titles = append(t.titles, plainText(e.text))
		case 'V':
			if err := t.addVoice(e.text, e.line); err != nil {
				return err
			}
		}
	}
	return t.walk(t.dialect(), func(e entry, v *voice) {
		if e.letter == 'V' {
			v.takeName(e.text)
		}
	}, func(k token, v *voice) {
		switch {
		case k.kind == noteToken:
			v.notes++
		case k.kind == fieldToken && k.letter == 'V':
			v.takeName(k.text)
		}
	})
}

// voice finds a voice by the value of its V: field, nil for none.
func (t *tune) voice(value string) *voice {
	id := voiceID(value)
	for _, v := range t.voices {
		if v.id == id {
			return v
		}
	}
	return nil
}

// addVoice adds what a V: field names, once.
func (t *tune) addVoice(value string, line int) error {
	v := t.voice(value)
	if v == nil {
		if len(t.voices) == maxVoices {
			return &score.ReadError{Line: line, Msg: fmt.Sprintf("the tune has more than %d voices", maxVoices)}
		}
		v = &voice{tune: t, id: voiceID(value)}
		t.voices = append(t.voices, v)
	}
	v.takeName(value)
	return nil
}

// takeName takes the name that a V: field gives, unless there is one already.
func (v *voice) takeName(value string) {
	if label, ok := property(properties(value), "name", "nm"); ok && v.label == "" {
		v.label = plainText(strings.ReplaceAll(label, `\n`, " "))
	}
}

// walk goes through the tune body and hands over each field and each token of
// music code with the voice it belongs to. Music in front of the first V:
// field belongs to the first voice; a field there comes with a nil voice, as it
// holds for all.
func (t *tune) walk(dialect dialect, field func(entry, *voice), music func(token, *voice)) error {
	var now *voice
	enter := func(value string, line int) error {
		if now = t.voice(value); now == nil {
			if err := t.addVoice(value, line); err != nil {
				return err
			}
			now = t.voice(value)
		}
		return nil
	}
	for _, e := range t.body {
		if e.letter == 'V' {
			if err := enter(e.text, e.line); err != nil {
				return err
			}
		}
		if e.letter != 0 {
			field(e, now)
			continue
		}
		scan := scanner{text: e.text, line: e.line, dialect: dialect}
		for k, ok := scan.next(); ok; k, ok = scan.next() {
			if k.kind == fieldToken && k.letter == 'V' || now == nil && k.kind != fieldToken {
				if err := enter(t.firstOr(k), e.line); err != nil {
					return err
				}
			}
			music(k, now)
		}
	}
	if len(t.voices) == 0 {
		return t.addVoice(defaultVoice, t.line)
	}
	return nil
}

// firstOr is the voice that a token starts: the one it names, or the first of
// the tune.
func (t *tune) firstOr(k token) string {
	switch {
	case k.kind == fieldToken:
		return k.text
	case len(t.voices) > 0:
		return t.voices[0].id
	}
	return defaultVoice
}

// nameParts gives every voice of the file the id and name it is listed by.
func (d *Document) nameParts() {
	for i, v := range d.parts {
		v.number = i + 1
		v.listed, v.name = v.id, v.label
		several := len(v.tune.voices) > 1
		if v.name == "" && several {
			v.name = v.id
		}
		title := ""
		if len(v.tune.titles) > 0 {
			title = v.tune.titles[0]
		}
		if len(d.tunes) > 1 {
			v.listed = "X" + v.tune.number
			if several {
				v.listed += "/" + v.id
			}
		}
		switch {
		case v.name == "":
			v.name = title
		case len(d.tunes) > 1 && title != "":
			v.name = title + ": " + v.name
		}
		if v.name == "" {
			v.name = strconv.Itoa(v.number)
		}
	}
}
