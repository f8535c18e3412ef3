package abc

import (
	"strings"
	"unicode/utf8"
)

// kind is what a token of music code is.
type kind int

const (
	noteToken kind = iota
	restToken
	spacerToken // y
	chordOpen
	chordClose // with the length of the chord
	graceOpen
	graceClose
	barToken
	endingToken
	tupletToken
	slurOpen
	slurClose
	tieToken
	brokenToken
	symbolToken     // a letter or sign in front of a note: . ~ H to W, h to w
	decorationToken // !name!
	textToken       // "text"
	fieldToken      // [K:G]
	overlayToken
	strayToken // a character that means nothing where it stands
)

// token is one symbol of music code.
type token struct {
	kind      kind
	line, col int
	text      string // bar line, name, text, value of a field, stray character
	letter    byte   // of a note, rest, symbol or field

	accidental string // "^^" "^" "=" "_" "__" or ""
	octave     int    // apostrophes less commas
	length     fraction
	count      int    // signs of broken rhythm, + for > and - for <; bars of an overlay
	p, q, r    int    // of a tuplet; 0 where not given
	endings    string // behind a bar line or in an ending: "1,3-4"
	slashed    bool   // of graces
}

// fraction multiplies the unit note length; the zero value stands for 1. Numbers
// beyond bounds are cut to hugeNumber, for the reader to refuse.
type fraction struct {
	num, den int64
}

// hugeNumber is far above every limit and far below overflow.
const hugeNumber = 1 << 30

// dialect says what some characters mean (12.1).
type dialect struct {
	bangBreaks bool // ! is a line break, not a decoration's delimiter
	plusMarks  bool // decorations are written +name+
}

// scanner cuts a line of music code into tokens.
type scanner struct {
	text    string
	line    int
	pos     int
	inChord bool
	dialect dialect
	col     int // column of pos in characters, counted up to byte counted
	counted int
}

// next is the next token; ok is false at the end of the line.
func (s *scanner) next() (t token, ok bool) {
	for s.pos < len(s.text) {
		t = token{line: s.line, col: s.column()}
		if s.scan(&t) {
			return t, true
		}
	}
	return token{}, false
}

func (s *scanner) column() int {
	s.col += utf8.RuneCountInString(s.text[s.counted:s.pos])
	s.counted = s.pos
	return s.col + 1
}

// peek is the byte n places on, 0 behind the end.
func (s *scanner) peek(n int) byte {
	if s.pos+n < len(s.text) {
		return s.text[s.pos+n]
	}
	return 0
}

// take makes a token of the next n bytes.
func (s *scanner) take(t *token, k kind, n int) bool {
	t.kind, t.text = k, s.text[s.pos:s.pos+n]
	s.pos += n
	return true
}

// scan reads one token; false says that there was only white space and the
// like.
func (s *scanner) scan(t *token) bool {
	switch c := s.peek(0); {
	case strings.IndexByte(" \t`$\\", c) >= 0:
		s.pos++
		return false
	case isPitch(c) || strings.IndexByte("^_=", c) >= 0:
		return s.note(t)
	case strings.IndexByte("xyzXZ", c) >= 0:
		return s.rest(t)
	case c == '"':
		return s.quoted(t)
	case c == '!' || c == '+':
		return s.decoration(t, c)
	case c == ']' && s.inChord:
		s.inChord = false
		s.take(t, chordClose, 1)
		t.length = s.noteLength()
		return true
	case c == '[':
		return s.bracket(t)
	case c == '|' || c == ':' || c == ']' && strings.IndexByte("|:", s.peek(1)) >= 0 && s.peek(1) != 0:
		return s.bar(t)
	}
	return s.sign(t)
}

// sign reads the tokens that start with a sign of their own.
func (s *scanner) sign(t *token) bool {
	c := s.peek(0)
	switch {
	case c == '.' && strings.IndexByte("|(-)", s.peek(1)) >= 0 && s.peek(1) != 0:
		s.pos++ // dotted bar lines, slurs and ties (4.8, 4.11)
		return false
	case c == '(' && isDigit(s.peek(1)):
		return s.tuplet(t)
	case c == '(':
		return s.take(t, slurOpen, 1)
	case c == ')':
		return s.take(t, slurClose, 1)
	case c == '-':
		return s.take(t, tieToken, 1)
	case c == '{':
		t.slashed = s.peek(1) == '/'
		s.take(t, graceOpen, 1)
		if t.slashed {
			s.pos++
		}
		return true
	case c == '}':
		return s.take(t, graceClose, 1)
	case c == '<' || c == '>':
		t.count = s.run(c)
		s.take(t, brokenToken, t.count)
		if c == '<' {
			t.count = -t.count
		}
		return true
	case c == '&':
		t.count = s.run('&')
		return s.take(t, overlayToken, t.count)
	case c == '.' || c == '~' || bodyField(c):
		t.letter = c
		return s.take(t, symbolToken, 1)
	}
	_, n := utf8.DecodeRuneInString(s.text[s.pos:])
	return s.take(t, strayToken, n)
}

// run counts how often c stands in a row.
func (s *scanner) run(c byte) int {
	n := 0
	for s.peek(n) == c {
		n++
	}
	return n
}

// quoted reads an annotation or chord symbol (4.18, 4.19), to the end of the
// line when it is not closed.
func (s *scanner) quoted(t *token) bool {
	end := strings.IndexByte(s.text[s.pos+1:], '"')
	if end < 0 {
		end = len(s.text) - s.pos - 1
	}
	t.kind, t.text = textToken, s.text[s.pos+1:s.pos+1+end]
	s.pos = min(s.pos+end+2, len(s.text))
	return true
}

// decoration reads !name! or, in the older dialect, +name+. A delimiter without
// its second before the name would be broken off is a line break (12.2).
func (s *scanner) decoration(t *token, c byte) bool {
	wanted, ends := byte('!'), "!|[:] \t"
	if s.dialect.plusMarks {
		wanted, ends = '+', "+|[:] \t"
	}
	if c != wanted {
		if c == '!' && s.dialect.bangBreaks {
			s.pos++
			return false
		}
		return s.take(t, strayToken, 1)
	}
	end := strings.IndexAny(s.text[s.pos+1:], ends)
	if end < 0 || s.text[s.pos+1+end] != c {
		s.pos++
		return false
	}
	t.kind, t.text = decorationToken, s.text[s.pos+1:s.pos+1+end]
	s.pos += end + 2
	return true
}
