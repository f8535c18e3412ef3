package reading

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"waterkey/score"
	"waterkey/score/scoretest"
)

const (
	odeToJoy = "E3/4 E3/4 F3/4 G3/4 G3/4 F3/4 E3/4 D3/4 C3/4 C3/4 D3/4 E3/4 E3/4. D3/8 D3/2 " +
		"E3/4 E3/4 F3/4 G3/4 G3/4 F3/4 E3/4 D3/4 C3/4 C3/4 D3/4 E3/4 D3/4. C3/8 C3/2 " +
		"D3/4 D3/4 E3/4 C3/4 D3/4 E3/8 F3/8 E3/4 C3/4 D3/4 E3/8 F3/8 E3/4 D3/4 C3/4 D3/4 G2/2 " +
		"E3/4 E3/4 F3/4 G3/4 G3/4 F3/4 E3/4 D3/4 C3/4 C3/4 D3/4 E3/4 D3/4. C3/8 C3/2"
	maman = "C3/4 C3/4 G3/4 G3/4 A3/4 A3/4 G3/2 F3/4 F3/4 E3/4 E3/4 D3/4 D3/4 C3/2 " +
		"G3/4 G3/4 F3/4 F3/4 E3/4 E3/4 D3/2 G3/4 G3/4 F3/4 F3/4 E3/4 E3/4 D3/2 " +
		"C3/4 C3/4 G3/4 G3/4 A3/4 A3/4 G3/2 F3/4 F3/4 E3/4 E3/4 D3/4 D3/4 C3/2"
	auldLangSyne = "r/2. C3/4 F3/4. F3/8 F3/4 A3/4 G3/4. F3/8 G3/4 A3/4 F3/4. F3/8 A3/4 C4/4 D4/2. D4/4 " +
		"C4/4. A3/8 A3/4 F3/4 G3/4. F3/8 G3/4 A3/4 F3/4. D3/8 D3/4 C3/4 F3/2. D4/4 " +
		"C4/4. A3/8 A3/4 F3/4 G3/4. F3/8 G3/4 D4/4 C4/4. A3/8 A3/4 C4/4 D4/2. D4/4 " +
		"C4/4. A3/8 A3/4 F3/4 G3/4. F3/8 G3/4 A3/4 F3/4. D3/8 D3/4 C3/4 F3/2."
)

// TestPhrasesOfKnownMelodies: public-domain tunes whose phrases are agreed upon
// (common practice): Ode to Joy (Beethoven) in four phrases of four bars, Ah vous
// dirai-je maman (French, 18th century) in six of two bars; Auld Lang Syne (Scots, 1799)
// in four of four bars, each with its pickup.
func TestPhrasesOfKnownMelodies(t *testing.T) {
	for _, c := range []struct {
		name, text string
		bpm        float64
		want       string
	}{
		{"Ode to Joy", odeToJoy, 120, "1-4 5-8 9-12 13-16"},
		{"Ode to Joy, slowly", odeToJoy, 80, "1-4 5-8 9-12 13-16"},
		{"Auld Lang Syne", auldLangSyne, 90, "1-5 5-9 9-13 13-17"},
		{"Ah vous dirai-je maman", maman, 100, "1-2 3-4 5-6 7-8 9-10 11-12"},
		{"Ah vous dirai-je maman, slowly", maman, 66, "1-2 3-4 5-6 7-8 9-10 11-12"},
	} {
		p := page(t, "tenor", scoretest.Part(t, common, c.bpm, c.text))
		if got := barsOf(p, Phrases(p)); got != c.want {
			t.Errorf("%s: phrases %s, want %s", c.name, got, c.want)
		}
	}
}

// barsOf writes phrases as "1-4 5-8".
func barsOf(p *Page, phrases []Phrase) string {
	var out []string
	for _, f := range phrases {
		out = append(out, p.number(p.note(f.First).Bar)+"-"+p.number(p.note(f.Last).Bar))
	}
	return strings.Join(out, " ")
}

