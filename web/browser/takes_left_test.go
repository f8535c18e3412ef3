package browser

import (
	"bytes"
	"fmt"
	"math"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"waterkey/audio"
)

// slowJS makes answers wait: those to what window.hold matches, as "GET /api/season",
// until letGo, which lets what follows from them happen; with fail they never come. It
// lists what is asked, counts what is played, and goes about as a link does.
const slowJS = `(() => { const real = window.fetch, play = HTMLMediaElement.prototype.play;
	Object.assign(window, {hold: null, held: [], asked: [], plays: 0,
		visit: path => { const a = Object.assign(document.createElement('a'), {href: path}); document.body.append(a); a.click(); a.remove(); return true; },
		letGo: async (fail = false) => { hold = null; asked = []; for (const go of held.splice(0)) go(fail); await new Promise(r => setTimeout(r, 120)); return true; }});
	window.fetch = async (path, ...rest) => {
		const name = (rest[0]?.method ?? 'GET') + ' ' + path, waits = window.hold?.test(name);
		asked.push(name);
		const answer = await real(path, ...rest);
		if (waits && await new Promise(go => held.push(go))) throw new TypeError('failed on purpose');
		return answer; };
	HTMLMediaElement.prototype.play = function () { window.plays++; return play.call(this); };
	return true; })()`

// leaving is a desk whose answers come late, before two players and two parts.
type leaving struct {
	*takeSeason
	other, aria string // a player without takes, another part
}

// TestLeft leaves screens while the program still answers them. Nothing of a screen
// that was left is read (the console would warn), told, sounded or asked for.
func TestLeft(t *testing.T) {
	l := leaving{takeSeason: openTakes(t, 1440, 900, []sentTake{sentTakes[0], sentTakes[4]})}
	l.expect = "status of 409" // the browser's own note
	var made struct{ ID string }
	l.otherTab("POST", "/api/players", map[string]any{"id": "", "revision": 0, "name": "Ben", "instrument": "tenor-f", "level": 4}, &made)
	l.other = made.ID
	l.otherTab("POST", "/api/parts?file=tune.abc", []byte(abcTune), &made)
	l.aria = made.ID
	l.until("document.querySelectorAll('svg[data-trend=cents] .dot').length === 2") // all are measured
	l.do(chromedp.Navigate(l.address))
	l.until("document.querySelectorAll('article').length === 2")
	eval[bool](l.bench, slowJS)
	for _, c := range []struct {
		name string
		do   func()
	}{
		{"trends", l.trends}, {"choice", l.choice}, {"page", l.page}, {"remark", l.remark}, {"player", l.newPlayer}, {"part", l.newPart},
		{"practice", l.practice}, {"files", l.files},
	} {
		began, before := time.Now(), l.console()
		c.do()
		t.Logf("%s: %.1f s; the console says %q", c.name, time.Since(began).Seconds(), l.console()[len(before):])
	}
}

// console is what the console said so far.
func (l leaving) console() []string {
	l.mu.Lock()
	defer l.mu.Unlock()
	return slices.Clone(l.faults)
}

// holds lets answers wait from now on.
func (l leaving) holds(what string) { eval[bool](l.bench, "(window.hold = "+what+", true)") }

// waiting waits until so many answers wait.
func (l leaving) waiting(n int) { l.until(fmt.Sprintf("held.length >= %d", n)) }

func (l leaving) visit(path string) { eval[bool](l.bench, fmt.Sprintf("visit(%q)", path)) }

func (l leaving) takes(player string) string { return "/part/" + l.part + "/takes?player=" + player }

// home leaves for the parts.
func (l leaving) home() {
	l.visit("/")
	l.until("document.querySelectorAll('article').length >= 2")
}

// letGo lets the answers come, or fail, and wants nothing asked for but what is named.
func (l leaving) letGo(fail bool, may string) {
	l.Helper()
	eval[bool](l.bench, fmt.Sprintf("letGo(%v)", fail))
	for _, asked := range eval[[]string](l.bench, "asked") {
		if may == "" || !strings.Contains(asked, may) {
			l.Errorf("after the screen was left it still asks: %s", asked)
		}
	}
}

// said is what was announced last.
func (l leaving) said() string {
	return eval[string](l.bench, "document.querySelector('p[role=status]').textContent")
}

// trends changes the player while the takes of the first are compared bar by bar.
func (l leaving) trends() {
	l.holds(`/heard$/`)
	l.visit(l.takes(l.player))
	l.waiting(2)
	eval[bool](l.bench, fmt.Sprintf(`(() => { const s = document.querySelector('header select'); s.value = %q; s.dispatchEvent(new Event('change', {bubbles: true})); return true; })()`, l.other))
	l.until("document.querySelector('.empty')")
	l.letGo(false, "")
}

// choice leaves the takes while a choice is on its way that another tab has made void.
func (l leaving) choice() {
	l.visit(l.takes(l.player))
	l.until("document.querySelectorAll('[aria-labelledby=in-order] li').length === 2")
	third := l.cards()["third.wav"]
	l.holds(`/\/chosen$/`)
	l.otherTab("PUT", "/api/takes/"+third.ID, map[string]any{"revision": third.Revision, "note": "warm up"}, nil)
	l.press("Choose this take")
	l.waiting(1)
	l.home()
	l.letGo(false, "")
}

