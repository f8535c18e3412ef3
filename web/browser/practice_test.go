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

// openPractice puts a part and an advanced player on an empty desk, the recording
// three weeks ahead, and opens the practice of the two.
func openPractice(b *bench, file, instrument string) {
	b.Helper()
	xml, err := os.ReadFile("../../demo/season/" + file)
	if err != nil {
		b.Fatal(err)
	}
	address := eval[string](b, fmt.Sprintf(`(async () => {
		const due = new Date(Date.now() + 21 * 86400e3).toISOString().slice(0, 10), post = {method: 'POST'}, json = {'Content-Type': 'application/json'};
		const part = await (await fetch('/api/parts?file=%[1]s&due=' + due, {...post, headers: {'Content-Type': 'application/octet-stream'}, body: %[2]q})).json();
		const player = await (await fetch('/api/players', {...post, headers: json, body: JSON.stringify({id: '', revision: 0, name: 'Ines', instrument: %[3]q, level: 4})})).json();
		return location.origin + '/part/' + part.id + '/practice?player=' + player.id; })()`, file, string(xml), instrument))
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
	b := open(t, "serve", 1440, 900)
	b.expect = "status of 422" // the browser's own note about the terms that cannot be
	openPractice(b, "lantern-song.musicxml", "tenor")
	six := eval[int](b, daysShown)
	b.field("practiced", "3")
	b.until(fmt.Sprintf("%s < %d", daysShown, six))
	three := eval[int](b, daysShown)
	b.do(chromedp.Reload())
	b.until("document.querySelector('#today')")
	if got := eval[int](b, daysShown); got != three {
		t.Errorf("%d days after loading anew, there were %d", got, three)
	}
	b.field("To be recorded on", eval[string](b, "document.querySelector('.terms input').min"))
	b.until("document.querySelector('[role=alert]')?.textContent.includes('at least 1 night')")
	t.Logf("refused: %s", eval[string](b, "document.querySelector('[role=alert]').textContent"))
	b.field("at most", "60")
	b.until("!document.querySelector('[role=alert]')")
	// A day opens, with what it rests on; a null result is said.
	eval[bool](b, "(document.querySelector('[data-date]:not([aria-current])').click(), true)")
	b.until("document.querySelector('.opened li')")
	eval[bool](b, "(document.querySelector('.opened [aria-label^=\"Why Bars\"]').click(), true)")
	b.until("/showed none at all|no effect|no trial known/.test(document.querySelector('.opened').innerText)")
	file := eval[string](b, "fetch(document.querySelector('a[download]').href).then(r => r.text())")
	if n := strings.Count(file, "BEGIN:VEVENT\r\n"); n != eval[int](b, daysShown) {
		t.Errorf("the calendar file has %d events, the calendar %d days", n, eval[int](b, daysShown))
	}
	// Without a date it says what to do.
	xml, err := os.ReadFile("../../demo/season/iron-quay.musicxml")
	if err != nil {
		t.Fatal(err)
	}
	b.do(chromedp.Navigate(eval[string](b, fmt.Sprintf(`fetch('/api/parts?file=iron-quay.musicxml', {method: 'POST', headers: {'Content-Type': 'application/octet-stream'}, body: %q})
		.then(r => r.json()).then(part => location.origin + '/part/' + part.id + '/practice' + location.search)`, string(xml)))))
	b.until("document.body.innerText.includes('Set the day of the recording') && !document.querySelector('#today')")
	b.field("To be recorded on", eval[string](b, "new Date(Date.now() + 9 * 86400e3).toISOString().slice(0, 10)"))
	b.until("document.querySelector('#today') && document.querySelector('.recording')")
}