// TestPhraseEnds: each sign on the page ends a phrase where the same notes without
// it go on. What counts as a sign is common practice.
func TestPhraseEnds(t *testing.T) {
	const bar = "F3/4 G3/4 F3/4 G3/4 "
	even := func(third string) string { return bar + "F3/4 G3/4 F3/4 " + third + " " + bar + bar }
	for _, c := range []struct {
		name, text string
		edit       func(*score.Part)
		want       string
	}{
		{"nothing", even("G3/4"), nil, "1-4"},
		{"a breath mark", even("G3/4,"), nil, "1-2 3-4"},
		{"a fermata", even("G3/4!"), nil, "1-2 3-4"},
		{"a repeat", even("G3/4"), func(p *score.Part) { p.Bars[2].RepeatStart = true }, "1-2 3-4"},
		{"a new key", even("G3/4"), func(p *score.Part) {
			p.Keys = append(p.Keys, score.KeyMark{At: p.Bars[2].Start, Bar: 2, Key: score.Key{Fifths: 2}})
		}, "1-2 3-4"},
		{"a rest", even("r/4"), nil, "1-2 3-4"},
		{"a long silence", even("r/4") + "r/1 r/1 F3/1", nil, "1-2 3-4 7-7"},
		{"a mark under a slur", bar + "F3/4 G3/4 F3/4 G3/4(, " + bar + bar, nil, "1-4"},
		{"a mark too early", "F3/4, G3/4 F3/4 G3/4 " + bar + bar + bar, nil, "1-4"},
	} {
		part := scoretest.Part(t, common, 90, c.text)
		if c.edit != nil {
			c.edit(part)
		}
		p := page(t, "tenor", part)
		if got := barsOf(p, Phrases(p)); got != c.want {
			t.Errorf("%s: phrases %s, want %s", c.name, got, c.want)
		}
	}
}

// TestPickupBelongsToTheNextSection: a repeat in front of bar 3, with a rest and two
// pickup notes before it, ends the phrase at the rest.
func TestPickupBelongsToTheNextSection(t *testing.T) {
	part := scoretest.Part(t, common, 90, "F3/4 G3/4 F3/4 G3/4 F3/4 r/8 G3/8 F3/4 G3/4 F3/4 G3/4 F3/4 G3/4 F3/4 G3/4 F3/4 G3/4")
	part.Bars[2].RepeatStart = true
	p := page(t, "tenor", part)
	if got := Phrases(p); len(got) != 2 || got[0].Last != 4 {
		t.Errorf("%+v, want the first phrase to end on note 4, before the rest", got)
	}
}

// TestPeakAndGoal: the high point and the note led to, in figures where there is no
// doubt (common practice).
func TestPeakAndGoal(t *testing.T) {
	for _, c := range []struct {
		name, text string
		peak, goal int
	}{
		{"the top on a downbeat", "C3/4 D3/4 E3/4 F3/4 A3/2 G3/4 F3/4", 4, 4},
		{"a long last note", "G3/4 F3/4 E3/4 D3/4 C3/1", 0, 4},
		{"an accent", "F3/4 F3/4 E3/4 E3/4 E3/4 D3/4> D3/4 C3/4", 0, 5},
		{"loud beats high", "=p F3/4 G3/4 F3/4 E3/4 =ff E3/4 D3/4 C3/4 D3/4", 4, 4},
		{"one pitch leads nowhere", "F3/4 F3/4 F3/4 F3/4", 0, 0},
	} {
		p := page(t, "tenor", scoretest.Part(t, common, 100, c.text))
		want := []Phrase{{0, p.notes() - 1, c.peak, c.goal}}
		if diff := cmp.Diff(want, Phrases(p)); diff != "" {
			t.Errorf("%s (-want +got):\n%s", c.name, diff)
		}
	}
}

// TestLeaningNotes: an appoggiatura is slurred down a step to a weaker place after
// a leap or its own pitch; a scale, an upward step, a weak place or a tongued pair is
// none (common practice).
func TestLeaningNotes(t *testing.T) {
	for _, c := range []struct {
		name, text string
		want       bool
	}{
		{"by a leap", "C3/4 D3/4 E3/4 C3/4 A3/4( G3/4 C3/2", true},
		{"prepared", "C3/4 D3/4 E3/4 F3/4 F3/4( E3/4 G3/2", true},
		{"a scale", "C4/4 B3/4 A3/4 G3/4 F3/4( E3/4 D3/2", false},
		{"a chromatic pair", "C3/4 D3/4 E3/4 C3/4 Db4/4( B3/4 C3/2", false},
		{"an augmented second", "C3/4 D3/4 E3/4 C3/4 B3/4( Ab3/4 C3/2", false},
		{"by a step", "C3/4 D3/4 E3/4 G3/4 A3/4( G3/4 C3/2", false},
		{"running on", "C3/4 D3/4 E3/4 C3/4 A3/4( G3/4 F3/2", false},
		{"upward", "C3/4 D3/4 E3/4 C3/4 G3/4( A3/4 C3/2", false},
		{"tongued", "C3/4 D3/4 E3/4 C3/4 A3/4 G3/4 C3/2", false},
		{"on a weak place", "C3/4 D3/4 E3/4 C3/8 A3/8( G3/4 C3/4 C3/2", false},
	} {
		l := newLine(page(t, "tenor", scoretest.Part(t, common, 100, c.text)))
		if got := l.leans(4, lineSpan{0, len(l.notes) - 1}); got != c.want {
			t.Errorf("%s: leaning %v, want %v", c.name, got, c.want)
		}
	}
}

