package browser

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/chromedp/chromedp"
)

// TestMicrophoneRefused: each way in which a browser refuses the microphone has its own
// words, and a file can still be chosen.
func TestMicrophoneRefused(t *testing.T) {
	b := open(t, "demo", 360, 740)
	b.do(chromedp.Navigate(b.recordURL("")))
	for _, c := range []struct{ name, says string }{
		{"NotAllowedError", "The browser may not use the microphone. Allow it at the sign beside the address"},
		{"NotFoundError", "No microphone is connected. Connect one and press Record again"},
		{"NotReadableError", "The microphone is busy: another program has it."},
	} {
		b.until("document.querySelector('.big:not(:disabled)')")
		eval[bool](b, fmt.Sprintf("(navigator.mediaDevices.getUserMedia = () => Promise.reject(new DOMException('', %q)), true)", c.name))
		b.click(".big")
		b.says(c.says)
	}
	b.shoot("refused-360")
	b.until("document.querySelector('input[type=file]')")
}

// TestFilesRefused: a file that is no recording, and one that is too large, are told
// apart and nothing is kept of them.
func TestFilesRefused(t *testing.T) {
	b := open(t, "demo", 1440, 900)
	b.expect = "Failed to load resource"
	b.do(chromedp.Navigate(b.recordURL("")))
	b.until("document.querySelector('input[type=file]:not(:disabled)')")
	letter := filepath.Join(t.TempDir(), "letter.txt")
	if err := os.WriteFile(letter, []byte("Dear Ines, here is no music at all."), 0o600); err != nil {
		t.Fatal(err)
	}
	b.do(chromedp.SetUploadFiles(chromedp.CSS("input[type=file]"), []string{letter}))
	b.until("[...document.querySelectorAll('section')].some(e => e.innerText.includes('letter.txt') && /no recording|not a recording|not audio|no audio|cannot be/.test(e.innerText))")
	b.shoot("not-audio-1440")

	eval[bool](b, `(() => { const own = window.fetch; window.fetch = async (at, how) => {
		const r = await own(at, how);
		if (at !== '/api/uploads' || (how?.method ?? 'GET') !== 'GET') return r;
		return new Response(JSON.stringify({...await r.json(), max_take_bytes: 1000}), {headers: {'Content-Type': 'application/json'}});
	}; return true; })()`)
	long := wave16(t, make([]int16, 10_000), micRate)
	b.do(chromedp.SetUploadFiles(chromedp.CSS("input[type=file]"), []string{long}))
	b.until("[...document.querySelectorAll('section')].some(e => e.innerText.includes('microphone.wav') && /too large|at most|larger than/.test(e.innerText))")
	b.shoot("too-large-1440")
	var all struct{ Takes []struct{ ID string } }
	if b.fetch("/api/takes", &all); len(all.Takes) != 0 {
		t.Errorf("%d takes of files that were refused", len(all.Takes))
	}
}
