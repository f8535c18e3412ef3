package browser

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	cdp "github.com/chromedp/cdproto/browser"
	"github.com/chromedp/chromedp"
)

// mostGuide is how large the guide of a one-page part may be, in bytes: what a phone
// on the road still loads (the design's bound).
const mostGuide = 3_000_000

// downloads lets the browser save files, into a folder.
func (b *bench) downloads() string {
	b.Helper()
	folder := b.TempDir()
	b.do(chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		events := true
		_, err := chromedp.Call(ctx, cdp.SetDownloadBehavior, cdp.SetDownloadBehaviorParams{
			Behavior: cdp.SetDownloadBehaviorBehaviorAllow, DownloadPath: folder, EventsEnabled: &events,
		})
		return err
	}))
	return folder
}

// saved waits for a file to be whole in the folder.
func (b *bench) saved(folder, name string) []byte {
	b.Helper()
	for end := time.Now().Add(patience); time.Now().Before(end); time.Sleep(30 * time.Millisecond) {
		if data, err := os.ReadFile(filepath.Join(folder, name)); err == nil && len(data) > 0 {
			return data
		}
	}
	entries, _ := os.ReadDir(folder)
	b.Fatalf("waited in vain for %s; there are %v, and the page says: %.800s", name, entries, eval[string](b, "document.body.innerText"))
	return nil
}

// paper is the screen of what is handed out.
func (s *takeSeason) paper() string {
	return strings.Replace(s.screen(), "/takes?", "/paper?", 1)
}

// TestPaper has everything made that is handed out, from a season without takes.
func TestPaper(t *testing.T) {
	s := openTakes(t, 1440, 900, nil)
	s.until("document.querySelector('.lead')?.textContent === 'No take yet.'")
	s.until("document.querySelector('a.record[href*=\"/record?player=\"]')")
	s.shoot("takes-none-1440")
	s.expect = "status of 409" // the browser's own note about the calendar without a day
	folder := s.downloads()
	s.do(chromedp.Navigate(s.paper()))
	s.until("document.querySelectorAll('[data-order]').length === 6")
	eval[bool](s.bench, `(() => { const e = document.querySelector('.over select'); e.value = 'letter'; e.dispatchEvent(new Event('change', {bubbles: true})); return true; })()`)

	s.press("Save PDF: Marked part")
	s.until("document.querySelector('[data-order=part] progress')")
	pdf := s.saved(folder, "Harbor Parade, Anna, part.pdf")
	const letter = "/MediaBox [0 0 612 79" // points: 8.5 by 11 inches, less a pixel; A4 is 595 by 842
	if !bytes.HasPrefix(pdf, []byte("%PDF-")) || !bytes.Contains(pdf, []byte(letter)) {
		t.Errorf("%d bytes that start with %.8q are no PDF on Letter", len(pdf), pdf)
	}
	s.until(`document.querySelector('[data-order=part] [role=status]')?.textContent.startsWith('Harbor Parade, Anna, part.pdf, ')`)
	s.shoot("paper-1440")

	s.press("Look at it: Marked part")
	s.until(`document.querySelector('iframe')?.src.startsWith('blob:')`)
	s.shoot("paper-look-1440")
	s.press("Close")
	s.until("!document.querySelector('iframe')")
	s.lookedAtTooLate()

	s.press("Save file: Guide")
	guide := s.saved(folder, "Harbor Parade, Anna, guide.html")
	if !bytes.HasPrefix(bytes.ToLower(guide[:100]), []byte("<!doctype html>")) || len(guide) > mostGuide {
		t.Errorf("%d bytes that start with %.20q are no guide; want one HTML file of at most %d bytes", len(guide), guide, mostGuide)
	}
	t.Logf("the guide: %s", eval[string](s.bench, "document.querySelector('[data-order=guide] [role=status]').textContent"))

	// Without a day of the recording there is no calendar; with one there is.
	s.press("Save calendar: Practice calendar")
	s.until("document.querySelector('[data-order=calendar] [role=alert]')?.textContent.includes('date')")
	day := time.Now().AddDate(0, 0, 14).Format(time.DateOnly)
	s.otherTab("PUT", "/api/practice", map[string]any{"part": s.part, "player": s.player, "revision": 0,
		"terms": map[string]any{"by": day, "days_per_week": 6, "minutes": 45}}, nil)
	s.press("Save calendar: Practice calendar")
	if ics := s.saved(folder, "Harbor Parade, Anna, practice.ics"); !bytes.HasPrefix(ics, []byte("BEGIN:VCALENDAR\r\n")) {
		t.Errorf("%.40q is no calendar", ics)
	}
	s.paperAccessible()
}