// drawPart is a random part of whole bars: notes, rests, marks, slurs, grace notes.
func drawPart(t *rapid.T, tb testing.TB) *score.Part {
	var text strings.Builder
	for range rapid.IntRange(1, 12).Draw(t, "bars") {
		for _, value := range rapid.SampledFrom([][]int{{1}, {2, 2}, {4, 4, 2}, {4, 4, 4, 4}, {8, 8, 4, 8, 8, 4}, {16, 16, 8, 2, 4}}).Draw(t, "rhythm") {
			name := rapid.SampledFrom([]string{"r", "F2", "Bb2", "D3", "F3", "A3", "C4"}).Draw(t, "pitch")
			sign := ""
			if name != "r" {
				sign = rapid.SampledFrom([]string{"", "", "", "(", ",", "!", ">", "'"}).Draw(t, "sign")
			}
			fmt.Fprintf(&text, "%s/%d%s ", name, value, sign)
		}
	}
	part := scoretest.Part(tb, common, rapid.Float64Range(40, 200).Draw(t, "bpm"), text.String())
	for i := range part.Notes {
		if rapid.IntRange(0, 9).Draw(t, "grace") == 0 {
			n := &part.Notes[i]
			n.Grace, n.Duration, n.Pieces[0].Duration = true, score.Time{}, score.Time{}
		}
	}
	return part
}

// TestPhrasesHoldEveryNoteOnce: the list runs through all notes without gap or
// overlap, with peak and goal inside, and no phrase within an entry is shorter than
// minPhrase.
func TestPhrasesHoldEveryNoteOnce(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		p := page(t, "tenor", drawPart(rt, t))
		next := 0
		for _, f := range Phrases(p) {
			if f.First != next || f.Last < f.First || f.Peak < f.First || f.Peak > f.Last || f.Goal < f.First || f.Goal > f.Last {
				rt.Fatalf("%+v after note %d", f, next-1)
			}
			next = f.Last + 1
		}
		if next != p.notes() {
			rt.Fatalf("%d of %d notes", next, p.notes())
		}
	})
}

// TestDivideIsBest is the certificate of the division: no other choice of ends, all
// tried, is worth more.
func TestDivideIsBest(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		l := newLine(page(t, "tenor", drawPart(rt, t)))
		for _, e := range l.entries() {
			if e.to-e.from > 12 { // 2^12 divisions are tried at most
				continue
			}
			got := l.value(e, l.divide(e))
			best := math.Inf(-1)
			for choice := range 1 << (e.to - e.from) {
				best = max(best, l.value(e, divided(e, choice)))
			}
			if math.Abs(got-best) > 1e-9 {
				rt.Fatalf("entry %+v: worth %g, best %g", e, got, best)
			}
		}
	})
}

// divided cuts an entry after every note whose bit is set.
func divided(e lineSpan, choice int) []lineSpan {
	out := []lineSpan{}
	from := e.from
	for i := e.from; i < e.to; i++ {
		if choice>>(i-e.from)&1 == 1 {
			out = append(out, lineSpan{from, i})
			from = i + 1
		}
	}
	return append(out, lineSpan{from, e.to})
}

// value recomputes what a division is worth; minus infinity when it breaks a rule.
func (l *line) value(e lineSpan, parts []lineSpan) float64 {
	evidence := l.evidence(e)
	sum := 0.0
	for _, ph := range parts {
		length := l.seconds(ph)
		if length < minPhrase && ph != e {
			return math.Inf(-1)
		}
		sum += l.worth(ph, length)
		if ph.to != e.to {
			if evidence[ph.to-e.from] < leastEvidence {
				return math.Inf(-1)
			}
			sum += evidence[ph.to-e.from] - cutCost
		}
	}
	return sum
}

// TestGraceNotesOnly: a page without a counted note is one phrase.
func TestGraceNotesOnly(t *testing.T) {
	part := scoretest.Part(t, common, 90, "F3/4 G3/4 A3/2")
	for i := range part.Notes {
		n := &part.Notes[i]
		n.Grace, n.Duration, n.Pieces[0].Duration = true, score.Time{}, score.Time{}
	}
	p := page(t, "tenor", part)
	if diff := cmp.Diff([]Phrase{{Last: 2}}, Phrases(p)); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	if got := choices(p); len(got) != 0 {
		t.Errorf("grace notes alone are given %+v", got)
	}
}
