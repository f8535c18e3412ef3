package reading

import (
	"strings"
	"testing"

	"waterkey/score"
	"waterkey/score/scoretest"
)

// quarters is a moment of the page in quarter notes.
func quarters(n int64) score.Time { return score.Frac(n, 4) }

// wedge is a hairpin between two quarters of a part in 4/4; the bar of its tip is
// that of the last quarter in it.
func wedge(from, to int64, grow bool) score.Wedge {
	return score.Wedge{From: quarters(from), To: quarters(to), FromBar: int(from / 4), ToBar: int((to - 1) / 4), Grow: grow}
}

// TestHairpins: start, goal and length as a player reads them off the page
// (common practice), at one quarter note a second.
func TestHairpins(t *testing.T) {
	const bars = "F3/4 F3/4 F3/4 F3/4 "
	for _, c := range []struct {
		name   string
		text   string
		wedges []score.Wedge
		words  []score.Words
		want   string
	}{
		{"none", "=p " + bars, nil, nil, ""},
		{"to a goal", "=p F3/4 F3/4 F3/4 =f F3/4", []score.Wedge{wedge(0, 3, true)}, nil, "Crescendo in bar 1, from p to f."},
		{"goal a quarter late", "=f F3/4 F3/4 F3/4 F3/4 =p " + bars, []score.Wedge{wedge(0, 3, false)}, nil, "Diminuendo in bar 1, from f to p."},
		{"long", "=p " + bars + bars + "=ff " + bars, []score.Wedge{wedge(0, 8, true)}, nil, "Crescendo in bars 1 to 2, from p to ff, 8 s."},
		{"to the bar line", "=p " + bars + "=f " + bars, []score.Wedge{{To: quarters(4), ToBar: 1, Grow: true}}, nil, "Crescendo in bar 1, from p to f, 4 s."},
		{"no goal", "=p " + bars + bars + bars, []score.Wedge{wedge(0, 3, true)}, nil, "Crescendo in bar 1, from p, no goal printed."},
		{"goal too far off", "=p " + bars + bars + "=f " + bars, []score.Wedge{wedge(0, 3, true)}, nil, "Crescendo in bar 1, from p, no goal printed."},
		{"sudden after it", "=p F3/4 F3/4 F3/4 =p F3/4", []score.Wedge{wedge(0, 3, true)}, nil, "Crescendo in bar 1, from p, then p at once."},
		{"to the end", "=p F3/4 F3/4 F3/2", []score.Wedge{wedge(0, 4, false)}, nil, "Diminuendo in bar 1, from p to the end, 4 s."},
		{"there and back", "=p " + bars + bars, []score.Wedge{wedge(0, 2, true), wedge(2, 3, false)}, nil,
			"Crescendo in bar 1, from p and back. Diminuendo in bar 1, from mp, back to where it came from."},
		{"several", "=p F3/4 F3/4 F3/4 =f F3/4 =p F3/4 F3/4 F3/4 =ff F3/4", []score.Wedge{wedge(0, 3, true), wedge(4, 7, true)}, nil,
			"Crescendos: bar 1 (p to f) and bar 2 (p to ff)."},
		{"a word to a level", "=p " + bars + "=f " + bars, nil, []score.Words{{At: quarters(2), Text: "cresc. molto"}}, "Crescendo in bars 1 to 2, from p to f."},
		{"a word without a level", "=f " + bars + bars, nil, []score.Words{{At: quarters(2), Text: "dim."}}, "Diminuendo in bar 1, from f, no goal printed."},
		{"a word, then a level on the other side", "=p " + bars + "=pp " + bars, nil, []score.Words{{At: quarters(1), Text: "cresc."}},
			"Crescendo in bar 1, from p, no goal printed."},
		{"a word, then a level after a rest", "=f F3/4 F3/4 r/2 r/1 =p " + bars, nil, []score.Words{{At: quarters(1), Text: "dim."}},
			"Diminuendo in bar 1, from f, no goal printed."},
		{"a word that a hairpin takes up", "=p F3/4 F3/4 F3/4 =f F3/4", []score.Wedge{wedge(1, 3, true)}, []score.Words{{At: quarters(0), Text: "cresc."}},
			"Crescendo in bar 1, from p to f."},
		{"no such word", "=p " + bars, nil, []score.Words{{Text: "dimenticato"}}, ""},
	} {
		part := scoretest.Part(t, common, 60, c.text)
		part.Wedges, part.Words = c.wedges, c.words
		var says []string
		for _, f := range hairpin(page(t, "tenor", part)) {
			says = append(says, f.Says)
		}
		if got := strings.Join(says, " "); got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

// TestSudden: a change is sudden when nothing prepares it and no rest stands
// between (common practice).
func TestSudden(t *testing.T) {
	for _, c := range []struct {
		name, text string
		wedges     []score.Wedge
		words      []score.Words
		attack     string
		want       string
	}{
		{"loud to soft", "=ff F3/2 =p F3/2", nil, nil, "", "Sudden p at bar 1, after ff."},
		{"soft to loud", "=p F3/2 =f F3/2", nil, nil, "", "Sudden f at bar 1, after p."},
		{"a small step", "=f F3/2 =mf F3/2", nil, nil, "", ""},
		{"a hairpin between", "=p F3/2 =f F3/2", []score.Wedge{wedge(0, 2, true)}, nil, "", ""},
		{"a hairpin the other way", "=p F3/2 =f F3/2", []score.Wedge{wedge(0, 2, false)}, nil, "", "Sudden f at bar 1, after p."},
		{"a word between", "=p F3/2 =f F3/2", nil, []score.Words{{At: quarters(1), Text: "cresc."}}, "", ""},
		{"a rest between", "=p F3/2 r/2 r/1 =f F3/2", nil, nil, "", ""},
		{"two", "=p F3/4 =f F3/4 =p F3/2", nil, nil, "", "Sudden changes: f at bar 1 after p and p at bar 1 after f."},
		{"part of an accent", "=f F3/2 =p F3/2", nil, nil, "fp", ""},
	} {
		part := scoretest.Part(t, common, 60, c.text)
		part.Wedges, part.Words = c.wedges, c.words
		part.Notes[1].Attack = c.attack
		says := ""
		for _, f := range sudden(page(t, "tenor", part)) {
			says += f.Says
		}
		if says != c.want {
			t.Errorf("%s: %q, want %q", c.name, says, c.want)
		}
	}
}