// TestToday runs a session on a clock that hurries: reference, turn, rest, the item
// ticked off, all of it there after loading anew.
func TestToday(t *testing.T) {
	b := open(t, "serve", 1440, 900)
	openPractice(b, "harbor-parade.musicxml", "tenor-f")
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
	b.hurry(3)
	b.until("document.querySelector('.big').textContent === 'Turn 1 of 5, at 63' && document.querySelector('.stand .cursor')")
	b.key(" ")
	b.until("document.querySelector('.big').textContent === 'Paused'")
	left := eval[string](b, "document.querySelector('.clock').textContent")
	b.do(chromedp.Sleep(600e6))
	if now := eval[string](b, "document.querySelector('.clock').textContent"); now != left {
		t.Errorf("the clock goes from %s to %s in a pause", left, now)
	}
	b.key(" ")
	b.hurry(4)
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
	b := open(t, "serve", 1440, 900)
	openPractice(b, "harbor-parade.musicxml", "tenor-f")
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

// TestRecordAndBack leads from a mock take to the recorder and back: the place is
// kept, and the take that came meanwhile is seen.
func TestRecordAndBack(t *testing.T) {
	b := open(t, "serve", 1440, 900)
	openPractice(b, "harbor-parade.musicxml", "tenor-f")
	// Two weeks in, three days before the recording: a day of takes.
	eval[int](b, `(async () => { const day = n => new Date(Date.now() + n * 86400e3).toISOString().slice(0, 10), pair = {part: location.pathname.split('/')[2], player: new URLSearchParams(location.search).get('player')};
		return (await fetch('/api/practice', {method: 'PUT', headers: {'Content-Type': 'application/json'}, body: JSON.stringify({...pair, revision: 0,
			terms: {by: day(3), since: day(-14), days_per_week: 7, minutes: 45}})})).status; })()`)
	b.do(chromedp.Reload())
	b.press("Practice Take")
	b.until("document.querySelector('.big')?.dataset.step === 'record'")
	b.key(kb.Enter)
	b.until("location.pathname.endsWith('/record')")
	if status := eval[int](b, `(async () => { const q = 'part=' + location.pathname.split('/')[2] + '&player=' + new URLSearchParams(location.search).get('player');
		const sound = await (await fetch('/api/sheet/sound?' + q)).blob();
		return (await fetch('/api/takes?' + q + '&file=take.wav&recorded=' + new Date().toISOString(), {method: 'POST', body: sound, headers: {'Content-Type': 'audio/wav'}})).status; })()`); status != 200 {
		t.Fatalf("the take is answered with %d", status)
	}
	b.do(chromedp.NavigateBack())
	b.until("document.querySelector('.waiting')?.textContent.includes('is here')")
	b.key(kb.Enter)
	b.until("document.querySelector('.big')?.textContent === 'Horn down'")
}

// TestPracticeAccessible asks axe-core about practice in light, in the dark room and
// on a phone, and prints the week sheets on both papers.
func TestPracticeAccessible(t *testing.T) {
	axe, err := os.ReadFile("../node_modules/axe-core/axe.min.js")
	if err != nil {
		t.Skipf("axe-core not here: %v; run npm ci in web/", err)
	}
	b := open(t, "serve", 1440, 900)
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
	openPractice(b, "harbor-parade.musicxml", "euphonium")
	for _, look := range []struct {
		name  string
		width int64
	}{{"light", 1440}, {"dark", 360}} {
		b.do(chromedp.EmulateViewport(look.width, 800))
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
	pages := func(size chromedp.PaperSize) (pages, weeks int) {
		b.press("Print all weeks")
		b.until("window.printed")
		pdf, err := chromedp.Run(b.ctx, chromedp.PrintToPDF(chromedp.PDFPaper(size)))
		if err != nil {
			t.Fatal(err)
		}
		return len(regexp.MustCompile(`/Type\s*/Page\b`).FindAll(pdf, -1)), eval[int](b, "document.querySelectorAll('.sheets article').length")
	}
	for name, size := range map[string]chromedp.PaperSize{"A4": chromedp.PaperA4, "Letter": chromedp.PaperLetter} {
		if pages, weeks := pages(size); weeks < 3 || pages != weeks {
			t.Errorf("%s: %d weeks on %d pages", name, weeks, pages)
		}
	}
	// Weeks of a single day would fit on one page.
	full := eval[int](b, daysShown)
	b.field("practiced", "1")
	b.until(fmt.Sprintf("%s < %d", daysShown, full))
	if pages, weeks := pages(chromedp.PaperA4); weeks < 3 || pages != weeks {
		t.Errorf("short weeks: %d of them on %d pages", weeks, pages)
	}
}