// lookedAtTooLate wants to look at a walk, and chooses other paper while it is made: what
// was made for the first is not shown beside the second. (The paper is not ours to make here.)
func (s *takeSeason) lookedAtTooLate() {
	s.Helper()
	eval[bool](s.bench, `(() => { const real = fetch; window.fetch = (path, ...rest) => !String(path).startsWith('/api/paper') ? real(path, ...rest) :
		new Promise(go => window.madeNow = () => { window.fetch = real; go(new Response('%PDF-1.4', {headers: {'Content-Disposition': 'attachment; filename="walk.pdf"'}})); }); return true; })()`)
	s.press("Look at it: Walk")
	s.until("window.madeNow")
	paper := func(size string) {
		eval[bool](s.bench, fmt.Sprintf(`(() => { const e = document.querySelector('.over select'); e.value = %q; e.dispatchEvent(new Event('change', {bubbles: true})); return true; })()`, size))
	}
	paper("a4")
	eval[bool](s.bench, "(madeNow(), true)")
	s.until("!document.querySelector('[data-order=walk] button:disabled')")
	if eval[bool](s.bench, "!!document.querySelector('iframe')") {
		s.Error("a walk on Letter is shown while A4 is chosen")
	}
	paper("letter")
	s.until("document.querySelector('[data-order=walk] [role=status]')") // it was made all the same
}

// TestPaperWithoutPrinter opens the screen where no Chromium is found to print with:
// it says so, and what works.
func TestPaperWithoutPrinter(t *testing.T) {
	s := openTakes(t, 360, 740, nil)
	s.expect = "status of 501"
	s.do(chromedp.Navigate("about:blank"))
	_ = s.running.Process.Kill()
	_ = s.running.Wait()
	t.Setenv("PATH", t.TempDir())
	s.serve("serve")
	s.do(chromedp.Navigate(s.address), chromedp.Navigate(s.paper()))
	s.until("document.querySelectorAll('[data-order]').length === 6")
	if eval[bool](s.bench, "[...document.querySelectorAll('button')].some(b => b.textContent === 'Look at it')") {
		t.Error("a phone is offered to look at a PDF beside the list")
	}
	s.press("Save PDF: Lesson sheet")
	s.until("document.querySelector('[data-order=lesson] [role=alert]')?.textContent.includes('install')")
	s.until("document.querySelector('[data-order=lesson] [role=alert] a[href^=\"/part/\"]')")
	s.shoot("paper-none-360")
}

// paperAccessible asks axe-core about the screen, in light and in the dark room, at
// the widths of a desk and of a phone.
func (s *takeSeason) paperAccessible() {
	s.Helper()
	for _, light := range []string{"light", "dark"} {
		if eval[string](s.bench, "document.documentElement.dataset.room") != light {
			s.press("Dark room")
		}
		for _, width := range []int64{1440, 360} {
			s.do(chromedp.EmulateViewport(width, 900))
			s.axed(fmt.Sprintf("paper, %s, %d px", light, width))
			s.shoot(fmt.Sprintf("paper-%s-%d", light, width))
		}
	}
}
