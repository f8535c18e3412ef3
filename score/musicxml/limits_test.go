package musicxml

import (
	"strings"
	"testing"

	"waterkey/score"
)

// TestLimits: one more than is read ends in an error that says the limit.
func TestLimits(t *testing.T) {
	c3 := "<note><pitch><step>C</step><octave>3</octave></pitch><duration>1</duration></note>"
	bar := "<measure number=\"1\">" + c3 + "</measure>"
	part := func(bars string) string {
		return `<score-partwise><part-list><score-part id="P1"><part-name>T</part-name></score-part></part-list><part id="P1">` + bars + `</part></score-partwise>`
	}
	for _, tt := range []struct{ name, text, want string }{
		{"elements", part("<measure>" + strings.Repeat("<a/>", maxPartElements+1) + "</measure>"), "at most 600000 are read"},
		{"attributes", part("<a" + strings.Repeat(` b="c"`, maxAttributes+1) + "/>"), "more than 256 attributes"},
		{"notes", part("<measure>" + strings.Repeat(c3, maxNotes+1) + "</measure>"), "at most 100000 are read"},
		{"bars", part(strings.Repeat(bar, maxBars+1)), "at most 20000 are read"},
		{"text", part(strings.Repeat(" ", maxTextBytes)), "at most 67108864 are read"},
	} {
		d, err := Parse("t.xml", []byte(tt.text))
		if err == nil {
			_, err = d.Part(score.Selection{})
		}
		if err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%s: %v, want %q", tt.name, err, tt.want)
		}
	}
}
