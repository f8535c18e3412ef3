package browser

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// openPage opens a demo part for a player; "" for nobody in particular.
func openPage(b *bench, title, player string) {
	b.Helper()
	b.until("document.querySelectorAll('article').length === 3")
	if player != "" {
		b.until(fmt.Sprintf("[...document.querySelectorAll('.name')].some(e => e.textContent === %q)", player))
		eval[bool](b, fmt.Sprintf("([...document.querySelectorAll('.name')].find(e => e.textContent === %q).click(), true)", player))
	}
	b.press(title)
	b.staff()
}

// label is the way that the slide lane shows at a note.
func (b *bench) label(id string) string {
	b.Helper()
	return eval[string](b, fmt.Sprintf(`document.querySelector('.way[data-note="%s"]')?.textContent ?? ''`, id))
}

func TestPinForbidUndo(t *testing.T) {
	b := open(t, "demo", 1440, 900)
	openPage(b, "Harbor Parade", "Ines Okafor")
	before := b.label("b1n1")
	b.click(`.note-button[data-note="b1n1"]`)
	b.until("document.querySelector('[role=dialog] h2')")
	b.shoot("note-1440")
	other := eval[string](b, `document.querySelector('[role=dialog] button[aria-label^="Take "]').getAttribute('aria-label').slice(5)`)
	b.press("Take " + other)
	b.until(fmt.Sprintf(`document.querySelector('.way.pinned[data-note="b1n1"]')?.textContent === %q`, other))
	b.until(`[...document.querySelectorAll('button')].some(e => e.textContent.startsWith('Undo:'))`)
	b.key(kb.Escape)
	b.until("!document.querySelector('[role=dialog]:not(dialog)')")
	b.key("z", chromedp.KeyModifiers(kb.ModifierCtrl))
	b.until(fmt.Sprintf(`document.querySelector('.way[data-note="b1n1"]:not(.pinned)')?.textContent === %q`, before))
	b.key("Z", chromedp.KeyModifiers(kb.ModifierCtrl, kb.ModifierShift))
	b.until(`document.querySelector('.way.pinned[data-note="b1n1"]')`)
	b.click(`.note-button[data-note="b1n1"]`)
	b.press("As before")
	b.until(`document.querySelector('.way[data-note="b1n1"]:not(.pinned)')`)
	b.press("Never " + before)
	b.until(fmt.Sprintf(`document.querySelector('.way[data-note="b1n1"]')?.textContent !== %q`, before))
	b.press("Allow again")
	b.until(fmt.Sprintf(`document.querySelector('.way[data-note="b1n1"]')?.textContent === %q`, before))
}

func TestBreatheAndRemark(t *testing.T) {
	b := open(t, "demo", 1440, 900)
	openPage(b, "Harbor Parade", "Ines Okafor")
	b.click(`.gap[data-after="b2n1"]`)
	b.press("Breathe here")
	b.until(`document.querySelector('.breath.coach[data-after="b2n1"]:not(.never)')`)
	b.press("Never here")
	b.until(`document.querySelector('.breath.coach.never[data-after="b2n1"]')`)
	b.shoot("breath-1440")
	b.key(kb.Escape)
	b.click(`.note-button[data-note="b3n1"]`)
	b.press("Remark at bar 3")
	b.until("document.activeElement?.id === 'remark'")
	b.key("lean into the second beat")
	b.press("Keep")
	b.until("document.querySelector('text.remark')?.textContent.includes('lean into')")
	b.press("3lean into")
	b.press("Change")
	b.until("document.querySelector('#remark')?.value.startsWith('lean')")
	b.key("!")
	b.press("Keep")
	b.until("document.querySelector('text.remark')?.textContent.endsWith('!')")
	b.shoot("remark-1440")
	b.press("3lean into")
	b.press("Remove")
	b.until("!document.querySelector('text.remark')")
}

