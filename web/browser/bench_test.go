package browser

import (
	"bufio"
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// patience is how long a test waits for anything to come (estimate: a cold
// engraver on a busy machine, several times over).
const patience = 25 * time.Second

// program is the built program; built once.
var program = sync.OnceValues(func() (string, error) {
	dir, err := os.MkdirTemp("", "waterkey-browser")
	if err != nil {
		return "", err
	}
	name := filepath.Join(dir, "waterkey")
	out, err := exec.Command("go", "build", "-o", name, "waterkey/cmd/waterkey").CombinedOutput()
	if err != nil {
		return "", fmt.Errorf("building the program: %w\n%s", err, out)
	}
	return name, nil
})

func TestMain(m *testing.M) {
	code := m.Run()
	if name, err := program(); err == nil {
		os.RemoveAll(filepath.Dir(name))
	}
	os.Exit(code)
}

// chromium is the browser's path, or "" where there is none.
func chromium() string {
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	return ""
}

// bench is a program that runs over a season of its own, and a tab that shows it.
type bench struct {
	*testing.T
	ctx     context.Context
	address string // with its token
	mu      sync.Mutex
	faults  []string // what the console said in red
	expect  string   // what it may say
	data    string   // the program's folder
	running *exec.Cmd
}

// open starts the program with a command, serve or demo, and opens its address; more
// are flags of the browser.
func open(t *testing.T, command string, width, height int64, more ...chromedp.ExecAllocatorOption) *bench {
	t.Helper()
	if testing.Short() {
		t.Skip("browser tests are left out of short runs")
	}
	path := chromium()
	if path == "" {
		t.Skip("no Chromium found: install the package chromium to run the browser tests")
	}
	b := &bench{T: t, data: t.TempDir()}
	b.serve(command)
	b.browse(path, more...)
	b.do(chromedp.EmulateViewport(width, height), chromedp.Navigate(b.address))
	t.Cleanup(func() {
		b.mu.Lock()
		defer b.mu.Unlock()
		for _, f := range b.faults {
			if b.expect == "" || !strings.Contains(f, b.expect) {
				t.Errorf("console: %s", f)
			}
		}
	})
	return b
}

func (b *bench) serve(command string, more ...string) {
	b.Helper()
	name, err := program()
	if err != nil {
		b.Fatal(err)
	}
	if command == "demo" { // takes that are being made would take the processor from what is measured
		more = append(more, "--no-takes")
	}
	c := exec.Command(name, append([]string{command, "--no-open", "--data", b.data}, more...)...)
	c.Stderr = os.Stderr
	out, err := c.StdoutPipe()
	if err != nil {
		b.Fatal(err)
	}
	if err := c.Start(); err != nil {
		b.Fatal(err)
	}
	b.running = c
	b.Cleanup(func() {
		_ = c.Process.Signal(os.Interrupt)
		_ = c.Wait()
	})
	line, err := bufio.NewReader(out).ReadString('\n')
	if err != nil {
		b.Fatalf("the program printed no address: %v", err)
	}
	b.address = strings.TrimSpace(line)
}

// browse starts a browser with a profile of its own. The browser's own context has
// no time limit; what is asked of it has.
func (b *bench) browse(path string, more ...chromedp.ExecAllocatorOption) {
	b.Helper()
	options := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath(path), chromedp.NoSandbox, chromedp.DisableGPU, chromedp.UserDataDir(b.TempDir()),
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-background-networking", true),
		chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-sync", true), chromedp.Flag("mute-audio", true))
	options = append(options, more...)
	alloc, stop := chromedp.NewExecAllocator(context.Background(), options...)
	b.Cleanup(stop)
	ctx, cancel := chromedp.NewContext(alloc)
	b.Cleanup(cancel)
	b.ctx = ctx
	if err := chromedp.Do(ctx); err != nil {
		b.Fatalf("starting the browser: %v", err)
	}
	b.Cleanup(func() { _ = chromedp.Cancel(ctx) })
	messages := chromedp.Console(ctx)
	go func() {
		for m, err := range messages {
			if err != nil {
				return
			}
			if kind := string(m.Type); kind == "error" || kind == "warning" || kind == string(chromedp.ConsoleException) {
				b.mu.Lock()
				b.faults = append(b.faults, kind+": "+m.Text)
				b.mu.Unlock()
			}
		}
	}()
}

// do runs actions within the test's patience.
func (b *bench) do(actions ...chromedp.Action[chromedp.Void]) {
	b.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, patience)
	defer cancel()
	if err := chromedp.Do(ctx, actions...); err != nil {
		b.Fatal(err)
	}
}

