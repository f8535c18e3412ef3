package musicxml

import (
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"

	"waterkey/score"
)

// scanner takes markup apart without copying it. It checks that the text is
// well-formed as far as a score can show (W3C Extensible Markup Language 1.0,
// 5th edition, 2008): tags, attributes, references, characters. It reads no
// document type and knows the five entities of XML itself alone, so that nothing
// can unfold and nothing outside the text is read.
type scanner struct {
	text  string
	pos   int
	line  int // of pos, from 1
	attrs []attribute
}

// attribute is one attribute with its value; a name with a prefix keeps it.
type attribute struct{ name, value string }

type tokenKind int

const (
	startTag tokenKind = iota
	endTag
	charData
	endOfText
)

// token is one piece of markup. The attributes lie in the scanner up to the next
// token, as they stand in the text.
type token struct {
	kind       tokenKind
	start, end int
	line       int
	name       string
	empty      bool   // a start tag written <name/>
	text       string // of character data
	literal    bool   // a CDATA section: no references in it
}

// bad is an error of form at the scanner's line.
func (s *scanner) bad(format string, args ...any) error {
	return &score.ReadError{Line: s.line, Msg: "not well-formed XML: " + fmt.Sprintf(format, args...)}
}

// next is the next tag or run of characters; comments, instructions and the
// document type are passed over.
func (s *scanner) next() (token, error) {
	for s.pos < len(s.text) {
		rest := s.text[s.pos:]
		var err error
		switch {
		case rest[0] != '<':
			return s.characters()
		case strings.HasPrefix(rest, "<!--"):
			err = s.comment()
		case strings.HasPrefix(rest, "<![CDATA["):
			return s.literal()
		case strings.HasPrefix(rest, "<!"):
			err = s.documentType()
		case strings.HasPrefix(rest, "<?"):
			_, err = s.through(2, "?>", "an instruction")
		case strings.HasPrefix(rest, "</"):
			return s.endTag()
		default:
			return s.startTag()
		}
		if err != nil {
			return token{}, err
		}
	}
	return token{kind: endOfText, start: s.pos, end: s.pos, line: s.line}, nil
}

// through passes over everything up to a closing mark, whose text it returns.
func (s *scanner) through(skip int, mark, what string) (string, error) {
	from := s.pos + skip
	n := strings.Index(s.text[min(from, len(s.text)):], mark)
	if n < 0 {
		return "", s.bad("%s is never closed: unexpected EOF", what)
	}
	inside := s.text[from : from+n]
	if err := s.checkCharacters(inside); err != nil {
		return "", err
	}
	s.pos = from + n + len(mark)
	return inside, nil
}

func (s *scanner) comment() error {
	inside, err := s.through(len("<!--"), "-->", "a comment")
	if err == nil && (strings.Contains(inside, "--") || strings.HasSuffix(inside, "-")) {
		err = s.bad("-- inside a comment")
	}
	return err
}

func (s *scanner) literal() (token, error) {
	t := token{kind: charData, start: s.pos, line: s.line, literal: true}
	var err error
	t.text, err = s.through(len("<![CDATA["), "]]>", "a CDATA section")
	t.end = s.pos
	return t, err
}

// documentType passes over <!DOCTYPE ...> with all that it declares.
func (s *scanner) documentType() error {
	depth := 0
	var quote byte
	for i := s.pos; i < len(s.text); i++ {
		switch c := s.text[i]; {
		case c == '\n':
			s.line++
		case quote != 0:
			if c == quote {
				quote = 0
			}
		case strings.HasPrefix(s.text[i:], "<!--"):
			n := strings.Index(s.text[i:], "-->")
			if n < 0 {
				return s.bad("a comment is never closed: unexpected EOF")
			}
			s.line += strings.Count(s.text[i:i+n], "\n")
			i += n + 2
		case c == '"' || c == '\'':
			quote = c
		case c == '<':
			depth++
		case c == '>':
			if depth--; depth == 0 {
				s.pos = i + 1
				return nil
			}
		}
	}
	return s.bad("a declaration is never closed: unexpected EOF")
}

