package musicxml

import (
	"bytes"
	"fmt"
	"regexp"
	"strings"
	"unicode/utf8"
	"unsafe"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"

	"waterkey/score"
)

// charset is one way a score's text is stored.
type charset struct {
	name  string
	codec encoding.Encoding // nil for UTF-8, which needs none
	width func(r rune) int  // bytes that one character takes in the file
}

func utf16Width(r rune) int {
	if r > 0xFFFF {
		return 4
	}
	return 2
}

var (
	utf8Set    = charset{"UTF-8", nil, utf8.RuneLen}
	utf16BE    = charset{"UTF-16", unicode.UTF16(unicode.BigEndian, unicode.IgnoreBOM), utf16Width}
	utf16LE    = charset{"UTF-16", unicode.UTF16(unicode.LittleEndian, unicode.IgnoreBOM), utf16Width}
	isoLatin1  = charset{"ISO-8859-1", charmap.ISO8859_1, func(rune) int { return 1 }}
	declared   = regexp.MustCompile(`^<\?xml[^>]*?encoding\s*=\s*["']([A-Za-z0-9._-]+)["']`)
	nameToSets = map[string]charset{
		"utf-8": utf8Set, "utf8": utf8Set, "us-ascii": utf8Set, "ascii": utf8Set,
		// A declaration of UTF-16 that can be read byte by byte is not true.
		"utf-16":     utf8Set,
		"iso-8859-1": isoLatin1, "iso8859-1": isoLatin1, "latin1": isoLatin1,
	}
)

// source is the score's text with the bytes it came from.
type source struct {
	raw  []byte
	bom  int // bytes of byte order mark at the start of raw
	set  charset
	text string // in UTF-8, without byte order mark
}

// decode finds the encoding by byte order mark, first characters and
// declaration, and converts the text to UTF-8.
func decode(raw []byte) (*source, error) {
	s := &source{raw: raw}
	switch {
	case bytes.HasPrefix(raw, []byte("\xEF\xBB\xBF")):
		s.bom, s.set = 3, utf8Set
	case bytes.HasPrefix(raw, []byte("\xFE\xFF")):
		s.bom, s.set = 2, utf16BE
	case bytes.HasPrefix(raw, []byte("\xFF\xFE")):
		s.bom, s.set = 2, utf16LE
	case bytes.HasPrefix(raw, []byte("\x00<")):
		s.set = utf16BE
	case bytes.HasPrefix(raw, []byte("<\x00")):
		s.set = utf16LE
	default:
		s.set = utf8Set
		if m := declared.FindSubmatch(raw); m != nil {
			set, ok := nameToSets[strings.ToLower(string(m[1]))]
			if !ok {
				return nil, fmt.Errorf("encoding %s is not read; save the file as UTF-8, UTF-16 or ISO-8859-1", m[1])
			}
			s.set = set
		}
	}
	return s, s.convert()
}

func (s *source) convert() error {
	body := s.raw[s.bom:]
	if s.set.codec == nil {
		if !utf8.Valid(body) {
			line := 1 + bytes.Count(body[:invalidAt(body)], []byte("\n"))
			return &score.ReadError{Line: line, Msg: "a byte is not valid UTF-8; if the file is ISO-8859-1 its first line has to say so"}
		}
		// Without a copy: a score of the largest size would take twice its
		// memory. The bytes are never changed (see Parse).
		s.text = unsafe.String(unsafe.SliceData(body), len(body))
		return nil
	}
	if len(body) > maxOtherBytes {
		return fmt.Errorf("the score has %d bytes in %s; at most %d are read unless it is saved as UTF-8", len(body), s.set.name, maxOtherBytes)
	}
	text, err := s.set.codec.NewDecoder().Bytes(body)
	if err != nil || bytes.ContainsRune(text, utf8.RuneError) {
		return fmt.Errorf("the text is not valid %s", s.set.name)
	}
	s.text = string(text)
	return nil
}

// invalidAt is the offset of the first byte that is not UTF-8.
func invalidAt(b []byte) int {
	for i := 0; i < len(b); {
		r, n := utf8.DecodeRune(b[i:])
		if r == utf8.RuneError && n <= 1 {
			return i
		}
		i += n
	}
	return len(b)
}

// insertion is text to put in front of the byte at an offset of source.text.
type insertion struct {
	at   int
	text string
}

// splice returns the file's bytes with the insertions, which are in order of
// their offsets, in the file's own encoding.
func (s *source) splice(ins []insertion) ([]byte, error) {
	var out []byte
	from, to := 0, s.bom // in raw
	at := 0              // in text, where to stands
	for _, in := range ins {
		for _, r := range s.text[at:in.at] {
			to += s.set.width(r)
		}
		at = in.at
		text, err := s.encode(in.text)
		if err != nil {
			return nil, err
		}
		out = append(append(out, s.raw[from:to]...), text...)
		from = to
	}
	return append(out, s.raw[from:]...), nil
}

// encode writes text in the file's encoding; a character that it lacks
// becomes a character reference.
func (s *source) encode(text string) ([]byte, error) {
	if s.set.codec == nil {
		return []byte(text), nil
	}
	return encoding.HTMLEscapeUnsupported(s.set.codec.NewEncoder()).Bytes([]byte(text))
}