// eval gives the value of an expression in the page; promises are awaited.
func eval[T any](b *bench, expression string) T {
	b.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, patience)
	defer cancel()
	v, err := chromedp.Run(ctx, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
	if err != nil {
		b.Fatalf("%s: %v", expression, err)
	}
	return v
}

// until waits for an expression to become true.
func (b *bench) until(expression string) {
	b.Helper()
	for end := time.Now().Add(patience); ; time.Sleep(30 * time.Millisecond) {
		if eval[bool](b, "!!("+expression+")") {
			return
		}
		if time.Now().After(end) {
			b.Fatalf("waited in vain for: %s\nthe page says: %.1500s", expression, eval[string](b, "document.body.innerText"))
		}
	}
}

// key presses keys, as kb names them.
func (b *bench) key(keys string, options ...chromedp.KeyOption) {
	b.Helper()
	b.do(chromedp.KeyEvent(keys, options...))
}

// click clicks the middle of the first element that a CSS selector finds.
func (b *bench) click(selector string, options ...chromedp.MouseOption) {
	b.Helper()
	b.until(fmt.Sprintf("document.querySelector(%q)", selector))
	at := eval[[]float64](b, fmt.Sprintf(`(() => { const e = document.querySelector(%q); let r = e.getBoundingClientRect();
		if (r.top < 60 || r.bottom > innerHeight - 140) { scrollBy({top: r.top - innerHeight / 3, behavior: 'instant'}); r = e.getBoundingClientRect(); }
		return [r.x + r.width / 2, r.y + Math.min(r.height / 2, 40)]; })()`, selector))
	b.do(chromedp.MouseClickXY(at[0], at[1], options...))
}

// clickBar clicks a bar where neither a note nor the room after one lies.
func (b *bench) clickBar(index int, options ...chromedp.MouseOption) {
	b.Helper()
	at := eval[[]float64](b, fmt.Sprintf(`(() => { const e = document.querySelector('rect.bar[data-bar="%d"]'); let r = e.getBoundingClientRect();
		if (r.top < 60 || r.bottom > innerHeight - 100) { scrollBy({top: r.top - innerHeight / 3, behavior: 'instant'}); r = e.getBoundingClientRect(); }
		for (let y = r.top + 2; y < r.bottom; y += 4) for (let x = r.left + 2; x < r.right; x += 4) if (document.elementFromPoint(x, y) === e) return [x, y];
		return []; })()`, index))
	if len(at) != 2 {
		b.Fatalf("bar %d cannot be touched anywhere", index)
	}
	b.do(chromedp.MouseClickXY(at[0], at[1], options...))
}

// press clicks the button or link of a name.
func (b *bench) press(name string) {
	b.Helper()
	find := fmt.Sprintf(`[...document.querySelectorAll('button, a')].find(e => (e.getAttribute('aria-label') ?? e.textContent).trim().startsWith(%q))`, name)
	b.until(find)
	eval[bool](b, fmt.Sprintf(`(() => { document.querySelectorAll('[data-pressed]').forEach(e => e.removeAttribute('data-pressed')); %s.setAttribute('data-pressed', ''); return true; })()`, find))
	b.click("[data-pressed]")
}

// staff waits for the engraved page with its lanes.
func (b *bench) staff() {
	b.Helper()
	b.until("document.querySelector('.engraved .lanes') && document.querySelectorAll('.note-button').length > 0")
}

// shoot keeps a picture of the window, if pictures are wanted.
func (b *bench) shoot(name string) {
	b.Helper()
	dir := os.Getenv("WATERKEY_SHOTS")
	if dir == "" {
		return
	}
	eval[bool](b, "document.fonts.ready.then(() => true)")
	ctx, cancel := context.WithTimeout(b.ctx, patience)
	defer cancel()
	png, err := chromedp.Run(ctx, chromedp.CaptureScreenshot())
	if err != nil {
		b.Fatal(err)
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		b.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, name+".png"), png, 0o644); err != nil {
		b.Fatal(err)
	}
}