// characters reads text up to the next tag.
func (s *scanner) characters() (token, error) {
	t := token{kind: charData, start: s.pos, line: s.line}
	n := strings.IndexByte(s.text[s.pos:], '<')
	if n < 0 {
		n = len(s.text) - s.pos
	}
	t.text = s.text[s.pos : s.pos+n]
	t.end = s.pos + n
	if strings.Contains(t.text, "]]>") {
		return t, s.bad("]]> outside a CDATA section")
	}
	if err := s.checkReferences(t.text); err != nil {
		return t, err
	}
	err := s.checkCharacters(t.text)
	s.pos = t.end
	return t, err
}

// checkCharacters refuses what cannot stand in a document, and counts lines.
func (s *scanner) checkCharacters(text string) error {
	for i := 0; i < len(text); i++ {
		switch c := text[i]; {
		case c >= ' ' && c < 0xEF:
		case c == '\n':
			s.line++
		case c < ' ' && c != '\t' && c != '\r':
			return s.bad("the character %U cannot stand in a document", c)
		case c == 0xEF && (strings.HasPrefix(text[i:], "\uFFFE") || strings.HasPrefix(text[i:], "\uFFFF")):
			return s.bad("the character U+FFFE or U+FFFF cannot stand in a document")
		}
	}
	return nil
}

func (s *scanner) checkReferences(text string) error {
	for whole := text; ; {
		i := strings.IndexByte(text, '&')
		if i < 0 {
			return nil
		}
		text = text[i:]
		_, n := reference(text)
		if n == 0 {
			s.line += strings.Count(whole[:len(whole)-len(text)], "\n")
			return s.bad("invalid character entity %s (only the entities of XML itself are read)", short(text[:1+nameLength(text[1:])]))
		}
		text = text[n:]
	}
}

// endTag reads </name>.
func (s *scanner) endTag() (token, error) {
	t := token{kind: endTag, start: s.pos, line: s.line}
	s.pos += len("</")
	t.name = s.name()
	s.blanks()
	if t.name == "" || !s.take('>') {
		return t, s.bad("an end tag has no name or is not closed: %s", s.where())
	}
	t.end = s.pos
	return t, nil
}

// maxAttributes is more than any element of a score can have: some 60 are
// defined for the richest.
const maxAttributes = 256

// startTag reads <name a="b"> or <name/>.
func (s *scanner) startTag() (token, error) {
	t := token{kind: startTag, start: s.pos, line: s.line}
	s.pos++
	if t.name = s.name(); t.name == "" {
		return t, s.bad("a tag has no name: %s", s.where())
	}
	s.attrs = s.attrs[:0]
	for {
		s.blanks()
		if s.take('/') {
			t.empty = true
		}
		if s.take('>') {
			t.end = s.pos
			return t, nil
		}
		if t.empty {
			return t, s.bad("/ in the tag %s", short(t.name))
		}
		if len(s.attrs) == maxAttributes {
			return t, &score.ReadError{Line: s.line, Msg: fmt.Sprintf("an element has more than %d attributes", maxAttributes)}
		}
		if err := s.attribute(); err != nil {
			return t, err
		}
	}
}

func (s *scanner) attribute() error {
	a := attribute{name: s.name()}
	s.blanks()
	if a.name == "" || !s.take('=') {
		return s.bad("an attribute has no name or no value: %s", s.where())
	}
	s.blanks()
	if s.pos >= len(s.text) || s.text[s.pos] != '"' && s.text[s.pos] != '\'' {
		return s.bad("the value of %s is not in quotes: %s", short(a.name), s.where())
	}
	quote := s.text[s.pos]
	s.pos++
	n := strings.IndexByte(s.text[s.pos:], quote)
	if n < 0 {
		return s.bad("the value of %s is never closed: unexpected EOF", short(a.name))
	}
	a.value = s.text[s.pos : s.pos+n]
	if strings.Contains(a.value, "<") {
		return s.bad("< in the value of %s", short(a.name))
	}
	if err := s.checkReferences(a.value); err != nil {
		return err
	}
	if err := s.checkCharacters(a.value); err != nil {
		return err
	}
	s.pos += n + 1
	s.attrs = append(s.attrs, a)
	return nil
}