// files drops two recordings and looks at another player while the first is sent: both
// belong to the first player.
func (l leaving) files() {
	l.visit(l.takes(l.player))
	l.until("document.querySelector('input[type=file]')")
	before := len(l.cards())
	l.holds(`/POST \/api\/uploads/`)
	l.do(chromedp.SetUploadFiles(chromedp.CSS("input[type=file]"), []string{l.tone(440), l.tone(550)}))
	l.waiting(1)
	l.visit(l.takes(l.other))
	l.until("document.querySelector('.empty')")
	l.letGo(false, "/api/")
	var ben struct{ Takes []heardCard }
	for end := time.Now().Add(patience); ; time.Sleep(30 * time.Millisecond) {
		l.otherTab("GET", "/api/takes?part="+l.part+"&player="+l.other, nil, &ben)
		now := len(l.cards())
		if now == before+2 && len(ben.Takes) == 0 {
			return
		}
		if time.Now().After(end) || len(ben.Takes) > 0 {
			l.Fatalf("of two files dropped for Anna she has %d, Ben %d", now-before, len(ben.Takes))
		}
	}
}

// tone is a file with a tenth of a second of a sine.
func (l leaving) tone(hz float64) string {
	const rate = 22050
	samples := make([]float64, rate/10)
	for i := range samples {
		samples[i] = 0.1 * math.Sin(2*math.Pi*hz*float64(i)/rate)
	}
	var wav bytes.Buffer
	if err := audio.WriteWAV(&wav, &audio.Clip{Rate: rate, Channels: [][]float64{samples}}); err != nil {
		l.Fatal(err)
	}
	path := filepath.Join(l.TempDir(), fmt.Sprintf("%.0f.wav", hz))
	if err := os.WriteFile(path, wav.Bytes(), 0o600); err != nil {
		l.Fatal(err)
	}
	return path
}

// page leaves the page while it is asked for in vain.
func (l leaving) page() {
	l.holds(`/GET \/api\/sheet/`)
	l.visit("/part/" + l.aria + "?player=" + l.player)
	l.waiting(2)
	l.home()
	l.letGo(true, "")
	if said := l.said(); strings.Contains(said, "does not answer") {
		l.Errorf("on the next screen it says %q", said)
	}
}

// remark leaves a take that plays while a remark on it is kept: it does not play on.
func (l leaving) remark() {
	l.visit("/take/" + l.cards()["third.wav"].ID)
	l.until("document.querySelector('.take-lanes .lane-cents') && document.querySelector('.note-button')")
	l.holds(`/POST \/api\/marks/`)
	l.key(" ")
	l.until("document.querySelector('.play').textContent.includes('Stop')")
	l.key("m")
	l.until("document.activeElement?.id === 'remark-text'")
	l.key("breathe")
	l.key(kb.Enter)
	l.waiting(1)
	l.home()
	before := eval[int](l.bench, "plays")
	l.letGo(false, "")
	if after := eval[int](l.bench, "plays"); after != before {
		l.Error("a take that was left plays on")
	}
}

// newPlayer leaves the parts while a player is added.
func (l leaving) newPlayer() {
	l.press("Add a player")
	l.until("document.activeElement?.name === 'name'")
	l.key("Clara")
	l.holds(`/POST \/api\/players/`)
	l.key(kb.Enter)
	l.waiting(1)
	l.visit(l.takes(l.other))
	l.until("document.querySelector('.empty')")
	l.letGo(false, "/api/")
	if said := l.said(); strings.Contains(said, "Clara") {
		l.Errorf("on the next screen it says %q", said)
	}
	l.home()
}

// newPart leaves the parts while a page is read.
func (l leaving) newPart() {
	file := filepath.Join(l.TempDir(), "second.abc")
	if err := os.WriteFile(file, []byte(strings.Replace(abcTune, "Little", "Second", 1)), 0o600); err != nil {
		l.Fatal(err)
	}
	l.holds(`/POST \/api\/parts/`)
	l.do(chromedp.SetUploadFiles(chromedp.CSS("input[type=file]"), []string{file}))
	l.waiting(1)
	l.visit(l.takes(l.other))
	l.until("document.querySelector('.empty')")
	l.letGo(false, "/api/")
	l.home()
}

// practice leaves a session while an item is entered as done, and while it looks for a
// take: nothing of it goes on.
func (l leaving) practice() {
	day := func(n int) string { return time.Now().AddDate(0, 0, n).Format(time.DateOnly) }
	l.otherTab(http.MethodPut, "/api/practice", map[string]any{"part": l.part, "player": l.player, "revision": 0,
		"terms": map[string]any{"by": day(3), "since": day(-14), "days_per_week": 7, "minutes": 45}}, nil)
	l.visit("/part/" + l.part + "/practice?player=" + l.player)
	l.until("document.querySelector('#today')")
	l.holds(`/\/practice\/done/`)
	l.press("Start")
	l.until("document.querySelector('.big')?.dataset.step === 'free'")
	l.key(kb.Enter)
	l.waiting(1)
	l.key(kb.Escape)
	l.until("document.querySelector('#today')")
	said := l.said()
	l.letGo(false, "")
	if now := l.said(); now != said {
		l.Errorf("after the session was left it says %q", now)
	}
	l.holds(`/GET \/api\/takes/`)
	l.press("Practice Take")
	l.until("document.querySelector('.big')?.dataset.step === 'record'")
	l.waiting(1)
	l.key(kb.Escape)
	l.until("document.querySelector('#today')")
	l.letGo(false, "")
}
