package paper

import (
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"waterkey/demo"
	"waterkey/desk"
	"waterkey/finding"
)

// fullLesson is a lesson with all that its sheet can hold.
func fullLesson() *desk.Lesson {
	l := desk.NewLesson(time.Date(2026, 11, 25, 12, 0, 0, 0, time.UTC))
	l.Takes["t1"] = "24 November, 17:42"
	l.Advice = &desk.LessonAdvice{Take: "the take of 24 November, 17:42", Says: []finding.Finding{
		{Stage: finding.Notes, Kind: "wrong-note", Bars: []string{"24", "24"}, Says: "Bar 24: B♭3 sounds where B3 is written.", Do: "Circle the natural."},
		{Stage: finding.Rhythm, Kind: "rush", Bars: []string{"10", "11"}, Says: "Bars 10 and 11 rush.", Do: "Tap the beat."}}}
	l.Next = &desk.LessonNext{Day: "today", Focus: "Notes first.", Minutes: 30}
	for range 9 {
		l.Next.Items = append(l.Next.Items, desk.LessonItem{Minutes: 3, Label: "Bars 13 to 18", Turns: "half = 66, 5 turns, rest 15 s after each", What: "Sing it, then play it; stop on any note you would not sign."})
	}
	return l
}

// overLines says what stands where the lines to write on are, or leaves its page.
const overLines = `(() => {
  const out = [], at = (e) => e.getBoundingClientRect();
  const sheets = [...document.querySelectorAll('.sheet')], lines = document.querySelector('.lines');
  if (!lines) return ['no lines'];
  if (lines.parentElement !== sheets.at(-1)) out.push('the lines are not on the last page');
  for (const c of lines.parentElement.querySelectorAll('.column, header')) if (at(c).bottom > at(lines).top) out.push(c.className + ' reaches into the lines');
  if (at(lines).bottom > at(lines.parentElement.querySelector('footer')).top) out.push('the lines reach into the foot');
  for (const s of sheets) for (const c of s.querySelectorAll('.column')) if (at(c).bottom > at(s.querySelector('footer')).top) out.push('a column leaves its page');
  return out;
})()`

// The sheet of a lesson has room to write, whatever stands on it, on both papers.
func TestLessonHasRoomToWrite(t *testing.T) {
	p := printer(t)
	for _, size := range []Size{A4, Letter} {
		for name, l := range map[string]*desk.Lesson{"full": fullLesson(), "empty": desk.NewLesson(time.Now())} {
			o := demoOrder(t, demo.TakePart)
			o.Size, o.Contents, o.Lesson = size, Lesson, l
			if _, err := p.PDF(t.Context(), o); err != nil {
				t.Fatal(err)
			}
			found, err := chromedp.Run(p.tab, chromedp.Evaluate[[]string](overLines))
			if err != nil {
				t.Fatal(err)
			}
			count, err := chromedp.Run(p.tab, chromedp.Evaluate[int]("document.querySelectorAll('.lines .line').length"))
			if err != nil {
				t.Fatal(err)
			}
			if len(found) > 0 || count < 6 {
				t.Errorf("%s, %s: %d lines, %v; want 6 or more, clear of all else", size, name, count, found)
			}
		}
	}
}
