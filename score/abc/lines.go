package abc

import (
	"fmt"
	"regexp"
	"strings"

	"waterkey/score"
)

// entry is one line of a tune: an information field, or music code when
// letter is 0. A stylesheet directive is an I: field (3.1.17).
type entry struct {
	line   int
	letter byte
	text   string // a field's value, without comment
}

// tune is one tune of a file (2.2.1).
type tune struct {
	line     int
	file     []entry // the file's header
	own      []entry // its own
	body     []entry
	complete bool // its header ends with a K: field
	badLine  int  // music code before the K: field, 0 for none
	noX      bool
	after    int // line of free text that follows, 0 for none

	number string // its X: field
	titles []string
	voices []*voice
}

// header goes through the fields of the file's header and the tune's own.
func (t *tune) header(yield func(entry) bool) {
	for _, list := range [][]entry{t.file, t.own} {
		for _, e := range list {
			if !yield(e) {
				return
			}
		}
	}
}

// splitter walks the lines of a file.
type splitter struct {
	tunes []*tune
	file  []entry // file header
	tune  *tune   // being read, nil between tunes
	head  bool    // before the first empty line of the file
	bare  bool    // the file has no X: field: its first block is the tune
	block string  // name of the %%begin block being skipped

	last   *[]entry // the list with the field that +: continues, nil for none
	lastAt int
}

var (
	anyTune = regexp.MustCompile(`(?m)^X:`)
	anyKey  = regexp.MustCompile(`(?m)^K:`)
)

// splitTunes finds the tunes of a file. A file without X: field is one tune,
// as up to version 2.0 (10.5.1).
func splitTunes(text string) ([]*tune, error) {
	s := &splitter{head: true, bare: !anyTune.MatchString(text) && anyKey.MatchString(text)}
	for line := 1; text != ""; line++ {
		var now string
		now, text, _ = strings.Cut(text, "\n")
		s.take(line, strings.TrimRight(now, " \t"))
		switch {
		case len(s.tunes) > maxTunes:
			return nil, &score.ReadError{Line: line, Msg: fmt.Sprintf("the file has more than %d tunes; split it", maxTunes)}
		case len(s.file) > maxHeader:
			return nil, &score.ReadError{Line: line, Msg: fmt.Sprintf("the file header has more than %d fields", maxHeader)}
		}
	}
	if len(s.tunes) == 0 {
		return nil, fmt.Errorf("the file has no tune; a tune starts with a line such as X:1 and its header ends with one such as K:C")
	}
	return s.tunes, nil
}

// take reads one line.
func (s *splitter) take(line int, text string) {
	switch {
	case s.block != "":
		if text == "%%end"+s.block {
			s.block = ""
		}
	case text == "":
		s.tune, s.head, s.last = nil, false, nil
	case strings.HasPrefix(text, "%%"):
		s.directive(line, text[2:])
	default:
		if text = uncommented(text); text != "" {
			s.code(line, text)
		}
	}
}

// directive takes a stylesheet directive, or skips the text between %%begintext
// and %%endtext and the like (11.4.5).
func (s *splitter) directive(line int, text string) {
	if name, ok := strings.CutPrefix(strings.TrimSpace(text), "begin"); ok {
		s.block = strings.TrimSpace(name)
		return
	}
	s.field(entry{line, 'I', uncommented(text)})
}

// uncommented cuts a comment off (2.2.5); \% is no comment.
func uncommented(text string) string {
	for i := range len(text) {
		if text[i] == '%' && (i == 0 || text[i-1] != '\\') {
			return strings.TrimRight(text[:i], " \t")
		}
	}
	return text
}

// code takes a line that is a field or music code.
func (s *splitter) code(line int, text string) {
	letter, value := byte(0), text
	if len(text) > 1 && text[1] == ':' {
		letter, value = text[0], strings.TrimSpace(text[2:])
	}
	if letter == 'X' && s.startsTune(value) || s.bare && s.tune == nil && s.head && isLetter(letter) {
		s.start(line)
		s.tune.noX = letter != 'X'
	}
	switch {
	case letter == '+':
		s.continued(value)
	case s.tune == nil && (!s.head || !isLetter(letter)):
		s.head = false
		if n := len(s.tunes); n > 0 && s.tunes[n-1].after == 0 {
			s.tunes[n-1].after = line
		}
	case s.tune == nil, !s.tune.complete && isLetter(letter), s.tune.complete && bodyField(letter):
		s.field(entry{line, letter, value})
	default:
		s.music(line, text)
	}
}

func isLetter(c byte) bool { return c >= 'A' && c <= 'Z' || c >= 'a' && c <= 'z' }

// bodyField says whether a line that starts with the letter and a colon is a
// field in the tune body: A-G, X-Z, a-g and x-z are notes and rests there (3).
func bodyField(c byte) bool { return c >= 'H' && c <= 'W' || c >= 'h' && c <= 'w' }

// startsTune says whether an X: line is the start of a tune. In the body of
// another it has to be a bare number: the empty line between was forgotten.
func (s *splitter) startsTune(value string) bool {
	return s.tune == nil || strings.Trim(value, "0123456789") == ""
}

func (s *splitter) start(line int) {
	s.head, s.bare, s.last = false, false, nil
	s.tune = &tune{line: line, file: s.file}
	s.tunes = append(s.tunes, s.tune)
}

func (s *splitter) field(e entry) {
	var list *[]entry
	switch {
	case s.tune == nil && s.head:
		list = &s.file
	case s.tune == nil:
		return // a directive between tunes
	case s.tune.complete || s.tune.badLine > 0:
		list = &s.tune.body
	default:
		list = &s.tune.own
		s.tune.complete = e.letter == 'K'
	}
	*list = append(*list, e)
	if e.letter != 'I' {
		s.last, s.lastAt = list, len(*list)-1
	}
}

// continued lengthens the field before by a +: line (3.3). Fields that are
// passed over anyway are left as they are.
func (s *splitter) continued(value string) {
	if s.last == nil {
		return
	}
	e := &(*s.last)[s.lastAt]
	if strings.IndexByte("CKLMPQTUV", e.letter) >= 0 && len(e.text)+len(value) < maxField {
		e.text += " " + value
	}
}

func (s *splitter) music(line int, text string) {
	if !s.tune.complete && s.tune.badLine == 0 {
		s.tune.badLine = line
	}
	s.tune.body = append(s.tune.body, entry{line, 0, text})
	s.last = nil
}
