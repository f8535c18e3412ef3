package browser

import (
	"fmt"
	"os"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// TestAccessible asks axe-core about every screen, in light and in the dark room,
// by the rules of WCAG 2.2 A and AA. Notes stand as close as the music puts them,
// so their size as targets is left out on the page alone (SC 2.5.8, exception
// "essential"); the arrow keys reach each.
func TestAccessible(t *testing.T) {
	axe, err := os.ReadFile("../node_modules/axe-core/axe.min.js")
	if err != nil {
		t.Skipf("axe-core not here: %v; run npm ci in web/", err)
	}
	b := open(t, "demo", 1440, 900)
	check := func(screen string) {
		t.Helper()
		eval[bool](b, string(axe)+"; true")
		found := eval[[]string](b, `axe.run({exclude: []}, {runOnly: ['wcag2a','wcag2aa','wcag21a','wcag21aa','wcag22aa','best-practice'], rules: {'target-size': {enabled: !document.querySelector('.touch')}}})
			.then(r => r.violations.flatMap(v => v.nodes.map(n => v.id + ': ' + n.target.join(' ') + ' ' + (n.any[0]?.message ?? n.all[0]?.message ?? v.help))))`)
		for _, f := range found {
			t.Errorf("%s: %s", screen, f)
		}
	}
	for _, light := range []string{"light", "dark"} {
		b.do(chromedp.Navigate(b.address))
		b.until("document.querySelectorAll('article .line > div > svg').length === 3")
		if eval[string](b, "document.documentElement.dataset.room") != light {
			b.press("Dark room")
		}
		check("parts, " + light)
		b.press("Add a player")
		b.until("document.querySelector('form')")
		check("new player, " + light)
		b.shoot("player-" + light)
		b.press("Harbor Parade")
		b.staff()
		b.until("document.querySelector('.finding')")
		check("page, " + light)
		b.click(`.note-button[data-note="b1n1"]`)
		b.until("document.querySelector('[role=dialog] h2')")
		check("note, " + light)
		b.key(kb.Escape)
		b.clickBar(2)
		b.until("document.querySelector('#remark')")
		check("bar, " + light)
		eval[bool](b, "(document.activeElement.blur(), true)")
		b.press("Keys")
		b.until("document.querySelector('dialog[open]')")
		check("keys, " + light)
		b.press("Close")
		b.do(chromedp.Navigate(fmt.Sprintf("%s/about", eval[string](b, "location.origin"))))
		b.until("document.querySelector('h1')?.textContent === 'About Waterkey'")
		check("about, " + light)
		b.shoot("about-" + light)
	}
}
