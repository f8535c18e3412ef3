package abc

import (
	"bytes"
	"fmt"
	"regexp"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"

	"waterkey/score"
)

// charsets are the character sets of 3.1.17 besides UTF-8 and ASCII.
var charsets = map[string]*charmap.Charmap{
	"iso-8859-1": charmap.ISO8859_1, "iso-8859-2": charmap.ISO8859_2, "iso-8859-3": charmap.ISO8859_3,
	"iso-8859-4": charmap.ISO8859_4, "iso-8859-5": charmap.ISO8859_5, "iso-8859-6": charmap.ISO8859_6,
	"iso-8859-7": charmap.ISO8859_7, "iso-8859-8": charmap.ISO8859_8, "iso-8859-9": charmap.ISO8859_9,
	"iso-8859-10": charmap.ISO8859_10,
}

// declaredCharset finds a charset field (3.1.17).
var declaredCharset = regexp.MustCompile(`(?mi)^(?:I:|%%)[ \t]*abc-charset[ \t]+([a-z0-9-]+)`)

// decode turns a file into text in UTF-8 with a line feed at every line's end
// (8). The character set is the declared one; without declaration, UTF-8, and
// ISO-8859-1 where the bytes are no UTF-8, as in files older than the
// standard.
func decode(data []byte) (string, error) {
	if bytes.HasPrefix(data, []byte("\xFE\xFF")) || bytes.HasPrefix(data, []byte("\xFF\xFE")) {
		return "", fmt.Errorf("the file is in UTF-16; save it as UTF-8")
	}
	data = bytes.TrimPrefix(data, []byte("\xEF\xBB\xBF"))
	if i := bytes.IndexByte(data, 0); i >= 0 {
		return "", &score.ReadError{Line: 1 + bytes.Count(data[:i], []byte("\n")), Msg: "a zero byte: this is no text file"}
	}
	text := string(data)
	set := charmap.ISO8859_1
	if m := declaredCharset.FindStringSubmatch(text); m != nil && charsets[strings.ToLower(m[1])] != nil {
		set = charsets[strings.ToLower(m[1])]
	} else if utf8.Valid(data) {
		set = nil
	}
	if set != nil {
		var err error
		if text, err = set.NewDecoder().String(text); err != nil {
			return "", err
		}
	}
	text = strings.ReplaceAll(text, "\r\n", "\n")
	return strings.ReplaceAll(text, "\r", "\n"), nil
}
