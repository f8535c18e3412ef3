package paper

import (
	"context"
	"encoding/base64"
	"encoding/binary"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"waterkey/demo"
	"waterkey/sound"
)

// largestGuide bounds the guide of a one-page part, in bytes.
const largestGuide = 3 << 20

// TestGuideSize weighs the guides of the demo parts, one page each.
func TestGuideSize(t *testing.T) {
	p := printer(t)
	for _, name := range demo.Files() {
		got, err := p.Guide(t.Context(), demoOrder(t, name))
		if err != nil {
			t.Fatal(err)
		}
		if n := len(got.Data); n >= largestGuide || n < 100_000 {
			t.Errorf("%s: the guide has %d bytes, want less than %d and more than its fonts", name, n, largestGuide)
		}
	}
}

// TestGuideTone compares what a guide plays with package sound, sample by sample.
func TestGuideTone(t *testing.T) {
	p := printer(t)
	o := demoOrder(t, "harbor-parade.musicxml")
	doc, err := o.document()
	if err != nil {
		t.Fatal(err)
	}
	const rate = 24000
	url, remove := p.server.put(doc)
	defer remove()
	text, err := chromedp.Run(p.tab, chromedp.Evaluate[string](fmt.Sprintf("paper.samples(%q, %d)", url, rate), chromedp.EvalAwaitPromise))
	if err != nil {
		t.Fatal(err)
	}
	raw, err := base64.StdEncoding.DecodeString(text)
	if err != nil {
		t.Fatal(err)
	}
	so := guideSound
	so.Rate = rate
	want := sound.Render(sound.Tones(o.Prepared.Played, so), so).Channels[0]
	if len(raw) != 4*len(want) {
		t.Fatalf("%d samples, want %d", len(raw)/4, len(want))
	}
	var off, all float64
	for i, w := range want {
		d := float64(math.Float32frombits(binary.LittleEndian.Uint32(raw[4*i:]))) - w
		off, all = off+d*d, all+w*w
	}
	const least = 60 // dB below the sound: rounding of single-precision samples and of phases over a minute
	if snr := 10 * math.Log10(all/off); !(snr > least) {
		t.Errorf("the guide's sound is %.1f dB away from package sound, want more than %d", snr, least)
	}
}

// nowhere is a proxy that nobody runs, to cut a browser off: port 9 discards
// (RFC 863).
const nowhere = "127.0.0.1:9"

// opened is a guide opened from disk in a browser that cannot reach any network.
type opened struct {
	*testing.T
	ctx context.Context
}

func openGuide(t *testing.T, o Order, width, height int64) *opened {
	t.Helper()
	p := printer(t)
	got, err := p.Guide(t.Context(), o)
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "guide.html")
	if err := os.WriteFile(file, got.Data, 0o600); err != nil {
		t.Fatal(err)
	}
	path, err := Find("")
	if err != nil {
		t.Fatal(err)
	}
	alloc, stop := chromedp.NewExecAllocator(context.Background(), append(options(path, t.TempDir()),
		chromedp.ProxyServer(nowhere), chromedp.Flag("mute-audio", true))...)
	t.Cleanup(stop)
	tab, cancel := chromedp.NewContext(alloc)
	t.Cleanup(cancel)
	g := &opened{T: t, ctx: tab}
	if err := chromedp.Do(tab); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = chromedp.Cancel(tab) })
	messages := chromedp.Console(tab)
	heard := make(chan string, 100)
	go func() {
		for m, err := range messages {
			if err != nil {
				return
			}
			heard <- fmt.Sprintf("%s: %s", m.Type, m.Text)
		}
	}()
	t.Cleanup(func() {
		for len(heard) > 0 {
			t.Errorf("console: %s", <-heard)
		}
	})
	g.do(chromedp.EmulateViewport(width, height), chromedp.Navigate("file://"+file))
	return g
}

func (g *opened) do(steps ...chromedp.Action[chromedp.Void]) {
	g.Helper()
	ctx, cancel := context.WithTimeout(g.ctx, 30*time.Second)
	defer cancel()
	if err := chromedp.Do(ctx, steps...); err != nil {
		g.Fatal(err)
	}
}

func eval[T any](g *opened, expression string) T {
	g.Helper()
	ctx, cancel := context.WithTimeout(g.ctx, 30*time.Second)
	defer cancel()
	v, err := chromedp.Run(ctx, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
	if err != nil {
		g.Fatalf("%s: %v", expression, err)
	}
	return v
}

// until waits for an expression to hold.
func (g *opened) until(expression string) {
	g.Helper()
	for end := time.Now().Add(15 * time.Second); time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
		if eval[bool](g, expression) {
			return
		}
	}
	g.Fatalf("never came: %s", expression)
}

