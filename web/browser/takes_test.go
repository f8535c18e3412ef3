package browser

import (
	"archive/zip"
	"bytes"
	"crypto/sha256"
	"fmt"
	"io"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// TestTakes looks at a season of takes: side by side, over the days, and at every
// width and light.
func TestTakes(t *testing.T) {
	s := openTakes(t, 1440, 900, sentTakes)
	s.followed()
	s.sideBySide()
	s.overDays()
	s.accessible()
}

// followed waits for the takes to be measured.
func (s *takeSeason) followed() {
	s.Helper()
	// Nothing is pressed: the screen follows the measuring to its end.
	s.until("document.querySelectorAll('[aria-labelledby=side-by-side] thead th').length === 4")
	s.until("document.querySelector('#ruled-out span')?.textContent === '2'")
}

// comparison is what the program says of the takes side by side.
type comparison struct {
	Send  string
	Why   []string
	Takes []struct {
		Take    string
		ByStage map[string]map[string]float64 `json:"by_stage"`
	}
}

// figures are those of a take as the screen should show them, from two answers of
// the program.
func (c comparison) figures(card heardCard) map[string]string {
	sum, stages := card.Measured.Summary, map[string]map[string]float64{}
	for _, t := range c.Takes {
		if t.Take == card.ID {
			stages = t.ByStage
		}
	}
	return map[string]string{
		"notes right":               fmt.Sprint(sum["played"]),
		"notes missed":              fmt.Sprint(sum["missed"]),
		"notes other pitch":         fmt.Sprint(sum["other"]),
		"notes split":               fmt.Sprint(sum["split"]),
		"notes extra":               fmt.Sprint(sum["extra"]),
		"notes half within":         fmt.Sprintf("%.1f", sum["median_cents"]),
		"notes nine in ten within":  fmt.Sprintf("%.1f", sum["ninth_tenth_cents"]),
		"notes tuning":              fmt.Sprintf("%.1f", sum["tuning_hz"]),
		"notes remarks":             fmt.Sprint(stages["notes"]["findings"]),
		"rhythm tempo":              fmt.Sprintf("%.1f", sum["tempo_bpm"]),
		"rhythm half within":        fmt.Sprintf("%.1f", sum["median_late_ms"]),
		"rhythm nine in ten within": fmt.Sprintf("%.1f", sum["ninth_tenth_late_ms"]),
		"rhythm remarks":            fmt.Sprint(stages["rhythm"]["findings"]),
		"articulation attack":       fmt.Sprintf("%.0f", stages["articulation"]["attack_ms"]),
		"articulation remarks":      fmt.Sprint(stages["articulation"]["findings"]),
		"dynamics soft to loud":     fmt.Sprintf("%.1f", stages["dynamics"]["range_db"]),
		"dynamics hairpins heard":   fmt.Sprintf("%.0f of %.0f", stages["dynamics"]["hairpins_heard"], stages["dynamics"]["hairpins"]),
		"dynamics remarks":          fmt.Sprint(stages["dynamics"]["findings"]),
		"choices breaths":           fmt.Sprint(sum["breaths"]),
		"choices remarks":           fmt.Sprint(stages["choices"]["findings"]),
	}
}

// sideBySide holds the table and the verdict against what the program says.
func (s *takeSeason) sideBySide() {
	s.Helper()
	cards := s.cards()
	var c comparison
	s.otherTab("GET", "/api/takes/compare?part="+s.part+"&player="+s.player, nil, &c)
	want := cards["third.wav"].ID
	if c.Send != want {
		s.Errorf("to send: %q; want the cleanest, %q", c.Send, want)
	}
	s.until(fmt.Sprintf("document.querySelector('section[aria-labelledby=in-order] [data-take]')?.dataset.take === %q && document.querySelectorAll('svg[data-trend=cents] .dot').length === 4", want))
	for _, why := range c.Why {
		s.until(fmt.Sprintf("document.querySelector('[aria-labelledby=to-send]').innerText.includes(%q)", why))
	}
	columns := eval[[]string](s.bench, "[...document.querySelectorAll('[aria-labelledby=side-by-side] thead th')].map(e => e.dataset.take)")
	newest := []string{"third.wav", "loud.wav", "second.wav", "first.wav"}
	table := eval[map[string][]string](s.bench, `[...document.querySelectorAll('td[data-figure]')]
		.reduce((all, e) => ({...all, [e.dataset.figure]: [...(all[e.dataset.figure] ?? []), e.textContent]}), {})`)
	for i, name := range newest {
		if columns[i] != cards[name].ID {
			s.Fatalf("columns %v, want the newest first, as %v", columns, newest)
		}
		want := c.figures(cards[name])
		if len(want) != len(table) {
			s.Errorf("the table has %d rows, %d are known here", len(table), len(want))
		}
		for figure, value := range want {
			if got := table[figure]; len(got) != len(newest) || got[i] != value {
				s.Errorf("%s, %s: %q on the screen, %q measured", name, figure, got, value)
			}
		}
	}
	// Two others beside each other.
	eval[bool](s.bench, fmt.Sprintf(`(() => { const s = document.querySelectorAll('.pair select')[1]; s.value = %q; s.dispatchEvent(new Event('change', {bubbles: true})); return true; })()`, cards["first.wav"].ID))
	s.until(fmt.Sprintf("document.querySelector('.pair dl').innerText.includes('within %.1f and %.1f on 4 November')", cards["first.wav"].Measured.Summary["median_cents"], cards["first.wav"].Measured.Summary["ninth_tenth_cents"]))
}

// overDays wants a dot for each take that was heard, the overdriven one crossed out,
// and the same as a table.
func (s *takeSeason) overDays() {
	s.Helper()
	cards := s.cards()
	for _, plot := range []string{"cents", "ms", "wrong", "tempo", "loudness", "notes", "rhythm", "articulation", "dynamics", "choices"} {
		svg := fmt.Sprintf("document.querySelector('svg[data-trend=%s]')", plot)
		if dots := eval[[]string](s.bench, "[..."+svg+".querySelectorAll('.dot')].map(e => e.dataset.take)"); len(dots) != 4 || slices.Contains(dots, cards["hum.wav"].ID) {
			s.Errorf("plot of %s: dots of %v, want one for each of the 4 takes that were heard", plot, dots)
		}
		if crossed := eval[[]string](s.bench, "[..."+svg+".querySelectorAll('.cross')].map(e => e.parentNode.dataset.take)"); !slices.Equal(crossed, []string{cards["loud.wav"].ID}) {
			s.Errorf("plot of %s crosses out %v, want the overdriven take", plot, crossed)
		}
		if name := eval[string](s.bench, svg+".getAttribute('aria-label')"); !strings.Contains(name, "on 4 November") {
			s.Errorf("plot of %s says %q; want what became of it since 4 November", plot, name)
		}
	}
	rows := eval[[]string](s.bench, "[...document.querySelectorAll('details tbody tr')].map(e => [...e.children].slice(0, 2).map(c => c.textContent).join(': '))")
	if want := fmt.Sprintf("4 November, 17:40: %.1f", cards["first.wav"].Measured.Summary["ninth_tenth_cents"]); len(rows) != 4 || rows[0] != want {
		s.Errorf("the table of the trend: %q, want 4 rows and the first %q", rows, want)
	}
	s.shoot("takes-1440")
}

func TestTakesChosenAndSent(t *testing.T) {
	s := openTakes(t, 1440, 900, []sentTake{sentTakes[0], sentTakes[4]})
	s.expect = "status of 409" // the browser's own note about the other tab
	s.until("document.querySelectorAll('[aria-labelledby=side-by-side] thead th').length === 2")
	s.until("document.querySelectorAll('[aria-labelledby=in-order] li').length === 2")
	s.until("document.querySelectorAll('svg[data-trend=cents] .dot').length === 2") // all of it stands: nothing moves under the pointer
	first, third := s.cards()["first.wav"], s.cards()["third.wav"]

	// Chosen and saved: what leaves is what came.
	s.press("Choose this take")
	s.until("document.querySelector('.lead')?.textContent === 'You chose the take of 24 November, 17:42.'")
	s.until("document.querySelector('.ring')")
	if shown := eval[string](s.bench, "document.querySelector('.hash').textContent"); shown != s.sent["third.wav"] {
		t.Errorf("hash %s on the screen, %s of the file that was sent", shown, s.sent["third.wav"])
	}
	var archive []byte
	s.otherTab("GET", eval[string](s.bench, "document.querySelector('a.save').getAttribute('href')"), nil, &archive)
	names := s.unpacked(archive, "third.wav", s.sent["third.wav"])
	if !slices.Contains(names, "check-sheet.txt") {
		t.Errorf("the archive has %v, and no check sheet", names)
	}

	// Taken back right after.
	s.press("Undo")
	s.until("document.querySelector('.lead')?.textContent.endsWith('by the measures.')")
	if s.cards()["third.wav"].Chosen {
		t.Error("after undo the take is still chosen")
	}

	// Another tab chooses while this one does not look: it is not overruled, and the
	// screen says so.
	eval[bool](s.bench, "(Object.defineProperty(document, 'visibilityState', {value: 'hidden', configurable: true}), true)")
	s.otherTab("PUT", "/api/takes/"+first.ID+"/chosen", map[string]any{"revision": s.cards()["first.wav"].Revision, "chosen": true}, nil)
	s.press("Choose this take")
	s.until("document.querySelector('.foot [role=alert]')?.textContent.includes('Now chosen: the take of 4 November, 17:40.')")
	s.until("document.querySelector('.lead')?.textContent === 'You chose the take of 4 November, 17:40.'")
	s.until("document.querySelector('[aria-labelledby=to-send]').innerText.includes('The measures would send the take of 24 November, 17:42.')")
	if c := s.cards(); !c["first.wav"].Chosen || c["third.wav"].Chosen {
		t.Errorf("the other tab's choice is overruled: %+v", c)
	}
	s.shoot("takes-conflict-1440")
	eval[bool](s.bench, "delete document.visibilityState")
	s.press("Choose the take of 24 November, 17:42")
	s.until("document.querySelector('.lead')?.textContent === 'You chose the take of 24 November, 17:42.'")

	// Ruled out with a sentence: last in the order, and the reason aloud.
	if got := s.order("in-order"); !slices.Equal(got, []string{third.ID, first.ID}) {
		t.Fatalf("in order %v", got)
	}
	s.press("More about the take of 24 November")
	s.click("#rule-" + third.ID)
	s.key("The ending is too soft.")
	s.press("Rule out")
	s.until("document.querySelector('#ruled-out span')?.textContent === '1'")
	if in, out := s.order("in-order"), s.order("ruled-out"); !slices.Equal(in, []string{first.ID}) || !slices.Equal(out, []string{third.ID}) {
		t.Errorf("in order %v, ruled out %v", in, out)
	}
	s.until("document.querySelector('.against')?.textContent.includes('The ending is too soft.')")
	s.until("document.querySelector('[aria-labelledby=to-send]').innerText.includes('would send the take of 4 November')")
	s.shoot("takes-ruled-out-1440")
	s.press("Undo")
	s.until("!document.querySelector('#ruled-out')")

	// What another tab does is seen before long.
	s.otherTab("PUT", "/api/takes/"+third.ID, map[string]any{"revision": s.cards()["third.wav"].Revision, "note": "Warm up longer."}, nil)
	s.until(fmt.Sprintf("document.querySelector('li[data-take=%q] .note')?.textContent === 'Warm up longer.'", third.ID))

	// A file that is chosen here is sent, measured and compared in place.
	file := filepath.Join(t.TempDir(), "second.wav")
	if err := os.WriteFile(file, sentTakes[1].render(t, partOfTakes(t)), 0o600); err != nil {
		t.Fatal(err)
	}
	s.do(chromedp.SetUploadFiles(chromedp.CSS("input[type=file]"), []string{file}))
	s.until("document.querySelector('#in-order span')?.textContent === '3'")

	// The parts say where their takes stand.
	s.do(chromedp.Navigate(s.address))
	s.until("document.querySelector('.name')")
	eval[bool](s.bench, "([...document.querySelectorAll('.name')].find(e => e.textContent === 'Anna').click(), true)")
	s.until("document.querySelector('article').innerText.includes('3 takes, the newest of ')")
	s.until("document.querySelector('article').innerText.includes('; chosen is that of 24 November')")
	s.axed("parts with takes")
}

// unpacked are the names in an archive; the file of a name has a hash.
func (s *takeSeason) unpacked(archive []byte, file, hash string) []string {
	s.Helper()
	z, err := zip.NewReader(bytes.NewReader(archive), int64(len(archive)))
	if err != nil {
		s.Fatal(err)
	}
	var names []string
	for _, f := range z.File {
		names = append(names, path.Base(f.Name))
		if path.Base(f.Name) != file {
			continue
		}
		r, err := f.Open()
		if err != nil {
			s.Fatal(err)
		}
		data, err := io.ReadAll(r)
		if got := fmt.Sprintf("%x", sha256.Sum256(data)); err != nil || got != hash {
			s.Errorf("%s in the archive has the hash %s (%v), want %s of the file that was sent", file, got, err, hash)
		}
	}
	if !slices.Contains(names, file) {
		s.Errorf("the archive has %v, and not %s", names, file)
	}
	return names
}

// accessible asks axe-core about the takes of one player and of all, in light and in
// the dark room, at the widths of a desk and of a phone.
func (s *takeSeason) accessible() {
	s.Helper()
	one := s.screen()
	everyone, _, _ := strings.Cut(one, "?")
	for _, light := range []string{"light", "dark"} {
		s.do(chromedp.EmulateViewport(1440, 900), chromedp.Navigate(everyone))
		s.until("document.querySelector('[aria-labelledby=of-all] .facts')")
		if eval[string](s.bench, "document.documentElement.dataset.room") != light {
			s.press("Dark room")
		}
		s.axed("takes of all, " + light)
		s.do(chromedp.Navigate(one))
		s.until("document.querySelectorAll('[aria-labelledby=side-by-side] thead th').length === 4")
		s.press("More about the take of 24 November")
		eval[bool](s.bench, "(document.querySelector('details').open = true)")
		s.until("document.querySelector('form input')")
		for _, width := range []int64{1440, 360} {
			s.do(chromedp.EmulateViewport(width, 900))
			s.axed(fmt.Sprintf("takes, %s, %d px", light, width))
			s.shoot(fmt.Sprintf("takes-%s-%d", light, width))
		}
	}
}
