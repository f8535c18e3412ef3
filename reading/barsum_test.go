package reading

import (
	"strings"
	"testing"

	"waterkey/score"
	"waterkey/score/scoretest"
)

// TestBarSumExcuses: which short bars are no misprint (common practice).
func TestBarSumExcuses(t *testing.T) {
	quarters := func(p *score.Part, bar int, n int64) { p.Bars[bar].Length = score.Frac(n, 4) }
	for name, c := range map[string]struct {
		edit func(*score.Part)
		want string
	}{
		"pickup alone": {func(p *score.Part) { quarters(p, 0, 1) }, ""},
		"a long pickup that the end completes": {func(p *score.Part) {
			quarters(p, 0, 3)
			quarters(p, 5, 1)
		}, ""},
		"a long pickup that nothing completes": {func(p *score.Part) { quarters(p, 0, 3) },
			"Bar 1 holds 3 quarters; its meter, 4/4, asks for 4 quarters."},
		"a pickup numbered 0": {func(p *score.Part) {
			quarters(p, 0, 3)
			p.Bars[0].Number = "0"
		}, ""},
		"an end that completes nothing": {func(p *score.Part) {
			quarters(p, 0, 1)
			quarters(p, 5, 2)
		}, "Bar 6 holds 2 quarters; its meter, 4/4, asks for 4 quarters."},
		"a short last bar without a pickup": {func(p *score.Part) { quarters(p, 5, 3) },
			"Bar 6 holds 3 quarters; its meter, 4/4, asks for 4 quarters."},
		"a repeat back to the pickup": {func(p *score.Part) {
			quarters(p, 0, 1)
			quarters(p, 3, 3)
			p.Bars[3].RepeatEnd = 2
		}, ""},
		"a repeat with a pickup of its own": {func(p *score.Part) {
			quarters(p, 2, 1)
			p.Bars[1].RepeatEnd, p.Bars[2].RepeatStart = 2, true
			quarters(p, 5, 3)
			p.Bars[5].RepeatEnd = 2
		}, "Bar 3 holds 1 quarter; its meter, 4/4, asks for 4 quarters."},
		"a bar divided by a repeat sign": {func(p *score.Part) {
			quarters(p, 1, 3)
			quarters(p, 2, 1)
			p.Bars[1].RepeatEnd, p.Bars[2].RepeatStart = 2, true
			quarters(p, 5, 3)
			p.Bars[5].RepeatEnd = 2
		}, ""},
		"a first ending": {func(p *score.Part) {
			quarters(p, 0, 1)
			quarters(p, 3, 3)
			p.Bars[3].Endings, p.Bars[3].RepeatEnd = []int{1}, 2
		}, ""},
		"before a D.C.": {func(p *score.Part) {
			quarters(p, 0, 1)
			quarters(p, 4, 3)
			p.Bars[4].DaCapo = true
		}, ""},
		"before a D.S.": {func(p *score.Part) {
			quarters(p, 2, 1)
			p.Bars[2].Segno, p.Bars[2].Implicit = true, true
			quarters(p, 4, 3)
			p.Bars[4].DalSegno = true
		}, ""},
		"in the middle": {func(p *score.Part) {
			quarters(p, 0, 1)
			quarters(p, 3, 3)
		}, "Bar 4 holds 3 quarters; its meter, 4/4, asks for 4 quarters."},
		"empty": {func(p *score.Part) { quarters(p, 3, 0) }, "Bar 4 is empty, without even a rest."},
		"many": {func(p *score.Part) {
			for i := 1; i < 6; i++ {
				quarters(p, i, 5)
			}
		}, "Bars do not add up: bar 2 (5 quarters in 4/4), bar 3 (5 quarters in 4/4), bar 4 (5 quarters in 4/4), " +
			"bar 5 (5 quarters in 4/4) and bar 6 (5 quarters in 4/4)."},
		"free time": {func(p *score.Part) {
			quarters(p, 3, 9)
			p.Bars[3].Meter = score.Meter{}
		}, ""},
	} {
		part := scoretest.Part(t, common, 90, strings.Repeat("F3/1 ", 6))
		c.edit(part)
		if got := said(barSum(page(t, "tenor", part)), "bar-sum"); got != c.want {
			t.Errorf("%s: %q, want %q", name, got, c.want)
		}
	}
}
