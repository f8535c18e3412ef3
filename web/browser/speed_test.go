package browser

import (
	"testing"

	"github.com/chromedp/chromedp"
)

// TestSpeed measures first paint and the staff, with the engraver cold, warm and
// with the page drawn before. The bounds are those of the front end's design.
func TestSpeed(t *testing.T) {
	b := open(t, "demo", 1440, 900)
	b.until("document.querySelectorAll('article').length === 3")
	paint := func(what string) float64 {
		ms := eval[float64](b, "performance.getEntriesByName('first-contentful-paint')[0]?.startTime ?? NaN")
		t.Logf("%s: first paint %.0f ms", what, ms)
		return ms
	}
	if ms := paint("parts, first time"); !(ms < 1000) {
		t.Errorf("first paint after %.0f ms, want under 1000", ms)
	}
	// The page at once, before the engraver has started.
	page := eval[string](b, "document.querySelector('article a').href")
	b.do(chromedp.Navigate(page))
	staff := func() float64 {
		b.staff()
		return eval[float64](b, "performance.getEntriesByName('staff')[0].startTime")
	}
	t.Logf("staff, engraver cold: %.0f ms after opening the address", staff())
	b.do(chromedp.Reload())
	known := staff()
	t.Logf("staff, seen before, after loading anew: %.0f ms", known)
	paint("page, loaded anew")
	if known > 1000 {
		t.Errorf("a page seen before stands after %.0f ms, want at most 1000", known)
	}
	b.press("Parts")
	b.until("document.querySelectorAll('article .line > div > svg').length === 3")
	eval[bool](b, "(performance.clearMarks(), window.openedAt = performance.now(), true)")
	eval[bool](b, "([...document.querySelectorAll('article a')].find(a => a.textContent === 'Lantern Song').click(), true)")
	b.until("performance.getEntriesByName('staff').length && document.querySelector('.lanes')")
	warm := eval[float64](b, "performance.getEntriesByName('staff')[0].startTime - openedAt")
	t.Logf("staff, engraver warm, page never seen: %.0f ms after the click", warm)
	if warm > 1000 {
		t.Errorf("the staff stands %.0f ms after the click, want at most 1000", warm)
	}
}