// where is what stands at the scanner, for errors.
func (s *scanner) where() string {
	if s.pos >= len(s.text) {
		return "unexpected EOF"
	}
	return strconv.Quote(short(s.text[s.pos:min(len(s.text), s.pos+16)]))
}

func (s *scanner) take(c byte) bool {
	if s.pos < len(s.text) && s.text[s.pos] == c {
		s.pos++
		return true
	}
	return false
}

func (s *scanner) blanks() {
	for ; s.pos < len(s.text); s.pos++ {
		switch s.text[s.pos] {
		case '\n':
			s.line++
		case ' ', '\t', '\r':
		default:
			return
		}
	}
}

func (s *scanner) name() string {
	n := nameLength(s.text[s.pos:])
	s.pos += n
	return s.text[s.pos-n : s.pos]
}

// nameLength is how much of a text is a name: letters, digits and the four marks
// of names; all other characters beyond ASCII are let through.
func nameLength(text string) int {
	for i := 0; i < len(text); i++ {
		c := text[i]
		if c|0x20 >= 'a' && c|0x20 <= 'z' || c == '_' || c == ':' || c >= utf8.RuneSelf {
			continue
		}
		if i > 0 && (c >= '0' && c <= '9' || c == '-' || c == '.') {
			continue
		}
		return i
	}
	return len(text)
}

// maxReference is the length of the longest reference: &#x10FFFF; and some
// leading zeros.
const maxReference = 16

// reference reads the reference that a text starts with: what it stands for and
// its length, 0 when it is none.
func reference(text string) (string, int) {
	end := strings.IndexByte(text[:min(len(text), maxReference)], ';')
	if end < 0 {
		return "", 0
	}
	body := text[1:end]
	if c, ok := entities[body]; ok {
		return c, end + 1
	}
	digits, isNumber := strings.CutPrefix(body, "#")
	base := 10
	if hex, isHex := strings.CutPrefix(digits, "x"); isHex {
		digits, base = hex, 16
	}
	n, err := strconv.ParseUint(digits, base, 21)
	c := rune(n)
	allowed := c == '\t' || c == '\n' || c == '\r' || c >= ' ' && c != 0xFFFE && c != 0xFFFF && utf8.ValidRune(c)
	if !isNumber || err != nil || !allowed {
		return "", 0
	}
	return string(c), end + 1
}

var entities = map[string]string{"lt": "<", "gt": ">", "amp": "&", "apos": "'", "quot": `"`}

// unescape is text with its references resolved and its line breaks as \n. Text
// without either is returned as it is.
func unescape(text string) string {
	i := strings.IndexAny(text, "&\r")
	if i < 0 {
		return text
	}
	var b strings.Builder
	for ; i >= 0; i = strings.IndexAny(text, "&\r") {
		b.WriteString(text[:i])
		if text[i] == '\r' {
			b.WriteByte('\n')
			text = strings.TrimPrefix(text[i+1:], "\n")
			continue
		}
		c, n := reference(text[i:])
		b.WriteString(c)
		text = text[i+max(n, 1):]
	}
	b.WriteString(text)
	return b.String()
}

// shortLength is how much of a value an error or a sentence repeats.
const shortLength = 60

// short cuts a value that is too long to be repeated.
func short(s string) string {
	if len(s) <= shortLength {
		return s
	}
	end := shortLength
	for end > 0 && !utf8.RuneStart(s[end]) {
		end--
	}
	return s[:end] + "..."
}
