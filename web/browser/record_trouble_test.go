package browser

import (
	"fmt"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"waterkey/score"
	"waterkey/sound"
)

// otherPart is the first half minute of another part of the season, as a file.
func otherPart(t *testing.T) string {
	t.Helper()
	pf, err := seasonPart(t, "lantern-song.musicxml").Perform(score.Tempo{})
	if err != nil {
		t.Fatal(err)
	}
	o := sound.Options{Rate: micRate}
	clip := sound.Render(sound.Tones(pf, o), o)
	const seconds = 30
	samples := make([]int16, seconds*micRate)
	for i := range samples {
		samples[i] = int16(clip.Channels[0][i] * 32767)
	}
	return wave16(t, samples, micRate)
}

// TestFilesOfAnotherPart: a take of another part says so, and the same file twice is one
// take.
func TestFilesOfAnotherPart(t *testing.T) {
	b := open(t, "demo", 360, 740)
	b.do(chromedp.Navigate(b.recordURL("")))
	file := otherPart(t)
	for _, says := range []string{"This does not sound like that part", "This recording is here already"} {
		b.until("document.querySelector('input[type=file]:not(:disabled)')")
		b.do(chromedp.SetUploadFiles(chromedp.CSS("input[type=file]"), []string{file}))
		b.until(fmt.Sprintf("(document.querySelector('section[aria-label=\"Takes made just now\"]')?.innerText ?? '').replace(/\\s+/g, ' ').includes(%q)", says))
	}
	b.shoot("other-part-360")
	var all struct{ Takes []struct{ State string } }
	if b.fetch("/api/takes", &all); len(all.Takes) != 1 || all.Takes[0].State != "failed" {
		t.Errorf("the program has %+v, want one take that could not be measured", all.Takes)
	}
}

// TestRecordTrouble: the program's disk is full for a while, then the microphone is
// unplugged; what was played until then becomes a take, whole.
func TestRecordTrouble(t *testing.T) {
	b := open(t, "demo", 1440, 900, hearing(wave16(t, performance(t)[int(micLead*micRate):], micRate))...)
	b.expect = "status of 507"
	if _, err := chromedp.Call(b.ctx, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{Source: `
		const open = MediaDevices.prototype.getUserMedia, fetched = window.fetch;
		MediaDevices.prototype.getUserMedia = async function (asked) { return window.microphone = await open.call(this, asked); };
		window.full = true;
		window.fetch = (to, how) => window.full && how?.method === 'PUT' && /chunks/.test(to)
			? Promise.resolve(new Response(JSON.stringify({status: 507, detail: 'the disk has no room left for it'}), {status: 507, headers: {'Content-Type': 'application/problem+json'}}))
			: fetched(to, how);`}); err != nil {
		t.Fatal(err)
	}
	b.do(chromedp.Navigate(b.recordURL("&bpm=300")))
	b.until("document.querySelector('.big:not(:disabled)') && document.querySelector('.meter')")
	b.click(".big")
	b.until("document.querySelector('.time')?.textContent === '0:02'")
	eval[bool](b, "(microphone.getTracks()[0].dispatchEvent(new Event('ended')), true)")
	b.says("The microphone was unplugged.")
	b.says("The disk has no room left for it. What you recorded is kept in this browser and goes on when there is room on the disk.")
	b.shoot("trouble-1440")
	if n := b.onShelf(); n < 3 {
		t.Errorf("%d records are in the browser, want the recording and its seconds", n)
	}
	eval[bool](b, "(window.full = false, true)")
	b.until("location.pathname.startsWith('/take/') || document.querySelector('.open')")
	var all struct {
		Takes []struct {
			State    string
			Measured struct {
				CheckSheet struct{ Seconds float64 } `json:"check_sheet"`
			}
		}
	}
	if b.fetch("/api/takes", &all); len(all.Takes) != 1 || all.Takes[0].Measured.CheckSheet.Seconds < 2 {
		t.Errorf("the program has %+v, want the two seconds before the microphone went", all.Takes)
	}
	if n := b.onShelf(); n != 0 {
		t.Errorf("%d records are left in the browser", n)
	}
}

// TestRecordCrash: a tab that crashes in the middle of a recording costs less than half
// a second of it.
func TestRecordCrash(t *testing.T) {
	b := open(t, "demo", 1440, 900, hearing(wave16(t, performance(t)[int(micLead*micRate):], micRate))...)
	screen := b.recordURL("&bpm=300")
	b.do(chromedp.Navigate(screen))
	b.until("document.querySelector('.big:not(:disabled)') && document.querySelector('.meter')")
	b.click(".big")
	b.until("document.querySelector('.time')?.textContent === '0:02'")
	const more = 700 * time.Millisecond
	time.Sleep(more)
	go func() { _, _ = chromedp.Call(b.ctx, page.Crash, cdp.Empty{}) }() // never answers
	other := b.tab(screen)
	other.until("[...document.querySelectorAll('button')].some(e => e.textContent === 'Keep it') || (window.dispatchEvent(new Event('focus')), false)")
	other.press("Keep it")
	other.until("location.pathname.startsWith('/take/') || document.querySelector('.open')")
	var all struct {
		Takes []struct {
			Measured struct {
				CheckSheet struct{ Seconds float64 } `json:"check_sheet"`
			}
		}
	}
	b.fetch("/api/takes", &all)
	const least = 2 + 0.7 - 0.45 // s; by whole seconds 2.05 would be left at most
	if len(all.Takes) != 1 || all.Takes[0].Measured.CheckSheet.Seconds < least {
		t.Errorf("the program has %+v, want %.2f s or more of one take", all.Takes, least)
	}
	t.Logf("kept: %+v", all.Takes)
}