func TestInstrumentFollows(t *testing.T) {
	b := open(t, "demo", 1440, 900)
	openPage(b, "Harbor Parade", "")
	b.until("document.querySelector('.curve')")
	eval[bool](b, `(() => { const s = [...document.querySelectorAll('.controls select')][1]; s.value = 'euphonium'; s.dispatchEvent(new Event('change', {bubbles: true})); return true; })()`)
	b.until("!document.querySelector('.curve') && document.querySelector('.way')")
	if !strings.Contains(eval[string](b, "location.search"), "instrument=euphonium") {
		t.Error("the address does not name the instrument")
	}
	b.shoot("valves-1440")
	b.do(chromedp.Reload())
	b.staff()
	if eval[bool](b, "!!document.querySelector('.curve')") {
		t.Error("after loading anew the slide is back")
	}
}

func TestFoldAndDark(t *testing.T) {
	b := open(t, "demo", 1440, 900)
	openPage(b, "Lantern Song", "")
	b.press("Slide lane")
	b.until("!document.querySelector('.curve') && document.querySelector('.way')")
	b.press("Dark room")
	b.until("document.documentElement.dataset.room === 'dark'")
	b.shoot("folded-dark-1440")
	b.do(chromedp.Reload())
	b.staff()
	if eval[bool](b, "!!document.querySelector('.curve')") || eval[string](b, "document.documentElement.dataset.room") != "dark" {
		t.Error("folded lane or dark room is forgotten after loading anew")
	}
	b.press("Slide lane")
	b.until("document.querySelector('.curve')")
	b.shoot("page-dark-1440")
	b.do(chromedp.NavigateBack())
	b.until("location.pathname === '/' && document.querySelector('article')")
}

func TestPlay(t *testing.T) {
	b := open(t, "demo", 1440, 900)
	openPage(b, "Harbor Parade", "Ines Okafor")
	b.until("document.querySelector('.play')?.textContent.includes('Play from bar 1')")
	eval[bool](b, `(() => { const s = [...document.querySelectorAll('.transport select')][0]; s.value = '0'; s.dispatchEvent(new Event('change', {bubbles: true}));
		addEventListener('keydown', e => { if (e.key === ' ') window.pressedAt = performance.now(); }, true); document.activeElement.blur(); return true; })()`)
	b.key(" ")
	b.until("document.querySelector('.cursor') && performance.getEntriesByName('sound').length")
	start := eval[float64](b, "(() => { const m = performance.getEntriesByName('sound')[0]; return m.startTime - pressedAt + 1000 * m.detail.lead; })()")
	t.Logf("key to sound: %.0f ms", start)
	if start > 100 {
		t.Errorf("sound starts %.0f ms after the key, want at most 100", start)
	}
	at := eval[float64](b, "+document.querySelector('.cursor line').getAttribute('x1')")
	b.until(fmt.Sprintf("+document.querySelector('.cursor line')?.getAttribute('x1') > %f + 200", at))
	b.until("document.querySelector('.sounding')")
	if y := eval[float64](b, "scrollY"); y != 0 {
		t.Errorf("Space moved the page by %v px", y)
	}
	b.shoot("playing-1440")
	b.key(" ")
	b.until("!document.querySelector('.cursor')")
	b.clickBar(4)
	b.key(kb.Escape)
	b.key("l")
	b.until("document.querySelector('.loop input')?.value === '5'")
	b.until("document.querySelector('rect.loop')")
	b.key(" ")
	// The bar lasts 1.25 s: the cursor must come back to where it was.
	b.until("document.querySelector('.cursor')")
	eval[bool](b, `new Promise(done => { let last = -1; const look = () => { const x = +(document.querySelector('.cursor line')?.getAttribute('x1') ?? last);
		if (x < last - 500) return done(true); last = x; requestAnimationFrame(look); }; look(); setTimeout(() => done(false), 8000); })`)
	b.key(" ")
	b.key("l")
	b.until("!document.querySelector('rect.loop')")
	b.clickBar(5, chromedp.ButtonModifiers(kb.ModifierShift))
	b.until("document.querySelectorAll('.loop input')[0]?.value === '5' && document.querySelectorAll('.loop input')[1]?.value === '6'")
	// At half the tempo the recording is fetched anew and lasts twice as long.
	eval[bool](b, `(() => { const r = document.querySelector('input[type=range]'); r.value = '48'; r.dispatchEvent(new Event('input', {bubbles: true})); return true; })()`)
	b.until("location.search.includes('bpm=48') && document.querySelector('.play').textContent.includes('Play from bar 5')")
}

