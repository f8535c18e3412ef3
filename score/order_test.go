package score

import (
	"fmt"
	"strconv"
	"strings"
	"testing"
)

// page builds a part of whole-note bars in 4/4 from one word per bar. A bar is
// its letter with its signs: "|:" before and ":|" after for repeats (":|3" for
// three times), "[1,2]" before for an ending, and after it "%" with segno,
// coda, tocoda, fine, dc or ds. It panics on anything else.
func page(text string) *Part {
	p := &Part{}
	for i, word := range strings.Fields(text) {
		b := Bar{Start: Frac(int64(i), 1), Length: Frac(1, 1), Meter: Meter{Beats: 4, Unit: 4}}
		word, b.RepeatStart = strings.CutPrefix(word, "|:")
		if rest, ok := strings.CutPrefix(word, "["); ok {
			numbers, after, _ := strings.Cut(rest, "]")
			for n := range strings.SplitSeq(numbers, ",") {
				b.Endings = append(b.Endings, number(n))
			}
			word = after
		}
		b.Number, word = word[:1], word[1:]
		if rest, ok := strings.CutPrefix(word, ":|"); ok {
			b.RepeatEnd, word = 2, rest
			if word != "" && word[0] != '%' {
				b.RepeatEnd, word = number(word), ""
			}
		}
		for sign := range strings.SplitSeq(strings.TrimPrefix(word, "%"), "%") {
			mark, ok := map[string]*bool{"": new(bool), "segno": &b.Segno, "coda": &b.Coda, "tocoda": &b.ToCoda,
				"fine": &b.Fine, "dc": &b.DaCapo, "ds": &b.DalSegno}[sign]
			if !ok {
				panic(fmt.Sprintf("sign %q in %q", sign, text))
			}
			*mark = true
		}
		p.Bars = append(p.Bars, b)
	}
	return p
}

func number(s string) int {
	n, err := strconv.Atoi(s)
	if err != nil {
		panic(err)
	}
	return n
}

// TestOrder: how repeats, endings and jumps are played (common practice).
func TestOrder(t *testing.T) {
	for name, c := range map[string]struct{ page, want string }{
		"plain":                        {"A B C", "ABC"},
		"empty":                        {"", ""},
		"repeat from the start":        {"A B:| C", "ABABC"},
		"repeat with start sign":       {"A |:B C:| D", "ABCBCD"},
		"one bar repeated":             {"A |:B:| C", "ABBC"},
		"three times":                  {"|:A B:|3 C", "ABABABC"},
		"two endings":                  {"|:A [1]B:| [2]C D", "ABACD"},
		"two endings of two bars":      {"|:A [1]B [1]C:| [2]D [2]E F", "ABCADEF"},
		"endings 1,2 and 3":            {"|:A [1,2]B:| [3]C D", "ABABACD"},
		"three endings, two repeats":   {"|:A [1]B:| [2]C:| [3]D E", "ABACADE"},
		"endings 1,3 and 2,4":          {"|:A [1,3]B:| [2,4]C:| D", "ABACABACD"},
		"repeat sign at both endings":  {"|:A [1]B:| [2]C:| D", "ABACD"},
		"a first ending alone":         {"|:A [1]B:| C", "ABAC"},
		"first ending alone, D.C.":     {"|:A [1]B:| C%fine D%dc", "ABACDAC"},
		"repeat after a lone ending":   {"|:A [1]B:| C D:| E", "ABACDCDE"},
		"endings right after endings":  {"|:A [1]B:| [2]C |:D [1]E:| [2]F G", "ABACDEDFG"},
		"second ending alone":          {"A B:| [2]C D", "ABABCD"},
		"repeats in a row, no start":   {"A B:| C D:| E", "ABABCDCDE"},
		"repeats in a row":             {"|:A:| |:B:| C", "AABBC"},
		"repeat after endings":         {"|:A [1]B:| [2]C D:| E", "ABACDDE"},
		"unclosed repeat":              {"A |:B C", "ABC"},
		"start sign replaced":          {"|:A |:B C:| D", "ABCBCD"},
		"played once":                  {"A B:|1 C", "ABC"},
		"D.C. al Fine":                 {"A B%fine C D%dc", "ABCDAB"},
		"D.C. without Fine":            {"A B%dc C", "ABABC"},
		"Fine before the jump":         {"A%fine B", "AB"},
		"D.S.":                         {"A B%segno C%fine D%ds", "ABCDBC"},
		"D.S. al Coda":                 {"A B%segno C%tocoda D E%ds F%coda G", "ABCDEBCFG"},
		"D.C. al Coda":                 {"A%tocoda B C%dc D%coda", "ABCAD"},
		"D.S. without a segno":         {"A B%ds C", "ABABC"},
		"to coda without a coda":       {"A%tocoda B%dc C", "ABABC"},
		"no repeats after D.C.":        {"|:A B:| C%fine D%dc", "ABABCDABC"},
		"repeat in the coda":           {"A%tocoda B C%dc D:|%coda E", "ABCADDE"},
		"endings in the coda":          {"A%tocoda B%dc |:C%coda [1]D:| [2]E", "ABACDCE"},
		"last ending after D.C.":       {"|:A [1]B:| [2]C D%fine E%dc", "ABACDEACD"},
		"its repeat sign too":          {"|:A [1,3]B:| [2,4]C:| D%fine E%dc", "ABACABACDEACD"},
		"repeat and D.C. in one bar":   {"A%fine |:B C:|%dc", "ABCBCA"},
		"a jump is taken once":         {"A B%dc", "ABAB"},
		"endings with a number missed": {"|:A [1]B:| [3]C D", "ABACD"},
	} {
		p := page(c.page)
		order, err := p.Order()
		got := ""
		for _, i := range order {
			got += p.Bars[i].Number
		}
		if err != nil || got != c.want {
			t.Errorf("%s: %q is played %q (%v), want %q", name, c.page, got, err, c.want)
		}
	}
}

func TestOrderRunsAway(t *testing.T) {
	for _, text := range []string{"A B:|2000000", "|:A [1]B:| [2000000]C", "|:A [1,3]B:| [2,2000000]C:|"} {
		order, err := page(text).Order()
		if err == nil && len(order) > maxPlayedBars {
			t.Errorf("%q unfolds to %d bars", text, len(order))
		}
	}
	_, err := page("A B:|2000000").Order()
	if err == nil || !strings.Contains(err.Error(), "bar A") && !strings.Contains(err.Error(), "bar B") {
		t.Errorf("error %v, want one that names the bar", err)
	}
}
