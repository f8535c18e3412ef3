package abc

import "strings"

func isDigit(c byte) bool { return c >= '0' && c <= '9' }

func isPitch(c byte) bool { return c >= 'A' && c <= 'G' || c >= 'a' && c <= 'g' }

// note reads accidental, letter, octave and length (4.1 to 4.3). An accidental
// without a note is stray.
func (s *scanner) note(t *token) bool {
	n := 0
	switch s.peek(0) {
	case '^', '_':
		n = min(s.run(s.peek(0)), 2)
	case '=':
		n = 1
	}
	if !isPitch(s.peek(n)) {
		return s.take(t, strayToken, max(n, 1))
	}
	t.accidental, t.letter = s.text[s.pos:s.pos+n], s.peek(n)
	s.take(t, noteToken, n+1)
	for ; s.peek(0) == '\'' || s.peek(0) == ','; s.pos++ {
		if s.peek(0) == ',' {
			t.octave--
		} else {
			t.octave++
		}
	}
	t.length = s.noteLength()
	return true
}

// rest reads z, x, Z, X or the spacer y with its length (4.5, 6.1.2).
func (s *scanner) rest(t *token) bool {
	t.letter = s.peek(0)
	s.take(t, restToken, 1)
	if t.letter == 'y' {
		t.kind = spacerToken
	}
	t.length = s.noteLength()
	return true
}

// number reads digits; without any it gives none.
func (s *scanner) number(none int64) int64 {
	if !isDigit(s.peek(0)) {
		return none
	}
	n := int64(0)
	for ; isDigit(s.peek(0)); s.pos++ {
		n = min(n*10+int64(s.peek(0)-'0'), hugeNumber)
	}
	return n
}

// noteLength reads the multiplier behind a note: 3/2, / for 1/2, // for 1/4
// (4.3).
func (s *scanner) noteLength() fraction {
	f := fraction{num: s.number(1), den: 1}
	for s.peek(0) == '/' {
		s.pos++
		f.den = min(f.den*s.number(2), hugeNumber)
	}
	return f
}

// tuplet reads (p:q:r; what is left out is 0 (4.13).
func (s *scanner) tuplet(t *token) bool {
	start := s.pos
	s.pos++
	t.p = int(s.number(0))
	for _, to := range []*int{&t.q, &t.r} {
		if s.peek(0) != ':' {
			break
		}
		s.pos++
		*to = int(s.number(0))
	}
	t.kind, t.text = tupletToken, s.text[start:s.pos]
	return true
}

// bracket tells apart bar lines, endings, inline fields and chords that start
// with an opening bracket.
func (s *scanner) bracket(t *token) bool {
	switch c := s.peek(1); {
	case s.inChord:
		return s.take(t, strayToken, 1)
	case c == '|':
		return s.bar(t)
	case isDigit(c):
		s.pos++
		t.kind, t.endings = endingToken, s.endings()
		return true
	case isLetter(c) && s.peek(2) == ':':
		return s.inline(t, c)
	}
	s.inChord = true
	return s.take(t, chordOpen, 1)
}

// inline reads a field in brackets (3.2), to the end of the line when it is not
// closed.
func (s *scanner) inline(t *token, letter byte) bool {
	t.kind, t.letter = fieldToken, letter
	s.pos += 3
	end := strings.IndexByte(s.text[s.pos:], ']')
	if end < 0 {
		end = len(s.text) - s.pos
	}
	t.text = strings.TrimSpace(s.text[s.pos : s.pos+end])
	s.pos = min(s.pos+end+1, len(s.text))
	return true
}

// bar reads a bar line of any shape (4.8), and the ending behind it (4.9). It
// also ends a chord that was never closed.
func (s *scanner) bar(t *token) bool {
	s.inChord = false
	start := s.pos
	for {
		c := s.peek(0)
		if c != '|' && c != ':' && c != ']' && !(c == '[' && s.peek(1) == '|') {
			break
		}
		s.pos++
	}
	t.kind, t.text = barToken, s.text[start:s.pos]
	if isDigit(s.peek(0)) {
		t.endings = s.endings()
	}
	return true
}

// endings reads a list of numbers and ranges: 1,3,5-7 (4.10).
func (s *scanner) endings() string {
	n := 0
	for isDigit(s.peek(n)) || (s.peek(n) == ',' || s.peek(n) == '-') && isDigit(s.peek(n+1)) {
		n++
	}
	list := s.text[s.pos : s.pos+n]
	s.pos += n
	return list
}