// shot keeps what is seen, where a folder for it is named.
func (g *opened) shot(name string) {
	g.Helper()
	dir := os.Getenv("WATERKEY_SHOTS")
	if dir == "" {
		return
	}
	ctx, cancel := context.WithTimeout(g.ctx, 30*time.Second)
	defer cancel()
	png, err := chromedp.Run(ctx, chromedp.CaptureScreenshot())
	if err == nil {
		err = os.WriteFile(filepath.Join(dir, name+".png"), png, 0o644)
	}
	if err != nil {
		g.Fatal(err)
	}
}

// seenCursor is where the cursor of the layout that is seen stands.
const seenCursor = `Number([...document.querySelectorAll('.music')].find((s) => s.getBoundingClientRect().width > 0).querySelector('.cursor').getAttribute('x1'))`

// TestGuide opens the guide from disk on a phone and on a desk: it plays, follows,
// slows down, and is accessible.
func TestGuide(t *testing.T) {
	for _, width := range []int64{360, 1280} {
		t.Run(fmt.Sprint(width), func(t *testing.T) {
			o := demoOrder(t, "harbor-parade.musicxml")
			m, err := Remark(o.Prepared.Part, "9-11", "Slow, relaxed air.")
			if err != nil {
				t.Fatal(err)
			}
			o.Marks, o.Player = append(o.Marks, m), "Ines"
			g := openGuide(t, o, width, 740)
			if over := eval[float64](g, "document.documentElement.scrollWidth - innerWidth"); over > 0 {
				t.Errorf("the guide is %v px wider than the window", over)
			}
			if n := eval[int](g, "document.querySelectorAll('[src^=http], [href^=http], link').length + performance.getEntriesByType('resource').filter((e) => e.name.startsWith('http')).length"); n != 0 {
				t.Errorf("the guide asks for %d things from elsewhere", n)
			}
			g.shot(fmt.Sprintf("guide-%d", width))
			eval[bool](g, "document.querySelector('button.bars[data-from]').click() ?? true")
			g.press()
			g.until("document.querySelector('audio').currentTime > 0.3")
			first := eval[float64](g, "document.querySelector('audio').currentTime")
			g.until(fmt.Sprintf("document.querySelector('audio').currentTime > %v", first+1.6))
			before := eval[float64](g, seenCursor)
			g.until(seenCursor + fmt.Sprintf(" !== %v", before))
			g.shot(fmt.Sprintf("guide-%d-playing", width))
			g.do(chromedp.KeyEvent(" "))
			if !eval[bool](g, "document.querySelector('audio').paused") {
				t.Error("Stop did not stop")
			}
			g.slower()
			g.accessible()
		})
	}
}

// press starts the sound with a finger on the button.
func (g *opened) press() {
	g.Helper()
	at := eval[[]float64](g, "(() => { const b = document.querySelector('.play').getBoundingClientRect(); return [b.x + b.width / 2, b.y + b.height / 2] })()")
	g.do(chromedp.MouseClickXY(at[0], at[1]))
}

// slower checks that half the tempo lasts twice as long.
func (g *opened) slower() {
	g.Helper()
	set := func(share float64) float64 {
		eval[bool](g, fmt.Sprintf(`(() => { const f = document.querySelector('form').elements;
			f.from.value = '1'; f.to.value = '4'; f.count.checked = false; f.tempo.value = String(Math.round(f.tempo.dataset.own * %v));
			window.before = document.querySelector('audio').src; f.tempo.dispatchEvent(new Event('change', {bubbles: true})); return true })()`, share))
		g.until("document.querySelector('audio').src !== before && document.querySelector('audio').duration > 0")
		return eval[float64](g, "document.querySelector('audio').duration")
	}
	full, half := set(1), set(0.5)
	const still = 0.4 // seconds before and after the music, which are not slowed
	if ratio := (half - still) / (full - still); ratio < 1.95 || ratio > 2.05 {
		g.Errorf("four bars last %.2f s, at half the tempo %.2f s", full, half)
	}
}

// accessible runs axe-core, where the front end's packages are installed.
func (g *opened) accessible() {
	g.Helper()
	axe, err := os.ReadFile(filepath.Join("..", "web", "node_modules", "axe-core", "axe.min.js"))
	if err != nil {
		g.Logf("axe-core not here: %v; run make web", err)
		return
	}
	g.do(chromedp.Func(func(ctx context.Context, _ *chromedp.Target) error {
		_, err := chromedp.Run(ctx, chromedp.Evaluate[any](string(axe)+";0"))
		return err
	}))
	found := eval[[]string](g, `axe.run().then((r) => r.violations.map((v) => v.id + ': ' + v.nodes.map((n) => n.target).slice(0, 3).join(', ')))`)
	if len(found) > 0 {
		g.Errorf("axe-core: %s", strings.Join(found, "; "))
	}
}

// BenchmarkGuide measures a guide with the browser running, and its size.
func BenchmarkGuide(b *testing.B) {
	p, o := printer(b), demoOrder(b, "harbor-parade.musicxml")
	size := 0
	for b.Loop() {
		got, err := p.Guide(b.Context(), o)
		if err != nil {
			b.Fatal(err)
		}
		size = len(got.Data)
	}
	b.ReportMetric(float64(size)/1000, "kB")
}
