package browser

import (
	"fmt"
	"os"
	"regexp"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// openPractice opens the practice of a demo part for a player.
func openPractice(b *bench, title, player string) {
	b.Helper()
	address := eval[string](b, fmt.Sprintf(`fetch('/api/season').then(r => r.json()).then(s => location.origin + '/part/' + s.parts.find(p => p.title === %q).id
		+ '/practice?player=' + s.players.find(p => p.name === %q).id)`, title, player))
	b.do(chromedp.Navigate(address))
	b.until("document.querySelector('#today')")
}

// hurry makes the clock of the page run faster from now on.
func (b *bench) hurry(times int) {
	b.Helper()
	eval[bool](b, fmt.Sprintf(`(() => { window.ownNow ??= performance.now.bind(performance);
		const at = performance.now(), from = ownNow(); performance.now = () => at + (ownNow() - from) * %d; return true; })()`, times))
}

// field sets a field as a person would, by its label's first words.
func (b *bench) field(label, value string) {
	b.Helper()
	eval[bool](b, fmt.Sprintf(`(() => { const f = [...document.querySelectorAll('.terms label')].find(l => l.textContent.trim().startsWith(%q)).querySelector('input');
		f.value = %q; f.dispatchEvent(new Event('change', {bubbles: true})); return true; })()`, label, value))
}

const daysShown = "document.querySelectorAll('[data-date]').length"

// TestTerms sets the terms: the calendar follows, and is there after loading anew.
func TestTerms(t *testing.T) {
	b := open(t, "demo", 1440, 900)
	b.expect = "status of 422" // the browser's own note about the terms that cannot be
	openPractice(b, "Lantern Song", "Tomasz Vey")
	six := eval[int](b, daysShown)
	b.field("practiced", "3")
	b.until(fmt.Sprintf("%s < %d", daysShown, six))
	three := eval[int](b, daysShown)
	b.do(chromedp.Reload())
	b.until("document.querySelector('#today')")
	if got := eval[int](b, daysShown); got != three {
		t.Errorf("%d days after loading anew, there were %d", got, three)
	}
	b.field("at most", "10")
	b.until("document.querySelector('[role=alert]')?.textContent.includes('work')")
	t.Logf("refused: %s", eval[string](b, "document.querySelector('[role=alert]').textContent"))
	b.field("at most", "60")
	b.until("!document.querySelector('[role=alert]')")
	// A day opens, with what it rests on; a null result is said.
	b.click("[data-date]:not([aria-current])")
	b.until("document.querySelector('.opened li')")
	b.press("Why Bars")
	b.until("/showed none at all|no effect|no trial known/.test(document.querySelector('.opened').innerText)")
	file := eval[string](b, "fetch(document.querySelector('a[download]').href).then(r => r.text())")
	if n := strings.Count(file, "BEGIN:VEVENT\r\n"); n != eval[int](b, daysShown) {
		t.Errorf("the calendar file has %d events, the calendar %d days", n, eval[int](b, daysShown))
	}
	b.field("To be recorded on", "")
	b.until("document.body.innerText.includes('Set the day of the recording') || document.querySelector('.terms input').value !== ''")
}

// TestToday runs a session on a clock that hurries: reference, turn, rest, the item
// ticked off, all of it there after loading anew.
func TestToday(t *testing.T) {
	b := open(t, "demo", 1440, 900)
	openPractice(b, "Harbor Parade", "Ines Okafor")
	step := func(kind string) {
		b.Helper()
		b.until(fmt.Sprintf("document.querySelector('.big')?.dataset.step === %q", kind))
	}
	done := func(n int) {
		b.Helper()
		b.until(fmt.Sprintf("document.querySelectorAll('#today ~ ol input:checked').length === %d", n))
	}
	b.key("t")
	step("free")
	b.hurry(60)
	b.until("document.querySelector('.name').textContent.startsWith('Without')") // the warm-up is over by itself
	b.hurry(1)
	b.key(kb.Enter)
	step("listen")
	b.until("document.querySelector('.stand .cursor') && document.querySelector('.stand .ring') && document.querySelector('.stand .veil')")
	if says := eval[string](b, "document.querySelector('[role=status]').textContent"); !strings.HasPrefix(says, "Bars 13–18. Listen, at 63, then 5 turns") {
		t.Errorf("announced: %q", says)
	}
	b.shoot("practice-listen-1440")
	b.key(kb.ArrowRight)
	step("play")
	b.until("/^(1|2|Breathe)$/.test(document.querySelector('.big').textContent)")
	b.until("document.querySelector('.big').textContent === 'Turn 1 of 5, at 63' && document.querySelector('.stand .cursor')")
	b.key(" ")
	b.until("document.querySelector('.big').textContent === 'Paused'")
	left := eval[string](b, "document.querySelector('.clock').textContent")
	b.do(chromedp.Sleep(1200e6))
	if now := eval[string](b, "document.querySelector('.clock').textContent"); now != left {
		t.Errorf("the clock goes from %s to %s in a pause", left, now)
	}
	b.key(" ")
	b.hurry(10)
	step("rest")
	b.hurry(1)
	if text := eval[string](b, "document.querySelector('.now').innerText"); !strings.Contains(text, "Horn down") || !strings.Contains(text, "then turn 2 of 5, at 63") {
		t.Errorf("in the rest it says %q", text)
	}
	b.shoot("practice-rest-1440")
	b.key(kb.Enter) // cut short
	step("play")
	b.do(chromedp.Reload())
	b.until("document.querySelector('.big')?.textContent === 'Paused'")
	if then := eval[string](b, "document.querySelector('.then').textContent"); !strings.HasPrefix(then, "Turn 2 of 5") {
		t.Errorf("after loading anew it stands at %q", then)
	}
	b.key(kb.Escape)
	b.until("document.querySelector('#today')")
	done(2)
	b.press("Go on: bars 13–18")
	step("play")
	b.hurry(40)
	b.until("document.querySelector('.name').textContent.startsWith('Bars 17')")
	b.key(kb.Escape)
	done(3)
	b.do(chromedp.Reload())
	done(3)
	// Whatever is left is skipped; the day's summary says what became of the rests.
	eval[bool](b, `(async () => { const q = new URLSearchParams(location.search), pair = {part: location.pathname.split('/')[2], player: q.get('player')};
		const doc = await (await fetch('/api/practice?part=' + pair.part + '&player=' + pair.player)).json();
		for (let i = 3; i < doc.plan.days[0].items.length; i++) await fetch('/api/practice/done', {method: 'POST', headers: {'Content-Type': 'application/json'}, body: JSON.stringify({...pair, date: doc.today, item: i, minutes: 2, done: true})});
		return true; })()`)
	b.do(chromedp.Reload())
	b.until("document.querySelector('.summary')?.textContent.includes('One rest was cut short')")
	b.shoot("practice-done-1440")
}

// TestReplan sends three right takes and one with holes: places retire, and come
// back.
func TestReplan(t *testing.T) {
	b := open(t, "demo", 1440, 900)
	openPractice(b, "Harbor Parade", "Ines Okafor")
	send := func(day int, how string) {
		b.Helper()
		if status := eval[int](b, fmt.Sprintf(`(async () => { const q = 'part=' + location.pathname.split('/')[2] + '&player=' + new URLSearchParams(location.search).get('player');
			const sound = await (await fetch('/api/sheet/sound?' + q + '&%s')).blob();
			return (await fetch('/api/takes?' + q + '&file=take.wav&recorded=2026-11-%02dT10:00:00Z', {method: 'POST', body: sound, headers: {'Content-Type': 'audio/wav'}})).status; })()`, how, day)); status != 200 {
			t.Fatalf("the take is answered with %d", status)
		}
	}
	for day := 20; day < 23; day++ {
		send(day, fmt.Sprintf("tuning=%d", 420+day))
	}
	b.do(chromedp.Reload())
	b.until("document.body.innerText.includes('Retired since the take of 22 November')")
	if work := eval[int](b, "document.querySelectorAll('#work ~ ol li:not(.retired)').length"); work != 0 {
		t.Errorf("%d places are worked on after three right takes", work)
	}
	send(23, "inner=1,1")
	b.do(chromedp.Reload())
	b.until("document.body.innerText.includes('Back since the take of 23 November') && document.querySelector('#work ~ ol li:not(.retired)')")
	b.shoot("practice-back-1440")
}

// TestPracticeAccessible asks axe-core about practice in light, in the dark room and
// on a phone, and prints the week sheets on both papers.
func TestPracticeAccessible(t *testing.T) {
	axe, err := os.ReadFile("../node_modules/axe-core/axe.min.js")
	if err != nil {
		t.Skipf("axe-core not here: %v; run npm ci in web/", err)
	}
	b := open(t, "demo", 1440, 900)
	check := func(screen string) {
		t.Helper()
		eval[bool](b, string(axe)+"; true")
		for _, f := range eval[[]string](b, `axe.run({runOnly: ['wcag2a','wcag2aa','wcag21a','wcag21aa','wcag22aa','best-practice']})
			.then(r => r.violations.flatMap(v => v.nodes.map(n => v.id + ': ' + n.target.join(' ') + ' ' + (n.any[0]?.message ?? n.all[0]?.message ?? v.help))))`) {
			t.Errorf("%s: %s", screen, f)
		}
		if over := eval[float64](b, "document.documentElement.scrollWidth - innerWidth"); over > 0 {
			t.Errorf("%s is %v px wider than the window", screen, over)
		}
	}
	for _, look := range []struct {
		name  string
		width int64
	}{{"light", 1440}, {"dark", 1440}, {"dark", 360}} {
		b.do(chromedp.EmulateViewport(look.width, 800))
		openPractice(b, "Harbor Parade", "Bela Anders")
		if eval[string](b, "document.documentElement.dataset.room") != look.name {
			b.press("Dark room")
		}
		name := fmt.Sprintf("practice, %s, %d px", look.name, look.width)
		b.click("[data-date]:not([aria-current])")
		b.press("Why Bars")
		check(name)
		b.shoot(fmt.Sprintf("practice-%s-%d", look.name, look.width))
		b.press("Practice Bars") // the first place of today
		b.until("document.querySelector('.big')?.dataset.step === 'listen' && document.querySelector('.veil')")
		check(name + ", running")
		b.shoot(fmt.Sprintf("practice-running-%s-%d", look.name, look.width))
		b.key(kb.Escape)
		b.until("document.querySelector('#today')")
	}
	eval[bool](b, "(window.print = () => { window.printed = true; }, true)")
	for name, size := range map[string]chromedp.PaperSize{"A4": chromedp.PaperA4, "Letter": chromedp.PaperLetter} {
		b.press("Print all weeks")
		b.until("window.printed")
		pdf, err := chromedp.Run(b.ctx, chromedp.PrintToPDF(chromedp.PDFPaper(size)))
		if err != nil {
			t.Fatal(err)
		}
		weeks := eval[int](b, "document.querySelectorAll('.sheets article').length")
		if pages := len(regexp.MustCompile(`/Type\s*/Page\b`).FindAll(pdf, -1)); weeks == 0 || pages != weeks {
			t.Errorf("%s: %d weeks on %d pages", name, weeks, pages)
		}
	}
}
