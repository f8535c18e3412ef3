package abc

import (
	"html"
	"regexp"
	"strconv"
	"strings"
	"unicode/utf8"

	"waterkey/score"
)

// accents are the mnemonics of 14.1, and the two older ones its errata name.
var accents = map[string]string{
	"`": "AÀaàEÈeèIÌiìOÒoòUÙuù", "'": "AÁaáEÉeéIÍiíOÓoóUÚuúYÝyý",
	"^": "AÂaâEÊeêIÎiîOÔoôUÛuûYŶyŷ", "~": "AÃaãNÑnñOÕoõ",
	`"`: "AÄaäEËeëIÏiïOÖoöUÜuüYŸyÿ", "c": "CÇcç", ",": "CÇcç",
	"A": "AÅEÆ", "a": "aåeæ", "o": "AÅaåeœ", "/": "OØoø", "u": "AĂaăEĔeĕ",
	"v": "SŠsšZŽzž", "H": "OŐoőUŰuű",
	"O": "EŒ", "s": "sß", "D": "HÐ", "d": "hð", "T": "HÞ", "t": "hþ",
}

var fontChange = regexp.MustCompile(`\$[0-4$]`)

// plainText resolves the escapes of a text string (8.2): accents by mnemonic,
// HTML entity and number, and changes of font.
func plainText(s string) string {
	var b strings.Builder
	for i := 0; i < len(s); {
		switch s[i] {
		case '\\':
			text, n := escaped(s[i:])
			b.WriteString(text)
			i += n
		case '&':
			text, n := entity(s[i:])
			b.WriteString(text)
			i += n
		case '$':
			if font := fontChange.FindString(s[i:min(i+2, len(s))]); font != "" {
				b.WriteString(strings.TrimLeft(font[1:], "01234"))
				i += len(font)
				continue
			}
			b.WriteByte('$')
			i++
		default:
			b.WriteByte(s[i])
			i++
		}
	}
	return score.Plain(b.String())
}

// escaped is what a backslash and the characters after it stand for, and how
// many bytes they take.
func escaped(s string) (text string, n int) {
	if len(s) < 2 {
		return "", len(s)
	}
	for mark, digits := range map[byte]int{'u': 4, 'U': 8} {
		if s[1] == mark && len(s) >= 2+digits {
			if code, err := strconv.ParseUint(s[2:2+digits], 16, 32); err == nil && code <= utf8.MaxRune {
				return string(rune(code)), 2 + digits
			}
		}
	}
	if len(s) >= 3 {
		letters := []rune(accents[s[1:2]])
		for i := 0; i+1 < len(letters); i += 2 {
			if string(letters[i]) == s[2:3] {
				return string(letters[i+1]), 3
			}
		}
	}
	if strings.IndexByte(`\%&"`, s[1]) >= 0 {
		return s[1:2], 2
	}
	return "", 1 // reduced to the base letter
}

// entity is what an ampersand and the name after it stand for.
func entity(s string) (text string, n int) {
	if end := strings.IndexByte(s[:min(len(s), 12)], ';'); end > 1 {
		if text := html.UnescapeString(s[:end+1]); text != s[:end+1] {
			return text, end + 1
		}
	}
	return "&", 1
}