func TestKeysAlone(t *testing.T) {
	b := open(t, "demo", 1440, 900)
	openPage(b, "Iron Quay", "Ines Okafor")
	b.key(kb.ArrowRight)
	b.until("document.activeElement?.dataset?.note")
	first := eval[string](b, "document.activeElement.dataset.note")
	b.key(kb.ArrowRight)
	b.until(fmt.Sprintf("document.activeElement?.dataset?.note !== %q", first))
	b.key(kb.ArrowDown)
	b.key(kb.Home)
	b.key(kb.Enter)
	b.until("document.querySelector('[role=dialog] h2')")
	b.key(kb.Escape)
	b.until("!document.querySelector('[role=dialog]:not(dialog)') && document.activeElement?.dataset?.note")
	b.key("]")
	b.until("document.querySelector('[aria-pressed=true][data-finding=\"0\"]') && document.querySelector('.ring')")
	b.shoot("ring-1440")
	b.key("b")
	b.until("document.querySelector('.breath.coach')")
	b.key("?")
	b.until("document.querySelector('dialog[open]')")
	b.shoot("keys-1440")
	b.key(kb.Escape)
	b.until("!document.querySelector('dialog[open]')")
}

const abcTune = "X:1\nT:Little Tune\nM:4/4\nL:1/4\nK:Bb clef=bass\nB,, D, F, B,|F, D, B,,2|]\n"

// midiTune is a Standard MIDI File of two quarter notes.
const midiTune = "MThd\x00\x00\x00\x06\x00\x00\x00\x01\x00\x60MTrk\x00\x00\x00\x14\x00\x90\x35\x40\x60\x80\x35\x40\x00\x90\x3a\x40\x60\x80\x3a\x40\x00\xff\x2f\x00"

func TestDrop(t *testing.T) {
	b := open(t, "serve", 1440, 900)
	b.expect = "status of 422" // the browser's own note about the broken page
	b.until("document.body.innerText.includes('Nothing on the desk yet')")
	b.shoot("empty-1440")
	dir := t.TempDir()
	xml, err := os.ReadFile("../../demo/season/iron-quay.musicxml")
	if err != nil {
		t.Fatal(err)
	}
	files := map[string]string{"iron-quay.musicxml": string(xml), "little.abc": abcTune, "two.mid": midiTune, "broken.musicxml": string(xml[:len(xml)/2])}
	var paths []string
	for name, text := range files {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		paths = append(paths, path)
	}
	b.do(chromedp.SetUploadFiles(chromedp.CSS("input[type=file]"), paths))
	b.until("document.querySelectorAll('article').length === 3")
	b.until("document.querySelector('.problem[role=alert]')?.textContent.includes('broken.musicxml')")
	t.Logf("the broken page: %s", eval[string](b, "document.querySelector('.problem').innerText"))
	b.until("document.querySelectorAll('article .line > div > svg').length === 3")
	b.shoot("dropped-1440")
	b.press("Close")
	b.until("!document.querySelector('.problem')")
	b.press("Add a player")
	b.until("document.activeElement?.name === 'name'")
	b.key("Anna")
	b.press("Keep")
	b.until("[...document.querySelectorAll('.player.chosen .name')].some(e => e.textContent === 'Anna')")
	b.press("Little Tune")
	b.staff()
	b.until("document.querySelector('.for')?.textContent.includes('Anna')")
}
